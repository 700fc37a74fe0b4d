"""What a last must become, the patches on it, and how it was looked at."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import NotRequired, TypedDict, Unpack
from uuid import UUID

from django.db import transaction

from cases.lasts import queries
from cases.lasts.models import (
    BottomCheck,
    BottomPart,
    Handled,
    Last,
    LastDeformity,
    LastPatch,
    LastTarget,
    MeasureSet,
    PatchWork,
    Verdict,
)
from cases.lasts.stations import BY_KEY
from cases.patients.conditions import CONDITIONS
from cases.patients.models import Finding, Flexibility
from shared.calculations import BadInput
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from shared.versions import Stale
from workshop.staff.models import Person


@dataclass(frozen=True)
class TargetFoot:
    """What differs between the targets of the two lasts of a pair. `own_mm` goes by the station's key.

    `seen` is the uuid of the target that counted when this one was written, empty where there was none; None where
    nobody looked.
    """

    last: Last
    swelling_mm: Decimal = Decimal(0)
    inlay_mm: Decimal = Decimal(0)
    own_mm: Mapping[str, Decimal] = field(default_factory=dict)
    note: str = ""
    seen: str | None = None


class SameForBothTargets(TypedDict):
    """What the targets of a pair have in common."""

    measure_set: MeasureSet
    footwear_kind: str
    hose: str
    light_upper: NotRequired[bool]


def set_last_target(
    last: Last,
    *,
    swelling_mm: Decimal = Decimal(0),
    inlay_mm: Decimal = Decimal(0),
    own_mm: Mapping[str, Decimal] | None = None,
    note: str = "",
    by: Person,
    at: datetime,
    **same: Unpack[SameForBothTargets],
) -> LastTarget:
    """Say what one last is to fit. Arguments as for `set_last_targets`."""
    foot = TargetFoot(last, swelling_mm, inlay_mm, own_mm or {}, note)
    return set_last_targets([foot], by=by, at=at, **same)[0]


@transaction.atomic
def set_last_targets(
    feet: Sequence[TargetFoot], *, by: Person, at: datetime, **same: Unpack[SameForBothTargets]
) -> list[LastTarget]:
    """Say what the lasts of one or both feet are to fit: the sitting of measures, and what is added to it.

    Raises `Refused` for a stock last, another client's measures, a foot that was not measured, an own addition without
    a note, and figures that no foot can have. Raises `Stale` with the target that somebody set since `seen`.
    """
    if not feet:
        raise Refused("Say for which last the target is.")
    _check_seen(feet)
    targets = [
        LastTarget(
            last=foot.last,
            swelling_mm=foot.swelling_mm,
            inlay_mm=foot.inlay_mm,
            own_mm={key: float(value) for key, value in foot.own_mm.items() if value},
            note=foot.note.strip(),
            by=by,
            at=at,
            **same,
        )
        for foot in feet
    ]
    for target in targets:
        _check_target(target)
    owner = feet[0].last.owner
    lasts = " and ".join(str(foot.last) for foot in feet)
    says = f"Set the target of last {lasts}: {targets[0].get_footwear_kind_display()}, hose {targets[0].hose}."
    with acting(by=by, action="set_last_target", says=says, at=at, patient=owner.uuid if owner else None):
        for target in targets:
            target.save()
    return targets


def _check_seen(feet: Sequence[TargetFoot]) -> None:
    """The lasts stay locked until the end: two targets of one last go one after the other."""
    lasts = list(Last.objects.select_for_update(of=("self",)).filter(pk__in=[foot.last.pk for foot in feet]))
    latest = queries.latest_targets(lasts)
    for foot in feet:
        target = latest.get(foot.last.pk)
        if foot.seen is not None and target is not None and str(target.uuid) != foot.seen:
            raise Stale(target)


def _check_target(target: LastTarget) -> None:
    last = target.last
    if last.owner_id is None:
        raise Refused("A target is set for a client's last. A stock last has none.")
    if target.measure_set.patient_id != last.owner_id:
        raise Refused("These are another client's measures.")
    if target.own_mm and not target.note:
        raise Refused(f"Say in the note of the {Side(last.side).label} last why something of your own is added.")
    try:
        worked = queries.shape_of(last, target)
    except BadInput as error:
        raise Refused(f"No target can be worked out for the {Side(last.side).label} last: {error}.") from error
    if not worked.rows:
        raise Refused(f"No girth of the {Side(last.side).label} foot was taken at that sitting.")


@transaction.atomic
def plan_patch(
    last: Last,
    *,
    work: str,
    place: str,
    height_mm: Decimal,
    station: str = "",
    length_mm: Decimal | None = None,
    width_mm: Decimal | None = None,
    feather_mm: Decimal | None = None,
    material: str = "",
    by: Person,
    at: datetime,
) -> LastPatch:
    """Plan a place to be built up or taken down. Raises `Refused` for an unknown station or work, or no place."""
    if station and station not in BY_KEY:
        raise Refused("There is no such station on a last.")
    if not place.strip():
        raise Refused("Say where the patch lies.")
    if work == PatchWork.TAKE_DOWN and material.strip():
        raise Refused("Where a last is taken down, no material comes on it.")
    patch = LastPatch(
        last=last,
        work=PatchWork(work),
        station=station,
        place=place.strip(),
        height_mm=height_mm,
        length_mm=length_mm,
        width_mm=width_mm,
        feather_mm=feather_mm,
        material=material.strip(),
        planned_at=at,
        planned_by=by,
    )
    with acting(by=by, action="plan_patch", says=f"Planned on last {last}: {patch}.", at=at, patient=_owner_of(last)):
        patch.save()
    return patch


@transaction.atomic
def drop_patch(patch: LastPatch, *, by: Person, at: datetime) -> None:
    """Give up a patch that was planned and is not done. Raises `Refused` where it is done: then it is taken off."""
    patch = LastPatch.objects.select_for_update(of=("self",)).select_related("last__owner").get(pk=patch.pk)
    if patch.removed_at is not None:
        return
    if patch.done_at is not None:
        raise Refused("This patch is on the last. Take it off with an alteration.")
    says = f"Gave up on last {patch.last}: {patch}."
    with acting(by=by, action="drop_patch", says=says, at=at, patient=_owner_of(patch.last)):
        patch.removed_at = at
        patch.save(update_fields=["removed_at"])


@dataclass(frozen=True)
class BottomSeen:
    """One part of the bottom of a last, held against the cast."""

    part: str
    verdict: str
    off_by_mm: Decimal | None = None
    note: str = ""


@transaction.atomic
def check_bottom(
    last: Last, *, seen: Sequence[BottomSeen], by_gauge: bool, seen_version: int, by: Person, at: datetime
) -> list[BottomCheck]:
    """Record how the bottom of a last lies against its cast. Raises `Refused`.

    Refused are a last without a cast, one altered since it was held against it, nothing looked at, and a part that
    fits and is said to be off.
    """
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    if last.cast_id is None:
        raise Refused("No cast is named for this last: there is nothing to hold its bottom against.")
    if last.version != seen_version:
        raise Refused("This last was altered since: look at it again.")
    if not seen:
        raise Refused("Say how at least one part of the bottom lies against the cast.")
    for each in seen:
        if each.verdict == Verdict.FITS and each.off_by_mm:
            raise Refused(f"{BottomPart(each.part).label.capitalize()} fits, or is off by so much: say one of them.")
    found = "; ".join(_bottom_words(each) for each in seen)
    says = f"Held the bottom of last {last} against the cast, {'by gauge' if by_gauge else 'by eye'}: {found}."
    with acting(by=by, action="check_bottom", says=says, at=at, patient=_owner_of(last)):
        return [
            BottomCheck.objects.create(
                last=last,
                last_version=last.version,
                part=BottomPart(each.part),
                verdict=Verdict(each.verdict),
                off_by_mm=each.off_by_mm,
                by_gauge=by_gauge,
                note=each.note.strip(),
                by=by,
                at=at,
            )
            for each in seen
        ]


def _bottom_words(seen: BottomSeen) -> str:
    off = f" of {seen.off_by_mm.normalize():f} mm" if seen.off_by_mm else ""
    return f"{BottomPart(seen.part).label} {Verdict(seen.verdict).label}{off}"


@transaction.atomic
def handle_deformity(
    last: Last,
    *,
    finding: Finding,
    handled: str,
    note: str = "",
    although_fixed: bool = False,
    by: Person,
    at: datetime,
) -> LastDeformity:
    """Say whether a last makes room for a deformity of its foot or brings the foot straight.

    Raises `Refused` for a finding of another person or foot, one that was ended, one that is no deformity, and for a fixed deformity that
    is to be corrected, until `although_fixed` with a note answers that question.
    """
    if finding.patient_id != last.owner_id or finding.side != last.side:
        raise Refused("This was not found on the foot of this last.")
    if Finding.objects.select_for_update().get(pk=finding.pk).ended_on is not None:
        raise Refused(f"{finding} was ended since: nothing is left to handle.")
    if not is_deformity(finding):
        raise Refused("This is no deformity that a last makes room for or corrects.")
    if asks_about_fixed(finding, handled) and not (although_fixed and note.strip()):
        raise Refused(
            f"{finding.label} was found to be fixed: a last makes room for it. Is it to be corrected all the same?"
            " Then confirm it and say why in the note."
        )
    says = f"On last {last}: {finding} is {Handled(handled).label}."
    with acting(by=by, action="handle_deformity", says=says, at=at, patient=_owner_of(last)):
        kept, _ = LastDeformity.objects.update_or_create(
            last=last,
            finding=finding,
            defaults={"handled": Handled(handled), "note": note.strip(), "by": by, "at": at},
        )
    return kept


def is_deformity(finding: Finding) -> bool:
    return finding.condition in CONDITIONS and CONDITIONS[finding.condition].is_deformity


def asks_about_fixed(finding: Finding, handled: str) -> bool:
    """Whether a fixed deformity is to be corrected: a question, not an error."""
    return finding.flexibility == Flexibility.FIXED and handled == Handled.CORRECTED


def _owner_of(last: Last) -> UUID | None:
    return last.owner.uuid if last.owner else None
