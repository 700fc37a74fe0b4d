"""A signed prescription stays as it was signed. The database keeps that, whoever asks and whatever they say."""

from collections.abc import Callable, Iterator
from typing import Any
from uuid import uuid4

import pgtrigger
import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.utils import timezone

from cases.prescriptions.models import Foot, OrderDocument, Prescription
from cases.prescriptions.models.prescription import MANY_PARTS, SINGLE_PARTS
from shared.history import Program, acting
from shared.privileges import APPLICATION_ROLE, grant_to_application_role
from tests.factories.base import setting_up
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_order_document, make_prescription, make_signed_prescription, signed
from tests.factories.staff import make_person
from tests.prescriptions.every_part import EVERYTHING
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FROZEN = "signed_prescription_is_frozen"


def children_of(model: type[models.Model]) -> Iterator[type[models.Model]]:
    """Every table of this room that belongs to rows of `model`, at any depth."""
    for relation in model._meta.related_objects:
        child = relation.related_model
        assert not isinstance(child, str)
        if child._meta.app_label == "prescriptions" and child is not model:
            yield child
            yield from children_of(child)


CHILDREN = sorted(set(children_of(Prescription)), key=lambda model: model.__name__)
PARTS = [model for model in CHILDREN if hasattr(model, "foot")]
ROWS = [Foot, *PARTS]


def refused_by(act: Callable[[], object]) -> str | None:
    """The constraint that refuses an act of the program itself, or None where nothing does."""
    try:
        with transaction.atomic(), setting_up():
            act()
    except IntegrityError as error:
        name: str | None = error.__cause__.diag.constraint_name  # type: ignore[union-attr]
        return name
    return None


def a_change(row: models.Model) -> dict[str, Any]:
    """Something that would make a row another row."""
    for field in row._meta.concrete_fields:
        if isinstance(field, models.DecimalField):
            return {field.name: (getattr(row, field.name) or 0) + 1}
    return {"extent" if hasattr(row, "extent") else "remarks": "changed"}


@pytest.fixture
def of_signed() -> Prescription:
    return make_signed_prescription(both=EVERYTHING)


@pytest.mark.parametrize("model", CHILDREN, ids=lambda model: model.__name__)
def test_every_table_below_a_prescription_carries_the_guard(model: type[models.Model]) -> None:
    guarded: list[tuple[Any, pgtrigger.Trigger]] = pgtrigger.registered()
    names = {trigger.name for registered, trigger in guarded if registered is model}
    assert "part_of_signed_is_frozen" in names


def test_the_walk_finds_every_part() -> None:
    assert len(PARTS) == len(SINGLE_PARTS) + len(MANY_PARTS)


def refusals(models_to_try: list[Any], act: Callable[[Any], Callable[[], object]]) -> dict[str, str | None]:
    """By table, what refuses an act on a row of it."""
    return {model.__name__: refused_by(act(model)) for model in models_to_try}


def everywhere(models_to_try: list[Any], name: str | None) -> dict[str, str | None]:
    return {model.__name__: name for model in models_to_try}


def changing(model: Any) -> Callable[[], object]:
    row = model.objects.first()
    return lambda: model.objects.filter(pk=row.pk).update(**a_change(row))


def taking_away(model: Any) -> Callable[[], object]:
    row = model.objects.first()
    return lambda: model.objects.filter(pk=row.pk)._raw_delete("default")


def test_no_part_of_a_signed_version_is_changed(of_signed: Prescription) -> None:
    assert refusals(ROWS, changing) == everywhere(ROWS, FROZEN)


def test_no_part_of_a_signed_version_is_taken_away(of_signed: Prescription) -> None:
    assert refusals(ROWS, taking_away) == everywhere(ROWS, FROZEN)


def test_no_part_is_added_to_a_signed_version(of_signed: Prescription) -> None:
    def adding(model: Any) -> Callable[[], object]:
        row = model.objects.first()
        row.pk = None
        return lambda: row.save(force_insert=True)

    assert refusals(PARTS, adding) == everywhere(PARTS, FROZEN)


