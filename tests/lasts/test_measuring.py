"""A sitting of measuring, from the form to the read page."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from cases.diary.models import VisitStatus
from cases.lasts import actions, queries
from cases.lasts.actions import MeasureValue
from cases.lasts.forms import MeasuringForm
from cases.lasts.forms.measuring_rows import BULGE, DIFFERING, LEG
from cases.lasts.models import Measure, MeasureSet
from cases.patients.models import Patient
from shared.models import Deed, HistoryEntry
from shared.refusals import Refused
from shared.sides import SIDES
from tests.factories.diary import make_visit
from tests.factories.figures import load_figures, make_figure
from tests.factories.lasts import FIRST_MAN, make_measure_set
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def value(name: str = "foot_length", value_mm: str = "273", *, side: str = "left", take: int = 1) -> MeasureValue:
    return MeasureValue(side=side, name=name, take=take, value_mm=Decimal(value_mm))


def record(by: Person, at: datetime, *, values: list[MeasureValue], **fields: Any) -> MeasureSet:
    sitting = {"taken_at": at, "method": "tape", "load": "part", "heel_height_mm": Decimal(0), **fields}
    return actions.record_measures(
        fields.pop("patient", None) or make_patient(), **sitting, values=values, by=by, at=at
    )


def typed(**changes: str) -> dict[str, str]:
    """What a browser sends for the first man of the open survey on both feet; `left__foot_length__1` changes a take."""
    entries = {
        "method": "tape",
        "load": "part",
        "heel_height_mm": "0",
        "taken_on": f"{timezone.localdate():%Y-%m-%d}",
        "taken_time": "00:00",
        "visit": "",
        "note": "",
    }
    for side in ("left", "right"):
        entries |= {f"{side}-{name}-1": str(mm) for name, mm in FIRST_MAN.items()}
    return entries | {name.replace("__", "-"): text for name, text in changes.items()}


def address(patient: Patient) -> str:
    return reverse("measures-new", args=[patient.uuid])


# The action --------------------------------------------------------------------------------------------------


def test_a_sitting_keeps_who_took_it_how_and_when(clinician: Person, now: datetime) -> None:
    record(clinician, now, values=[value()], heel_height_mm=Decimal("22.5"), note="swollen by evening")
    kept = MeasureSet.objects.values_list("taken_by", "taken_at", "method", "load", "heel_height_mm", "note")
    assert kept.get() == (clinician.pk, now, "tape", "part", Decimal("22.5"), "swollen by evening")


def test_a_sitting_tells_the_story_which_feet_were_measured(clinician: Person, now: datetime) -> None:
    record(clinician, now, values=[value(), value("joint_girth"), value("joint_girth", take=2), value(side="right")])
    assert Deed.objects.get(action="record_measures").says == "Measured LEFT and RIGHT: 3 measures."


def test_every_take_leaves_one_history_row(clinician: Person, now: datetime) -> None:
    record(clinician, now, values=[value(), value(side="right")])
    assert HistoryEntry.objects.filter(table_name="lasts_measure").count() == 2


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ([], "Nothing was measured yet"),
        ([value("nose_length")], "There is no such measure: nose_length"),
        ([value(), value()], "A take of a measure is kept once"),
        ([value(take=4)], "A measure is taken 3 times at most"),
    ],
    ids=["nothing", "unknown", "twice", "fourth take"],
)
def test_a_sitting_that_cannot_be_is_refused(
    clinician: Person, now: datetime, values: list[MeasureValue], sentence: str
) -> None:
    with pytest.raises(Refused, match=sentence):
        record(clinician, now, values=values)


def test_measures_of_a_time_to_come_are_refused(clinician: Person, now: datetime, tomorrow: datetime) -> None:
    with pytest.raises(Refused, match="in a time to come"):
        record(clinician, now, values=[value()], taken_at=tomorrow)


def test_measures_do_not_belong_to_another_clients_visit(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="This visit is another client's"):
        record(clinician, now, values=[value()], visit=make_visit(starts_at=now))


NO_LENGTH = "This is no length that can be read. Type it like one of these: 273, 273.5, 10 3/4 in."


# The page ----------------------------------------------------------------------------------------------------


def test_both_feet_are_saved_and_shown(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    patient = make_patient()
    answer = signed_in(clinician).post(address(patient), typed())
    measure_set = MeasureSet.objects.get(patient=patient)
    assert (answer.status_code, answer["Location"], measure_set.measures.count()) == (
        303,
        reverse("measures", args=[measure_set.uuid]),
        2 * len(FIRST_MAN),
    )


@pytest.mark.parametrize("text", ["240.5", "240,5", " 240,5 mm "])
def test_a_decimal_comma_is_as_good_as_a_point(
    clinician: Person, signed_in: Callable[[Person], Any], text: str
) -> None:
    signed_in(clinician).post(address(make_patient()), typed(left__waist_girth__1=text))
    assert Measure.objects.get(name="waist_girth").value_mm == Decimal("240.5")


def test_what_was_typed_is_kept_when_something_is_wrong(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    answer = signed_in(clinician).post(address(make_patient()), typed(left__waist_girth__1="wide", note="bunion rubs"))
    form = answer.context["form"]
    kept = [form[name].value() for name in ("left-waist_girth-1", "right-joint_girth-1", "note")]
    assert (answer.status_code, kept) == (422, ["wide", "253", "bunion rubs"])


def test_nothing_is_saved_when_something_is_wrong(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    signed_in(clinician).post(address(make_patient()), typed(left__waist_girth__1="wide"))
    assert MeasureSet.objects.count() == 0


@pytest.mark.parametrize(
    ("entry", "text", "sentence"),
    [
        ("left__foot_length__1", "2730", "Type less than 1500 mm: is the decimal point in its place?"),
        ("left__foot_length__1", "0", "Type more than 0 mm."),
        ("left__foot_length__1", "NaN", NO_LENGTH),
        ("left__foot_length__1", "1e9", NO_LENGTH),
        ("left__foot_length__1", "-273", "A length has no minus before it."),
        ("left__foot_length__1", "10 in 5 mm", "Two units stand in one field. Type the length in one of them."),
        ("left__foot_length__1", "70 in", "Type less than 1500 mm: is the decimal point in its place?"),
        ("load", "", "This field is required."),
        ("taken_on", "2999-01-01", "This is still to come."),
    ],
)
def test_an_entry_that_cannot_be_is_explained(
    clinician: Person, signed_in: Callable[[Person], Any], entry: str, text: str, sentence: str
) -> None:
    answer = signed_in(clinician).post(address(make_patient()), typed(**{entry: text}))
    errors = [error for errors in answer.context["form"].errors.values() for error in errors]
    assert (answer.status_code, errors) == (422, [sentence])


def test_an_empty_sitting_is_asked_for_a_measure(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    entries = {name: text for name, text in typed().items() if "-" not in name}
    answer = signed_in(clinician).post(address(make_patient()), entries)
    assert answer.context["form"].non_field_errors() == ["Nothing was measured yet: type at least one measure."]


def test_two_takes_more_than_three_millimetres_apart_ask_for_a_third(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    answer = signed_in(clinician).post(address(make_patient()), typed(left__joint_girth__2="257"))
    assert (answer.status_code, answer.context["form"].errors) == (
        422,
        {"left-joint_girth-3": ["The two takes are 4 mm apart: take it once more."]},
    )


def test_the_workshop_sets_beyond_what_a_third_take_is_asked(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    make_figure("third_take_above_mm", "5", valid_from=timezone.localdate())
    answer = signed_in(clinician).post(address(make_patient()), typed(left__joint_girth__2="257"))
    assert answer.status_code == 303


def test_a_third_take_is_kept_with_the_two(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    signed_in(clinician).post(address(make_patient()), typed(left__joint_girth__2="257", left__joint_girth__3="254"))
    measure_set = MeasureSet.objects.get()
    assert queries.takes_of(measure_set, "left")["joint_girth"] == (Decimal(253), Decimal(257), Decimal(254))


def test_two_takes_may_stand_when_the_client_has_left(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    answer = signed_in(clinician).post(address(make_patient()), typed(left__joint_girth__2="257", two_takes_stand="on"))
    assert answer.status_code == 303


def test_the_third_take_has_a_field_only_where_it_is_asked(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    page = signed_in(clinician).post(address(make_patient()), typed(left__joint_girth__2="257")).content.decode()
    assert [f'name="{side}-joint_girth-3"' in page for side in ("left", "right")] == [True, False]


def test_the_page_asks_for_about_forty_entries(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    page = signed_in(clinician).get(address(make_patient())).content.decode()
    assert page.count('class="figure"') == 39


def test_left_stands_before_right_and_each_half_says_its_word(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    page = signed_in(clinician).get(address(make_patient())).content.decode()
    left, right = page.split('<section class="foot right"')
    assert (
        left.count('name="right-'),
        right.count('name="left-'),
        "LEFT: girths" in left,
        "RIGHT: girths" in right,
    ) == (
        0,
        0,
        True,
        True,
    )


def test_what_was_measured_last_time_stands_beside(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    patient = make_patient()
    make_measure_set(patient=patient, left={"foot_length": 271.5})
    half = signed_in(clinician).get(address(patient)).context["form"].halves[0]
    line = next(line for _, lines in half.groups for line in lines if line.kind.key == "foot_length")
    assert line.last_time_mm == Decimal("271.5")


def test_a_visit_of_this_client_can_be_named(
    clinician: Person, signed_in: Callable[[Person], Any], now: datetime
) -> None:
    visit = make_visit(starts_at=now, kind="measures-and-cast", status=VisitStatus.ARRIVED)
    signed_in(clinician).post(address(visit.patient), typed(visit=str(visit.uuid)))
    assert MeasureSet.objects.get().visit == visit


def test_the_visit_of_today_is_named_without_a_touch(
    clinician: Person, signed_in: Callable[[Person], Any], now: datetime
) -> None:
    visit = make_visit(starts_at=now, kind="measures-and-cast")
    form = signed_in(clinician).get(address(visit.patient)).context["form"]
    assert form["visit"].value() == visit.uuid


def test_only_this_clients_late_visits_are_offered(now: datetime) -> None:
    patient = make_patient()
    here = make_visit(starts_at=now, patient=patient)
    make_visit(starts_at=now - timedelta(days=31), patient=patient)
    make_visit(starts_at=now - timedelta(days=1), patient=patient, status=VisitStatus.CANCELLED)
    make_visit(starts_at=now)
    assert list(queries.visits_to_measure_at(patient, today=now.date())) == [here]


def test_a_set_with_an_unlikely_measure_is_saved_and_asked_about(
    clinician: Person, signed_in: Callable[[Person], Any]
) -> None:
    client = signed_in(clinician)
    page = client.post(address(make_patient()), typed(left__foot_length__1="27.3"), follow=True).content.decode()
    assert ("Please measure again?" in page, "Foot length is 27.3 mm: was 273 mm meant?" in page) == (True, True)


def test_the_sizes_use_the_allowance_of_the_day_of_measuring(now: datetime) -> None:
    make_figure("toe_allowance_mm", "15", valid_from=now.date())
    before = make_measure_set(taken_at=now - timedelta(days=1))
    after = make_measure_set(taken_at=now)
    lengths = [
        foot.last_length.result for each in (before, after) for foot in queries.sizes_of(each) if foot.last_length
    ]
    assert lengths == ["285 mm", "285 mm", "288 mm", "288 mm"]


def test_each_foot_has_its_own_sizes(now: datetime) -> None:
    left, right = queries.sizes_of(make_measure_set(left={"foot_length": 260}, right={"foot_length": 270}))
    assert [foot.mondopoint.result for foot in (left, right) if foot.mondopoint] == ["260/101", "270/101"]


def test_a_foot_without_a_length_says_why_it_has_no_size() -> None:
    _, right = queries.sizes_of(make_measure_set(right={"foot_length": None}))
    assert right.cannot == "The foot length was not taken."


def test_a_foot_too_short_for_the_scales_says_what_is_allowed() -> None:
    left, _ = queries.sizes_of(make_measure_set(left={"foot_length": 27.3}))
    assert left.cannot == "No size can be worked out: foot_length_mm is 27.3 mm; allowed is 50 to 400 mm."


# Hostile entries ---------------------------------------------------------------------------------------------

FIELDS = [
    *("method", "load", "heel_height_mm", "taken_on", "taken_time", "taken_by", "visit", "unit", "note"),
    "two_takes_stand",
    *(f"{side}-leg-{row}-{part}" for side in ("left", "right") for row in (1, 2, 3) for part in LEG),
    *(f"{side}-bulge-{row}-{part}" for side in ("left", "right") for row in (1, 2, 3) for part in BULGE),
    *(f"differs-{row}-{part}" for row in (1, 2, 3) for part in DIFFERING),
    *(f"{side}-{name}-{take}" for side in ("left", "right") for name in FIRST_MAN for take in (1, 2, 3)),
]
NASTY = st.one_of(
    st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=40),
    st.sampled_from(["NaN", "Infinity", "-0", "1e400", "1e-400", "٢٧٣", "0x1F", "\x00", "9" * 300, "0001-01-01"]),
    st.decimals(allow_nan=True, allow_infinity=True).map(str),
    st.dates().map(date.isoformat),
    st.uuids().map(str),
    st.sampled_from(["10 3/4 in", "10 in 5 mm", "1/0", "in", "standing", "medial", "left-foot_length", "12:30"]),
)


class HostileEntries(TestCase):
    @settings(max_examples=300, deadline=None)
    @given(st.dictionaries(st.sampled_from(FIELDS), NASTY, max_size=12))
    def test_the_form_answers_every_entry(self, entries: dict[str, str]) -> None:
        load_figures()
        form = MeasuringForm(
            typed() | entries,
            visits=[],
            people=[],
            previous=None,
            conditions={side: frozenset() for side in SIDES},
            third_above_mm=Decimal(3),
            third_above_swollen_mm=Decimal(5),
            at=timezone.now(),
        )
        assert form.is_valid() is not bool(form.errors)
        assert len(form.halves) == 2


# Who ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("role", "status"),
    [("clinician", 200), ("maker", 403), ("manager", 403), ("reception", 403), ("administrator", 403)],
)
def test_only_the_clinician_measures(
    request: pytest.FixtureRequest, signed_in: Callable[[Person], Any], role: str, status: int
) -> None:
    client = signed_in(request.getfixturevalue(role))
    assert client.get(address(make_patient())).status_code == status


@pytest.mark.parametrize(
    ("role", "status"),
    [("clinician", 200), ("maker", 200), ("manager", 200), ("reception", 403), ("administrator", 403)],
)
def test_measures_are_read_by_those_who_work_from_them(
    request: pytest.FixtureRequest, signed_in: Callable[[Person], Any], role: str, status: int
) -> None:
    client = signed_in(request.getfixturevalue(role))
    assert client.get(reverse("measures", args=[make_measure_set().uuid])).status_code == status


def test_measures_that_are_not_there_are_not_found(clinician: Person, signed_in: Callable[[Person], Any]) -> None:
    assert signed_in(clinician).get(reverse("measures", args=[UUID(int=1)])).status_code == 404
