"""Where the four views of a shoe stand on its sheet, one under the other: medial, lateral, from above, from behind.

Both feet of a pair share one frame, so that LEFT and RIGHT are drawn to one scale and their views stand level. One unit
is a millimetre of the shoe; the type is sized by the width of the sheet, so that it can be read on any page.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import NamedTuple

from cases.prescriptions.cut_away.labels import ROW, broken, in_rows, spread
from cases.prescriptions.cut_away.sheet import Call, Shape, View, Zone
from shared.sides import Side

EMS_WIDE = 26.6
"""How many em of type a sheet is broad: 12 px where the sheet stands 320 px wide beside a draft on a tablet."""
LEAST_WIDTH = 320.0
BESIDE_A_SIDE_VIEW = 26.0
"""Room for the figures of dimension lines, on each side."""
COLUMN_EM = 7.6
"""How broad the words beside a view stand at least."""
GAP = 5.0
CHANGED = "▲ "
BOLD = 1.08
"""How much wider bold type runs."""

At = tuple[float, float]


class Outlined(NamedTuple):
    """A shape with the place of its origin on the sheet, x right and y down."""

    shape: Shape
    at: At
    is_changed: bool


class Text(NamedTuple):
    x: float
    y: float
    says: str
    anchor: str = "middle"
    is_bold: bool = False
    is_title: bool = False
    """A title stands at the upper end of the room its view has, whatever stands level under it."""


Line = tuple[At, ...]
"""From words to the place they speak of, which is marked with a dot; or a dimension line, which has a tick at each end."""


@dataclass(frozen=True)
class Laid:
    """One view on the sheet with its upper end at 0; as for a LEFT shoe: a RIGHT one's is turned about in the writing."""

    shapes: tuple[Outlined, ...]
    dimensions: tuple[Line, ...]
    leaders: tuple[Line, ...]
    texts: tuple[Text, ...]
    level: float
    """How far down the ground lies, or the back of the heel: both feet's stand level."""
    deep: float


@dataclass(frozen=True)
class Views:
    medial: View
    lateral: View
    above: View
    behind: View

    @property
    def all(self) -> tuple[View, View, View, View]:
        return (self.medial, self.lateral, self.above, self.behind)


Frame = tuple[tuple[int, int], ...]
"""For each view how far down its level lies and how far down its room comes, shared by both feet."""


