"""Who may record what the client's feet say of a pair."""

from shared.refusals import NotAllowed
from workshop.staff.models import Person, RoleKind


def require_clinician(person: Person) -> None:
    """Raises `NotAllowed` for anybody who does not work here as a clinician."""
    if person.retired_on is not None or not person.holds_any_of({RoleKind.CLINICIAN}):
        raise NotAllowed("Only a clinician records a fitting, a hand-over or a review.")
