"""What a scan says in words: its figures with their workings, and what of them may be taken."""

import copy
from decimal import Decimal
from typing import Any

import pytest

from cases.lasts.meshes.measuring import measure
from cases.lasts.queries.scans import ScanCell
from cases.lasts.scans import NO_TAPE, NOT_CLOSED, ScanMeasure, scan_measures, takeable_mm
from demo.scans import foot_mesh, stl_of
from shared.sides import Side
from shared.workings import Status

MEASURED = measure(stl_of(foot_mesh(side="left", length_mm=268)), side="left", asked={})


def one(key: str, measured: dict[str, Any] = MEASURED) -> ScanMeasure:
    return next(each for each in scan_measures(measured) if each.kind.key == key)


def with_waist(**changes: Any) -> dict[str, Any]:
    measured = copy.deepcopy(MEASURED)
    measured["girths"]["waist_girth"] |= changes
    return measured


def test_a_girth_is_what_a_tape_would_span() -> None:
    assert one("waist_girth", with_waist(tape_mm=241.649, surface_mm=242.0)).value_mm == Decimal("241.6")


def test_the_way_along_the_surface_stands_beside_it() -> None:
    sheet = one("waist_girth", with_waist(tape_mm=241.6, surface_mm=249.9)).workings
    assert (dict(sheet.inputs)["along the surface"], "The tape spans a hollow here that the surface follows.") == (
        "249.9 mm",
        sheet.cautions[-1],
    )


def test_a_girth_says_where_its_plane_lies_and_where_its_formula_was_published() -> None:
    sheet = one("waist_girth").workings
    at = MEASURED["placing"]["stations"]["waist"]
    assert dict(sheet.inputs)["plane"] == f"upright, square to the foot, {at:g} mm from the heel"
    assert (sheet.status, "Quarterly Journal of Mathematics 1914" in sheet.source) == (Status.GEOMETRY, True)


def test_every_girth_says_that_a_scan_is_no_tape() -> None:
    girths = [each for each in scan_measures(MEASURED) if "girth" in each.kind.key]
    assert [each.kind.key for each in girths if NO_TAPE not in each.workings.cautions] == []


def test_a_section_that_does_not_close_is_shown_and_not_offered() -> None:
    measured = with_waist(is_closed=False)
    waist = one("waist_girth", measured)
    assert (waist.workings.cautions[0], "waist_girth" in takeable_mm(measured)) == (NOT_CLOSED, False)


def test_a_default_place_says_where_its_fraction_comes_from() -> None:
    inputs = dict(one("heel_to_joint").workings.inputs)
    assert inputs["placed by default at"] == (
        "0.741 of the foot's length (mean of the 4,082 men of the open survey ANSUR II, NATICK/TR-15/007)"
    )


@pytest.mark.parametrize(
    ("by_hand", "words"), [("260", "+8.4 mm"), ("270", "−1.6 mm"), ("268.4", "+0.0 mm"), (None, "")]
)
def test_the_difference_from_the_tape_has_its_sign_and_unit(by_hand: str | None, words: str) -> None:
    found = ScanMeasure(one("foot_length").kind, Decimal("268.4"), one("foot_length").workings, takeable=True)
    assert ScanCell(Side.LEFT, found, Decimal(by_hand) if by_hand else None).difference == words
