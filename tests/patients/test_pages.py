"""The pages of a client's record, as a person uses them."""

import re
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from cases.patients.models import Allergy, Finding, Patient, RedFlag, Referrer
from shared.sides import Side
from tests.factories.patients import make_allergy, make_finding, make_patient, make_red_flag, make_referrer
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]

WHO = {"given_names": "Ida", "family_name": "Invented", "born_on": "1950-03-12"}


def page_of(name: str, patient: Patient) -> str:
    return reverse(name, args=[patient.uuid])


# Registering -------------------------------------------------------------------------------------------------


def test_reception_registers_a_client_with_what_they_agreed_to(signed_in: SignIn, reception: Person) -> None:
    answer = signed_in(reception).post(reverse("client-new"), WHO | {"letters_consent": "on"})
    patient = Patient.objects.get()
    assert (answer.status_code, answer.headers["Location"]) == (303, page_of("client", patient))
    consents = (
        patient.treatment_record_consent,
        patient.letters_consent,
        patient.photos_consent,
        patient.reminders_consent,
    )
    assert consents == (False, True, False, False)


def test_a_referrer_is_chosen_from_the_list(signed_in: SignIn, reception: Person) -> None:
    referrer = make_referrer()
    signed_in(reception).post(reverse("client-new"), WHO | {"referrer": referrer.pk})
    assert Patient.objects.get().referrer == referrer


def test_a_new_referrer_takes_the_place_of_the_one_chosen(signed_in: SignIn, reception: Person) -> None:
    chosen = make_referrer()
    signed_in(reception).post(reverse("client-new"), WHO | {"referrer": chosen.pk, "referrer-name": "Dr Ash Invented"})
    referrer = Patient.objects.get().referrer
    assert referrer is not None
    assert referrer.name == "Dr Ash Invented"


def test_a_namesake_is_shown_and_nothing_is_registered_yet(signed_in: SignIn, reception: Person) -> None:
    there = make_patient(family_name="Invented", born_on=date(1950, 3, 12))
    answer = signed_in(reception).post(
        reverse("client-new"), WHO | {"phone": "0161 496 0000", "referrer-name": "Dr Ash Invented"}
    )
    text = answer.content.decode()
    assert (answer.status_code, Patient.objects.count(), Referrer.objects.count()) == (409, 1, 0)
    assert [part in text for part in (page_of("client", there), "Register all the same", "0161 496 0000")] == [True] * 3


def test_one_touch_registers_a_namesake_all_the_same(signed_in: SignIn, reception: Person) -> None:
    make_patient(family_name="Invented", born_on=date(1950, 3, 12))
    answer = signed_in(reception).post(reverse("client-new"), WHO | {"all_the_same": "1"})
    assert (answer.status_code, Patient.objects.count()) == (303, 2)


def test_a_taken_record_number_keeps_what_was_typed(signed_in: SignIn, reception: Person) -> None:
    make_patient(record_number="7")
    answer = signed_in(reception).post(reverse("client-new"), WHO | {"record_number": "7", "phone": "0161 496 0000"})
    assert answer.status_code == 409
    assert ["is another client" in answer.content.decode(), "0161 496 0000" in answer.content.decode()] == [True, True]


# Changing ----------------------------------------------------------------------------------------------------


def test_the_second_of_two_who_save_sees_both_versions_and_loses_nothing(
    signed_in: SignIn, reception: Person, clinician: Person
) -> None:
    patient = make_patient(phone="1", **WHO | {"born_on": date(1950, 3, 12)})
    edit = page_of("client-edit", patient)
    signed_in(clinician).post(
        edit, WHO | {"phone": "2", "diabetes": "yes", "hand_function": "laces", "seen_version": "1"}
    )
    answer = signed_in(reception).post(edit, WHO | {"phone": "3", "email": "ida@invalid.example", "seen_version": "1"})
    text = answer.content.decode()
    assert (answer.status_code, Patient.objects.get().phone) == (409, "2")
    assert "<td>2</td><td>3</td>" in text
    assert [part in text for part in ('value="3"', "ida@invalid.example", 'name="seen_version" value="2"')] == [
        True
    ] * 3