def moving(*, of: Prescription, to: Prescription) -> Callable[[Any], Callable[[], object]]:
    foot = to.foot_set.first()

    def move(model: Any) -> Callable[[], object]:
        row = model.objects.filter(foot__prescription=of).first()
        return lambda: model.objects.filter(pk=row.pk).update(foot=foot)

    return move


def test_no_part_of_a_draft_is_moved_into_a_signed_version(of_signed: Prescription) -> None:
    draft = make_prescription(both=EVERYTHING)
    assert refusals(PARTS, moving(of=draft, to=of_signed)) == everywhere(PARTS, FROZEN)


def test_no_part_of_a_signed_version_is_moved_out_of_it(of_signed: Prescription) -> None:
    draft = make_prescription()
    assert refusals(PARTS, moving(of=of_signed, to=draft)) == everywhere(PARTS, FROZEN)


def test_no_part_of_a_signed_version_is_moved_to_its_other_foot(of_signed: Prescription) -> None:
    right = of_signed.foot_set.get(side="right")

    def move(model: Any) -> Callable[[], object]:
        row = model.objects.filter(foot__prescription=of_signed, foot__side="left").first()
        return lambda: model.objects.filter(pk=row.pk).update(foot=right)

    assert refusals(PARTS, move) == everywhere(PARTS, FROZEN)


def test_a_foot_is_not_added_to_a_signed_version() -> None:
    one_shoe = make_signed_prescription(feet="left")
    assert refused_by(lambda: Foot.objects.create(prescription=one_shoe, side="right")) == FROZEN


def test_a_foot_of_a_draft_is_not_moved_into_a_signed_version() -> None:
    one_shoe = make_signed_prescription(feet="left")
    foot = make_prescription(feet="right").foot_set.get()
    assert refused_by(lambda: Foot.objects.filter(pk=foot.pk).update(prescription=one_shoe)) == FROZEN


def test_a_paper_is_not_attached_to_a_signed_version(of_signed: Prescription) -> None:
    paper = make_order_document(make_prescription())
    paper.pk, paper.uuid, paper.prescription = None, uuid4(), of_signed
    assert refused_by(lambda: paper.save(force_insert=True)) == FROZEN


def test_a_paper_of_a_signed_version_is_not_exchanged() -> None:
    draft = make_prescription()
    paper = OrderDocument.objects.filter(pk=make_order_document(draft).pk)
    signed(draft)
    assert refused_by(lambda: paper.update(title="Another")) == FROZEN


def test_a_paper_of_a_signed_version_is_not_taken_away() -> None:
    draft = make_prescription()
    paper = OrderDocument.objects.filter(pk=make_order_document(draft).pk)
    signed(draft)
    assert refused_by(lambda: paper._raw_delete("default")) == FROZEN


def test_a_paper_that_is_not_what_came_is_not_kept() -> None:
    paper = make_order_document(make_prescription())
    exchanged = OrderDocument.objects.filter(pk=paper.pk)
    assert refused_by(lambda: exchanged.update(file=b"other")) == "order_document_matches_its_hash"


def test_nobody_ordered_it_whom_nobody_here_answers_for() -> None:
    draft = Prescription.objects.filter(pk=make_prescription().pk)
    assert refused_by(lambda: draft.update(outside_author="Dr Odo")) == "an_order_is_taken_over_by_somebody"


@pytest.mark.parametrize(
    "change",
    [
        {"status": "draft", "signed_by": None, "signed_at": None},
        {"status": "draft"},
        {"construction": "sandal"},
        {"purpose": "another"},
        {"signed_by": None},
        {"status": "withdrawn", "purpose": "another"},
        {"status": "superseded"},
        {"version": 99},
    ],
    ids=str,
)
def test_a_signed_version_is_not_changed(of_signed: Prescription, change: dict[str, Any]) -> None:
    assert refused_by(lambda: Prescription.objects.filter(pk=of_signed.pk).update(**change)) == FROZEN


