"""Words beside a drawing: how wide they are, how they are broken, and where they stand so that none lies on another.

Lengths in units of the page, one to a millimetre of the shoe.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

FONT = 9.0
ROW = 11.0
"""From one row of words to the next."""
_NARROW, _WIDE = "iljtf.,:;'|()/ ", "mw%▲"
MOST_ROWS = 16


@lru_cache(maxsize=2048)
def width_of(words: str) -> float:
    """About how wide words are in a broad sans-serif type. Measured by eye on several, on the wide side."""
    narrow = sum(map(words.count, _NARROW))
    wide = sum(map(words.count, _WIDE))
    capitals = sum(map(str.isupper, words))
    return FONT * (0.38 * narrow + 0.95 * wide + 0.72 * capitals + 0.61 * (len(words) - narrow - wide - capitals))


@lru_cache(maxsize=2048)
def broken(words: str, room: float) -> tuple[str, ...]:
    """The words in lines that fit the room; a word longer than it stands alone."""
    lines: list[str] = []
    for word in words.split():
        if lines and width_of(f"{lines[-1]} {word}") <= room:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return tuple(lines)


@dataclass(frozen=True)
class Block:
    """Words in lines, `top` rows away from the drawing, right of the place of their leader, left of it or under it."""

    x: float
    top: int
    lines: tuple[str, ...]
    anchor: str
    start: float
    end: float

    @property
    def low(self) -> int:
        return self.top + len(self.lines)


def in_rows(calls: Sequence[tuple[float, str]], *, width: float, room: float) -> list[Block]:
    """Each call in the nearest rows where neither its words nor its leader meet another's, in the order given.

    A leader runs straight from the drawing to its words, over no others. Several orders are tried, the shallowest kept.
    """
    middle, several = width / 2, range(len(calls))
    orders = (
        sorted(several, key=lambda each: -calls[each][0]),
        sorted(several, key=lambda each: calls[each][0]),
        sorted(several, key=lambda each: abs(calls[each][0] - middle)),
        sorted(several, key=lambda each: -abs(calls[each][0] - middle)),
    )
    found: dict[int, Block] = {}
    least = (len(calls) ** 2, 10 * MOST_ROWS)
    for order in orders:
        placed: dict[int, Block] = {}
        for number in order:
            placed[number] = _nearest(*calls[number], list(placed.values()), width=width, room=room)
        deep = max((each.low for each in placed.values()), default=0)
        blocks = list(placed.values())
        met = sum(_meet(one, other) for number, one in enumerate(blocks) for other in blocks[:number])
        if (met, deep) < least or not found:
            found, least = placed, (met, deep)
        if not met and deep <= 1 + max((len(each.lines) for each in placed.values()), default=0):
            break
    return [found[number] for number in several]


def _nearest(x: float, says: str, placed: Sequence[Block], *, width: float, room: float) -> Block:
    lines = broken(says, room)
    wide = max(map(width_of, lines)) + 2
    ways = [("start", x, x + wide), ("end", x - wide, x), ("middle", x - wide / 2, x + wide / 2)]
    if x > width / 2:
        ways[:2] = ways[1::-1]
    fitting = [way for way in ways if way[1] >= 0 and way[2] <= width] or ways[:1]
    for top in range(MOST_ROWS):
        for anchor, start, end in fitting:
            block = Block(x, top, lines, anchor, start, end)
            if not any(_meet(block, other) for other in placed):
                return block
    return Block(x, max(other.low for other in placed), lines, *fitting[0])


def _meet(one: Block, other: Block) -> bool:
    if one.top < other.low and other.top < one.low:
        if one.start < other.end + 3 and other.start < one.end + 3:
            return True
        near, far = (one, other) if one.top < other.top else (other, one)
        return far.top > near.top and near.start - 1.5 < far.x < near.end + 1.5
    near, far = (one, other) if one.top < other.top else (other, one)
    # The farther one's leader passes the nearer one's rows.
    return near.start - 1.5 < far.x < near.end + 1.5


def spread(wanted: Sequence[float], heights: Sequence[float], *, least: float, most: float) -> list[float]:
    """Upper ends of blocks of those heights, each with its middle near where it is wanted, in that order, none on another.

    `wanted` must rise. What does not fit between least and most runs over most.
    """
    tops: list[float] = []
    at = least
    for middle, height in zip(wanted, heights, strict=True):
        at = max(at, middle - height / 2)
        tops.append(at)
        at += height + 3
    end = most
    for number in reversed(range(len(tops))):
        if tops[number] + heights[number] <= end:
            break
        tops[number] = max(end - heights[number], least)
        end = tops[number] - 3
    return tops if _is_apart(tops, heights) else _packed(heights, least)


def _is_apart(tops: Sequence[float], heights: Sequence[float]) -> bool:
    return all(upper + high <= lower for upper, high, lower in zip(tops, heights, tops[1:], strict=False))


def _packed(heights: Iterable[float], least: float) -> list[float]:
    tops, at = [], least
    for height in heights:
        tops.append(at)
        at += height + 2
    return tops
