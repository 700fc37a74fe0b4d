"""The final check's figures: what is prescribed of a finished shoe, what holds, and what is answered in words."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from cases.bench import actions, queries
from cases.bench.final_sheet import SETTINGS, FinalLine, half_up, lines_of
from cases.bench.models import FinalFigure, Pair
from cases.prescriptions import shoe as trade
from shared.models import Deed
from shared.refusals import Refused
from shared.sides import Side
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.prescriptions import make_weighed_shoe
from workshop.figures.queries import FigureKnown
from workshop.figures.settings_table import SETTINGS as WORKSHOP
from workshop.staff.models import Person

SignedIn = Callable[[Person], Browserless]
STARTING = {
    name: FigureKnown(WORKSHOP[name].value, WORKSHOP[name].standing, WORKSHOP[name].source) for name in SETTINGS
}
FORM = trade.Form(
    drawn_from="a last",
    is_agreed=True,
    length_mm=280,
    joint_width_mm=100,
    heel_width_mm=68,
    heel_to_joint_mm=200,
    heel_to_fifth_mm=172,
    heel_height_mm=20,
    toe_spring_mm=15,
    toe_depth_mm=28,
    instep_height_mm=66,
)
HEEL = trade.Heel(height_mm=22, material="", extended_medial_mm=None, extended_lateral_mm=None, cushion_heel=False)
ROCKER = trade.Rocker(apex_percent=55, angle_deg=15, curved=True, apex_angle_deg=None)
MM = st.decimals(min_value=0, max_value=300, places=1)


def shoe(**parts: object) -> trade.Shoe:
    return trade.Shoe(side=Side.LEFT, construction="cemented", form=FORM, **parts)  # type: ignore[arg-type]  # parts of it


def asked(built: trade.Shoe) -> dict[str, str]:
    return {line.key: line.asked for line in lines_of(built, settings=STARTING)}


# What is asked


def test_every_shoe_is_stood_measured_for_pitch_and_length_and_felt_inside() -> None:
    assert asked(shoe()) == {
        "stand": "",
        "pitch": "6° (5 to 7°)",
        "length": "280 mm (277 to 283 mm)",
        "inside": "",
    }


@pytest.mark.parametrize(
    ("parts", "key", "figure"),
    [
        ({"heel": HEEL}, "heel", "22 mm (20 to 24 mm)"),
        ({"height_raise": trade.Raise(8, 22, 18, None, "")}, "raise_joint", "18 mm (16 to 20 mm)"),
        ({"height_raise": trade.Raise(8, 22, 18, None, "")}, "raise_in_shoe", "8 mm (6 to 10 mm)"),
        ({"rocker": ROCKER}, "apex", "154 mm (150 to 158 mm)"),
    ],
)
def test_a_prescribed_part_is_measured_within_its_tolerance(parts: dict[str, object], key: str, figure: str) -> None:
    """Tolerances from memory, apex by arithmetic: 55 % of 280 mm."""
    assert asked(shoe(**parts))[key] == figure


def test_what_is_not_prescribed_is_not_asked() -> None:
    assert {"heel", "raise_heel", "apex", "toe_lift", "bend", "flare_medial"} & asked(shoe()).keys() == set()


def test_a_raise_tilts_the_pitch_that_is_asked() -> None:
    """Heel 20 of the last, 30 more at the heel and 18 at the joint: arctan(32 / 200) is 9 degrees."""
    assert asked(shoe(height_raise=trade.Raise(8, 22, 18, None, "")))["pitch"] == "9° (8 to 10°)"


def test_a_flare_and_a_wedge_are_named_with_their_edge() -> None:
    built = shoe(flares=(trade.Flare("medial", 5),), wedges=(trade.Wedge("heel", "lateral", 4),))
    words = {line.key: line.words for line in lines_of(built, settings=STARTING)}
    assert (words["flare_medial"], words["wedge_heel"]) == (
        "flare 5 mm at the medial edge",
        "heel wedge 4 mm at the lateral edge",
    )


def test_a_figure_that_was_worked_out_brings_its_workings() -> None:
    worked_out = {line.key for line in lines_of(shoe(rocker=ROCKER, heel=HEEL), settings=STARTING) if line.sheet}
    assert worked_out == {"pitch", "sole_apex", "sole_toe", "apex", "toe_lift", "length"}


@given(prescribed=MM, off=st.decimals(min_value=-9, max_value=9, places=1))
def test_a_line_holds_up_to_the_ends_of_its_tolerance(prescribed: Decimal, off: Decimal) -> None:
    line = FinalLine("heel", "heel height", "mm", prescribed, prescribed - 2, prescribed + 2)
    assert line.holds(prescribed + off) == (abs(off) <= 2)


@given(mm=MM)
def test_at_least_is_held_by_anything_more(mm: Decimal) -> None:
    assert FinalLine("malleolus", "topline", "mm", least=Decimal(5)).holds(mm) == (mm >= 5)


@given(figure=st.floats(min_value=0, max_value=400))
def test_what_was_worked_out_is_told_to_the_nearest_whole(figure: float) -> None:
    assert abs(half_up(figure) - Decimal(figure)) <= Decimal("0.501")


# What is recorded


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    pair = factory.make_pair(by=maker, at=now, both={"heel": {"height_mm": 22}})
    factory.bring_to(pair, "final-check", by=maker, at=now)
    return pair


def seen(pair: Pair, key: str, now: datetime, side: str = "left") -> queries.FinalSeen:
    sheet = queries.final_sheet(pair, on=now.date())
    assert sheet is not None
    return next(each for each in sheet.seen if (each.stage.side, each.line.key) == (side, key))


@pytest.mark.django_db
def test_what_holds_is_told_as_held(pair: Pair, maker: Person, now: datetime) -> None:
    entries = [
        actions.FinalEntry(seen(pair, "stand", now)),
        actions.FinalEntry(seen(pair, "heel", now), measured=Decimal("23.5")),
    ]
    kept = actions.record_final(pair, entries, by=maker, at=now)
    says = Deed.objects.get(action="record_final").says
    assert ([figure.holds for figure in kept], says) == ([True, True], "Final check: 2 of 2 hold.")


@pytest.mark.django_db
def test_what_differs_is_not_recorded_without_words(pair: Pair, maker: Person, now: datetime) -> None:
    entry = actions.FinalEntry(seen(pair, "heel", now), measured=Decimal(26))
    with pytest.raises(
        Refused, match=r"LEFT heel height measured 26 mm, prescribed 22 mm \(20 to 24 mm\)\. It differs"
    ):
        actions.record_final(pair, [entry], by=maker, at=now)


@pytest.mark.django_db
def test_what_differs_is_listed_with_its_answer(pair: Pair, maker: Person, now: datetime) -> None:
    entry = actions.FinalEntry(seen(pair, "heel", now), measured=Decimal(26), answer="lifted for the orthosis")
    actions.record_final(pair, [entry], by=maker, at=now)
    sheet = queries.final_sheet(pair, on=now.date())
    assert sheet is not None
    assert [(each.says, each.found.answer) for each in sheet.differs if each.found] == [
        ("26 mm", "lifted for the orthosis")
    ]


@pytest.mark.django_db
def test_measured_again_the_latest_figure_counts(pair: Pair, maker: Person, now: datetime) -> None:
    line = seen(pair, "heel", now)
    actions.record_final(pair, [actions.FinalEntry(line, measured=Decimal(26), answer="too high")], by=maker, at=now)
    actions.record_final(pair, [actions.FinalEntry(line, measured=Decimal(22))], by=maker, at=now)
    sheet = queries.final_sheet(pair, on=now.date())
    assert sheet is not None
    assert (sheet.differs, FinalFigure.objects.count()) == ((), 2)


@pytest.mark.django_db
def test_what_differs_at_the_end_is_told_by_its_latest_figure_left_first(
    pair: Pair, maker: Person, now: datetime
) -> None:
    for side, measured in (("right", 27), ("left", 26), ("left", 25)):
        line = seen(pair, "heel", now, side)
        entry = actions.FinalEntry(line, measured=Decimal(measured), answer="lifted")
        actions.record_final(pair, [entry], by=maker, at=now)
    actions.record_final(pair, [actions.FinalEntry(seen(pair, "stand", now))], by=maker, at=now)
    assert [(each.side, each.measured) for each in queries.differs_at_the_end(pair)] == [
        ("left", "measured 25 mm, prescribed 22 mm (20 to 24 mm)"),
        ("right", "measured 27 mm, prescribed 22 mm (20 to 24 mm)"),
    ]


@pytest.mark.django_db
def test_the_final_check_is_not_ticked_before_its_sheet_is_complete(pair: Pair, maker: Person, now: datetime) -> None:
    for key in ("stand", "sole", "heel", "pitch", "length"):
        actions.record_final(pair, [actions.FinalEntry(seen(pair, key, now, "right"))], by=maker, at=now)
    with pytest.raises(
        Refused, match=r"not complete: RIGHT topline below the malleolus, medial and lateral and 1 more\."
    ):
        actions.tick_stages(pair, stages=factory.stages(pair, "final-check", "right"), by=maker, at=now)


@pytest.mark.django_db
def test_after_the_tick_nothing_is_measured_into_it(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to_the_end(pair, by=maker, at=now)
    with pytest.raises(Refused, match=r"not on the bench"):
        actions.record_final(pair, [actions.FinalEntry(seen(pair, "stand", now))], by=maker, at=now)


@pytest.mark.django_db
def test_a_shoe_is_not_finally_checked_before_it_is_finished(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    with pytest.raises(Refused, match="Too early to check"):
        actions.record_final(pair, [actions.FinalEntry(seen(pair, "stand", now))], by=maker, at=now)


# On the page


def sent(client: Browserless, pair: Pair, **entries: str) -> tuple[int, str]:
    answer = client.post(reverse("final-check", args=[pair.uuid]), entries)
    return answer.status_code, answer.content.decode()


@pytest.mark.django_db
def test_lines_are_marked_on_the_sheet_of_both_shoes(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    marked = {"left-stand-holds": "1", "right-heel-measured": "22,5", "left-inside-answer": "a seam to be felt"}
    status, _ = sent(signed_in(maker), pair, **marked)
    kept = FinalFigure.objects.order_by("stage__side", "key").values_list("stage__side", "key", "measured", "holds")
    assert (status, list(kept)) == (
        303,
        [("left", "inside", None, False), ("left", "stand", None, True), ("right", "heel", Decimal("22.50"), True)],
    )


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({"left-heel-measured": "26"}, "It differs: say what is to be said to it."),
        ({"left-heel-measured": "high"}, "LEFT heel height: Key what you measured in mm"),
        ({"left-heel-answer": "too high"}, "LEFT heel height: key what you measured, to which this is said."),
    ],
)
def test_what_cannot_be_taken_is_said_and_nothing_is_lost(
    signed_in: SignedIn, maker: Person, pair: Pair, entries: dict[str, str], said: str
) -> None:
    status, page = sent(signed_in(maker), pair, **{"right-stand-holds": "1"}, **entries)
    kept = [f'value="{typed}"' in page for typed in entries.values()]
    assert (status, said in page, kept, FinalFigure.objects.count()) == (422, True, [True], 0)


@pytest.mark.django_db
def test_the_page_of_the_pair_hands_over_what_differs(
    signed_in: SignedIn, maker: Person, pair: Pair, now: datetime
) -> None:
    sent(signed_in(maker), pair, **{"left-heel-measured": "26", "left-heel-answer": "meant so"})
    page = signed_in(maker).get(reverse("pair", args=[pair.uuid])).content.decode()
    assert "</strong> heel height: measured 26 mm, prescribed 22 mm (20 to 24 mm). meant so" in page


@pytest.mark.django_db
@pytest.mark.parametrize(("right_g", "is_told"), [(680, False), (681, True)])
def test_weights_too_far_apart_are_told(
    signed_in: SignedIn, maker: Person, pair: Pair, right_g: int, *, is_told: bool
) -> None:
    make_weighed_shoe(pair_uuid=pair.uuid, side="left", weighed_g=600, by=maker)
    make_weighed_shoe(pair_uuid=pair.uuid, side="right", weighed_g=right_g, by=maker)
    page = signed_in(maker).get(reverse("final-check", args=[pair.uuid])).content.decode()
    assert ("more than 80 g" in page) == is_told


@pytest.mark.django_db
def test_before_the_shoes_are_finished_the_sheet_says_what_comes_first(
    signed_in: SignedIn, maker: Person, now: datetime
) -> None:
    pair = factory.make_pair(by=maker, at=now)
    page = signed_in(maker).get(reverse("final-check", args=[pair.uuid])).content.decode()
    assert ("LEFT: first comes “Sock, laces, straps”." in page, "Record what is marked" in page) == (True, False)


@pytest.mark.django_db
def test_a_repair_has_no_sheet(signed_in: SignedIn, maker: Person, now: datetime, pair: Pair) -> None:
    repair = actions.open_repair(
        pair.patient, description="heels", feet="both", promised_day=pair.promised_day, by=maker, at=now
    )
    assert signed_in(maker).get(reverse("final-check", args=[repair.uuid])).status_code == 404
