"""Lasts: registered, moved, altered, agreed."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.lasts import actions, queries
from cases.lasts.models import Last, LastAgreement
from cases.patients.models import Patient
from shared.models import Deed, HistoryEntry
from shared.refusals import NotAllowed, Refused
from shared.versions import Stale
from tests.factories.figures import load_figures, make_figure
from tests.factories.lasts import agreed, make_cast, make_last
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def typed(by: Person, **changes: Any) -> dict[str, Any]:
    return {
        "left_length_mm": "285,5",
        "left_cast": "",
        "left_alteration_note": "built up 4 mm at the 1st joint",
        "right_length_mm": "290",
        "right_cast": "",
        "right_alteration_note": "",
        "number": "",
        "origin": "altered",
        "making": "tape",
        "heel_height_mm": "22",
        "toe_spring_mm": "12",
        "toe_shape": "round",
        "place": "rack A1",
        "condition": "",
        "made_on": f"{timezone.localdate():%Y-%m-%d}",
        "made_by": str(by.uuid),
        **changes,
    }


def register(by: Person, at: datetime, *, owner: Patient | None = None, **fields: Any) -> Last:
    values: dict[str, Any] = {
        "side": "left",
        "origin": "made",
        "making": "tape",
        "length_mm": Decimal(285),
        "heel_height_mm": Decimal(22),
        "toe_spring_mm": Decimal(12),
        "toe_shape": "round",
        "place": "rack A1",
        "made_on": at.date(),
        **fields,
    }
    return actions.register_last(owner=owner, **values, by=by, at=at)


def alter(last: Last, *, by: Person, at: datetime, **changes: Any) -> Last:
    values: dict[str, Any] = {
        "seen_version": last.version,
        "alteration_note": "built up 3 mm at the instep",
        "length_mm": last.length_mm,
        "heel_height_mm": last.heel_height_mm,
        "toe_spring_mm": last.toe_spring_mm,
        "toe_shape": last.toe_shape,
        **changes,
    }
    return actions.alter_last(last, **values, by=by, at=at)


# Registering -------------------------------------------------------------------------------------------------


def test_both_lasts_are_registered_in_one_go_under_one_number(
    maker: Person, signed_in: Callable[[Person], Any]
) -> None:
    owner = make_patient()
    signed_in(maker).post(reverse("last-new", args=[owner.uuid]), typed(maker))
    kept = Last.objects.order_by("side").values_list("owner", "number", "side", "length_mm", "alteration_note")
    assert list(kept) == [
        (owner.pk, "1", "left", Decimal("285.5"), "built up 4 mm at the 1st joint"),
        (owner.pk, "1", "right", Decimal(290), ""),
    ]


def test_an_empty_half_gets_no_last(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    entries = typed(maker, left_length_mm="", left_alteration_note="")
    signed_in(maker).post(reverse("last-new", args=[make_patient().uuid]), entries)
    assert [last.side for last in Last.objects.all()] == ["right"]


def test_a_half_with_a_note_and_no_length_is_asked_about(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    answer = signed_in(maker).post(reverse("last-new", args=[make_patient().uuid]), typed(maker, left_length_mm=""))
    assert (answer.status_code, answer.context["form"].errors) == (
        422,
        {"left_length_mm": ["Type the length of the LEFT last, or empty its half."]},
    )


def test_two_empty_halves_are_no_last(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    entries = typed(maker, left_length_mm="", left_alteration_note="", right_length_mm="")
    answer = signed_in(maker).post(reverse("last-new", args=[make_patient().uuid]), entries)
    assert answer.context["form"].non_field_errors() == ["Type the length of at least one last."]


def test_a_stock_last_has_no_owner(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    signed_in(maker).post(reverse("stock-last-new"), typed(maker))
    assert {last.owner for last in Last.objects.all()} == {None}


def test_a_last_is_made_by_whoever_is_named(
    maker: Person, clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    signed_in(clinician).post(reverse("stock-last-new"), typed(maker))
    assert {last.made_by for last in Last.objects.all()} == {maker}


def test_a_last_made_elsewhere_is_nobodys_here(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    signed_in(maker).post(reverse("stock-last-new"), typed(maker, made_by=""))
    assert {last.made_by for last in Last.objects.all()} == {None}


def test_a_last_without_a_number_gets_the_next_free_one(maker: Person, now: datetime) -> None:
    make_last(number="41")
    make_last(number="stock 7")
    assert register(maker, now).number == "42"


def test_a_number_stands_once_for_a_foot(maker: Person, now: datetime) -> None:
    register(maker, now, number="7")
    with pytest.raises(Refused, match="There is already a last 7 LEFT"):
        register(maker, now, number="7")


def test_the_other_foot_may_get_the_same_number_later(maker: Person, now: datetime) -> None:
    left = register(maker, now, number="7")
    right = register(maker, now, number="7", side="right")
    assert queries.fellow_of(left) == right


def test_a_number_belongs_to_one_owner(maker: Person, now: datetime) -> None:
    register(maker, now, number="7", owner=make_patient())
    with pytest.raises(Refused, match="Number 7 is already given to a last of another owner"):
        register(maker, now, number="7", side="right", owner=make_patient())


def test_a_last_is_not_made_from_another_clients_cast(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="This cast is another client's"):
        register(maker, now, owner=make_patient(), cast=make_cast())


def test_a_left_last_is_not_made_from_a_right_cast(maker: Person, now: datetime) -> None:
    cast = make_cast(side="right")
    with pytest.raises(Refused, match="The cast RIGHT is not of the foot LEFT"):
        register(maker, now, owner=cast.patient, cast=cast)


def test_a_cast_is_offered_in_its_own_half_alone(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    left = make_cast(side="left")
    right = make_cast(side="right", patient=left.patient)
    form = signed_in(maker).get(reverse("last-new", args=[left.patient.uuid])).context["form"]
    offered = [list(form.fields[f"{side}_cast"].queryset) for side in ("left", "right")]
    assert offered == [[left], [right]]


def test_a_last_of_a_day_to_come_is_refused_with_what_was_typed(
    maker: Person, signed_in: Callable[[Person], Any], tomorrow: datetime
) -> None:
    answer = signed_in(maker).post(reverse("stock-last-new"), typed(maker, made_on=f"{tomorrow:%Y-%m-%d}"))
    form = answer.context["form"]
    assert (answer.status_code, form.non_field_errors(), form["left_length_mm"].value()) == (
        409,
        ["This day is still to come."],
        "285,5",
    )


# Moving ------------------------------------------------------------------------------------------------------


def test_a_last_moves_with_one_touch(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    last = make_last(place="rack A1")
    signed_in(maker).post(reverse("last-move", args=[last.uuid]), {"place": "rack B2"})
    last.refresh_from_db()
    assert last.place == "rack B2"


def test_the_story_tells_where_a_last_went(maker: Person, now: datetime) -> None:
    last = make_last(number="7", place="rack A1")
    actions.move_last(last, place="rack B2", by=maker, at=now)
    assert Deed.objects.get(action="move_last").says == "Moved last 7 LEFT from rack A1 to rack B2."


def test_a_last_that_stands_there_already_is_not_moved(maker: Person, now: datetime) -> None:
    actions.move_last(make_last(place="rack A1"), place=" rack A1 ", by=maker, at=now)
    assert Deed.objects.filter(action="move_last").count() == 0


def test_a_last_stands_somewhere(maker: Person, signed_in: Callable[[Person], Any]) -> None:
    last = make_last()
    answer = signed_in(maker).post(reverse("last-move", args=[last.uuid]), {"place": "  "})
    assert (answer.status_code, answer.context["move_form"].errors) == (422, {"place": ["This field is required."]})


# Agreeing and altering ---------------------------------------------------------------------------------------


def test_a_last_is_agreed_as_it_is(maker: Person, now: datetime) -> None:
    last = make_last()
    agreement = actions.agree_last(last, by=maker, at=now)
    assert (agreement.last, agreement.last_version, agreement.by, agreement.at) == (last, 1, maker, now)


def test_a_last_is_agreed_once_and_the_second_is_told_by_whom(maker: Person, clinician: Person, now: datetime) -> None:
    last = make_last()
    actions.agree_last(last, by=clinician, at=now)
    with pytest.raises(Refused, match="Clara Clinician already agreed this last"):
        actions.agree_last(last, by=maker, at=now)


def test_an_altered_last_is_agreed_again(maker: Person, now: datetime) -> None:
    last = agreed(make_last())
    alter(last, by=maker, at=now, measured={"joint_girth_mm": Decimal(256)})
    states = [queries.with_agreement(Last.objects.all()).get().is_agreed]
    actions.agree_last(last, by=maker, at=now)
    states.append(queries.with_agreement(Last.objects.all()).get().is_agreed)
    assert states == [False, True]


def test_an_altered_last_keeps_who_altered_it_and_who_made_it(maker: Person, clinician: Person, now: datetime) -> None:
    last = make_last(made_by=clinician)
    alter(last, by=maker, at=now, length_mm=Decimal(288))
    last.refresh_from_db()
    assert (last.length_mm, last.version, last.made_by, last.altered_by, last.altered_on) == (
        Decimal(288),
        2,
        clinician,
        maker,
        now.date(),
    )


def test_an_alteration_says_what_was_done(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Say what was built up or taken down"):
        alter(make_last(), by=maker, at=now, alteration_note="  ")


def test_an_alteration_leaves_one_history_row(maker: Person, now: datetime) -> None:
    last = make_last()
    alter(last, by=maker, at=now)
    changes = HistoryEntry.objects.filter(table_name="lasts_last", row_id=last.pk, operation="update")
    assert changes.count() == 1


def test_a_last_that_somebody_altered_meanwhile_is_not_overwritten(maker: Person, now: datetime) -> None:
    last = make_last()
    alter(Last.objects.get(), by=maker, at=now)
    with pytest.raises(Stale):
        alter(last, by=maker, at=now, seen_version=1)


def test_whoever_comes_second_sees_both_versions_and_keeps_what_was_typed(
    maker: Person, signed_in: Callable[[Person], Any], now: datetime
) -> None:
    last = make_last()
    alter(last, by=maker, at=now, length_mm=Decimal(288))
    entries = {
        "seen_version": "1",
        "alteration_note": "mine",
        "length_mm": "291",
        "heel_height_mm": "22",
        "toe_spring_mm": "12",
        "toe_shape": "round",
    }
    answer = signed_in(maker).post(reverse("last-alter", args=[last.uuid]), entries)
    rows = [tuple(row) for row in answer.context["stale_rows"] if row[0] == "Length, mm"]
    assert (answer.status_code, rows, answer.context["seen_version"], answer.context["form"]["length_mm"].value()) == (
        409,
        [("Length, mm", "288.0", "291")],
        2,
        "291",
    )


def test_a_last_altered_since_it_was_looked_at_is_not_agreed(
    maker: Person, signed_in: Callable[[Person], Any], now: datetime
) -> None:
    last = make_last()
    alter(last, by=maker, at=now)
    answer = signed_in(maker).post(reverse("last-agree", args=[last.uuid]), {"seen_version": "1"})
    assert (answer.status_code, LastAgreement.objects.count()) == (409, 0)


@pytest.mark.parametrize("seen", ["", "one", "-1", "9" * 30, "²", "١"])
def test_an_agreement_names_the_state_it_saw(maker: Person, signed_in: Callable[[Person], Any], seen: str) -> None:
    answer = signed_in(maker).post(reverse("last-agree", args=[make_last().uuid]), {"seen_version": seen})
    assert (answer.status_code, LastAgreement.objects.count()) == (409, 0)


def test_one_person_alone_may_make_and_agree(maker: Person, now: datetime) -> None:
    last = make_last(made_by=maker)
    assert actions.agree_last(last, by=maker, at=now).by == maker


def touched_by(person: Person, hand: str) -> Last:
    return make_last(made_by=person) if hand == "made_by" else make_last(altered_by=person)


@pytest.mark.parametrize("hand", ["made_by", "altered_by"])
def test_where_the_workshop_asks_for_second_eyes_the_hand_on_it_does_not_agree(
    maker: Person, now: datetime, hand: str
) -> None:
    make_figure("second_eyes_for_a_last", "1", valid_from=now.date() - timedelta(days=1), unit="0 no, 1 yes")
    with pytest.raises(NotAllowed, match="somebody other than who made or altered it"):
        actions.agree_last(touched_by(maker, hand), by=maker, at=now)


def test_where_the_workshop_asks_for_second_eyes_somebody_else_agrees(
    maker: Person, clinician: Person, now: datetime
) -> None:
    make_figure("second_eyes_for_a_last", "1", valid_from=now.date() - timedelta(days=1), unit="0 no, 1 yes")
    last = make_last(made_by=maker, altered_by=maker)
    assert actions.agree_last(last, by=clinician, at=now).by == clinician
