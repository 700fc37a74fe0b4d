"""The final check of a finished shoe: line by line it holds, or it is measured; what differs is answered in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction

from cases.bench import queries
from cases.bench.actions.locking import lock_open_pair, refuse_older_version
from cases.bench.models import FinalFigure, Pair, Stage
from cases.bench.queries import FinalSeen
from cases.bench.wording import stages_words
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


@dataclass(frozen=True)
class FinalEntry:
    """What is said of one line on one shoe: a figure that was `measured`, or by touch that it holds; its `answer`."""

    seen: FinalSeen
    measured: Decimal | None = None
    answer: str = ""

    @property
    def holds(self) -> bool:
        """Whether it is as prescribed. What is only looked at holds unless words say otherwise."""
        if self.measured is not None:
            return self.seen.line.holds(self.measured)
        return not self.answer.strip()

    @property
    def says(self) -> str:
        """LEFT pitch measured 8°, prescribed 5° (4 to 6°): what is said to it."""
        line, foot = self.seen.line, Side(self.seen.stage.side).label
        what = f"{foot} {line.words}"
        if self.measured is not None:
            what += f" {line.beside_asked(self.measured)}"
        return f"{what}: {self.answer.strip()}" if self.answer.strip() else what


@transaction.atomic
def record_final(pair: Pair, entries: Sequence[FinalEntry], *, by: Person, at: datetime) -> list[FinalFigure]:
    """Put lines of the final check on record. Raises `Refused` where one differs and nothing is said to it."""
    pair = lock_open_pair(pair)
    refuse_older_version(pair)
    _refuse_what_cannot_be(entries)
    differs = [entry for entry in entries if not entry.holds]
    held = len(entries) - len(differs)
    says = ". ".join([*(entry.says for entry in differs), f"{held} of {len(entries)} hold"])
    with acting(
        by=by,
        action="record_final",
        says=f"Final check: {says}.",
        at=at,
        patient=pair.patient.uuid,
        pair=pair.uuid,
    ):
        return [_write(entry, by=by, at=at) for entry in entries]


def refuse_unlooked(pair: Pair, stages: Sequence[Stage], *, on: date) -> None:
    """Raises `Refused` where the final check of a shoe is to be ticked before every line of its sheet was looked at."""
    last = {stage.pk for stage in stages if stage.kind.key == queries.FINAL_CHECK}
    sheet = queries.final_sheet(pair, on=on) if last else None
    missing = [seen for seen in sheet.missing if seen.stage.pk in last] if sheet else []
    if missing:
        first = f"{Side(missing[0].stage.side).label} {missing[0].line.words}"
        more = f" and {len(missing) - 1} more" if len(missing) > 1 else ""
        raise Refused(f"The sheet of the final check is not complete: {first}{more}.")


def _refuse_what_cannot_be(entries: Sequence[FinalEntry]) -> None:
    if not entries:
        raise Refused("Nothing was marked.")
    stages = {entry.seen.stage.pk: entry.seen.stage for entry in entries}
    done = [stage for stage in stages.values() if stage.ticked_at]
    if done:
        raise Refused(f"{stages_words(done)}, is ticked: take back its tick first.")
    edge = queries.unmet_needs_of(list(stages)).select_related("needs__kind").first()
    if edge is not None:
        raise Refused(f"Too early to check: first comes {stages_words([edge.needs])}.")
    for entry in entries:
        if not entry.holds and not entry.answer.strip():
            raise Refused(f"{entry.says}. It differs: say what is to be said to it.")


def _write(entry: FinalEntry, *, by: Person, at: datetime) -> FinalFigure:
    line = entry.seen.line
    return FinalFigure.objects.create(
        stage=entry.seen.stage,
        key=line.key,
        words=line.words,
        unit=line.unit,
        prescribed=line.prescribed,
        least=line.least,
        most=line.most,
        measured=entry.measured,
        holds=entry.holds,
        answer=entry.answer.strip(),
        by=by,
        at=at,
    )
