"""What the invented lasts must become: targets, patches, looks at their bottoms, and lasts for a second pair."""

import random
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from cases.bench.models import Pair
from cases.lasts import actions, queries
from cases.lasts.actions import BottomSeen, LastFoot, TargetFoot
from cases.lasts.alteration import LEAVE
from cases.lasts.models import Last
from cases.lasts.queries import values_of
from cases.lasts.stations import BY_KEY
from cases.patients.models import Flexibility, Patient
from demo.clinic import TOE_ALLOWANCE_MM, Clinic

FOOTWEAR = {
    "collapsed-arch": "ankle_boot",
    "stiff-big-toe": "low",
    "hammer-toes": "low",
    "healed-ulcer": "no_sensation",
    "rheumatoid": "indoor",
}
"""Clients whose lasts have their targets, with what the lasts are for."""

WIDTHS = {"joint_width": -3, "heel_width": -6, "heel_to_joint": 0, "heel_to_fifth": 0}
"""By how much these of a last differ from those of the foot, mm. From memory."""

SECOND_PAIRS = ("hypermobile", "haglund", "metatarsalgia")
FILLED_BY = "cork, leather over it"


def shape_lasts(clinic: Clinic, pairs: Mapping[str, Pair]) -> None:
    """Give the lasts in use their targets and figures, and three clients the lasts of a second pair."""
    at = clinic.now - timedelta(hours=3)
    for key, kind in FOOTWEAR.items():
        lasts = list(Last.objects.filter(owner=pairs[key].patient).select_related("owner", "cast").order_by("side"))
        _say_what_they_fit(clinic, lasts, kind, at=at)
        for last in lasts:
            _measure_as_they_fit(clinic, last, at=at)
            _look_at(clinic, last, at=at)
    waiting, untaped, too_small = (pairs[key].patient for key in SECOND_PAIRS)
    _altered_and_measured(clinic, waiting, at=at)
    _altered_and_not_measured(clinic, untaped, at=at)
    _beyond_altering(clinic, too_small, at=at)


def _say_what_they_fit(clinic: Clinic, lasts: Sequence[Last], kind: str, *, at: datetime) -> None:
    measure_set = queries.last_time(_owner(lasts[0]))
    assert measure_set is not None
    actions.set_last_targets(
        [TargetFoot(last, inlay_mm=Decimal(5 if kind == "no_sensation" else 0)) for last in lasts],
        measure_set=measure_set,
        footwear_kind=kind,
        hose="normal",
        by=clinic.staff["bram"],
        at=at,
    )


def _measure_as_they_fit(clinic: Clinic, last: Last, *, at: datetime) -> None:
    """The tape finds the lasts in use within a millimetre of their targets: they were altered to them."""
    readings = _as_the_target_asks(clinic, last, short={})
    actions.measure_last(last, seen_version=last.version, measured=readings, by=clinic.staff["bram"], at=at)


def _as_the_target_asks(clinic: Clinic, last: Last, *, short: Mapping[str, int]) -> dict[str, Decimal]:
    """Figures of a last that meets its target but for what is `short` of it, by station, in mm."""
    target = queries.latest_target(last)
    assert target is not None
    chance = random.Random(f"{clinic.seed} {last.number} {last.side}")
    figures = {
        BY_KEY[row.target.key].last_field: Decimal(
            round(row.target.target_mm) - short.get(row.target.key, 0) + chance.choice((-1, 0, 0, 1))
        )
        for row in queries.shape_of(last, target).rows
    }
    foot = values_of(target.measure_set, last.side)
    widths = {f"{name}_mm": foot[name] + less for name, less in WIDTHS.items() if name in foot}
    return {**figures, **widths}


def _look_at(clinic: Clinic, last: Last, *, at: datetime) -> None:
    """Hold the bottom against the cast where there is one, and say how each deformity is handled."""
    bram = clinic.staff["bram"]
    if last.cast_id is not None:
        last.refresh_from_db()
        seen = (
            BottomSeen("arch", "gap", Decimal(2), "under the navicular, to be filled by the inlay"),
            BottomSeen("heel seat", "fits"),
            BottomSeen("metatarsal", "fits"),
        )
        actions.check_bottom(last, seen=seen, by_gauge=True, seen_version=last.version, by=bram, at=at)
    for finding in queries.deformities(queries.live_findings_of_the_foot(last)):
        corrects = finding.flexibility == Flexibility.FLEXIBLE
        actions.handle_deformity(
            last,
            finding=finding,
            handled="corrected" if corrects else "accommodated",
            note="rearfoot brought upright by 3°" if corrects else "",
            by=bram,
            at=at,
        )


