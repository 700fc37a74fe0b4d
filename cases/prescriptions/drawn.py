"""The cut-aways of a version as pages and papers show them; of two versions, side by side with what changed marked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from cases.prescriptions.cut_away import CutAway, cut_aways_of
from cases.prescriptions.implied import Implied, implied_of
from cases.prescriptions.models import Prescription
from cases.prescriptions.panel import Day, day_of, drawings, promised_to, workshop_of
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.shoes_of import shoes_of_versions
from shared.sides import Side


@dataclass(frozen=True)
class Drawn:
    """The drawings of one version and what it implies.

    `before`: the drawings of the version it follows, where that is shown beside.
    """

    cut_aways: tuple[CutAway, ...]
    implied: Implied
    before: tuple[CutAway, ...] = ()


def drawn(version: Prescription, *, on: date, prefix: str = "cut") -> Drawn:
    """The drawings of a version that `queries.whole` read. One query: figures and materials."""
    day = day_of(on)
    shoes = _shoes([version], day)[0]
    return Drawn(cut_aways_of(shoes, prefix=prefix), _implied(version, shoes, day))


def drawn_beside(version: Prescription, earlier: Prescription, *, on: date) -> Drawn:
    """Both versions' drawings; what differs is marked on the later. One query."""
    day = day_of(on)
    now, before = _shoes([version, earlier], day)
    cut_aways, cut_aways_before = drawings(now, before)
    return Drawn(cut_aways, _implied(version, now, day), before=cut_aways_before)


def _shoes(versions: Sequence[Prescription], day: Day) -> list[Mapping[Side, Shoe]]:
    return [*shoes_of_versions(versions, toe_allowance_mm=day.toe_allowance_mm)]


def _implied(version: Prescription, shoes: Mapping[Side, Shoe], day: Day) -> Implied:
    return implied_of(shoes, workshop=workshop_of(version, day=day), promised=promised_to(version))
