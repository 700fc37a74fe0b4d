"""The shoe that drawings, figures and notes start from: everything prescribed, and what its form was drawn from."""

from dataclasses import fields
from datetime import datetime
from typing import Any

import pytest
from django.db.models import Model

from cases.lasts.models import Last, OutlineDeviation
from cases.lasts.outline import Bulge
from cases.prescriptions import parts, shoes_of
from cases.prescriptions.models import Prescription
from cases.prescriptions.shoe import Rocker, Shoe
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.lasts import agreed, make_last, make_measure_set, make_measure_set_of_one_foot
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription

pytestmark = pytest.mark.django_db

MODELS: dict[str, type[Model]] = {**parts.SINGLE, **{name: kind.model for name, kind in parts.MANY.items()}}


@pytest.mark.parametrize("name", [*shoes_of.ONE, *shoes_of.SEVERAL])
def test_every_figure_of_a_part_is_one_that_can_be_prescribed(name: str) -> None:
    kind = {**shoes_of.ONE, **shoes_of.SEVERAL}[name]
    prescribed = {field.name for field in parts.value_fields(MODELS[name])}
    assert {field.name for field in fields(kind)} - prescribed == set()


def test_every_part_that_can_be_prescribed_is_a_part_of_the_shoe() -> None:
    assert set(MODELS) - {field.name for field in fields(Shoe)} == set()


def shoe(version: Prescription, side: Side = Side.LEFT) -> Shoe:
    return shoes_of.shoes_of(version, toe_allowance_mm=12)[side]


def test_the_form_is_the_agreed_last_where_there_is_one() -> None:
    patient = make_patient()
    last = agreed(make_last(owner=patient, number="77", length_mm=291, joint_width_mm=104))
    form = shoe(make_prescription(patient=patient, left_last=last)).form
    assert (form.drawn_from, form.is_agreed, form.length_mm, form.joint_width_mm) == (
        "last 77 LEFT, agreed",
        True,
        291,
        104,
    )


def test_a_last_that_nobody_agreed_says_so() -> None:
    patient = make_patient()
    version = make_prescription(patient=patient, left_last=make_last(owner=patient, number="77"))
    assert shoe(version).form.drawn_from == "last 77 LEFT, not agreed as it is"


def test_without_a_last_the_form_is_the_foot_with_room_before_its_toe(now: datetime) -> None:
    patient = make_patient()
    measures = make_measure_set(patient=patient, taken_at=now.replace(2026, 11, 3), left={"foot_length": 264})
    form = shoe(make_prescription(patient=patient, measure_set=measures)).form
    assert (form.drawn_from, form.length_mm, form.girths_mm["joint"]) == ("the measures of 3 Nov 2026", 276, 253)


def test_a_scan_of_one_foot_leaves_the_other_foot_the_measures_it_had(now: datetime) -> None:
    patient = make_patient()
    make_measure_set(patient=patient, taken_at=now.replace(2026, 11, 3), both={"foot_length": 264})
    scan = make_measure_set_of_one_foot(
        "left", patient=patient, taken_at=now.replace(2026, 11, 20), both={"foot_length": 266}
    )
    version = make_prescription(patient=patient, measure_set=scan)
    forms = [shoe(version, side).form for side in (Side.LEFT, Side.RIGHT)]
    assert [(form.drawn_from, form.length_mm) for form in forms] == [
        ("the measures of 20 Nov 2026", 278),
        ("the measures of 3 Nov 2026", 276),
    ]


def bulges_on(last: Last, *, from_heel_mm: int = 206) -> tuple[Bulge, ...]:
    """What the form of a last has of a foot that stands out 18 mm at its 1st joint LEFT, 6 mm RIGHT."""
    measures = make_measure_set(patient=last.owner or make_patient())
    with setting_up():
        for side, beyond_mm in (("left", 18), ("right", 6)):
            OutlineDeviation.objects.create(
                measure_set=measures,
                side=side,
                edge="medial",
                from_heel_mm=from_heel_mm,
                extent_mm=70,
                beyond_mm=beyond_mm,
            )
    return shoe(make_prescription(patient=measures.patient, measure_set=measures, left_last=last)).form.bulges


def test_a_clients_own_last_stands_out_where_the_foot_does() -> None:
    last = make_last(owner=make_patient(), joint_width_mm=112)
    assert bulges_on(last) == (Bulge(is_medial=True, from_heel_mm=206, extent_mm=70, beyond_mm=18),)


def test_a_bulge_at_the_very_back_of_the_heel_is_drawn_a_millimetre_from_it() -> None:
    last = make_last(owner=make_patient(), joint_width_mm=112)
    assert bulges_on(last, from_heel_mm=0)[0].from_heel_mm == 1


def test_a_last_that_was_not_measured_across_its_joints_is_drawn_without_bulges() -> None:
    assert bulges_on(make_last(owner=make_patient())) == ()


def test_a_last_of_the_rack_is_drawn_regular() -> None:
    assert bulges_on(make_last(joint_width_mm=112)) == ()


def test_without_last_and_measures_the_form_is_said_to_be_an_ordinary_foots() -> None:
    assert shoe(make_prescription()).form.drawn_from == "no last and no measures: an ordinary foot"


def test_a_shoe_of_the_clients_own_is_known_from_one_that_is_built_here() -> None:
    works = ("new", "repeat", "adaptation", "repair")
    assert [shoe(make_prescription(work=work)).is_built_here for work in works] == [True, True, False, False]


def test_what_is_prescribed_for_one_foot_stands_on_that_foot_alone() -> None:
    version = make_prescription(left={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    assert (shoe(version).rocker, shoe(version, Side.RIGHT).rocker) == (Rocker(55, 15, True, None), None)


def test_everything_about_both_shoes_came_with_the_version(django_assert_num_queries: Any) -> None:
    """Measures, bulges, lasts and what was agreed about them."""
    patient = make_patient()
    version = make_prescription(
        patient=patient,
        measure_set=make_measure_set(patient=patient),
        left_last=make_last(owner=patient),
        right_last=make_last(owner=patient, side="right"),
    )
    with django_assert_num_queries(0):
        shoes_of.shoes_of(version, toe_allowance_mm=12)
