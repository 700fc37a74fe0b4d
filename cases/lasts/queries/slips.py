"""What a sitting had better be asked again, with all that is recorded of the client's feet."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Q
from django.utils import timezone

from cases.lasts import measures, slips
from cases.lasts.models import MeasureSet, SlipAnswer
from cases.lasts.queries.measuring import measure_sets_of, values_of
from cases.lasts.slips import Known, MeasureAgain
from cases.patients.models import Patient
from shared.sides import SIDES, Side

TAKEN_ON_A_HEEL = frozenset({"short_heel_girth", "long_heel_girth", "instep_height"})
AS_GOOD_AS_THE_SAME_HEEL_MM = 5


@dataclass(frozen=True)
class Asked:
    """One question of a sitting, and its answer where it has one."""

    question: MeasureAgain
    answer: SlipAnswer | None


def conditions_on(patient: Patient, day: date) -> Mapping[Side, frozenset[str]]:
    """The keys of what was recorded of each foot and held on a day. One query."""
    held = Q(found_on__lte=day) & (Q(ended_on__isnull=True) | Q(ended_on__gt=day))
    found = list(patient.findings.filter(held, side__isnull=False).values_list("side", "condition"))
    return {side: frozenset(condition for of, condition in found if of == side) for side in SIDES}


def conditions_of(measure_set: MeasureSet) -> Mapping[Side, frozenset[str]]:
    """The keys of what held of each foot on the day of a sitting. One query."""
    return conditions_on(measure_set.patient, timezone.localdate(measure_set.taken_at))


def comparable_values(
    previous: MeasureSet | None, side: str, *, load: str, heel_height_mm: Decimal
) -> dict[str, Decimal]:
    """What an earlier sitting found under the same load, and over the same heel where that counts. No query."""
    if previous is None:
        return {}
    taken: dict[str, list[Decimal]] = {}
    for measure in previous.measures.all():
        if measure.side != side or (measure.load or previous.load) != load:
            continue
        heel = previous.heel_height_mm if measure.heel_height_mm is None else measure.heel_height_mm
        if measure.name in TAKEN_ON_A_HEEL and abs(heel - heel_height_mm) > AS_GOOD_AS_THE_SAME_HEEL_MM:
            continue
        taken.setdefault(measure.name, []).append(measure.value_mm)
    return {name: measures.value_of(takes) for name, takes in taken.items()}


def measured_before(measure_set: MeasureSet) -> MeasureSet | None:
    """The sitting before this one with its measures. Two queries, one where there is none."""
    return measure_sets_of(measure_set.patient).filter(taken_at__lt=measure_set.taken_at).first()


def asked_of(
    measure_set: MeasureSet,
    *,
    previous: MeasureSet | None,
    conditions: Mapping[Side, frozenset[str]] | None = None,
) -> list[Asked]:
    """What had better be measured again, with what was answered. No query where everything was fetched; `conditions`
    are those of the sitting's day.

    An answer to a question that is no longer asked, since the rules or the findings are others now, stays in the list.
    """
    if conditions is None:
        conditions = conditions_of(measure_set)
    known = {side: _known(measure_set, side, conditions[side], previous) for side in SIDES}
    questions = slips.measure_slips(
        left=values_of(measure_set, Side.LEFT),
        right=values_of(measure_set, Side.RIGHT),
        left_known=known[Side.LEFT],
        right_known=known[Side.RIGHT],
    )
    return _with_answers(questions, measure_set.slip_answers.all())


def _known(measure_set: MeasureSet, side: Side, conditions: Iterable[str], previous: MeasureSet | None) -> Known:
    heels = [
        measure.heel_height_mm
        for measure in measure_set.measures.all()
        if measure.side == side and measure.name == "short_heel_girth" and measure.heel_height_mm is not None
    ]
    raised_mm = heels[0] if heels else measure_set.heel_height_mm
    before = comparable_values(previous, side, load=measure_set.load, heel_height_mm=raised_mm)
    return slips.known_of(conditions, before=before, short_heel_raised_mm=raised_mm)


def _with_answers(questions: Iterable[MeasureAgain], answers: Iterable[SlipAnswer]) -> list[Asked]:
    by_words = {answer.question: answer for answer in answers}
    asked = [Asked(question, by_words.pop(question.words, None)) for question in questions]
    older = [
        Asked(MeasureAgain("", tuple(answer.keys.split(",")), answer.question, answer.source), answer)
        for answer in by_words.values()
    ]
    return asked + older
