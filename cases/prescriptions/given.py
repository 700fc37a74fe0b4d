"""What a draft can be begun with: the client's lasts and measures, and the workshop's figures."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils import timezone

from cases.lasts.models import Last, MeasureSet
from cases.lasts.queries import sitting_of_foot, values_of
from cases.patients.models import Patient
from cases.prescriptions.reaches import Arcs, ReachSettings
from cases.prescriptions.starting_values import FIGURES, FootGiven, PartOfLast, ScouredZone
from shared.sides import SIDES, Side
from workshop.figures.queries import FigureKnown, figures, figures_known

HEEL_TO_JOINT = "heel_to_joint"
HEEL_TO_FIFTH = "heel_to_fifth"
"""Names of the two measures, from the back of the heel to the 1st and to the 5th joint."""

REACHES = {
    "stiffener_reach_short": "short",
    "stiffener_reach_medium": "medium",
    "stiffener_reach_long": "long",
    "stiffener_long_behind_joint_mm": "long_behind_joint_mm",
}

SCOURED = {
    "scoured_behind_joint_mm": "behind_joint_mm",
    "scoured_short_of_toe_mm": "before_toe_mm",
    "scoured_rim_mm": "rim_mm",
}
STIFFENER_OF_LAST = {"stiffener_back_height_of_last": "low shoe"}
PUFF_OF_LAST = {"puff_length_light": "light", "puff_length_standard": "standard", "puff_length_long": "long"}
OF_A_SHEET = (*REACHES, *SCOURED, *STIFFENER_OF_LAST, *PUFF_OF_LAST)
"""The settings that a sheet of a draft takes."""


def latest_measures(patient: Patient) -> MeasureSet | None:
    """The latest sitting; what it took of one foot only, `sitting_of_foot` finds for the other."""
    return patient.measure_sets.order_by("-taken_at", "-pk").first()


def lasts_of(patient: Patient, *, chosen: Mapping[str, Last]) -> dict[Side, Last | None]:
    """The last of each side: the chosen one, else the client's own where there is one only. One query."""
    own: dict[str, list[Last]] = {side: [] for side in SIDES}
    for last in Last.objects.filter(owner=patient):
        own[last.side].append(last)
    only = {side: own[side][0] if len(own[side]) == 1 else None for side in SIDES}
    return {side: chosen.get(side, only[side]) for side in SIDES}


def arcs_of(measure_set: MeasureSet | None) -> dict[Side, Arcs]:
    """The arcs from heel to joint of both feet: what the takes stand for, in mm.

    Each foot's from the sitting that took it. No query where measures were fetched and both feet were taken.
    """
    if measure_set is None:
        return {side: Arcs() for side in SIDES}
    return {side: _arcs_of_foot(sitting_of_foot(measure_set, side), side) for side in SIDES}


def _arcs_of_foot(sitting: MeasureSet, side: Side) -> Arcs:
    values = values_of(sitting, side)
    return Arcs(
        medial_mm=values.get(HEEL_TO_JOINT),
        lateral_mm=values.get(HEEL_TO_FIFTH),
        taken=f"taken {timezone.localtime(sitting.taken_at):%-d %b %Y}, {sitting.get_load_display()}",
    )


def of_a_foot(side: str, *, last: Last | None, measure_set: MeasureSet | None) -> FootGiven:
    """What is known of one foot. One query for its measures."""
    return FootGiven(
        last_length_mm=last.length_mm if last else None,
        heel_height_mm=last.heel_height_mm if last else None,
        arcs=arcs_of(measure_set)[Side(side)],
    )


def starting_figures(*, on: date) -> dict[str, Decimal]:
    return figures(FIGURES, on=on)


def reach_settings(*, on: date) -> ReachSettings:
    """The workshop's reaches on a day, with how far they may be trusted. One query."""
    return _reaches_of(figures_known(REACHES, on=on))


@dataclass(frozen=True)
class SheetSettings:
    """What a sheet works out or fills in by itself."""

    reaches: ReachSettings
    scoured_zone: ScouredZone
    back_heights: tuple[PartOfLast, ...]
    puff_lengths: tuple[PartOfLast, ...]


def sheet_settings(known: Mapping[str, FigureKnown]) -> SheetSettings:
    """The workshop's figures for a sheet, from the figures of a day; `OF_A_SHEET` names those it takes."""
    return SheetSettings(
        reaches=_reaches_of(known),
        scoured_zone=ScouredZone(**{field: known[name].value for name, field in SCOURED.items()}),
        back_heights=_parts_of_last(known, STIFFENER_OF_LAST),
        puff_lengths=_parts_of_last(known, PUFF_OF_LAST),
    )


def _parts_of_last(known: Mapping[str, FigureKnown], words: Mapping[str, str]) -> tuple[PartOfLast, ...]:
    return tuple(PartOfLast(word, known[name].value, known[name].trusted) for name, word in words.items())


def _reaches_of(known: Mapping[str, FigureKnown]) -> ReachSettings:
    values = {field: known[name].value for name, field in REACHES.items()}
    return ReachSettings(source="; ".join(sorted({known[name].trusted for name in REACHES})), **values)
