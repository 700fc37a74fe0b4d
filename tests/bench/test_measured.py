"""What is measured before it is shown: which figures, within what, and what becomes of one beyond its tolerance."""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from cases.bench import actions
from cases.bench.measured import BLIND, SETTINGS, AskedFigure, NotMeasured, figures_asked, read_figure
from cases.bench.models import CoverCheck, CoverRequirement, Difference, DifferenceState, Pair
from cases.prescriptions.described import describe
from cases.prescriptions.queries import whole
from shared.models import Deed
from shared.refusals import Refused
from tests.bench.test_versions import sign_next_version
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.figures import make_figure
from workshop.figures import settings_table
from workshop.figures.queries import FigureKnown
from workshop.staff.models import Person

SignedIn = Callable[[Person], Browserless]
STARTING = {
    name: FigureKnown(setting.value, setting.standing, setting.source)
    for name, setting in settings_table.SETTINGS.items()
    if name in SETTINGS
}
ALL_ON = STARTING | {each.switch: FigureKnown(Decimal(1), "set here", "") for each in BLIND}
LONG = {"stiffener": {"medial_reach": "long", "medial_reach_mm": 180}}
MM = st.decimals(min_value=0, max_value=400, places=1)


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now, left=LONG)


@pytest.fixture
def cut(pair: Pair, maker: Person, now: datetime) -> Pair:
    """The same pair, its stiffeners cut and not checked."""
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    return pair


@pytest.fixture
def left(cut: Pair) -> CoverRequirement:
    return factory.requirement(cut, "stiffener", "part")


def measure(asked: CoverRequirement, medial: str, *, by: Person, at: datetime) -> CoverCheck:
    figures = factory.as_asked(asked) | {"medial reach": Decimal(medial)}
    (check,) = actions.record_found([actions.Found(asked, "", figures)], by=by, at=at)
    return check


def sent(client: Browserless, pair: Pair, keyed: dict[str, dict[str, str]], *, side: str) -> tuple[int, str]:
    """What the page of a pair answers to the figures keyed for the stiffener of each foot, by their labels."""
    entries: dict[str, object] = {"side": side, "check": []}
    for foot, figures in keyed.items():
        asked = factory.requirement(pair, "stiffener", "part", foot)
        entries["check"] = [*entries["check"], str(asked.uuid)]  # type: ignore[misc]  # a list, as above
        for number, row in enumerate(asked.measured):
            entries[f"measured-{asked.uuid}-{number}"] = figures.get(row["label"], "")
    answer = client.post(reverse("check-measure", args=[pair.uuid]), entries)
    return answer.status_code, answer.content.decode()


BOTH = {
    "left": {"medial reach": "182", "lateral reach": "111,5"},
    "right": {"medial reach": "130", "lateral reach": "112"},
}


# Which figures


def test_a_workshop_begins_with_reaches_plies_scoured_thickness_and_raises() -> None:
    assert {each.switch for each in BLIND if STARTING[each.switch].value} == {
        "blind_stiffener_reaches",
        "blind_carbon_plies",
        "blind_scoured_thickness",
        "blind_raise_heights",
    }


def test_no_part_has_two_kinds_of_figure() -> None:
    parts = [part for each in BLIND for part in each.parts]
    assert len(parts) == len(set(parts))


