"""How stiff the forepart is across the joint: a label first, and how many plies another label asks."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from cases.prescriptions.cut_away.stack import ORDINARY_INSOLE_MM, sole_thickness
from cases.prescriptions.implied.figures import ImpliedFigures, Modulus, Stock, Workshop
from cases.prescriptions.implied.told import Told
from cases.prescriptions.rigidity import (
    FATIGUE,
    MOISTURE,
    ONE_BEND,
    TRANSFORMED_SECTION,
    Layer,
    bending_rigidity,
    label_of,
    stiffness_over,
)
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.weight import density_for
from cases.prescriptions.weight_of_shoe import CUSHION, RAISE, SHOULDER, SOLING
from shared.workings import Status, Workings

MODULI = "moduli typical, unsourced, from memory"
SLIDES = "A cushion gives way: what lies under it and over it bends for itself."
MOST_PLIES = 20


@dataclass(frozen=True)
class Across:
    """One layer across the joint, from below, with the range of its modulus. `is_soft`: what lies over it slides."""

    words: str
    thickness_mm: float
    width_mm: float
    modulus: Modulus
    is_soft: bool = False

    def layer(self, modulus_mpa: float) -> Layer:
        return Layer(self.thickness_mm, modulus_mpa, self.width_mm)


@dataclass(frozen=True)
class Stiff:
    """N·m per degree over the free length, bonded: as little as `low`, as much as `high`."""

    low: float
    middle: float
    high: float


def forepart_told(shoe: Shoe, workshop: Workshop) -> dict[str, Told]:
    """Label and figure, and the plies for a firm and a rigid forepart where the shoe is not there without carbon."""
    figures = workshop.figures
    below, carbon, above = _layers(shoe, workshop)
    there = [*below, *carbon, *above]
    if not there:
        return {}
    stiff = stiffness_of(there, free_length_mm=figures.rigidity_free_length_mm)
    told = {"rigidity": _label(there, stiff, figures)}
    for label, target, least in (
        ("firm", figures.rigidity_bends_below, figures.carbon_plies_firm),
        ("rigid", figures.rigidity_rigid_above, figures.carbon_plies_least),
    ):
        if plies := _plies(below, above, shoe=shoe, figures=figures, label=label, target=target, least=int(least)):
            told[f"plies_{label}"] = plies
    return told


def stiffness_of(layers: Sequence[Across], *, free_length_mm: float) -> Stiff:
    """What bonded layers reach, with the moduli at their low ends, in the middle, at their high ends."""

    def reached(modulus_of: Callable[[Modulus], float]) -> float:
        return stiffness_over(_rigidity(layers, modulus_of), free_length_mm=free_length_mm)

    return Stiff(reached(lambda one: one.low), reached(lambda one: one.middle), reached(lambda one: one.high))


def _rigidity(layers: Sequence[Across], modulus_of: Callable[[Modulus], float]) -> float:
    """EI in N·mm²: bonded up to a soft cushion, which gives way between what lies under and over it."""
    sections: list[list[Layer]] = [[]]
    for each in layers:
        layer = each.layer(modulus_of(each.modulus))
        if each.is_soft:
            sections += [[layer], []]
        else:
            sections[-1].append(layer)
    return sum(bending_rigidity(section) for section in sections if section)


def _layers(shoe: Shoe, workshop: Workshop) -> tuple[list[Across], list[Across], list[Across]]:
    """Below the carbon, the carbon, and above it. A material whose modulus nobody knows is left out."""
    return (
        list(_below(shoe, workshop.stock)),
        list(_carbon(shoe, workshop.figures, plies=int(shoe.carbon_zone.plies) if shoe.carbon_zone else 0)),
        list(_above(shoe, workshop.stock)),
    )


def _below(shoe: Shoe, stock: Stock) -> Iterator[Across]:
    width = shoe.form.joint_width_mm
    if shoe.sole:
        yield from _known("sole", sole_thickness(shoe), width, said=shoe.sole.material, otherwise=SOLING, stock=stock)
    if shoe.height_raise and shoe.height_raise.on_sole_ball_mm:
        raised = shoe.height_raise
        yield from _known(
            "raise on the sole", raised.on_sole_ball_mm or 0, width, said=raised.material, otherwise=RAISE, stock=stock
        )


def _carbon(shoe: Shoe, figures: ImpliedFigures, *, plies: int) -> Iterator[Across]:
    if plies:
        middle = 1000 * figures.carbon_modulus_gpa
        width = max(shoe.form.joint_width_mm - 2 * figures.carbon_edge_in_mm, 1.0)
        yield Across(f"carbon, {plies} plies", plies * figures.carbon_ply_mm, width, Modulus(middle, middle))


def _above(shoe: Shoe, stock: Stock) -> Iterator[Across]:
    """What is left of the insole over the joint, and a cushion under it. From below: cushion, then the grain."""
    width, insole = shoe.form.joint_width_mm, shoe.insole
    for cushion in shoe.cushions:
        if cushion.place != "heel":
            for each in _known(
                "cushion", cushion.thickness_mm, width, said=cushion.material, otherwise=CUSHION, stock=stock
            ):
                yield replace(each, is_soft=True)
    if insole:
        finished = insole.scoured_to_mm if insole.scoured_to_mm is not None else insole.finished_forepart_mm
        thickness = finished if finished is not None else insole.thickness_mm or ORDINARY_INSOLE_MM
        words = "insole, scoured" if insole.scoured_to_mm is not None else "insole"
        yield from _known(words, thickness, width, said=insole.leather, otherwise=SHOULDER, stock=stock)


def _known(words: str, mm: float, width: float, *, said: str, otherwise: str, stock: Stock) -> Iterator[Across]:
    material = density_for(said, otherwise=otherwise, table=stock.densities).material
    modulus = stock.moduli.get(material)
    if modulus is not None and mm > 0:
        yield Across(f"{words}, {material}", mm, width, modulus)


def _label(layers: Sequence[Across], stiff: Stiff, figures: ImpliedFigures) -> Told:
    least, label, most = (
        label_of(each, bends_below=figures.rigidity_bends_below, rigid_above=figures.rigidity_rigid_above)
        for each in (stiff.low, stiff.middle, stiff.high)
    )
    sheet = Workings(
        name="forepart across the joint, layers bonded",
        result=label if least == most else f"{least} to {most}",
        formula="Σ E·b·(h³/12 + h·(z − z̄)²) / free length × π/180",
        inputs=(
            ("Stiffness", f"about {stiff.middle:.2f} N·m for each degree, {stiff.low:.2f}-{stiff.high:.2f}"),
            *((each.words.capitalize(), _said(each)) for each in layers),
            ("Free length", f"{figures.rigidity_free_length_mm:g} mm"),
            ("Bends below", f"{figures.rigidity_bends_below:g} N·m for each degree"),
            ("Rigid above", f"{figures.rigidity_rigid_above:g} N·m for each degree"),
        ),
        source=f"{TRANSFORMED_SECTION}; {ONE_BEND}; {MODULI}; bounds of the label a workshop setting, from memory",
        status=Status.WORKSHOP_SETTING,
        cautions=(*((SLIDES,) if any(each.is_soft for each in layers) else ()), MOISTURE),
    )
    return Told(sheet)


def _said(each: Across) -> str:
    low, high = each.modulus.low, each.modulus.high
    modulus = f"{low:g} MPa" if low == high else f"{low:g}-{high:g} MPa"
    return f"{each.thickness_mm:.1f} mm, {modulus}, {each.width_mm:.0f} mm wide"


def _plies(
    below: Sequence[Across],
    above: Sequence[Across],
    *,
    shoe: Shoe,
    figures: ImpliedFigures,
    label: str,
    target: float,
    least: int,
) -> Told | None:
    """The fewest plies that reach the label, never fewer than the bench's least; None where none is needed.

    The middles of the moduli decide, as the label does. None as well where even `MOST_PLIES` do not reach it.
    """
    free = figures.rigidity_free_length_mm

    def reached(plies: int) -> float:
        layers = [*below, *_carbon(shoe, figures, plies=plies), *above]
        return stiffness_over(_rigidity(layers, lambda one: one.middle), free_length_mm=free)

    tried = range(0 if below or above else 1, MOST_PLIES + 1)
    by_stiffness = next((plies for plies in tried if reached(plies) > target), None)
    if not by_stiffness:
        return None
    plies = max(by_stiffness, least)
    sheet = Workings(
        name=f"plies for a {label} forepart",
        result=f"{plies} plies",
        formula="the fewest plies whose section reaches the label, and never fewer than the bench's least",
        inputs=(
            ("Asked", f"more than {target:g} N·m for each degree over {free:g} mm"),
            ("By stiffness alone", f"{by_stiffness} plies"),
            ("Bench's least", f"{least} plies"),
            ("Reached", f"{reached(plies):.2f} N·m for each degree"),
        ),
        source=f"{TRANSFORMED_SECTION}; {ONE_BEND}; {MODULI}",
        status=Status.WORKSHOP_SETTING,
        cautions=(FATIGUE, MOISTURE),
    )
    return Told(sheet)
