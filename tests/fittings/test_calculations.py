"""The plan for wearing in by name: the workshop's tables, from memory."""

import pytest

from cases.fittings.calculations import CALCULATIONS

(PLAN,) = CALCULATIONS


@pytest.mark.parametrize(
    ("findings", "table", "first", "last"),
    [
        ([], "Ordinary", "Day 1: 1 hour, indoors", "Week 2: all day by day 10"),
        (["oedema"], "Swollen foot or fragile skin", "Day 1: 30 minutes", "Week 4: all day"),
        (
            ["oedema", "loss_of_protective_sensation"],
            "Loss of sensation",
            "Day 1: 30 minutes, then look; stop if there is a mark",
            "Week 4: all day only after the review",
        ),
    ],
)
def test_the_slowest_table_that_a_finding_asks_for_is_given(
    findings: list[str], table: str, first: str, last: str
) -> None:
    figures = PLAN.work(findings=findings, start_hours=0.0, growth_hours=0.5, days=14).figures
    assert (figures["table"], figures["steps"][0], figures["steps"][-1]) == (table, first, last)


def test_figures_of_ones_own_make_a_table_of_their_own() -> None:
    figures = PLAN.work(findings=[], start_hours=1.0, growth_hours=1.0, days=14).figures
    assert (figures["table"], figures["steps"][0], figures["steps"][-1]) == (
        "By figures for this person",
        "Day 1: 1 hour",
        "From day 8: all day",
    )


def test_with_loss_of_sensation_figures_are_compared_with_its_own_table() -> None:
    warned = [
        "compare them" in PLAN.work(findings=found, start_hours=1.0, growth_hours=1.0, days=14).sheets[0].cautions[0]
        for found in ([], ["loss_of_protective_sensation"])
    ]
    assert warned == [False, True]
