"""Casts: registered, kept somewhere, one day destroyed."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.lasts import actions, queries
from cases.lasts.models import Cast
from cases.lasts.queries.casts import casts_found
from cases.patients.models import Patient
from shared.models import Deed
from shared.refusals import Refused
from tests.factories.diary import make_visit
from tests.factories.lasts import make_cast
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def typed(by: Person, **changes: Any) -> dict[str, Any]:
    return {
        "sides": ["left", "right"],
        "kind": "negative",
        "load": "",
        "heel_height_mm": "",
        "place": "shelf 3",
        "condition": "sound",
        "made_on": f"{timezone.localdate():%Y-%m-%d}",
        "made_by": str(by.uuid),
        "visit": "",
        **changes,
    }


def address(patient: Patient) -> str:
    return reverse("cast-new", args=[patient.uuid])


def test_both_casts_are_registered_in_one_go(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    patient = make_patient()
    signed_in(clinician).post(address(patient), typed(clinician))
    kept = Cast.objects.order_by("side").values_list("patient", "side", "place", "condition", "made_by")
    assert list(kept) == [
        (patient.pk, "left", "shelf 3", "sound", clinician.pk),
        (patient.pk, "right", "shelf 3", "sound", clinician.pk),
    ]


def test_two_casts_made_in_one_go_are_one_deed(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    signed_in(clinician).post(address(make_patient()), typed(clinician))
    assert Deed.objects.get(action="register_cast").says == "Registered the cast LEFT and RIGHT, kept at: shelf 3."


def test_one_foot_alone_can_be_cast(clinician: Person, now: datetime) -> None:
    cast = actions.register_cast(
        make_patient(), side="right", made_on=now.date(), place="shelf 1", condition="sound", by=clinician, at=now
    )
    assert (cast.side, cast.made_by) == ("right", clinician)


@pytest.mark.parametrize("entry", ["sides", "place", "condition", "made_on", "made_by"])
def test_a_cast_says_everything_about_itself(clinician: Person, signed_in: Callable[[Person], Any], entry: str) -> None:
    answer = signed_in(clinician).post(address(make_patient()), typed(clinician, **{entry: ""}))
    assert (answer.status_code, list(answer.context["form"].errors), Cast.objects.count()) == (422, [entry], 0)


def test_a_cast_of_a_day_to_come_is_refused_with_what_was_typed(
    clinician: Person, signed_in: Callable[[Person], Any], tomorrow: datetime
) -> None:
    entries = typed(clinician, made_on=f"{tomorrow:%Y-%m-%d}", place="shelf 9")
    answer = signed_in(clinician).post(address(make_patient()), entries)
    form = answer.context["form"]
    assert (answer.status_code, form.non_field_errors(), form["place"].value()) == (
        409,
        ["This day is still to come."],
        "shelf 9",
    )


def test_a_cast_does_not_belong_to_another_clients_visit(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="This visit is another client's"):
        actions.register_cast(
            make_patient(),
            side="left",
            made_on=now.date(),
            place="shelf 1",
            condition="sound",
            visit=make_visit(starts_at=now),
            by=clinician,
            at=now,
        )


def test_a_cast_is_of_a_foot(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Say of which foot"):
        actions.register_casts(
            make_patient(), sides=[], made_on=now.date(), place="shelf 1", condition="sound", by=clinician, at=now
        )


def test_a_destroyed_cast_stays_with_its_day_and_reason(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    cast, today = make_cast(made_on=timezone.localdate()), timezone.localdate()
    entries = {"destroyed_on": f"{today:%Y-%m-%d}", "destroyed_why": "crumbled"}
    signed_in(clinician).post(reverse("cast-destroy", args=[cast.uuid]), entries)
    cast.refresh_from_db()
    assert (cast.destroyed_on, cast.destroyed_why) == (today, "crumbled")


def test_a_cast_is_destroyed_once(clinician: Person, now: datetime) -> None:
    cast = make_cast(made_on=now.date(), destroyed_on=now.date(), destroyed_why="crumbled")
    with pytest.raises(Refused, match="already destroyed"):
        actions.destroy_cast(cast, destroyed_on=now.date(), why="again", by=clinician, at=now)


def test_a_cast_is_not_destroyed_before_it_was_made(clinician: Person, now: datetime) -> None:
    cast = make_cast(made_on=now.date())
    with pytest.raises(Refused, match="on or after the day it was made"):
        actions.destroy_cast(cast, destroyed_on=now.date() - timedelta(days=1), why="crumbled", by=clinician, at=now)


def test_a_destroyed_cast_says_why_or_stays(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    cast = make_cast()
    answer = signed_in(clinician).post(
        reverse("cast-destroy", args=[cast.uuid]), {"destroyed_on": f"{timezone.localdate():%Y-%m-%d}"}
    )
    assert (answer.status_code, Cast.objects.get().destroyed_on) == (422, None)


def test_a_destroyed_cast_is_no_longer_worked_from(now: datetime) -> None:
    here = make_cast()
    make_cast(patient=here.patient, side="right", destroyed_on=now.date(), destroyed_why="crumbled")
    assert list(queries.casts_to_work_from(here.patient)) == [here]


@pytest.mark.parametrize("page", ["cast-new", "cast-destroy"])
@pytest.mark.parametrize(
    ("role", "status"),
    [("clinician", 200), ("maker", 403), ("manager", 403), ("reception", 403), ("administrator", 403)],
)
def test_only_the_clinician_keeps_casts(
    request: pytest.FixtureRequest, signed_in: Callable[[Person], Any], page: str, role: str, status: int
) -> None:
    cast = make_cast()
    about = cast.patient.uuid if page == "cast-new" else cast.uuid
    assert signed_in(request.getfixturevalue(role)).get(reverse(page, args=[about])).status_code == status


@pytest.mark.parametrize("rows", [1, 3, 30])
def test_the_casts_of_a_client_take_one_query(django_assert_num_queries: Any, rows: int) -> None:
    patient = make_patient()
    for _ in range(rows):
        make_cast(patient=patient)
    with django_assert_num_queries(1):  # casts with who made them
        assert len([cast.made_by.name for cast in queries.casts_of(patient)]) == rows


# The register, and one cast ---------------------------------------------------------------------------------


def test_a_cast_keeps_what_it_is_and_how_the_foot_stood_in_it(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    entries = typed(clinician, sides=["left"], kind="foam", load="standing", heel_height_mm="22,5")
    signed_in(clinician).post(address(make_patient()), entries)
    cast = Cast.objects.get()
    assert (cast.kind, cast.load, cast.heel_height_mm) == ("foam", "standing", Decimal("22.5"))


@pytest.fixture
def register(db: None) -> dict[str, Cast]:
    hers = make_patient(given_names="Zoë", family_name="Brandt", record_number="R77")
    return {
        "left": make_cast(patient=hers, side="left", place="shelf 3"),
        "right": make_cast(patient=hers, side="right", place="cellar"),
        "other": make_cast(patient=make_patient(record_number="R99"), place="shelf 9", made_on=date(2026, 10, 1)),
        "gone": make_cast(place="shelf 3", destroyed_on=date(2026, 11, 3), destroyed_why="crumbled"),
    }


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ({}, ["left", "right", "other"]),
        ({"text": "shelf"}, ["left", "other"]),
        ({"text": "r77"}, ["left", "right"]),
        ({"text": "brandt cellar"}, ["right"]),
        ({"side": "right"}, ["right"]),
        ({"text": "shelf", "destroyed": "on"}, ["left", "other", "gone"]),
        ({"text": "%"}, []),
        ({"side": "both"}, ["left", "right", "other"]),
    ],
    ids=str,
)
def test_the_register_finds_by_place_record_number_and_side(
    maker: Person,
    signed_in: Callable[[Person], Any],
    register: dict[str, Cast],
    asked: dict[str, str],
    names: list[str],
) -> None:
    found = signed_in(maker).get(reverse("casts"), asked).context["found"].casts
    assert {cast.pk for cast in found} == {register[name].pk for name in names}


def test_the_register_says_when_there_are_more(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cases.lasts.queries.casts.MOST_CASTS_FOUND", 2)
    for _ in range(3):
        make_cast()
    found = casts_found()
    assert (len(found.casts), found.more) == (2, True)


def test_a_cast_that_was_moved_stands_there_in_its_condition(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    cast = make_cast()
    entries = {"place": "cellar", "condition": "toe chipped"}
    answer = signed_in(clinician).post(reverse("cast-move", args=[cast.uuid]), entries)
    cast.refresh_from_db()
    assert (answer.headers["Location"], cast.place, cast.condition) == (
        reverse("cast", args=[cast.uuid]),
        "cellar",
        "toe chipped",
    )
    assert Deed.objects.latest("pk").says == "The cast LEFT of Mon 2 Nov 2026 is kept at: cellar; toe chipped."


def test_a_destroyed_cast_is_not_moved(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    cast = make_cast(destroyed_on=date(2026, 11, 3), destroyed_why="crumbled")
    answer = signed_in(clinician).post(
        reverse("cast-move", args=[cast.uuid]), {"place": "cellar", "condition": "sound"}
    )
    cast.refresh_from_db()
    form = answer.context["form"]
    assert (answer.status_code, cast.place, form["place"].value(), form.non_field_errors()) == (
        409,
        "shelf 3",
        "cellar",
        ["This cast was destroyed on Tue 3 Nov 2026."],
    )


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({}, "Tick the casts whose labels are to be printed."),
        ({"cast": "0b8e5b6e-64ba-4c58-9f55-f2ad0a2f8a52"}, "One of these casts is not there."),
        ({"cast": "no cast"}, "is not a valid UUID."),
    ],
    ids=str,
)
def test_labels_of_no_cast_are_a_sentence(
    maker: Person, signed_in: Callable[[Person], Any], asked: dict[str, str], sentence: str
) -> None:
    answer = signed_in(maker).get(reverse("cast-labels"), asked)
    assert (answer.status_code, sentence in answer.content.decode()) == (409, True)


@pytest.mark.parametrize(
    ("role", "read", "written"),
    [
        ("clinician", 200, 200),
        ("maker", 200, 403),
        ("manager", 200, 403),
        ("reception", 403, 403),
        ("administrator", 403, 403),
    ],
)
def test_clinicians_keep_casts_and_makers_read_of_them(
    request: pytest.FixtureRequest, signed_in: Callable[[Person], Any], role: str, read: int, written: int
) -> None:
    cast, client = make_cast(), signed_in(request.getfixturevalue(role))
    pages = [("casts", []), ("cast", [cast.uuid]), ("cast-label", [cast.uuid]), ("cast-move", [cast.uuid])]
    answers = [client.get(reverse(name, args=args)).status_code for name, args in pages]
    assert answers == [read, read, read, written]
