"""The pages on which a last is shaped: what they show, what they keep, what they refuse with what was typed."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from cases.lasts import actions
from cases.lasts.models import Last, LastTarget
from cases.lasts.queries import shape_of
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_finding, make_patient
from tests.lasts.shaped import FOOT, owner_of, page, set_target
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("figures")]


Sign = Callable[[Person], Any]


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


def test_bent_toes_are_asked_about_where_little_room_is_left_over_them(
    maker: Person, left: Last, now: datetime
) -> None:
    """A low shoe leaves 6 mm over the highest toe, 8 mm or more are left over bent ones: from memory."""
    last = make_last(owner=make_patient())
    make_measure_set(patient=owner_of(last), both={**FOOT, "toe_depth": 23})
    make_finding(owner_of(last), condition="hammer_toe", side=Side.LEFT)
    more = {"own_mm": {"toe_depth": Decimal(2)}, "note": "bent toes"}
    chosen: list[dict[str, Any]] = [{}, more, {"footwear_kind": "indoor"}, {"inlay_mm": Decimal(5)}]
    asked = "Bent toes are recorded: toe depth +6 mm over them, +8 mm or more is usual."
    asks = [shape_of(last, set_target(last, maker, now, **each)).asks for each in chosen]
    assert [asked in each for each in asks] == [True, False, False, True]


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


def raced(client: Any, left: Last, now: datetime, other: Person) -> tuple[str, Any]:
    """A form that was opened, then sent after somebody else had set a target of the LEFT last."""
    path = reverse("last-target", args=[left.uuid])
    seen = {f"{half.side}-seen": half.seen for half in client.get(path).context["form"].halves}
    set_target(left, other, now, footwear_kind="sandal", swelling_mm=Decimal(4))
    return path, client.post(path, target_entries(left, **seen))


def test_a_target_that_somebody_set_meanwhile_is_shown_beside_what_was_typed(
    maker: Person, clinician: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now)
    _, answer = raced(signed_in(maker), left, now, clinician)
    assert (answer.status_code, answer.context["form"]["right-note"].value(), answer.context["stale_rows"]) == (
        409,
        "scar over the instep",
        [
            ("footwear", "sandal", "ankle boot"),
            ("Hose", "normal", "thick"),
            ("LEFT swelling, at each girth, mm", "4", "0"),
        ],
    )
    assert LastTarget.objects.filter(footwear_kind="ankle_boot").count() == 0


def test_a_first_target_set_meanwhile_is_not_passed_over_either(
    maker: Person, clinician: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    _, answer = raced(signed_in(maker), left, now, clinician)
    assert (answer.status_code, LastTarget.objects.count()) == (409, 1)


def test_sent_once_more_the_later_target_is_set(
    maker: Person, clinician: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    client = signed_in(maker)
    path, answer = raced(client, left, now, clinician)
    seen = {f"{half.side}-seen": half.seen for half in answer.context["form"].halves}
    client.post(path, target_entries(left, **seen))
    assert LastTarget.objects.filter(footwear_kind="ankle_boot").count() == 2


def test_a_deformity_that_was_ended_meanwhile_loses_nothing_that_was_typed(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    ended, stands = (
        make_finding(owner_of(left), condition="hammer_toe", side=Side.LEFT, place=place)
        for place in ("toe 2", "toe 3")
    )
    with setting_up():
        ended.ended_on = now.date()
        ended.save(update_fields=["ended_on"])
    entries = {f"{each.uuid}-handled": "accommodated" for each in (ended, stands)} | {f"{stands.uuid}-note": "high toe"}
    answer = signed_in(maker).post(reverse("last-deformities", args=[left.uuid]), entries)
    form = answer.context["form"]
    assert (answer.status_code, form.non_field_errors(), form[f"{stands.uuid}-note"].value()) == (
        422,
        ["A deformity that you answered was ended since. Look at the others and save them again."],
        "high toe",
    )


def test_an_ended_deformity_is_not_handled(maker: Person, left: Last, now: datetime) -> None:
    finding = make_finding(owner_of(left), condition="hammer_toe", side=Side.LEFT)
    with setting_up():
        type(finding).objects.filter(pk=finding.pk).update(ended_on=now.date())
    with pytest.raises(Refused, match="was ended since"):
        actions.handle_deformity(left, finding=finding, handled="accommodated", by=maker, at=now)


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
