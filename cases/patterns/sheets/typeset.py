"""How much room words take in the papers' type, and where a line of them ends."""

from collections.abc import Sequence
from functools import lru_cache

LINE_HIGH = 1.3
"""From line to line, as a part of the height of the type."""
NARROWER = (0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.55)
"""Parts of a line's length that are tried where they cost no further line: so the lines are even."""

_EMS = {**dict.fromkeys("ijlI'|", 0.3), **dict.fromkeys("ftr.,:;()[]/- ·", 0.4), **dict.fromkeys("mMW@%+=×−", 1.0)}
_CAPITAL_EMS, _OTHER_EMS = 0.75, 0.63
_BOLD = 1.1


@lru_cache(maxsize=4096)
def width_of(says: str, *, size_mm: float, is_bold: bool = False) -> float:
    """How long a word is set in the papers' type, in mm: by classes of letters, rather too long than too short."""
    ems = sum(_EMS.get(letter, _CAPITAL_EMS if letter.isupper() else _OTHER_EMS) for letter in says)
    return size_mm * ems * (_BOLD if is_bold else 1.0)


def wrapped(says: str, wide: float, *, size_mm: float, is_bold: bool) -> list[str]:
    """In as few lines as may be, and those as even as may be."""
    words = _unparted(says)
    widths = [width_of(word, size_mm=size_mm, is_bold=is_bold) for word in words]
    space = width_of(" ", size_mm=size_mm, is_bold=is_bold)
    found = _filled(widths, space, wide)
    for narrower in NARROWER:
        tried = _filled(widths, space, wide * narrower)
        if len(tried) > len(found) or max(widths) > wide * narrower:
            break
        found = tried
    return [" ".join(words[start:end]) for start, end in found]


def _filled(widths: Sequence[float], space: float, wide: float) -> list[tuple[int, int]]:
    """Where each line begins and ends, filled from the first to the last."""
    lines, start, used = [], 0, widths[0]
    for at in range(1, len(widths)):
        if used + space + widths[at] > wide:
            lines.append((start, at))
            start, used = at, widths[at]
        else:
            used += space + widths[at]
    return [*lines, (start, len(widths))]


def _unparted(says: str) -> list[str]:
    """The words between which a line may end: a figure stays with its unit, a point in the middle with what it follows."""
    words: list[str] = []
    for word in says.split():
        is_kept = bool(words) and (word == "·" or (word.startswith(("mm", "°", "g/")) and words[-1][-1].isdigit()))
        if is_kept:
            words[-1] += f" {word}"
        else:
            words.append(word)
    return words
