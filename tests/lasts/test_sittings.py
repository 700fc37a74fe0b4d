"""What belongs to a sitting besides its round of measures: legs, bulges, what differs, answers, inches."""

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.lasts.actions import BulgeValue, LegValue
from cases.lasts.models import (
    LegGirth,
    Measure,
    MeasureSet,
    OutlineDeviation,
)
from cases.patients.models import Patient
from shared.models import Deed
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.lasts import make_measure_set
from tests.factories.patients import make_finding, make_patient
from tests.factories.staff import make_person
from tests.lasts.test_measuring import address, record, typed, value
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("figures")]


SignedIn = Callable[[Person], Any]


def errors_of(answer: Any) -> dict[str, list[str]]:
    return {name: list(errors) for name, errors in answer.context["form"].errors.items()}


# Inches ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("10 3/4 in", "mm", "273.1"),
        ('10¾"', "mm", "273.1"),
        ("7 1/2", "mm", "190.5"),
        ("10", "in", "254.0"),
        ("254 mm", "in", "254.0"),
    ],
)
def test_a_measure_is_typed_in_inches_and_kept_in_mm(
    tablet: Any, patient: Patient, text: str, unit: str, mm: str
) -> None:
    entries = {name: f"{text} mm" if "-" in name else text for name, text in typed().items()}
    tablet.post(address(patient), {**entries, "left-waist_girth-1": text, "unit": unit})
    assert Measure.objects.get(name="waist_girth").value_mm == Decimal(mm)


def test_mm_typed_on_a_page_in_inches_are_told_so(tablet: Any, patient: Patient) -> None:
    answer = tablet.post(address(patient), typed(unit="in", heel_height_mm="0 mm"))
    assert errors_of(answer)["left-foot_length-1"] == [
        "Type less than 1500 mm: a figure without its unit is in inches here."
    ]


def test_what_was_typed_in_inches_is_shown_back_in_mm(tablet: Any, patient: Patient) -> None:
    page = tablet.post(address(patient), typed(left__waist_girth__1="9 1/2 in", load="")).content.decode()
    assert "= 241.3 mm" in page


# Swollen feet ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("condition", "status"), [("oedema", 303), ("hammer_toe", 422)])
def test_a_swollen_foot_is_allowed_five_millimetres_between_takes(
    tablet: Any, patient: Patient, condition: str, status: int
) -> None:
    make_finding(patient, condition=condition)
    assert tablet.post(address(patient), typed(left__joint_girth__2="257")).status_code == status


def test_the_other_foot_of_a_swollen_one_is_allowed_three(tablet: Any, patient: Patient) -> None:
    make_finding(patient, condition="oedema")
    answer = tablet.post(address(patient), typed(right__joint_girth__2="257"))
    assert list(errors_of(answer)) == ["right-joint_girth-3"]


# Who, and what differs ---------------------------------------------------------------------------------------


def test_another_clinician_may_have_held_the_tape(tablet: Any, patient: Patient) -> None:
    other = make_person(name="Otto Other", roles=["clinician"])
    tablet.post(address(patient), typed(taken_by=str(other.uuid)))
    assert MeasureSet.objects.get().taken_by == other


def test_without_a_name_whoever_is_signed_in_held_the_tape(tablet: Any, patient: Patient, clinician: Person) -> None:
    tablet.post(address(patient), typed())
    assert MeasureSet.objects.get().taken_by == clinician


DIFFERS = {
    "differs-1-measure": "left-foot_length",
    "differs-1-method": "caliper",
    "differs-1-load": "standing",
    "differs-1-heel_height_mm": "20",
    "differs-1-time": "00:00",
}


def test_a_measure_keeps_what_was_different_about_it(tablet: Any, patient: Patient) -> None:
    other = make_person(name="Otto Other", roles=["clinician"])
    tablet.post(address(patient), typed() | DIFFERS | {"differs-1-who": str(other.uuid)})
    kept = Measure.objects.filter(side="left", name="foot_length")
    assert kept.values_list("method", "load", "heel_height_mm", "taken_by").get() == (
        "caliper",
        "standing",
        Decimal(20),
        other.pk,
    )


