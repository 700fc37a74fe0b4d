"""Where the words of a cut-away stand: on no others, and once on the page."""

import itertools

from django.template.loader import render_to_string
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.prescriptions.cut_away import cut_aways_of
from cases.prescriptions.cut_away.labels import in_rows, spread
from shared.sides import Side
from tests.prescriptions.shoes import a_shoe


@settings(max_examples=80, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(20, 320),
            st.sampled_from(["sole 6", "stiffener long 180 mm", "at the heel: raise 22, sole 6, heel 20"]),
        ),
        min_size=1,
        max_size=5,
    )
)
def test_words_in_rows_lie_on_no_others(calls: list[tuple[float, str]]) -> None:
    blocks = in_rows(calls, width=340, font=12.7)
    on_others = [
        (one, other)
        for number, one in enumerate(blocks)
        for other in blocks[:number]
        if one.rows < other.low and other.rows < one.low and one.start < other.end and other.start < one.end
    ]
    assert on_others == []


@given(st.lists(st.floats(0, 300), min_size=1, max_size=9))
def test_words_beside_a_plan_lie_on_no_others(wanted: list[float]) -> None:
    heights = [20.0] * len(wanted)
    tops = spread(sorted(wanted), heights, least=0, most=320)
    assert all(upper + 20 <= lower + 1e-9 for upper, lower in itertools.pairwise(tops))


def test_a_page_shows_the_drawing_and_not_its_text() -> None:
    page = render_to_string("prescriptions/_cut_away.html", {"cut_aways": cut_aways_of({Side.LEFT: a_shoe()})})
    assert page.count('<svg class="cut-away"') == 1
