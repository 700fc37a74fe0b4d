"""Where the four views of a shoe stand on its sheet: medial, lateral, from above and from behind, one to a millimetre.

Both feet of a pair share one frame, so that LEFT and RIGHT are drawn to one scale and their views stand level.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cases.prescriptions.cut_away.fillings import KINDS
from cases.prescriptions.cut_away.labels import FONT, ROW, broken, in_rows, spread, width_of
from cases.prescriptions.cut_away.sheet import Call, Points, Shape, View, Zone
from shared.sides import Side

LEAST_WIDTH = 340.0
BESIDE_A_SIDE_VIEW = 27.0
ROOM = 130.0
"""How broad the words over and under a side view may stand."""
COLUMN = 72.0
"""How broad the words beside the plan may stand."""
GAP = 6.0
TITLE = 14.0
SWATCH = 16.0
CHANGED = "▲ "


@dataclass(frozen=True)
class Outlined:
    """A shape laid on the sheet, x right and y down."""

    kind: str
    points: Points
    is_open: bool
    is_changed: bool


@dataclass(frozen=True)
class Text:
    x: float
    y: float
    says: str
    anchor: str = "start"
    is_bold: bool = False
    is_key: bool = False
    """The key reads from left to right on both feet's sheets."""


@dataclass(frozen=True)
class Leader:
    """From the words to the place they speak of, which is marked with a dot."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class Swatch:
    kind: str
    x: float
    y: float


@dataclass(frozen=True)
class Laid:
    """Everything on the sheet, as for a LEFT shoe; a RIGHT one's is turned about in the writing."""

    shapes: tuple[Outlined, ...]
    lines: tuple[tuple[float, float, float, float], ...]
    leaders: tuple[Leader, ...]
    texts: tuple[Text, ...]
    swatches: tuple[Swatch, ...] = ()


@dataclass(frozen=True)
class Views:
    medial: View
    lateral: View
    above: View
    behind: View

    @property
    def all(self) -> tuple[View, View, View, View]:
        return (self.medial, self.lateral, self.above, self.behind)


@dataclass(frozen=True)
class Frame:
    """The room for each view, shared by both feet."""

    width: float
    high: tuple[float, float, float]
    """Of the block of the medial view, of the lateral one, of plan and back view."""

    @property
    def height(self) -> float:
        return sum(self.high)


