"""What became of a last since the stage of altering it came again."""

from dataclasses import dataclass

from cases.bench.models import Stage
from cases.lasts.models import Last
from cases.lasts.queries import is_changed_after, with_agreement
from cases.prescriptions.models import Foot
from shared.models import HistoryEntry


@dataclass(frozen=True)
class LastComeAgain:
    """A last with `is_agreed`; `is_another_state` where it counted up since, or is another last than the one tried."""

    last: Last
    is_another_state: bool


def last_when_it_came_again(stage: Stage) -> LastComeAgain | None:
    """The last that the pair's version names for the foot of this stage. None where it names none, or none was tried.

    An earlier round that was planned anew before anybody ticked it altered nothing: the last ticked one counts.
    """
    tried = (
        Stage.objects.filter(
            pair=stage.pair_id, kind=stage.kind_id, side=stage.side, retired_at__isnull=False, ticked_at__isnull=False
        )
        .order_by("-round")
        .first()
    )
    if tried is None:
        return None
    feet = Foot.objects.filter(prescription__in=[stage.asked_by_id, tried.asked_by_id], side=stage.side)
    named = {foot.prescription_id: foot.last_id for foot in feet}
    asked = [last for version, last in named.items() if version == stage.asked_by_id and last is not None]
    last = with_agreement(Last.objects.filter(pk__in=asked)).first()
    if last is None:
        return None
    is_another = any(other != last.pk for other in named.values())
    return LastComeAgain(last, is_another or is_changed_after(last, deed=_retired_by(tried)))


def _retired_by(stage: Stage) -> int:
    """The deed that let it come again: order of entry, for a moment may be keyed in later."""
    entries = HistoryEntry.objects.filter(table_name=Stage._meta.db_table, row_id=stage.pk, after__has_key="retired_at")
    return entries.latest("pk").deed_id
