"""Papers: kept as they were given, shown as they were given, refused where they are not that any more."""

import hashlib
import uuid
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse

from cases.patients import actions, queries
from cases.patients.models import Paper, PaperKind, Patient
from shared.history import acting
from shared.models import HistoryEntry
from tests.factories.patients import PDF, make_paper, make_patient
from tests.patients.refused import constraint_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]


def keep(patient: Patient, by: Person, at: datetime, **fields: Any) -> Paper:
    return actions.keep_paper(
        **{
            "patient": patient,
            "kind": PaperKind.REVIEW_LETTER,
            "title": "Review letter",
            "template_version": "1",
            "pdf": PDF,
            **fields,
        },
        by=by,
        at=at,
    )


def test_the_hash_is_that_of_the_contents(clinician: Person, now: datetime) -> None:
    assert keep(make_patient(), clinician, now).sha256 == hashlib.sha256(PDF).hexdigest()


def test_a_paper_replaces_the_latest_of_its_kind_about_the_same_thing(clinician: Person, now: datetime) -> None:
    patient, pair = make_patient(), uuid.uuid4()
    first = keep(patient, clinician, now, about_uuid=pair)
    second = keep(patient, clinician, now, about_uuid=pair)
    third = keep(patient, clinician, now, about_uuid=pair)
    assert (first.replaces, second.replaces, third.replaces) == (None, first, second)


@pytest.mark.parametrize("other", [{"about_uuid": uuid.uuid4()}, {"kind": PaperKind.JOB_CARD}, {"about_uuid": None}])
def test_a_paper_about_something_else_replaces_nothing(clinician: Person, now: datetime, other: dict[str, Any]) -> None:
    patient, pair = make_patient(), uuid.uuid4()
    keep(patient, clinician, now, about_uuid=pair)
    assert keep(patient, clinician, now, **{"about_uuid": pair} | other).replaces is None


def test_keeping_a_paper_leaves_one_history_row_without_its_contents(clinician: Person, now: datetime) -> None:
    pair = uuid.uuid4()
    paper = keep(make_patient(), clinician, now, pair_uuid=pair)
    entry = HistoryEntry.objects.get(table_name="patients_paper", row_id=paper.pk)
    assert (entry.deed.says, entry.deed.pair_uuid, "pdf" in (entry.after or {})) == (
        "Printed: Review letter.",
        pair,
        False,
    )


def test_the_stored_paper_is_served_byte_for_byte_and_kept_in_no_cache(signed_in: SignIn, clinician: Person) -> None:
    paper = make_paper(make_patient())
    answer = signed_in(clinician).get(reverse("paper", args=[paper.uuid]))
    assert answer.content == PDF
    assert (answer["Content-Type"], answer["Content-Disposition"], answer["Cache-Control"]) == (
        "application/pdf",
        'inline; filename="review-letter.pdf"',
        "no-store",
    )


def test_the_list_of_papers_does_not_load_their_contents(clinician: Person) -> None:
    paper = make_paper(make_patient())
    assert queries.papers_of(paper.patient).get().get_deferred_fields() == {"pdf"}


def test_a_paper_whose_contents_changed_is_refused_in_words(
    signed_in: SignIn, clinician: Person, now: datetime
) -> None:
    paper = make_paper(make_patient())
    # Nothing but a damaged disk or the owner of the database gets past the guards, so they are taken off by hand.
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("ALTER TABLE patients_paper DROP CONSTRAINT paper_matches_its_hash")
        cursor.execute("ALTER TABLE patients_paper DISABLE TRIGGER USER")
        cursor.execute("UPDATE patients_paper SET pdf = %s WHERE id = %s", [PDF + b"?", paper.pk])
    answer = signed_in(clinician).get(reverse("paper", args=[paper.uuid]))
    assert answer.status_code == 409
    assert "no longer what was given out" in answer.content.decode()


def test_a_paper_that_does_not_exist_is_not_found(signed_in: SignIn, clinician: Person) -> None:
    assert signed_in(clinician).get(reverse("paper", args=[uuid.uuid4()])).status_code == 404


@pytest.mark.parametrize("change", [{"title": "Another"}, {"pdf": b"%PDF-1.7 forged"}, {"sha256": "0" * 64}])
def test_the_table_refuses_to_change_a_paper(clinician: Person, now: datetime, change: dict[str, Any]) -> None:
    paper = make_paper(make_patient())
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=clinician, action="go_round", says="Went round the action.", at=now),
    ):
        Paper.objects.filter(pk=paper.pk).update(**change)
    assert constraint_of(error) == "paper_is_final"


def test_the_table_refuses_to_forget_a_paper(clinician: Person, now: datetime) -> None:
    paper = make_paper(make_patient())
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=clinician, action="go_round", says="Went round the action.", at=now),
    ):
        paper.delete()
    assert constraint_of(error) == "paper_is_final"


def test_the_table_refuses_a_paper_under_another_hash() -> None:
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make_paper(make_patient(), sha256="0" * 64)
    assert constraint_of(error) == "paper_matches_its_hash"


def test_the_table_refuses_a_second_paper_that_replaces_the_same_one() -> None:
    patient = make_patient()
    first = make_paper(patient)
    make_paper(patient, replaces=first)
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make_paper(patient, replaces=first)
    assert constraint_of(error) == "patients_paper_replaces_id_key"
