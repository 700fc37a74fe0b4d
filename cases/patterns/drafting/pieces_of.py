"""All pieces of a pair: drafted foot by foot, adjusted as the maker said, and those that serve either foot put together.

The figures that a maker changed are changed on the shoe before its pieces are drafted, so that everything which hangs on
them follows; his shifted points are moved on the drafted piece.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely

from cases.patterns.drafting.changes import EXACT_MM, FIGURE, Changes, FigureChange, PointShift
from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.in_the_insole import IN_THE_INSOLE
from cases.patterns.drafting.insole import insole
from cases.patterns.drafting.parts import cut_as
from cases.patterns.drafting.pieces import Piece, shifted
from cases.patterns.drafting.raise_layers import raise_layers
from cases.patterns.drafting.stiffener import stiffener
from cases.patterns.drafting.toe_puff import toe_puff
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import SIDES, Side

ALIKE_MM = 0.5
"""Two feet's pieces nearer to each other than this all round are one piece. From memory."""

Draft = Callable[[Shoe, PatternFigures], Piece | tuple[Piece, ...] | None]
DRAFTS: tuple[tuple[str, Draft], ...] = (
    ("stiffener", stiffener),
    ("toe puff", toe_puff),
    ("insole", insole),
    *IN_THE_INSOLE,
    ("raise layers", raise_layers),
)
"""What is drafted of each foot, in the order in which it stands on a sheet."""


@dataclass(frozen=True)
class NotDrafted:
    """What could not be drafted of one foot, and why."""

    side: Side
    name: str
    why: str


@dataclass(frozen=True)
class Drafted:
    """The pieces of a pair, LEFT before RIGHT, those that serve either foot first.

    `lapsed` are changes of a figure that is prescribed otherwise by now, `lost` shifts of a point that the piece has no
    more or that its cut line cannot follow: neither holds. `left_out` are pieces that are cut by an own template instead.
    `shoes` are the shoes as they were drafted, with the changed figures.
    """

    pieces: tuple[Piece, ...]
    shoes: Mapping[Side, Shoe]
    not_drafted: tuple[NotDrafted, ...] = ()
    lapsed: tuple[FigureChange, ...] = ()
    lost: tuple[PointShift, ...] = ()
    left_out: tuple[Piece, ...] = ()

    def of(self, side: Side) -> tuple[Piece, ...]:
        """The pieces that are cut for one foot."""
        return tuple(piece for piece in self.pieces if side in piece.serves)

    def piece(self, side: Side, key: str) -> Piece | None:
        return next((piece for piece in self.of(side) if piece.key == key), None)


def pieces_of(shoes: Mapping[Side, Shoe], figures: PatternFigures, changes: Changes | None = None) -> Drafted:
    """Every piece of a pair's shoes, in mm. What cannot be drafted is said, and does not keep the rest from being cut."""
    changes = changes or Changes()
    changed, lapsed = _with_figures(shoes, changes.figures)
    drafts = [_drafted(shoe, figures) for _, shoe in sorted(changed.items(), key=lambda item: SIDES.index(item[0]))]
    held = [change for change in changes.figures if change not in lapsed]
    pieces = [_told(piece, held) for of_foot, _ in drafts for piece in of_foot]
    own = [piece for piece in pieces if (piece.serves[0], cut_as(piece)) in changes.own]
    kept = [piece for piece in pieces if (piece.serves[0], cut_as(piece)) not in changes.own]
    moved, lost = _with_shifts(kept, changes.shifts)
    return Drafted(
        pieces=_together(moved, touched={(each.side, each.piece) for each in changes.shifts}),
        shoes=changed,
        not_drafted=tuple(each for _, failed in drafts for each in failed),
        lapsed=lapsed,
        lost=lost,
        left_out=tuple(replace(piece, serves=piece.serves[:1]) for piece in own),
    )


