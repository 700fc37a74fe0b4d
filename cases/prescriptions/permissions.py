"""Who may read and who may write prescriptions. Signing asks for a person who may prescribe, besides."""

from collections.abc import Iterator
from contextlib import contextmanager
from uuid import UUID

from django.http import Http404

from cases.prescriptions.models import OrderDocument, Prescription
from cases.prescriptions.queries import whole, with_the_one_before
from shared.refusals import NotAllowed
from workshop.staff.models import Person

READERS = ("clinician", "maker", "manager")
WRITERS = ("clinician",)
"""Makers work from it and managers plan by it; reception has no need of it."""


def may_write(person: Person) -> bool:
    return person.holds_any_of(WRITERS)


def prescription_for(person: Person, uuid: UUID, *, write: bool = False, behind_notes: bool = False) -> Prescription:
    """One version with everything in it, for a person who may read it, or `write` it; `behind_notes` as `whole`.

    Raises `Http404` where there is none (or this person may not know of it), `NotAllowed` where they may only read.
    """
    with _authorised(person, write=write):
        return whole(uuid, behind_notes=behind_notes)


def versions_for(person: Person, uuid: UUID, *, write: bool = False) -> tuple[Prescription, Prescription | None]:
    """A version and the one it follows, as `prescription_for`, with as many queries."""
    with _authorised(person, write=write):
        return with_the_one_before(uuid)


@contextmanager
def _authorised(person: Person, *, write: bool) -> Iterator[None]:
    if not person.holds_any_of(READERS):
        raise Http404
    try:
        yield
    except Prescription.DoesNotExist as error:
        raise Http404 from error
    if write and not may_write(person):
        raise NotAllowed("A clinician writes prescriptions. You may read this one.")


def order_document_for(person: Person, uuid: UUID) -> OrderDocument:
    """The paper of an order with its version, for a person who writes prescriptions. Raises `Http404` for others."""
    if not may_write(person):
        raise Http404
    found = OrderDocument.objects.select_related("prescription__patient").filter(uuid=uuid).first()
    if found is None:
        raise Http404
    return found
