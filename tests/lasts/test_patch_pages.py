"""Patches, measuring again, bottom and deformities of a last: what their pages keep and what they refuse."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from cases.lasts import actions
from cases.lasts.models import BottomCheck, Last, LastDeformity, LastPatch
from cases.patients.models import Finding
from shared.sides import Side
from tests.factories.patients import make_finding
from tests.lasts.shaped import owner_of, page, set_target
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("figures")]


Sign = Callable[[Person], Any]


# Patches and altering ---------------------------------------------------------------------------------------------


def test_a_patch_begins_with_what_the_target_asks_for(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now)
    address = reverse("last-patch-new", args=[left.uuid])
    form = signed_in(maker).get(address, {"station": "joint"}).context["form"]
    assert [form[name].value() for name in ("work", "station", "height_mm", "feather_mm")] == [
        "build up",
        "joint",
        "3",
        "25",
    ]


@pytest.mark.parametrize("station", ["toe_depth", "knee", ""], ids=["nothing asked", "unknown", "none"])
def test_a_patch_begins_empty_where_the_target_asks_for_nothing(
    maker: Person, signed_in: Sign, left: Last, now: datetime, station: str
) -> None:
    set_target(left, maker, now)
    answer = signed_in(maker).get(reverse("last-patch-new", args=[left.uuid]), {"station": station})
    assert answer.context["form"]["height_mm"].value() is None


CP = "(common practice, no source)"


@pytest.mark.parametrize(
    ("planned", "said"),
    [
        (("build up", "10"), []),
        (("build up", "10.5"), [f"10.5 mm is planned: above 10 mm {CP}, is a new last the better work?"]),
        (("build up", "60"), [f"60 mm is planned: at most 12 mm {CP} is built up, above it a new last is made."]),
        (("take down", "3"), []),
        (
            ("take down", "4"),
            [f"4 mm is planned: a plastic last bears 3 mm {CP} taken down; a wooden one alone bears more."],
        ),
        (
            ("take down", "6"),
            [f"6 mm is planned: a wooden last bears 5 mm {CP} taken down, a plastic one 3 mm {CP}."],
        ),
    ],
)
def test_a_patch_beyond_a_limit_is_planned_and_the_limit_said(
    maker: Person, signed_in: Sign, left: Last, planned: tuple[str, str], said: list[str]
) -> None:
    entries = {"work": planned[0], "place": "dorsum", "height_mm": planned[1]}
    page = signed_in(maker).post(reverse("last-patch-new", args=[left.uuid]), entries, follow=True)
    assert ([str(each) for each in page.context["messages"]], LastPatch.objects.count()) == (said, 1)


def test_a_planned_patch_is_said_to_be_done_with_its_measure(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    client = signed_in(maker)
    entries = {"work": "build up", "station": "joint", "place": "medial, over the 1st joint", "height_mm": "3"}
    client.post(reverse("last-patch-new", args=[left.uuid]), {**entries, "material": "cork"})
    patch = LastPatch.objects.get()
    done = {
        "seen_version": "1",
        "alteration_note": "",
        "length_mm": "285",
        "heel_height_mm": "22",
        "toe_spring_mm": "12",
        "toe_shape": "round",
        "patches-done": str(patch.uuid),
        "after-joint_girth_mm": "257",
    }
    client.post(reverse("last-alter", args=[left.uuid]), done)
    patch.refresh_from_db()
    left.refresh_from_db()
    assert (patch.done_by, left.joint_girth_mm, left.alteration_note, left.awaits_tape) == (
        maker,
        Decimal(257),
        "build up 3 mm, medial, over the 1st joint",
        False,
    )


def test_a_patch_of_the_other_last_is_not_offered(maker: Person, signed_in: Sign, left: Last, now: datetime) -> None:
    right = Last.objects.get(number="7", side="right")
    actions.plan_patch(right, work="build up", place="dorsum", height_mm=Decimal(3), by=maker, at=now)
    work = page(signed_in(maker), left, "last-alter").context["work"]
    assert (list(work.fields["done"].choices), list(work.fields["off"].choices)) == ([], [])


def test_a_planned_patch_is_given_up_with_one_touch(maker: Person, signed_in: Sign, left: Last, now: datetime) -> None:
    patch = actions.plan_patch(left, work="build up", place="dorsum", height_mm=Decimal(3), by=maker, at=now)
    signed_in(maker).post(reverse("last-patch-drop", args=[patch.uuid]))
    patch.refresh_from_db()
    assert patch.removed_at is not None


# Measuring again ---------------------------------------------------------------------------------------------


def test_a_last_is_measured_in_inches_and_kept_in_mm(maker: Person, signed_in: Sign, left: Last) -> None:
    signed_in(maker).post(
        reverse("last-measure", args=[left.uuid]), {"seen_version": "1", "waist_girth_mm": "9 1/2 in"}
    )
    left.refresh_from_db()
    assert left.waist_girth_mm == Decimal("241.3")


def test_the_two_lengths_to_the_joints_are_told_apart_by_their_side(maker: Person, signed_in: Sign, left: Last) -> None:
    form = page(signed_in(maker), left, "last-measure").context["form"]
    assert [form[name].label for name in ("heel_to_joint_mm", "heel_to_fifth_mm")] == [
        "heel to joint, medial, mm",
        "heel to joint, lateral, mm",
    ]


def test_a_last_measured_beyond_the_tolerance_is_said_to_be_a_new_state(
    maker: Person, signed_in: Sign, left: Last
) -> None:
    entries = {"seen_version": "1", "joint_girth_mm": "255"}
    answer = signed_in(maker).post(reverse("last-measure", args=[left.uuid]), entries, follow=True)
    assert [str(message) for message in answer.context["messages"]] == [
        "A new state, to be agreed again: joint girth 255 mm, was 248 mm."
    ]


def test_whoever_measures_a_last_that_changed_meanwhile_sees_what_changed(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    actions.measure_last(left, seen_version=1, measured={"joint_girth_mm": Decimal(256)}, by=maker, at=now)
    entries = {"seen_version": "1", "joint_girth_mm": "260"}
    answer = signed_in(maker).post(reverse("last-measure", args=[left.uuid]), entries)
    assert (answer.status_code, answer.context["stale_rows"]) == (409, [("Joint girth, mm", "256.0", "260")])


# The bottom and the deformities ------------------------------------------------------------------------------------


def test_the_bottom_is_held_against_the_cast_part_by_part(maker: Person, signed_in: Sign, left: Last) -> None:
    entries = {
        "seen_version": "1",
        "by_gauge": "gauge",
        "arch-verdict": "gap",
        "arch-off_by_mm": "3",
        "arch-note": "under the navicular",
        "heel_seat-verdict": "fits",
    }
    signed_in(maker).post(reverse("last-bottom", args=[left.uuid]), entries)
    kept = BottomCheck.objects.values_list("part", "verdict", "off_by_mm", "by_gauge", "note")
    assert list(kept) == [
        ("arch", "gap", Decimal(3), True, "under the navicular"),
        ("heel seat", "fits", None, True, ""),
    ]


def test_how_far_off_a_part_is_needs_how_it_lies(maker: Person, signed_in: Sign, left: Last) -> None:
    entries = {"seen_version": "1", "by_gauge": "eye", "arch-off_by_mm": "3"}
    answer = signed_in(maker).post(reverse("last-bottom", args=[left.uuid]), entries)
    assert (answer.status_code, answer.context["form"].errors) == (422, {"arch-verdict": ["Say how it lies."]})


def fixed_hammer_toe(left: Last) -> Finding:
    return make_finding(owner_of(left), condition="hammer_toe", side=Side.LEFT, flexibility="fixed")


def test_a_fixed_deformity_that_is_to_be_corrected_is_asked_about_on_the_page(
    maker: Person, signed_in: Sign, left: Last
) -> None:
    finding = fixed_hammer_toe(left)
    entries = {f"{finding.uuid}-handled": "corrected", f"{finding.uuid}-note": "by trial"}
    answer = signed_in(maker).post(reverse("last-deformities", args=[left.uuid]), entries)
    asked = answer.context["form"].errors[f"{finding.uuid}-handled"]
    assert (answer.status_code, LastDeformity.objects.count(), asked[0].split(":")[0]) == (
        422,
        0,
        "It was found to be fixed",
    )


def test_the_question_is_answered_by_a_tick_and_a_reason(maker: Person, signed_in: Sign, left: Last) -> None:
    finding = fixed_hammer_toe(left)
    entries = {
        f"{finding.uuid}-handled": "corrected",
        f"{finding.uuid}-note": "by trial",
        f"{finding.uuid}-although_fixed": "on",
    }
    signed_in(maker).post(reverse("last-deformities", args=[left.uuid]), entries)
    assert [(each.handled, each.note) for each in LastDeformity.objects.all()] == [("corrected", "by trial")]


def test_what_was_said_already_is_not_said_anew(maker: Person, signed_in: Sign, left: Last, now: datetime) -> None:
    finding = fixed_hammer_toe(left)
    actions.handle_deformity(left, finding=finding, handled="accommodated", note="room", by=maker, at=now)
    entries = {f"{finding.uuid}-handled": "accommodated", f"{finding.uuid}-note": "room"}
    signed_in(maker).post(reverse("last-deformities", args=[left.uuid]), entries)
    assert LastDeformity.objects.get().at == now


def test_a_note_on_a_deformity_is_not_lost_where_nobody_said_what_becomes_of_it(
    maker: Person, signed_in: Sign, left: Last
) -> None:
    finding = fixed_hammer_toe(left)
    answer = signed_in(maker).post(
        reverse("last-deformities", args=[left.uuid]), {f"{finding.uuid}-note": "4 mm over the 2nd toe"}
    )
    form = answer.context["form"]
    assert (answer.status_code, form.errors[f"{finding.uuid}-handled"], form[f"{finding.uuid}-note"].value()) == (
        422,
        ["Say whether the last makes room for it or corrects it."],
        "4 mm over the 2nd toe",
    )


def test_what_was_said_of_a_deformity_is_not_unsaid_in_silence(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    finding = fixed_hammer_toe(left)
    actions.handle_deformity(left, finding=finding, handled="accommodated", by=maker, at=now)
    answer = signed_in(maker).post(reverse("last-deformities", args=[left.uuid]), {f"{finding.uuid}-handled": ""})
    assert answer.status_code == 422