def _with_figures(
    shoes: Mapping[Side, Shoe], changes: Sequence[FigureChange]
) -> tuple[dict[Side, Shoe], tuple[FigureChange, ...]]:
    """The shoes with the changed figures, and the changes that hold no more."""
    changed, lapsed = dict(shoes), []
    for change in changes:
        figure, shoe = FIGURE.get(change.figure), shoes.get(change.side)
        now = figure.now(shoe) if figure and shoe else None
        if figure is None or now is None or abs(now - change.from_mm) > EXACT_MM:
            lapsed.append(change)
        else:
            changed[change.side] = figure.put(changed[change.side], change.to_mm)
    return changed, tuple(lapsed)


def _drafted(shoe: Shoe, figures: PatternFigures) -> tuple[list[Piece], list[NotDrafted]]:
    """The pieces of one foot, each serving that foot alone or either."""
    pieces: list[Piece] = []
    failed: list[NotDrafted] = []
    for name, draft in DRAFTS:
        try:
            found = draft(shoe, figures)
        except BadInput as why:
            failed.append(NotDrafted(shoe.side, name, str(why)))
            continue
        several = found if isinstance(found, tuple) else (found,)
        # Its own foot first: what serves either is put together with the other foot's below.
        pieces.extend(
            replace(piece, serves=(shoe.side, *(side for side in piece.serves if side is not shoe.side)))
            for piece in several
            if piece is not None
        )
    return pieces, failed


def _told(piece: Piece, changes: Sequence[FigureChange]) -> Piece:
    """The piece with words for each of its figures that a maker changed: the sheet says what is not as prescribed."""
    said = [
        f"adjusted: {FIGURE[change.figure].words} {change.to_mm:g} mm, {change.from_mm:g} mm is prescribed"
        for change in changes
        if change.side is piece.serves[0] and FIGURE[change.figure].piece == piece.key
    ]
    return replace(piece, words=(*piece.words, *said)) if said else piece


def _with_shifts(pieces: Sequence[Piece], shifts: Sequence[PointShift]) -> tuple[list[Piece], tuple[PointShift, ...]]:
    moved, lost = list(pieces), []
    for shift in shifts:
        at = next(
            (i for i, piece in enumerate(moved) if piece.serves[0] is shift.side and piece.key == shift.piece), None
        )
        if at is None:
            lost.append(shift)
            continue
        try:
            words = {handle.key: handle.words for handle in moved[at].handles}[shift.point]
            moved[at] = shifted(moved[at], shift.point, medial_mm=shift.medial_mm, along_mm=shift.along_mm)
            moved[at] = replace(moved[at], words=(*moved[at].words, f"adjusted: {words} shifted"))
        except (KeyError, BadInput):
            lost.append(shift)
    return moved, tuple(lost)


def _together(pieces: Sequence[Piece], *, touched: set[tuple[Side, str]]) -> tuple[Piece, ...]:
    """What serves either foot once, where both feet's are alike and untouched; all else for its own foot."""
    by_foot = {(piece.serves[0], piece.key): piece for piece in pieces}
    either, single = [], []
    for (side, key), piece in by_foot.items():
        fellow = by_foot.get((side.other, key))
        serves_either = (
            fellow is not None
            and min(len(piece.serves), len(fellow.serves)) > 1
            and not touched & {(side, key), (side.other, key)}
            and are_alike(piece, fellow)
        )
        if not serves_either:
            single.append(replace(piece, serves=(side,)))
        elif side is Side.LEFT:
            either.append(replace(piece, serves=SIDES))
    return (*either, *single)


def are_alike(one: Piece, other: Piece) -> bool:
    """Whether two feet's pieces may be cut as one: material and thickness the same, the cut line within 0.5 mm."""
    if (one.material, one.thickness_mm, one.split_to_mm, one.count, len(one.holes)) != (
        other.material,
        other.thickness_mm,
        other.split_to_mm,
        other.count,
        len(other.holes),
    ):
        return False
    return float(shapely.hausdorff_distance(one.polygon, other.polygon, densify=0.2)) <= ALIKE_MM
