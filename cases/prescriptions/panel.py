"""The panel beside a prescription: its drawings, what it implies, the notes on it. Worked out once a request."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

from cases.patients.queries import screening_of
from cases.prescriptions.answers import Background, background_of
from cases.prescriptions.cut_away import CutAway, changed_parts, cut_aways_of
from cases.prescriptions.given import OF_A_SHEET
from cases.prescriptions.implied import Implied, ImpliedFigures, Modulus, OfFoot, Promised, Stock, Workshop, implied_of
from cases.prescriptions.models import Prescription
from cases.prescriptions.notes import Found, Limits, Note, Question, Wearer, Weighed, notes_on
from cases.prescriptions.notes.answers import Asked, with_answers
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.shoes_of import shoes_of
from cases.prescriptions.weight import Density
from cases.prescriptions.weight_of_shoe import WeightFigures
from shared.sides import SIDES, Side
from workshop.figures.queries import FigureKnown, MaterialKnown, figures_and_materials

TOE_ALLOWANCE = "toe_allowance_mm"
WEIGHT_SETTINGS: Mapping[str, str] = {
    "upper_mm": "weight_upper_mm",
    "lining_mm": "weight_lining_mm",
    "sock_mm": "sock_mm",
    "small_parts_g": "weight_small_parts_g",
    "range_part": "weight_range_part",
    "range_weighed_part": "weight_range_weighed_part",
    "pairs_to_learn": "weight_pairs_to_learn",
    "ply_mm": "carbon_ply_mm",
    "stiffener_mm": "stiffener_standard_mm",
    "stiffener_margin_mm": "stiffener_margin_mm",
    "stiffener_skive_top_mm": "stiffener_skive_top_mm",
    "stiffener_skive_ends_mm": "stiffener_skive_ends_mm",
    "stiffener_skive_long_ends_mm": "stiffener_skive_long_ends_mm",
    "puff_mm": "puff_standard_mm",
    "puff_margin_mm": "puff_margin_mm",
    "puff_wall_mm": "puff_wall_height_mm",
    "puff_wall_fade_mm": "puff_wall_fade_mm",
    "upper_margin_mm": "upper_margin_mm",
    "boot_margin_mm": "boot_margin_mm",
    "lining_margin_mm": "lining_margin_mm",
    "scoured_rim_mm": "scoured_rim_mm",
    "heel_cushion_mm": "cushion_heel_diameter_mm",
    "doubled_behind_joint_mm": "rear_doubled_behind_joint_mm",
    "carbon_edge_mm": "carbon_edge_in_mm",
}
"""Fields of `WeightFigures` and the settings that fill them."""
LIMITS = tuple(field.name for field in fields(Limits))
IMPLIED = tuple(field.name for field in fields(ImpliedFigures))
"""Settings that bear the field's own name."""
SETTINGS = frozenset({TOE_ALLOWANCE, *WEIGHT_SETTINGS.values(), *LIMITS, *IMPLIED, *OF_A_SHEET})


@dataclass(frozen=True)
class Panel:
    """Everything beside the prescription. `cut_aways` LEFT first; one that cannot be drawn says why.

    `before`: the drawings of the version it follows, where that was asked for.
    """

    shoes: Mapping[Side, Shoe]
    cut_aways: tuple[CutAway, ...]
    before: tuple[CutAway, ...]
    implied: Implied
    background: Background
    asked: tuple[Asked, ...]

    @property
    def notes(self) -> tuple[Note, ...]:
        return tuple(each.note for each in self.asked)

    @property
    def unanswered(self) -> tuple[Asked, ...]:
        return tuple(each for each in self.asked if each.is_open)


@dataclass(frozen=True)
class Day:
    """The workshop as it was on a day. `known`: every figure that was read, with how far it may be trusted."""

    known: Mapping[str, FigureKnown]

    workshop: Workshop
    limits: Limits
    toe_allowance_mm: float


@dataclass(frozen=True)
class Figured:
    """Shoes of a version and what they imply, without drawings and notes, and the workshop's limits of that day."""

    shoes: Mapping[Side, Shoe]
    implied: Implied
    limits: Limits


def panel_of(version: Prescription, *, day: Day, earlier: Prescription | None = None) -> Panel:
    """The panel of a version that `queries.whole` read, by the figures of a day. One query for what is behind its notes, or none."""
    figured = implied_by(version, day=day)
    followed = shoes_of(earlier, toe_allowance_mm=day.toe_allowance_mm) if earlier else {}
    cut_aways, before = drawings(figured.shoes, followed)
    background = background_of(version)
    notes = _notes(figured, wearer_of(version, background), switched_off=background.switched_off)
    return Panel(
        shoes=figured.shoes,
        cut_aways=cut_aways,
        before=before,
        implied=figured.implied,
        background=background,
        asked=with_answers(notes, background.answers),
    )