def width_for(views: Iterable[Views]) -> float:
    """The narrowest sheet on which every view of these shoes has room."""
    wide = [LEAST_WIDTH]
    for each in views:
        wide.append(_across(each.medial) + 2 * BESIDE_A_SIDE_VIEW - 24)
        wide.append(_across(each.above) + 2 * (COLUMN + GAP) + _across(each.behind) + 3 * GAP + 12)
    return float(-(-max(wide) // 1))


def _across(view: View) -> float:
    least_u, _, most_u, _ = view.box
    return most_u - least_u


class Sheet:
    """The views of one shoe laid on a width; `frame` sets them level with the other foot's."""

    def __init__(self, views: Views, *, side: Side, width: float, changed: Collection[str] = ()) -> None:
        self.views, self.side, self.width, self.changed = views, side, width, frozenset(changed)

    @cached_property
    def blocks(self) -> tuple["Laid", "Laid", "Laid"]:
        """Each with its upper end at 0."""
        return (self._side_block(self.views.medial), self._side_block(self.views.lateral), self._plan_block())

    @cached_property
    def heights(self) -> tuple[float, float, float]:
        medial, lateral, plan = (_depth(block) + 8 for block in self.blocks)
        return medial, lateral, plan

    def laid(self, frame: Frame) -> Laid:
        """All blocks one under the other, and the key under them."""
        down = [0.0, frame.high[0], frame.high[0] + frame.high[1]]
        blocks = [_moved(block, by) for block, by in zip(self.blocks, down, strict=True)]
        key = self._key(frame.height)
        return Laid(
            shapes=tuple(each for block in blocks for each in block.shapes),
            lines=tuple(each for block in blocks for each in block.lines),
            leaders=tuple(each for block in blocks for each in block.leaders),
            texts=(*(each for block in blocks for each in block.texts), *key.texts),
            swatches=key.swatches,
        )

    def _side_block(self, view: View) -> Laid:
        least_u, least_v, most_u, most_v = view.box
        zero_u = self.width / 2 - (least_u + most_u) / 2
        above = [call for call in view.calls if call.zone is Zone.ABOVE]
        below = [call for call in view.calls if call.zone is Zone.BELOW]
        over = in_rows([(zero_u + call.at[0], self._says(call)) for call in above], width=self.width, room=ROOM)
        under = in_rows([(zero_u + call.at[0], self._says(call)) for call in below], width=self.width, room=ROOM)
        rows_over = max((each.low for each in over), default=0)
        top = TITLE + rows_over * ROW + 4
        zero_v = top + most_v
        leaders, texts = [], list(self._titles(view, (0.0, self.width)))
        for calls, rows, upward in ((above, over, True), (below, under, False)):
            for call, row in zip(calls, rows, strict=True):
                # The first line of the words: its base line.
                base = top - 5 - (row.low - 1) * ROW if upward else zero_v - least_v + (row.top + 1) * ROW + 1
                x = zero_u + call.at[0]
                meets = base + (len(row.lines) - 1) * ROW + 2 if upward else base - 8
                if row.anchor != "middle":
                    meets = base - 8 if upward else base + (len(row.lines) - 1) * ROW + 2
                leaders.append(Leader(x, meets, x, zero_v - call.at[1]))
                aside = {"start": 2, "end": -2, "middle": 0}[row.anchor]
                texts += [
                    Text(x + aside, base + number * ROW, line, row.anchor, self._is_changed(call))
                    for number, line in enumerate(row.lines)
                ]
        return Laid(*self._drawn(view, zero_u, zero_v), tuple(leaders), (*texts, *self._figures(view, zero_u, zero_v)))

    def _plan_block(self) -> Laid:
        above, behind = self.views.above, self.views.behind
        least_u, _, most_u, most_v = above.box
        zero_u, zero_v = COLUMN + GAP - least_u, TITLE + 8 + most_v
        plan_width = zero_u + most_u + GAP + COLUMN
        leaders, texts = [], list(self._titles(above, (0.0, plan_width)))
        for is_right in (False, True):
            edge = zero_u + (most_u + GAP if is_right else least_u - GAP)
            calls = sorted((each for each in above.calls if (each.at[0] > 0) is is_right), key=lambda each: -each.at[1])
            lines = [broken(self._says(call), COLUMN) for call in calls]
            heights = [len(each) * (ROW - 1) for each in lines]
            tops = spread([zero_v - call.at[1] for call in calls], heights, least=TITLE + 6, most=zero_v + 12)
            for call, words, upper, high in zip(calls, lines, tops, heights, strict=True):
                leaders.append(Leader(edge, upper + high / 2, zero_u + call.at[0], zero_v - call.at[1]))
                texts += [
                    Text(
                        edge + (2 if is_right else -2),
                        upper + (ROW - 1) * (number + 0.8),
                        line,
                        "start" if is_right else "end",
                        self._is_changed(call),
                    )
                    for number, line in enumerate(words)
                ]
        back = self._back_block(behind, plan_width + GAP)
        drawn, lines_of_plan = self._drawn(above, zero_u, zero_v)
        return Laid(
            shapes=(*drawn, *back.shapes),
            lines=(*lines_of_plan, *back.lines),
            leaders=(*leaders, *back.leaders),
            texts=(*texts, *self._figures(above, zero_u, zero_v), *back.texts),
        )

    def _back_block(self, view: View, start: float) -> Laid:
        """The back view in the room beside the plan, its words in lines under it."""
        _, least_v, most_u, most_v = view.box
        room = self.width - start
        zero_u, zero_v = start + room - most_u - 2, TITLE + 20 + most_v
        texts = list(self._titles(view, (start, self.width), low=10))
        at = zero_v - least_v + 10
        for call in sorted(view.calls, key=lambda each: each.at[0]):
            lines = broken(self._says(call), room)
            texts += [
                Text(self.width, at + number * (ROW - 1) + 8, line, "end", self._is_changed(call))
                for number, line in enumerate(lines)
            ]
            at += len(lines) * (ROW - 1) + 4
        return Laid(*self._drawn(view, zero_u, zero_v), (), (*texts, *self._figures(view, zero_u, zero_v)))

    def _titles(self, view: View, between: tuple[float, float], *, low: float = 0.0) -> Iterable[Text]:
        start, end = between
        yield Text((start + end) / 2, 9, f"{self.side.label}, {view.title}" if not low else view.title, "middle", True)
        yield Text(start + 1, 9 + low, view.left)
        yield Text(end - 1, 9 + low, view.right, "end")

    def _drawn(
        self, view: View, zero_u: float, zero_v: float
    ) -> tuple[tuple[Outlined, ...], tuple[tuple[float, float, float, float], ...]]:
        def laid(shape: Shape) -> Outlined:
            points = shape.points * [1, -1] + [zero_u, zero_v]
            return Outlined(shape.kind, points, shape.is_open, shape.part in self.changed)

        lines = tuple(
            (zero_u + each.start[0], zero_v - each.start[1], zero_u + each.end[0], zero_v - each.end[1])
            for each in view.dimensions
        )
        return tuple(laid(shape) for shape in (*view.shapes, *view.lines)), lines

    def _figures(self, view: View, zero_u: float, zero_v: float) -> Iterable[Text]:
        """The figure of each dimension line, beside it."""
        least_u, _, most_u, _ = view.box
        for each in view.dimensions:
            u, v = (each.start[0] + each.end[0]) / 2, (each.start[1] + each.end[1]) / 2
            bold = each.part in self.changed
            if each.at_end and abs(each.start[0] - each.end[0]) < 0.1:
                yield Text(zero_u + u, zero_v - max(each.start[1], each.end[1]) - 2, each.says, "middle", bold)
            elif each.at_end:
                yield Text(zero_u + u, zero_v - v + 9, each.says, "middle", bold)
            elif u < (least_u + most_u) / 2:
                yield Text(zero_u + u - 3, zero_v - v + 3, each.says, "end", bold)
            else:
                yield Text(zero_u + u + 3, zero_v - v + 3, each.says, "start", bold)

    def _says(self, call: Call) -> str:
        return (CHANGED if self._is_changed(call) else "") + call.says

    def _is_changed(self, call: Call) -> bool:
        return not self.changed.isdisjoint(call.part.split())

    def _key(self, top: float) -> Laid:
        """A swatch and a word for each filling that occurs."""
        kinds = dict.fromkeys(shape.kind for view in self.views.all for shape in (*view.shapes, *view.lines))
        x, y = 0.0, top + 8
        swatches, texts = [], []
        entries = [(kind, KINDS[kind].word) for kind in KINDS if kind in kinds and KINDS[kind].word]
        for kind, word in entries:
            wide = SWATCH + 3 + width_of(word) + 8
            if x + wide > self.width + 8:
                x, y = 0.0, y + ROW + 1
            swatches.append(Swatch(kind, x, y - 7))
            texts.append(Text(x + SWATCH + 3, y, word, is_key=True))
            x += wide
        return Laid((), (), (), tuple(texts), tuple(swatches))


def frame_for(sheets: Sequence[Sheet]) -> Frame:
    """The frame in which the views of these shoes stand level."""
    medial, lateral, plan = (max(each) for each in zip(*(sheet.heights for sheet in sheets), strict=True))
    return Frame(width=sheets[0].width, high=(medial, lateral, plan))


def depth(laid: Laid) -> float:
    """How far down anything on a sheet comes."""
    return _depth(laid)


def _depth(laid: Laid) -> float:
    low = [float(shape.points[:, 1].max()) for shape in laid.shapes]
    return max([*low, *(text.y + FONT * 0.3 for text in laid.texts)])


def _moved(laid: Laid, down: float) -> Laid:
    return Laid(
        shapes=tuple(
            Outlined(each.kind, each.points + np.array([0.0, down]), each.is_open, each.is_changed)
            for each in laid.shapes
        ),
        lines=tuple((x1, y1 + down, x2, y2 + down) for x1, y1, x2, y2 in laid.lines),
        leaders=tuple(Leader(each.x1, each.y1 + down, each.x2, each.y2 + down) for each in laid.leaders),
        texts=tuple(Text(each.x, each.y + down, each.says, each.anchor, each.is_bold) for each in laid.texts),
    )