def test_sent_once_more_the_second_saves_over_the_first(signed_in: SignIn, reception: Person) -> None:
    patient = make_patient(version=2, **WHO | {"born_on": date(1950, 3, 12)})
    answer = signed_in(reception).post(page_of("client-edit", patient), WHO | {"phone": "3", "seen_version": "2"})
    assert (answer.status_code, Patient.objects.get().phone) == (303, "3")


def carried(page: str) -> dict[str, str]:
    """What a browser would send back of a form untouched: its inputs and texts, without what is not ticked."""
    inputs = re.findall(r'<input type="(?:hidden|text|date|tel|email)" name="([^"]+)"(?: value="([^"]*)")?', page)
    texts = re.findall(r'<textarea name="([^"]+)"[^>]*>\n?([^<]*)</textarea>', page)
    return {name: value for name, value in [*inputs, *texts] if not name.startswith("csrf")}


def test_what_somebody_else_saved_in_fields_that_were_not_touched_is_kept(signed_in: SignIn, reception: Person) -> None:
    patient = make_patient(phone="1")
    client, edit = signed_in(reception), page_of("client-edit", patient)
    mine, theirs = (carried(client.get(edit).content.decode()) for _ in range(2))
    client.post(edit, theirs | {"communication_needs": "Large print", "letters_consent": "on"})
    told = client.post(edit, mine | {"phone": "2"})
    assert (told.status_code, "not changed by you: theirs is kept" in told.content.decode()) == (409, True)
    client.post(edit, carried(told.content.decode()) | {"letters_consent": "on"})
    saved = Patient.objects.get()
    assert (saved.phone, saved.communication_needs, saved.letters_consent) == ("2", "Large print", True)


def test_a_box_that_somebody_else_ticked_is_shown_ticked(signed_in: SignIn, reception: Person) -> None:
    client, edit = signed_in(reception), page_of("client-edit", make_patient(phone="1"))
    mine, theirs = (carried(client.get(edit).content.decode()) for _ in range(2))
    client.post(edit, theirs | {"letters_consent": "on"})
    told = client.post(edit, mine | {"phone": "2"}).content.decode()
    boxes = dict(re.findall(r'<input type="checkbox" name="(\w+)"[^>]*?( checked)?>', told))
    assert boxes == {
        "treatment_record_consent": "",
        "letters_consent": " checked",
        "photos_consent": "",
        "reminders_consent": "",
    }


@pytest.mark.parametrize("seen_version", ["", "x", "-1", "9" * 5000, "\x00"])
def test_a_form_that_shows_no_version_saves_nothing(signed_in: SignIn, reception: Person, seen_version: str) -> None:
    patient = make_patient(phone="1")
    answer = signed_in(reception).post(
        page_of("client-edit", patient), WHO | {"phone": "3", "seen_version": seen_version}
    )
    assert (answer.status_code, Patient.objects.get().phone) == (409, "1")


def test_the_clinical_part_of_the_form_is_for_those_who_read_it(
    signed_in: SignIn, reception: Person, clinician: Person
) -> None:
    edit = page_of("client-edit", make_patient())
    texts = [signed_in(person).get(edit).content.decode() for person in (reception, clinician)]
    assert ['name="diabetes"' in text for text in texts] == [False, True]


@pytest.mark.parametrize("days", [1, -365 * 130])
def test_a_birthday_that_cannot_be_is_refused_at_its_field(
    signed_in: SignIn, reception: Person, now: Any, days: int
) -> None:
    born_on = now.date() + timedelta(days=days)
    answer = signed_in(reception).post(reverse("client-new"), WHO | {"born_on": born_on.isoformat()})
    assert (answer.status_code, Patient.objects.count()) == (422, 0)


