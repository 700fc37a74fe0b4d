"""A maker adjusts a pattern, with a reason: within the tolerance of its check, or as a difference a clinician settles."""

from datetime import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Difference, Pair
from cases.patterns import actions, queries
from cases.patterns.actions import Adjusted
from cases.patterns.models import PatternAdjustment
from cases.patterns.queries import Patterns
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from shared.sides import Side
from tests.bench.test_versions import take_up
from tests.factories import bench as bench_factory
from tests.factories.bench import bring_to
from tests.factories.patterns import MEDIUM_MM, make_adjustment, make_own_template, make_pair_on_lasts, reach
from tests.factories.prescriptions import ORDINARY
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, clinician: Person, now: datetime) -> Pair:
    return make_pair_on_lasts(by=clinician, at=now)


def patterns_now(pair: Pair, now: datetime) -> Patterns:
    found = queries.pair_named(pair.uuid)
    assert found is not None
    return queries.patterns_of(found, on=timezone.localdate(now))


def medial_reach(pair: Pair, now: datetime, side: Side = Side.LEFT) -> float:
    """The reach to which the stiffener is cut, in whole mm."""
    piece = patterns_now(pair, now).drafted.piece(side, "stiffener")
    assert piece is not None
    return round(dict(piece.facts)["medial reach"])


def shift(medial_mm: float = 0, along_mm: float = 0, *, point: str = "toe_tip", piece: str = "insole") -> Adjusted:
    return Adjusted(
        side=Side.LEFT,
        piece=piece,
        what=point,
        medial_mm=Decimal(str(medial_mm)),
        along_mm=Decimal(str(along_mm)),
    )


def test_the_piece_is_cut_to_the_adjusted_reach(pair: Pair, maker: Person, now: datetime) -> None:
    make_adjustment(pair, reach(140), by=maker, at=now)
    assert medial_reach(pair, now) == 140


def test_the_other_foot_is_cut_as_prescribed(pair: Pair, maker: Person, now: datetime) -> None:
    make_adjustment(pair, reach(140), by=maker, at=now)
    assert medial_reach(pair, now, Side.RIGHT) == MEDIUM_MM


def test_it_keeps_what_was_prescribed_and_why(pair: Pair, maker: Person, now: datetime) -> None:
    made = make_adjustment(pair, reach(132), reason="the heel is long", by=maker, at=now)
    assert (str(made), made.reason, made.version) == (
        "LEFT medial reach: 130 → 132 mm",
        "the heel is long",
        pair.working_to,
    )


def test_its_story_names_who_what_and_why(pair: Pair, maker: Person, now: datetime) -> None:
    make_adjustment(pair, reach(132), reason="the heel is long", by=maker, at=now)
    told = Deed.objects.get(action="adjust_pattern")
    assert (told.says, told.reason, told.reason_typed) == (
        "Adjusted the pattern, LEFT medial reach 132 mm, 130 mm is prescribed: the heel is long",
        "the heel is long",
        True,
    )


@pytest.mark.parametrize(("to_mm", "differs"), [(133, False), (127, False), (133.5, True), (126.5, True)])
def test_a_reach_differs_beyond_the_tolerance_of_its_check(
    *, pair: Pair, maker: Person, now: datetime, to_mm: float, differs: bool
) -> None:
    make_adjustment(pair, reach(to_mm), by=maker, at=now)
    assert Difference.objects.filter(pair=pair).exists() is differs


def test_a_difference_says_what_is_prescribed_and_why_it_differs(pair: Pair, maker: Person, now: datetime) -> None:
    make_adjustment(pair, reach(140), reason="the heel is long", by=maker, at=now)
    difference = Difference.objects.get(pair=pair)
    assert (difference.side, difference.part, difference.source, difference.found) == (
        "left",
        "stiffener",
        "pattern",
        "medial reach 140 mm, 130 mm is prescribed. Because: the heel is long",
    )


@pytest.mark.parametrize(("along_mm", "differs"), [(5, False), (5.5, True)])
def test_a_point_of_a_cut_line_differs_beyond_its_tolerance(
    *, pair: Pair, maker: Person, now: datetime, along_mm: float, differs: bool
) -> None:
    make_adjustment(pair, shift(along_mm=along_mm), by=maker, at=now)
    assert Difference.objects.filter(pair=pair, part="insole").exists() is differs


