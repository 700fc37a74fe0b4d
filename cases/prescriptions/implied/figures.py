"""What the workshop and the client put into it: dated figures, materials, promises. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from cases.prescriptions.weighed_here import WeighedHere
from cases.prescriptions.weight import Density
from cases.prescriptions.weight_of_shoe import WeightFigures


@dataclass(frozen=True)
class Modulus:
    """The range of one material's modulus in bending, MPa."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Stock:
    """The workshop's materials by name: what they weigh, and how stiff they are where that is known."""

    densities: Mapping[str, Density] = field(hash=False)
    moduli: Mapping[str, Modulus] = field(default_factory=dict, hash=False)


@dataclass(frozen=True)
class ImpliedFigures:
    """The workshop's figures beside those of weight; each a dated setting of the same name."""

    rigidity_bends_below: float = 0.03
    rigidity_rigid_above: float = 0.10
    rigidity_free_length_mm: float = 60.0
    carbon_plies_least: float = 4
    carbon_plies_firm: float = 3
    carbon_plies_rigid: float = 5
    carbon_plies_rigid_heavy: float = 6
    carbon_ply_mm: float = 0.28
    carbon_modulus_gpa: float = 40.0
    carbon_edge_in_mm: float = 9.0
    insole_cut_oversize_mm: float = 9.0
    puff_margin_mm: float = 12.0
    puff_wall_fade_mm: float = 12.0
    scoured_rim_mm: float = 11.0


@dataclass(frozen=True)
class Promised:
    """What the client was promised; None where nothing was."""

    weight_limit_g: float | None = None
    heel_limit_mm: float | None = None


@dataclass(frozen=True)
class Workshop:
    """Everything of the workshop that a panel is worked out with."""

    stock: Stock
    weight: WeightFigures = WeightFigures()
    weighed: WeighedHere = WeighedHere()
    figures: ImpliedFigures = ImpliedFigures()
