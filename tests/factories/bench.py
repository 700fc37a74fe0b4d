"""Pairs on the bench, brought as far along their route as a test asks for, by the actions themselves."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from io import BytesIO
from typing import Any

from django.utils import timezone
from PIL import Image

from cases.bench import actions, queries
from cases.bench import starting_values as stages_to_start_with
from cases.bench.measured import as_kept
from cases.bench.models import CheckMoment, CoverCheck, CoverRequirement, Outcome, Pair, PlacedPhoto, Stage
from cases.diary import starting_values as visits_to_start_with
from cases.prescriptions.models import Prescription
from shared.photo_files import sha256_of
from shared.sides import SIDES
from tests.factories.base import setting_up
from tests.factories.prescriptions import make_signed_prescription
from workshop.figures import starting_values as figures_to_start_with
from workshop.staff.models import Person


def load_starting_values() -> None:
    """What every workshop needs before a pair can be opened."""
    at = timezone.now()
    figures_to_start_with.load(at=at)
    visits_to_start_with.load(at=at)
    stages_to_start_with.load(at=at)


def make_pair(
    *,
    by: Person,
    at: datetime,
    prescription: Prescription | None = None,
    promised_day: date | None = None,
    rough_fitting: bool | None = None,
    **prescribed: Any,
) -> Pair:
    """A pair opened from a signed prescription; `prescribed` are arguments of `make_prescription`."""
    load_starting_values()
    return actions.open_pair(
        prescription or make_signed_prescription(**prescribed),
        promised_day=promised_day or timezone.localdate(at) + timedelta(days=30),
        rough_fitting=rough_fitting,
        by=by,
        at=at,
    )


def stage(pair: Pair, key: str, side: str = "left") -> Stage:
    """The live stage of this kind on this foot."""
    return Stage.objects.select_related("kind").get(pair=pair, kind__key=key, side=side, retired_at__isnull=True)


def stages(pair: Pair, key: str, *sides: str) -> list[Stage]:
    """The live stages of this kind, on both feet unless said."""
    live = Stage.objects.filter(pair=pair, kind__key=key, retired_at__isnull=True, side__in=sides or SIDES)
    return list(live.select_related("kind").order_by("side"))


def requirement(pair: Pair, part: str, moment: str = CheckMoment.PLACED, side: str = "left") -> CoverRequirement:
    """The check of this part and moment that the pair's route asks for on this foot."""
    return CoverRequirement.objects.get(
        stage__pair=pair, stage__retired_at__isnull=True, part=part, moment=moment, side=side
    )


def check_everything(pair: Pair, key: str, *, by: Person, at: datetime) -> None:
    """Record every check that a kind of stage waits for, as prescribed, without asking whether it may be now."""
    waiting = CoverRequirement.objects.filter(stage__in=[stage.pk for stage in stages(pair, key)], checks__isnull=True)
    with setting_up():
        for asked in waiting:
            CoverCheck.objects.create(
                requirement=asked, outcome=Outcome.AS_PRESCRIBED, measured=as_kept(as_asked(asked)), by=by, at=at
            )


def as_asked(asked: CoverRequirement) -> dict[str, Decimal]:
    """What is measured blind at a check, each figure just as it was prescribed."""
    return {row["label"]: Decimal(row["prescribed"]) for row in asked.measured}


def differ(asked: CoverRequirement, found: str, *, by: Person, at: datetime) -> CoverCheck:
    """Record a check that found something to differ; what is measured blind is as prescribed."""
    (check,) = actions.record_found([actions.Found(asked, found, as_asked(asked))], by=by, at=at)
    return check


def hold(asked: CoverRequirement, *, by: Person, at: datetime) -> CoverCheck:
    """Record a check that found everything as prescribed, what is measured blind as well."""
    return differ(asked, "", by=by, at=at)


def make_placed_photo(pair: Pair, *, by: Person, at: datetime, sides: Sequence[str] = SIDES) -> PlacedPhoto:
    """A photo of what the backs close in, small and brown."""
    feet = {row.side: row for row in stages(pair, "last-backs", *sides)}
    picture = BytesIO()
    Image.new("RGB", (200, 100), "brown").save(picture, "JPEG")
    jpeg = picture.getvalue()
    with setting_up():
        return PlacedPhoto.objects.create(
            left=feet.get("left"), right=feet.get("right"), jpeg=jpeg, sha256=sha256_of(jpeg), by=by, at=at
        )


def look_finally(pair: Pair, *, by: Person, at: datetime) -> None:
    """Mark every line of the final check as holding, on the shoes that are not ticked."""
    sheet = queries.final_sheet(pair, on=timezone.localdate(at))
    if sheet is not None:
        actions.record_final(pair, [actions.FinalEntry(seen) for seen in sheet.missing], by=by, at=at)


def bring_to(pair: Pair, key: str, *, by: Person, at: datetime) -> None:
    """Do everything before a kind of stage on both feet, with its checks, as if the hours had passed."""
    target = Stage.objects.filter(pair=pair, kind__key=key, retired_at__isnull=True).first()
    if target is None:
        raise LookupError(f"{pair} has no stage {key}")
    _do_until(pair, target.order, by=by, at=at)


def bring_to_the_end(pair: Pair, *, by: Person, at: datetime) -> None:
    """Do every stage: the pair is finished."""
    _do_until(pair, 10_000, by=by, at=at)


def _do_until(pair: Pair, order: int, *, by: Person, at: datetime) -> None:
    before = Stage.objects.filter(pair=pair, retired_at__isnull=True, ticked_at__isnull=True, order__lt=order)
    for kind_key, by_visit in before.order_by("order").values_list("kind__key", "kind__by_visit").distinct():
        check_everything(pair, kind_key, by=by, at=at)
        if by_visit:
            actions.tick_by_visit(pair, stage_kind=kind_key, by=by, at=at)
        else:
            waiting = [row for row in stages(pair, kind_key) if row.ticked_at is None]
            if kind_key == queries.FINAL_CHECK:
                look_finally(pair, by=by, at=at)
            actions.tick_stages(pair, stages=waiting, by=by, at=at, felt_dry=True)
