"""What a maker reads: every prescribed value, nothing else, without asking the database again."""

import pytest

from cases.prescriptions import queries
from cases.prescriptions.described import describe, differences_in_words, side_by_side
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription
from tests.prescriptions.every_part import EVERYTHING

pytestmark = pytest.mark.django_db


def test_a_stiffener_is_read_in_the_order_in_which_it_is_made(db: None) -> None:
    prescription = make_prescription(
        left={
            "stiffener": {
                "medial_reach": "long",
                "medial_reach_mm": 180,
                "lateral_reach": "short",
                "lateral_reach_mm": 81,
                "back_height_mm": 48,
            },
            "reliefs": EVERYTHING["reliefs"],
        }
    )
    left, _ = describe(prescription)
    stiffener = left.part("stiffener")
    assert stiffener
    assert stiffener.lines == (
        ("medial reach", "long, 180 mm"),
        ("lateral reach", "short, 81 mm"),
        ("back height", "48 mm"),
        ("thickness", "2.8 mm"),
        ("relief, back of the heel", "34 × 26 mm, centre 30 mm above the seat, thinned to 0.8 mm"),
        ("relief, lateral malleolus", "20 × 20 mm, cut out"),
        ("material", "vegetable-tanned belly"),
    )


def test_reading_a_prescription_asks_the_database_nothing(django_assert_num_queries) -> None:
    prescription = make_prescription(both=EVERYTHING)
    with django_assert_num_queries(0):
        describe(prescription)


# The version with client, measures and people, and its feet with every part.
QUERIES = 1


@pytest.mark.parametrize("parts", [{}, EVERYTHING], ids=["ordinary", "with every part"])
def test_loading_a_prescription_takes_the_same_queries_whatever_it_holds(django_assert_num_queries, parts) -> None:
    uuid = make_prescription(patient=make_patient(), both=parts).uuid
    with django_assert_num_queries(QUERIES):
        describe(queries.whole(uuid))


def test_what_a_new_version_changes_is_said_foot_by_foot_and_part_by_part() -> None:
    patient = make_patient()
    old = make_prescription(patient=patient, shoe_weight_limit_g=700)
    new = make_prescription(
        patient=patient,
        shoe_weight_limit_g=650,
        left={"stiffener": {"lateral_reach": "short", "lateral_reach_mm": 81}},
        right={"toe_puff": None, "flares": [{"edge": "medial", "width_mm": 5}]},
    )
    said = [
        (change.side, change.part, line.label, line.was, line.now)
        for change in differences_in_words(old, new)
        for line in change.lines
    ]
    assert said == [
        ("", "pair", "each shoe weighs at most", "700 g", "650 g"),
        ("left", "stiffener", "lateral reach", "medium, 112 mm", "short, 81 mm"),
        ("right", "flare_medial", "width", "not prescribed", "5 mm"),
        ("right", "toe_puff", "kind", "standard", "not prescribed"),
        ("right", "toe_puff", "length from the toe", "56 mm", "not prescribed"),
        ("right", "toe_puff", "thickness", "1.6 mm", "not prescribed"),
    ]


def test_two_reliefs_in_one_place_are_told_apart() -> None:
    patient = make_patient()
    relief = {"place": "heel", "width_mm": 34, "height_mm": 26, "way": "cut out"}
    old = make_prescription(patient=patient, left={"reliefs": [relief, relief]})
    new = make_prescription(patient=patient, left={"reliefs": [relief, {**relief, "width_mm": 40}]})
    said = [(line.was, line.now) for change in differences_in_words(old, new) for line in change.lines]
    assert said == [("34 × 26 mm, cut out", "40 × 26 mm, cut out")]


def test_the_feet_are_held_side_by_side_in_the_order_they_are_read() -> None:
    prescription = make_prescription(left={"toe_puff": None}, right={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    groups = side_by_side(describe(prescription))
    read = {group.title: [(row.name, bool(row.left), bool(row.right)) for row in group.rows] for group in groups[1:]}
    assert read == {
        "Closed in": [("Stiffener", True, True), ("Toe puff", False, True), ("Insole", True, True)],
        "Underfoot": [("Sole", True, True), ("Heel", True, True), ("Rocker", False, True)],
    }


def test_where_left_and_right_differ_the_labels_are_named() -> None:
    prescription = make_prescription(left={"heel": {"height_mm": 18}})
    differ = {
        row.name: row.differ for group in side_by_side(describe(prescription)) for row in group.rows if row.differ
    }
    assert differ == {"Heel": ("height",)}
