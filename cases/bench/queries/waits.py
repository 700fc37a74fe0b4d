"""What is not yet dry, set or cured, or not yet long enough on the last."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from cases.bench.models import Stage, StageAfter
from cases.bench.wording import feet_words, when_words
from shared.workings import Status, Workings

ON_THE_LAST = "on the last"


@dataclass(frozen=True)
class Wait:
    """A stage that was done, the word for what it does now, and until when."""

    stage: Stage
    until: datetime
    word: str

    @property
    def is_drying(self) -> bool:
        """True where feeling it settles the question; false for days on the last."""
        return self.word != ON_THE_LAST

    @property
    def workings(self) -> Workings:
        """From the tick, by the hours of the stage and the season; or by the least days on the last."""
        begun = self.stage.ticked_at or self.until
        span_h = (self.until - begun) / timedelta(hours=1)
        inputs = [("ticked", f"{timezone.localtime(begun):%a %-d %b %H:%M}")]
        if self.is_drying:
            inputs += [
                ("hours after this stage", f"{self.stage.hours_after.normalize():f} h"),
                ("season factor", f"{span_h / float(self.stage.hours_after):.2f}"),
            ]
            standing = self.stage.kind.get_hours_standing_display()
        else:
            inputs += [("least time on the last", f"{span_h / 24:.0f} days")]
            standing = "common practice, no source"
        return Workings(
            name=f"{self.stage.kind.name}: {self.word} until",
            result=f"{self.word} until {when_words(self.until, now=begun)}",
            formula="ticked + hours × season factor" if self.is_drying else "ticked + least days on the last",
            inputs=tuple(inputs),
            source=standing,
            status=Status.WORKSHOP_SETTING,
            cautions=("A floor for planning: feel it. Leather that feels dry may be worked.",)
            if self.is_drying
            else (),
        )


def hours(value: Decimal) -> timedelta:
    """A span of so many hours."""
    return timedelta(seconds=round(float(value) * 3600))


def waits_before(edges: Iterable[StageAfter], moment: datetime) -> list[Wait]:
    """What these edges wait for at a moment. Edges come with the stage they need and its kind."""
    found: list[Wait] = []
    for edge in edges:
        needed = edge.needs
        if needed.retired_at or needed.ticked_at is None:
            continue
        if needed.dry_at and needed.dry_at > moment and needed.felt_dry_at is None and not edge.started_is_enough:
            found.append(Wait(needed, needed.dry_at, needed.kind.waiting_word))
        until = needed.ticked_at + hours(edge.hours_between)
        if until > moment:
            found.append(Wait(needed, until, ON_THE_LAST))
    return found


def longest(waits: Iterable[Wait]) -> Wait | None:
    return max(waits, key=lambda wait: wait.until, default=None)


def waits_words(waits: Iterable[Wait], *, now: datetime) -> str:
    """The longest wait as a sentence: 'Last the backs', LEFT and RIGHT, drying until Wed 08:00."""
    waits = list(waits)
    last = longest(waits)
    if last is None:
        return ""
    sides = feet_words(wait.stage.side for wait in waits if wait.stage.kind_id == last.stage.kind_id)
    return f"'{last.stage.kind.name}', {sides}, {last.word} until {when_words(last.until, now=now)}"
