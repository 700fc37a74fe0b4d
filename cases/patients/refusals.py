"""What this room says no to, where the person is led on rather than turned away."""

from collections.abc import Sequence
from uuid import UUID

from django.urls import reverse

from cases.patients.models import Patient
from shared.refusals import NotAllowed, Refused


class ReasonNeeded(NotAllowed):
    """This record is not open to this person until they say why. Leads to the page that asks."""

    def __init__(self, patient: UUID) -> None:
        super().__init__("This record is not open to your role. Say why you need it, and it opens until the day ends.")
        self.patient = patient
        self.leads_to = reverse("open-record", args=[patient])


class LooksRegistered(Refused):
    """Somebody of this family name and date of birth is registered already."""

    def __init__(self, namesakes: Sequence[Patient]) -> None:
        super().__init__("A client of this family name and date of birth is registered already.")
        self.namesakes = namesakes


class PaperDamaged(Refused):
    """What is stored is not what was given out."""

    def __init__(self) -> None:
        super().__init__(
            "This paper is not shown: what is stored is no longer what was given out. "
            "Tell whoever looks after this workshop; a backup holds it as it was."
        )
