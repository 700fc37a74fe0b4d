"""The final check of one pair: what is asked of each shoe, what was measured, what differs, what they weigh."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from cases.bench.final_sheet import SETTINGS, WEIGHT_DIFFERENCE, FinalLine, lines_of
from cases.bench.models import FinalFigure, Pair, Stage, StageAfter
from cases.bench.queries.planning import unmet_needs_of
from cases.prescriptions import queries as prescriptions
from cases.prescriptions.panel import day_of
from cases.prescriptions.queries import weighed_shoes
from cases.prescriptions.shoes_of import shoes_of
from shared.sides import SIDES, Side
from workshop.figures.queries import figures_known

FINAL_CHECK = "final-check"


@dataclass(frozen=True)
class FinalSeen:
    """One line on one shoe, and what was found last; None before anybody looked."""

    stage: Stage
    line: FinalLine
    found: FinalFigure | None
    waits_for: str = ""
    """The stage that comes first, where this shoe is not ready for its final check."""

    @property
    def is_open(self) -> bool:
        return self.stage.ticked_at is None and not self.waits_for

    @property
    def name(self) -> str:
        """The stem of its fields in a form."""
        return f"{self.stage.side}-{self.line.key}"

    @property
    def says(self) -> str:
        """What was measured, with its unit; nothing where it holds by touch."""
        if self.found is None or self.found.measured is None:
            return ""
        return self.line.says(self.found.measured)


@dataclass(frozen=True)
class FinalRow:
    """One line, LEFT and RIGHT; None where that shoe has no such line."""

    words: str
    left: FinalSeen | None
    right: FinalSeen | None

    @property
    def feet(self) -> tuple[tuple[str, FinalSeen | None], ...]:
        return (("left", self.left), ("right", self.right))


@dataclass(frozen=True)
class FinalSheet:
    """Everything on the sheet. `weighed_g` by foot, the latest; `too_far_apart_g`: the two differ by more than is meant."""

    rows: tuple[FinalRow, ...]
    stages: Mapping[str, Stage]
    weighed_g: Mapping[str, int]
    too_far_apart_g: int | None
    most_apart_g: Decimal

    @property
    def seen(self) -> tuple[FinalSeen, ...]:
        return tuple(seen for row in self.rows for _, seen in row.feet if seen is not None)

    @property
    def trusted(self) -> str:
        """What all tolerances rest on; nothing where they rest on different things, and each says its own."""
        words = {seen.line.trusted for seen in self.seen if seen.line.trusted}
        return words.pop() if len(words) == 1 else ""

    @property
    def looked_at(self) -> int:
        """How many lines, of both shoes, somebody looked at."""
        return len(self.seen) - len(self.missing)

    @property
    def weights(self) -> tuple[tuple[str, int | None], ...]:
        """What each shoe of the pair weighs, in g; None where it was not weighed."""
        return tuple((side, self.weighed_g.get(side)) for side in SIDES if side in self.stages)

    @property
    def missing(self) -> tuple[FinalSeen, ...]:
        return tuple(seen for seen in self.seen if seen.found is None)

    @property
    def differs(self) -> tuple[FinalSeen, ...]:
        """What does not hold: it is handed over with the pair, each with its answer."""
        return tuple(seen for seen in self.seen if seen.found is not None and not seen.found.holds)

    @property
    def is_open(self) -> bool:
        """Whether something can be put on record: on a shoe that is finished and not ticked."""
        return any(seen.is_open for seen in self.seen)

    @property
    def is_ticked(self) -> bool:
        return all(stage.ticked_at for stage in self.stages.values())

    @property
    def waits_for(self) -> tuple[tuple[str, str], ...]:
        """The shoes that are not finished, each with the stage that comes first."""
        return tuple(dict.fromkeys((seen.stage.side, seen.waits_for) for seen in self.seen if seen.waits_for))


@dataclass(frozen=True)
class FinalTold:
    """A line of the final check that differs, with what is said to it: it is handed over with the pair."""

    side: str
    words: str
    measured: str
    answer: str
    by: str


def differs_at_the_end(pair: Pair) -> list[FinalTold]:
    """What did not hold at the final check of a pair, LEFT first. One query."""
    of_a_line = ("stage__side", "key")
    latest = FinalFigure.objects.filter(stage__pair=pair, stage__retired_at__isnull=True).select_related("stage", "by")
    return [_told(figure) for figure in latest.order_by(*of_a_line, "-pk").distinct(*of_a_line) if not figure.holds]


def _told(figure: FinalFigure) -> FinalTold:
    line = FinalLine(figure.key, figure.words, figure.unit, figure.prescribed, figure.least, figure.most)
    measured = "" if figure.measured is None else line.beside_asked(figure.measured)
    return FinalTold(figure.stage.side, figure.words, measured, figure.answer, figure.by.name)


def final_sheet(pair: Pair, *, on: date) -> FinalSheet | None:
    """The sheet of a pair that is built here to a prescription, by the tolerances of a day; None of any other.

    Seven queries: stages, what comes first, figures, the version, its figures and materials, tolerances, weights.
    """
    stages = {
        stage.side: stage
        for stage in Stage.objects.filter(pair=pair, kind__key=FINAL_CHECK, retired_at__isnull=True).select_related(
            "kind"
        )
    }
    if not stages or pair.working_to is None:
        return None
    version = prescriptions.whole(pair.working_to.uuid)
    shoes = shoes_of(version, toe_allowance_mm=day_of(on).toe_allowance_mm)
    settings = figures_known(SETTINGS, on=on)
    first = {edge.stage_id: edge.needs.kind.name for edge in _unmet(stages.values())}
    latest = {(figure.stage_id, figure.key): figure for figure in _figures(stages.values())}
    seen = {
        side: [
            FinalSeen(
                stages[side], line, latest.get((stages[side].pk, line.key)), waits_for=first.get(stages[side].pk, "")
            )
            for line in lines_of(shoes[Side(side)], settings=settings)
        ]
        for side in SIDES
        if side in stages and side in shoes
    }
    weighed_g = _weighed(pair)
    most = settings[WEIGHT_DIFFERENCE].value
    apart = abs(weighed_g["left"] - weighed_g["right"]) if len(weighed_g) == len(SIDES) else 0
    return FinalSheet(
        rows=_rows(seen),
        stages=stages,
        weighed_g=weighed_g,
        too_far_apart_g=apart if apart > most else None,
        most_apart_g=most,
    )


def _unmet(stages: Iterable[Stage]) -> Iterable[StageAfter]:
    """What comes first, the earliest in the route last, so that it is named."""
    return unmet_needs_of([stage.pk for stage in stages]).select_related("needs__kind").order_by("-needs__order")


def _figures(stages: Iterable[Stage]) -> Iterable[FinalFigure]:
    """The latest last, so that it counts."""
    return FinalFigure.objects.filter(stage__in=stages).select_related("by").order_by("pk")


def _weighed(pair: Pair) -> dict[str, int]:
    """What each shoe weighed last, in g."""
    return {shoe.side: shoe.weighed_g for shoe in reversed(weighed_shoes(pair.uuid))}


def _rows(seen: Mapping[Side, Sequence[FinalSeen]]) -> tuple[FinalRow, ...]:
    """Both shoes' lines, in the order of the one that has more of them."""
    by_key = {side: {each.line.key: each for each in lines} for side, lines in seen.items()}
    keys = [each.line.key for side in sorted(seen, key=lambda side: -len(seen[side])) for each in seen[side]]
    rows = []
    for key in dict.fromkeys(keys):
        left, right = (by_key.get(side, {}).get(key) for side in SIDES)
        either = left or right
        assert either is not None
        rows.append(FinalRow(either.line.words if _same(left, right) else _both(left, right), left, right))
    return tuple(rows)


def _same(left: FinalSeen | None, right: FinalSeen | None) -> bool:
    return left is None or right is None or left.line.words == right.line.words


def _both(left: FinalSeen | None, right: FinalSeen | None) -> str:
    """Where the feet are asked otherwise, each in its own words."""
    assert left is not None
    assert right is not None
    return f"LEFT {left.line.words}; RIGHT {right.line.words}"
