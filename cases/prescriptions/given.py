"""What a draft can be begun with: the client's lasts and measures, and the workshop's figures."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils import timezone

from cases.lasts.measures import value_of
from cases.lasts.models import Last, Measure, MeasureSet
from cases.patients.models import Patient
from cases.prescriptions.reaches import Arcs, ReachSettings
from cases.prescriptions.starting_values import FIGURES, FootGiven, PartOfLast, ScouredZone
from shared.sides import SIDES, Side
from workshop.figures.models import Figure
from workshop.figures.queries import figures, figures_valid

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


def latest_measures(patient: Patient) -> MeasureSet | None:
    return patient.measure_sets.order_by("-taken_at").first()


def lasts_of(patient: Patient, *, chosen: Mapping[str, Last]) -> dict[Side, Last | None]:
    """The last of each side: the chosen one, else the client's own where there is one only. One query."""
    own: dict[str, list[Last]] = {side: [] for side in SIDES}
    for last in Last.objects.filter(owner=patient):
        own[last.side].append(last)
    only = {side: own[side][0] if len(own[side]) == 1 else None for side in SIDES}
    return {side: chosen.get(side, only[side]) for side in SIDES}


def arcs_of(measure_set: MeasureSet | None) -> dict[Side, Arcs]:
    """The arcs from heel to joint of both feet: what the takes stand for, in mm. One query, none without measures."""
    if measure_set is None:
        return {side: Arcs() for side in SIDES}
    takes: dict[tuple[str, str], list[Decimal]] = {}
    rows = Measure.objects.filter(measure_set=measure_set, name__in=[HEEL_TO_JOINT, HEEL_TO_FIFTH])
    for side, name, value_mm in rows.values_list("side", "name", "value_mm"):
        takes.setdefault((side, name), []).append(value_mm)
    values = {key: value_of(of_one) for key, of_one in takes.items()}
    taken = f"taken {timezone.localtime(measure_set.taken_at):%-d %b %Y}, {measure_set.get_load_display()}"
    return {
        side: Arcs(
            medial_mm=values.get((side, HEEL_TO_JOINT)),
            lateral_mm=values.get((side, HEEL_TO_FIFTH)),
            taken=taken,
        )
        for side in SIDES
    }


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
    return _reaches_of(figures_valid(on=on).filter(name__in=REACHES))


@dataclass(frozen=True)
class SheetSettings:
    """What a sheet works out or fills in by itself."""

    reaches: ReachSettings
    scoured_zone: ScouredZone
    back_heights: tuple[PartOfLast, ...]
    puff_lengths: tuple[PartOfLast, ...]


def sheet_settings(*, on: date) -> SheetSettings:
    """The workshop's figures for a sheet on a day. One query."""
    asked = [*REACHES, *SCOURED, *STIFFENER_OF_LAST, *PUFF_OF_LAST]
    rows = {row.name: row for row in figures_valid(on=on).filter(name__in=asked)}
    return SheetSettings(
        reaches=_reaches_of(rows[name] for name in REACHES),
        scoured_zone=ScouredZone(**{field: rows[name].value for name, field in SCOURED.items()}),
        back_heights=_parts_of_last(rows, STIFFENER_OF_LAST),
        puff_lengths=_parts_of_last(rows, PUFF_OF_LAST),
    )


def _parts_of_last(rows: Mapping[str, Figure], words: Mapping[str, str]) -> tuple[PartOfLast, ...]:
    return tuple(PartOfLast(word, rows[name].value, _standing(rows[name])) for name, word in words.items())


def _standing(row: Figure) -> str:
    return row.get_standing_display() + (f" ({row.source})" if row.source else "")


def _reaches_of(rows: Iterable[Figure]) -> ReachSettings:
    rows = list(rows)
    values = {REACHES[row.name]: row.value for row in rows}
    return ReachSettings(source="; ".join(sorted({_standing(row) for row in rows})), **values)
