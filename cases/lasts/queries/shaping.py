"""What a last must become, worked out from what was measured; the patches on it and how it was looked at."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import OuterRef, QuerySet, Subquery
from django.utils import timezone

from cases.lasts import sizes
from cases.lasts.alteration import LIMITS, Alteration, Limits, StationWork, last_alteration
from cases.lasts.girths import heel_girth_expected
from cases.lasts.models import BottomCheck, BottomPart, Hose, Last, LastDeformity, LastPatch, LastTarget
from cases.lasts.models.lasts import MEASURED_MM
from cases.lasts.queries.measuring import values_of
from cases.lasts.stations import STATIONS, TOE_DEPTH
from cases.lasts.target import INLAY, Addend, TargetStation, last_target
from cases.patients.conditions import CONDITIONS
from cases.patients.models import Finding
from shared.calculations import BadInput
from shared.workings import Workings
from workshop.figures.queries import figures
from workshop.figures.settings_table import SETTINGS

TOE_ALLOWANCE = "toe_allowance_mm"
HEEL_DIFFERENCE = "heel_to_pitch_difference_mm"
OVER_BENT_TOES = "toe_depth_over_deformed_mm"
BENT_TOES = frozenset({"hammer_toe", "claw_toe", "mallet_toe"})
LIGHT_UPPER = {"joint": "light_upper_joint_mm", "instep": "light_upper_instep_mm"}

BEARS_NO_PRESSURE = {
    "loss_of_protective_sensation": "loss of sensation",
    "arterial_disease": "arterial disease",
    "oedema": "swelling",
    "lymphoedema": "swelling",
    "lateral_ankle_swelling": "swelling",
    "medial_ankle_swelling": "swelling",
}
"""Findings under which a last is never tighter than the foot, with the word for the reason."""


@dataclass(frozen=True)
class StationRow:
    """One station of one last: what it must become, and what is done where the last was measured there."""

    target: TargetStation
    work: StationWork | None
    patch: LastPatch | None = None
    """A patch that is planned there."""


@dataclass(frozen=True)
class Shaped:
    """A last against its target. `length` is the length that the foot asks for; `asks` are questions to a person."""

    target: LastTarget
    rows: tuple[StationRow, ...]
    alteration: Alteration
    length: Workings | None
    feather_mm: float
    heel_girth: Workings | None
    asks: tuple[str, ...]

    @property
    def added(self) -> str:
        """What was chosen for this target, in words."""
        chosen = [self.target.get_footwear_kind_display(), f"hose: {self.target.get_hose_display()}"]
        if self.target.light_upper:
            chosen.append("light upper")
        if self.target.swelling_mm:
            chosen.append(f"swelling {self.target.swelling_mm.normalize():f} mm")
        if self.target.inlay_mm:
            chosen.append(f"removable inlay {self.target.inlay_mm.normalize():f} mm")
        return ", ".join(chosen)


def latest_target(last: Last) -> LastTarget | None:
    """The target that counts, with its sitting and that sitting's measures. Two queries, one where there is none."""
    found = last.targets.select_related("measure_set__taken_by", "by").prefetch_related("measure_set__measures")
    return found.order_by("-pk").first()


def shape_of(
    last: Last,
    target: LastTarget,
    *,
    findings: Iterable[Finding] | None = None,
    patches: Sequence[LastPatch] = (),
) -> Shaped:
    """A last against a target, with the workshop's figures of the day on which the target was set.

    One query for the figures; one more each for findings that are not given and measures that were not fetched.
    Raises `BadInput` for what no foot or last can have.
    """
    if findings is None:
        findings = live_findings_of_the_foot(last)
    of_this_foot = [each for each in findings if each.side in {last.side, None}]
    values = values_of(target.measure_set, last.side)
    figures_mm = _figures(target, on=timezone.localdate(target.at))
    found = _target(target, values, figures_mm, of_this_foot)
    length = _length(values, figures_mm)
    alteration = last_alteration(
        target=found,
        last_mm=_read_on(last),
        turning_deg={each.key: figures_mm[each.turning_setting] for each in STATIONS if each.is_girth},
        limits=Limits(**{name: figures_mm[setting] for name, setting in LIMITS.items()}),
        last_length_mm=float(last.length_mm),
        length_needed_mm=length.last_length_mm if length else None,
        heel_to_joint_mm=_mm(last.heel_to_joint_mm),
    )
    works = {work.key: work for work in alteration.stations}
    planned = {patch.station: patch for patch in patches if patch.done_at is None and patch.removed_at is None}
    return Shaped(
        target=target,
        rows=tuple(StationRow(each, works.get(each.key), planned.get(each.key)) for each in found),
        alteration=alteration,
        length=length.workings if length else None,
        feather_mm=figures_mm[LIMITS["feather_mm"]],
        heel_girth=_heel_girth(last, values, of_this_foot),
        asks=(*_asks(last, target, alteration, figures_mm), *_asks_of_toes(found, of_this_foot, figures_mm)),
    )


