"""The drawings of the twelve prescriptions of the trade and of two other kinds of work, as they were looked at."""

from itertools import combinations, pairwise

import pytest

from cases.prescriptions.cut_away import cut_aways_of
from cases.prescriptions.cut_away.labels import em_of
from cases.prescriptions.cut_away.layout import Laid, Sheet, Text, width_for
from cases.prescriptions.cut_away.pair import views_of
from shared.sides import Side
from tests.prescriptions.draw_again import KEPT_IN, drawings
from tests.prescriptions.twelve import OTHERS, TWELVE

PAIRS = {**TWELVE, **OTHERS}
EACH_FOOT = [(name, side) for name in PAIRS for side in Side]
MOST_BYTES = 12_000


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    return drawings()


@pytest.mark.parametrize(("name", "side"), EACH_FOOT)
def test_a_drawing_is_what_was_looked_at(drawn: dict[str, str], name: str, side: Side) -> None:
    """Where it should not be: look at it, then `make drawings`."""
    file = f"{name}-{side}.svg"
    assert drawn[file] == (KEPT_IN / file).read_text()


def test_no_drawing_is_kept_of_what_is_not_drawn(drawn: dict[str, str]) -> None:
    assert {each.name for each in KEPT_IN.iterdir()} == set(drawn)


@pytest.mark.parametrize("name", PAIRS)
def test_the_four_views_of_a_foot_are_light(name: str) -> None:
    heavy = [each.side for each in cut_aways_of(PAIRS[name]) if len(each.svg.encode()) > MOST_BYTES]
    assert heavy == []


@pytest.mark.parametrize(("name", "side"), EACH_FOOT)
def test_no_words_lie_on_others(name: str, side: Side) -> None:
    sheet = _sheet(name, side)
    on_others = [
        (one.says, other.says)
        for view in sheet.blocks
        for one, other in combinations(view.texts, 2)
        if _meet(_box(one, sheet.font), _box(other, sheet.font))
    ]
    assert on_others == []


@pytest.mark.parametrize(("name", "side"), EACH_FOOT)
def test_all_words_stand_on_the_sheet(name: str, side: Side) -> None:
    sheet = _sheet(name, side)
    boxes = {text.says: _box(text, sheet.font) for view in sheet.blocks for text in view.texts}
    over = {says: box for says, box in boxes.items() if box[0] < -1 or box[2] > sheet.width + 1}
    assert over == {}


@pytest.mark.parametrize(("name", "side"), EACH_FOOT)
def test_no_leader_passes_words(name: str, side: Side) -> None:
    sheet = _sheet(name, side)
    passed = [text.says for view in sheet.blocks for text in view.texts if _is_passed(text, view, sheet.font)]
    assert passed == []


def _sheet(name: str, side: Side) -> Sheet:
    pair = PAIRS[name]
    return Sheet(views_of(pair[side]), side=side, width=width_for(views_of(each) for each in pair.values()))


Box = tuple[float, float, float, float]


def _box(text: Text, font: float) -> Box:
    """Least x and y, most x and y; without the little that a letter hangs under the line."""
    wide = font * em_of(text.says)
    start = text.x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
    return start, text.y - 0.7 * font, start + wide, text.y


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _is_passed(text: Text, view: Laid, font: float) -> bool:
    """Whether a leader runs through the middle of words, from one side of them to the other."""
    left, top, right, low = _box(text, font)
    middle = (top + low) / 2
    for line in view.leaders:
        for (x1, y1), (x2, y2) in pairwise(line):
            if min(y1, y2) < middle < max(y1, y2):
                x = x1 + (x2 - x1) * (middle - y1) / (y2 - y1)
                if left + 1 < x < right - 1:
                    return True
    return False
