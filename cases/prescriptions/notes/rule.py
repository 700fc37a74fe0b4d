"""What a note is, what it is worked out from, and how a rule is written down.

A note is a question to the prescriber, never a block. Pure.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from cases.prescriptions.rigidity import Labels
from cases.prescriptions.shoe import Shoe
from shared.sides import Side
from shared.workings import Status

CONVENTION = "common practice, no source"
MEMORY = "from memory"
FIGURE_IN_KG = re.compile(r"(\d{2,3}(?:[.,]\d)?)\s*kg\b", re.IGNORECASE)


@dataclass(frozen=True)
class Found:
    """A finding that holds: its condition by the key of the closed list, its side (None for the person), its words."""

    condition: str
    side: Side | None = None
    place: str = ""
    flexibility: str = ""
    note: str = ""


@dataclass(frozen=True)
class Wearer:
    """What is known of the person who will wear the pair."""

    findings: tuple[Found, ...] = ()
    hands: str = "unknown"
    diabetes: str = "unknown"
    allergies: tuple[str, ...] = ()
    """Substances, as they were recorded."""
    screening_level: int | None = None
    screening_months_max: int | None = None
    review_months: int | None = None
    """How many months after hand-over a review is planned; None where none is."""
    wear_in: str = ""
    """Key of the wear-in table that is planned."""
    weight_limit_g: float | None = None
    heel_limit_mm: float | None = None

    def found(self, *conditions: str, side: Side) -> list[Found]:
        """What was found of these conditions on one foot, or of the person as a whole."""
        return [each for each in self.findings if each.condition in conditions and each.side in {side, None}]

    def has(self, *conditions: str, side: Side) -> bool:
        return bool(self.found(*conditions, side=side))

    @property
    def weighs_kg(self) -> float | None:
        """The latest figure in kg that was written down with the body weight; None where there is none."""
        said = [each.note for each in self.findings if each.condition == "body_weight"]
        figures = [found[1] for note in said if (found := FIGURE_IN_KG.search(note))]
        return float(figures[-1].replace(",", ".")) if figures else None

    @property
    def has_help(self) -> bool:
        """Somebody else puts the shoes on."""
        said = [each.note.strip().casefold() for each in self.findings if each.condition == "who_dresses"]
        return any(note and not note.startswith("self") for note in said)


@dataclass(frozen=True)
class Limits:
    """The workshop's figures that notes compare with; each is a dated setting of the same name."""

    heel_to_pitch_difference_mm: float = 5
    toe_depth_over_deformed_mm: float = 8
    stiffener_left_behind_heel_mm: float = 40
    shank_behind_joint_least_mm: float = 8
    rocker_sole_note_above_mm: float = 30
    weight_difference_g: float = 80
    heel_height_at_risk_most_mm: float = 20
    carbon_plies_least: float = 4
    carbon_plies_rigid_heavy: float = 6


@dataclass(frozen=True)
class Weighed:
    """The estimate of one shoe in g: it may be as light as `low` and as heavy as `high`."""

    low_g: float
    middle_g: float
    high_g: float


@dataclass(frozen=True)
class Question:
    """Everything a rule may look at, for one foot. `fellow` is the other shoe, where there is one."""

    shoe: Shoe
    wearer: Wearer
    limits: Limits = Limits()
    fellow: Shoe | None = None
    weighed: Weighed | None = None
    fellow_weighed: Weighed | None = None
    forepart: Labels | None = None
    """What the forepart comes to as prescribed; None where nothing is known of its layers."""

    @property
    def side(self) -> Side:
        return self.shoe.side

    def has(self, *conditions: str) -> bool:
        return self.wearer.has(*conditions, side=self.side)


@dataclass(frozen=True)
class Note:
    """One note on one foot: what it asks, why, and how far that may be trusted."""

    rule: str
    side: Side
    sentence: str
    reason: str
    source: str
    status: Status


Asks = Callable[[Question], Iterable[str]]


@dataclass(frozen=True)
class Rule:
    """A small rule. `asks` gives its sentence, once for each thing that is wrong; none where all is well."""

    key: str
    words: str
    reason: str
    source: str
    status: Status
    asks: Asks

    def notes(self, question: Question) -> Iterator[Note]:
        for sentence in self.asks(question):
            yield Note(self.key, question.side, sentence, self.reason, self.source, self.status)


def rule(
    key: str, words: str, *, reason: str, source: str = CONVENTION, status: Status = Status.WORKSHOP_SETTING
) -> Callable[[Asks], Rule]:
    """Write a function down as a rule. `words` name it where a workshop switches it off."""

    def write_down(asks: Asks) -> Rule:
        return Rule(key, words, reason, source, status, asks)

    return write_down
