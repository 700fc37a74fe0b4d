"""How stiff the forepart is across the joint: a label first, and how many plies another label asks."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from cases.prescriptions.cut_away.stack import ORDINARY_INSOLE_MM, sole_thickness
from cases.prescriptions.implied.figures import ImpliedFigures, Modulus, Stock, Workshop
from cases.prescriptions.implied.told import Told
from cases.prescriptions.rigidity import (
    FATIGUE,
    HEAVY_KG,
    MOISTURE,
    ONE_BEND,
    TRANSFORMED_SECTION,
    Labels,
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


@dataclass(frozen=True)
class Section:
    """What lies across the joint but for its carbon, and what so many plies between it would reach."""

    below: Sequence[Across]
    above: Sequence[Across]
    shoe: Shoe
    figures: ImpliedFigures

    def with_carbon(self, plies: int) -> list[Across]:
        return [*self.below, *_carbon(self.shoe, self.figures, plies=plies), *self.above]

    def reached(self, plies: int) -> float:
        """N·m for each degree. The middles of the moduli decide, as the label does."""
        ei = _rigidity(self.with_carbon(plies), lambda one: one.middle)
        return stiffness_over(ei, free_length_mm=self.figures.rigidity_free_length_mm)

    def fewest(self, target: float) -> int | None:
        """The fewest plies beyond a stiffness; None where even `MOST_PLIES` do not reach it."""
        tried = range(0 if self.below or self.above else 1, MOST_PLIES + 1)
        return next((plies for plies in tried if self.reached(plies) > target), None)


def forepart_told(shoe: Shoe, workshop: Workshop) -> tuple[dict[str, Told], Labels | None]:
    """Label and figure, and the plies for the label asked; where none is, for a firm and a rigid forepart.

    Without a layer whose modulus is known there is neither figure nor label.
    """
    figures = workshop.figures
    section = Section(list(_below(shoe, workshop.stock)), list(_above(shoe, workshop.stock)), shoe, figures)
    there = section.with_carbon(int(shoe.carbon_zone.plies) if shoe.carbon_zone else 0)
    if not there:
        return {}, None
    stiff = stiffness_of(there, free_length_mm=figures.rigidity_free_length_mm)
    labels = _labels(stiff, figures)
    told = {"rigidity": _label(there, stiff, labels, figures)}
    if shoe.forepart_asked:
        told["plies_asked"] = asked_told(section, labels)
        return told, labels
    for label, target, least in (
        ("firm", figures.rigidity_bends_below, figures.carbon_plies_firm),
        ("rigid", figures.rigidity_rigid_above, figures.carbon_plies_least),
    ):
        if plies := _plies(section, label=label, target=target, least=int(least)):
            told[f"plies_{label}"] = plies
    return told, labels


def asked_told(section: Section, labels: Labels) -> Told:
    """The plies for the label asked, beside those prescribed, and what these come to where that is another label."""
    shoe, figures, asked = section.shoe, section.figures, section.shoe.forepart_asked
    prescribed = int(shoe.carbon_zone.plies) if shoe.carbon_zone else 0
    target, usual = {
        "bends": (None, 0),
        "firm": (figures.rigidity_bends_below, int(figures.carbon_plies_firm)),
        "rigid": (figures.rigidity_rigid_above, int(max(figures.carbon_plies_rigid, figures.carbon_plies_least))),
    }[asked]
    fewest = 0 if target is None else section.fewest(target)
    needed = fewest and max(fewest, usual)
    beyond = "" if labels.may_be(asked) else f"; as prescribed it comes to {labels.words}"
    same = "as prescribed" if prescribed == needed else f"{_plies_said(prescribed)} prescribed"
    sheet = Workings(
        name=f"carbon for a forepart that {asked}" if asked == "bends" else f"carbon for a {asked} forepart",
        result=f"{asked} asked: {_plies_said(needed)}, {same}{beyond}",
        formula="the fewest plies whose section reaches the label, and never fewer than the workshop's own",
        inputs=(
            ("Asked", asked if target is None else f"{asked}, more than {target:g} N·m for each degree"),
            ("By stiffness alone", _plies_said(fewest)),
            ("The workshop's own", _plies_said(usual)),
            *(
                (f"Above {HEAVY_KG} kg", _plies_said(int(figures.carbon_plies_rigid_heavy)))
                for _ in range(asked == "rigid")
            ),
            ("Prescribed", _plies_said(prescribed)),
            ("As prescribed it comes to", labels.words),
            ("Free length", f"{figures.rigidity_free_length_mm:g} mm"),
        ),
        source=f"{TRANSFORMED_SECTION}; {ONE_BEND}; {MODULI}; the workshop's plies common practice, no source",
        status=Status.WORKSHOP_SETTING,
        cautions=(FATIGUE, MOISTURE),
    )
    return Told(sheet)


def _plies_said(plies: int | None) -> str:
    if plies is None:
        return f"not reached with {MOST_PLIES} plies"
    return {0: "no carbon", 1: "1 ply"}.get(plies, f"{plies} plies")


def _labels(stiff: Stiff, figures: ImpliedFigures) -> Labels:
    least, middle, most = (
        label_of(each, bends_below=figures.rigidity_bends_below, rigid_above=figures.rigidity_rigid_above)
        for each in (stiff.low, stiff.middle, stiff.high)
    )
    return Labels(least, middle, most)


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


def _label(layers: Sequence[Across], stiff: Stiff, labels: Labels, figures: ImpliedFigures) -> Told:
    sheet = Workings(
        name="forepart across the joint, layers bonded",
        result=labels.words,
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


def _plies(section: Section, *, label: str, target: float, least: int) -> Told | None:
    """The fewest plies that reach the label, never fewer than the bench's least; None where none is needed."""
    free, by_stiffness = section.figures.rigidity_free_length_mm, section.fewest(target)
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
            ("Reached", f"{section.reached(plies):.2f} N·m for each degree"),
        ),
        source=f"{TRANSFORMED_SECTION}; {ONE_BEND}; {MODULI}",
        status=Status.WORKSHOP_SETTING,
        cautions=(FATIGUE, MOISTURE),
    )
    return Told(sheet)
