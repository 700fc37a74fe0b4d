"""The pair's page: what its shoes hold, how far it is, what was promised, and its story in plain sentences."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.bench.actions import promise_again, take_back_ticks, tick_stages
from cases.fittings.actions import record_fitting
from cases.overview.job_card import print_job_card
from cases.overview.pair import story_of
from cases.patients.models import Patient
from shared.history import acting
from tests.factories.base import setting_up
from tests.factories.bench import bring_to, differ, make_pair, requirement, stages
from tests.factories.fittings import lasted_pair, make_review, visit_about, worn_pair
from tests.factories.patients import make_allergy, make_patient, make_referrer
from tests.factories.staff import make_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(clinician, now):
    patient = make_patient(given_names="Maren", family_name="Fosdyke")
    return make_pair(by=clinician, at=now, patient=patient, left={"stiffener": {"medial_reach_mm": 183}})


def page_of(pair) -> str:
    return reverse("pair", args=[pair.uuid])


def words_of(answer) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def test_what_the_shoes_hold_stands_under_its_own_foot(signed_in, clinician, pair) -> None:
    text = signed_in(clinician).get(page_of(pair)).content.decode()
    closed_in = text.index('id="group-closed_in"')
    left, right = text.index('class="foot left"', closed_in), text.index('class="foot right"', closed_in)
    assert (left < text.index("medium, 183 mm") < right, text.count("medium, 183 mm")) == (True, 1)


def test_the_stitch_line_is_drawn_large_with_its_words(signed_in, maker, pair) -> None:
    answer = signed_in(maker).get(page_of(pair))
    assert 'class="stitches large"' in answer.content.decode()
    assert answer.context["progress"].line.words == "stage 1 of 24, gather last, cast, card and materials"


def test_a_knot_says_how_far_the_checks_of_a_stage_are(signed_in, maker, clinician, pair, now) -> None:
    def knots() -> list[str]:
        line = signed_in(maker).get(page_of(pair)).context["progress"].line
        return [stitch.knot for stitch in line.stitches if stitch.name.startswith("Cut, skive")]

    bring_to(pair, "cut-stiffeners", by=maker, at=now)
    before = knots()
    for side in ("left", "right"):
        for part in ("stiffener", "toe_puff"):
            found = "edge to be felt" if (side, part) == ("left", "stiffener") else ""
            differ(requirement(pair, part, "part", side), found, by=maker, at=now)
    assert (before, knots()) == (["asked"], ["differs"])


def test_a_maker_reads_initials_and_record_number_on_the_screen(signed_in, maker, pair) -> None:
    text = words_of(signed_in(maker).get(page_of(pair)))
    assert (f"M. F., record {pair.patient.record_number}" in text, "Fosdyke" in text) == (True, False)


def test_a_maker_is_led_to_the_bench_first(signed_in, maker, pair) -> None:
    text = signed_in(maker).get(page_of(pair)).content.decode()
    assert text.count("primary big") == 1
    assert f'class="button primary big" href="{reverse("pair-bench", args=[pair.uuid])}"' in text


def test_reception_reads_how_far_it_is_and_nothing_clinical(signed_in, reception, maker, pair, now) -> None:
    make_allergy(pair.patient, substance="rubber")
    text = words_of(signed_in(reception).get(page_of(pair)))
    assert ("Fosdyke" in text, "Promised" in text) == (True, True)
    assert [words for words in ("183 mm", "rubber", "Its story", "Print the job card") if words in text] == []


def test_an_allergy_is_told_to_whoever_works_on_the_pair(signed_in, maker, pair) -> None:
    make_allergy(pair.patient, substance="rubber")
    assert "Allergy: rubber" in words_of(signed_in(maker).get(page_of(pair)))


def test_every_promised_day_stays_to_be_read(signed_in, manager, pair, now) -> None:
    first = pair.promised_day
    promise_again(pair, day=first + timedelta(days=7), reason="waits for leather", by=manager, at=now)
    promises = signed_in(manager).get(page_of(pair)).context["promises"]
    assert [(each["day"], each["reason"]) for each in promises] == [
        (first + timedelta(days=7), "waits for leather"),
        (first, "first promise"),
    ]


def test_a_difference_is_told_with_its_foot_and_its_state(signed_in, clinician, maker, pair, now) -> None:
    bring_to(pair, "cut-stiffeners", by=maker, at=now)
    asked = requirement(pair, "stiffener", "part")
    differ(asked, "edge to be felt", by=maker, at=now)
    text = words_of(signed_in(clinician).get(page_of(pair)))
    assert "LEFT , stiffener: edge to be felt waiting for a clinician" in text


@pytest.mark.parametrize("role", ["clinician", "maker"])
def test_a_fitting_leads_to_its_page(signed_in, clinician, now, request, role) -> None:
    pair = lasted_pair(by=clinician, at=now)
    visit = visit_about(pair, kind="rough-fitting", by=clinician, at=now)
    fitting = record_fitting(
        visit, pair=pair, kind="rough", outcome="accept", findings=[], note="", by=clinician, at=now
    )
    text = signed_in(request.getfixturevalue(role)).get(page_of(pair)).content.decode()
    assert (reverse("fitting", args=[fitting.uuid]) in text, "accept: go on" in text) == (True, True)


def test_a_pair_that_does_not_exist_is_not_found(signed_in, clinician) -> None:
    assert signed_in(clinician).get(reverse("pair", args=["1d41bc0e-0000-4000-8000-000000000000"])).status_code == 404


def test_an_administrator_has_no_business_with_a_pair(signed_in, administrator, pair) -> None:
    assert signed_in(administrator).get(page_of(pair)).status_code == 403


# Its story ----------------------------------------------------------------------------------------------------------


def test_the_story_is_told_in_the_order_in_which_things_were_done(pair, maker, now) -> None:
    # What was done at the bench in the morning and written down in the evening stands where it belongs.
    tick_stages(pair, stages=stages(pair, "gather"), by=maker, at=now + timedelta(hours=2))
    with acting(by=maker, action="note", says="Found the last.", at=now + timedelta(hours=1), pair=pair.uuid):
        pass
    told = [each.says for each in story_of(pair)]
    assert [told.index("Found the last."), len(told)] == [1, 3]


def test_a_reason_is_told_only_where_somebody_typed_one(pair, maker, now) -> None:
    tick_stages(pair, stages=stages(pair, "gather"), by=maker, at=now)
    take_back_ticks(pair, stages=stages(pair, "gather"), reason="wrong pair", by=maker, at=now)
    assert [each.because for each in story_of(pair)] == ["", "", "wrong pair"]


@pytest.mark.parametrize(("minutes_ago", "is_told"), [(16, True), (14, False)])
def test_an_entry_made_later_says_when(pair, maker, minutes_ago, is_told) -> None:
    done_at = timezone.now() - timedelta(minutes=minutes_ago)
    with acting(by=maker, action="note", says="Closed the uppers.", at=done_at, pair=pair.uuid):
        pass
    told = next(each for each in story_of(pair) if each.says == "Closed the uppers.")
    assert (told.entered_at is not None) == is_told


def test_the_story_names_who_did_what_and_when(signed_in, clinician, maker, pair, now) -> None:
    tick_stages(pair, stages=stages(pair, "gather"), by=maker, at=now)
    text = words_of(signed_in(clinician).get(page_of(pair)))
    assert f"{now:%a} {now.day} {now:%b %H:%M}, Max Maker: " in text


# Papers ---------------------------------------------------------------------------------------------------------------


def test_the_job_card_is_printed_with_one_touch_and_shown(signed_in, maker, pair) -> None:
    client = signed_in(maker)
    answer = client.post(reverse("job-card-print", args=[pair.uuid]))
    shown = client.get(answer.headers["Location"])
    assert (answer.status_code, shown.headers["Content-Type"], shown.content[:5]) == (303, "application/pdf", b"%PDF-")


def test_the_review_letter_is_printed_with_one_touch_and_shown(signed_in, clinician, now) -> None:
    pair = worn_pair(by=clinician, at=now)
    review = make_review(pair, by=clinician, at=now)
    referrer = make_referrer()
    with setting_up():
        Patient.objects.filter(pk=pair.patient_id).update(letters_consent=True, referrer=referrer)
    client = signed_in(clinician)
    answer = client.post(reverse("review-letter-print", args=[review.uuid]))
    shown = client.get(answer.headers["Location"])
    assert (answer.status_code, shown.content[:5]) == (303, b"%PDF-")


def test_a_refused_letter_says_why(signed_in, clinician, now) -> None:
    review = make_review(worn_pair(by=clinician, at=now), by=clinician, at=now)
    answer = signed_in(clinician).post(reverse("review-letter-print", args=[review.uuid]))
    assert (answer.status_code, "has not agreed to letters" in answer.content.decode()) == (409, True)


@pytest.mark.parametrize(
    ("name", "role", "status"),
    [
        ("job-card-print", "reception", 403),
        ("job-card-print", "administrator", 403),
        ("review-letter-print", "reception", 403),
        ("review-letter-print", "maker", 403),
        ("job-card-print", "clinician", 404),
        ("review-letter-print", "clinician", 404),
    ],
)
def test_a_paper_is_printed_by_those_who_may_read_it_alone(signed_in, name, role, status) -> None:
    address = reverse(name, args=["1d41bc0e-0000-4000-8000-000000000000"])
    assert signed_in(make_person(roles=[role])).post(address).status_code == status


def test_the_page_lists_the_papers_about_the_pair(signed_in, maker, pair, now) -> None:
    paper = print_job_card(pair.uuid, by=maker, at=now)
    assert reverse("paper", args=[paper.uuid]) in signed_in(maker).get(page_of(pair)).content.decode()


def test_a_paper_that_was_replaced_is_marked(signed_in, maker, pair, now) -> None:
    print_job_card(pair.uuid, by=maker, at=now)
    make_allergy(pair.patient, substance="rubber")
    print_job_card(pair.uuid, by=maker, at=now + timedelta(hours=1))
    papers = signed_in(maker).get(page_of(pair)).context["papers"]
    assert [paper["replaced_by"] is not None for paper in papers] == [False, True]
