"""What a person types to find a client, and what a client is found by, brought to the same plain letters.

A client is found by any part of a name, by record number, by digits of a telephone number, and by date of birth in the
forms in which people say one: 12/03/1950, 12.3.50, 12 3 1950, 12 March 1950, 1950-03-12, 12031950; or by its year, or
by the two digits of its day or year. The day comes before the month.
"""

import contextlib
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

SHORTEST_SEARCH = 2
"""Letters or digits needed before anything is looked for."""

LONGEST_SEARCH = 100
MOST_WORDS = 8

_LETTERS_WITHOUT_ACCENT = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ħ": "h", "ŧ": "t", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th", "ß": "ss"}
)
_APOSTROPHES = str.maketrans("", "", "'’‘ʼ`´")
_DAY_FIRST = re.compile(r"([0-9]{1,2})([./-])([0-9]{1,2})(?:\2([0-9]{0,4}))?")
_YEAR_FIRST = re.compile(r"([0-9]{4})([./-])([0-9]{1,2})(?:\2([0-9]{1,2})?)?")
_TWO_DIGITS = re.compile(r"[0-9]{2}")
_YEAR = re.compile(r"(?:18|19|20)[0-9]{2}")
_PARTED_BY_SPACES = re.compile(r"\s*([0-9]{1,2})\s+(0?[1-9]|1[0-2])\s+([0-9]{4}|[0-9]{2})\s*")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH_BY_NAME = re.compile(
    rf"(?<!\S)([0-9]{{1,2}})\s+({'|'.join(_MONTHS)})[a-z]*\.?(?:\s+([0-9]{{4}}|[0-9]{{2}}))?(?!\S)", re.IGNORECASE
)
_EIGHT_DIGITS = re.compile(r"([0-9]{2})([0-9]{2})([0-9]{4})")


@dataclass(frozen=True)
class Word:
    """One word of a search. A client matches who has `needle` in the search text, or was born as one entry says."""

    needle: str
    born_on: tuple[date, ...] = ()
    day_and_month: tuple[int, int] | None = None
    month_and_year: tuple[int, int] | None = None
    day: int | None = None
    years: tuple[int, ...] = ()


def fold(text: str) -> str:
    """Plain lower-case letters and digits, without accents or marks; anything else parts two words."""
    # Twice, since a letter may become two when its case is lowered, one of them an accent.
    for _ in range(2):
        text = unicodedata.normalize("NFKD", text.translate(_APOSTROPHES)).casefold().translate(_LETTERS_WITHOUT_ACCENT)
        text = "".join(letter for letter in text if not unicodedata.combining(letter))
    return " ".join("".join(letter if letter.isalnum() else " " for letter in text).split())


def digits(text: str) -> str:
    """The digits 0 to 9 of a text, nothing between them."""
    return "".join(letter for letter in text if letter in "0123456789")


def search_text(*, given_names: str, family_name: str, record_number: str, phone: str) -> str:
    """What a client is found by, family name first. The date of birth is compared as a date instead."""
    parts = (fold(family_name), fold(given_names), fold(record_number), digits(phone))
    return " ".join(part for part in parts if part)


def words(text: str) -> tuple[Word, ...]:
    """The words of a search, all of which must match; none where too little was typed to look for."""
    text = text[:LONGEST_SEARCH]
    if len(fold(text).replace(" ", "")) < SHORTEST_SEARCH:
        return ()
    found: list[Word] = []
    for typed in _dates_in_one_word(text).split():
        found.extend(_as_date(typed) or (Word(needle=part) for part in fold(typed).split()))
    return tuple(found[:MOST_WORDS])


def _dates_in_one_word(text: str) -> str:
    """Brings 12 March 1950 and 12 3 1950 to 12/3/1950. Figures alone only where nothing else stands beside them."""
    if match := _PARTED_BY_SPACES.fullmatch(text):
        return "/".join(match.groups())

    def in_figures(match: re.Match[str]) -> str:
        day, month, year = match.groups(default="")
        return f"{day}/{_MONTHS.index(month.casefold()) + 1}/{year}"

    return _MONTH_BY_NAME.sub(in_figures, text)


def _as_date(typed: str) -> list[Word]:
    """The word as a date of birth or the beginning of one; nothing where it is neither.

    What looks like a date may as well be a record number or part of a telephone number.
    """
    needle = fold(typed)
    if typed.isdecimal():
        return _as_part_of_a_date(typed, needle=needle)
    if match := _DAY_FIRST.fullmatch(typed):
        day, _, month, year = match.groups(default="")
        years = {4: [year], 2: [f"19{year}", f"20{year}"]}.get(len(year), [])
        # While a year is being typed it is not yet one: 12/03/19 may be on its way to 1950.
        unfinished = not years or year in {"19", "20"}
        return [
            Word(
                needle=needle,
                born_on=_days((day, month, each) for each in years),
                day_and_month=(int(day), int(month)) if unfinished else None,
            )
        ]
    if match := _YEAR_FIRST.fullmatch(typed):
        year, _, month, day = match.groups(default="")
        if not day:
            return [Word(needle=needle, month_and_year=(int(month), int(year)))]
        return [Word(needle=needle, born_on=_days([(day, month, year)]))]
    return []


def _as_part_of_a_date(typed: str, *, needle: str) -> list[Word]:
    """Digits alone as a day, a year or a whole date of birth; nothing where they are none of these."""
    if _TWO_DIGITS.fullmatch(typed):
        return [Word(needle=needle, day=int(typed), years=(1900 + int(typed), 2000 + int(typed)))]
    if _YEAR.fullmatch(typed):
        return [Word(needle=needle, years=(int(typed),))]
    if match := _EIGHT_DIGITS.fullmatch(typed):
        return [Word(needle=needle, born_on=_days([match.groups()]))]
    return []


def _days(candidates: Iterable[Sequence[str]]) -> tuple[date, ...]:
    """Those of the candidates (day, month, year) that are in the calendar."""
    days = []
    for day, month, year in candidates:
        with contextlib.suppress(ValueError):
            days.append(date(int(year), int(month), int(day)))
    return tuple(days)
