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
from cases.prescriptions.shoes_of import form_of
from cases.prescriptions.starting_values import FIGURES, FootGiven, PartOfLast, ScouredZone
from shared.sides import SIDES, Edge, Side
from workshop.figures.queries import FigureKnown, figures, figures_known

JOINTS = {Edge.MEDIAL: "heel_to_joint", Edge.LATERAL: "heel_to_fifth"}
"""By the side of the foot, the measure from the back of the heel to its joint: the 1st, the 5th."""

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
    """The last of each side: the chosen one, else the client's own where only one may be used. One query."""
    own: dict[str, list[Last]] = {side: [] for side in SIDES}
    for last in Last.objects.filter(owner=patient, not_used_because=""):
        own[last.side].append(last)
    only = {side: own[side][0] if len(own[side]) == 1 else None for side in SIDES}
    return {side: chosen.get(side, only[side]) for side in SIDES}


def arcs_of(measure_set: MeasureSet | None, *, lasts: Mapping[Side, Last | None]) -> dict[Side, Arcs]:
    """Of both feet, how far it is along the feather edge from centre back to each joint, in whole mm.

    The edge is that of the last, else of the foot as measured. A joint that was found on neither has no arc. No query
    where measures were fetched, both feet were taken, and the lasts came with who agreed them.
    """
    return {side: _arcs_of_foot(side, measure_set, lasts.get(side)) for side in SIDES}


def _arcs_of_foot(side: Side, measure_set: MeasureSet | None, last: Last | None) -> Arcs:
    sitting = None if measure_set is None else sitting_of_foot(measure_set, side)
    values = {} if sitting is None else values_of(sitting, side)
    # What is allowed for the toes lies ahead of the joints: the arc is that of the foot.
    form = form_of(side, last=last, measures=measure_set, toe_allowance_mm=0.0)
    found = {
        edge: Decimal(round(form.arc_mm(edge)))
        for edge, name in JOINTS.items()
        if name in values or getattr(last, f"{name}_mm", None) is not None
    }
    return Arcs(found.get(Edge.MEDIAL), found.get(Edge.LATERAL), taken=_taken(sitting, last))


def _taken(sitting: MeasureSet | None, last: Last | None) -> str:
    if last is not None:
        return f"last {last.number} {Side(last.side).label}"
    if sitting is None:
        return ""
    return f"taken {timezone.localtime(sitting.taken_at):%-d %b %Y}, {sitting.get_load_display()}"


def of_a_foot(side: str, *, last: Last | None, measure_set: MeasureSet | None) -> FootGiven:
    """What is known of one foot and its last."""
    return FootGiven(
        last_length_mm=last.length_mm if last else None,
        heel_height_mm=last.heel_height_mm if last else None,
        arcs=arcs_of(measure_set, lasts={Side(side): last})[Side(side)],
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
