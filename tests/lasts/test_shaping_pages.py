"""The pages on which a last is shaped: what they show, what they keep, what they refuse with what was typed."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from cases.lasts import actions
from cases.lasts.models import BottomCheck, Last, LastDeformity, LastPatch, LastTarget
from cases.overview.last_sheet import draft_of
from cases.patients.models import Finding, Paper
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from tests.factories.lasts import make_cast, make_last, make_measure_set
from tests.factories.patients import make_finding, make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FOOT = {"foot_length": 273, "joint_girth": 253, "instep_girth": 255}
Sign = Callable[[Person], Any]


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


@pytest.fixture
def left(maker: Person, now: datetime) -> Last:
    """A LEFT last with a RIGHT one under its number, and measures of both feet."""
    owner = make_patient()
    cast = make_cast(patient=owner)
    last = make_last(owner=owner, number="7", cast=cast, joint_girth_mm=Decimal(248), instep_girth_mm=Decimal(262))
    make_last(owner=owner, number="7", side="right", joint_girth_mm=Decimal(250))
    make_measure_set(patient=owner, both=FOOT)
    return last


def owner_of(last: Last) -> Any:
    assert last.owner is not None
    return last.owner


def set_target(last: Last, by: Person, at: datetime, **chosen: Any) -> LastTarget:
    sitting = owner_of(last).measure_sets.get()
    given = {"footwear_kind": "low", "hose": "normal", **chosen}
    return actions.set_last_target(last, measure_set=sitting, **given, by=by, at=at)


def page(client: Any, last: Last, name: str = "last") -> Any:
    return client.get(reverse(name, args=[last.uuid]))


# The page of a last -----------------------------------------------------------------------------------------------


def test_a_last_shows_what_it_must_become_and_what_is_done(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now)
    shaped = page(signed_in(maker), left).context["shaped"]
    shown = [(row.target.label, row.target.target_mm, row.work.work, row.work.bench_mm) for row in shaped.rows]
    assert shown == [("joint", 257.0, "build up", 3.0), ("instep", 257.0, "take down", 1.5)]


def test_a_last_beyond_the_limits_says_to_make_a_new_one(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now, swelling_mm=Decimal(40))
    words = page(signed_in(maker), left).content.decode()
    assert ("Make a new last" in words, "at most 12 mm is built up" in words) == (True, True)


def test_a_last_without_a_target_says_what_will_stand_there(maker: Person, signed_in: Sign, left: Last) -> None:
    assert "The girths that this last must have will stand here" in page(signed_in(maker), left).content.decode()


def test_a_target_that_cannot_be_worked_out_any_more_is_said_and_the_page_stands(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    target = {"footwear_kind": "low", "hose": "none", "own_mm": {"knee": 3}, "by": maker, "at": now}
    with setting_up():
        LastTarget.objects.create(last=left, measure_set=owner_of(left).measure_sets.get(), **target)
    answer = page(signed_in(maker), left)
    assert (answer.status_code, answer.context["cannot"].split(";")[0]) == (200, "own_mm is knee")


def test_an_altered_last_offers_the_tape_and_no_agreement(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    as_it_is = {name: getattr(left, name) for name in ("length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")}
    actions.alter_last(left, seen_version=1, alteration_note="built up", **as_it_is, by=maker, at=now)
    words = page(signed_in(maker), left).content.decode()
    assert (reverse("last-agree", args=[left.uuid]) in words, "altered: to be measured again" in words) == (False, True)


def test_the_manager_reads_and_is_offered_nothing_to_do(
    manager: Person, maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now)
    words = page(signed_in(manager), left).content.decode()
    names = ("last-target", "last-alter", "last-measure", "last-patch-new", "last-bottom", "last-deformities")
    assert [name for name in names if reverse(name, args=[left.uuid]) in words] == []


# Targets -----------------------------------------------------------------------------------------------------


def target_entries(left: Last, **changes: str) -> dict[str, str]:
    return {
        "measure_set": str(owner_of(left).measure_sets.get().uuid),
        "footwear_kind": "ankle_boot",
        "hose": "thick",
        "left-is_set": "on",
        "left-swelling_mm": "0",
        "left-inlay_mm": "",
        "left-own-joint": "",
        "left-note": "",
        "right-is_set": "on",
        "right-swelling_mm": "6",
        "right-inlay_mm": "5",
        "right-own-instep": "-2",
        "right-note": "scar over the instep",
        **changes,
    }


def test_both_targets_are_set_on_one_page_each_in_its_own_half(maker: Person, signed_in: Sign, left: Last) -> None:
    signed_in(maker).post(reverse("last-target", args=[left.uuid]), target_entries(left))
    kept = LastTarget.objects.order_by("last__side").values_list(
        "last__side", "footwear_kind", "swelling_mm", "inlay_mm", "own_mm", "note"
    )
    assert list(kept) == [
        ("left", "ankle_boot", Decimal(0), Decimal(0), {}, ""),
        ("right", "ankle_boot", Decimal(6), Decimal(5), {"instep": -2.0}, "scar over the instep"),
    ]


def test_a_half_that_is_not_ticked_keeps_its_earlier_target(maker: Person, signed_in: Sign, left: Last) -> None:
    signed_in(maker).post(reverse("last-target", args=[left.uuid]), target_entries(left, **{"right-is_set": ""}))
    assert [target.last.side for target in LastTarget.objects.all()] == ["left"]


def test_an_own_addition_may_be_typed_in_inches_and_is_kept_in_mm(maker: Person, signed_in: Sign, left: Last) -> None:
    entries = target_entries(left, **{"right-own-instep": "1/4 in"})
    signed_in(maker).post(reverse("last-target", args=[left.uuid]), entries)
    assert LastTarget.objects.get(last__side="right").own_mm == {"instep": 6.4}


def test_a_refused_target_comes_back_with_what_was_typed(maker: Person, signed_in: Sign, left: Last) -> None:
    entries = target_entries(left, **{"right-note": ""})
    answer = signed_in(maker).post(reverse("last-target", args=[left.uuid]), entries)
    form = answer.context["form"]
    assert (answer.status_code, form.non_field_errors(), form["right-own-instep"].value()) == (
        409,
        ["Say in the note of the RIGHT last why something of your own is added."],
        "-2",
    )


def test_another_target_begins_with_what_was_chosen_last(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now, footwear_kind="sandal", hose="none", own_mm={"joint": Decimal("1.5")}, note="scar")
    form = page(signed_in(maker), left, "last-target").context["form"]
    assert (form["footwear_kind"].value(), form["hose"].value(), form["left-own-joint"].value()) == (
        "sandal",
        "none",
        "1.5",
    )


def test_a_stock_last_is_given_no_target(maker: Person, signed_in: Sign) -> None:
    assert page(signed_in(maker), make_last(), "last-target").status_code == 409


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


# The sheet ---------------------------------------------------------------------------------------------------


def test_the_sheet_has_each_foot_in_its_own_half(maker: Person, left: Last, now: datetime) -> None:
    set_target(left, maker, now)
    halves = draft_of(left).context["halves"]
    assert [(half.side, half.last.side, half.shaped is None) for half in halves] == [
        ("left", "left", False),
        ("right", "right", True),
    ]


def test_the_sheet_is_the_same_from_either_last(left: Last) -> None:
    right = Last.objects.get(number="7", side="right")
    assert draft_of(right).about_uuid == draft_of(left).about_uuid == left.uuid


def test_a_printed_sheet_is_kept_with_its_client_and_opened_by_the_maker(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now)
    client = signed_in(maker)
    answer = client.post(reverse("last-sheet-print", args=[left.uuid]), follow=True)
    kept = Paper.objects.get()
    assert (kept.kind, kept.patient, answer.status_code, answer["Content-Type"]) == (
        "last sheet",
        left.owner,
        200,
        "application/pdf",
    )


def test_a_sheet_that_says_the_same_is_not_kept_twice(maker: Person, signed_in: Sign, left: Last) -> None:
    client = signed_in(maker)
    for _ in range(2):
        client.post(reverse("last-sheet-print", args=[left.uuid]))
    assert Paper.objects.count() == 1


def test_a_stock_last_has_no_sheet(maker: Person, signed_in: Sign) -> None:
    assert signed_in(maker).post(reverse("last-sheet-print", args=[make_last().uuid])).status_code == 409


# Who may -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["last-target", "last-measure", "last-patch-new", "last-bottom", "last-deformities"])
@pytest.mark.parametrize("role", ["clinician", "maker", "manager", "reception", "administrator"])
def test_makers_and_clinicians_shape_lasts(
    request: pytest.FixtureRequest, signed_in: Sign, left: Last, name: str, role: str
) -> None:
    status = page(signed_in(request.getfixturevalue(role)), left, name).status_code
    assert status == (200 if role in {"clinician", "maker"} else 403)


# Queries: session, person, roles, the last, its agreements; then
FORMS = {
    "last-measure": 5,
    "last-alter": 6,  # patches
    "last-patch-new": 5,
    "last-bottom": 5,
    "last-deformities": 6,  # findings with how each is handled
    "last-target": 8,  # both lasts, their targets, sittings
}


@pytest.fixture
def opens(maker: Person, signed_in: Sign, left: Last, now: datetime) -> Callable[[str, int], Callable[[], Any]]:
    """Gives what opens a page of a last on which there is so much of everything."""

    def make(name: str, rows: int) -> Callable[[], Any]:
        fill(left, maker, now, rows)
        client = signed_in(maker)
        return lambda: page(client, left, name)

    return make


@pytest.mark.parametrize("rows", [1, 3, 30])
def test_the_page_of_a_last_takes_the_same_queries_however_much_is_on_it(
    opens: Callable[[str, int], Callable[[], Any]], django_assert_num_queries: Any, rows: int
) -> None:
    open_it = opens("last", rows)
    # session, person, roles, the last, agreements, findings, patches, bottom, target, its measures, figures
    with django_assert_num_queries(11):
        open_it()


@pytest.mark.parametrize("name", FORMS)
@pytest.mark.parametrize("rows", [1, 3, 30])
def test_the_forms_take_the_same_queries_however_much_is_on_the_last(
    opens: Callable[[str, int], Callable[[], Any]], django_assert_num_queries: Any, name: str, rows: int
) -> None:
    open_it = opens(name, rows)
    with django_assert_num_queries(FORMS[name]):
        open_it()


def fill(left: Last, by: Person, at: datetime, rows: int) -> None:
    """Put so many targets, patches, looks and deformities on a last."""
    for number in range(rows):
        set_target(left, by, at)
        actions.plan_patch(left, work="build up", place=f"place {number}", height_mm=Decimal(3), by=by, at=at)
        seen = [actions.BottomSeen("arch", "fits")]
        actions.check_bottom(left, seen=seen, by_gauge=False, seen_version=1, by=by, at=at)
        finding = make_finding(owner_of(left), condition="hammer_toe", side=Side.LEFT, place=f"toe {number}")
        actions.handle_deformity(left, finding=finding, handled="accommodated", by=by, at=at)