def width_for(views: Iterable[Views]) -> float:
    """The narrowest sheet on which every view of these shoes has room."""
    wide = [LEAST_WIDTH]
    for each in views:
        wide.append(max(_across(each.medial), _across(each.lateral)) + 2 * BESIDE_A_SIDE_VIEW)
        beside = max(_across(each.above), _across(each.behind)) + 2 * GAP
        wide.append(beside / (1 - 2 * COLUMN_EM / EMS_WIDE))
    return float(-(-max(wide) // 1))


def _across(view: View) -> float:
    """Of what is drawn, without the dimension lines beside it."""
    least_u, _, most_u, _ = view.box
    return most_u - least_u


class Sheet:
    """The views of one shoe laid on a width."""

    def __init__(self, views: Views, *, side: Side, width: float, changed: Collection[str] = ()) -> None:
        self.views, self.side, self.width, self.changed = views, side, width, frozenset(changed)
        self.font = width / EMS_WIDE
        self.row = ROW * self.font
        # What changed is written in bold, which runs wider.
        self.broad = self.font * (BOLD if self.changed else 1.0)

    @cached_property
    def blocks(self) -> tuple[Laid, ...]:
        """Each with its upper end at 0."""
        medial, lateral, above, behind = self.views.all
        return (self._in_rows(medial), self._in_rows(lateral), self._beside(above), self._beside(behind))

    def _in_rows(self, view: View) -> Laid:
        """A side view with words in rows over and under it."""
        least_u, least_v, most_u, most_v = view.box
        zero_u = self.width / 2 - (least_u + most_u) / 2
        over, under = ([call for call in view.calls if call.zone is zone] for zone in (Zone.ABOVE, Zone.BELOW))
        rows_over, rows_under = (
            in_rows([(zero_u + call.at[0], self._says(call)) for call in calls], width=self.width, font=self.broad)
            for calls in (over, under)
        )
        top = self.row * (1.3 + max((each.low for each in rows_over), default=0)) + GAP
        zero_v = top + most_v
        low = zero_v - least_v
        leaders: list[Line] = []
        texts = [*self._titles(view), *self._figures(view, (zero_u, zero_v))]
        for calls, rows, edge, upwards in ((over, rows_over, top - GAP, -1), (under, rows_under, low + GAP, 1)):
            for call, block in zip(calls, rows, strict=True):
                to = (zero_u + call.at[0], zero_v - call.at[1])
                begin = (block.way, edge + upwards * block.rows * self.row)
                leaders.append((begin, (block.way, edge), to) if block.rows else (begin, to))
                first = edge - block.low * self.row if upwards < 0 else edge + block.rows * self.row
                texts += self._lines(block.lines, block.x, first, "middle", call)
        deep = low + (GAP + max(each.low for each in rows_under) * self.row if rows_under else 0)
        return Laid(*self._drawn(view, (zero_u, zero_v)), tuple(leaders), tuple(texts), zero_v, deep)

    def _beside(self, view: View) -> Laid:
        """A view in the middle of the sheet with words on its left and right."""
        least_u, least_v, most_u, most_v = view.box
        zero_u, top = self.width / 2 - (least_u + most_u) / 2, 2.3 * self.row
        zero_v = top + most_v
        low = zero_v - least_v
        room = min(zero_u + least_u, self.width - zero_u - most_u) - GAP
        leaders: list[Line] = []
        texts = [*self._titles(view), *self._figures(view, (zero_u, zero_v))]
        deep = low
        for is_right, calls in enumerate(_on_two_sides(view.calls)):
            # The figure of a dimension line stands on the left.
            wide = room if is_right or not view.dimensions or view.dimensions[0].at_end else room - 2.3 * self.font
            edge = self.width - wide if is_right else wide
            lines = [broken(self._says(call), wide / self.broad) for call in calls]
            highs = [len(each) * self.row for each in lines]
            tops = spread([zero_v - call.at[1] for call in calls], highs, least=top - self.row, most=low)
            for call, words, upper, high in zip(calls, lines, tops, highs, strict=True):
                leaders.append(((edge, upper + high / 2), (zero_u + call.at[0], zero_v - call.at[1])))
                x, anchor = (edge + 2, "start") if is_right else (edge - 2, "end")
                texts += self._lines(words, x, upper, anchor, call)
                deep = max(deep, upper + high)
        return Laid(*self._drawn(view, (zero_u, zero_v)), tuple(leaders), tuple(texts), zero_v, deep)

    def _lines(self, words: Sequence[str], x: float, top: float, anchor: str, call: Call) -> list[Text]:
        is_bold, first = self._is_changed(call), top + 0.88 * self.font
        return [Text(x, first + self.row * at, each, anchor, is_bold) for at, each in enumerate(words)]

    def _titles(self, view: View) -> Iterator[Text]:
        base = self.font
        yield Text(self.width / 2, base, f"{self.side.label}, {view.title}", is_bold=True, is_title=True)
        yield Text(1, base, view.left, "start", is_title=True)
        yield Text(self.width - 1, base, view.right, "end", is_title=True)

    def _drawn(self, view: View, at: At) -> tuple[tuple[Outlined, ...], tuple[Line, ...]]:
        shapes = tuple(Outlined(each, at, each.part in self.changed) for each in (*view.shapes, *view.lines))
        dimensions = tuple(tuple((at[0] + u, at[1] - v) for u, v in (each.start, each.end)) for each in view.dimensions)
        return shapes, dimensions

    def _figures(self, view: View, at: At) -> Iterator[Text]:
        """The figure of each dimension line, beside it."""
        least_u, _, most_u, _ = view.box
        for each in view.dimensions:
            u, v = (each.start[0] + each.end[0]) / 2, (each.start[1] + each.end[1]) / 2
            bold = each.part in self.changed
            if each.at_end:
                high = at[1] - max(each.start[1], each.end[1])
                yield Text(at[0] + u, high - 3, each.says, is_bold=bold)
            elif u < (least_u + most_u) / 2:
                yield Text(at[0] + u - 3, at[1] - v + 0.35 * self.font, each.says, "end", bold)
            else:
                yield Text(at[0] + u + 3, at[1] - v + 0.35 * self.font, each.says, "start", bold)

    def _says(self, call: Call) -> str:
        return (CHANGED if self._is_changed(call) else "") + call.says

    def _is_changed(self, call: Call) -> bool:
        return not self.changed.isdisjoint(call.part.split())


def _on_two_sides(calls: Sequence[Call]) -> tuple[list[Call], list[Call]]:
    """Left and right, from above down: each where its part lies, one whose part lies on both where fewer words are."""
    sides: tuple[list[Call], list[Call]] = ([], [])
    for call in calls:
        if call.also is None:
            sides[call.at[0] > 0].append(call)
    for call in calls:
        if call.also is not None:
            left, right = (sum(len(each.says) for each in side) for side in sides)
            is_right = call.at[0] > 0
            goes_over = (left if is_right else right) < (right if is_right else left)
            sides[is_right is not goes_over].append(
                Call(call.part, call.also, call.says, call.zone) if goes_over else call
            )
    for side in sides:
        side.sort(key=lambda each: -each.at[1])
    return sides


def frame_for(sheets: Sequence[Sheet]) -> Frame:
    """The frame in which the views of these shoes stand level: whole units, so that a small change leaves it as it is."""
    rooms, down = [], 0
    for views in zip(*(sheet.blocks for sheet in sheets), strict=True):
        level = down + ceil(max(view.level for view in views))
        down = level + ceil(max(view.deep - view.level for view in views) + GAP)
        rooms.append((level, down))
    return tuple(rooms)
