"""The job card: one pair on A4, both feet, to hang at the bench and to be filled by hand."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.conf import settings
from django.db.models import Prefetch
from django.urls import reverse
from django.utils import timezone

from cases.bench.checks_asked import part_words
from cases.bench.models import CoverRequirement, Difference, Pair, Stage
from cases.bench.queries import last_fitting
from cases.lasts.models import MeasureSet
from cases.overview.measures_in_words import FootMeasures, measures_of_feet
from cases.overview.side_by_side import side_by_side
from cases.patients.kept_papers import Draft, print_once
from cases.patients.models import Paper, PaperKind
from cases.patients.queries import live_allergies
from cases.prescriptions.described import FootInWords, PartInWords, describe
from cases.prescriptions.drawn import drawn
from cases.prescriptions.models import Foot, Prescription
from cases.prescriptions.models.prescription import WorkKind
from cases.prescriptions.queries import whole
from shared.papers.qr import qr_svg
from shared.sides import SIDES
from workshop.staff.models import Person

MOST_PAGES = 2
MOST_PAGES_OF_A_SMALL_WORK = 1
"""Beside the page of the drawing, which a small work does without: its card is one page."""
SMALL_WORKS = frozenset({WorkKind.ADAPTATION, WorkKind.REPAIR})
ON_THE_HEAD = frozenset({"last"})
"""Parts that the card shows by themselves, with what the bench needs besides."""


@dataclass(frozen=True)
class Half:
    """One shoe's half of the head: whether it is worked on, and the last it is built on."""

    side: str
    is_worked_on: bool
    foot: Foot | None


@dataclass(frozen=True)
class StageRow:
    """One stage of the route: what stands between the LEFT and the RIGHT tick box. A stage of None: not this shoe."""

    number: int
    name: str
    bench: str
    hours: Decimal
    waiting_word: str
    by_visit: bool
    checks: tuple[str, ...]
    left: Stage | None
    right: Stage | None


def print_job_card(uuid: UUID, *, by: Person, at: datetime) -> Paper:
    """The job card of a pair, kept. Raises `Pair.DoesNotExist`."""
    pair = Pair.objects.select_related("patient", "working_to").get(uuid=uuid)
    return print_once(draft_of(pair, on=timezone.localdate(at)), by=by, at=at)


def draft_of(pair: Pair, *, on: date) -> Draft:
    """What the job card of a pair says now; `on` is the day whose settings stand in where nothing was measured."""
    prescription = whole(pair.working_to.uuid) if pair.working_to else None
    feet = describe(prescription) if prescription else _asked_without_prescription(pair)
    measure_set, measures = _measures(pair, prescription)
    is_drawn = prescription is not None and prescription.work not in SMALL_WORKS
    address = settings.PUBLIC_ADDRESS + reverse("pair", args=[pair.uuid])
    return Draft(
        patient=pair.patient,
        kind=PaperKind.JOB_CARD,
        title=f"Job card, pair {pair.number}",
        template="papers/job_card.html",
        about_uuid=pair.uuid,
        pair_uuid=pair.uuid,
        most_pages=(MOST_PAGES_OF_A_SMALL_WORK if pair.kind in SMALL_WORKS else MOST_PAGES) + is_drawn,
        context={
            "pair": pair,
            "patient": pair.patient,
            "prescription": prescription,
            "halves": [_half(side, pair, prescription) for side in SIDES],
            "has_lasts": prescription is not None and prescription.work not in SMALL_WORKS,
            "groups": side_by_side(feet, leave_out=ON_THE_HEAD),
            "stages": stage_rows(pair),
            "cut_aways": drawn(prescription, on=on).cut_aways if prescription and is_drawn else (),
            "measure_set": measure_set,
            "measures": measures,
            "allergies": list(live_allergies(pair.patient)),
            "differences": _differences(pair),
            "last_fitting": last_fitting(pair),
            "has_steel_cap": any(_has_steel_cap(foot) for foot in _feet(prescription)),
            "address": address,
            "qr": qr_svg(address, words=f"QR code that opens pair {pair.number} on a terminal"),
        },
    )


