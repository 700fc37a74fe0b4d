"""A possible red flag heard on the telephone: passed on by reception, rung back by a clinician, today."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cases.diary import actions, queries
from cases.diary.models import RING_BACK, Call, CallState
from cases.patients.models import Patient, RedFlag
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from tests.factories.diary import make_call, visit_kind
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]


@pytest.fixture
def patient() -> Patient:
    visit_kind(RING_BACK)
    return make_patient(phone="01632 960 171")


def pass_on(patient: Patient, by: Person, at: datetime, said: str = "LEFT: hot and red since Monday") -> Call:
    return actions.ask_to_ring_back(patient, said=said, by=by, at=at)


def test_what_was_said_is_to_be_rung_back_today_with_who_heard_it_and_when(
    patient: Patient, reception: Person, now: datetime
) -> None:
    call = pass_on(patient, reception, now)
    local = timezone.localtime(now)
    assert (call.is_for_a_clinician, call.due_on, call.why) == (
        True,
        local.date(),
        f"LEFT: hot and red since Monday (told to {reception.name}, {local:%a} {local.day} {local:%b %Y %H:%M})",
    )


def test_it_is_no_finding_and_no_red_flag(patient: Patient, reception: Person, now: datetime) -> None:
    pass_on(patient, reception, now)
    assert (RedFlag.objects.count(), patient.findings.count()) == (0, 0)


def test_the_story_tells_it(patient: Patient, reception: Person, now: datetime) -> None:
    call = pass_on(patient, reception, now)
    deed = Deed.objects.get(action="ask_to_ring_back")
    assert (deed.patient_uuid, deed.says) == (patient.uuid, f"To ring back today, possible red flag: {call.why}.")


@pytest.mark.parametrize("said", ["", "   ", "x" * 121])
def test_nothing_and_too_much_are_refused(patient: Patient, reception: Person, now: datetime, said: str) -> None:
    with pytest.raises(Refused, match="at most 120 characters"):
        pass_on(patient, reception, now, said)


def test_the_longest_that_may_be_said_fits_with_the_longest_name(patient: Patient, now: datetime) -> None:
    somebody = Person(name="n" * 120, pk=None)
    longest = f"{'x' * 120} (told to {somebody.name[:40]}, Wed 25 Nov 2026 11:45)"
    assert len(longest) <= (Call._meta.get_field("why").max_length or 0)


def test_what_is_new_while_a_call_is_open_is_refused_and_never_lost_in_silence(
    patient: Patient, reception: Person, now: datetime
) -> None:
    pass_on(patient, reception, now)
    with pytest.raises(Refused, match="Tell a clinician yourself what is new"):
        pass_on(patient, reception, now, "RIGHT too")


def test_who_must_be_rung_back_stands_first(patient: Patient, reception: Person, now: datetime) -> None:
    ordinary = make_call(due_on=now.date() - timedelta(days=9))
    urgent = pass_on(patient, reception, now)
    assert queries.calls_due(now.date()) == [urgent, ordinary]


def test_a_clinician_who_rang_back_settles_it(
    patient: Patient, reception: Person, clinician: Person, now: datetime
) -> None:
    call = pass_on(patient, reception, now)
    actions.rung_back(call, by=clinician, at=now)
    call.refresh_from_db()
    assert (call.state, queries.ring_backs()) == (CallState.NOT_NEEDED, [])


def test_nobody_but_a_clinician_has_rung_back(patient: Patient, reception: Person, now: datetime) -> None:
    call = pass_on(patient, reception, now)
    with pytest.raises(NotAllowed):
        actions.rung_back(call, by=reception, at=now)


def test_an_ordinary_call_is_not_settled_by_ringing_back(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="settled as booked or as not needed"):
        actions.rung_back(make_call(due_on=now.date()), by=clinician, at=now)


def test_it_is_not_settled_as_an_ordinary_call(patient: Patient, clinician: Person, now: datetime) -> None:
    call = pass_on(patient, clinician, now)
    with pytest.raises(Refused, match="A clinician rings back"):
        actions.settle_call(call, state=CallState.NOT_NEEDED, by=clinician, at=now)


def test_it_is_not_put_off(patient: Patient, reception: Person, now: datetime) -> None:
    call = pass_on(patient, reception, now)
    with pytest.raises(Refused, match="today"):
        actions.note_call_try(call, call_again_on=now.date() + timedelta(days=7), by=reception, at=now)


def test_it_stays_open_where_nobody_answered(patient: Patient, clinician: Person, now: datetime) -> None:
    call = pass_on(patient, clinician, now)
    actions.note_call_try(call, by=clinician, at=now)
    assert queries.ring_backs() == [call]


def test_it_is_no_kind_of_visit_to_book(patient: Patient) -> None:
    assert RING_BACK not in {kind.key for kind in queries.choices().kinds}


def test_the_desk_passes_it_on_with_the_foot_in_a_word(signed_in: SignIn, patient: Patient, reception: Person) -> None:
    address = reverse("ring-back", args=[patient.uuid])
    signed_in(reception).post(address, {"side": "left", "said": "a wound that weeps"})
    assert Call.objects.get().why.startswith("LEFT: a wound that weeps (told to")


@pytest.mark.parametrize(("side", "begins"), [("not said", "it burns"), ("BOTH FEET", "BOTH FEET: it burns")])
def test_a_foot_that_was_not_named_is_not_made_up(
    signed_in: SignIn, patient: Patient, reception: Person, side: str, begins: str
) -> None:
    address = reverse("ring-back", args=[patient.uuid])
    signed_in(reception).post(address, {"side": side, "said": "it burns"})
    assert Call.objects.get().why.startswith(begins)


def test_the_foot_is_asked_for(signed_in: SignIn, patient: Patient, reception: Person) -> None:
    address = reverse("ring-back", args=[patient.uuid])
    answer = signed_in(reception).post(address, {"said": "a wound"})
    assert (answer.status_code, Call.objects.count()) == (422, 0)


def test_the_second_who_passes_it_on_is_told(
    signed_in: SignIn, patient: Patient, reception: Person, now: datetime
) -> None:
    pass_on(patient, reception, now)
    answer = signed_in(reception).post(reverse("ring-back", args=[patient.uuid]), {"side": "left", "said": "pus"})
    assert (answer.status_code, "Tell a clinician yourself" in answer.content.decode()) == (409, True)


def test_the_form_can_be_looked_at(signed_in: SignIn, patient: Patient, reception: Person) -> None:
    assert signed_in(reception).get(reverse("ring-back", args=[patient.uuid])).status_code == 200


def test_a_clinician_sees_it_first_and_settles_it_by_one_touch(
    signed_in: SignIn, patient: Patient, reception: Person, clinician: Person, now: datetime
) -> None:
    call = pass_on(patient, reception, now)
    clinic = signed_in(clinician)
    seen = "LEFT: hot and red since Monday" in clinic.get(reverse("clinic")).content.decode()
    clinic.post(reverse("call-rung-back", args=[call.uuid]))
    call.refresh_from_db()
    assert (seen, call.state) == (True, CallState.NOT_NEEDED)
