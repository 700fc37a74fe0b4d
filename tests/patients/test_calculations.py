"""The screening interval by name: the rows of the published risk table."""

import pytest

from cases.patients.calculations import CALCULATIONS
from shared.calculations import BadInput

(INTERVAL,) = CALCULATIONS


@pytest.mark.parametrize(
    ("findings", "figures"),
    [
        ([], (0, 12, 12)),
        (["loss_of_protective_sensation"], (1, 6, 12)),
        (["loss_of_protective_sensation", "hammer_toe"], (2, 3, 6)),
        (["arterial_disease", "healed_ulcer"], (3, 1, 3)),
    ],
)
def test_the_interval_is_that_of_the_risk(findings: list[str], figures: tuple[int, int, int]) -> None:
    """International Working Group on the Diabetic Foot, 2023, as restated: Bus SA et al. 2024;40(3):e3651."""
    worked = INTERVAL.work(findings=findings)
    assert tuple(worked.figures.values()) == figures


@pytest.mark.parametrize("given", ["arterial_disease", {"arterial_disease": 1}, ["no_such"], [["arterial_disease"]]])
def test_what_is_no_list_of_findings_is_refused(given: object) -> None:
    with pytest.raises(BadInput, match="findings is"):
        INTERVAL.work(findings=given)