def test_a_referral_of_tomorrow_is_refused_at_its_field(signed_in: SignIn, reception: Person, tomorrow: Any) -> None:
    answer = signed_in(reception).post(reverse("client-new"), WHO | {"referred_on": tomorrow.date().isoformat()})
    assert (answer.status_code, Patient.objects.count()) == (422, 0)


# Findings ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("where", "sides"), [("left", ["left"]), ("right", ["right"]), ("both", ["left", "right"])])
def test_one_touch_adds_a_finding_to_the_foot_or_feet_touched(
    signed_in: SignIn, clinician: Person, where: str, sides: list[str]
) -> None:
    patient = make_patient()
    answer = signed_in(clinician).post(page_of("finding-add", patient), {"condition": "hammer_toe", "where": where})
    assert (answer.status_code, list(Finding.objects.order_by("side").values_list("side", flat=True))) == (303, sides)


def test_without_a_foot_touched_nothing_is_added(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    answer = signed_in(clinician).post(page_of("finding-add", patient), {"condition": "hammer_toe"})
    assert (answer.status_code, Finding.objects.count()) == (422, 0)
    assert "Touch LEFT, RIGHT or both feet." in answer.content.decode()


def test_both_feet_are_added_or_neither(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    make_finding(patient, side=Side.RIGHT)
    answer = signed_in(clinician).post(
        page_of("finding-add", patient), {"condition": "hammer_toe", "where": "both", "note": "typed with care"}
    )
    text = answer.content.decode()
    assert (answer.status_code, Finding.objects.count()) == (409, 1)
    assert ["Already recorded: Hammer toe RIGHT" in text, "typed with care" in text] == [True, True]


def test_a_finding_about_the_person_has_no_side(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    signed_in(clinician).post(page_of("finding-add", patient), {"condition": "falls", "where": "general"})
    assert list(Finding.objects.values_list("condition", "side")) == [("falls", None)]


def halves(text: str) -> tuple[str, str]:
    """What the page shows of the left foot and of the right one, left half first."""
    _, left, right = re.split(r'<div class="foot (?:left|right)">', text)
    return left, right.split("About the person")[0]


def test_a_finding_stands_in_the_half_of_its_own_foot_under_its_word(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    make_finding(patient, side=Side.LEFT, condition="corn")
    make_finding(patient, side=Side.RIGHT, condition="haglund")
    left, right = halves(signed_in(clinician).get(page_of("finding-add", patient)).content.decode())
    assert [word in left for word in ("LEFT", "Corn", "RIGHT", "Haglund")] == [True, True, False, False]
    assert [word in right for word in ("RIGHT", "Haglund", "LEFT", "Corn")] == [True, True, False, False]


def test_a_chosen_condition_brings_its_places_and_its_question(signed_in: SignIn, clinician: Person) -> None:
    answer = signed_in(clinician).get(
        page_of("finding-add", make_patient()),
        {"condition": "haglund"},
        headers={"HX-Request": "true", "HX-Target": "details"},
    )
    text = answer.content.decode()
    assert ["back of the heel, lateral" in text, "height above the seat" in text, "flexibility" in text] == [
        True,
        True,
        False,
    ]


def test_a_touch_ends_a_finding(signed_in: SignIn, clinician: Person, now: Any) -> None:
    finding = make_finding(make_patient())
    answer = signed_in(clinician).post(reverse("finding-end", args=[finding.uuid]))
    finding.refresh_from_db()
    assert (answer.status_code, finding.ended_on) == (303, now.date())


def test_the_screening_risk_opens_its_workings_and_stands_beside_who_screens_elsewhere(
    signed_in: SignIn, clinician: Person
) -> None:
    patient = make_patient(diabetes="yes", screened_elsewhere_by="Foot clinic, Tuesdays")
    make_finding(patient, condition="loss_of_protective_sensation")
    text = signed_in(clinician).get(page_of("finding-add", patient)).content.decode()
    parts = ("risk 1 (low)", "2024;40(3):e3651", "published", "Foot clinic, Tuesdays", "the prescriber decides")
    assert [part for part in parts if part not in text] == []


# Allergies and red flags -------------------------------------------------------------------------------------


def test_an_allergy_is_added_and_ended(signed_in: SignIn, clinician: Person, now: Any) -> None:
    patient, client = make_patient(), signed_in(clinician)
    client.post(page_of("allergy-add", patient), {"kind": "adhesive", "substance": "neoprene"})
    client.post(reverse("allergy-end", args=[Allergy.objects.get().uuid]))
    assert list(Allergy.objects.values_list("kind", "substance", "ended_on")) == [("adhesive", "neoprene", now.date())]


def test_an_allergy_recorded_twice_keeps_what_was_typed(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    make_allergy(patient)
    answer = signed_in(clinician).post(page_of("allergy-add", patient), {"kind": "material", "substance": "Chrome"})
    assert (answer.status_code, Allergy.objects.count()) == (409, 1)


def test_one_touch_raises_a_red_flag_and_leads_to_its_answer(signed_in: SignIn, clinician: Person) -> None:
    answer = signed_in(clinician).post(
        page_of("red-flag-raise", make_patient()), {"sign": "hot_swollen_foot", "side": "right"}
    )
    flag = RedFlag.objects.get()
    assert (flag.side, answer.headers["Location"]) == ("right", reverse("red-flag-answer", args=[flag.uuid]))


def test_an_answer_that_is_not_full_comes_back_with_what_was_typed(signed_in: SignIn, clinician: Person) -> None:
    flag = make_red_flag(make_patient())
    answer = signed_in(clinician).post(reverse("red-flag-answer", args=[flag.uuid]), {"what_was_done": "shoes off"})
    assert (answer.status_code, "shoes off" in answer.content.decode()) == (422, True)


def test_an_answered_red_flag_leaves_the_top_of_the_page_and_stays_on_record(
    signed_in: SignIn, clinician: Person
) -> None:
    patient, client = make_patient(), signed_in(clinician)
    flag = make_red_flag(patient)
    client.post(
        reverse("red-flag-answer", args=[flag.uuid]), {"what_was_done": "shoes off", "referred_to": "foot clinic"}
    )
    text = client.get(page_of("red-flag-raise", patient)).content.decode()
    assert ["Say what was done" in text, "Sent to foot clinic" in text] == [False, True]


@pytest.mark.parametrize("name", ["client-edit", "finding-add", "allergy-add", "red-flag-raise"])
def test_an_open_red_flag_stands_at_the_top_of_every_page_of_the_record(
    signed_in: SignIn, clinician: Person, name: str
) -> None:
    patient = make_patient()
    flag = make_red_flag(patient)
    text = signed_in(clinician).get(page_of(name, patient)).content.decode()
    assert text.index("Red flag: not a footwear question today") < text.index("<h1>")
    assert f"LEFT: {flag.words}" in text


def test_an_open_red_flag_blocks_no_saving(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    make_red_flag(patient)
    answer = signed_in(clinician).post(page_of("finding-add", patient), {"condition": "corn", "where": "left"})
    assert answer.status_code == 303


def test_a_red_flag_raised_twice_is_refused_in_a_sentence(signed_in: SignIn, clinician: Person) -> None:
    patient = make_patient()
    make_red_flag(patient)
    answer = signed_in(clinician).post(page_of("red-flag-raise", patient), {"sign": "hot_swollen_foot", "side": "left"})
    assert (answer.status_code, RedFlag.objects.count()) == (409, 1)
    assert "Already raised and not yet answered" in answer.content.decode()


def test_an_answer_given_twice_is_refused_in_a_sentence(signed_in: SignIn, clinician: Person, now: Any) -> None:
    flag = make_red_flag(
        make_patient(), what_was_done="shoes off", referred_to="clinic", answered_at=now, answered_by=clinician
    )
    answer = signed_in(clinician).post(
        reverse("red-flag-answer", args=[flag.uuid]), {"what_was_done": "nothing", "referred_to": "nobody"}
    )
    assert (answer.status_code, "already answered" in answer.content.decode()) == (409, True)
