"""The review letter, read back: who, what was found and made, how it is worn, each foot in its own half."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import transaction
from django.utils import timezone

from cases.fittings.entries import FootReview
from cases.fittings.models import Review
from cases.overview.review_letter import NO_CONSENT, NO_REFERRER, print_review_letter
from cases.patients.models import Paper, Patient, Referrer
from cases.prescriptions.described import FootInWords, describe
from cases.prescriptions.queries import whole
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.bench import bring_to_the_end
from tests.factories.fittings import make_hand_over, make_review, worn_pair
from tests.factories.patients import make_finding, make_patient, make_referrer
from tests.factories.staff import make_person
from tests.papers.pairs import LEFT_FULL, RIGHT_ORDINARY, open_for
from tests.papers.reading import ReadPaper, missing

pytestmark = pytest.mark.django_db

PURPOSE = "everyday, indoors and out"


def write_down_what_was_found(patient: Patient) -> None:
    """A collapsed arch at the left, a stiff big toe at the right, and falls."""
    earlier = timezone.localdate() - timedelta(days=200)
    make_finding(
        patient, side=Side.LEFT, condition="pes_planovalgus", flexibility="flexible", marked="marked", since="4 years",
        found_on=earlier,
    )  # fmt: skip
    make_finding(patient, side=Side.RIGHT, condition="hallux_rigidus", marked="severe", found_on=earlier)
    make_finding(patient, side=None, condition="falls", note="twice, on the stairs", found_on=earlier)
    make_finding(
        patient, side=Side.LEFT, condition="corn", place="5th toe", found_on=earlier,
        ended_on=timezone.localdate() - timedelta(days=30),
    )  # fmt: skip


@dataclass(frozen=True)
class Printed:
    """A letter that was printed once for many tests, and what it was printed from."""

    letter: ReadPaper
    feet: Sequence[FootInWords]
    number: int
    record_number: str
    next_review_on: date


@pytest.fixture(scope="module")
def printed(django_db_setup, django_db_blocker) -> Printed:
    """About a pair with every part on the LEFT. Nothing of it stays in the database."""
    with django_db_blocker.unblock(), transaction.atomic():
        at = timezone.localtime().replace(hour=10, minute=0)
        clinician = make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)
        patient = make_patient(
            given_names="Maren", family_name="Fosdyke", born_on=date(1957, 3, 14), letters_consent=True,
            referrer=make_referrer(name="Dr Hazel Invented", address="2 Mill Lane\nInventedby"),
            referred_on=date(2026, 3, 2), referral_reason="Left arch has given way.",
        )  # fmt: skip
        write_down_what_was_found(patient)
        pair = open_for(patient, by=clinician, at=at, left=LEFT_FULL, right=RIGHT_ORDINARY, purpose=PURPOSE)
        bring_to_the_end(pair, by=clinician, at=at)
        pair.refresh_from_db()
        make_hand_over(pair, by=clinician, at=at - timedelta(hours=2))
        pair.refresh_from_db()
        next_review_on = timezone.localdate(at) + timedelta(days=90)
        review = make_review(
            pair, by=clinician, at=at, worn="part of the day", hours_a_day=Decimal("5.5"), why_not_worn="slippers at home",
            walking_before="to the gate", walking_now="to the shop and back", pain_before=7, pain_now=3,
            feet=[
                FootReview("left", "pink over the medial arch, gone in 10 minutes", "collar sits"),
                FootReview("right", "clear", "toe box roomy"),
            ],
            plan="Soften the medial arch a little.", next_review_on=next_review_on,
        )  # fmt: skip
        assert pair.working_to
        made = Printed(
            letter=ReadPaper(print_review_letter(review.uuid, by=clinician, at=at).pdf),
            feet=describe(whole(pair.working_to.uuid)),
            number=pair.number,
            record_number=patient.record_number,
            next_review_on=next_review_on,
        )
        transaction.set_rollback(True)
    return made


@pytest.fixture
def letter(printed: Printed) -> ReadPaper:
    return printed.letter


def not_said(letter: ReadPaper, *words: str) -> list[str]:
    return [each for each in words if each not in letter.text]


def test_the_letter_is_addressed_to_whoever_referred(letter) -> None:
    assert not_said(letter, "Dr Hazel Invented", "2 Mill Lane", "Inventedby") == []


def test_the_letter_says_whom_it_is_about_and_why_they_were_referred(letter, printed) -> None:
    about = ["Maren Fosdyke", "born 14 March 1957", f"record number {printed.record_number}"]
    assert not_said(letter, *about, "on 2 March 2026: Left arch has given way.") == []


def test_the_letter_greets_thanks_and_closes(letter) -> None:
    assert not_said(letter, "Dear colleague,", "Thank you for referring this client", "Yours sincerely,") == []


def test_the_letter_says_what_risk_a_diabetic_foot_has_and_by_what_table(clinician, now) -> None:
    review = reviewed(clinician, now, diabetes="yes", screened_elsewhere_by="the foot protection clinic")
    make_finding(review.pair.patient, side=Side.LEFT, condition="loss_of_protective_sensation")
    make_finding(review.pair.patient, side=Side.LEFT, condition="healed_ulcer")
    said = ["Diabetes: risk 3 (high)", "International Working Group on the Diabetic Foot", "the foot protection clinic"]
    assert not_said(ReadPaper(print_review_letter(review.uuid, by=clinician, at=now).pdf), *said) == []


def test_a_client_without_diabetes_has_no_word_of_it_in_the_letter(letter) -> None:
    assert "iabet" not in letter.text


def test_what_was_found_stands_in_clinical_and_plain_words_under_its_foot(letter) -> None:
    assert ("Pes planovalgus" in letter.left, "Pes planovalgus" in letter.right) == (True, False)
    assert ("Hallux rigidus" in letter.right, "Hallux rigidus" in letter.left) == (True, False)
    assert "marked, flexible, since 4 years" in letter.left


def test_what_was_found_about_the_person_stands_above_both_feet(letter) -> None:
    assert not_said(letter, "About the person", "Falls in the last 12 months", "twice, on the stairs") == []


def test_a_finding_that_had_ended_before_the_review_is_not_told(letter) -> None:
    assert "5th toe" not in letter.text


@pytest.mark.parametrize("place", [0, 1], ids=["LEFT", "RIGHT"])
def test_what_was_made_stands_in_words_under_its_foot(printed, place) -> None:
    foot = printed.feet[place]
    without_last = FootInWords(
        foot.side, tuple(part for part in foot.visible if part.part != "last"), foot.closed_in, foot.underfoot
    )
    assert missing(printed.letter, without_last) == []


def test_how_the_pair_is_worn_is_told_before_and_now(letter) -> None:
    worn = ["part of the day, 5.5 h a day; slippers at home", "to the gate", "to the shop and back"]
    assert not_said(letter, *worn, "7 of 10", "3 of 10") == []


def test_the_parts_of_the_shoes_stand_on_a_page_of_their_own_after_the_signature(letter) -> None:
    pages = [page.extract_text() for page in letter.reader.pages]
    signed = next(place for place, text in enumerate(pages) if "Yours sincerely" in text)
    assert [place for place, text in enumerate(pages) if "Enclosure: the prescription" in text] == [signed + 1]


def test_the_skin_is_told_under_its_foot(letter) -> None:
    pink = "pink over the medial arch, gone in 10 minutes"
    assert (pink in letter.left, pink in letter.right, "toe box roomy" in letter.right) == (True, False, True)


def test_the_plan_and_the_next_review_are_told(letter, printed) -> None:
    day = printed.next_review_on
    assert not_said(letter, "Soften the medial arch a little.", f"{day.day} {day:%B %Y}") == []


def test_the_letter_says_that_it_decides_nothing(letter) -> None:
    assert not_said(letter, "the report of a workshop", "rest with those licensed to make them") == []


def test_the_letter_is_tagged_for_readers_of_all_kinds(letter) -> None:
    root = letter.reader.trailer["/Root"]
    assert (root["/Lang"], root["/MarkInfo"]["/Marked"].value) == ("en", True)


# Whether it may be written, and how it is kept ------------------------------------------------------------------------


def reviewed(clinician, now, **of_patient) -> Review:
    """A review of a repaired pair whose client has a referrer and agreed to letters, unless said otherwise."""
    pair = worn_pair(by=clinician, at=now)
    fields = {"letters_consent": True, "referrer": make_referrer(), **of_patient}
    with setting_up():
        Patient.objects.filter(pk=pair.patient_id).update(**fields)
    return make_review(pair, by=clinician, at=now)


def test_a_client_who_did_not_agree_has_no_letter(clinician, now) -> None:
    review = reviewed(clinician, now, letters_consent=False)
    with pytest.raises(Refused, match=NO_CONSENT):
        print_review_letter(review.uuid, by=clinician, at=now)


def test_a_client_without_a_referrer_has_no_letter(clinician, now) -> None:
    review = reviewed(clinician, now, referrer=None)
    with pytest.raises(Refused, match=NO_REFERRER):
        print_review_letter(review.uuid, by=clinician, at=now)


def test_a_repair_without_a_prescription_has_a_letter_all_the_same(clinician, now) -> None:
    review = reviewed(clinician, now)
    assert not_said(ReadPaper(print_review_letter(review.uuid, by=clinician, at=now).pdf), "new heels") == []


def test_an_unchanged_review_gives_the_letter_that_was_kept(clinician, now, tomorrow) -> None:
    review = reviewed(clinician, now)
    first = print_review_letter(review.uuid, by=clinician, at=now)
    assert (print_review_letter(review.uuid, by=clinician, at=tomorrow), Paper.objects.count()) == (first, 1)


def test_another_address_makes_a_new_letter_that_replaces_the_old(clinician, now, tomorrow) -> None:
    review = reviewed(clinician, now)
    first = print_review_letter(review.uuid, by=clinician, at=now)
    with setting_up():
        Referrer.objects.update(address="3 New Street")
    second = print_review_letter(review.uuid, by=clinician, at=tomorrow)
    assert (second.replaces, not_said(ReadPaper(second.pdf), "3 New Street")) == (first, [])


@pytest.mark.parametrize(("name", "says"), [("The Last Bench", 1), ("", 0)])
def test_the_head_is_the_workshops_or_blank(clinician, now, settings, name, says) -> None:
    settings.WORKSHOP_NAME = name
    letter = ReadPaper(print_review_letter(reviewed(clinician, now).uuid, by=clinician, at=now).pdf)
    assert letter.text.count("The Last Bench") == says