def test_a_signed_version_is_not_deleted(of_signed: Prescription) -> None:
    rows = Prescription.objects.filter(pk=of_signed.pk)
    assert refused_by(lambda: rows._raw_delete("default")) == FROZEN


@pytest.mark.parametrize("status", ["signed", "superseded", "withdrawn"])
def test_a_prescription_begins_as_a_draft(clinician: Person, status: str) -> None:
    patient = make_patient()

    def begin() -> None:
        Prescription.objects.create(
            patient=patient,
            number=1,
            status=status,
            written_by=clinician,
            written_at=timezone.now(),
            signed_by=clinician,
            signed_at=timezone.now(),
        )

    assert refused_by(begin) == "a_prescription_begins_as_a_draft"


def sign(draft: Prescription, *, signer: Person | None, deed_of: Person | Program) -> str | None:
    try:
        with transaction.atomic(), acting(by=deed_of, action="sign", says="Signed.", at=timezone.now()):
            Prescription.objects.filter(pk=draft.pk).update(status="signed", signed_by=signer, signed_at=timezone.now())
    except IntegrityError as error:
        name: str | None = error.__cause__.diag.constraint_name  # type: ignore[union-attr]
        return name
    return None


def test_only_a_person_who_may_prescribe_signs() -> None:
    no_prescriber = make_person(roles=["clinician"])
    assert sign(make_prescription(), signer=no_prescriber, deed_of=no_prescriber) == "only_a_prescriber_signs"


def test_a_prescriber_who_left_signs_no_more(clinician: Person) -> None:
    draft = make_prescription()
    with setting_up():
        Person.objects.filter(pk=clinician.pk).update(retired_on=timezone.localdate())
    assert sign(draft, signer=clinician, deed_of=clinician) == "only_a_prescriber_signs"


def test_nobody_signs_in_anothers_name(clinician: Person, maker: Person) -> None:
    assert sign(make_prescription(), signer=clinician, deed_of=maker) == "nobody_signs_for_another"


def test_nobody_signs_without_a_name() -> None:
    assert sign(make_prescription(), signer=None, deed_of=Program()) == "only_a_prescriber_signs"


def a_draft_that_follows(signed: Prescription) -> Prescription:
    return make_prescription(
        patient=signed.patient, number=signed.number, version_no=2, supersedes=signed, reason="worn"
    )


def superseding(version: Prescription) -> Callable[[], object]:
    """What the end of a transaction that supersedes a version would do."""

    def supersede() -> None:
        Prescription.objects.filter(pk=version.pk).update(status="superseded")
        connection.check_constraints()

    return supersede


def test_a_signed_version_stands_while_only_a_draft_follows_it(of_signed: Prescription) -> None:
    a_draft_that_follows(of_signed)
    assert refused_by(superseding(of_signed)) == "a_version_gives_way_to_a_signed_one"


def test_a_signed_version_does_not_give_way_to_a_draft_that_was_withdrawn(of_signed: Prescription) -> None:
    draft = a_draft_that_follows(of_signed)

    def supersede_and_withdraw() -> None:
        Prescription.objects.filter(pk=of_signed.pk).update(status="superseded")
        Prescription.objects.filter(pk=draft.pk).update(status="withdrawn")
        connection.check_constraints()

    assert refused_by(supersede_and_withdraw) == "a_version_gives_way_to_a_signed_one"


def test_there_is_one_draft_of_a_prescription(of_signed: Prescription) -> None:
    a_draft_that_follows(of_signed)
    second = Prescription(
        patient=of_signed.patient,
        number=of_signed.number,
        version_no=3,
        supersedes=of_signed,
        reason="again",
        written_by=of_signed.written_by,
        written_at=timezone.now(),
    )
    assert refused_by(second.save) in {"one_draft_at_a_time", "a_version_is_followed_by_one"}


def test_there_is_one_signed_version_of_a_prescription(of_signed: Prescription) -> None:
    draft = a_draft_that_follows(of_signed)
    signer = draft.written_by
    assert sign(draft, signer=signer, deed_of=signer) == "one_signed_version_at_a_time"


