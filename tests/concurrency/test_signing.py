"""A part changed while its version is being signed. The race is first shown to exist, with the guard's lock off."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from cases.prescriptions import actions, queries
from cases.prescriptions.models import Foot, Heel, Prescription
from shared.history import acting
from shared.versions import Stale
from tests.factories.base import setting_up
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db(transaction=True)

PRESCRIBED_MM, LATE_MM = 22, 40
LONG_ENOUGH = 0.6
"""Seconds in which a rival that is not held back has long gone by."""
NEVER = 20


@pytest.fixture
def draft() -> Prescription:
    patient = make_patient()
    return make_prescription(
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
    )


@contextmanager
def without_its_lock() -> Iterator[None]:
    """The guard of the heel as it would be if it only looked at the version and did not hold it."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT pg_get_functiondef(f.oid) FROM pg_trigger t JOIN pg_proc f ON f.oid = t.tgfoid"
            " WHERE t.tgrelid = 'prescriptions_heel'::regclass AND t.tgname LIKE '%%part_of_signed%%'"
        )
        (as_built,) = cursor.fetchone()
        cursor.execute(as_built.replace("FOR SHARE", ""))
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute(as_built)


def in_background(pool: ThreadPoolExecutor, act: Callable[[], object]) -> "Future[str]":
    """Run an act on a connection of its own; what comes back says how it ended."""

    def run() -> str:
        try:
            act()
        except IntegrityError as error:
            return str(error.__cause__.diag.constraint_name)  # type: ignore[union-attr]
        except Stale:
            return "stale"
        else:
            return "done"
        finally:
            connection.close()

    return pool.submit(run)


def change_heel(draft: Prescription, *, until: Event, begun: Event) -> None:
    """Change a part, going round the action, and leave the transaction open until told."""
    foot = Foot.objects.get(prescription=draft, side="left")
    with transaction.atomic(), setting_up():
        Heel.objects.filter(foot=foot).update(height_mm=LATE_MM)
        begun.set()
        until.wait(NEVER)


def sign_slowly(draft: Prescription, by: Person, *, until: Event, begun: Event) -> None:
    """Sign, going round the action, and leave the transaction open until told."""
    now = timezone.now()
    with transaction.atomic(), acting(by=by, action="sign", says="Signed.", at=now):
        Prescription.objects.filter(pk=draft.pk).update(status="signed", signed_by=by, signed_at=now)
        begun.set()
        until.wait(NEVER)


def outcome(draft: Prescription) -> tuple[str, int]:
    foot = Foot.objects.get(prescription=draft, side="left")
    return Prescription.objects.get(pk=draft.pk).status, int(Heel.objects.get(foot=foot).height_mm or 0)


def change_while_signing(draft: Prescription) -> tuple[str, bool]:
    """A signature is not yet through when the heel is changed: how the change ended, and whether it had to wait."""
    signed, enough = Event(), Event()
    with ThreadPoolExecutor(2) as pool:
        signature = in_background(pool, lambda: sign_slowly(draft, draft.written_by, until=enough, begun=signed))
        assert signed.wait(NEVER)
        already = Event()
        already.set()
        change = in_background(pool, lambda: change_heel(draft, until=already, begun=Event()))
        waited = not _done_within(change, LONG_ENOUGH)
        enough.set()
        assert signature.result(NEVER) == "done"
        return change.result(NEVER), waited


def _done_within(future: "Future[str]", seconds: float) -> bool:
    try:
        future.result(seconds)
    except TimeoutError:
        return False
    return True


def test_a_guard_that_only_looks_lets_a_late_change_into_a_signed_version(draft: Prescription) -> None:
    with without_its_lock():
        change_while_signing(draft)
    assert outcome(draft) == ("signed", LATE_MM)


def test_a_change_during_the_signing_waits_and_is_refused(draft: Prescription) -> None:
    ended = change_while_signing(draft)
    assert (ended, outcome(draft)) == (("signed_prescription_is_frozen", True), ("signed", PRESCRIBED_MM))


def test_a_signature_waits_for_a_change_that_is_under_way(draft: Prescription) -> None:
    changed, enough = Event(), Event()
    with ThreadPoolExecutor(2) as pool:
        change = in_background(pool, lambda: change_heel(draft, until=enough, begun=changed))
        assert changed.wait(NEVER)
        signature = in_background(
            pool,
            lambda: actions.sign_prescription(
                draft, seen_version=draft.version, by=draft.written_by, at=timezone.now()
            ),
        )
        waited = not _done_within(signature, LONG_ENOUGH)
        enough.set()
        assert change.result(NEVER) == "done"
        signature.result(NEVER)
    assert waited


def test_a_draft_saved_while_its_signature_waits_is_not_signed(draft: Prescription) -> None:
    """Who signs has read version 1; another clinician's save gets through first."""
    saved, enough = Event(), Event()
    # A draft read whole counts on with what is saved through it.
    read = draft.version

    def save_slowly() -> None:
        with transaction.atomic():
            actions.save_draft(
                draft,
                seen_version=read,
                parts={"left": {"heel": {"height_mm": LATE_MM}}},
                by=draft.written_by,
                at=timezone.now(),
            )
            saved.set()
            enough.wait(NEVER)

    with ThreadPoolExecutor(2) as pool:
        saving = in_background(pool, save_slowly)
        assert saved.wait(NEVER)
        signature = in_background(
            pool,
            lambda: actions.sign_prescription(draft, seen_version=read, by=draft.written_by, at=timezone.now()),
        )
        assert not _done_within(signature, LONG_ENOUGH)
        enough.set()
        assert saving.result(NEVER) == "done"
        assert signature.result(NEVER) == "stale"
    assert outcome(draft) == ("draft", LATE_MM)


def test_two_new_versions_begun_at_once_are_one_draft(draft: Prescription) -> None:
    from shared.refusals import Refused

    actions.sign_prescription(draft, seen_version=draft.version, by=draft.written_by, at=timezone.now())

    def begin(_: int) -> str:
        try:
            actions.write_new_version(draft, reason="worn", by=draft.written_by, at=timezone.now())
        except (Refused, IntegrityError):
            return "refused"
        else:
            return "begun"
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        ended = sorted(pool.map(begin, range(4)))
    versions = queries.versions_of(draft).count()
    assert (ended, versions) == (["begun", "refused", "refused", "refused"], 2)