def _figures(target: LastTarget, *, on: date) -> Mapping[str, float]:
    names = {TOE_ALLOWANCE, HEEL_DIFFERENCE, OVER_BENT_TOES, *LIMITS.values(), *LIGHT_UPPER.values()}
    names |= {each.turning_setting for each in STATIONS if each.is_girth}
    names |= {each.ease_setting(target.footwear_kind) for each in STATIONS} & SETTINGS.keys()
    if target.hose != Hose.NONE:
        names.add(f"hose_{target.hose}_mm")
    return {name: float(value) for name, value in figures(names, on=on).items()}


def _target(
    target: LastTarget, values: Mapping[str, Decimal], figures_mm: Mapping[str, float], findings: Sequence[Finding]
) -> tuple[TargetStation, ...]:
    kind = target.footwear_kind
    eases = {each.key: figures_mm.get(each.ease_setting(kind)) for each in STATIONS}
    reasons = (BEARS_NO_PRESSURE[each.condition] for each in findings if each.condition in BEARS_NO_PRESSURE)
    return last_target(
        foot_mm={each.key: float(values[each.measure_key]) for each in STATIONS if each.measure_key in values},
        kind=kind,
        ease_mm={key: ease for key, ease in eases.items() if ease is not None},
        hose_mm=figures_mm.get(f"hose_{target.hose}_mm", 0.0),
        light_upper_mm={key: figures_mm[name] for key, name in LIGHT_UPPER.items()} if target.light_upper else {},
        swelling_mm=float(target.swelling_mm),
        inlay_mm=float(target.inlay_mm),
        own_mm={key: float(value) for key, value in target.own_mm.items()},
        never_tighter_because=tuple(reasons),
    )


def _length(values: Mapping[str, Decimal], figures_mm: Mapping[str, float]) -> sizes.LastLength | None:
    if "foot_length" not in values:
        return None
    return sizes.last_length(foot_length_mm=float(values["foot_length"]), toe_allowance_mm=figures_mm[TOE_ALLOWANCE])


def _read_on(last: Last) -> dict[str, float]:
    """What the last measures at each station, as far as the tape was on it as it is now."""
    if last.awaits_tape:
        return {}
    read = {each.key: _mm(getattr(last, each.last_field)) for each in STATIONS}
    return {key: value for key, value in read.items() if value is not None}


def _heel_girth(last: Last, values: Mapping[str, Decimal], findings: Sequence[Finding]) -> Workings | None:
    """The published heel girth beside the one that was taken; silent for a swollen, deformed or part foot."""
    if not {"instep_girth", "short_heel_girth"} <= values.keys() or any(_is_irregular(each) for each in findings):
        return None
    try:
        return heel_girth_expected(
            instep_girth_mm=float(values["instep_girth"]), heel_height_mm=float(last.heel_height_mm)
        ).workings
    except BadInput:
        return None


def _is_irregular(finding: Finding) -> bool:
    condition = CONDITIONS.get(finding.condition)
    return BEARS_NO_PRESSURE.get(finding.condition) == "swelling" or (condition is not None and condition.is_deformity)


def _asks(last: Last, target: LastTarget, alteration: Alteration, figures_mm: Mapping[str, float]) -> tuple[str, ...]:
    asks = []
    apart = abs(float(last.heel_height_mm) - float(target.measure_set.heel_height_mm))
    if apart > figures_mm[HEEL_DIFFERENCE]:
        asks.append(
            f"The foot was measured over a heel of {target.measure_set.heel_height_mm.normalize():f} mm, the last is"
            f" made for {last.heel_height_mm.normalize():f} mm: girths change with the heel."
        )
    length = alteration.length
    if length is not None and -length.difference_mm > figures_mm["last_longer_most_mm"]:
        asks.append(f"The last is {-length.difference_mm:.0f} mm longer than the foot asks for. Is that meant?")
    return tuple(asks)