def test_a_new_version_follows_a_version_of_the_same_client(of_signed: Prescription) -> None:
    of_another = make_patient()
    follower = Prescription(
        patient=of_another,
        number=of_signed.number,
        version_no=2,
        supersedes=of_signed,
        reason="worn",
        written_by=of_signed.written_by,
        written_at=timezone.now(),
    )
    assert refused_by(follower.save) == "a_new_version_follows_its_own"


def test_a_shoe_is_not_built_on_a_last_of_the_other_side() -> None:
    draft = make_prescription()
    right_last = make_last(owner=draft.patient, side="right")
    left_foot = Foot.objects.filter(prescription=draft, side="left")
    assert refused_by(lambda: left_foot.update(last=right_last)) == "a_foot_has_its_own_last"


def test_a_shoe_is_not_built_on_another_clients_last() -> None:
    draft = make_prescription()
    of_another = make_last(owner=make_patient(), side="left")
    left_foot = Foot.objects.filter(prescription=draft, side="left")
    assert refused_by(lambda: left_foot.update(last=of_another)) == "a_foot_has_its_own_last"


def built_on_a_cracked_last(**fields: Any) -> Prescription:
    patient = make_patient()
    last = make_last(owner=patient, side="left", not_used_because="cracked at the hinge")
    return make_prescription(patient=patient, left_last=last, **fields)


@pytest.mark.parametrize("work", ["new", "repeat"])
def test_nothing_is_signed_to_be_built_on_a_last_that_is_not_to_be_used(clinician: Person, work: str) -> None:
    draft = built_on_a_cracked_last(work=work)
    assert sign(draft, signer=clinician, deed_of=clinician) == "a_shoe_is_built_on_a_last_that_may_be_used"


def test_a_repair_is_signed_whatever_became_of_the_last(clinician: Person) -> None:
    assert sign(built_on_a_cracked_last(work="repair"), signer=clinician, deed_of=clinician) is None


# As the application's own role, with every way round that a session has --------------------------------------------


@pytest.fixture
def as_application_role(of_signed: Prescription) -> Iterator[Prescription]:
    """The session acts with the rights of the application's role, and names every guard to be ignored."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [APPLICATION_ROLE])
        if cursor.fetchone() is None:
            cursor.execute(f"CREATE ROLE {APPLICATION_ROLE}")
        grant_to_application_role(apps.get_app_config("shared"))
        cursor.execute(f"SET LOCAL ROLE {APPLICATION_ROLE}")
        cursor.execute("SELECT array_agg(tgname)::text FROM pg_trigger WHERE tgname LIKE 'pgtrigger%%'")
        (every_guard,) = cursor.fetchone()
        cursor.execute("SELECT set_config('pgtrigger.ignore', %s, true)", [every_guard])
    yield of_signed
    with connection.cursor() as cursor:
        cursor.execute("RESET ROLE")


def test_the_applications_role_changes_no_part(as_application_role: Prescription) -> None:
    assert refusals(ROWS, changing) == everywhere(ROWS, FROZEN)


def test_the_applications_role_takes_no_part_away(as_application_role: Prescription) -> None:
    assert refusals(ROWS, taking_away) == everywhere(ROWS, FROZEN)


def test_the_applications_role_cannot_unsign(as_application_role: Prescription) -> None:
    rows = Prescription.objects.filter(pk=as_application_role.pk)
    assert refused_by(lambda: rows.update(status="draft", signed_by=None, signed_at=None)) == FROZEN


def test_the_applications_role_cannot_sign_for_another(as_application_role: Prescription) -> None:
    draft = make_prescription()
    assert sign(draft, signer=draft.written_by, deed_of=Program()) == "nobody_signs_for_another"


def test_what_is_refused_of_a_signed_version_is_done_to_a_draft() -> None:
    make_prescription(both=EVERYTHING)
    assert refusals(ROWS, changing) == everywhere(ROWS, None)
