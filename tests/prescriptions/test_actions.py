"""Beginning, saving, signing, following, repeating and withdrawing a prescription."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from cases.prescriptions import actions, queries
from cases.prescriptions.described import describe, differences_in_words
from cases.prescriptions.models import Prescription
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from shared.versions import Stale
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set, make_measure_set_of_one_foot
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def lines(prescription: Prescription, side: str, part: str) -> dict[str, str] | None:
    foot = next(foot for foot in describe(queries.whole(prescription.uuid)) if foot.side == side)
    found = foot.part(part)
    return dict(found.lines) if found else None


def complete_draft(**kwargs: Any) -> Prescription:
    patient = kwargs.pop("patient", None) or make_patient()
    return make_prescription(
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
        **kwargs,
    )


def message(act: Callable[[], object]) -> str:
    with pytest.raises(Refused) as refused:
        act()
    return refused.value.message


# Beginning ---------------------------------------------------------------------------------------------------


def test_a_draft_begun_after_a_scan_of_one_foot_has_reaches_on_both(clinician: Person, now: datetime) -> None:
    """0.65 of 240 mm along the feather edge, and of 220."""
    patient = make_patient()
    make_measure_set(patient=patient, taken_at=now - timedelta(days=9), both={"heel_to_joint": 200})
    make_measure_set_of_one_foot("left", patient=patient, taken_at=now, both={"heel_to_joint": 220})
    draft = actions.start_prescription(patient, work="new", feet="both", construction="cemented", by=clinician, at=now)
    feet = describe(queries.whole(draft.uuid))
    assert [dict(part.lines)["medial reach"] for foot in feet if (part := foot.part("stiffener"))] == [
        "medium, 156 mm",
        "medium, 143 mm",
    ]


def test_a_draft_begins_with_reaches_of_its_measures_and_heights_of_its_last(clinician: Person, now: datetime) -> None:
    """0.65 of 221 and 201 mm along the feather edge; 0.18 of 285 mm: common practice, no source."""
    patient = make_patient()
    make_last(owner=patient, side="left", length_mm=285, heel_height_mm=20)
    make_measure_set(patient=patient, left={"heel_to_joint": 200, "heel_to_fifth": 180})
    draft = actions.start_prescription(patient, work="new", feet="both", construction="cemented", by=clinician, at=now)
    stiffener, heel = lines(draft, "left", "stiffener"), lines(draft, "left", "heel")
    assert stiffener is not None
    assert (stiffener["medial reach"], stiffener["lateral reach"], stiffener["back height"], heel) == (
        "medium, 144 mm",
        "medium, 131 mm",
        "51 mm",
        {"height": "20 mm"},
    )


@pytest.mark.parametrize(
    ("construction", "puff", "shank", "insole"),
    [
        ("cemented", "standard", "1", "4.2 mm"),
        ("hand-welted", "standard", "1", "5 mm"),
        ("moccasin", "none", None, "4.2 mm"),
        ("sandal", "none", None, "4.2 mm"),
    ],
)
def test_construction_decides_what_a_draft_begins_with(
    *, clinician: Person, now: datetime, construction: str, puff: str, shank: str | None, insole: str
) -> None:
    draft = actions.start_prescription(
        make_patient(), work="new", feet="both", construction=construction, by=clinician, at=now
    )
    begun = [lines(draft, "right", part) or {} for part in ("toe_puff", "shank", "insole")]
    assert (begun[0]["kind"], begun[1].get("number"), begun[2]["thickness"]) == (puff, shank, insole)


@pytest.mark.parametrize("work", ["adaptation", "repair"])
def test_work_on_a_shoe_that_is_there_begins_empty(clinician: Person, now: datetime, work: str) -> None:
    draft = actions.start_prescription(
        make_patient(), work=work, feet="right", construction="cemented", by=clinician, at=now
    )
    (right,) = describe(queries.whole(draft.uuid))
    assert [part.part for part in right.parts] == ["construction"]


def test_a_side_with_two_lasts_asks_which(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    make_last(owner=patient, side="left")
    make_last(owner=patient, side="left")
    right = make_last(owner=patient, side="right")
    draft = actions.start_prescription(patient, work="new", feet="both", construction="cemented", by=clinician, at=now)
    assert [foot.last for foot in draft.foot_set.all()] == [None, right]


def test_prescriptions_of_a_client_are_numbered_in_turn(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    numbers = [
        actions.start_prescription(
            patient, work="new", feet="both", construction="cemented", by=clinician, at=now
        ).number
        for _ in range(3)
    ]
    assert numbers == [1, 2, 3]


# Saving ------------------------------------------------------------------------------------------------------


def test_parts_that_are_not_named_stay(clinician: Person, now: datetime) -> None:
    draft = make_prescription(left={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    before = queries.whole(draft.uuid)
    actions.save_draft(draft, seen_version=1, parts={"left": {"heel": {"height_mm": 18}}}, by=clinician, at=now)
    changed = differences_in_words(before, queries.whole(draft.uuid))
    assert [(change.side, change.part) for change in changed] == [("left", "heel")]


def test_a_foot_goes_when_the_work_is_no_longer_on_it(clinician: Person, now: datetime) -> None:
    draft = make_prescription()
    actions.save_draft(draft, seen_version=1, fields={"feet": "right"}, by=clinician, at=now)
    assert [foot.side for foot in describe(queries.whole(draft.uuid))] == ["right"]


def test_a_foot_comes_with_its_starting_values_when_the_work_is_on_it(clinician: Person, now: datetime) -> None:
    draft = make_prescription(feet="right")
    actions.save_draft(draft, seen_version=1, fields={"feet": "both"}, by=clinician, at=now)
    stiffener = lines(draft, "left", "stiffener")
    assert stiffener is not None
    assert stiffener["medial reach"] == "medium"


def test_a_save_on_what_somebody_else_saved_is_stale(clinician: Person, now: datetime) -> None:
    draft = make_prescription()
    actions.save_draft(draft, seen_version=1, fields={"purpose": "winter"}, by=clinician, at=now)
    with pytest.raises(Stale):
        actions.save_draft(draft, seen_version=1, fields={"purpose": "summer"}, by=clinician, at=now)


def test_copying_leaves_each_foot_its_own_last(clinician: Person, now: datetime) -> None:
    draft = complete_draft(left={"heel": {"height_mm": 18}})
    before = [foot.last for foot in draft.foot_set.all()]
    actions.copy_foot(draft, seen_version=1, of="left", by=clinician, at=now)
    after = queries.whole(draft.uuid)
    assert ([foot.last for foot in after.foot_set.all()], lines(draft, "right", "heel")) == (
        before,
        {"height": "18 mm", "material": "microcellular rubber"},
    )


def test_there_is_nothing_to_copy_to_where_the_work_is_on_one_shoe(clinician: Person, now: datetime) -> None:
    draft = make_prescription(feet="left")
    said = message(lambda: actions.copy_foot(draft, seen_version=1, of="left", by=clinician, at=now))
    assert said == "The work is on one shoe only: there is no other to copy to."


# Signing -----------------------------------------------------------------------------------------------------


def test_a_signed_version_names_its_signer_and_the_state_of_its_lasts(clinician: Person, now: datetime) -> None:
    draft = complete_draft()
    actions.sign_prescription(draft, seen_version=1, by=clinician, at=now)
    version = queries.whole(draft.uuid)
    states = [foot.last_version for foot in version.foot_set.all()]
    assert (version.status, version.signed_by, version.signed_at, states) == ("signed", clinician, now, [1, 1])


def test_an_incomplete_draft_is_not_signed_and_says_what_is_missing(clinician: Person, now: datetime) -> None:
    draft = make_prescription(both={"sole": None}, left={"toe_puff": None})
    with pytest.raises(actions.Incomplete) as refused:
        actions.sign_prescription(draft, seen_version=1, by=clinician, at=now)
    assert refused.value.missing == (
        "LEFT: the last it is built on.",
        "LEFT: the kind of toe puff, or none.",
        "LEFT: the sole's material and thickness.",
        "RIGHT: the last it is built on.",
        "RIGHT: the sole's material and thickness.",
    )


def test_a_draft_is_not_signed_on_a_last_that_is_not_to_be_used_and_says_why(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    draft = complete_draft(patient=patient)
    cracked = make_last(owner=patient, number="12", side="left", not_used_because="cracked at the hinge")
    draft = actions.save_draft(
        draft, seen_version=draft.version, parts={"left": {"foot": {"last": cracked}}}, by=clinician, at=now
    )
    assert message(lambda: actions.sign_prescription(draft, seen_version=draft.version, by=clinician, at=now)) == (
        "Not signed. Still to be said: LEFT: another last: 12 LEFT is not to be used, cracked at the hinge."
    )


def test_a_draft_does_not_begin_on_a_last_that_is_not_to_be_used(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    make_last(owner=patient, side="left", not_used_because="cracked at the hinge")
    draft = actions.start_prescription(patient, work="new", feet="left", construction="cemented", by=clinician, at=now)
    assert draft.foot_set.get().last is None


def test_a_person_who_may_not_prescribe_cannot_sign(now: datetime) -> None:
    other = make_person(roles=["clinician"])
    draft = complete_draft()
    with pytest.raises(NotAllowed):
        actions.sign_prescription(draft, seen_version=1, by=other, at=now)


def test_signing_a_new_version_supersedes_the_one_it_follows(clinician: Person, now: datetime) -> None:
    first = complete_draft()
    actions.sign_prescription(first, seen_version=1, by=clinician, at=now)
    second = actions.write_new_version(first, reason="Swelling went down.", by=clinician, at=now)
    actions.sign_prescription(second, seen_version=1, by=clinician, at=now)
    statuses = [version.status for version in queries.versions_of(first)]
    assert statuses == ["signed", "superseded"]


def test_what_is_signed_is_told_in_the_client_s_story(clinician: Person, now: datetime) -> None:
    draft = complete_draft(number=7)
    actions.sign_prescription(draft, seen_version=1, by=clinician, at=now)
    deed = Deed.objects.get(action="sign_prescription")
    assert (deed.says, deed.who_name, deed.patient_uuid) == (
        "Signed prescription 7, version 1.",
        clinician.name,
        draft.patient.uuid,
    )


# New versions ------------------------------------------------------------------------------------------------


def test_a_new_version_holds_everything_the_signed_one_holds(clinician: Person, now: datetime) -> None:
    first = make_signed_prescription(
        left={
            "rocker": {"apex_percent": 55, "angle_deg": 15},
            "reliefs": [{"place": "heel", "width_mm": 34, "height_mm": 26, "way": "cut out"}],
        },
        shoe_weight_limit_g=650,
        trial_shoe=True,
    )
    draft = actions.write_new_version(first, reason="Worn out.", by=clinician, at=now)
    assert (differences_in_words(first, queries.whole(draft.uuid)), draft.version_no, draft.reason) == (
        (),
        2,
        "Worn out.",
    )


def test_the_reason_of_a_new_version_is_kept_as_typed(clinician: Person, now: datetime) -> None:
    actions.write_new_version(make_signed_prescription(), reason="Worn out.", by=clinician, at=now)
    deed = Deed.objects.get(action="write_new_version")
    assert (deed.reason, deed.reason_typed) == ("Worn out.", True)


def test_there_is_no_second_draft_of_one_prescription(clinician: Person, now: datetime) -> None:
    first = make_signed_prescription()
    actions.write_new_version(first, reason="Worn out.", by=clinician, at=now)
    said = message(lambda: actions.write_new_version(first, reason="Again.", by=clinician, at=now))
    assert said == "There is a draft of this prescription already. Go on with that one, or withdraw it."


def test_a_superseded_version_is_not_followed_again(clinician: Person, now: datetime) -> None:
    first = complete_draft()
    actions.sign_prescription(first, seen_version=1, by=clinician, at=now)
    second = actions.write_new_version(first, reason="Worn out.", by=clinician, at=now)
    actions.sign_prescription(second, seen_version=1, by=clinician, at=now)
    said = message(lambda: actions.write_new_version(first, reason="Again.", by=clinician, at=now))
    assert said == "A newer version was signed. Write a new version of that one."


def test_after_a_draft_was_withdrawn_another_may_follow(clinician: Person, now: datetime) -> None:
    first = make_signed_prescription()
    actions.withdraw_prescription(
        actions.write_new_version(first, reason="A mistake.", by=clinician, at=now), by=clinician, at=now
    )
    third = actions.write_new_version(first, reason="Worn out.", by=clinician, at=now)
    assert (third.version_no, third.supersedes) == (3, first)


def test_a_repeat_is_a_new_draft_of_the_same_shoe_on_the_same_lasts(clinician: Person, now: datetime) -> None:
    first = complete_draft(number=4)
    actions.sign_prescription(first, seen_version=1, by=clinician, at=now)
    repeat = actions.repeat_prescription(first, by=clinician, at=now)
    before, after = queries.whole(first.uuid), queries.whole(repeat.uuid)
    changed = [line.label for change in differences_in_words(before, after) for line in change.lines]
    assert (repeat.number, repeat.status, changed) == (5, "draft", ["work"])


def test_a_draft_is_not_repeated(clinician: Person, now: datetime) -> None:
    draft = make_prescription()
    said = message(lambda: actions.repeat_prescription(draft, by=clinician, at=now))
    assert said == "Only a prescription that was signed is repeated."


# Withdrawing -------------------------------------------------------------------------------------------------


def test_a_signed_version_is_withdrawn_by_a_prescriber_alone(now: datetime) -> None:
    signed = make_signed_prescription()
    with pytest.raises(NotAllowed):
        actions.withdraw_prescription(signed, by=make_person(roles=["clinician"]), at=now)


def test_a_withdrawn_version_is_not_withdrawn_again(clinician: Person, now: datetime) -> None:
    signed = make_signed_prescription()
    actions.withdraw_prescription(signed, by=clinician, at=now)
    said = message(lambda: actions.withdraw_prescription(signed, by=clinician, at=now))
    assert said == "This version is withdrawn already."