def _stock_lasts_for(
    clinic: Clinic, patient: Patient, *, kind: str, short: Mapping[str, int], too_short_mm: int = 0, at: datetime
) -> list[Last]:
    """Two stock lasts that are to be altered to the client's feet, short of their targets by so many mm a station."""
    measure_set = queries.last_time(patient)
    assert measure_set is not None
    lengths = {side: values_of(measure_set, side)["foot_length"] for side in ("left", "right")}
    lasts = actions.register_lasts(
        owner=patient,
        feet=[LastFoot(side, length + TOE_ALLOWANCE_MM - too_short_mm) for side, length in lengths.items()],
        origin="altered",
        making="tape",
        heel_height_mm=measure_set.heel_height_mm,
        toe_spring_mm=Decimal(13),
        toe_shape="round",
        place=f"last bench, tray {patient.record_number[-2:]}",
        made_on=timezone.localdate(at),
        made_elsewhere=True,
        by=clinic.staff["bram"],
        at=at,
    )
    _say_what_they_fit(clinic, lasts, kind, at=at)
    for last in lasts:
        readings = _as_the_target_asks(clinic, last, short=short)
        actions.measure_last(last, seen_version=last.version, measured=readings, by=clinic.staff["bram"], at=at)
        last.refresh_from_db()
    return lasts


def _plan_what_the_target_asks(clinic: Clinic, last: Last, *, at: datetime) -> None:
    target = queries.latest_target(last)
    assert target is not None
    for work in queries.shape_of(last, target).alteration.stations:
        if work.work != LEAVE:
            actions.plan_patch(
                last,
                work=work.work,
                station=work.key,
                place=f"over the {work.label}, from the medial to the lateral feather edge",
                height_mm=Decimal(str(work.bench_mm)),
                length_mm=Decimal(60),
                feather_mm=Decimal(25),
                material=FILLED_BY if work.work == "build up" else "",
                by=clinic.staff["bram"],
                at=at,
            )


def _put_on(clinic: Clinic, last: Last, *, measured: Mapping[str, Decimal] | None, at: datetime) -> None:
    as_it_is = {name: getattr(last, name) for name in ("length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")}
    actions.alter_last(
        last,
        seen_version=last.version,
        alteration_note="",
        **as_it_is,
        patches_done=list(last.patches.filter(done_at__isnull=True)),
        measured=measured,
        by=clinic.staff["bram"],
        at=at,
    )


def _altered_and_measured(clinic: Clinic, patient: Patient, *, at: datetime) -> None:
    """Lasts that wait to be agreed."""
    for last in _stock_lasts_for(clinic, patient, kind="low", short={"joint": 10, "instep": 7}, at=at):
        _plan_what_the_target_asks(clinic, last, at=at)
        # A feathered patch gives a little less than was worked out.
        measured = _as_the_target_asks(clinic, last, short={"joint": 1, "instep": 1})
        girths = {name: mm for name, mm in measured.items() if "girth" in name or name == "toe_depth_mm"}
        _put_on(clinic, last, measured=girths, at=at + timedelta(hours=2))


def _altered_and_not_measured(clinic: Clinic, patient: Patient, *, at: datetime) -> None:
    """Lasts that wait for the tape; their patches are on the LEFT one alone so far."""
    left, right = _stock_lasts_for(clinic, patient, kind="low", short={"joint": 8, "short_heel": 6}, at=at)
    for last in (left, right):
        _plan_what_the_target_asks(clinic, last, at=at)
    _put_on(clinic, left, measured=None, at=at + timedelta(hours=2))


def _beyond_altering(clinic: Clinic, patient: Patient, *, at: datetime) -> None:
    """Stock lasts of a narrow fitting: too much would have to be built up on them, and they are too short."""
    _stock_lasts_for(
        clinic,
        patient,
        kind="low",
        short={"joint": 42, "waist": 34, "instep": 30, "toe_depth": 4},
        too_short_mm=7,
        at=at,
    )


def _owner(last: Last) -> Patient:
    assert last.owner is not None
    return last.owner
