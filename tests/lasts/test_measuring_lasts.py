"""A last is measured again: what stands, what counts up, and what the database refuses."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from cases.lasts import actions, queries
from cases.lasts.models import Last, LastAgreement, LastPatch
from shared.models import Deed
from shared.refusals import Refused
from shared.versions import Stale
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_last
from tests.lasts.test_guards import refusal_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


KNOWN = {"joint_girth_mm": Decimal(255), "instep_girth_mm": Decimal(258), "joint_width_mm": Decimal(92)}


def measured_last(**fields: Any) -> Last:
    return make_last(**{**KNOWN, "measured_version": 1, "measured_on": date(2026, 11, 2), **fields})


def measure(last: Last, by: Person, at: datetime, **readings: str) -> actions.Remeasured:
    measured = {name: Decimal(value) for name, value in readings.items()}
    return actions.measure_last(last, seen_version=last.version, measured=measured, by=by, at=at)


def alter(last: Last, by: Person, at: datetime, **changes: Any) -> Last:
    as_it_is = {name: getattr(last, name) for name in ("length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")}
    given = {"seen_version": last.version, "alteration_note": "built up at the joint", **as_it_is, **changes}
    return actions.alter_last(last, **given, by=by, at=at)


def is_agreed(last: Last) -> bool:
    return queries.with_agreement(Last.objects.filter(pk=last.pk)).get().is_agreed


def planned(last: Last, by: Person, at: datetime, station: str = "instep") -> LastPatch:
    return actions.plan_patch(
        last, work="build up", station=station, place=f"over the {station}", height_mm=Decimal(3), by=by, at=at
    )


def test_an_agreed_last_within_the_tolerances_stays_agreed_and_keeps_its_figures(maker: Person, now: datetime) -> None:
    last = agreed(measured_last())
    found = measure(last, maker, now, joint_girth_mm="256.5", length_mm="284", joint_width_mm="93")
    last.refresh_from_db()
    assert (found.beyond, last.version, last.joint_girth_mm, last.measured_on, is_agreed(last)) == (
        (),
        1,
        Decimal(255),
        now.date(),
        True,
    )


# Agreed last measured again: ±2 mm girth, ±1 mm length, from memory; a tilt ±1 degree, from memory.
@pytest.mark.parametrize(
    ("readings", "beyond"),
    [
        ({"joint_girth_mm": "257.5"}, "joint girth 257.5 mm, was 255 mm"),
        ({"length_mm": "286.5"}, "length 286.5 mm, was 285 mm"),
        ({"joint_width_mm": "94"}, "joint width 94 mm, was 92 mm"),
        ({"rearfoot_varus_degrees": "5"}, "rearfoot tilt 5°, was 3°"),
    ],
    ids=str,
)
def test_beyond_the_tolerances_it_is_a_new_state_that_is_agreed_again(
    maker: Person, now: datetime, readings: dict[str, str], beyond: str
) -> None:
    last = agreed(measured_last(rearfoot_varus_degrees=Decimal(3)))
    found = measure(last, maker, now, **readings)
    last.refresh_from_db()
    assert (found.beyond, last.version, last.measured_version, is_agreed(last)) == ((beyond,), 2, 2, False)


def test_a_new_state_has_every_figure_that_was_taken(maker: Person, now: datetime) -> None:
    last = measured_last()
    measure(last, maker, now, joint_girth_mm="260", instep_girth_mm="259")
    last.refresh_from_db()
    assert (last.joint_girth_mm, last.instep_girth_mm, last.joint_width_mm) == (260, 259, 92)


def test_a_figure_that_was_never_taken_is_kept_and_an_agreed_last_stays_agreed(maker: Person, now: datetime) -> None:
    last = agreed(measured_last())
    measure(last, maker, now, toe_depth_mm="28", toe_out_degrees="7")
    last.refresh_from_db()
    assert (last.toe_depth_mm, last.toe_out_degrees, last.version, is_agreed(last)) == (28, 7, 1, True)


def test_the_story_tells_what_measuring_again_found(maker: Person, now: datetime) -> None:
    measure(measured_last(number="7"), maker, now, joint_girth_mm="259")
    assert Deed.objects.get(action="measure_last").says == (
        "Measured last 7 LEFT again: joint girth 259 mm, was 255 mm. It is a new state."
    )


def test_nothing_measured_is_no_measuring(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Nothing was measured yet"):
        measure(measured_last(), maker, now)


def test_a_last_that_somebody_changed_meanwhile_is_not_measured_over(maker: Person, now: datetime) -> None:
    last = measured_last()
    measure(last, maker, now, joint_girth_mm="260")
    with pytest.raises(Stale):
        measure(last, maker, now, joint_girth_mm="262")


# After an alteration -----------------------------------------------------------------------------------------


def test_an_altered_last_waits_for_the_tape_before_it_is_agreed(maker: Person, now: datetime) -> None:
    last = alter(measured_last(), maker, now)
    with pytest.raises(Refused, match="altered and not measured since"):
        actions.agree_last(last, by=maker, at=now)


def test_the_database_refuses_an_agreement_on_an_altered_last_that_was_not_measured(
    maker: Person, now: datetime
) -> None:
    last = alter(measured_last(), maker, now)
    agreement = LastAgreement(last=last, last_version=last.version, by=maker, at=now)
    assert refusal_of(agreement.save) == "an_altered_last_is_measured_first"


def test_an_altered_last_that_was_measured_is_agreed(maker: Person, now: datetime) -> None:
    last = alter(measured_last(), maker, now)
    measure(last, maker, now, joint_girth_mm="270")
    actions.agree_last(last, by=maker, at=now)
    last.refresh_from_db()
    assert (last.version, last.joint_girth_mm, is_agreed(last)) == (2, Decimal(270), True)


def test_an_alteration_that_brings_its_measures_does_not_wait(maker: Person, now: datetime) -> None:
    last = alter(measured_last(), maker, now, measured={"joint_girth_mm": Decimal(262)})
    assert (last.version, last.measured_version, last.joint_girth_mm, last.awaits_tape) == (2, 2, 262, False)


def test_the_tape_lies_again_wherever_a_patch_was_put_on(maker: Person, now: datetime) -> None:
    last = measured_last()
    alter(last, maker, now, patches_done=[planned(last, maker, now)])
    with pytest.raises(Refused, match="Measure again where it was altered: instep girth"):
        measure(last, maker, now, joint_girth_mm="256")


def test_the_tape_lies_again_wherever_a_patch_was_taken_off(maker: Person, now: datetime) -> None:
    last, week = measured_last(), timedelta(days=7)
    patch = planned(last, maker, now - week)
    alter(last, maker, now - week, patches_done=[patch], measured={"instep_girth_mm": Decimal(264)})
    with pytest.raises(Refused, match="Measure again where it was altered: instep girth"):
        alter(last, maker, now, patches_off=[patch], measured={"joint_girth_mm": Decimal(255)})


def test_after_an_alteration_without_patches_one_girth_at_least_is_taken(maker: Person, now: datetime) -> None:
    last = alter(measured_last(), maker, now)
    with pytest.raises(Refused, match="at least one girth"):
        measure(last, maker, now, length_mm="286")


def test_patches_are_done_with_the_alteration_that_put_them_on(maker: Person, now: datetime) -> None:
    last = measured_last()
    patch = planned(last, maker, now)
    alter(last, maker, now, alteration_note="", patches_done=[patch])
    patch.refresh_from_db()
    assert (patch.done_at, patch.done_by, last.alteration_note) == (now, maker, "build up 3 mm, over the instep")


def test_a_patch_is_done_once(maker: Person, now: datetime) -> None:
    last = measured_last()
    patch = planned(last, maker, now)
    alter(last, maker, now, patches_done=[patch])
    with pytest.raises(Refused, match="already done"):
        alter(last, maker, now, patches_done=[patch])


def test_a_patch_of_the_other_last_is_not_done_on_this_one(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="on another last"):
        alter(measured_last(), maker, now, patches_done=[planned(measured_last(), maker, now)])


def test_a_patch_that_is_not_on_the_last_is_not_taken_off(maker: Person, now: datetime) -> None:
    last = measured_last()
    with pytest.raises(Refused, match="not done yet"):
        alter(last, maker, now, patches_off=[planned(last, maker, now)])


def test_a_refused_alteration_leaves_its_patches_planned(maker: Person, now: datetime) -> None:
    last = measured_last()
    patch = planned(last, maker, now)
    with pytest.raises(Stale):
        alter(last, maker, now, seen_version=9, patches_done=[patch])
    patch.refresh_from_db()
    assert patch.done_at is None


# The database keeps it too -----------------------------------------------------------------------------------


@pytest.mark.parametrize("column", ["joint_girth_mm", "length_mm", "heel_height_mm", "toe_spring_mm"])
def test_the_database_refuses_another_figure_for_an_agreed_state(column: str) -> None:
    last = agreed(measured_last())
    setattr(last, column, Decimal(90))
    assert refusal_of(lambda: last.save(update_fields=[column])) == "an_agreed_last_counts_up"


def test_the_database_lets_a_figure_of_an_agreed_state_not_be_taken_away() -> None:
    last = agreed(measured_last())
    last.joint_girth_mm = None
    assert refusal_of(lambda: last.save(update_fields=["joint_girth_mm"])) == "an_agreed_last_counts_up"
