"""The one next thing that a client's page offers, from the first visit to the next pair."""

from dataclasses import replace
from uuid import UUID, uuid4

import pytest

from cases.overview.next_thing import Offer, Standing, next_thing

PATIENT, THING = uuid4(), uuid4()
CLINICIAN = frozenset({"clinician"})
NEW = Standing(patient=PATIENT, roles=CLINICIAN)
FOUND = replace(NEW, has_findings=True)
MEASURED = replace(FOUND, has_measures=True)
PRESCRIBED = replace(MEASURED, has_prescription=True)


def booking(words: str, *, kind: str = "", about: UUID | None = None) -> Offer:
    query = {"patient": str(PATIENT)}
    if kind:
        query["kind"] = kind
    if about:
        query["about"] = str(about)
    return Offer(words, "visit-book", query=query)


@pytest.mark.parametrize(
    ("standing", "offer"),
    [
        (NEW, Offer("Record what was found", "finding-add", (PATIENT,))),
        (FOUND, Offer("Measure both feet", "measures-new", (PATIENT,))),
        (MEASURED, Offer("Write the prescription", "prescription-new", (PATIENT,))),
        (replace(PRESCRIBED, to_sign=THING), Offer("Go on with the draft", "prescription", (THING,))),
        (replace(PRESCRIBED, to_open=THING), Offer("Open the pair on the bench", "pair-open", (THING,))),
        (
            replace(PRESCRIBED, waits_for_visit="rough-fitting", waiting=THING),
            booking("Book the rough fitting", kind="rough-fitting", about=THING),
        ),
        (replace(PRESCRIBED, ready=THING), booking("Book the final fitting", kind="final-fitting", about=THING)),
        (replace(PRESCRIBED, worn=THING), booking("Book the review", kind="review", about=THING)),
        (PRESCRIBED, booking("Book a visit")),
    ],
)
def test_a_clinician_is_offered_what_comes_next(standing, offer) -> None:
    assert next_thing(standing) == offer


def test_a_red_flag_comes_before_everything() -> None:
    standing = replace(NEW, red_flag=THING, visit_today=uuid4(), ready=uuid4())
    assert next_thing(standing) == Offer("Answer the red flag", "red-flag-answer", (THING,))


def test_todays_visit_comes_before_anything_to_be_booked_or_written() -> None:
    assert next_thing(replace(NEW, visit_today=THING)) == Offer("Go to today's visit", "visit", (THING,))


def test_nothing_is_booked_twice() -> None:
    assert next_thing(replace(PRESCRIBED, ready=THING, has_visit_to_come=True)) == booking("Book a visit")


@pytest.mark.parametrize("standing", [NEW, FOUND, MEASURED, replace(PRESCRIBED, to_sign=THING, to_open=THING)])
def test_reception_is_offered_nothing_clinical(standing) -> None:
    assert next_thing(replace(standing, roles=frozenset({"reception"}))) == booking("Book a visit")


def test_a_manager_may_open_the_pair() -> None:
    standing = replace(PRESCRIBED, roles=frozenset({"manager"}), to_open=THING)
    assert next_thing(standing) == Offer("Open the pair on the bench", "pair-open", (THING,))
