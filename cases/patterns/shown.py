"""What the pages of patterns show of them, in plain data."""

from collections.abc import Iterable
from dataclasses import dataclass

from cases.bench.models import DifferenceState
from cases.patterns.drafting.changes import figures_of
from cases.patterns.drafting.parts import cut_as, cut_words
from cases.patterns.drafting.pieces import Piece
from cases.patterns.models import PatternAdjustment
from cases.patterns.on_screen import ScreenPiece, drawn_piece
from cases.patterns.queries import Patterns, Template
from shared.sides import SIDES, Side

LIST_PX_A_MM = 1.3


@dataclass(frozen=True)
class PieceShown:
    """One piece on the page of all of them."""

    piece: Piece
    drawing: ScreenPiece


@dataclass(frozen=True)
class PartShown:
    """What is cut of one part: for either foot, or LEFT and RIGHT side by side; and where an own template is used."""

    key: str
    name: str
    either: tuple[PieceShown, ...]
    left: tuple[PieceShown, ...]
    right: tuple[PieceShown, ...]
    left_template: Template | None
    right_template: Template | None

    @property
    def feet(self) -> tuple[tuple[Side, tuple[PieceShown, ...], Template | None], ...]:
        return ((Side.LEFT, self.left, self.left_template), (Side.RIGHT, self.right, self.right_template))

    @property
    def first_key(self) -> str:
        """A piece by which an own template for this part is asked for."""
        shown = (*self.either, *self.left, *self.right)
        return shown[0].piece.key if shown else ""


@dataclass(frozen=True)
class AdjustmentShown:
    """One adjustment with how it stands."""

    made: PatternAdjustment
    state: str
    may_be_taken_back: bool


@dataclass(frozen=True)
class Choice:
    """A figure or a point of a piece that may be chosen. `now` says what is prescribed, or how it was shifted."""

    key: str
    words: str
    number: int | None
    now: str
    latest: PatternAdjustment | None
    is_chosen: bool


def parts_shown(shown: Patterns) -> tuple[PartShown, ...]:
    """The parts in the order in which they are drafted, each with the pieces of both feet."""
    cut, left_out = shown.drafted.pieces, shown.drafted.left_out
    names = {cut_as(piece): cut_words(piece) for piece in (*cut, *left_out)}
    order = {cut_as(piece): None for side in SIDES for piece in (*cut, *left_out) if side in piece.serves}
    used = {(each.side, each.part): each for each in shown.templates}
    return tuple(
        PartShown(
            key=key,
            name=names[key],
            either=_shown(piece for piece in cut if cut_as(piece) == key and len(piece.serves) > 1),
            left=_shown(piece for piece in cut if cut_as(piece) == key and piece.serves == (Side.LEFT,)),
            right=_shown(piece for piece in cut if cut_as(piece) == key and piece.serves == (Side.RIGHT,)),
            left_template=used.get((Side.LEFT, key)),
            right_template=used.get((Side.RIGHT, key)),
        )
        for key in sorted(order, key=_place)
    )


ORDER = (
    "stiffener",
    "toe_puff",
    "insole",
    "rear_doubled",
    "forepart_cushion",
    "full_cushion",
    "heel_cushion",
    "bar",
    "dome",
    "toe_prop",
    "shank",
    "carbon_plies",
    "raise_layers",
    "heel_lift",
    "sock",
)
"""As they are cut: what is soaked first, then what lies on the insole, then what lies under it."""


def _place(key: str) -> int:
    return ORDER.index(key) if key in ORDER else len(ORDER)


def _shown(pieces: Iterable[Piece]) -> tuple[PieceShown, ...]:
    return tuple(PieceShown(piece, drawn_piece(piece, px_a_mm=LIST_PX_A_MM)) for piece in pieces)


def adjustments_shown(shown: Patterns, *, side: Side | None = None, piece: str = "") -> tuple[AdjustmentShown, ...]:
    """The adjustments of a pair, or of one piece, the latest first, each with its state in words."""
    of_piece = [each for each in shown.adjustments if side is None or (each.side, each.piece) == (side, piece)]
    followed = {each.follows_id for each in shown.adjustments}
    return tuple(_adjustment_shown(each, shown, is_followed=each.pk in followed) for each in of_piece)


def _adjustment_shown(made: PatternAdjustment, shown: Patterns, *, is_followed: bool) -> AdjustmentShown:
    difference = made.difference
    state = DifferenceState(difference.state) if difference else None
    ended = _ended(made, is_followed=is_followed)
    is_settled = state in (DifferenceState.ACCEPTED, DifferenceState.UNDONE)
    return AdjustmentShown(
        made, ended or _lapsed(made, shown) or STANDS[state], may_be_taken_back=not ended and not is_settled
    )


STANDS = {
    None: "holds, within the tolerance of its check",
    DifferenceState.OPEN: "holds, a difference that waits for a clinician",
    DifferenceState.ACCEPTED: "holds, accepted by a clinician",
    DifferenceState.UNDONE: "holds no more: to be cut as prescribed",
}


def _ended(made: PatternAdjustment, *, is_followed: bool) -> str:
    if made.taken_back_at is not None:
        return f"taken back by {made.taken_back_by}"
    return "adjusted anew since" if is_followed else ""


def _lapsed(made: PatternAdjustment, shown: Patterns) -> str:
    """Why the drafting could not take an adjustment that otherwise holds, or nothing."""
    if (made.side, made.what) in {(each.side, each.figure) for each in shown.drafted.lapsed}:
        return "holds no more: prescribed otherwise since"
    if (made.side, made.piece, made.what) in {(each.side, each.piece, each.point) for each in shown.drafted.lost}:
        return "holds no more: the piece has no such point now"
    return ""


def choices_of(shown: Patterns, side: Side, piece: Piece, what: str) -> tuple[Choice, ...]:
    """The figures of a piece, then its points with their numbers."""
    figures = [
        (figure.key, figure.words, None, f"{mm:g} mm prescribed")
        for figure, mm in figures_of(shown.shoes[side], piece=piece.key)
    ]
    points = [(handle.key, handle.words, number, "") for number, handle in enumerate(piece.handles, start=1)]
    return tuple(
        Choice(key, words, number, now, shown.latest(side=side, piece=piece.key, what=key), is_chosen=key == what)
        for key, words, number, now in (*figures, *points)
    )