@pytest.mark.django_db
def test_every_figure_is_read_off_the_line_that_a_prescription_writes(maker: Person, now: datetime) -> None:
    everything = {
        "stiffener": {"medial_reach": "long", "medial_reach_mm": "180.5", "lateral_reach_mm": 131},
        "toe_puff": {"length_mm": 56},
        "insole": {
            "finished_heel_mm": 5,
            "finished_waist_mm": 4,
            "finished_forepart_mm": 3,
            "scoured_to_mm": "0.5",
            "scoured_behind_joint_mm": 12,
        },
        "cushions": [
            {"place": place, "material": "foam", "thickness_mm": thick}
            for place, thick in (("forepart", 4), ("heel", 6), ("full", 2))
        ],
        "carbon_zone": {"plies": 5, "ends_before_toe_mm": 12, "overlap_on_shank_mm": 30},
        "metatarsal_supports": [{"kind": "dome", "behind_joint_line_mm": 5, "height_mm": 7}],
        "height_raise": {"on_sole_heel_mm": 22, "on_sole_ball_mm": 18, "on_sole_toe_mm": 8},
        "wedges": [
            {"place": "heel", "edge": "medial", "height_mm": "4.5"},
            {"place": "forefoot", "edge": "lateral", "height_mm": 3},
        ],
    }
    pair = factory.make_pair(by=maker, at=now, both=everything)
    assert pair.working_to is not None
    words = {part.part: part.lines for part in describe(whole(pair.working_to.uuid))[0].parts}
    read = {
        part: [str(figure.prescribed) for figure in figures_asked(part, "part", words[part], settings=ALL_ON)]
        for each in BLIND
        for part in each.parts
    }
    assert read == {
        "stiffener": ["180.5", "131"],
        "toe_puff": ["56"],
        "insole": ["5", "4", "3"],
        "scoured_zone": ["0.5"],
        "cushion_forepart": ["4"],
        "cushion_heel": ["6"],
        "cushion_full": ["2"],
        "carbon": ["5"],
        "metatarsal_dome": ["7"],
        "raise_on_sole": ["22", "18", "8"],
        "wedge_heel": ["4.5"],
        "wedge_forefoot": ["3"],
    }


def test_a_reach_in_a_word_alone_has_nothing_to_be_held_against() -> None:
    lines = (("medial reach", "long"), ("lateral reach", "medium, 130 mm"))
    asked = figures_asked("stiffener", "part", lines, settings=STARTING)
    assert [figure.label for figure in asked] == ["lateral reach"]


def test_it_is_measured_when_cut_and_not_once_more_when_placed() -> None:
    assert figures_asked("stiffener", "placed", (("medial reach", "long, 180 mm"),), settings=STARTING) == ()


@pytest.mark.parametrize(
    ("part", "line", "allowed", "trusted"),
    [
        ("stiffener", ("lateral reach", "short, 90 mm"), "87 to 93 mm", "from memory, unchecked"),
        ("scoured_zone", ("thickness left", "0.5 mm"), "0.4 to 0.8 mm", "from memory, unchecked"),
        ("raise_on_sole", ("ball", "18 mm"), "16.5 to 19.5 mm", "from memory, unchecked"),
        ("carbon", ("plies", "5"), "exactly 5 plies", "counted: exact, from memory"),
    ],
)
def test_its_tolerance_is_the_workshops_and_says_what_it_rests_on(
    part: str, line: tuple[str, str], allowed: str, trusted: str
) -> None:
    (asked,) = figures_asked(part, "part", (line,), settings=STARTING)
    assert (asked.allowed, asked.trusted) == (allowed, trusted)


def test_a_long_stiffener_is_reminded_of_the_joint() -> None:
    (asked,) = figures_asked("stiffener", "part", (("medial reach", "long, 180 mm"),), settings=STARTING)
    assert asked.beside == "long: never nearer to the joint than 8 mm"


@pytest.mark.django_db
def test_switched_off_nothing_is_measured_on_pairs_opened_from_then_on(maker: Person, now: datetime) -> None:
    factory.load_starting_values()
    make_figure("blind_stiffener_reaches", "0", valid_from=timezone.localdate(now))
    pair = factory.make_pair(by=maker, at=now, left=LONG)
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    asked = factory.requirement(pair, "stiffener", "part")
    check = actions.record_check(asked, outcome="as prescribed", by=maker, at=now)
    assert (asked.measured, check.outcome) == ([], "as prescribed")


@pytest.mark.django_db
def test_a_new_version_asks_for_its_own_figure(pair: Pair, maker: Person, now: datetime) -> None:
    sign_next_version(pair, left={"stiffener": {"medial_reach": "short", "medial_reach_mm": 90}})
    actions.take_up_version(pair, by=maker, at=now)
    asked = factory.requirement(pair, "stiffener", "part")
    assert factory.as_asked(asked)["medial reach"] == Decimal(90)


