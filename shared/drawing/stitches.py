"""The stitch line: a pair's progress as a row of stitches, one for each stage of its route.

An open dash is not started, a solid dash is done, a hatched dash is drying, and a knot stands where a cover check is
asked for, filled when it passed. Where the feet differ, the left half of a stitch is the LEFT shoe's and the right half
the RIGHT shoe's. Pure: no database, no clock.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

STITCH_LONG = 10
STITCH_APART = 4
LINE_HIGH = 12
KNOT_RADIUS = 3
"""Units of the drawing; one unit is one pixel in a list and two on the pair's page."""

SIDES_IN_ORDER = ("left", "right")


class Knot(Enum):
    """How far the checks of a stage are."""

    NONE = "none"
    ASKED = "asked"
    PASSED = "passed"
    DIFFERS = "differs"


_WORST_FIRST = (Knot.DIFFERS, Knot.ASKED, Knot.PASSED, Knot.NONE)


@dataclass(frozen=True)
class StageSeen:
    """One stage of one foot. `key` and `round` are the same for the same stage of both feet.

    `dry_at` is the moment from which it is dry, or None where nothing dries.
    """

    key: str
    name: str
    side: str
    is_done: bool
    round: int = 1
    dry_at: datetime | None = None
    knot: Knot = Knot.NONE


@dataclass(frozen=True)
class Dash:
    """A piece of thread from `x1` to `x2`. `state` is open, done or drying: also its class."""

    x1: float
    x2: float
    state: str


@dataclass(frozen=True)
class Stitch:
    """One stage of the route: one dash, or two where LEFT and RIGHT differ; `knot_x` is None where no check stands."""

    name: str
    dashes: tuple[Dash, ...]
    knot: str
    knot_x: float | None
    is_done: bool
    dry_at: datetime | None


@dataclass(frozen=True)
class StitchLine:
    """A drawing in the frame of `view_box`, and the same in words."""

    stitches: tuple[Stitch, ...]
    words: str

    @property
    def view_box(self) -> str:
        """Room for a knot before the first stitch; the same scale however many stitches there are."""
        length = len(self.stitches) * (STITCH_LONG + STITCH_APART)
        return f"-{KNOT_RADIUS + 1} 0 {length + KNOT_RADIUS + 1} {LINE_HIGH}"


def stitch_line(stages: Sequence[StageSeen], *, now: datetime) -> StitchLine:
    """The stitch line of a route, its stages in order. Times are said in the zone of `now`."""
    together: dict[tuple[str, int], list[StageSeen]] = {}
    for stage in stages:
        together.setdefault((stage.key, stage.round), []).append(stage)
    stitches = tuple(_stitch(place, feet, now) for place, feet in enumerate(together.values()))
    return StitchLine(stitches=stitches, words=_words(stitches, now))


def _stitch(place: int, feet: list[StageSeen], now: datetime) -> Stitch:
    starts = float(place * (STITCH_LONG + STITCH_APART))
    ends = starts + STITCH_LONG
    states = [_state(foot, now) for foot in sorted(feet, key=lambda foot: SIDES_IN_ORDER.index(foot.side))]
    if len(set(states)) == 1:
        dashes: tuple[Dash, ...] = (Dash(starts, ends, states[0]),)
    else:
        middle = (starts + ends) / 2
        dashes = (Dash(starts, middle, states[0]), Dash(middle, ends, states[-1]))
    knot = min((foot.knot for foot in feet), key=_WORST_FIRST.index)
    drying = [foot.dry_at for foot in feet if foot.is_done and foot.dry_at is not None and foot.dry_at > now]
    return Stitch(
        name=feet[0].name,
        dashes=dashes,
        knot=knot.value,
        knot_x=None if knot is Knot.NONE else starts,
        is_done=all(foot.is_done for foot in feet),
        dry_at=max(drying, default=None),
    )


def _state(foot: StageSeen, now: datetime) -> str:
    if not foot.is_done:
        return "open"
    return "drying" if foot.dry_at is not None and foot.dry_at > now else "done"


def _words(stitches: tuple[Stitch, ...], now: datetime) -> str:
    if not stitches:
        return "no stages planned"
    drying = [(number, stitch.dry_at) for number, stitch in enumerate(stitches, start=1) if stitch.dry_at]
    if drying:
        number, until = max(drying, key=lambda entry: entry[1])
        return f"stage {number} of {len(stitches)}, drying until {_until(until, now)}"
    for number, stitch in enumerate(stitches, start=1):
        if not stitch.is_done:
            one_foot = "one foot done, " if any(dash.state != "open" for dash in stitch.dashes) else ""
            return f"stage {number} of {len(stitches)}, {one_foot}{stitch.name[:1].lower()}{stitch.name[1:]}"
    return f"all {len(stitches)} stages done"


def _until(moment: datetime, now: datetime) -> str:
    """Weekday and time within the next six days, with the date beyond."""
    there = moment.astimezone(now.tzinfo)
    return f"{there:%a %H:%M}" if there - now < timedelta(days=6) else f"{there:%a %-d %b %H:%M}"
