"""A pair moves on to a newer version of its prescription."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.db import transaction

from cases.bench import queries
from cases.bench.actions.locking import lock_open_pair
from cases.bench.actions.planning import FootPlan, Place
from cases.bench.actions.replanning import as_built, is_untouched, plan_again, plans_of
from cases.bench.checks_asked import Lines
from cases.bench.models import Difference, DifferenceSource, Pair, Stage
from cases.bench.stage_table import ROWS
from cases.prescriptions import queries as prescriptions
from cases.prescriptions.described import PartDifference, differences_in_words
from cases.prescriptions.models import Prescription
from shared.history import acting
from shared.refusals import Refused
from shared.sides import SIDES, Side
from workshop.staff.models import Person


@transaction.atomic
def take_up_version(pair: Pair, *, by: Person, at: datetime) -> None:
    """Move a pair on to the signed version of its prescription, and plan it again.

    Stages that nobody began follow the new version. What was already made or begun and is now asked for otherwise
    becomes a difference, which a clinician accepts or which is made again. Raises `Refused`.
    """
    pair = lock_open_pair(pair)
    old, new = _old_and_new(pair)
    live = queries.live_stages(pair)
    _refuse_other_construction(old, new, live)
    was, now = plans_of(old, live), plans_of(new, live)
    built = {foot.side: foot.words for foot in as_built(pair, was, leaving=())}
    asked = {foot.side: foot.words for foot in now}
    changes = "; ".join(change_words(change) for change in differences_in_words(old, new)) or "nothing changed"
    says = f"Took up version {new.version_no} of prescription {new.number}: {changes}."
    with acting(by=by, action="take_up_version", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        pair.working_to = new
        pair.save(update_fields=["working_to"])
        for side, part in _changed(was, now):
            made = _made_already(live, side, part)
            if made:
                _raise_difference(
                    pair,
                    new,
                    made=made,
                    part=part,
                    asked=asked[side].get(part),
                    built=built[side].get(part),
                    by=by,
                    at=at,
                )
        plan_again(pair, live=live, wanted=(), by=by, at=at)


def _old_and_new(pair: Pair) -> tuple[Prescription, Prescription]:
    if pair.working_to is None:
        raise Refused("A repair has no prescription.")
    signed = queries.current_version(pair.working_to)
    if signed is None:
        raise Refused(f"Prescription {pair.working_to.number} was withdrawn. There is no version to take up.")
    if signed.pk == pair.working_to.pk:
        raise Refused(f"Pair {pair.number} is built to version {signed.version_no} already.")
    old, new = prescriptions.whole(pair.working_to.uuid), prescriptions.whole(signed.uuid)
    if (old.feet, old.work) != (new.feet, new.work):
        raise Refused("The new version is for other feet or other work: give this pair up and open another.")
    return old, new


def _refuse_other_construction(old: Prescription, new: Prescription, live: Mapping[Place, Stage]) -> None:
    if old.construction != new.construction and any(_made_already(live, side, "construction") for side in SIDES):
        raise Refused("The new version is constructed another way, and this pair is past that: give it up.")


def change_words(change: PartDifference) -> str:
    """LEFT Stiffener: medial reach long, 180 mm (was medium, 130 mm)."""
    where = f"{Side(change.side).label} {change.name}" if change.side else change.name
    return f"{where}: " + ", ".join(f"{line.label} {line.now} (was {line.was})" for line in change.lines)


def _changed(was: Iterable[FootPlan], now: Iterable[FootPlan]) -> list[tuple[str, str]]:
    """Foot and part of everything that the new version asks for otherwise, adds, or leaves out."""
    before = {foot.side: foot.words for foot in was}
    return [
        (foot.side, part)
        for foot in now
        for part in sorted(before[foot.side].keys() | foot.words.keys())
        if before[foot.side].get(part) != foot.words.get(part)
    ]


def _made_already(live: Mapping[Place, Stage], side: str, part: str) -> list[Stage]:
    """Live stages of this foot, begun or done, that make, check or cover this part, in the order of the route."""
    stages = [
        stage
        for (foot, key), stage in live.items()
        if foot == side and part in ROWS[key].touches and not is_untouched(stage)
    ]
    return sorted(stages, key=lambda stage: stage.order)


def _raise_difference(
    pair: Pair,
    new: Prescription,
    *,
    made: list[Stage],
    part: str,
    asked: Lines | None,
    built: Lines | None,
    by: Person,
    at: datetime,
) -> None:
    covering = [stage for stage in made if part in stage.covers]
    stage = covering[-1] if covering else made[-1]
    how_far = "closed in" if covering and stage.ticked_at else ("done" if stage.ticked_at else "begun")
    Difference.objects.create(
        pair=pair,
        side=stage.side,
        part=part,
        source=DifferenceSource.NEW_VERSION,
        stage=stage,
        built=None if built is None else [list(line) for line in built],
        found=(
            f"Version {new.version_no} asks for: {_lines_words(asked)}. Made so far, {how_far}: {_lines_words(built)}."
        ),
        raised_at=at,
        raised_by=by,
    )


def _lines_words(lines: Lines | None) -> str:
    return "; ".join(f"{label} {value}" for label, value in lines) if lines else "none"
