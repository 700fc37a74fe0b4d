"""What a clinician says of one foot."""

from dataclasses import dataclass


@dataclass(frozen=True)
class FittingNote:
    """Something found on one foot at a fitting, and what is to be done about it."""

    side: str
    place: str
    found: str
    to_do: str = ""


@dataclass(frozen=True)
class FootReview:
    """The skin and the shoe of one foot at a review."""

    side: str
    skin: str
    shoe: str = ""
