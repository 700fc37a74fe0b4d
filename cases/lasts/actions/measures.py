"""Recording a sitting of measuring, and what was answered to its questions."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from cases.diary.models import Visit
from cases.lasts.actions.checks import check_visit, sides_in_words
from cases.lasts.measures import BY_KEY, MOST_TAKES
from cases.lasts.models import Answer, LegGirth, Measure, MeasureSet, OutlineDeviation, SlipAnswer
from cases.lasts.slips import MeasureAgain
from cases.patients.models import Patient
from shared.history import acting
from shared.refusals import Refused
from shared.sides import SIDES
from workshop.staff.models import Person


@dataclass(frozen=True)
class MeasureValue:
    """One take of one measure in mm. What follows the value is said only where it differs from the sitting's."""

    side: str
    name: str
    take: int
    value_mm: Decimal
    method: str = ""
    load: str = ""
    heel_height_mm: Decimal | None = None
    taken_at: datetime | None = None
    taken_by: Person | None = None


@dataclass(frozen=True)
class LegValue:
    """The girth of a leg, in mm, at a height above the floor in mm that may have a name."""

    side: str
    height_mm: Decimal
    girth_mm: Decimal
    words: str = ""


@dataclass(frozen=True)
class BulgeValue:
    """Where a foot stands out beyond a regular outline, in mm; see `OutlineDeviation`."""

    side: str
    edge: str
    from_heel_mm: Decimal
    extent_mm: Decimal
    beyond_mm: Decimal
    words: str = ""


@dataclass(frozen=True)
class Answered:
    """A question that the measures raised, and what was said to it."""

    question: MeasureAgain
    answer: str


@transaction.atomic
def record_measures(
    patient: Patient,
    *,
    visit: Visit | None = None,
    taken_at: datetime,
    taken_by: Person | None = None,
    method: str,
    load: str,
    heel_height_mm: Decimal,
    note: str = "",
    values: Sequence[MeasureValue],
    legs: Sequence[LegValue] = (),
    bulges: Sequence[BulgeValue] = (),
    answers: Sequence[Answered] = (),
    by: Person,
    at: datetime,
) -> MeasureSet:
    """Record one sitting of measuring, both feet in one set; `taken_by` where another than `by` held the tape.

    Raises `Refused` without a measure, for one that is not in the list, twice there, or taken in a time to come or
    before the client was born.
    """
    _check_values(values, has_more=bool(legs or bulges))
    _check_more(legs, bulges)
    check_visit(visit, patient)
    _check_times([taken_at, *(value.taken_at for value in values if value.taken_at)], patient, at=at)
    with acting(by=by, action="record_measures", says=_says(values, legs, bulges), at=at, patient=patient.uuid):
        measure_set = MeasureSet.objects.create(
            patient=patient,
            visit=visit,
            taken_at=taken_at,
            taken_by=taken_by or by,
            method=method,
            load=load,
            heel_height_mm=heel_height_mm,
            note=note,
        )
        _add_what_was_taken(measure_set, values, legs, bulges)
        SlipAnswer.objects.bulk_create(_kept(each, measure_set, by=by, at=at) for each in answers)
    return measure_set


def _check_more(legs: Sequence[LegValue], bulges: Sequence[BulgeValue]) -> None:
    _check_once([(leg.side, leg.height_mm) for leg in legs], "A leg is measured once at each height.")
    _check_once([(each.side, each.edge, each.from_heel_mm) for each in bulges], "A bulge is kept once at each place.")


def _add_what_was_taken(
    measure_set: MeasureSet, values: Sequence[MeasureValue], legs: Sequence[LegValue], bulges: Sequence[BulgeValue]
) -> None:
    Measure.objects.bulk_create(Measure(measure_set=measure_set, **_entries(value)) for value in values)
    LegGirth.objects.bulk_create(LegGirth(measure_set=measure_set, **_entries(leg)) for leg in legs)
    OutlineDeviation.objects.bulk_create(
        OutlineDeviation(measure_set=measure_set, **_entries(bulge)) for bulge in bulges
    )


def answer_question(
    measure_set: MeasureSet, question: MeasureAgain, *, answer: str, by: Person, at: datetime
) -> SlipAnswer:
    """Keep what was answered to a question about a saved sitting. Raises `Refused` where it was answered already."""
    says = f"Asked “{question.words}”, answered: {Answer(answer).label}."
    with transaction.atomic():
        # Two answers to one question must not both find it open.
        MeasureSet.objects.select_for_update().get(pk=measure_set.pk)
        if measure_set.slip_answers.filter(question=question.words).exists():
            raise Refused("This question was already answered.")
        with acting(by=by, action="answer_question", says=says, at=at, patient=measure_set.patient.uuid):
            kept = _kept(Answered(question, answer), measure_set, by=by, at=at)
            kept.save()
    return kept


def _kept(answered: Answered, measure_set: MeasureSet, *, by: Person, at: datetime) -> SlipAnswer:
    question = answered.question
    return SlipAnswer(
        measure_set=measure_set,
        side=question.side,
        keys=",".join(question.keys),
        question=question.words,
        source=question.source,
        answer=answered.answer,
        by=by,
        at=at,
    )


def _entries(value: MeasureValue | LegValue | BulgeValue) -> dict[str, Any]:
    return {each.name: getattr(value, each.name) for each in fields(value)}


def _check_values(values: Sequence[MeasureValue], *, has_more: bool) -> None:
    if not values and not has_more:
        raise Refused("Nothing was measured yet: type at least one measure.")
    if unknown := sorted({value.name for value in values} - BY_KEY.keys()):
        raise Refused(f"There is no such measure: {', '.join(unknown)}.")
    _check_once([(value.side, value.name, value.take) for value in values], "A take of a measure is kept once.")
    if any(not 1 <= value.take <= MOST_TAKES for value in values):
        raise Refused(f"A measure is taken {MOST_TAKES} times at most.")


def _check_times(moments: Sequence[datetime], patient: Patient, *, at: datetime) -> None:
    if any(moment > at for moment in moments):
        raise Refused("These measures would be taken in a time to come.")
    if any(timezone.localdate(moment) < patient.born_on for moment in moments):
        raise Refused("These measures would be taken before the client was born.")


def _check_once(places: Sequence[tuple[object, ...]], sentence: str) -> None:
    if len(set(places)) < len(places):
        raise Refused(sentence)


def _says(values: Sequence[MeasureValue], legs: Sequence[LegValue], bulges: Sequence[BulgeValue]) -> str:
    measured = {*(each.side for each in values), *(each.side for each in legs), *(each.side for each in bulges)}
    sides = sides_in_words([side for side in SIDES if side in measured])
    counted = [
        _count(len({(value.side, value.name) for value in values}), "measure"),
        _count(len(legs), "leg girth"),
        _count(len(bulges), "bulge"),
    ]
    return f"Measured {sides}: {', '.join(part for part in counted if part)}."


def _count(number: int, words: str) -> str:
    return "" if not number else f"{number} {words}" if number == 1 else f"{number} {words}s"
