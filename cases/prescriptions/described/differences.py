"""What differs between two versions, or between the two feet of one, part by part in words."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cases.prescriptions.described.shape import FootInWords, PartInWords, mm
from cases.prescriptions.models import Prescription

NOT_PRESCRIBED = "not prescribed"


@dataclass(frozen=True)
class LineDifference:
    """One value that is not what it was."""

    label: str
    was: str
    now: str


@dataclass(frozen=True)
class PartDifference:
    """What differs in one part. `side` is empty where it concerns the pair as a whole; `part` is the part's key."""

    side: str
    part: str
    name: str
    lines: tuple[LineDifference, ...]


def between_feet(old: Iterable[FootInWords], new: Iterable[FootInWords]) -> tuple[PartDifference, ...]:
    """What differs foot by foot, LEFT first, in the order in which the parts are read."""
    was = {foot.side: foot for foot in old}
    now = {foot.side: foot for foot in new}
    found: list[PartDifference] = []
    for side in sorted(was.keys() | now.keys()):
        nothing = FootInWords(side=side, visible=(), closed_in=(), underfoot=())
        found += _of_a_foot(side, was.get(side, nothing), now.get(side, nothing))
    return tuple(found)


def of_the_pair(old: Prescription, new: Prescription) -> tuple[PartDifference, ...]:
    """What differs in what is said once for both shoes."""
    lines = (*_lines(pair_in_words(old), pair_in_words(new)), *_lines(order_in_words(old), order_in_words(new)))
    return (PartDifference(side="", part="pair", name="The pair", lines=lines),) if lines else ()


def pair_in_words(prescription: Prescription) -> PartInWords:
    """What is said once for both shoes. The construction stands with the visible part of each foot."""
    limit, months = prescription.shoe_weight_limit_g, prescription.review_months
    lines = (
        ("work", prescription.get_work_display()),
        ("on", prescription.get_feet_display()),
        ("for", prescription.purpose),
        ("the client's own shoe", prescription.own_shoe),
        ("each shoe weighs at most", "" if limit is None else f"{limit} g"),
        ("heel at most", mm(prescription.heel_limit_mm)),
        ("review planned", "" if months is None else f"{months} months after hand-over"),
        ("wear-in planned", prescription.wear_in.replace("-", " ")),
        ("trial shoe", "before the uppers" if prescription.trial_shoe else ""),
        ("remarks", prescription.remarks),
    )
    return PartInWords(part="pair", name="The pair", lines=tuple(line for line in lines if line[1]))


def order_in_words(prescription: Prescription) -> PartInWords:
    """Whose order it was, where it came from elsewhere. Not for the papers of the bench: makers build, they ask here."""
    taken_over_by = prescription.taken_over_by
    lines = (
        ("ordered by", prescription.outside_author),
        ("profession", prescription.outside_profession),
        ("ordered on", f"{prescription.ordered_on:%-d %b %Y}" if prescription.ordered_on else ""),
        ("taken over here by", taken_over_by.name if taken_over_by else ""),
    )
    return PartInWords(part="order", name="Received order", lines=tuple(line for line in lines if line[1]))


def labels_that_differ(left: PartInWords | None, right: PartInWords | None) -> tuple[str, ...]:
    """The labels of the lines in which LEFT and RIGHT are not alike."""
    return tuple(line.label for line in _lines(left, right))


def _of_a_foot(side: str, was: FootInWords, now: FootInWords) -> Iterator[PartDifference]:
    read = [part.part for part in now.parts]
    gone = [part.part for part in was.parts if part.part not in read]
    for key in read + gone:
        before, after = was.part(key), now.part(key)
        lines = _lines(before, after)
        if lines:
            part = after or before
            assert part is not None
            yield PartDifference(side=side, part=key, name=part.name, lines=lines)


def _lines(was: PartInWords | None, now: PartInWords | None) -> tuple[LineDifference, ...]:
    before, after = _by_label(was), _by_label(now)
    labels = [*after, *(label for label in before if label not in after)]
    return tuple(
        LineDifference(label=label[0], was=before.get(label, NOT_PRESCRIBED), now=after.get(label, NOT_PRESCRIBED))
        for label in labels
        if before.get(label) != after.get(label)
    )


def _by_label(part: PartInWords | None) -> dict[tuple[str, int], str]:
    """Lines by label; a label that occurs again (two reliefs in one place) is told apart by its turn."""
    seen: Counter[str] = Counter()
    lines = {}
    for label, value in part.lines if part else ():
        lines[label, seen[label]] = value
        seen[label] += 1
    return lines
