"""The cut-aways of one foot or two, in one frame, and what differs between those of two versions."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields
from functools import lru_cache

from cases.prescriptions.cut_away.above import view_from_above
from cases.prescriptions.cut_away.behind import view_from_behind
from cases.prescriptions.cut_away.layout import Frame, Sheet, Views, frame_for, width_for
from cases.prescriptions.cut_away.side import view_from_the_side
from cases.prescriptions.cut_away.svg import svg_of
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import SIDES, Edge, Side

FEET_KEPT = 64
"""How many drawn feet are kept: while a person writes on one foot, the other is not drawn again."""


class Svg(str):
    """SVG text of our own writing, every word in it escaped: a page takes it as it is."""

    __slots__ = ()

    def __html__(self) -> str:
        return self


@dataclass(frozen=True)
class CutAway:
    """The drawing of one shoe. Where its form cannot be drawn, `not_drawn` says why and `svg` is empty."""

    side: Side
    drawn_from: str
    svg: Svg = Svg()
    not_drawn: str = ""
    has_changes: bool = False


def cut_aways_of(
    shoes: Mapping[Side, Shoe], *, prefix: str = "cut", changed: Mapping[Side, Collection[str]] | None = None
) -> tuple[CutAway, ...]:
    """The drawings of a pair, LEFT first, level and to one scale.

    `prefix` keeps names apart where a page shows several; `changed` names the parts of each foot to be marked.
    """
    marked = {side: frozenset((changed or {}).get(side, ())) for side in SIDES}
    views: dict[Side, Views] = {}
    refused: dict[Side, str] = {}
    for side in SIDES:
        if side in shoes:
            try:
                views[side] = views_of(shoes[side])
            except BadInput as bad:
                refused[side] = str(bad)
    width = width_for(views.values())
    sheets = {side: _sheet(shoes[side], width, marked[side]) for side in views}
    frame = frame_for(list(sheets.values())) if sheets else ()
    return tuple(
        CutAway(side, shoe.form.drawn_from, not_drawn=refused[side])
        if side in refused
        else CutAway(
            side,
            shoe.form.drawn_from,
            _svg(shoe, width, marked[side], frame, prefix),
            has_changes=bool(marked[side]),
        )
        for side, shoe in ((side, shoes[side]) for side in SIDES if side in shoes)
    )


@lru_cache(maxsize=FEET_KEPT)
def views_of(shoe: Shoe) -> Views:
    """The four views of one shoe. Raises `BadInput` where the form under it cannot be drawn."""
    return Views(
        medial=view_from_the_side(shoe, Edge.MEDIAL),
        lateral=view_from_the_side(shoe, Edge.LATERAL),
        above=view_from_above(shoe),
        behind=view_from_behind(shoe),
    )


@lru_cache(maxsize=FEET_KEPT)
def _sheet(shoe: Shoe, width: float, changed: frozenset[str]) -> Sheet:
    return Sheet(views_of(shoe), side=shoe.side, width=width, changed=changed)


@lru_cache(maxsize=FEET_KEPT)
def _svg(shoe: Shoe, width: float, changed: frozenset[str], frame: Frame, prefix: str) -> Svg:
    sheet = _sheet(shoe, width, changed)
    says = in_words(sheet.views, side=shoe.side, changed=changed)
    return Svg(svg_of(sheet, frame, says=says, prefix=f"{prefix}-{shoe.side.value}"))


def in_words(views: Views, *, side: Side, changed: Collection[str] = ()) -> str:
    """What the drawing says, for who cannot see it."""
    told = dict.fromkeys(
        ("" if set(changed).isdisjoint(call.part.split()) else "changed: ") + call.says
        for view in views.all
        for call in view.calls
        if call.part
    )
    return f"{side.label} shoe cut open: {'; '.join(told) or 'nothing is prescribed yet'}"


def changed_parts(old: Shoe | None, new: Shoe) -> frozenset[str]:
    """The names of the parts that are not what they were."""
    if old is None:
        return frozenset()
    names = {field.name for field in fields(Shoe)} - {"side", "form", "is_built_here"}
    return frozenset(name for name in names if getattr(old, name) != getattr(new, name))
