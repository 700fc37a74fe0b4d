"""The stitch line: one stitch a stage, whatever the route, and the same said in words."""

import re
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from shared.drawing.stitches import Knot, StageSeen, stitch_line

NOW = datetime(2026, 11, 24, 10, 0, tzinfo=UTC)


def stage(key, *, done=False, side="left", name="", **more):
    return StageSeen(key=key, name=name or key.capitalize(), side=side, is_done=done, **more)


ROUTES = st.lists(
    st.tuples(
        st.sampled_from(["click", "close", "block", "paste", "last"]),
        st.integers(1, 3),
        st.sampled_from(["left", "right"]),
        st.booleans(),
        st.sampled_from([None, NOW - timedelta(hours=1), NOW + timedelta(hours=30)]),
        st.sampled_from(Knot),
    ),
    max_size=40,
    unique_by=lambda entry: entry[:3],
).map(
    lambda rows: [
        StageSeen(key=key, name=key, round=again, side=side, is_done=done, dry_at=dry_at, knot=knot)
        for key, again, side, done, dry_at, knot in rows
    ]
)


@given(ROUTES)
def test_each_stage_of_the_route_is_one_stitch(route):
    line = stitch_line(route, now=NOW)
    assert len(line.stitches) == len({(seen.key, seen.round) for seen in route})


@given(ROUTES)
def test_stitches_lie_in_one_row_without_touching(route):
    spans = [(stitch.dashes[0].x1, stitch.dashes[-1].x2) for stitch in stitch_line(route, now=NOW).stitches]
    gaps = {after[0] - before[1] for before, after in pairwise(spans)}
    assert gaps <= {4}


@given(ROUTES)
def test_everything_drawn_lies_in_the_frame(route):
    line = stitch_line(route, now=NOW)
    left, top, width, height = (int(number) for number in line.view_box.split())
    drawn = [x for stitch in line.stitches for dash in stitch.dashes for x in (dash.x1, dash.x2)]
    drawn += [
        x for stitch in line.stitches if stitch.knot_x is not None for x in (stitch.knot_x - 3, stitch.knot_x + 3)
    ]
    assert all(left <= x <= left + width for x in drawn)
    assert (top, height) == (0, 12)


@given(ROUTES)
def test_a_stitch_is_solid_only_where_every_foot_is_done_and_dry(route):
    for stitch in stitch_line(route, now=NOW).stitches:
        feet = [seen for seen in route if seen.name == stitch.name]
        if {dash.state for dash in stitch.dashes} == {"done"} and len({seen.round for seen in feet}) == 1:
            assert all(seen.is_done and (seen.dry_at is None or seen.dry_at <= NOW) for seen in feet)


def test_where_the_feet_differ_the_left_half_is_the_left_shoe() -> None:
    line = stitch_line([stage("last", side="right", done=True), stage("last", side="left")], now=NOW)
    assert [(dash.x1, dash.x2, dash.state) for dash in line.stitches[0].dashes] == [(0, 5, "open"), (5, 10, "done")]


def test_the_words_name_the_stage_that_comes_next() -> None:
    line = stitch_line([stage("click", done=True), stage("close", name="Skive, fold, close"), stage("last")], now=NOW)
    assert line.words == "stage 2 of 3, skive, fold, close"


def test_the_words_say_until_when_it_dries() -> None:
    dry_at = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
    line = stitch_line([stage("click", done=True), stage("last", done=True, dry_at=dry_at), stage("sole")], now=NOW)
    assert line.words == "stage 2 of 3, drying until Wed 08:00"


def test_a_day_a_week_off_is_said_with_its_date() -> None:
    dry_at = datetime(2026, 12, 2, 8, 0, tzinfo=UTC)
    line = stitch_line([stage("resin", done=True, dry_at=dry_at)], now=NOW)
    assert line.words == "stage 1 of 1, drying until Wed 2 Dec 08:00"


def test_the_words_say_where_only_one_foot_is_done() -> None:
    line = stitch_line([stage("last", done=True), stage("last", side="right")], now=NOW)
    assert line.words == "stage 1 of 1, one foot done, last"


def test_the_words_say_when_all_is_done() -> None:
    assert stitch_line([stage("click", done=True), stage("last", done=True)], now=NOW).words == "all 2 stages done"


def test_a_knot_is_filled_only_when_the_checks_of_both_feet_passed() -> None:
    feet = [stage("last", knot=Knot.PASSED), stage("last", side="right", knot=Knot.ASKED)]
    assert [stitch.knot for stitch in stitch_line(feet, now=NOW).stitches] == ["asked"]


def test_the_drawing_has_words_and_no_style_of_its_own() -> None:
    line = stitch_line([stage("click", done=True), stage("last", name="<Last> & paste", knot=Knot.ASKED)], now=NOW)
    svg = render_to_string("_stitches.html", {"line": line})
    assert re.findall(r'role="img"|<title>.*</title>|style', svg) == [
        'role="img"',
        "<title>stage 2 of 2, &lt;Last&gt; &amp; paste</title>",
    ]
