"""How far a stiffener reaches forward: short, medium and long as parts of the way from heel to joint."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from shared.workings import Status, Workings

WORDS = ("short", "medium", "long")
WHOLE_MM = Decimal(1)


@dataclass(frozen=True)
class ReachSettings:
    """The workshop's reaches as parts of the arc, and how far a long one stays behind the joint line.

    `source` says how far the figures may be trusted.
    """

    short: Decimal
    medium: Decimal
    long: Decimal
    long_behind_joint_mm: Decimal
    source: str

    def part_of_arc(self, word: str) -> Decimal:
        return {"short": self.short, "medium": self.medium, "long": self.long}[word]


@dataclass(frozen=True)
class Arcs:
    """From centre back to the joint line on each side of one foot, in mm; None where it was not measured."""

    medial_mm: Decimal | None = None
    lateral_mm: Decimal | None = None
    taken: str = ""
    """Which measures these are, in words."""

    def of(self, edge: str) -> Decimal | None:
        return self.medial_mm if edge == "medial" else self.lateral_mm


def reach_mm(word: str, *, arc_mm: Decimal, settings: ReachSettings) -> Decimal:
    """The reach in whole mm along the feather edge from centre back.

    A part of the arc to the joint line of the same side; a long one also stops short of the joint line. The parts are
    common practice, without a source. Raises `KeyError` for a word that names no length.
    """
    reach = settings.part_of_arc(word) * arc_mm
    if word == "long":
        reach = min(reach, arc_mm - settings.long_behind_joint_mm)
    return reach.quantize(WHOLE_MM, rounding=ROUND_HALF_UP)


def reach_workings(word: str, *, edge: str, arcs: Arcs, settings: ReachSettings) -> Workings | None:
    """The same with its workings, or None where the arc of this side was not measured."""
    arc_mm = arcs.of(edge)
    if arc_mm is None:
        return None
    joint = "1st joint" if edge == "medial" else "5th joint"
    formula = "part × arc"
    inputs = [("arc", f"{_plain(arc_mm)} mm, heel to {joint}"), ("part", _plain(settings.part_of_arc(word)))]
    if word == "long":
        formula += ", and never nearer to the joint line than it may come"
        inputs.append(("behind the joint line at least", f"{_plain(settings.long_behind_joint_mm)} mm"))
    return Workings(
        name=f"{edge} reach, {word}",
        result=f"{word} {_plain(reach_mm(word, arc_mm=arc_mm, settings=settings))} mm",
        formula=formula,
        inputs=(*inputs, ("measures", arcs.taken)),
        source=settings.source,
        status=Status.WORKSHOP_SETTING,
        cautions=("The length measured from heel to joint is taken for the arc along the feather edge.",),
    )


def filled_in(
    typed_mm: Decimal | None,
    *,
    word: str,
    before_word: str,
    before_mm: Decimal | None,
    arc_mm: Decimal | None,
    settings: ReachSettings,
) -> Decimal | None:
    """The mm to keep for a chosen word: as typed; worked out where none was typed, or the word alone was changed."""
    if word not in WORDS:
        return None
    word_alone_changed = word != before_word and typed_mm == before_mm
    if arc_mm is None or (typed_mm is not None and not word_alone_changed):
        return typed_mm
    return reach_mm(word, arc_mm=arc_mm, settings=settings)


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"