def test_no_other_measure_says_anything_different(tablet: Any, patient: Patient) -> None:
    tablet.post(address(patient), typed() | DIFFERS)
    others = Measure.objects.exclude(side="left", name="foot_length")
    said = [(each.method, each.load, each.heel_height_mm, each.taken_at, each.taken_by_id) for each in others]
    assert [each for each in said if each != ("", "", None, None, None)] == []


def test_the_page_of_the_sitting_says_what_was_taken_differently(tablet: Any, patient: Patient) -> None:
    page = tablet.post(address(patient), typed() | DIFFERS, follow=True).content.decode()
    assert "foot length: caliper, standing, full load, heel 20 mm, at 00:00" in page


@pytest.mark.parametrize(
    ("changes", "name", "sentence"),
    [
        ({"differs-1-measure": ""}, "differs-1-measure", "Which measure?"),
        ({"differs-1-measure": "left-waist_girth"}, "differs-1-measure", "Nothing was typed for this measure."),
        (
            {"differs-2-measure": "left-foot_length", "differs-2-load": "part"},
            "differs-2-measure",
            "This measure stands in two rows.",
        ),
        (
            {"differs-2-measure": "left-joint_girth"},
            "differs-2-method",
            "Say what was different, or choose no measure.",
        ),
    ],
)
def test_a_row_of_what_differs_says_what_is_wrong_with_it(
    tablet: Any, patient: Patient, changes: dict[str, str], name: str, sentence: str
) -> None:
    assert errors_of(tablet.post(address(patient), typed() | DIFFERS | changes)) == {name: [sentence]}


# Legs and bulges ---------------------------------------------------------------------------------------------

LEG = {"left-leg-1-words": "top of the boot", "left-leg-1-height_mm": "240", "left-leg-1-girth_mm": "12 in"}


BULGE = {
    "right-bulge-1-edge": "medial",
    "right-bulge-1-from_heel_mm": "177",
    "right-bulge-1-extent_mm": "60",
    "right-bulge-1-beyond_mm": "18",
    "right-bulge-1-words": "big-toe joint",
}


def test_a_girth_up_the_leg_is_kept_with_its_height_and_name(tablet: Any, patient: Patient) -> None:
    tablet.post(address(patient), typed() | LEG)
    assert LegGirth.objects.values_list("side", "words", "height_mm", "girth_mm").get() == (
        "left",
        "top of the boot",
        Decimal(240),
        Decimal("304.8"),
    )


def test_a_bulge_is_kept_with_its_edge_and_place(tablet: Any, patient: Patient) -> None:
    tablet.post(address(patient), typed() | BULGE)
    kept = OutlineDeviation.objects.values_list("side", "edge", "from_heel_mm", "extent_mm", "beyond_mm", "words")
    assert kept.get() == ("right", "medial", Decimal(177), Decimal(60), Decimal(18), "big-toe joint")


def test_legs_and_bulges_stand_on_the_page_of_the_sitting(tablet: Any, patient: Patient) -> None:
    page = tablet.post(address(patient), typed() | LEG | BULGE, follow=True).content.decode()
    assert [
        "304.8 mm round, 240 mm above the floor: top of the boot" in page,
        "Medial, stands out by 18 mm: 60 mm long, its middle 177 mm from the back of the heel. Big-toe joint" in page,
    ] == [True, True]


@pytest.mark.parametrize(
    ("changes", "errors"),
    [
        ({"left-leg-1-height_mm": ""}, {"left-leg-1-height_mm": ["At what height above the floor?"]}),
        ({"left-leg-1-girth_mm": ""}, {"left-leg-1-girth_mm": ["Type the girth at this height."]}),
        (
            {"left-leg-2-height_mm": "240", "left-leg-2-girth_mm": "300"},
            {"left-leg-2-height_mm": ["A leg is measured once at each height."]},
        ),
        ({"right-bulge-1-edge": ""}, {"right-bulge-1-edge": ["Medial or lateral?"]}),
        (
            {name.replace("-1-", "-2-"): text for name, text in BULGE.items()},
            {"right-bulge-2-from_heel_mm": ["A bulge is kept once at each place."]},
        ),
    ],
)
def test_a_row_that_is_half_typed_says_what_is_missing(
    tablet: Any, patient: Patient, changes: dict[str, str], errors: dict[str, list[str]]
) -> None:
    assert errors_of(tablet.post(address(patient), typed() | LEG | BULGE | changes)) == errors


