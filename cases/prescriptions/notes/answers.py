"""Notes and what was answered to them. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from cases.prescriptions.notes.rule import Note
from shared.sides import Side


@dataclass(frozen=True)
class Answered:
    """Why something stays although a note asks. `before`: the answer came with an earlier version, or the last pair."""

    rule: str
    side: Side
    sentence: str
    because: str
    by: str
    before: bool = False


@dataclass(frozen=True)
class Asked:
    """A note, and its answer where one was given to this very question."""

    note: Note
    answer: Answered | None

    @property
    def is_open(self) -> bool:
        return self.answer is None


def with_answers(notes: Iterable[Note], answers: Iterable[Answered]) -> tuple[Asked, ...]:
    """Each note with its answer. A question whose figures changed is another question: it is asked anew."""
    given: Mapping[tuple[str, Side, str], Answered] = {
        (answer.rule, answer.side, answer.sentence): answer for answer in answers
    }
    return tuple(Asked(note, given.get((note.rule, note.side, note.sentence))) for note in notes)
