from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from shared.refusals import Refused
from tests.factories.figures import load_figures, make_figure
from workshop.figures import actions, queries
from workshop.figures.models import Figure, Material, Standing
from workshop.figures.settings_table import GROUPS, SETTINGS
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

REACH = "stiffener_reach_medium"


def test_a_figure_is_what_was_valid_on_the_day() -> None:
    make_figure(REACH, "0.65", valid_from=date(2020, 1, 1))
    make_figure(REACH, "0.70", valid_from=date(2026, 3, 1))
    days = [date(2020, 1, 1), date(2026, 2, 28), date(2026, 3, 1)]
    assert [queries.figure(REACH, on=day) for day in days] == [Decimal("0.65"), Decimal("0.65"), Decimal("0.7")]


def test_a_figure_before_its_first_day_is_said_to_be_unknown() -> None:
    make_figure(REACH, "0.65", valid_from=date(2020, 1, 1))
    with pytest.raises(queries.FigureUnknown, match=REACH):
        queries.figure(REACH, on=date(2019, 12, 31))


def test_several_figures_are_read_in_one_query(django_assert_num_queries) -> None:
    load_figures()
    with django_assert_num_queries(1):  # however many are asked for
        found = queries.figures(["shank_width_mm", "shank_thickness_mm", "sock_mm"], on=date(2026, 11, 25))
    assert found == {
        "shank_width_mm": Decimal(15),
        "shank_thickness_mm": Decimal("1.2"),
        "sock_mm": Decimal("0.9"),
    }


def test_a_switch_starts_off() -> None:
    load_figures()
    assert queries.is_switched_on("second_eyes_for_a_last", on=date(2026, 11, 25)) is False


def test_loading_twice_adds_nothing() -> None:
    load_figures()
    before = (Figure.objects.count(), Material.objects.count())
    load_figures()
    assert (Figure.objects.count(), Material.objects.count()) == before


def test_loading_leaves_a_changed_figure_alone(manager: Person, now: datetime) -> None:
    make_figure(REACH, "0.70", valid_from=date(2020, 1, 1))
    load_figures()
    assert queries.figure(REACH, on=timezone.localdate(now)) == Decimal("0.7")


def test_every_setting_has_one_name() -> None:
    assert len(SETTINGS) == sum(len(group.settings) for group in GROUPS)


def test_every_starting_value_lies_within_its_own_bounds() -> None:
    beyond = [setting.name for setting in SETTINGS.values() if not setting.lowest <= setting.value <= setting.highest]
    assert beyond == []


def test_what_is_called_published_names_its_source_and_nothing_else_has_one() -> None:
    wrong = [
        setting.name
        for setting in SETTINGS.values()
        if (setting.standing == Standing.PUBLISHED) != bool(setting.source)
    ]
    assert wrong == []


@pytest.mark.parametrize("name", ["rocker_apex_percent", "rocker_angle_degrees"])
def test_the_start_of_a_rocker_names_both_papers_that_disagree(name: str) -> None:
    """52 % and 15 degrees are found in the one, 60 % and 20 degrees in the other."""
    papers = ("J Foot Ankle Res 2017;10:27", "Clin Biomech 2013;28:679-685")
    assert [paper in SETTINGS[name].source for paper in papers] == [True, True]


@pytest.mark.parametrize("name", ["carbon_cloth_g_m2", "carbon_edge_in_mm", "carbon_from_toe_mm"])
def test_what_nobody_called_common_practice_is_from_memory(name: str) -> None:
    assert SETTINGS[name].standing == Standing.FROM_MEMORY


def test_a_change_adds_a_row_and_keeps_the_old_one(manager: Person, now: datetime) -> None:
    load_figures()
    today = timezone.localdate(now)
    actions.set_figure(REACH, value=Decimal("0.7"), valid_from=today, source="own trial", by=manager, at=now)
    rows = [(row.value, row.standing, row.changed_by) for row in queries.history_of(REACH)]
    assert rows == [
        (Decimal("0.700"), "set here", manager),
        (Decimal("0.650"), "common practice", None),
    ]


@pytest.mark.parametrize(
    ("name", "value", "days_ahead"),
    [
        ("no_such_figure", "1", 0),
        ("terminal_idle_minutes", "0", 0),
        ("terminal_idle_minutes", "61", 0),
        ("second_eyes_for_a_last", "2", 0),
        (REACH, "0.7", -1),
    ],
    ids=["unknown", "too low", "too high", "neither yes nor no", "a day gone by"],
)
def test_a_change_that_makes_no_sense_is_refused(
    manager: Person, now: datetime, name: str, value: str, days_ahead: int
) -> None:
    day = timezone.localdate(now) + timedelta(days=days_ahead)
    with pytest.raises(Refused):
        actions.set_figure(name, value=Decimal(value), valid_from=day, source="", by=manager, at=now)


def test_a_second_value_from_the_same_day_is_refused(manager: Person, now: datetime) -> None:
    today = timezone.localdate(now)
    actions.set_figure(REACH, value=Decimal("0.7"), valid_from=today, source="", by=manager, at=now)
    with pytest.raises(Refused, match="already has a value"):
        actions.set_figure(REACH, value=Decimal("0.8"), valid_from=today, source="", by=manager, at=now)


@pytest.mark.parametrize("model", [Figure, Material])
def test_the_database_refuses_to_rewrite_what_was_valid(model: Any) -> None:
    load_figures()
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        model.objects.update(source="forged")
    refused: Any = error.value.__cause__
    assert refused.diag.constraint_name == f"{model._meta.model_name}_is_final"
