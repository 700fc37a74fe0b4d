"""A finished pair is put on the scale: what it weighs stands beside what was estimated of it."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cases.prescriptions.models import Prescription, WeighedShoe
from cases.prescriptions.models.prescription import WorkKind
from cases.prescriptions.panel import day_of, implied_by
from cases.prescriptions.queries import whole
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person

LIGHTEST_G, HEAVIEST_G = 50, 5000
WHOLE_SHOES = {WorkKind.NEW, WorkKind.REPEAT}
"""Work whose prescription says the whole shoe: of any other the parts add up to no weight."""


@transaction.atomic
def record_weights(
    prescription: Prescription, *, pair_uuid: UUID, weighed_g: Mapping[Side, int], by: Person, at: datetime
) -> None:
    """Put the weights of a pair on record, with the estimates of the day its version was signed.

    Raises `Refused` for work on a shoe that was there, for a version that was never signed, a shoe it does not
    prescribe, and a weight that no shoe has.
    """
    version = whole(prescription.uuid)
    if version.work not in WHOLE_SHOES or version.signed_at is None:
        raise Refused("Only a pair that was built here from a signed prescription is weighed against its estimate.")
    if not weighed_g:
        raise Refused("Say what at least one shoe weighs.")
    estimated = implied_by(version, day=day_of(timezone.localdate(version.signed_at))).implied.feet
    for side, grams in weighed_g.items():
        if side not in estimated:
            raise Refused(f"{side.label}: no weight was estimated of this shoe.")
        if not LIGHTEST_G <= grams <= HEAVIEST_G:
            raise Refused(f"{side.label}: a shoe weighs {LIGHTEST_G} to {HEAVIEST_G} g.")
    says = "Weighed " + ", ".join(f"{side.label} {grams} g" for side, grams in weighed_g.items()) + "."
    with acting(by=by, action="record_weights", says=says, at=at, patient=version.patient.uuid, pair=pair_uuid):
        for side, grams in weighed_g.items():
            WeighedShoe.objects.create(
                prescription_uuid=version.uuid,
                pair_uuid=pair_uuid,
                side=side,
                weighed_g=grams,
                estimated_g=Decimal(f"{estimated[side].weight.by_parts_g:.1f}"),
                by=by,
                at=at,
            )
