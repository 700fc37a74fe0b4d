"""Drawings of feet and lasts from what is on record."""

import pytest

from cases.lasts.models import MeasureSet, OutlineDeviation
from cases.lasts.outline import ToeShape
from cases.lasts.queries.shapes import feet_drawn, last_drawn, toe_shape_of
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.lasts import make_last, make_measure_set

pytestmark = pytest.mark.django_db


def bulging(measure_set: MeasureSet, **fields: object) -> MeasureSet:
    with setting_up():
        OutlineDeviation.objects.create(
            measure_set=measure_set,
            **{"side": "left", "edge": "medial", "from_heel_mm": 202, "extent_mm": 60, "beyond_mm": 18, **fields},
        )
    return measure_set


def test_both_feet_are_drawn_in_frames_of_one_size() -> None:
    left, right = feet_drawn(make_measure_set(left={"foot_length": 233, "heel_to_joint": 172}))
    assert left.drawing is not None
    assert right.drawing is not None
    assert left.drawing.view_box == right.drawing.view_box


def test_a_foot_without_the_figures_says_which_are_missing() -> None:
    left, _ = feet_drawn(make_measure_set(left={"heel_width": None, "joint_width": None}))
    assert (left.drawing, left.cannot) == (None, "Not drawn: joint width and heel width not taken.")


def test_figures_that_contradict_each_other_say_so() -> None:
    left, _ = feet_drawn(make_measure_set(left={"heel_to_joint": 60}))
    assert left.cannot == "Not drawn: heel_to_joint_mm is 60 mm; allowed is 95.55 to 269 mm."


def test_a_bulge_is_drawn_on_its_own_foot_alone() -> None:
    left, right = feet_drawn(bulging(make_measure_set(), from_heel_mm=120))
    assert left.outline is not None
    assert right.outline is not None
    assert left.outline.area_cm2 > right.outline.area_cm2


def test_a_foot_without_its_toes_is_drawn_as_a_stump() -> None:
    """The joint lies at the end of what is left."""
    left, _ = feet_drawn(make_measure_set(left={"foot_length": 205}))
    assert left.outline is not None
    assert left.outline.medial_joint[0] == pytest.approx(0.82 * 205)


def test_a_last_without_widths_has_no_plan() -> None:
    assert last_drawn(make_last()).plan is None


@pytest.mark.parametrize("side", list(Side))
def test_a_last_is_drawn_with_the_word_of_its_side(side: Side) -> None:
    drawn = last_drawn(make_last(side=side, joint_width_mm=100, heel_width_mm=70))
    assert drawn.plan is not None
    assert drawn.plan.words[0].says == side.label


@pytest.mark.parametrize(
    ("words", "shape"),
    [
        ("round", ToeShape.ROUND),
        ("Almond", ToeShape.POINTED),
        ("chiselled square", ToeShape.SQUARE),
        ("oblique, wide", ToeShape.NATURAL),
        ("", ToeShape.ROUND),
    ],
)
def test_a_makers_words_for_a_toe_are_understood(words: str, shape: ToeShape) -> None:
    assert toe_shape_of(words) is shape


def test_the_words_of_a_profile_stand_clear_of_its_ground() -> None:
    """In type of 12, of which a capital is about 0.73 high."""
    profile = last_drawn(make_last()).profile
    assert profile is not None
    (word,), (ground,) = profile.words, profile.strokes
    assert word.y - 0.73 * 12 - ground.y1 > 2


def test_medial_and_lateral_do_not_meet_over_the_narrowest_foot() -> None:
    """In type of 13, as the page of a last sets them; a capital is about 0.72 of its type."""
    left, _ = feet_drawn(make_measure_set(left={"joint_width": 60, "heel_width": 42}))
    assert left.drawing is not None
    words = [word for word in left.drawing.words if word.says in {"MEDIAL", "LATERAL"}]
    assert sum(0.72 * 13 * len(word.says) for word in words) < left.drawing.width - 4
