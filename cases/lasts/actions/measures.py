"""Recording a sitting of measuring."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal

from cases.diary.models import Visit
from cases.lasts.actions.checks import check_visit, sides_in_words
from cases.lasts.measures import BY_KEY, MOST_TAKES
from cases.lasts.models import Measure, MeasureSet
from cases.patients.models import Patient
from shared.history import acting
from shared.refusals import Refused
from shared.sides import SIDES
from workshop.staff.models import Person


@dataclass(frozen=True)
class MeasureValue:
    """One take of one measure in mm. `method` and `load` only where they differ from the sitting's."""

    side: str
    name: str
    take: int
    value_mm: Decimal
    method: str = ""
    load: str = ""


def record_measures(
    patient: Patient,
    *,
    visit: Visit | None = None,
    taken_at: datetime,
    method: str,
    load: str,
    heel_height_mm: Decimal,
    note: str = "",
    values: Sequence[MeasureValue],
    by: Person,
    at: datetime,
) -> MeasureSet:
    """Record one sitting of measuring, both feet in one set.

    Raises `Refused` without a measure, for one that is not in the list, twice there, or taken in a time to come.
    """
    _check_values(values)
    check_visit(visit, patient)
    if taken_at > at:
        raise Refused("These measures would be taken in a time to come.")
    with acting(by=by, action="record_measures", says=_says(values), at=at, patient=patient.uuid):
        measure_set = MeasureSet.objects.create(
            patient=patient,
            visit=visit,
            taken_at=taken_at,
            taken_by=by,
            method=method,
            load=load,
            heel_height_mm=heel_height_mm,
            note=note,
        )
        Measure.objects.bulk_create(Measure(measure_set=measure_set, **asdict(value)) for value in values)
    return measure_set


def _check_values(values: Sequence[MeasureValue]) -> None:
    if not values:
        raise Refused("Nothing was measured yet: type at least one measure.")
    if unknown := sorted({value.name for value in values} - BY_KEY.keys()):
        raise Refused(f"There is no such measure: {', '.join(unknown)}.")
    if len({(value.side, value.name, value.take) for value in values}) < len(values):
        raise Refused("A take of a measure is kept once.")
    if any(not 1 <= value.take <= MOST_TAKES for value in values):
        raise Refused(f"A measure is taken {MOST_TAKES} times at most.")


def _says(values: Sequence[MeasureValue]) -> str:
    sides = sides_in_words([side for side in SIDES if any(value.side == side for value in values)])
    return f"Measured {sides}: {len({(value.side, value.name) for value in values})} measures."