def test_a_leg_alone_is_a_sitting(tablet: Any, patient: Patient) -> None:
    entries = {name: text for name, text in typed().items() if "-" not in name}
    assert tablet.post(address(patient), entries | LEG).status_code == 303


def test_the_story_counts_legs_and_bulges(clinician: Person, now: datetime) -> None:
    leg = LegValue(side="left", height_mm=Decimal(240), girth_mm=Decimal(300))
    bulge = BulgeValue("right", "medial", Decimal(177), Decimal(60), Decimal(18))
    record(clinician, now, values=[value()], legs=[leg], bulges=[bulge])
    assert Deed.objects.get(action="record_measures").says == (
        "Measured LEFT and RIGHT: 1 measure, 1 leg girth, 1 bulge."
    )


def test_one_height_of_a_leg_is_refused_twice(clinician: Person, now: datetime) -> None:
    leg = LegValue(side="left", height_mm=Decimal(240), girth_mm=Decimal(300))
    with pytest.raises(Refused, match="A leg is measured once at each height"):
        record(clinician, now, values=[value()], legs=[leg, leg])


# The clock ---------------------------------------------------------------------------------------------------

CLOCKS_GO_FORWARD = "2026-03-29"


"""In London there is no 01:30 on this day."""


def test_a_time_that_the_clocks_skip_is_no_time_of_a_sitting(tablet: Any, patient: Patient) -> None:
    answer = tablet.post(address(patient), typed(taken_on=CLOCKS_GO_FORWARD, taken_time="01:30"))
    assert errors_of(answer) == {
        "taken_time": [
            "There is no 01:30 on Sun 29 Mar 2026: the clocks go forward over it. It is 02:30 then.",
        ]
    }


@pytest.mark.parametrize(("clock", "kept"), [("02:45", "02:45"), ("01:30", "00:30")], ids=["a time", "skipped"])
def test_a_measure_taken_at_another_time_keeps_it_and_at_none_that_the_clocks_skip(
    tablet: Any, patient: Patient, clock: str, kept: str
) -> None:
    sitting = typed(taken_on=CLOCKS_GO_FORWARD, taken_time="00:30")
    tablet.post(address(patient), sitting | {"differs-1-measure": "left-foot_length", "differs-1-time": clock})
    measure = Measure.objects.get(side="left", name="foot_length")
    assert measure.taken_at is not None
    assert f"{timezone.localtime(measure.taken_at):%Y-%m-%d %H:%M}" == f"{CLOCKS_GO_FORWARD} {kept}"


def test_a_day_beyond_the_calendar_is_no_day_of_a_sitting(tablet: Any, patient: Patient) -> None:
    """Midnight of the first day that a date can name lies, in Tokyo, on no day of the world's time."""
    with timezone.override("Asia/Tokyo"):
        answer = tablet.post(address(patient), typed(taken_on="0001-01-01"))
    assert errors_of(answer) == {"taken_on": ["There is no such day in this calendar."]}


def test_nobody_is_measured_before_they_are_born_and_what_was_typed_is_kept(tablet: Any) -> None:
    patient = make_patient(born_on=date(1950, 3, 12))
    answer = tablet.post(address(patient), typed(taken_on="1950-03-11", note="bunion rubs"))
    form = answer.context["form"]
    assert (answer.status_code, form.non_field_errors(), form["note"].value()) == (
        409,
        ["These measures would be taken before the client was born."],
        "bunion rubs",
    )


# Sizes -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "condition", "cautioned"),
    [
        (Side.LEFT, "partial_foot_amputation", [True, False]),
        (Side.RIGHT, "toe_amputation", [False, True]),
        (Side.LEFT, "hallux_valgus", [False, False]),
    ],
)
def test_the_sizes_of_a_foot_that_is_not_whole_say_so(
    tablet: Any, side: Side, condition: str, cautioned: list[bool]
) -> None:
    measure_set = make_measure_set()
    make_finding(measure_set.patient, side=side, condition=condition)
    feet = tablet.get(reverse("measures", args=[measure_set.uuid])).context["feet"]
    assert [bool(foot.caution) for foot in feet] == cautioned