def _asked_without_prescription(pair: Pair) -> tuple[FootInWords, ...]:
    """What the checks of a repair ask for: the heights to be given back, foot by foot."""
    asked = CoverRequirement.objects.filter(stage__pair=pair, stage__retired_at__isnull=True).order_by("pk")
    parts: dict[str, dict[str, PartInWords]] = {}
    for check in asked:
        lines = tuple((label, value) for label, value in check.prescribed)
        parts.setdefault(check.side, {})[check.part] = PartInWords(
            check.part, part_words(check.part).capitalize(), lines
        )
    return tuple(FootInWords(side, (), (), tuple(of_foot.values())) for side, of_foot in parts.items())


def stage_rows(pair: Pair) -> tuple[StageRow, ...]:
    """The stages that are asked for, both feet of a stage in one row."""
    requirements = Prefetch("requirements", queryset=CoverRequirement.objects.order_by("pk"))
    stages = (
        Stage.objects.filter(pair=pair, retired_at__isnull=True)
        .select_related("kind__bench", "ticked_by")
        .prefetch_related(requirements)
        .order_by("order", "round", "side")
    )
    together: dict[tuple[int, int], list[Stage]] = {}
    for stage in stages:
        together.setdefault((stage.kind_id, stage.round), []).append(stage)
    return tuple(_stage_row(number, both) for number, both in enumerate(together.values(), start=1))


def _stage_row(number: int, stages: Sequence[Stage]) -> StageRow:
    by_side = {stage.side: stage for stage in stages}
    kind = stages[0].kind
    again = f" (again, {stages[0].round})" if stages[0].round > 1 else ""
    return StageRow(
        number=number,
        name=f"{kind.name}{again}",
        bench=kind.bench.name,
        hours=max(stage.hours_after for stage in stages),
        waiting_word=kind.waiting_word,
        by_visit=kind.by_visit,
        checks=_checks(stages),
        left=by_side.get("left"),
        right=by_side.get("right"),
    )


def _checks(stages: Sequence[Stage]) -> tuple[str, ...]:
    """For each moment what is checked of either shoe: `placed check: stiffener, toe puff`."""
    parts: dict[str, dict[str, None]] = {}
    for stage in stages:
        for check in stage.requirements.all():
            parts.setdefault(check.get_moment_display(), {})[part_words(check.part)] = None
    return tuple(f"{moment}: {', '.join(names)}" for moment, names in parts.items())


def _differences(pair: Pair) -> list[tuple[Difference, str]]:
    """What is not as prescribed, each with the words of its part."""
    found = Difference.objects.filter(pair=pair).select_related("settled_by").order_by("raised_at", "pk")
    return [(difference, part_words(difference.part)) for difference in found]


def _half(side: str, pair: Pair, prescription: Prescription | None) -> Half:
    foot = next((foot for foot in _feet(prescription) if foot.side == side), None)
    return Half(side=side, is_worked_on=pair.feet in {"both", side}, foot=foot)


def _feet(prescription: Prescription | None) -> list[Foot]:
    return list(prescription.foot_set.all()) if prescription else []


def _has_steel_cap(foot: Foot) -> bool:
    puff = getattr(foot, "toe_puff", None)
    return puff is not None and puff.kind == "steel"


def _measures(pair: Pair, prescription: Prescription | None) -> tuple[MeasureSet | None, tuple[FootMeasures, ...]]:
    """The measures that were prescribed from; else the latest of the client."""
    chosen = prescription.measure_set if prescription else None
    sittings = MeasureSet.objects.filter(pk=chosen.pk) if chosen else pair.patient.measure_sets.order_by("-taken_at")
    measure_set = sittings.select_related("taken_by").prefetch_related("measures").first()
    return measure_set, measures_of_feet(measure_set) if measure_set else ()
