"""Questions about a sitting that may have slipped: asked, answered, kept, and silenced by what is recorded."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.lasts import actions, queries
from cases.lasts.models import (
    MeasureSet,
    SlipAnswer,
)
from cases.lasts.slips import MeasureAgain
from cases.patients.models import Patient
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.lasts import make_measure_set
from tests.factories.patients import make_finding, make_patient
from tests.lasts.test_measuring import address, typed
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("figures")]


SignedIn = Callable[[Person], Any]


# Questions and answers ---------------------------------------------------------------------------------------

TEN_TIMES = "LEFT: Foot length is 27.3 mm: was 273 mm meant?"


def question_of(measure_set: MeasureSet) -> MeasureAgain:
    (asked,) = queries.asked_of(measure_set, previous=None)
    return asked.question


def test_an_answer_given_while_typing_is_kept_with_its_question(
    tablet: Any, patient: Patient, clinician: Person
) -> None:
    key = question_of(make_measure_set(left={"foot_length": 27.3})).key
    tablet.post(address(patient), typed(left__foot_length__1="27.3") | {f"answer-{key}": "stands"})
    assert SlipAnswer.objects.values_list("side", "keys", "question", "answer", "by").get() == (
        "left",
        "foot_length",
        TEN_TIMES,
        "stands",
        clinician.pk,
    )


def test_an_answer_to_a_figure_that_was_typed_anew_is_not_kept(tablet: Any, patient: Patient) -> None:
    key = question_of(make_measure_set(left={"foot_length": 27.3})).key
    tablet.post(address(patient), typed(left__foot_length__1="27.4") | {f"answer-{key}": "stands"})
    assert SlipAnswer.objects.count() == 0


def test_a_question_that_was_not_answered_is_asked_again_on_the_page_of_the_sitting(tablet: Any) -> None:
    measure_set = make_measure_set(left={"foot_length": 27.3})
    page = tablet.get(reverse("measures", args=[measure_set.uuid]))
    assert [each.words for each in page.context["open_questions"]] == [TEN_TIMES]


def test_it_is_answered_there_and_asked_no_more(tablet: Any) -> None:
    measure_set = make_measure_set(left={"foot_length": 27.3})
    entries = {"question": question_of(measure_set).key, "answer": "not again"}
    page = tablet.post(reverse("slip-answer", args=[measure_set.uuid]), entries, follow=True)
    assert (page.context["open_questions"], [str(each) for each in page.context["answers"]]) == (
        [],
        [f"{TEN_TIMES} not again"],
    )


def test_a_question_is_answered_once(clinician: Person, now: datetime) -> None:
    measure_set = make_measure_set(left={"foot_length": 27.3})
    question = question_of(measure_set)
    actions.answer_question(measure_set, question, answer="stands", by=clinician, at=now)
    with pytest.raises(Refused, match="This question was already answered"):
        actions.answer_question(measure_set, question, answer="not again", by=clinician, at=now)


@pytest.mark.parametrize("entries", [{"question": "0" * 12, "answer": "stands"}, {"answer": "stands"}, {}])
def test_an_answer_to_nothing_that_is_asked_is_refused(tablet: Any, entries: dict[str, str]) -> None:
    measure_set = make_measure_set(left={"foot_length": 27.3})
    answer = tablet.post(reverse("slip-answer", args=[measure_set.uuid]), entries)
    assert (answer.status_code, SlipAnswer.objects.count()) == (409, 0)


def test_a_maker_reads_the_questions_and_does_not_answer_them(signed_in: SignedIn, maker: Person) -> None:
    measure_set = make_measure_set(left={"foot_length": 27.3})
    page = signed_in(maker).get(reverse("measures", args=[measure_set.uuid])).content.decode()
    assert (TEN_TIMES in page, reverse("slip-answer", args=[measure_set.uuid]) in page) == (True, False)


@pytest.mark.parametrize(
    ("days_before", "ended_before", "asked"),
    [(5, None, []), (0, None, [("joint_girth", "joint_width")]), (9, 5, [("joint_girth", "joint_width")])],
    ids=["held", "found later", "had ended"],
)
def test_what_held_on_the_day_of_the_sitting_silences_a_question(
    now: datetime, days_before: int, ended_before: int | None, asked: list[tuple[str, ...]]
) -> None:
    measure_set = make_measure_set(
        taken_at=now - timedelta(days=3), left={"joint_girth": None}, right={"joint_girth": 300}
    )
    today = timezone.localdate(now)
    make_finding(
        measure_set.patient,
        side=Side.RIGHT,
        condition="hallux_valgus",
        found_on=today - timedelta(days=days_before),
        ended_on=None if ended_before is None else today - timedelta(days=ended_before),
    )
    assert [each.question.keys for each in queries.asked_of(measure_set, previous=None)] == asked


@pytest.mark.parametrize(("load", "asked"), [("part", 1), ("standing", 0)])
def test_a_sitting_is_held_against_the_one_before_under_the_same_load(now: datetime, load: str, asked: int) -> None:
    patient = make_patient()
    before = make_measure_set(patient=patient, taken_at=now - timedelta(days=90), load=load)
    foot = {"foot_length": 281.5}
    measure_set = make_measure_set(patient=patient, taken_at=now, both=foot)
    about = [each.question.side for each in queries.asked_of(measure_set, previous=before)]
    assert len(about) == 2 * asked


def test_the_sitting_before_is_the_last_one_earlier(now: datetime) -> None:
    patient = make_patient()
    make_measure_set(patient=patient, taken_at=now - timedelta(days=90))
    before = make_measure_set(patient=patient, taken_at=now - timedelta(days=30))
    here = make_measure_set(patient=patient, taken_at=now)
    make_measure_set(patient=patient, taken_at=now + timedelta(minutes=1))
    assert queries.measured_before(here) == before


@pytest.mark.parametrize(("heel_mm", "keys"), [(5, ["short_heel_girth"]), (6, [])])
def test_a_heel_girth_is_held_against_one_over_the_same_heel(now: datetime, heel_mm: int, keys: list[str]) -> None:
    patient = make_patient()
    girth, wider = {"short_heel_girth": 326}, {"short_heel_girth": 335}
    before = make_measure_set(patient=patient, taken_at=now - timedelta(days=90), both=girth)
    measure_set = make_measure_set(
        patient=patient, taken_at=now, both=girth, left=wider, heel_height_mm=Decimal(heel_mm)
    )
    asked = queries.asked_of(measure_set, previous=before)
    assert [key for each in asked for key in each.question.keys] == keys