def _asks_of_toes(
    found: Sequence[TargetStation], findings: Sequence[Finding], figures_mm: Mapping[str, float]
) -> tuple[str, ...]:
    """Bent toes stand higher at each step: more is left over them than an ordinary shoe has. An inlay lies under them."""
    depth = next((each for each in found if each.key == TOE_DEPTH), None)
    if depth is None or not any(each.condition in BENT_TOES for each in findings):
        return ()
    over = sum(addend.mm for addend in depth.addends if not addend.words.startswith(INLAY))
    least = figures_mm[OVER_BENT_TOES]
    if over >= least:
        return ()
    return (
        f"Bent toes are recorded: toe depth {Addend('', over).signed} mm over them, +{least:g} mm or more is usual.",
    )


def _mm(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def both_of(last: Last) -> list[Last]:
    """This last and the one of the other foot under the same number. One query."""
    return list(Last.objects.filter(number=last.number).select_related("owner", "cast", "made_by").order_by("side"))


def latest_targets(lasts: Iterable[Last]) -> dict[int, LastTarget | None]:
    """The target that counts for each of several lasts, by the last's key. One query."""
    latest = LastTarget.objects.filter(last__in=list(lasts)).order_by("last_id", "-pk").distinct("last_id")
    return {each.last_id: each for each in latest}


@dataclass(frozen=True)
class Reading:
    """One figure of a last. None where the tape was not on it yet."""

    label: str
    value_mm: Decimal | None


def readings_of(last: Last) -> list[Reading]:
    """What was taken on a last, in the order of the register. No query."""
    words = {"heel_to_joint_mm": "heel to 1st joint", "heel_to_fifth_mm": "heel to 5th joint"}
    return [
        Reading(words.get(name, name.removesuffix("_mm").replace("_", " ")), getattr(last, name))
        for name in MEASURED_MM
    ]


def alignment_of(last: Last) -> list[tuple[str, str]]:
    """How a last stands, each in words with its unit. No query."""
    toe_out = last.toe_out_degrees
    return [
        ("Heel pitch", f"{last.heel_height_mm.normalize():f} mm"),
        ("Toe spring", f"{last.toe_spring_mm.normalize():f} mm"),
        ("Rearfoot tilt", _tilt(last.rearfoot_varus_degrees, "varus", "valgus")),
        ("Forefoot tilt", _tilt(last.forefoot_varus_degrees, "varus", "valgus")),
        ("Toe-out", _tilt(toe_out, "", "toe-in")),
    ]


def _tilt(degrees: Decimal | None, positive: str, negative: str) -> str:
    """Degrees with the word for the way they go: never by a sign alone."""
    if degrees is None:
        return "not said"
    return f"{abs(degrees).normalize():f}° {positive if degrees > 0 else negative if degrees < 0 else ''}".strip()


# What is on a last, and how it was looked at ---------------------------------------------------------------------


def live_findings_of_the_foot(last: Last) -> list[Finding]:
    """What holds now on the foot of a last and about its owner; each deformity with how this last handles it.

    One query. `handled`, `handled_note` and `handled_by` are empty where nobody said it yet.
    """
    if last.owner_id is None:
        return []
    said = LastDeformity.objects.filter(last=last, finding=OuterRef("pk"))
    found = Finding.objects.filter(patient_id=last.owner_id, ended_on__isnull=True).exclude(
        side="right" if last.side == "left" else "left"
    )
    return list(
        found.annotate(
            handled=Subquery(said.values("handled")[:1]),
            handled_note=Subquery(said.values("note")[:1]),
            handled_by=Subquery(said.values("by__name")[:1]),
        )
    )


def deformities(findings: Iterable[Finding]) -> list[Finding]:
    """Those of the findings for which a last makes room or which it corrects."""
    return [each for each in findings if each.condition in CONDITIONS and CONDITIONS[each.condition].is_deformity]


def patches_of(last: Last) -> QuerySet[LastPatch]:
    """The patches of a last in the order in which they were planned, those taken off among them. One query."""
    return last.patches.select_related("planned_by", "done_by").order_by("pk")


def bottom_of(last: Last) -> list[BottomCheck]:
    """The latest look at each part of the bottom, in the order of the parts. One query."""
    latest = last.bottom_checks.select_related("by").order_by("part", "-pk").distinct("part")
    order = {part: place for place, part in enumerate(BottomPart.values)}
    return sorted(latest, key=lambda each: order[each.part])
