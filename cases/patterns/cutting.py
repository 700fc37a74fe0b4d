"""What is cut for a pair, or for all pairs at a bench: area by material with its waste, weights, what is split to what.

Areas are those of the cut lines, exact for the drawing; waste is the workshop's setting, from memory; weights go from the
lowest to the highest density of the workshop's table of materials.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from enum import Enum

from cases.patterns.drafting.parts import cut_words
from cases.patterns.drafting.pieces import Piece
from cases.prescriptions.weight import Density, density_for
from cases.prescriptions.weight_of_shoe import BELLY, CARBON, CUSHION, LINING, RAISE, SHOULDER, STEEL
from shared.sides import Side

ORDINARY: Mapping[str, str] = {
    "stiffener": BELLY,
    "toe_puff": BELLY,
    "insole": SHOULDER,
    "rear_doubled": SHOULDER,
    "sock": LINING,
    "forepart_cushion": CUSHION,
    "full_cushion": CUSHION,
    "heel_cushion": CUSHION,
    "toe_prop": CUSHION,
    "bar": CUSHION,
    "dome": CUSHION,
    "shank": STEEL,
    "heel_lift": SHOULDER,
}
"""What a piece is likely made of where nobody said it, by its key; what is not here by its part."""
ORDINARY_OF_PART: Mapping[str, str] = {"carbon_zone": CARBON, "height_raise": RAISE}


@dataclass(frozen=True)
class Waste:
    """What is lost beside the pieces, in per cent of their area: the workshop's dated settings of the same names."""

    waste_leather_percent: float
    waste_board_percent: float
    waste_foam_percent: float
    waste_cloth_percent: float


EITHER = "either foot"
FEET = (Side.LEFT.label, Side.RIGHT.label, EITHER)
WASTES = tuple(each.name for each in fields(Waste))


class Stock(Enum):
    """What a material comes as. The value is its word on the list; metal is counted and not cut from a sheet."""

    LEATHER = "leather"
    BOARD = "board, cork, sheet"
    FOAM = "foam"
    CLOTH = "cloth"
    METAL = "metal, counted"


@dataclass(frozen=True)
class Cut:
    """A piece to be cut, of the pair whose number this is."""

    pair: int
    piece: Piece

    @property
    def how_many(self) -> int:
        """For all feet it serves."""
        return self.piece.count * len(self.piece.serves)

    @property
    def feet(self) -> str:
        """LEFT, RIGHT, or that it serves either foot."""
        serves = self.piece.serves
        return serves[0].label if len(serves) == 1 else EITHER


@dataclass(frozen=True)
class CuttingRow:
    """All pieces of one material and thickness. Areas in dm², weights in g, thickness in mm."""

    stock: Stock
    material: str
    thickness_mm: float | None
    split_to_mm: float | None
    cuts: tuple[Cut, ...]
    waste_percent: float
    density: Density

    @property
    def stock_beside(self) -> str:
        """What kind of stock it is, where the material's own words do not say it."""
        return "" if self.stock.value in self.material else self.stock.value

    @property
    def how_many(self) -> int:
        return sum(cut.how_many for cut in self.cuts)

    @property
    def net_dm2(self) -> float:
        """The pieces alone."""
        return sum(cut.piece.area_cm2 * cut.how_many for cut in self.cuts) / 100

    @property
    def needed_dm2(self) -> float | None:
        """With the waste; None for what is counted."""
        return None if self.stock is Stock.METAL else self.net_dm2 * (1 + self.waste_percent / 100)

    @property
    def weight_g(self) -> tuple[float, float] | None:
        """From the lowest to the highest density; None where a thickness is not said."""
        low = high = 0.0
        for cut in self.cuts:
            weights = [cut.piece.weight_g(each) for each in (self.density.low, self.density.high)]
            if weights[0] is None or weights[1] is None:
                return None
            low, high = low + weights[0] * cut.how_many, high + weights[1] * cut.how_many
        return low, high

    @property
    def weight_words(self) -> str:
        """From the lightest to the heaviest, in whole g."""
        if self.weight_g is None:
            return "not known"
        low, high = (f"{grams:.0f}" for grams in self.weight_g)
        return f"{low} g" if low == high else f"{low} to {high} g"

    @property
    def what(self) -> tuple[str, ...]:
        """What is cut, each with how many: 'Insole: LEFT 1, RIGHT 1'."""
        by_name: dict[str, dict[str, int]] = {}
        for cut in self.cuts:
            feet = by_name.setdefault(cut_words(cut.piece), {})
            feet[cut.feet] = feet.get(cut.feet, 0) + cut.how_many
        return tuple(
            f"{name}: {', '.join(f'{feet} {of_name[feet]}' for feet in FEET if feet in of_name)}"
            for name, of_name in by_name.items()
        )

    @property
    def pairs(self) -> tuple[int, ...]:
        return tuple(sorted({cut.pair for cut in self.cuts}))