def test_a_shifted_point_makes_the_piece_longer_by_as_much(pair: Pair, maker: Person, now: datetime) -> None:
    before = patterns_now(pair, now).drafted.piece(Side.LEFT, "insole")
    make_adjustment(pair, shift(along_mm=4), by=maker, at=now)
    after = patterns_now(pair, now).drafted.piece(Side.LEFT, "insole")
    assert before is not None
    assert after is not None
    assert after.outline[:, 1].max() - before.outline[:, 1].max() == pytest.approx(4, abs=0.1)


def test_taken_back_the_piece_is_cut_as_prescribed(pair: Pair, maker: Person, now: datetime) -> None:
    made = make_adjustment(pair, reach(140), by=maker, at=now)
    actions.take_back_adjustment(made, by=maker, at=now)
    assert medial_reach(pair, now) == MEDIUM_MM


def test_taken_back_its_open_difference_is_undone(pair: Pair, maker: Person, now: datetime) -> None:
    made = make_adjustment(pair, reach(140), by=maker, at=now)
    actions.take_back_adjustment(made, by=maker, at=now)
    difference = Difference.objects.get(pair=pair)
    assert (difference.state, difference.settled_because) == ("undone", "the adjustment was taken back")


def test_an_accepted_one_is_not_taken_back(pair: Pair, maker: Person, clinician: Person, now: datetime) -> None:
    made = make_adjustment(pair, reach(140), by=maker, at=now)
    assert made.difference is not None
    bench.settle_difference(made.difference, state="accepted", because="she needs it", by=clinician, at=now)
    with pytest.raises(Refused, match="A clinician accepted this difference"):
        actions.take_back_adjustment(made, by=maker, at=now)


