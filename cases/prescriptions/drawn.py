"""The cut-aways of a version as pages and papers show them; of two versions, side by side with what changed marked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from cases.prescriptions.cut_away import CutAway, changed_parts, cut_aways_of
from cases.prescriptions.models import Prescription
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.shoes_of import shoes_of_versions
from shared.sides import Side
from workshop.figures.queries import figure


@dataclass(frozen=True)
class Drawn:
    """The drawings of one version; `before` those of the version it follows, where that is shown beside."""

    cut_aways: tuple[CutAway, ...]
    before: tuple[CutAway, ...] = ()


def drawn(version: Prescription, *, on: date, prefix: str = "cut") -> Drawn:
    """The drawings of a version that `queries.whole` read. Four queries at most: a setting, measures, lasts."""
    shoes = _shoes([version], on=on)[0]
    return Drawn(cut_aways_of(shoes, prefix=prefix))


def drawn_beside(version: Prescription, earlier: Prescription, *, on: date) -> Drawn:
    """Both versions' drawings; what differs is marked on the later. As many queries as for one."""
    now, before = _shoes([version, earlier], on=on)
    changed = {side: changed_parts(before[side], shoe) for side, shoe in now.items() if side in before}
    return Drawn(cut_aways_of(now, changed=changed), before=cut_aways_of(before, prefix="before"))


def _shoes(versions: Sequence[Prescription], *, on: date) -> list[Mapping[Side, Shoe]]:
    allowance = float(figure("toe_allowance_mm", on=on))
    return [*shoes_of_versions(versions, toe_allowance_mm=allowance)]
