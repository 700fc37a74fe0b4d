"""A version read whole in one query holds what its tables hold, value for value and kind for kind."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

import pytest
from django.db.models import Model

from cases.prescriptions import actions, queries
from cases.prescriptions.models import Foot, Prescription
from cases.prescriptions.parts import MANY, SINGLE, PartsOfFoot
from shared.tree import Branch, Tree
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_order_document, make_prescription, make_weighed_shoe, signed
from tests.prescriptions.every_part import EVERYTHING
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def everything() -> Prescription:
    """Two feet with every part, on agreed lasts, from measures, ordered elsewhere, the second version."""
    patient = make_patient()
    left, right = (agreed(make_last(owner=patient, side=side)) for side in ("left", "right"))
    first = signed(
        make_prescription(
            patient=patient,
            measure_set=make_measure_set(patient=patient),
            left_last=left,
            right_last=right,
            both=EVERYTHING,
        )
    )
    assert first.signed_by
    second = actions.write_new_version(first, reason="The back rubs.", by=first.signed_by, at=first.written_at)
    make_order_document(second)
    return second


def rows_of(version: Prescription) -> Iterator[tuple[str, Model]]:
    """Every row that comes with a version, by where it hangs."""
    yield "version", version
    for name in ("patient", "measure_set", "supersedes", "written_by", "signed_by", "taken_over_by"):
        if (row := getattr(version, name)) is not None:
            yield name, row
    if version.measure_set is not None:
        yield from (("measure", row) for row in version.measure_set.measures.all())
        yield from (("deviation", row) for row in version.measure_set.deviations.all())
    for foot in version.foot_set.all():
        yield from ((f"{foot.side} {name}", row) for name, row in rows_of_foot(foot))


def rows_of_foot(foot: Foot) -> Iterator[tuple[str, Model]]:
    yield "foot", foot
    if foot.last is not None:
        yield "last", foot.last
        yield from (("agreement", row) for row in foot.last.agreements.all())
    for name, kind in SINGLE.items():
        if (part := foot.one(name, kind)) is not None:
            yield name, part
    for name, several in MANY.items():
        yield from ((name, part) for part in foot.several(name, several.model))


def values(row: Model) -> dict[str, tuple[type, Any]]:
    """What a row holds, but for what was left unread."""
    held = {
        field.attname: row.__dict__[field.attname]
        for field in row._meta.concrete_fields
        if field.attname in row.__dict__
    }
    return {name: (type(value), value) for name, value in held.items()}


def as_kept(row: Model) -> dict[str, tuple[type, Any]]:
    """The same row as Django reads it by itself."""
    read = type(row)._default_manager.get(pk=row.pk)
    return {name: value for name, value in values(read).items() if name in values(row)}


def test_every_row_is_as_django_reads_it() -> None:
    whole = queries.whole(everything().uuid)
    assert [(where, values(row)) for where, row in rows_of(whole)] == [
        (where, as_kept(row)) for where, row in rows_of(whole)
    ]


def test_every_part_of_either_foot_comes_along() -> None:
    draft = everything()
    assert [(where, row.pk) for where, row in rows_of(queries.whole(draft.uuid))] == [
        (where, row.pk) for where, row in rows_of(Prescription.objects.get(pk=draft.pk))
    ]


def test_nothing_more_is_read_of_a_version_that_was_read_whole(django_assert_num_queries: Any) -> None:
    uuid = everything().uuid
    with django_assert_num_queries(1):
        list(rows_of(queries.whole(uuid)))


def test_the_papers_of_an_order_come_without_the_files_themselves(django_assert_num_queries: Any) -> None:
    draft = everything()
    (paper,) = queries.whole(draft.uuid).order_papers
    assert (paper.title, paper.get_deferred_fields()) == ("Letter", {"file"})


def test_no_password_comes_along_with_a_name() -> None:
    assert queries.whole(everything().uuid).written_by.get_deferred_fields() == {"password"}


def test_what_the_scale_teaches_comes_along() -> None:
    draft = everything()
    make_weighed_shoe()
    assert queries.whole(draft.uuid).weighed.pairs == 1


def test_no_such_version_is_said_so() -> None:
    with pytest.raises(Prescription.DoesNotExist):
        queries.whole(make_patient().uuid)


PARTS_WRITTEN: list[PartsOfFoot] = [
    {"heel": {"height_mm": 18}},
    {"rocker": {"apex_percent": 60, "angle_deg": 12}},
    {"rocker": None, "shank": None},
    {"flares": [{"edge": "lateral", "width_mm": 4}]},
    {"flares": [{"edge": "medial", "width_mm": 6}, {"edge": "lateral", "width_mm": 3}], "reliefs": []},
    {"foot": {"remarks": "sore at the side"}},
]


@pytest.mark.parametrize("before", [{}, EVERYTHING], ids=["ordinary", "with every part"])
@pytest.mark.parametrize("parts", PARTS_WRITTEN, ids=[" ".join(parts) for parts in PARTS_WRITTEN])
def test_a_draft_that_was_written_on_holds_what_is_saved(
    before: PartsOfFoot, parts: PartsOfFoot, clinician: Person, now: datetime
) -> None:
    draft = make_prescription(both=before)
    saved = actions.save_draft(
        draft, seen_version=1, fields={"remarks": "both"}, parts={"left": parts}, by=clinician, at=now
    )
    assert [(where, values(row)) for where, row in rows_of(saved)] == [
        (where, values(row)) for where, row in rows_of(queries.whole(draft.uuid))
    ]


def test_a_draft_that_somebody_saved_since_is_read_again(clinician: Person, now: datetime) -> None:
    draft = make_prescription()
    read_before = queries.whole(draft.uuid)
    actions.save_draft(draft, seen_version=1, parts={"right": {"heel": {"height_mm": 31}}}, by=clinician, at=now)
    saved = actions.save_draft(
        read_before, seen_version=2, parts={"left": {"heel": {"height_mm": 18}}}, by=clinician, at=now
    )
    assert [(where, values(row)) for where, row in rows_of(saved)] == [
        (where, values(row)) for where, row in rows_of(queries.whole(draft.uuid))
    ]


def test_a_column_that_does_not_come_as_json_is_named() -> None:
    paper = make_order_document(make_prescription())
    papers = Branch(type(paper), "prescription_id")
    with pytest.raises(TypeError, match="leave it out"):
        Tree(Prescription, {"papers": papers}).read("top.id = %s", [paper.prescription_id])


def test_only_the_latest_rows_of_a_branch_come_where_so_many_are_asked() -> None:
    first, *later = (make_patient() for _ in range(3))
    (found,) = Tree(type(first), {"everybody": Branch(type(first), latest=2)}).read("top.id = %s", [first.pk])
    assert [row.pk for row in found.several("everybody")] == [each.pk for each in reversed(later)]
