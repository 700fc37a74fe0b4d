"""A photo of what lies in position before it is closed in; or why there is none."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from cases.bench.actions.locking import lock_open_pair
from cases.bench.models import CheckMoment, Pair, PlacedPhoto, Stage
from cases.bench.wording import stages_words
from shared.history import acting
from shared.photo_files import sha256_of
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


@transaction.atomic
def keep_placed_photo(pair: Pair, *, stages: Sequence[Stage], jpeg: bytes, by: Person, at: datetime) -> PlacedPhoto:
    """Keep a photo, as `photos.kept_photo` made it, of what these stages of one kind close in. Raises `Refused`."""
    return _keep(pair, stages, says="Kept a photo in position", jpeg=jpeg, by=by, at=at)


@transaction.atomic
def leave_photo_out(pair: Pair, *, stages: Sequence[Stage], because: str, by: Person, at: datetime) -> PlacedPhoto:
    """Say why there is no photo of what these stages close in. Raises `Refused` where nothing is said."""
    why = because.strip()
    if not why:
        raise Refused("Say why there is no photo.")
    return _keep(pair, stages, says=f"No photo in position, {why}", because=why, by=by, at=at)


def _keep(
    pair: Pair,
    stages: Sequence[Stage],
    *,
    says: str,
    jpeg: bytes | None = None,
    because: str = "",
    by: Person,
    at: datetime,
) -> PlacedPhoto:
    pair = lock_open_pair(pair)
    shown = list(Stage.objects.filter(pk__in=[stage.pk for stage in stages], pair=pair).select_related("kind"))
    if not shown or len({stage.kind_id for stage in shown}) > 1:
        raise Refused("A photo is of one stage of this pair.")
    for stage in shown:
        if stage.retired_at or stage.ticked_at or (stage.begun_at and stage.covers):
            raise Refused(f"{stages_words([stage])}, is done: the part is already covered.")
        if not stage.requirements.filter(moment=CheckMoment.PLACED).exists():
            raise Refused(f"{stages_words([stage])}: nothing is put in position there.")
    feet = {stage.side: stage for stage in shown}
    says = f"{says}: {stages_words(shown)}."
    with acting(by=by, action="keep_placed_photo", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        return PlacedPhoto.objects.create(
            left=feet.get(Side.LEFT),
            right=feet.get(Side.RIGHT),
            jpeg=jpeg,
            sha256=sha256_of(jpeg) if jpeg else "",
            left_out_because=because,
            by=by,
            at=at,
        )
