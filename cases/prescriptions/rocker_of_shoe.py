"""How thick the sole of a rocker stands, read off the layers that are drawn: one figure for panel, drawing and notes."""

from collections.abc import Mapping

from cases.prescriptions.cut_away.stack import Stack, stack_of
from cases.prescriptions.rocker import PLACES
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import Edge


def thickness_of_sole(shoe: Shoe, stack: Stack) -> Mapping[str, float]:
    """From the underside to what lies on the sole, mm by place; a raise is counted with its own heights.

    The sole's own thickness is left everywhere, so the thinnest place is as thick as it is prescribed.
    """
    assert shoe.rocker is not None
    length = shoe.form.length_mm
    at = (0.0, stack.breast_mm, shoe.rocker.apex_percent / 100 * length, shoe.form.heel_to_joint_mm, length)
    return {
        place: stack.at(x, stack.over_sole) - stack.at(x, stack.under_sole) for place, x in zip(PLACES, at, strict=True)
    }


def rocker_apex_mm(shoe: Shoe) -> float | None:
    """How thick the sole of a rocker stands at its apex; None without one, or where it cannot be drawn."""
    if shoe.rocker is None:
        return None
    try:
        stack = stack_of(shoe, Edge.MEDIAL)
    except BadInput:
        return None
    return thickness_of_sole(shoe, stack)["apex"]
