"""How stiff a forepart is: plies, layered sections, and what a hand feels when it bends the shoe.

Lengths in mm, moduli in MPa (N/mm²), stiffness over a free length in N·m per degree.

Sources. Ply thickness and fibre content: areal-weight method, as in Geerts R, Calculating laminate thickness. Layered
sections: transformed section, as in Gere JM, Timoshenko SP, Mechanics of Materials (method read second-hand).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shared.calculations import BadInput, check_within
from shared.workings import Status, Workings

AREAL_WEIGHT = "areal-weight method: Geerts R, Calculating laminate thickness"
TRANSFORMED_SECTION = "transformed section: Gere JM, Timoshenko SP, Mechanics of Materials (method, second-hand)"
ONE_BEND = "a beam under one moment: end rotation = M·L / EI (textbook, from memory)"
MOISTURE = "Leather changes its stiffness with moisture by half and more: the bend test on the shoe decides."
HEAVY_KG = 95
"""A rigid forepart under a heavier person takes a ply more. Common practice, no source."""
FATIGUE = "Fatigue at the edge of the zone, not stiffness, decides how few plies hold: the bench's least stands."

MOST_PLIES = 20


@dataclass(frozen=True)
class Layer:
    """One layer across the shoe, from the bottom up."""

    thickness_mm: float
    modulus_mpa: float
    width_mm: float


@dataclass(frozen=True)
class Ply:
    """One ply of cloth in resin."""

    thickness_mm: float
    modulus_mpa: float
    width_mm: float


@dataclass(frozen=True)
class PlyThickness:
    thickness_mm: float
    workings: Workings


@dataclass(frozen=True)
class FibreVolume:
    fibre_volume_fraction: float
    workings: Workings


@dataclass(frozen=True)
class Rigidity:
    """`neutral_axis_mm` is measured from the underside; None where layers slide on each other and each has its own."""

    ei_n_mm2: float
    neutral_axis_mm: float | None
    workings: Workings


@dataclass(frozen=True)
class BendStiffness:
    n_m_per_deg: float
    workings: Workings


@dataclass(frozen=True)
class PliesNeeded:
    """`by_stiffness` is what the target asks; `plies` is never fewer than the bench's least, unless none is needed."""

    plies: int
    by_stiffness: int
    n_m_per_deg: float
    workings: Workings


def ply_thickness(
    *, areal_weight_g_m2: float, fibre_density_g_cm3: float, fibre_volume_fraction: float
) -> PlyThickness:
    """Thickness in mm of one ply: t = W / (ρ·V). Raises `BadInput`."""
    check_within("areal_weight_g_m2", areal_weight_g_m2, 20, 2000, unit="g/m²")
    check_within("fibre_density_g_cm3", fibre_density_g_cm3, 0.5, 5, unit="g/cm³")
    check_within("fibre_volume_fraction", fibre_volume_fraction, 0.1, 0.8, unit="")
    thickness = areal_weight_g_m2 / (1000 * fibre_density_g_cm3 * fibre_volume_fraction)
    sheet = Workings(
        name="thickness of a ply",
        result=f"{thickness:.2f} mm",
        formula="cloth weight / (fibre density × fibre volume fraction)",
        inputs=(
            ("Cloth", f"{areal_weight_g_m2:g} g/m²"),
            ("Fibre density", f"{fibre_density_g_cm3:g} g/cm³"),
            ("Fibre volume fraction", f"{fibre_volume_fraction:g}"),
        ),
        source=AREAL_WEIGHT,
        status=Status.PUBLISHED,
        cautions=("Laid by hand the fibre volume fraction is 0.30 to 0.45 (from memory).",),
    )
    return PlyThickness(thickness, sheet)


