"""Building the invented pairs: stages ticked in working time, with their checks, up to the point a pair has reached."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone

from cases.bench import actions, queries
from cases.bench.final_sheet import FinalLine
from cases.bench.measured import AskedFigure
from cases.bench.models import CoverRequirement, Pair, Stage
from demo.calendar import in_working_time
from workshop.staff.models import Person

SHARE_OF_THE_TIME = 0.5
"""Drying, nights and the client's wait take the rest."""
READ_OFF = tuple(Decimal(part) for part in ("0", "0.34", "-0.34", "0", "0.67", "0", "-0.34"))
"""How far a measured figure lies from the prescribed one, as a part of its tolerance."""
MEASURED_FINALLY = frozenset({"heel", "raise_heel", "raise_joint", "raise_toe", "pitch"})
WHOLE_ABOVE_MM = 30
"""Longer figures are read off the tape in whole mm."""


@dataclass
class Bench:
    """The makers at work on one pair. `clock` is when the last of them put it down."""

    pair: Pair
    makers: Sequence[Person]
    clock: datetime
    now: datetime
    rest: timedelta = timedelta(0)
    """How long the pair lies between two stages: other pairs have their turn."""
    _turn: int = 0
    _read: int = 0

    def work_until(self, stage_key: str | None) -> str | None:
        """Tick every stage before the one named, or all where none is named. Gives the stage where work stopped.

        Work stops at a stage that is done at a visit. Raises `ValueError` where the stages named do not fit into the
        time since the pair was opened.
        """
        while stages := self.next_stages():
            key: str = stages[0].kind.key
            if key == stage_key or stages[0].kind.by_visit:
                return key
            self.tick(stages)
            if self.clock > self.now:
                raise ValueError(f"{self.pair} cannot have got past {key} by now: it was opened too late.")
        return None

    def tick(self, stages: Sequence[Stage], *, at: datetime | None = None) -> None:
        """Record what these stages wait for as prescribed, and tick them."""
        ready_at = at or self._ready_at(stages)
        maker = self._maker()
        requirements = self.requirements(stages)
        if requirements:
            actions.record_found([self.found(asked) for asked in requirements], by=maker, at=ready_at)
        if stages[0].kind.key == queries.FINAL_CHECK:
            self.look_finally(stages, by=maker, at=ready_at)
        actions.tick_stages(self.pair, stages=stages, by=maker, at=ready_at)
        self.clock = ready_at

    def found(self, asked: CoverRequirement, differs: str = "") -> actions.Found:
        """A check with what the tape read, invented: near what is prescribed, and within its tolerance."""
        measured = {}
        for row in asked.measured:
            figure = AskedFigure.of(row)
            self._read += 1
            off = READ_OFF[self._read % len(READ_OFF)] * (figure.most - figure.least) / 2
            measured[figure.label] = round(figure.prescribed + off, 0 if figure.prescribed > WHOLE_ABOVE_MM else 1)
        return actions.Found(asked, differs, measured)

    def look_finally(self, stages: Sequence[Stage], *, by: Person, at: datetime) -> None:
        """Go through the sheet of the final check: heel and raise are measured, invented; the rest holds by touch."""
        sheet = queries.final_sheet(self.pair, on=timezone.localdate(at))
        if sheet is None:
            return
        chosen = {stage.pk for stage in stages}
        entries = [
            actions.FinalEntry(seen, self._measured_finally(seen.line))
            for seen in sheet.missing
            if seen.stage.pk in chosen
        ]
        actions.record_final(self.pair, entries, by=by, at=at)

    def _measured_finally(self, line: FinalLine) -> Decimal | None:
        if line.prescribed is None or line.key not in MEASURED_FINALLY:
            return None
        self._read += 1
        return line.prescribed + READ_OFF[self._read % len(READ_OFF)].quantize(Decimal(1))

    def spread(self, stage_key: str | None, *, until: datetime) -> None:
        """Let the work up to a stage, or to the end, fill most of the time there is."""
        keys = list(dict.fromkeys(self._unticked().values_list("kind__key", flat=True)))
        stages = keys.index(stage_key) if stage_key in keys else len(keys)
        self.rest = (until - self.clock) * SHARE_OF_THE_TIME / (stages + 1)

    def requirements(self, stages: Sequence[Stage]) -> list[CoverRequirement]:
        """The checks that these stages still wait for."""
        return list(
            CoverRequirement.objects.filter(stage__in=stages)
            .exclude(checks__withdrawn_at__isnull=True, checks__isnull=False)
            .select_related("stage__pair__patient", "stage__kind")
        )

    def next_stages(self) -> list[Stage]:
        """The stage of each foot that comes next, unticked."""
        live = list(self._unticked())
        return [stage for stage in live if stage.kind_id == live[0].kind_id] if live else []

    def _unticked(self) -> QuerySet[Stage]:
        return (
            Stage.objects.filter(pair=self.pair, retired_at__isnull=True, ticked_at__isnull=True)
            .select_related("kind", "pair__patient")
            .order_by("order", "side")
        )

    def _ready_at(self, stages: Sequence[Stage]) -> datetime:
        """When these stages are done: in working time, or on the weekend before today where that is all there was."""
        dry_at = self._dry(stages)
        ready_at = in_working_time(max(self.clock + self.rest, dry_at))
        return ready_at if ready_at <= self.now else dry_at

    def _dry(self, stages: Sequence[Stage]) -> datetime:
        waits = [
            edge.needs.ticked_at + timedelta(hours=float(edge.hours_between))
            for stage in stages
            for edge in stage.after.select_related("needs")
            if edge.needs.ticked_at is not None
        ]
        dries = [
            edge.needs.dry_at
            for stage in stages
            for edge in stage.after.select_related("needs")
            if edge.needs.dry_at is not None
        ]
        return max([self.clock, *waits, *dries])

    def _maker(self) -> Person:
        self._turn += 1
        return self.makers[self._turn % len(self.makers)]
