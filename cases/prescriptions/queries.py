"""Every read of prescriptions that more than one place needs."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.db import DEFAULT_DB_ALIAS
from django.db.models import DecimalField, Model, OuterRef, Prefetch, Q, QuerySet, TextField
from django.db.models.functions import Cast, JSONObject

from cases.lasts.models import LastAgreement, Measure, OutlineDeviation
from cases.patients.models import Patient
from cases.prescriptions.models import (
    Foot,
    OrderDocument,
    Prescription,
    PrescriptionStatus,
    StartingPattern,
    WeighedShoe,
)
from cases.prescriptions.models.prescription import SINGLE_PARTS, WorkKind
from cases.prescriptions.parts import MANY
from cases.prescriptions.weighed_here import LAST_PAIRS, Weighing, weighed_here

BUILT_HERE = (WorkKind.NEW, WorkKind.REPEAT)


def whole(uuid: UUID) -> Prescription:
    """One version with what was measured, its feet and every part of them: two queries, whatever it holds.

    Raises `Prescription.DoesNotExist`.
    """
    return _with_parts(_whole().get(uuid=uuid))


def wholes(uuids: Collection[UUID]) -> dict[UUID, Prescription]:
    """Several versions, each as `whole` gives it: two queries for all of them together."""
    return {version.uuid: _with_parts(version) for version in _whole().filter(uuid__in=uuids)}


def with_the_one_before(uuid: UUID) -> tuple[Prescription, Prescription | None]:
    """A version and the one it follows, each as `whole` gives it: two queries for both together.

    Raises `Prescription.DoesNotExist`.
    """
    followed = Prescription.objects.filter(uuid=uuid).values("supersedes")
    found = {each.uuid: _with_parts(each) for each in _whole().filter(Q(uuid=uuid) | Q(pk__in=followed))}
    version = found.pop(uuid, None)
    if version is None:
        raise Prescription.DoesNotExist
    return version, next(iter(found.values()), None)


def _whole() -> QuerySet[Prescription]:
    feet = Foot.objects.select_related("last", *SINGLE_PARTS).annotate(
        **{_rows_named("agreements"): _rows_of(LastAgreement, last=OuterRef("last"))},
        **{_rows_named(name): _rows_of(kind.model, foot=OuterRef("pk")) for name, kind in MANY.items()},
    )
    papers = OrderDocument.objects.filter(prescription=OuterRef("pk")).order_by("pk")
    return (
        Prescription.objects.select_related(
            "patient", "measure_set", "supersedes", "written_by", "signed_by", "taken_over_by"
        )
        .annotate(
            last_weighed=ArraySubquery(_last_weighed()),
            order_papers=ArraySubquery(papers.values(row=JSONObject(uuid="uuid", title="title", kind="kind"))),
            **{_rows_named(name): _rows_of(kind, measure_set=OuterRef("measure_set")) for name, kind in TAKEN.items()},
        )
        .prefetch_related(Prefetch("foot_set", queryset=feet))
    )


# Parts of which a foot may have several come in the query that reads the foot: six tables, mostly empty. So do
# the agreements on its last; what was taken at the sitting it is built from comes in the query that reads the version. --------------------------------------------

TAKEN: Mapping[str, type[Model]] = {"measures": Measure, "deviations": OutlineDeviation}
"""By the name a sitting calls them."""


def _rows_named(name: str) -> str:
    return f"{name}_rows"


def _rows_of(kind: type[Model], **of: OuterRef) -> ArraySubquery:
    """Every row of this kind `of` something. A decimal comes as text: a number would come back as a float."""
    columns = {
        field.attname: Cast(field.attname, TextField()) if isinstance(field, DecimalField) else field.attname
        for field in kind._meta.concrete_fields
    }
    rows = kind._default_manager.filter(**of).order_by("pk")
    return ArraySubquery(rows.values(row=JSONObject(**columns)))


def _last_weighed() -> "QuerySet[WeighedShoe, Any]":
    """The last shoes on the scale, whoever's: of each pair two sides, and some that were weighed again."""
    latest = WeighedShoe.objects.order_by("-pk")
    columns = {"pair": "pair_uuid", "side": "side", "estimated_g": "estimated_g", "weighed_g": "weighed_g"}
    return latest.values(row=JSONObject(**columns))[: 3 * LAST_PAIRS]


def _with_parts(version: Prescription) -> Prescription:
    """The same version, its sitting, its lasts and each foot with what was read in their rows."""
    version.weighed = weighed_here(Weighing(**row) for row in version.__dict__["last_weighed"])
    for foot in version.foot_set.all():
        foot.brought = {name: _parts(kind.model, getattr(foot, _rows_named(name))) for name, kind in MANY.items()}
        if foot.last is not None:
            _give_fetched(foot.last, {"agreements": _parts(LastAgreement, getattr(foot, _rows_named("agreements")))})
    if version.measure_set is not None:
        taken = {name: _parts(kind, getattr(version, _rows_named(name))) for name, kind in TAKEN.items()}
        _give_fetched(version.measure_set, taken)
    return version


def _give_fetched(to: Model, related: Mapping[str, Sequence[Model]]) -> None:
    """Rows that were read in another way, as if they had been prefetched."""
    for name, rows in related.items():
        fetched = getattr(to, name).all()
        fetched._result_cache, fetched._prefetch_done = list(rows), True  # noqa: SLF001  # there is no public way
        to.__dict__.setdefault("_prefetched_objects_cache", {})[name] = fetched


def _parts(kind: type[Model], rows: Sequence[dict[str, Any]]) -> list[Model]:
    fields = kind._meta.concrete_fields
    names = [field.attname for field in fields]
    return [
        kind.from_db(DEFAULT_DB_ALIAS, names, [field.to_python(row[field.attname]) for field in fields]) for row in rows
    ]


def weighed_shoes(pair_uuid: UUID) -> QuerySet[WeighedShoe]:
    """What the shoes of a pair weighed, the latest first, each with who put it on the scale."""
    return WeighedShoe.objects.filter(pair_uuid=pair_uuid).select_related("by").order_by("-pk")


def prescriptions_of(patient: Patient) -> QuerySet[Prescription]:
    """All versions of all prescriptions of a client, the latest prescription and version first."""
    return (
        Prescription.objects.filter(patient=patient)
        .select_related("written_by", "signed_by")
        .order_by("-number", "-version_no")
    )


def versions_of(prescription: Prescription) -> QuerySet[Prescription]:
    """All versions of one prescription, the latest first."""
    return prescriptions_of(prescription.patient).filter(number=prescription.number)


def last_signed_pair(patient: Patient) -> Prescription | None:
    """The client's latest prescription for a pair built here that was signed and stands. One query."""
    signed = prescriptions_of(patient).filter(status=PrescriptionStatus.SIGNED, work__in=BUILT_HERE)
    return signed.order_by("-signed_at").first()


def patterns() -> QuerySet[StartingPattern]:
    """The patterns from which a draft may begin, by name, each with who kept it."""
    return StartingPattern.objects.filter(retired_on__isnull=True).select_related("by")