def fibre_volume(*, fibre_mass_fraction: float, fibre_density_g_cm3: float, resin_density_g_cm3: float) -> FibreVolume:
    """Fibre volume fraction from what cloth and resin weighed: (w/ρf) / (w/ρf + (1 − w)/ρm). Raises `BadInput`."""
    check_within("fibre_mass_fraction", fibre_mass_fraction, 0.05, 0.95, unit="")
    check_within("fibre_density_g_cm3", fibre_density_g_cm3, 0.5, 5, unit="g/cm³")
    check_within("resin_density_g_cm3", resin_density_g_cm3, 0.5, 3, unit="g/cm³")
    fibre = fibre_mass_fraction / fibre_density_g_cm3
    fraction = fibre / (fibre + (1 - fibre_mass_fraction) / resin_density_g_cm3)
    sheet = Workings(
        name="fibre volume fraction",
        result=f"{fraction:.3f}",
        formula="(w / fibre density) / (w / fibre density + (1 − w) / resin density)",
        inputs=(
            ("Fibre mass fraction w", f"{fibre_mass_fraction:g}"),
            ("Fibre density", f"{fibre_density_g_cm3:g} g/cm³"),
            ("Resin density", f"{resin_density_g_cm3:g} g/cm³"),
        ),
        source=AREAL_WEIGHT,
        status=Status.PUBLISHED,
    )
    return FibreVolume(fraction, sheet)


def layered_rigidity(*, layers: Sequence[Layer], bonded: bool) -> Rigidity:
    """Bending rigidity EI in N·mm² of layers from the bottom up. Raises `BadInput`.

    Bonded: z = Σ E·b·h·z / Σ E·b·h and EI = Σ E·b·(h³/12 + h·(z − z̄)²). Sliding: the sum of each layer's own.
    """
    _check_layers(layers)
    if not bonded:
        own = sum(layer.modulus_mpa * layer.width_mm * layer.thickness_mm**3 / 12 for layer in layers)
        return Rigidity(own, None, _rigidity_sheet(own, layers, how="sliding"))
    ei, axis = _section(layers)
    return Rigidity(ei, axis, _rigidity_sheet(ei, layers, how="bonded"))


def bending_rigidity(layers: Sequence[Layer]) -> float:
    """EI in N·mm² of bonded layers from the bottom up, without a sheet. Takes any layers of some thickness."""
    return _section(layers)[0]


def _section(layers: Sequence[Layer]) -> tuple[float, float]:
    """EI in N·mm² and neutral axis in mm of the transformed section."""
    own = sum(layer.modulus_mpa * layer.width_mm * layer.thickness_mm**3 / 12 for layer in layers)
    stiffnesses, middles, under = [], [], 0.0
    for layer in layers:
        stiffnesses.append(layer.modulus_mpa * layer.width_mm * layer.thickness_mm)
        middles.append(under + layer.thickness_mm / 2)
        under += layer.thickness_mm
    axis = sum(k * z for k, z in zip(stiffnesses, middles, strict=True)) / sum(stiffnesses)
    return own + sum(k * (z - axis) ** 2 for k, z in zip(stiffnesses, middles, strict=True)), axis


def bend_stiffness(*, ei_n_mm2: float, free_length_mm: float) -> BendStiffness:
    """N·m for each degree over a free length: EI / L · π/180. Raises `BadInput`."""
    check_within("ei_n_mm2", ei_n_mm2, 0, 1e14, unit="N·mm²")
    check_within("free_length_mm", free_length_mm, 5, 400)
    stiffness = stiffness_over(ei_n_mm2, free_length_mm=free_length_mm)
    sheet = Workings(
        name="stiffness in bending",
        result=f"{stiffness:.3f} N·m for each degree",
        formula="EI / free length × π/180",
        inputs=(("EI", f"{ei_n_mm2:,.0f} N·mm²"), ("Free length", f"{free_length_mm:g} mm")),
        source=ONE_BEND,
        status=Status.GEOMETRY,
        cautions=(MOISTURE,),
    )
    return BendStiffness(stiffness, sheet)


def stiffness_over(ei_n_mm2: float, *, free_length_mm: float) -> float:
    """N·m for each degree of bending over a free length in mm."""
    return ei_n_mm2 / free_length_mm / 1000 * math.pi / 180


def label_of(n_m_per_deg: float, *, bends_below: float, rigid_above: float) -> str:
    """bends, firm or rigid, by the workshop's bounds in N·m per degree."""
    if n_m_per_deg < bends_below:
        return "bends"
    return "rigid" if n_m_per_deg > rigid_above else "firm"


LABELS = ("bends", "firm", "rigid")


