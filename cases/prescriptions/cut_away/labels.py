"""Words beside a drawing: how wide they are, how they are broken, and where they stand so that none lies on another.

Widths are in em, so that they hold for any size of type; places and rooms in units of the page.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

WHOLE = re.compile(r"(?<!×)(?<!\+) (?!mm\b|×|\+|/|\d)")
"""Where a line may be broken."""
WITH_ITS_UNIT = re.compile(r" (?!mm\b)")
_NARROW, _WIDE = "iljtf.,:;'|()/ ", "mw%▲"
ROW = 1.16
"""From one line of words to the next, in em."""
APART = 8.0
"""Between words that stand side by side: a leader passes."""


@lru_cache(maxsize=4096)
def em_of(words: str) -> float:
    """About how wide words are in a broad sans-serif type. Measured by eye on several, on the wide side."""
    narrow = sum(map(words.count, _NARROW))
    wide = sum(map(words.count, _WIDE))
    capitals = sum(map(str.isupper, words))
    return 0.36 * narrow + 0.93 * wide + 0.72 * capitals + 0.59 * (len(words) - narrow - wide - capitals)


@lru_cache(maxsize=4096)
def broken(words: str, room_em: float) -> tuple[str, ...]:
    """The words in lines that fit the room: a figure stays with its word and its unit, a word longer than the room is cut."""
    lines: list[str] = []
    for word in (part for whole in WHOLE.split(words) for part in _cut(whole, room_em)):
        if lines and em_of(f"{lines[-1]} {word}") <= room_em:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return tuple(lines)


def _cut(word: str, room_em: float) -> list[str]:
    if em_of(word) <= room_em:
        return [word]
    if " " in word:
        return WITH_ITS_UNIT.split(word)
    half = len(word) // 2
    return [f"{word[:half]}-", word[half:]]


@dataclass(frozen=True)
class Block:
    """Words in lines, each with its middle at `x`, `rows` lines away from the drawing.

    Their leader leaves at `way` and runs straight towards the drawing until no other words are beside it.
    """

    x: float
    wide: float
    rows: int
    way: float
    lines: tuple[str, ...]

    @property
    def start(self) -> float:
        return self.x - self.wide / 2

    @property
    def end(self) -> float:
        return self.x + self.wide / 2

    @property
    def low(self) -> int:
        return self.rows + len(self.lines)


def in_rows(calls: Sequence[tuple[float, str]], *, width: float, font: float) -> list[Block]:
    """Words over or under a drawing, in the order of the places they speak of; given back as they came.

    Up to three stand in one row, more in two, as bricks are laid: those further away stand over the gaps between the
    nearer ones, and their leaders pass there. No leader passes other words.
    """
    order = sorted(range(len(calls)), key=lambda each: calls[each][0])
    far = [order[at] for at in range(1, len(order) - 1, 2)] if len(order) > 3 else []
    near = [each for each in order if each not in far]
    nearer = _row([calls[each] for each in near], rows=0, width=width, font=font)
    found = dict(zip(near, nearer, strict=True))
    if far:
        gaps = [(one.end + other.start) / 2 for one, other in pairwise(nearer)]
        rows = max(len(each.lines) for each in nearer)
        wanted = [(gap, calls[each][1]) for gap, each in zip(gaps, far, strict=False)]
        for each, gap, block in zip(far, gaps, _row(wanted, rows=rows, width=width, font=font), strict=False):
            found[each] = Block(block.x, block.wide, rows, gap, block.lines)
    return [found[each] for each in range(len(calls))]


def _row(calls: Sequence[tuple[float, str]], *, rows: int, width: float, font: float) -> list[Block]:
    """Side by side, each as near to its place as the others let it."""
    if not calls:
        return []
    room = (width - APART * (len(calls) - 1)) / len(calls)
    lines = [broken(says, room / font) for _, says in calls]
    wide = [font * max(map(em_of, each)) for each in lines]
    wanted = [x for x, _ in calls]
    starts = spread(wanted, wide, least=0.0, most=width, apart=APART)
    return [
        Block(start + across / 2, across, rows, start + across / 2, words)
        for start, across, words in zip(starts, wide, lines, strict=True)
    ]


def spread(
    wanted: Sequence[float], sizes: Sequence[float], *, least: float, most: float, apart: float = 3.0
) -> list[float]:
    """Beginnings of stretches of those sizes, each with its middle near where it is wanted, in order, none on another.

    `wanted` must rise. What does not fit between least and most runs over most.
    """
    starts: list[float] = []
    at = least
    for middle, size in zip(wanted, sizes, strict=True):
        at = max(at, middle - size / 2)
        starts.append(at)
        at += size + apart
    end = most
    for number in reversed(range(len(starts))):
        if starts[number] + sizes[number] <= end:
            break
        starts[number] = max(end - sizes[number], least)
        end = starts[number] - apart
    is_apart = all(one + size <= other for one, size, other in zip(starts, sizes, starts[1:], strict=False))
    return starts if is_apart else _packed(sizes, least)


def _packed(sizes: Sequence[float], least: float) -> list[float]:
    starts, at = [], least
    for size in sizes:
        starts.append(at)
        at += size + 2
    return starts
