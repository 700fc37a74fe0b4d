"""What is said of a patch against the workshop's limits. A word, never a refusal: the maker knows the last."""

from datetime import date
from decimal import Decimal

from cases.lasts.models import LastPatch, PatchWork
from workshop.figures.queries import FigureKnown, figures_known

WATCH, MOST = "patch_watch_mm", "patch_most_mm"
PLASTIC, WOOD = "take_down_plastic_most_mm", "take_down_wood_most_mm"


def said_of_patch(patch: LastPatch, *, on: date) -> str:
    """The limit that a patch is beyond, in mm with how far it may be trusted; empty within all of them. One query."""
    known = figures_known([WATCH, MOST, PLASTIC, WOOD], on=on)
    high = f"{_mm(patch.height_mm)} is planned"
    if patch.work == PatchWork.BUILD_UP:
        if patch.height_mm > known[MOST].value:
            return f"{high}: at most {_limit(known[MOST])} is built up, above it a new last is made."
        if patch.height_mm > known[WATCH].value:
            return f"{high}: above {_limit(known[WATCH])}, is a new last the better work?"
        return ""
    if patch.height_mm > known[WOOD].value:
        return f"{high}: a wooden last bears {_limit(known[WOOD])} taken down, a plastic one {_limit(known[PLASTIC])}."
    if patch.height_mm > known[PLASTIC].value:
        return f"{high}: a plastic last bears {_limit(known[PLASTIC])} taken down; a wooden one alone bears more."
    return ""


def _limit(known: FigureKnown) -> str:
    return f"{_mm(known.value)} ({known.trusted})"


def _mm(value: Decimal) -> str:
    return f"{value.normalize():f} mm"
