"""The screening risk against its published table.

Source: International Working Group on the Diabetic Foot, 2023 update, Bus SA et al., Diabetes Metab Res Rev
2024;40(3):e3651; table read as restated in World J Diabetes 2022;13(1):27-36, Table 1. Which findings are a deformity:
from memory of the group's definitions.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.patients.conditions import CONDITIONS
from cases.patients.risk import Answer, LiveFinding, Screening, screening_risk
from shared.workings import Status

LOPS = LiveFinding("loss_of_protective_sensation", "left")
PAD = LiveFinding("arterial_disease", "right")
DEFORMITY = LiveFinding("hammer_toe", "right")
ULCER = LiveFinding("healed_ulcer", "left")
TOE = LiveFinding("toe_amputation", "left")
FOREFOOT = LiveFinding("partial_foot_amputation", "right")
KIDNEYS = LiveFinding("end_stage_renal_disease", None)

TABLE = [
    ([], 0, 12, 12),
    ([DEFORMITY], 0, 12, 12),
    ([LOPS], 1, 6, 12),
    ([PAD], 1, 6, 12),
    ([LOPS, PAD], 2, 3, 6),
    ([LOPS, DEFORMITY], 2, 3, 6),
    ([PAD, DEFORMITY], 2, 3, 6),
    ([LOPS, PAD, DEFORMITY], 2, 3, 6),
    ([LOPS, ULCER], 3, 1, 3),
    ([PAD, ULCER], 3, 1, 3),
    ([LOPS, TOE], 3, 1, 3),
    ([PAD, TOE], 3, 1, 3),
    ([LOPS, FOREFOOT], 3, 1, 3),
    ([PAD, FOREFOOT], 3, 1, 3),
    ([LOPS, KIDNEYS], 3, 1, 3),
    ([PAD, KIDNEYS], 3, 1, 3),
    ([ULCER], 0, 12, 12),
    ([KIDNEYS], 0, 12, 12),
]

findings = st.lists(
    st.builds(LiveFinding, st.sampled_from(sorted(CONDITIONS)), st.sampled_from(["left", "right"])), max_size=8
)


def risk_of(live: list[LiveFinding]) -> Screening:
    return screening_risk(diabetes="yes", findings=live)


def level_of(live: list[LiveFinding]) -> int:
    level = risk_of(live).level
    assert level is not None
    return level


@pytest.mark.parametrize(("live", "level", "months_min", "months_max"), TABLE)
def test_the_risk_is_that_of_the_table(live: list[LiveFinding], level: int, months_min: int, months_max: int) -> None:
    screening = risk_of(live)
    assert (screening.level, screening.months_min, screening.months_max) == (level, months_min, months_max)


@pytest.mark.parametrize("live", [row[0] for row in TABLE])
def test_without_diabetes_there_is_no_risk_to_show(live: list[LiveFinding]) -> None:
    screening = screening_risk(diabetes="no", findings=live)
    assert (screening.answer, screening.level, screening.sheet) == (Answer.NOT_APPLICABLE, None, None)


@pytest.mark.parametrize("diabetes", ["unknown", "", "perhaps"])
def test_where_diabetes_is_not_known_it_is_asked(diabetes: str) -> None:
    screening = screening_risk(diabetes=diabetes, findings=[LOPS, ULCER])
    assert (screening.answer, screening.level, screening.sheet) == (Answer.ASK, None, None)


@given(findings, findings)
def test_more_findings_never_lower_the_risk(some: list[LiveFinding], more: list[LiveFinding]) -> None:
    assert level_of(some + more) >= level_of(some)


@given(findings)
def test_a_higher_risk_is_never_looked_at_later(live: list[LiveFinding]) -> None:
    screening = risk_of(live)
    assert screening.months_min is not None
    assert screening.months_max is not None
    assert screening.months_min <= screening.months_max <= (12, 12, 6, 3)[level_of(live)]


@given(findings)
def test_the_order_in_which_findings_were_recorded_makes_no_difference(live: list[LiveFinding]) -> None:
    assert risk_of(live) == risk_of(live[::-1])


@given(findings)
def test_the_side_of_a_finding_makes_no_difference_to_the_level(live: list[LiveFinding]) -> None:
    assert level_of(live) == level_of([LiveFinding(finding.condition, "left") for finding in live])


@given(findings)
def test_nothing_counts_without_loss_of_sensation_or_arterial_disease(live: list[LiveFinding]) -> None:
    rest = [finding for finding in live if finding.condition not in {LOPS.condition, PAD.condition}]
    assert level_of(rest) == 0


def test_the_workings_name_what_was_recorded_with_its_side() -> None:
    sheet = risk_of([LOPS, DEFORMITY]).sheet
    assert sheet is not None
    assert sheet.inputs == (
        ("Diabetes", "yes"),
        ("Loss of protective sensation", "Loss of protective sensation LEFT"),
        ("Peripheral arterial disease", "not recorded"),
        ("Foot deformity", "Hammer toe RIGHT"),
        ("Healed ulcer", "not recorded"),
        ("Amputation", "not recorded"),
        ("End-stage renal disease", "not recorded"),
    )


def test_the_workings_say_that_the_table_is_published_and_how_it_was_read() -> None:
    sheet = risk_of([LOPS]).sheet
    assert sheet is not None
    assert sheet.status is Status.PUBLISHED
    assert "2024;40(3):e3651" in sheet.source
    assert "not read in full" in sheet.source


def test_the_result_is_the_level_with_its_interval_in_words() -> None:
    assert risk_of([LOPS, PAD]).words == "risk 2 (moderate), feet looked at every 3 to 6 months"
    assert risk_of([]).words == "risk 0 (very low), feet looked at once a year"


def cautions_of(live: list[LiveFinding]) -> tuple[str, ...]:
    sheet = risk_of(live).sheet
    assert sheet is not None
    return sheet.cautions


def test_an_open_wound_is_said_before_any_class() -> None:
    assert risk_of([LOPS, LiveFinding("open_wound", "left")]).words == (
        "an open wound is recorded: refer now; once it has healed, risk 1 (low), feet looked at every 6 to 12 months"
    )


def test_an_open_wound_is_said_to_be_no_question_of_screening() -> None:
    assert len(cautions_of([LiveFinding("open_wound", "left")])) == len(cautions_of([])) + 1


def test_a_history_without_its_cause_asks_whether_both_were_tested() -> None:
    assert [caution for caution in cautions_of([ULCER]) if "have both been tested" in caution] != []


def test_the_cautions_say_that_the_prescriber_decides_and_local_rules_come_first() -> None:
    assert cautions_of([])[-1] == "A workshop aid: the prescriber decides, and local rules come first."


def test_a_finding_of_an_older_list_changes_nothing() -> None:
    assert level_of([LOPS, LiveFinding("condition_of_long_ago", "left")]) == 1