def test_undone_by_a_clinician_the_piece_is_cut_as_prescribed(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    made = make_adjustment(pair, reach(140), by=maker, at=now)
    assert made.difference is not None
    bench.settle_difference(made.difference, state="undone", by=clinician, at=now)
    assert medial_reach(pair, now) == MEDIUM_MM


def test_adjusted_anew_the_latest_holds_and_the_earlier_difference_is_undone(
    pair: Pair, maker: Person, now: datetime
) -> None:
    first = make_adjustment(pair, reach(140), by=maker, at=now)
    make_adjustment(pair, reach(136, after=first), by=maker, at=now)
    states = list(Difference.objects.filter(pair=pair).order_by("pk").values_list("state", flat=True))
    assert (medial_reach(pair, now), states) == (136, ["undone", "open"])


def test_set_back_to_what_is_prescribed_nothing_differs(pair: Pair, maker: Person, now: datetime) -> None:
    first = make_adjustment(pair, reach(140), by=maker, at=now)
    make_adjustment(pair, reach(MEDIUM_MM, after=first), by=maker, at=now)
    assert not Difference.objects.filter(pair=pair, state="open").exists()


def test_whoever_saw_another_adjustment_is_told(pair: Pair, maker: Person, now: datetime) -> None:
    make_adjustment(pair, reach(140), by=maker, at=now)
    with pytest.raises(Refused, match="Somebody adjusted this just now"):
        make_adjustment(pair, reach(136), by=maker, at=now)


def test_without_a_reason_nothing_is_adjusted(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Say in a few words why"):
        make_adjustment(pair, reach(140), reason="  x ", by=maker, at=now)


def test_a_clinician_adjusts_no_pattern(pair: Pair, clinician: Person, now: datetime) -> None:
    with pytest.raises(NotAllowed, match="A maker adjusts patterns"):
        make_adjustment(pair, by=clinician, at=now)


def test_a_part_that_is_closed_in_is_not_adjusted(pair: Pair, maker: Person, now: datetime) -> None:
    bring_to(pair, "last-linings", by=maker, at=now)
    with pytest.raises(Refused, match="The LEFT stiffener is closed in already"):
        make_adjustment(pair, by=maker, at=now)


def test_a_figure_by_which_nothing_can_be_cut_is_refused(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="With this figure the piece cannot be cut"):
        make_adjustment(pair, reach(390), by=maker, at=now)


def test_a_shift_that_crosses_the_cut_line_is_refused(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="the cut line would cross itself"):
        make_adjustment(pair, shift(along_mm=-40, point=_highest_point(pair, now), piece="stiffener"), by=maker, at=now)


def _highest_point(pair: Pair, now: datetime) -> str:
    """The point of the stiffener that stands highest over its margin."""
    piece = patterns_now(pair, now).drafted.piece(Side.LEFT, "stiffener")
    assert piece is not None
    return min(piece.handles, key=lambda handle: handle.at[1]).key


@pytest.mark.parametrize("to_mm", [-1, 400.5])
def test_a_figure_beyond_any_piece_is_refused(pair: Pair, maker: Person, now: datetime, to_mm: float) -> None:
    with pytest.raises(Refused, match="A figure of a pattern lies between 0 and 400 mm"):
        make_adjustment(pair, reach(to_mm), by=maker, at=now)


@pytest.mark.parametrize("adjusted", [shift(40.5), shift(along_mm=-40.5)])
def test_a_point_is_shifted_by_no_more_than_40_mm(pair: Pair, maker: Person, now: datetime, adjusted: Adjusted) -> None:
    with pytest.raises(Refused, match="A point is shifted by at most 40 mm"):
        make_adjustment(pair, adjusted, by=maker, at=now)


def test_a_piece_that_is_not_cut_is_not_adjusted(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="The LEFT shoe has no such piece"):
        make_adjustment(pair, shift(1, piece="anklet"), by=maker, at=now)


@pytest.mark.parametrize("what", ["no-such-figure", "no_such_point"])
def test_what_the_piece_does_not_have_is_refused(pair: Pair, maker: Person, now: datetime, what: str) -> None:
    adjusted = reach(132, what=what) if "-" in what else shift(1, point=what)
    with pytest.raises(Refused, match="This piece has no such"):
        make_adjustment(pair, adjusted, by=maker, at=now)


def test_an_adjusted_figure_that_a_new_version_changes_holds_no_more(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    make_adjustment(pair, reach(132), by=maker, at=now)
    version = pair.working_to
    assert version is not None
    lasts = {f"{foot.side}_last": foot.last for foot in version.foot_set.all()}
    longer = {**ORDINARY["stiffener"], "medial_reach": "long", "medial_reach_mm": 170}
    newer = take_up(pair, maker, now, both={"stiffener": longer}, **lasts)
    assert medial_reach(newer, now) == 170


# His own template


def test_what_is_cut_by_an_own_template_is_left_out(pair: Pair, maker: Person, now: datetime) -> None:
    make_own_template(pair, piece="toe_puff", by=maker, at=now)
    drafted = patterns_now(pair, now).drafted
    assert [piece.key for piece in drafted.pieces if piece.key == "toe_puff"] == []


def test_its_check_still_holds(pair: Pair, maker: Person, now: datetime) -> None:
    make_own_template(pair, piece="toe_puff", by=maker, at=now)
    assert bench_factory.requirement(pair, "toe_puff", "part").prescribed[0] == ["kind", "standard"]


def test_ended_the_drafted_piece_is_cut_again(pair: Pair, maker: Person, now: datetime) -> None:
    for used in make_own_template(pair, piece="toe_puff", by=maker, at=now):
        actions.end_own_template(used, by=maker, at=now)
    assert patterns_now(pair, now).drafted.piece(Side.LEFT, "toe_puff") is not None


def test_an_own_template_used_already_is_not_used_again(pair: Pair, maker: Person, now: datetime) -> None:
    make_own_template(pair, piece="toe_puff", by=maker, at=now)
    with pytest.raises(Refused, match="its own template is used already"):
        make_own_template(pair, piece="toe_puff", by=maker, at=now)


def test_an_own_template_is_named(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Say which template"):
        make_own_template(pair, template=" ", by=maker, at=now)


def test_an_own_template_is_for_a_foot(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Say LEFT, RIGHT or both"):
        actions.use_own_template(pair, sides=(), piece="toe_puff", template="no. 3", by=maker, at=now)


def test_a_template_is_ended_once(pair: Pair, maker: Person, now: datetime) -> None:
    used = make_own_template(pair, by=maker, at=now)[0]
    actions.end_own_template(used, by=maker, at=now)
    with pytest.raises(Refused, match="cut again already"):
        actions.end_own_template(used, by=maker, at=now)


def test_an_adjustment_is_taken_back_once(pair: Pair, maker: Person, now: datetime) -> None:
    made = make_adjustment(pair, by=maker, at=now)
    actions.take_back_adjustment(made, by=maker, at=now)
    with pytest.raises(Refused, match="already taken back"):
        actions.take_back_adjustment(made, by=maker, at=now)


def test_only_the_latest_is_taken_back(pair: Pair, maker: Person, now: datetime) -> None:
    first = make_adjustment(pair, reach(132), by=maker, at=now)
    make_adjustment(pair, reach(131, after=first), by=maker, at=now)
    with pytest.raises(Refused, match="adjusted anew since"):
        actions.take_back_adjustment(PatternAdjustment.objects.get(pk=first.pk), by=maker, at=now)