# What is keyed


@given(mm=MM, comma=st.booleans())
def test_a_figure_is_read_with_a_decimal_comma_or_point(mm: Decimal, *, comma: bool) -> None:
    typed = f"{mm}".replace(".", ",") if comma else f"{mm}"
    assert read_figure(typed) == mm


@given(typed=st.text(max_size=12))
def test_anything_else_is_no_figure(typed: str) -> None:
    with suppress(NotMeasured):
        assert Decimal(0) <= read_figure(typed) < Decimal(1000)


@pytest.mark.parametrize("typed", ["", "13o", "-3", "1.2.3", "1000", "12 cm", "٣"])
def test_what_is_no_figure_is_refused_in_a_sentence(typed: str) -> None:
    with pytest.raises(NotMeasured, match="Key what you measured in mm, such as 182 or 12,5"):
        read_figure(typed)


def test_plies_are_counted_in_whole_numbers() -> None:
    with pytest.raises(NotMeasured, match="whole number"):
        read_figure("4,5", unit="plies")


@given(prescribed=MM, off=st.decimals(min_value=-10, max_value=10, places=1))
def test_a_figure_holds_up_to_the_end_of_its_tolerance_and_not_beyond(prescribed: Decimal, off: Decimal) -> None:
    asked = AskedFigure("heel", "mm", prescribed, prescribed - 3, prescribed + 3, "set here")
    assert (asked.holds(prescribed + off), AskedFigure.of(asked.row)) == (abs(off) <= 3, asked)


# What becomes of it


@pytest.mark.django_db
@pytest.mark.parametrize("medial", ["177", "180", "183"])
def test_within_its_tolerance_the_check_is_as_prescribed_with_what_was_measured(
    left: CoverRequirement, maker: Person, now: datetime, medial: str
) -> None:
    check = measure(left, medial, by=maker, at=now)
    assert (check.outcome, check.measured["medial reach"]) == ("as prescribed", medial)


@pytest.mark.django_db
@pytest.mark.parametrize("medial", ["176.9", "183.1"])
def test_beyond_it_a_difference_is_raised_that_says_both_figures(
    left: CoverRequirement, maker: Person, now: datetime, medial: str
) -> None:
    measure(left, medial, by=maker, at=now)
    difference = Difference.objects.get()
    assert (difference.state, difference.found) == (
        DifferenceState.OPEN,
        f"medial reach measured {medial} mm, prescribed 180 mm (177 to 183 mm)",
    )


@pytest.mark.django_db
def test_the_story_tells_what_was_measured(cut: Pair, maker: Person, now: datetime) -> None:
    asked = [factory.requirement(cut, "stiffener", "part", side) for side in ("left", "right")]
    found = [actions.Found(each, "", factory.as_asked(each)) for each in asked]
    actions.record_found(found, by=maker, at=now)
    assert Deed.objects.get(pair_uuid=cut.uuid, action="record_checks").says == (
        "Part check of stiffener, LEFT: as prescribed, measured medial reach 180 mm, lateral reach 112 mm. "
        "Part check of stiffener, RIGHT: as prescribed, measured medial reach 130 mm, lateral reach 112 mm."
    )


@pytest.mark.django_db
def test_the_story_tells_of_a_second_measure_that_it_was_not_blind(
    left: CoverRequirement, maker: Person, now: datetime
) -> None:
    actions.withdraw_check(measure(left, "171", by=maker, at=now), by=maker, at=now)
    measure(left, "180", by=maker, at=now)
    assert Deed.objects.filter(action="record_checks").latest("pk").says == (
        "Part check of stiffener, LEFT: as prescribed, measured medial reach 180 mm, lateral reach 112 mm "
        "(measured again, the prescribed figure was known)."
    )


@pytest.mark.django_db
def test_without_its_figures_a_check_is_not_recorded(left: CoverRequirement, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="LEFT stiffener: measure first and key the medial reach and the lateral reach"):
        actions.record_check(left, outcome="as prescribed", by=maker, at=now)


# On the page


