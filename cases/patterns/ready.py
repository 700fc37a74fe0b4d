"""Whether patterns may be printed and cut: what stands in the way, in one plain sentence each."""

from collections.abc import Iterator

from cases.bench.models import Pair
from cases.patterns.queries import Patterns
from cases.prescriptions.models import PrescriptionStatus
from cases.prescriptions.models.prescription import WorkKind
from shared.refusals import Refused
from shared.sides import Side

WITHOUT_PATTERNS = {
    WorkKind.REPAIR: "A repair has no prescription, and so no patterns.",
    WorkKind.ADAPTATION: "A ready-made shoe is adapted on no last of its own, and so has no patterns.",
}


def refuse_without_patterns(pair: Pair) -> None:
    """Raises `Refused` for a repair and for an adaptation."""
    words = WITHOUT_PATTERNS.get(WorkKind(pair.kind))
    if words is not None:
        raise Refused(f"{words} This is pair {pair.number}.")


def refuse_to_cut(patterns: Patterns) -> None:
    """Raises `Refused` with every reason why nothing may be cut from these patterns yet."""
    if reasons := not_to_be_cut(patterns):
        raise Refused(" ".join(reasons))


def not_to_be_cut(patterns: Patterns) -> tuple[str, ...]:
    """Why nothing may be cut from these patterns yet, and what to do; empty where they may be printed."""
    return tuple(_reasons(patterns))


def _reasons(patterns: Patterns) -> Iterator[str]:
    version = patterns.version
    number = version.number
    if version.status == PrescriptionStatus.WITHDRAWN:
        yield f"Prescription {number} was withdrawn: ask the clinician."
    elif version.status == PrescriptionStatus.SUPERSEDED:
        yield (
            f"This pair works to version {version.version_no} of prescription {number}, and a newer one is signed: "
            "take it up on the bench page first."
        )
    elif version.status != PrescriptionStatus.SIGNED:
        yield f"Prescription {number}, version {version.version_no}, is not signed: ask the clinician to sign it."
    for foot in version.foot_set.all():
        side, last = Side(foot.side), foot.last
        if last is None:
            yield f"{side.label}: the prescription names no last: ask the clinician for a version that names one."
        elif not patterns.shoes[side].form.is_agreed:
            yield f"{side.label}: last {last.number} is not agreed as it is now: measure it and agree it on its page first."
