"""The kinds of visit every workshop starts with. Minutes are from memory unless said; a workshop changes them."""

from datetime import datetime

from cases.diary.models import RING_BACK, VisitKind
from shared.history import Program, acting

KINDS: tuple[tuple[str, str, int, bool], ...] = (
    # UK hospital pages name 20 minutes at the least and 60 for a complex foot; 60 is common practice.
    ("assessment", "First assessment", 60, True),
    ("measures-and-cast", "Measures and cast", 45, True),
    ("choice", "Style, leather and quote", 20, False),
    ("trial-shoe", "Trial shoe", 30, True),
    ("rough-fitting", "Rough fitting", 30, True),
    ("final-fitting", "Final fitting", 45, True),
    ("hand-over", "Hand-over", 30, True),
    ("review", "Review", 30, True),
    ("alteration", "Alteration or take-in", 15, False),
    ("phone-call", "Phone or video call", 10, False),
    ("drop-in", "Drop-in: repair, collection, a quick stretch", 0, False),
    (RING_BACK, "Ring back: possible red flag", 0, True),
)
"""Key, name, minutes (0 takes no slot), whether a clinician must be there."""


def load(*, at: datetime) -> None:
    """Add the kinds of visit that are missing. What a workshop changed stays as it is."""
    missing = [kind for kind in KINDS if not VisitKind.objects.filter(key=kind[0]).exists()]
    if not missing:
        return
    with acting(by=Program(), action="load_visit_kinds", says="Loaded the kinds of visit to start with.", at=at):
        for key, name, minutes, with_clinician in missing:
            VisitKind.objects.create(
                key=key,
                name=name,
                minutes=minutes,
                with_clinician=with_clinician,
                order=[kind[0] for kind in KINDS].index(key) + 1,
            )
