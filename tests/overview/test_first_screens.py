"""Where each role's day begins, and what stands there."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.diary.models import VisitStatus
from tests.factories.bench import make_pair
from tests.factories.diary import make_call, make_visit
from tests.factories.patients import make_patient, make_red_flag
from tests.factories.prescriptions import make_prescription
from tests.factories.staff import make_person

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("roles", "screen"),
    [
        (["reception"], "desk"),
        (["clinician"], "clinic"),
        (["maker"], "my-bench"),
        (["manager"], "late"),
        (["administrator"], "people"),
        (["clinician", "manager"], "clinic"),
        (["reception", "clinician", "maker", "manager"], "desk"),
    ],
)
def test_each_role_begins_at_its_own_screen(signed_in, roles, screen) -> None:
    answer = signed_in(make_person(roles=roles)).get("/")
    assert (answer.status_code, answer.headers["Location"]) == (302, reverse(screen))


def test_somebody_without_a_role_is_told_who_gives_one(signed_in) -> None:
    answer = signed_in(make_person()).get("/")
    assert (answer.status_code, "You hold no role yet." in answer.content.decode()) == (403, True)


def at_ten(hours: int = 0):
    return timezone.localtime().replace(hour=10, minute=0, second=0, microsecond=0) + timedelta(hours=hours)


def test_the_desk_shows_the_day_and_whom_to_call(signed_in, reception, clinician) -> None:
    make_visit(starts_at=at_ten(), clinician=clinician, patient=make_patient(family_name="Comestoday"))
    make_call(due_on=timezone.localdate(), patient=make_patient(family_name="Tobecalled"))
    text = signed_in(reception).get(reverse("desk")).content.decode()
    assert ["Comestoday" in text, "Tobecalled" in text] == [True, True]


def test_the_desk_lists_past_visits_that_nobody_marked_with_the_touches_that_settle_each(signed_in, reception) -> None:
    visit = make_visit(starts_at=timezone.now() - timedelta(days=2), patient=make_patient(family_name="Unmarked"))
    desk = signed_in(reception).get(reverse("desk")).content.decode()
    assert [reverse(name, args=[visit.uuid]) in desk for name in ("visit-done", "visit-missed", "visit-cancel")] == [
        True,
        True,
        True,
    ]


def test_the_clinic_says_what_somebody_needs_to_be_spoken_with(signed_in, clinician) -> None:
    patient = make_patient(communication_needs="interpreter, sign language")
    make_visit(starts_at=timezone.now(), clinician=clinician, patient=patient)
    assert "interpreter, sign language" in signed_in(clinician).get(reverse("clinic")).content.decode()


def test_a_clinician_sees_their_people_in_order_of_time(signed_in, clinician) -> None:
    late = make_visit(starts_at=at_ten(3), clinician=clinician)
    early = make_visit(starts_at=at_ten(), clinician=clinician)
    coming = signed_in(clinician).get(reverse("clinic")).context["coming"]
    assert [each.visit for each in coming] == [early, late]


def test_a_clinician_does_not_see_a_colleagues_people(signed_in, clinician) -> None:
    make_visit(starts_at=at_ten(), clinician=make_person(roles=["clinician"]))
    assert signed_in(clinician).get(reverse("clinic")).context["coming"] == []


def test_a_cancelled_visit_is_not_coming(signed_in, clinician) -> None:
    make_visit(starts_at=at_ten(), clinician=clinician, status=VisitStatus.CANCELLED)
    assert signed_in(clinician).get(reverse("clinic")).context["coming"] == []


def test_the_clinic_says_which_pair_a_visit_is_about(signed_in, clinician, now) -> None:
    pair = make_pair(by=clinician, at=now)
    make_visit(
        starts_at=at_ten(), clinician=clinician, kind="rough-fitting", patient=pair.patient, about_uuid=pair.uuid
    )
    coming = signed_in(clinician).get(reverse("clinic")).context["coming"]
    assert [each.pair for each in coming] == [pair]


def test_the_clinic_marks_who_has_a_red_flag(signed_in, clinician) -> None:
    flagged, healthy = make_patient(), make_patient()
    make_red_flag(flagged)
    make_visit(starts_at=at_ten(), clinician=clinician, patient=flagged)
    make_visit(starts_at=at_ten(2), clinician=clinician, patient=healthy)
    coming = signed_in(clinician).get(reverse("clinic")).context["coming"]
    assert [each.has_red_flag for each in coming] == [True, False]


def test_the_clinic_shows_what_waits_to_be_signed(signed_in, clinician) -> None:
    draft = make_prescription()
    assert list(signed_in(clinician).get(reverse("clinic")).context["drafts"]) == [draft]


def promised(by, at, days: int):
    return make_pair(by=by, at=at - timedelta(days=30), promised_day=timezone.localdate(at) + timedelta(days=days))


def test_late_pairs_stand_worst_first(signed_in, manager, clinician, now) -> None:
    little, much, in_time = (promised(clinician, now, days) for days in (-1, -9, 2))
    board = signed_in(manager).get(reverse("late")).context["board"]
    assert [(each.late.pair, each.late.days_late) for each in board.late] == [(much, 9), (little, 1)]
    assert [each.pair for each in board.due] == [in_time]


def test_a_pair_promised_for_today_is_not_late(signed_in, manager, clinician, now) -> None:
    pair = promised(clinician, now, 0)
    board = signed_in(manager).get(reverse("late")).context["board"]
    assert (board.late, [each.pair for each in board.due]) == ([], [pair])


def test_a_pair_promised_in_a_week_or_later_is_not_due_yet(signed_in, manager, clinician, now) -> None:
    promised(clinician, now, 7)
    assert signed_in(manager).get(reverse("late")).context["board"].due == []


@pytest.mark.parametrize(
    ("screen", "role"),
    [
        (screen, role)
        for screen in ("desk", "clinic", "late")
        for role in ("reception", "clinician", "maker", "manager")
    ],
)
def test_a_first_screen_is_open_to_its_own_role_alone(signed_in, screen, role) -> None:
    own = {"desk": "reception", "clinic": "clinician", "late": "manager"}[screen]
    answer = signed_in(make_person(roles=[role])).get(reverse(screen))
    assert answer.status_code == (200 if role == own else 403)