@dataclass(frozen=True)
class Total:
    """All that is needed of one stock, in dm², and its weights in g."""

    stock: Stock
    how_many: int
    net_dm2: float
    needed_dm2: float
    waste_percent: float


@dataclass(frozen=True)
class CuttingList:
    """Rows by stock, material and thickness."""

    rows: tuple[CuttingRow, ...]

    @property
    def totals(self) -> tuple[Total, ...]:
        """For each stock that is bought by area."""
        return tuple(
            Total(
                stock,
                sum(row.how_many for row in rows),
                sum(row.net_dm2 for row in rows),
                sum(row.needed_dm2 or 0 for row in rows),
                rows[0].waste_percent,
            )
            for stock in Stock
            if stock is not Stock.METAL and (rows := [row for row in self.rows if row.stock is stock])
        )


def cutting_list(cuts: Iterable[Cut], *, waste: Waste, densities: Mapping[str, Density]) -> CuttingList:
    """The pieces put together by material and thickness. Raises `KeyError` where an ordinary material is not in the table."""
    together: dict[tuple[str, float, float], list[tuple[Cut, Density]]] = {}
    for cut in cuts:
        piece = cut.piece
        density = density_for(piece.material, otherwise=ordinary(piece), table=densities)
        said = piece.material or f"material not said: as {density.material}"
        key = (said, piece.thickness_mm or 0.0, piece.split_to_mm or 0.0)
        together.setdefault(key, []).append((cut, density))
    rows = [_row(material, of_key, waste) for (material, _, _), of_key in together.items()]
    order = list(Stock)
    return CuttingList(
        tuple(sorted(rows, key=lambda row: (order.index(row.stock), row.material, row.thickness_mm or 0)))
    )


def _row(material: str, cuts: Sequence[tuple[Cut, Density]], waste: Waste) -> CuttingRow:
    piece, density = cuts[0][0].piece, cuts[0][1]
    stock = stock_of(piece, density)
    return CuttingRow(
        stock=stock,
        material=material,
        thickness_mm=piece.thickness_mm,
        split_to_mm=piece.split_to_mm,
        cuts=tuple(cut for cut, _ in cuts),
        waste_percent=waste_percent(stock, waste),
        density=density,
    )


def ordinary(piece: Piece) -> str:
    """The row of the table of materials that stands in where the material is not said, or not known."""
    return ORDINARY.get(piece.key) or ORDINARY_OF_PART.get(piece.part, SHOULDER)


def stock_of(piece: Piece, density: Density) -> Stock:
    """What the material of a piece comes as: by its kind in the table, and by its own words for board and cloth."""
    words = piece.material.casefold()
    if "cloth" in words:
        return Stock.CLOTH
    if density.kind == "metal":
        return Stock.METAL
    if density.kind == "foam":
        return Stock.FOAM
    if density.kind == "leather" and "board" not in f"{words} {density.material}":
        return Stock.LEATHER
    return Stock.BOARD


def waste_percent(stock: Stock, waste: Waste) -> float:
    """What is lost beside the pieces of this stock; nothing of what is counted."""
    return {
        Stock.LEATHER: waste.waste_leather_percent,
        Stock.BOARD: waste.waste_board_percent,
        Stock.FOAM: waste.waste_foam_percent,
        Stock.CLOTH: waste.waste_cloth_percent,
        Stock.METAL: 0.0,
    }[stock]