@pytest.mark.django_db
def test_no_prescribed_figure_of_it_stands_on_the_page_before_it_is_keyed(
    signed_in: SignedIn, cut: Pair, maker: Person, now: datetime
) -> None:
    client, address = signed_in(maker), reverse("pair-bench", args=[cut.uuid])
    before = client.get(address).content.decode()
    measure(factory.requirement(cut, "stiffener", "part"), "180", by=maker, at=now)
    after = client.get(address).content.decode()
    assert ("180 mm" in before, "180 mm" in after) == (False, True)


@pytest.mark.django_db
def test_no_adjusted_pattern_tells_its_figures_before_they_are_keyed(
    signed_in: SignedIn, cut: Pair, maker: Person, now: datetime
) -> None:
    client, address = signed_in(maker), reverse("pair-bench", args=[cut.uuid])
    found = "medial reach 186 mm, 180 mm is prescribed"
    actions.raise_pattern_difference(cut, side="left", part="stiffener", found=found, by=maker, at=now)
    before = client.get(address).content.decode()
    measure(factory.requirement(cut, "stiffener", "part"), "180", by=maker, at=now)
    measure(factory.requirement(cut, "stiffener", "part", "right"), "180", by=maker, at=now)
    after = client.get(address).content.decode()
    assert ([figure in before for figure in ("186 mm", "180 mm")], found in after) == ([False, False], True)


@pytest.mark.django_db
def test_the_drawing_is_not_on_the_page_until_everything_is_keyed(
    signed_in: SignedIn, cut: Pair, maker: Person, now: datetime
) -> None:
    client, address = signed_in(maker), reverse("pair-bench", args=[cut.uuid])
    shown = []
    for side in ("left", "right"):
        shown.append("shoes-cut-open" in client.get(address).content.decode())
        factory.hold(factory.requirement(cut, "stiffener", "part", side), by=maker, at=now)
    assert [*shown, "shoes-cut-open" in client.get(address).content.decode()] == [False, False, True]


@pytest.mark.django_db
def test_both_feet_are_measured_by_one_button(signed_in: SignedIn, cut: Pair, maker: Person) -> None:
    status, _ = sent(signed_in(maker), cut, BOTH, side="both")
    kept = CoverCheck.objects.filter(requirement__part="stiffener").order_by("requirement__side")
    assert (status, [check.measured for check in kept]) == (
        303,
        [{"medial reach": "182", "lateral reach": "111.5"}, {"medial reach": "130", "lateral reach": "112"}],
    )


@pytest.mark.django_db
def test_what_cannot_be_read_is_said_and_what_was_keyed_is_kept(signed_in: SignedIn, cut: Pair, maker: Person) -> None:
    keyed = BOTH | {"right": {"medial reach": "13o", "lateral reach": "112"}}
    status, page = sent(signed_in(maker), cut, keyed, side="both")
    said = ("RIGHT medial reach: Key what you measured in mm", 'value="13o"', 'value="111,5"', "180 mm")
    kept = CoverCheck.objects.filter(requirement__moment="part", requirement__part="stiffener").count()
    assert (status, [words in page for words in said], kept) == (422, [True, True, True, False], 0)


@pytest.mark.django_db
def test_one_foot_alone_is_not_recorded_over_what_was_keyed_for_the_other(
    signed_in: SignedIn, cut: Pair, maker: Person
) -> None:
    status, page = sent(signed_in(maker), cut, BOTH, side="left")
    assert (status, "RIGHT is keyed as well" in page) == (422, True)


@pytest.mark.django_db
def test_measured_stands_beside_prescribed_once_it_is_recorded(
    signed_in: SignedIn, cut: Pair, maker: Person, now: datetime
) -> None:
    measure(factory.requirement(cut, "stiffener", "part"), "182", by=maker, at=now)
    page = signed_in(maker).get(reverse("pair-bench", args=[cut.uuid])).content.decode()
    told = ("long, 180 mm", "measured 182 mm", "within 177 to 183 mm", "as prescribed, measured", "from memory")
    assert [words in page for words in told] == [True] * len(told)
