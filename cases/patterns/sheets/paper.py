"""A pattern sheet in plain data: lines and words in millimetres of its paper, x to the right and y down from its corner."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum, StrEnum

from cases.patterns.drafting.pieces import LineKind, Piece, Points
from shared.sides import Side

MARGIN_MM = 10.0
"""Left white round the edge: no printer in a workshop is trusted to print nearer."""


class PaperSize(StrEnum):
    """What a workshop's printer takes."""

    A4 = "a4"
    A3 = "a3"

    @property
    def label(self) -> str:
        return self.value.upper()

    @property
    def upright_mm(self) -> tuple[float, float]:
        """Width and height, the short edge at the bottom. ISO 216."""
        return (210.0, 297.0) if self is PaperSize.A4 else (297.0, 420.0)


class Group(StrEnum):
    """Pieces that may share a sheet or a file: a LEFT and a RIGHT piece never do."""

    LEFT = "left"
    RIGHT = "right"
    EITHER = "either"

    @property
    def label(self) -> str:
        return "EITHER FOOT" if self is Group.EITHER else self.value.upper()

    @property
    def lies_as(self) -> Side:
        """The side as which its pieces are laid on paper; what serves either foot is laid as LEFT."""
        return Side.RIGHT if self is Group.RIGHT else Side.LEFT


def group_of(piece: Piece) -> Group:
    return Group.EITHER if len(piece.serves) > 1 else Group(piece.serves[0].value)


@dataclass(frozen=True)
class Heading:
    """What every sheet and file says it belongs to. The client is there as the record number, never by name.

    `drafted_from` is the last of each side in words, without the side, which the sheet says: "last 77, state 3".
    """

    pair_number: str
    record_number: str
    version: int
    signed_on: date
    drafted_from: tuple[tuple[Side, str], ...] = ()

    def lasts_of(self, group: Group) -> str:
        """What a sheet of this group was drafted from: one for a side names that side's last alone."""
        words = [words for side, words in self.drafted_from if group in (Group.EITHER, Group(side.value))]
        return "; ".join(dict.fromkeys(words))


class Mark(Enum):
    """Lines of a sheet that are no part of a piece. The value is the name of their layer in a file."""

    CHECK_BAR = "check bar"
    REGISTER = "register mark"
    LEADER = "leader"


@dataclass(frozen=True)
class Stroke:
    """A line as it lies on the sheet. `piece` is the key of the piece it belongs to; `says` are the words it asks for."""

    kind: LineKind | Mark
    points: Points
    closed: bool = False
    piece: str = ""
    says: str = ""


@dataclass(frozen=True)
class Word:
    """A line of words: `x`, `y` is the middle of its foot, `size_mm` the height of the type, turned clockwise."""

    x: float
    y: float
    says: str
    size_mm: float
    turned_deg: float = 0.0
    is_bold: bool = False


@dataclass(frozen=True)
class Tile:
    """Which part of a piece that is larger than the paper: rows and columns are counted from 1, from the top left."""

    row: int
    column: int
    rows: int
    columns: int

    @property
    def label(self) -> str:
        return f"row {self.row}, column {self.column}"


@dataclass(frozen=True)
class Sheet:
    """One sheet of paper. `names` are those of the pieces on it; `tile` is None where they are on it whole."""

    number: int
    of: int
    group: Group
    size: PaperSize
    is_landscape: bool
    heading: Heading
    names: tuple[str, ...]
    strokes: tuple[Stroke, ...]
    words: tuple[Word, ...]
    tile: Tile | None = None

    @property
    def width_mm(self) -> float:
        return self.size.upright_mm[1 if self.is_landscape else 0]

    @property
    def height_mm(self) -> float:
        return self.size.upright_mm[0 if self.is_landscape else 1]


def groups_in(pieces: Iterable[Piece]) -> tuple[Group, ...]:
    """The groups that there are pieces of: LEFT, RIGHT, either foot."""
    found = {group_of(piece) for piece in pieces}
    return tuple(group for group in Group if group in found)
