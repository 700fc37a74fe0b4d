"""The target of a last: every addend by its name, and never tighter than a foot that bears no pressure."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.models import FootwearKind, Hose
from cases.lasts.stations import BY_KEY, STATIONS
from cases.lasts.target import NO_SENSATION, Addend, last_target
from shared.calculations import BadInput
from workshop.figures.settings_table import SETTINGS

FOOT = {"joint": 250.0, "waist": 240.0, "instep": 252.0, "short_heel": 335.0, "long_heel": 350.0, "toe_depth": 24.0}


def ease_of(kind: str) -> dict[str, float]:
    """The ease a workshop starts with, in mm."""
    names = {station.key: station.ease_setting(kind) for station in STATIONS}
    return {key: float(SETTINGS[name].value) for key, name in names.items() if name in SETTINGS}


def addends_of(found: object, key: str) -> tuple[tuple[str, float], ...]:
    return next(
        tuple((addend.words, addend.mm) for addend in each.addends)
        for each in found  # type: ignore[attr-defined]
        if each.key == key
    )


def test_every_addend_is_named_and_together_they_are_the_target() -> None:
    found = last_target(
        foot_mm=FOOT,
        kind="low",
        ease_mm=ease_of("low"),
        hose_mm=4,
        light_upper_mm={"joint": 3, "instep": 6},
        own_mm={"instep": 2},
    )
    instep = next(each for each in found if each.key == "instep")
    assert (instep.foot_mm, instep.addends, instep.target_mm) == (
        252.0,
        (Addend("hose", 4), Addend("ease", -2), Addend("light upper", -6), Addend("own addition", 2)),
        250.0,
    )


# Golding FY, The Manufacture of Boots and Shoes, London 1902: joint 8 in becomes 7 7/8, instep 8 1/2 becomes 8 1/4;
# nothing is deducted for heavy material. The workshop's settings round an eighth of an inch to 3 mm.
def test_goldings_deduction_for_a_light_upper_is_within_a_half_millimetre_of_the_settings() -> None:
    light = {key: float(SETTINGS[f"light_upper_{key}_mm"].value) for key in ("joint", "instep")}
    foot = {"joint": 8 * 25.4, "instep": 8.5 * 25.4}
    found = last_target(foot_mm=foot, kind="low", ease_mm={"joint": 0, "instep": 0}, light_upper_mm=light)
    assert [each.target_mm for each in found] == [
        pytest.approx(7.875 * 25.4, abs=0.5),
        pytest.approx(8.25 * 25.4, abs=0.5),
    ]


def test_hose_and_swelling_lie_round_the_foot_and_add_nothing_to_the_depth_of_the_toe() -> None:
    found = last_target(foot_mm=FOOT, kind="indoor", ease_mm=ease_of("indoor"), hose_mm=7, swelling_mm=10)
    assert (addends_of(found, "joint"), addends_of(found, "toe_depth")) == (
        (("hose", 7), ("swelling", 10), ("ease", 4)),
        (("ease", 8),),
    )


def test_an_inlay_takes_twice_its_thickness_at_the_joint_and_once_from_the_depth() -> None:
    found = last_target(foot_mm=FOOT, kind=NO_SENSATION, ease_mm=ease_of(NO_SENSATION), inlay_mm=5)
    assert (addends_of(found, "joint"), addends_of(found, "waist"), addends_of(found, "toe_depth")) == (
        (("removable inlay, 2 × its thickness", 10), ("ease", 6)),
        (("ease", 3),),
        (("removable inlay, its thickness", 5), ("ease", 8)),
    )


def test_an_inlay_says_where_its_girth_holds() -> None:
    joint, *_ = last_target(foot_mm=FOOT, kind=NO_SENSATION, ease_mm=ease_of(NO_SENSATION), inlay_mm=5)
    assert joint.workings.cautions[1] == (
        "At most this for an inlay, and only where the upper stays upright: the tape decides."
    )


def test_a_station_without_a_measure_or_without_an_ease_has_no_target() -> None:
    found = last_target(foot_mm={"joint": 250, "ankle": 230}, kind="court", ease_mm=ease_of("court"))
    assert [each.key for each in found] == ["joint"]


NEVER_TIGHTER = [
    ({"kind": "court", "swelling_mm": 6.0}, "swelling"),
    ({"kind": "court", "never_tighter_because": ["arterial disease"]}, "arterial disease"),
    ({"kind": NO_SENSATION}, "loss of sensation"),
]


@pytest.mark.parametrize(("given_", "why"), NEVER_TIGHTER, ids=[why for _, why in NEVER_TIGHTER])
def test_a_foot_that_bears_no_pressure_gets_no_negative_ease_and_is_told_why(given_: dict, why: str) -> None:
    joint, *_ = last_target(foot_mm=FOOT, ease_mm={"joint": -5}, light_upper_mm={"joint": 3}, **given_)
    assert [(addend.words, addend.mm) for addend in joint.addends if addend.words != "swelling"] == [
        (f"ease: none taken, not −5 mm ({why})", 0.0),
        (f"light upper: nothing taken off ({why})", 0.0),
    ]


@given(
    ease=st.floats(min_value=-30, max_value=30),
    light=st.floats(min_value=0, max_value=10),
    hose=st.floats(min_value=0, max_value=7),
)
def test_the_target_of_a_foot_without_sensation_is_never_less_than_the_foot(
    ease: float, light: float, hose: float
) -> None:
    joint, *_ = last_target(
        foot_mm=FOOT, kind=NO_SENSATION, ease_mm={"joint": ease}, light_upper_mm={"joint": light}, hose_mm=hose
    )
    assert joint.target_mm >= joint.foot_mm


def test_an_own_addition_that_makes_such_a_foot_tighter_is_cautioned_against() -> None:
    joint, *_ = last_target(foot_mm=FOOT, kind=NO_SENSATION, ease_mm={"joint": 6}, own_mm={"joint": -9})
    assert joint.workings.cautions[-1] == (
        "An own addition makes it tighter, against the rule: swelling, arterial disease and loss of sensation: "
        "never tighter than the foot."
    )


@given(
    foot=st.dictionaries(st.sampled_from(sorted(BY_KEY)), st.floats(min_value=20, max_value=400), min_size=1),
    kind=st.sampled_from([str(kind) for kind in FootwearKind]),
    hose=st.floats(min_value=0, max_value=10),
    own=st.dictionaries(st.sampled_from(sorted(BY_KEY)), st.floats(min_value=-10, max_value=30)),
)
def test_the_target_is_the_foot_and_its_addends(
    foot: dict[str, float], kind: str, hose: float, own: dict[str, float]
) -> None:
    found = last_target(foot_mm=foot, kind=kind, ease_mm=ease_of(kind), hose_mm=hose, own_mm=own)
    sums = [each.foot_mm + sum(addend.mm for addend in each.addends) for each in found]
    assert [each.target_mm for each in found] == pytest.approx(sums)


# Common practice and memory: the table of ease that the workshop starts with has these stations for each kind.
def test_the_table_of_ease_has_every_kind_of_footwear() -> None:
    assert {kind: len(ease_of(kind)) for kind in FootwearKind} == {
        "low": 6,
        "court": 5,
        "ankle_boot": 7,
        "long_boot": 7,
        "moccasin": 6,
        "sandal": 3,
        "no_sensation": 7,
        "indoor": 7,
    }


def test_every_hose_that_may_be_chosen_has_its_figure() -> None:
    assert {f"hose_{hose}_mm" for hose in Hose if hose != "none"} - SETTINGS.keys() == set()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"foot_mm": {"joint": 2500.0}}, "foot_mm joint is 2500 mm; allowed is 5 to 700 mm"),
        ({"foot_mm": {"knee": 250.0}}, "foot_mm is knee; allowed is a station: joint, waist"),
        ({"hose_mm": -1.0}, "hose_mm is -1 mm; allowed is 0 to 100 mm"),
        ({"inlay_mm": float("inf")}, "inlay_mm is inf mm"),
        ({"own_mm": {"joint": 400.0}}, "own_mm joint is 400 mm"),
        ({"foot_mm": {"toe_depth": 9.0}, "own_mm": {"toe_depth": -20.0}}, "target toe_depth is -5 mm"),
    ],
    ids=["ten times", "no station", "negative", "no number", "absurd", "nothing left"],
)
def test_what_cannot_be_is_named_with_what_is_allowed(wrong: dict, said: str) -> None:
    with pytest.raises(BadInput) as error:
        last_target(**{"foot_mm": FOOT, "kind": "low", "ease_mm": ease_of("low"), **wrong})
    assert str(error.value).startswith(said)
