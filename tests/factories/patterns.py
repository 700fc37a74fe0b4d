"""Pairs whose patterns may be cut: on agreed lasts, to a signed prescription; and what a maker did to them."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from cases.bench.models import Pair
from cases.lasts.models import Last
from cases.patients.models import Patient
from cases.patterns import actions
from cases.patterns.actions import Adjusted
from cases.patterns.models import OwnTemplate, PatternAdjustment
from shared.sides import SIDES, Side
from tests.factories.bench import make_pair
from tests.factories.lasts import agreed, make_last
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_signed_prescription
from workshop.staff.models import Person

MEDIUM_MM = 130
"""The medial reach that `tests.factories.prescriptions.ORDINARY` prescribes."""


def make_lasts(owner: Patient | None, **fields: Any) -> dict[Side, Last]:
    """A last for each foot, agreed as it is; of stock where no owner is given."""
    return {side: agreed(make_last(owner=owner, side=side, **fields)) for side in SIDES}


def make_pair_on_lasts(
    *,
    by: Person,
    at: datetime,
    patient: Patient | None = None,
    lasts: dict[Side, Last] | None = None,
    **prescribed: Any,
) -> Pair:
    """A pair opened on the bench that works to a signed prescription on these lasts, agreed ones unless said."""
    patient = patient or make_patient()
    lasts = make_lasts(patient) if lasts is None else lasts
    signed = make_signed_prescription(
        patient=patient,
        **{"written_by": by, "left_last": lasts.get(Side.LEFT), "right_last": lasts.get(Side.RIGHT), **prescribed},
    )
    return make_pair(by=by, at=at, prescription=signed)


def reach(to_mm: float, *, side: Side = Side.LEFT, what: str = "medial-reach", after: object = None) -> Adjusted:
    """The reach of a stiffener, set to so many mm."""
    follows = str(getattr(after, "uuid", "") or "")
    return Adjusted(side=side, piece="stiffener", what=what, to_mm=Decimal(str(to_mm)), follows=follows)


def make_adjustment(
    pair: Pair, adjusted: Adjusted | None = None, *, reason: str = "the heel is long", by: Person, at: datetime
) -> PatternAdjustment:
    """An adjustment of a pair, of the LEFT medial reach by 2 mm unless said."""
    return actions.adjust(pair, adjusted or reach(MEDIUM_MM + 2), reason=reason, by=by, at=at)


def make_own_template(
    pair: Pair, *, piece: str = "toe_puff", template: str = "my puff no. 3", by: Person, at: datetime
) -> list[OwnTemplate]:
    """The maker's own template, on both feet."""
    return actions.use_own_template(pair, sides=SIDES, piece=piece, template=template, by=by, at=at)
