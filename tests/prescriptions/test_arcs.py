"""How far it is along the feather edge from centre back to a joint: what a stiffener's reach is a part of."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from shared.sides import Edge
from tests.prescriptions.shoes import FORM


def by_the_geometry_library(edge: Edge, joint_mm: float) -> float:
    """The length of the piece of the outline behind the joint, on one side of the long axis."""
    far = 500.0
    beside = (0.0, far) if edge == Edge.MEDIAL else (-far, 0.0)
    behind = shapely.box(-far, beside[0], joint_mm, beside[1])
    return float(FORM.outline.polygon.exterior.intersection(behind).length)


@pytest.mark.parametrize(("edge", "joint_mm"), [(Edge.MEDIAL, 205.0), (Edge.LATERAL, 178.0)])
def test_the_arc_is_the_outline_s_own_length_behind_the_joint(edge: Edge, joint_mm: float) -> None:
    """Source: geometry, worked out another way by the geometry library."""
    assert FORM.arc_mm(edge) == pytest.approx(by_the_geometry_library(edge, joint_mm), abs=0.05)


@pytest.mark.parametrize("edge", Edge)
def test_the_arc_goes_round_half_a_heel_before_it_goes_forward(edge: Edge) -> None:
    """Geometry: a half-heel of 35 × 35 mm turns a quarter of a circle, 20 mm longer than its radius, give or take."""
    joint = FORM.heel_to_joint_mm if edge == Edge.MEDIAL else FORM.heel_to_fifth_mm
    assert FORM.arc_mm(edge) - joint == pytest.approx(35 * (np.pi / 2 - 1), abs=3)


@given(
    heel=st.floats(45, 95),
    joint=st.floats(80, 125),
    to_joint=st.floats(190, 225),
    edge=st.sampled_from(list(Edge)),
)
def test_the_arc_is_longer_than_the_stick_says_and_never_by_more_than_a_heel(
    *, heel: float, joint: float, to_joint: float, edge: Edge
) -> None:
    form = replace(FORM, heel_width_mm=heel, joint_width_mm=joint, heel_to_joint_mm=to_joint, heel_to_fifth_mm=to_joint)
    assert 0 < form.arc_mm(edge) - to_joint < heel


def test_a_broader_heel_makes_a_longer_way() -> None:
    broader = replace(FORM, heel_width_mm=FORM.heel_width_mm + 10)
    assert broader.arc_mm(Edge.MEDIAL) > FORM.arc_mm(Edge.MEDIAL)