def drawings(now: Mapping[Side, Shoe], before: Mapping[Side, Shoe]) -> tuple[tuple[CutAway, ...], tuple[CutAway, ...]]:
    """The drawings of shoes, and of those they follow. What differs is marked on the later."""
    changed = {side: changed_parts(before[side], shoe) for side, shoe in now.items() if side in before}
    return cut_aways_of(now, changed=changed), cut_aways_of(before, prefix="before")


def implied_by(version: Prescription, *, day: Day) -> Figured:
    """What a version implies, without its drawings and notes. No query."""
    shoes = shoes_of(version, toe_allowance_mm=day.toe_allowance_mm)
    implied = implied_of(shoes, workshop=workshop_of(version, day=day), promised=promised_to(version))
    return Figured(shoes=shoes, implied=implied, limits=day.limits)


def workshop_of(version: Prescription, *, day: Day) -> Workshop:
    """The workshop of a day, with what its scale teaches: that came with the version."""
    return replace(day.workshop, weighed=version.weighed)


def day_of(on: date) -> Day:
    """The workshop's figures and materials of a day. One query."""
    known, materials = figures_and_materials(SETTINGS, on=on)
    values = {name: float(each.value) for name, each in known.items()}
    workshop = Workshop(
        stock=_stock(materials),
        weight=WeightFigures(**{field: values[name] for field, name in WEIGHT_SETTINGS.items()}),
        figures=ImpliedFigures(**{name: values[name] for name in IMPLIED}),
    )
    limits = Limits(**{name: values[name] for name in LIMITS})
    return Day(known=known, workshop=workshop, limits=limits, toe_allowance_mm=values[TOE_ALLOWANCE])


def promised_to(version: Prescription) -> Promised:
    limit, heel = version.shoe_weight_limit_g, version.heel_limit_mm
    return Promised(
        weight_limit_g=None if limit is None else float(limit), heel_limit_mm=None if heel is None else float(heel)
    )


def wearer_of(version: Prescription, background: Background) -> Wearer:
    """What is known of the client and planned for the pair. No query."""
    patient, promised, found = version.patient, promised_to(version), background.findings
    screening = screening_of(patient, found)
    return Wearer(
        findings=tuple(
            Found(each.condition, Side(each.side) if each.side else None, each.place, each.flexibility, each.note)
            for each in (*found.left, *found.right, *found.general)
        ),
        hands=patient.hand_function,
        diabetes=patient.diabetes,
        allergies=tuple(each.substance for each in background.allergies),
        screening_level=screening.level,
        screening_months_max=screening.months_max,
        review_months=version.review_months,
        wear_in=version.wear_in,
        weight_limit_g=promised.weight_limit_g,
        heel_limit_mm=promised.heel_limit_mm,
    )


def _stock(materials: Sequence[MaterialKnown]) -> Stock:
    densities: dict[str, Density] = {}
    moduli: dict[str, Modulus] = {}
    for row in materials:
        densities[row.name] = Density(row.name, row.kind, float(row.density_low_kg_m3), float(row.density_high_kg_m3))
        if row.modulus_low_mpa is not None and row.modulus_high_mpa is not None:
            moduli[row.name] = Modulus(float(row.modulus_low_mpa), float(row.modulus_high_mpa))
    return Stock(densities, moduli)


def _notes(figured: Figured, wearer: Wearer, *, switched_off: Collection[str]) -> tuple[Note, ...]:
    """What is asked of each foot, LEFT first."""
    shoes, feet = figured.shoes, figured.implied.feet
    return tuple(
        note
        for side in SIDES
        if side in shoes
        for note in notes_on(
            Question(
                shoe=shoes[side],
                wearer=wearer,
                limits=figured.limits,
                fellow=shoes.get(side.other),
                weighed=_weighed(feet.get(side)),
                fellow_weighed=_weighed(feet.get(side.other)),
                forepart=feet[side].labels if side in feet else None,
            ),
            switched_off=switched_off,
        )
    )


def _weighed(foot: OfFoot | None) -> Weighed | None:
    return None if foot is None else Weighed(foot.weight.low_g, foot.weight.middle_g, foot.weight.high_g)
