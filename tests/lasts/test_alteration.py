"""A last against its target: what is done at each station, the limits, and the profile along the last."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.alteration import BUILD_UP, LEAVE, TAKE_DOWN, Alteration, Limits, last_alteration
from cases.lasts.stations import BY_KEY
from cases.lasts.target import TargetStation, last_target
from shared.calculations import BadInput

LIMITS = Limits(
    leave_within_mm=2,
    toe_depth_within_mm=1,
    take_down_plastic_mm=3,
    take_down_wood_mm=5,
    patch_watch_mm=10,
    patch_most_mm=12,
    longer_most_mm=5,
    feather_mm=25,
)
"""The limits a workshop starts with: common practice, no source, and from memory."""

TURNING = {"joint": 180.0, "waist": 190.0, "instep": 180.0, "short_heel": 120.0, "long_heel": 120.0, "ankle": 360.0}
GIRTHS = st.fixed_dictionaries(
    {}, optional={key: st.floats(min_value=180, max_value=380) for key in BY_KEY if key != "toe_depth"}
)


def targets(**target_mm: float) -> tuple[TargetStation, ...]:
    return last_target(foot_mm=target_mm, kind="indoor", ease_mm=dict.fromkeys(target_mm, 0.0))


def alter(target_mm: dict[str, float], last_mm: dict[str, float], **more: Any) -> Alteration:
    return last_alteration(target=targets(**target_mm), last_mm=last_mm, turning_deg=TURNING, limits=LIMITS, **more)


def test_a_girth_within_the_setting_is_left() -> None:
    work, *_ = alter({"joint": 250}, {"joint": 248}).stations
    assert (work.work, work.thickness_mm, work.resulting_girth_mm) == (LEAVE, 0.0, 248)


# Thickness = difference / turning, geometry: 10 mm over a half turn is 10/π = 3.18 mm, 3 mm at the bench.
def test_a_girth_that_is_short_is_built_up_and_says_what_it_measures_then() -> None:
    work, *_ = alter({"joint": 260}, {"joint": 250}).stations
    found = (work.work, round(work.thickness_mm, 3), work.bench_mm, round(work.resulting_girth_mm, 2))
    assert found == (BUILD_UP, 3.183, 3.0, 259.42)


def test_a_girth_that_is_too_much_is_taken_down() -> None:
    work, *_ = alter({"instep": 240}, {"instep": 247}).stations
    found = (work.work, work.bench_mm, work.signed_mm, round(work.resulting_girth_mm, 2))
    assert found == (TAKE_DOWN, 2.0, -2.0, 240.72)


def test_a_shallow_toe_is_built_up_by_what_is_missing() -> None:
    work, *_ = alter({"toe_depth": 32}, {"toe_depth": 26}).stations
    assert (work.work, work.bench_mm, work.resulting_girth_mm) == (BUILD_UP, 6.0, 32.0)


def test_more_depth_than_asked_for_is_left() -> None:
    work, *_ = alter({"toe_depth": 24}, {"toe_depth": 34}).stations
    assert work.work == LEAVE


@given(target=GIRTHS, last=GIRTHS)
def test_a_layer_of_the_thickness_found_gives_the_target(target: dict[str, float], last: dict[str, float]) -> None:
    for work in alter(target, last).stations:
        if work.work == LEAVE:
            continue
        signed = work.thickness_mm if work.work == BUILD_UP else -work.thickness_mm
        change = math.radians(TURNING[work.key]) * signed
        assert work.last_mm + change == pytest.approx(work.target_mm)


@given(target=GIRTHS, last=GIRTHS)
def test_a_last_altered_to_the_half_millimetre_and_measured_again_is_left_everywhere(
    target: dict[str, float], last: dict[str, float]
) -> None:
    measured_again = {work.key: work.resulting_girth_mm for work in alter(target, last).stations}
    assert alter(target, measured_again).is_done


def test_a_station_that_was_not_measured_on_the_last_is_named() -> None:
    found = alter({"joint": 250, "waist": 240}, {"joint": 250})
    assert ([work.key for work in found.stations], found.not_compared) == (["joint"], ("waist",))


# Limits: common practice, no source.
@pytest.mark.parametrize(
    ("target_mm", "last_mm", "anyhow", "if_plastic"),
    [
        (250 + 11.9 * math.pi, 250, (), ()),
        (250 + 12.6 * math.pi, 250, ("joint: build up 12.5 mm; at most 12 mm is built up",), ()),
        (250 - 2.9 * math.pi, 250, (), ()),
        (250 - 4 * math.pi, 250, (), ("joint: take down 4 mm; a plastic last bears 3 mm",)),
        (
            250 - 5.6 * math.pi,
            250,
            ("joint: take down 5.5 mm; a wooden last bears 5 mm, a plastic one 3 mm",),
            (),
        ),
    ],
    ids=["built up to the limit", "built up beyond", "plastic bears it", "wood bears it", "nothing bears it"],
)
def test_beyond_the_workshops_limits_a_new_last_is_made_and_the_reasons_are_said(
    target_mm: float, last_mm: float, anyhow: tuple[str, ...], if_plastic: tuple[str, ...]
) -> None:
    found = alter({"joint": target_mm}, {"joint": last_mm})
    assert (found.new_last_because, found.new_last_if_plastic) == (anyhow, if_plastic)


@pytest.mark.parametrize(
    ("needed_mm", "because"),
    [
        (290.0, ()),
        (291.0, ("length: 6 mm too short; at most 5 mm is added",)),
        (270.0, ()),
    ],
    ids=["lengthened", "too short", "too long is left"],
)
def test_a_last_that_is_too_short_is_made_new(needed_mm: float, because: tuple[str, ...]) -> None:
    found = alter({"joint": 250}, {"joint": 250}, last_length_mm=285.0, length_needed_mm=needed_mm)
    assert found.new_last_because == because


def test_a_patch_near_the_limit_asks_whether_a_new_last_is_better() -> None:
    work, *_ = alter({"joint": 250 + 11 * math.pi}, {"joint": 250}).stations
    assert work.cautions[-1] == "Above 10 mm: is a new last the better work?"


def test_the_long_heel_is_taken_again_after_the_instep_that_its_tape_crosses() -> None:
    work, *_ = alter({"long_heel": 360}, {"long_heel": 350}).stations
    assert work.cautions[-1] == (
        "This tape crosses the instep: take it again after the instep is done, before anything is added here."
    )


def test_a_build_up_says_that_it_holds_for_convex_stretches_and_that_the_tape_decides() -> None:
    work, *_ = alter({"joint": 260}, {"joint": 250}).stations
    assert [caution.split(":")[0] for caution in work.workings.cautions] == [
        "An estimate",
        "Holds for a layer of one thickness over the whole arc",
        "Holds for a convex stretch only",
    ]


# The profile ------------------------------------------------------------------------------------------------


def profile(target_mm: dict[str, float], last_mm: dict[str, float], **more: Any) -> tuple[tuple[float, float], ...]:
    return alter(target_mm, last_mm, last_length_mm=280.0, **more).profile


def test_the_profile_stands_every_ten_millimetres_and_is_feathered_to_nothing() -> None:
    found = profile({"joint": 250 + 4 * math.pi}, {"joint": 250}, heel_to_joint_mm=200.0)
    assert [(x, round(thickness, 2)) for x, thickness in found] == [
        (170, 0.0),
        (180, 0.42),
        (190, 2.59),
        (200, 4.0),
        (210, 2.59),
        (220, 0.42),
        (230, 0.0),
    ]


@given(
    first=st.floats(min_value=-15, max_value=30),
    second=st.floats(min_value=-15, max_value=30),
    third=st.floats(min_value=-15, max_value=30),
)
def test_the_profile_has_no_hump_between_two_stations(first: float, second: float, third: float) -> None:
    last = {"joint": 250.0, "waist": 240.0, "instep": 245.0}
    target = {"joint": 250 + first, "waist": 240 + second, "instep": 245 + third}
    at_stations = [0.0, *(work.signed_mm for work in alter(target, last).stations)]
    thicknesses = [thickness for _, thickness in profile(target, last)]
    within = [min(at_stations) - 1e-9 <= each <= max(at_stations) + 1e-9 for each in thicknesses]
    assert all(within)


def test_the_profile_stays_on_the_last() -> None:
    places = [x for x, _ in profile({"toe_depth": 30.0, "short_heel": 340.0}, {"toe_depth": 20.0, "short_heel": 330.0})]
    assert (min(places) >= 0, max(places) <= 280) == (True, True)


def test_a_last_of_which_only_the_long_heel_is_known_has_no_profile() -> None:
    assert profile({"long_heel": 360}, {"long_heel": 350}) == ()


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: alter({"joint": 250}, {"joint": 2}), "last_mm joint is 2 mm; allowed is 5 to 700 mm"),
        (lambda: alter({"joint": 250}, {"joint": 250}, last_length_mm=2850.0), "last_length_mm is 2850 mm"),
        (
            lambda: last_alteration(target=targets(joint=250), last_mm={"joint": 250}, turning_deg={}, limits=LIMITS),
            "turning_deg joint is missing; allowed is 10 to 360 °",
        ),
    ],
    ids=["no last", "ten times", "no turning"],
)
def test_what_cannot_be_is_named_with_what_is_allowed(call: Any, said: str) -> None:
    with pytest.raises(BadInput) as error:
        call()
    assert str(error.value).startswith(said)