@dataclass(frozen=True)
class Labels:
    """What a forepart comes to, with its moduli at their low ends, in the middle, at their high ends."""

    least: str
    middle: str
    most: str

    @property
    def words(self) -> str:
        return self.least if self.least == self.most else f"{self.least} to {self.most}"

    def may_be(self, label: str) -> bool:
        """Whether the label lies within the range: an estimate contradicts only what lies beyond it."""
        return LABELS.index(self.least) <= LABELS.index(label) <= LABELS.index(self.most)


def plies_needed(
    *, n_m_per_deg: float, base_layers: Sequence[Layer], ply: Ply, free_length_mm: float, least_plies: int, bonded: bool
) -> PliesNeeded:
    """How many plies on top of the base reach a stiffness over the free length. Raises `BadInput`.

    0 where the base alone reaches it. Raises `BadInput` where even `MOST_PLIES` do not.
    """
    check_within("n_m_per_deg", n_m_per_deg, 0, 10, unit="N·m per degree")
    check_within("least_plies", least_plies, 0, MOST_PLIES, unit="plies")

    def reached(plies: int) -> float:
        return _stiffness(base_layers, ply, plies, free_length_mm=free_length_mm, bonded=bonded)

    by_stiffness = next((plies for plies in range(MOST_PLIES + 1) if reached(plies) >= n_m_per_deg), None)
    if by_stiffness is None:
        raise BadInput(
            "n_m_per_deg",
            n_m_per_deg,
            unit="N·m per degree",
            allowed=f"what {MOST_PLIES} plies reach, {reached(MOST_PLIES):.2f}",
        )
    plies = max(by_stiffness, least_plies) if by_stiffness else 0
    sheet = Workings(
        name="plies needed",
        result=f"{plies} plies",
        formula="the fewest plies whose section reaches the stiffness, and never fewer than the bench's least",
        inputs=(
            ("Asked", f"{n_m_per_deg:g} N·m for each degree over {free_length_mm:g} mm"),
            ("By stiffness alone", f"{by_stiffness} plies"),
            ("Bench's least", f"{least_plies} plies"),
            ("One ply", f"{ply.thickness_mm:g} mm, {ply.modulus_mpa / 1000:g} GPa, {ply.width_mm:g} mm wide"),
            ("Reached", f"{reached(plies):.3f} N·m for each degree"),
        ),
        source=f"{TRANSFORMED_SECTION}; {ONE_BEND}",
        status=Status.WORKSHOP_SETTING,
        cautions=(FATIGUE, MOISTURE),
    )
    return PliesNeeded(plies, by_stiffness, reached(plies), sheet)


def _stiffness(base: Sequence[Layer], ply: Ply, plies: int, *, free_length_mm: float, bonded: bool) -> float:
    """What base and plies together reach; nothing where there is neither."""
    carbon = [Layer(ply.thickness_mm * plies, ply.modulus_mpa, ply.width_mm)] if plies else []
    layers = [*base, *carbon]
    if not layers:
        return 0.0
    ei = layered_rigidity(layers=layers, bonded=bonded).ei_n_mm2
    return bend_stiffness(ei_n_mm2=ei, free_length_mm=free_length_mm).n_m_per_deg


def _check_layers(layers: Sequence[Layer]) -> None:
    if not layers:
        raise BadInput("layers", "empty", allowed="at least one layer")
    for place, layer in enumerate(layers, start=1):
        check_within(f"thickness_mm of layer {place}", layer.thickness_mm, 0.01, 500)
        check_within(f"modulus_mpa of layer {place}", layer.modulus_mpa, 0.01, 1e6, unit="MPa")
        check_within(f"width_mm of layer {place}", layer.width_mm, 1, 1000)


def _rigidity_sheet(ei: float, layers: Sequence[Layer], *, how: str) -> Workings:
    shown = tuple(
        (f"Layer {place} from below", f"{each.thickness_mm:g} mm, {each.modulus_mpa:g} MPa, {each.width_mm:g} mm wide")
        for place, each in enumerate(layers, start=1)
    )
    return Workings(
        name=f"bending rigidity, layers {how}",
        result=f"{ei:,.0f} N·mm²",
        formula="Σ E·b·(h³/12 + h·(z − z̄)²)" if how == "bonded" else "Σ E·b·h³/12",
        inputs=shown,
        source=TRANSFORMED_SECTION,
        status=Status.PUBLISHED,
        cautions=(MOISTURE,),
    )
