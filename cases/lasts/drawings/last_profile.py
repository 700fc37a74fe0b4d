"""The layer along a last as a drawing: what is built up stands over the line, what is taken down hangs below it.

The toe of LEFT points left on the page, that of RIGHT right, as the last is drawn from its lateral side. One unit is
1 mm along the last; layers are drawn larger, so that half a millimetre is seen.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cases.lasts.alteration import LEAVE, Alteration, StationWork
from cases.lasts.stations import BY_KEY
from shared.sides import Side

MARGIN_MM = 12.0
TIMES_LARGER = 4
"""Layers are drawn so many times as thick as they are."""

BAR_MM = 7.0
ROOM_ABOVE_MM = 14.0
LINE_OF_WORDS_MM = 9.0


@dataclass(frozen=True)
class Bar:
    """The layer at one place. A bar of what is taken down is drawn hollow."""

    x: float
    y: float
    height: float
    is_taken: bool


@dataclass(frozen=True)
class Tick:
    """A station under the line, with what is done there."""

    x: float
    y: float
    label: str
    does: str

    @property
    def line_to(self) -> float:
        """Where the line to its words ends."""
        return round(self.y - LINE_OF_WORDS_MM + 2, 1)

    @property
    def does_y(self) -> float:
        return round(self.y + LINE_OF_WORDS_MM - 1, 1)


@dataclass(frozen=True)
class ProfileDrawing:
    """Bars every 10 mm over a line, in a frame of `width` by `height`. `says` is the same in words."""

    says: str
    width: float
    height: float
    ground: float
    bars: tuple[Bar, ...]
    ticks: tuple[Tick, ...]
    heel_x: float
    toe_x: float
    side: Side

    @property
    def view_box(self) -> str:
        return f"0 0 {self.width:g} {self.height:g}"

    @property
    def bar_width(self) -> float:
        return BAR_MM

    @property
    def middle_x(self) -> float:
        return round(self.width / 2, 1)

    @property
    def times_larger(self) -> int:
        return TIMES_LARGER


def profile_drawing(alteration: Alteration, *, side: Side, length_mm: float) -> ProfileDrawing | None:
    """The drawing of what is done along a last; None where nothing is, or where no place on it is known."""
    if not any(thickness for _, thickness in alteration.profile):
        return None
    thicknesses = [thickness for _, thickness in alteration.profile]
    up, down = max(0.0, *thicknesses) * TIMES_LARGER, max(0.0, *(-each for each in thicknesses)) * TIMES_LARGER
    ground = ROOM_ABOVE_MM + up

    def across(from_heel_mm: float) -> float:
        return round(MARGIN_MM + (length_mm - from_heel_mm if side is Side.LEFT else from_heel_mm), 1)

    ticks = _ticks(alteration, across, under=ground + down + LINE_OF_WORDS_MM)
    return ProfileDrawing(
        says=_says(alteration.stations, side),
        width=length_mm + 2 * MARGIN_MM,
        height=round(ground + down + 4.5 * LINE_OF_WORDS_MM, 1),
        ground=round(ground, 1),
        bars=tuple(_bar(across(x), thickness, ground) for x, thickness in alteration.profile if abs(thickness) >= 0.05),
        ticks=ticks,
        heel_x=across(0.0),
        toe_x=across(length_mm),
        side=side,
    )


def _bar(x: float, thickness_mm: float, ground: float) -> Bar:
    high = round(abs(thickness_mm) * TIMES_LARGER, 1)
    taken = thickness_mm < 0
    return Bar(round(x - BAR_MM / 2, 1), round(ground if taken else ground - high, 1), high, taken)


def _ticks(alteration: Alteration, across: Callable[[float], float], *, under: float) -> tuple[Tick, ...]:
    """Each station that has a place on the last, the words of neighbours on two lines."""
    works = {work.key: work for work in alteration.stations}
    return tuple(
        Tick(across(place), round(under + (number % 2) * 2 * LINE_OF_WORDS_MM, 1), works[key].label, _does(works[key]))
        for number, (key, place) in enumerate(alteration.places)
    )


def _does(work: StationWork) -> str:
    if work.work == LEAVE:
        return "leave"
    return f"{work.signed_mm:+g} mm".replace("-", "\u2212")


def _says(stations: Sequence[StationWork], side: Side) -> str:
    works = ", ".join(
        f"{BY_KEY[each.key].label} {each.work}{'' if each.work == LEAVE else f' {each.bench_mm:g} mm'}"
        for each in stations
        if BY_KEY[each.key].along is not None
    )
    return f"{side.label}: layer along the last, {TIMES_LARGER} times as thick as it is. {works}."
