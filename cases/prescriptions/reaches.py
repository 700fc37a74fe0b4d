"""How far a stiffener reaches forward: short, medium and long as parts of the way from heel to joint."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from shared.sides import Edge
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
    """Along the feather edge from centre back to the joint on each side of one foot, in mm.

    None where nobody measured where the joint lies.
    """

    medial_mm: Decimal | None = None
    lateral_mm: Decimal | None = None
    taken: str = ""
    """What they were taken from, in words."""

    def of(self, edge: Edge) -> Decimal | None:
        return self.medial_mm if edge == Edge.MEDIAL else self.lateral_mm


@dataclass(frozen=True)
class ReachWords:
    """What is chosen for the two sides of one foot: none, short, medium or long."""

    medial: str
    lateral: str

    def of(self, edge: Edge) -> str:
        return self.medial if edge == Edge.MEDIAL else self.lateral

    def arc_of(self, edge: Edge) -> Edge:
        """The side whose arc this side's reach is a part of: its own.

        A stiffener that is short on both sides is cut alike on both, by the lateral arc, so that one piece serves
        either foot (common practice, no source).
        """
        return Edge.LATERAL if self.medial == self.lateral == "short" else edge

    def rule(self, edge: Edge) -> tuple[str, Edge]:
        """What decides the reach of a side: two choices with the same rule give the same mm."""
        return self.of(edge), self.arc_of(edge)


def reach_mm(word: str, *, arc_mm: Decimal, settings: ReachSettings) -> Decimal:
    """The reach in whole mm along the feather edge from centre back.

    A part of the arc to the joint line; a long one also stops short of the joint line. The parts are common practice,
    without a source. Raises `KeyError` for a word that names no length.
    """
    reach = settings.part_of_arc(word) * arc_mm
    if word == "long":
        reach = min(reach, arc_mm - settings.long_behind_joint_mm)
    return reach.quantize(WHOLE_MM, rounding=ROUND_HALF_UP)


def worked_out(words: ReachWords, *, edge: Edge, arcs: Arcs, settings: ReachSettings) -> Decimal | None:
    """The reach of one side in whole mm; None without a stiffener on it, or where its arc was not measured."""
    word, arc_edge = words.rule(edge)
    arc_mm = arcs.of(arc_edge)
    if word not in WORDS or arc_mm is None:
        return None
    return reach_mm(word, arc_mm=arc_mm, settings=settings)


def reach_workings(words: ReachWords, *, edge: Edge, arcs: Arcs, settings: ReachSettings) -> Workings | None:
    """The same with its workings, or None where there is nothing to work out."""
    result_mm = worked_out(words, edge=edge, arcs=arcs, settings=settings)
    word, arc_edge = words.rule(edge)
    arc_mm = arcs.of(arc_edge)
    if result_mm is None or arc_mm is None:
        return None
    joint = "1st joint" if arc_edge == Edge.MEDIAL else "5th joint"
    says, formula = word, "part × arc"
    if arc_edge != edge:
        says, formula = f"{word} on both sides", f"part × {arc_edge} arc, so that it serves either foot"
    inputs = [
        ("arc", f"{_plain(arc_mm)} mm, from centre back to the {joint} along the feather edge"),
        ("part", _plain(settings.part_of_arc(word))),
    ]
    if word == "long":
        formula += ", and never nearer to the joint line than it may come"
        inputs.append(("behind the joint line at least", f"{_plain(settings.long_behind_joint_mm)} mm"))
    return Workings(
        name=f"{edge} reach, {says}",
        result=f"{says} {_plain(result_mm)} mm",
        formula=formula,
        inputs=(*inputs, ("drawn from", arcs.taken)),
        source=settings.source,
        status=Status.WORKSHOP_SETTING,
        cautions=("The feather edge is drawn from length, widths and joints: the tape on the last decides.",),
    )


def filled_in(
    typed_mm: Decimal | None,
    *,
    edge: Edge,
    words: ReachWords,
    before: ReachWords | None,
    before_mm: Decimal | None,
    arcs: Arcs,
    settings: ReachSettings,
) -> Decimal | None:
    """The mm to keep of one side: as typed; worked out where none was typed, or only what decides it was changed."""
    if words.of(edge) not in WORDS:
        return None
    choice_changed = before is None or words.rule(edge) != before.rule(edge)
    if typed_mm is not None and not (choice_changed and typed_mm == before_mm):
        return typed_mm
    found_mm = worked_out(words, edge=edge, arcs=arcs, settings=settings)
    return typed_mm if found_mm is None else found_mm


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"
