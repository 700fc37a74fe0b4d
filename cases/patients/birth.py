"""Whether a date of birth can be true."""

from datetime import date

OLDEST_YEARS = 120


def what_is_wrong_with(born_on: date, *, today: date) -> str:
    """Why nobody alive today was born on this day, as a sentence; nothing where somebody may have been."""
    if born_on > today:
        return "This date of birth is in the future."
    if born_on.year < today.year - OLDEST_YEARS:
        return f"This date of birth is more than {OLDEST_YEARS} years ago."
    return ""
