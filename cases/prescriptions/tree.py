"""A version with everything that belongs to it: its feet with every part, their lasts, what was measured, who wrote it."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

from django.db.models import Model

from cases.lasts.models import Last, LastAgreement, Measure, MeasureSet, OutlineDeviation
from cases.patients.models import Allergy, Finding, Patient
from cases.prescriptions.models import Foot, NoteAnswer, NoteSwitch, OrderDocument, Prescription, WeighedShoe
from cases.prescriptions.parts import MANY, SINGLE
from cases.prescriptions.weighed_here import LAST_PAIRS, Weighing, weighed_here
from shared.tree import Branch, Read, Tree
from workshop.staff.models import Person

OF_A_LAST = {"agreements": Branch(LastAgreement, "last_id")}
SEVERAL_OF_A_FOOT = {name: Branch(kind.model, "foot_id") for name, kind in MANY.items()}
OF_A_FOOT = {
    "last": Branch(Last, "id", of="last_id", branches=OF_A_LAST),
    **{name: Branch(kind, "foot_id") for name, kind in SINGLE.items()},
    **SEVERAL_OF_A_FOOT,
}
OF_A_SITTING = {"measures": Branch(Measure, "measure_set_id"), "deviations": Branch(OutlineDeviation, "measure_set_id")}
SECRET = ("password",)
NAMED = {
    "patient": Branch(Patient, "id", of="patient_id"),
    "measure_set": Branch(MeasureSet, "id", of="measure_set_id", branches=OF_A_SITTING),
    "supersedes": Branch(Prescription, "id", of="supersedes_id"),
    "written_by": Branch(Person, "id", of="written_by_id", without=SECRET),
    "signed_by": Branch(Person, "id", of="signed_by_id", without=SECRET),
    "taken_over_by": Branch(Person, "id", of="taken_over_by_id", without=SECRET),
}
TREE = Tree(
    Prescription,
    {
        **NAMED,
        "feet": Branch(Foot, "prescription_id", branches=OF_A_FOOT),
        "order_papers": Branch(OrderDocument, "prescription_id", without=("file",)),
        # Of each pair two shoes were weighed, and some of them again.
        "weighed": Branch(WeighedShoe, latest=3 * LAST_PAIRS),
    },
)


BEHIND_NOTES = {
    "findings": Branch(Finding, "patient_id", of="patient_id"),
    "allergies": Branch(Allergy, "patient_id", of="patient_id"),
    "answers": Branch(NoteAnswer, "prescription_id", branches={"by": Branch(Person, "id", of="by_id", without=SECRET)}),
    "switches": Branch(NoteSwitch),
}
"""Clinical in part: read for those who write prescriptions."""
TREE_WITH_NOTES = Tree(Prescription, {**TREE.branches, **BEHIND_NOTES})


def versions_where(condition: str, params: Sequence[Any], *, behind_notes: bool = False) -> list[Prescription]:
    """The versions for which a condition of our own in SQL holds, `top` being the version. One query.

    `behind_notes`: with what stands behind the notes on them.
    """
    tree = TREE_WITH_NOTES if behind_notes else TREE
    return [_version_of(found) for found in tree.read(condition, params)]


def _version_of(found: Read) -> Prescription:
    version = cast("Prescription", found.row)
    for name in NAMED:
        setattr(version, name, found.one(name))
    for sitting in found.below["measure_set"]:
        _give_fetched(sitting.row, {name: sitting.several(name) for name in OF_A_SITTING})
    feet = sorted((_foot_of(foot, version) for foot in found.below["feet"]), key=lambda foot: foot.side)
    _give_fetched(version, {"foot_set": feet})
    version.order_papers = cast("list[OrderDocument]", found.several("order_papers"))
    version.is_whole = True
    version.behind_notes = found if BEHIND_NOTES.keys() <= found.below.keys() else None
    version.weighed = weighed_here(_weighing(each.values) for each in found.below["weighed"])
    return version


def _foot_of(found: Read, version: Prescription) -> Foot:
    foot = cast("Foot", found.row)
    foot.prescription = version
    for last in found.below["last"]:
        _give_fetched(last.row, {"agreements": last.several("agreements")})
    foot.last = cast("Last | None", found.one("last"))
    for name in SINGLE:
        foot.hold(name, found.one(name))
    foot.brought = {name: found.several(name) for name in SEVERAL_OF_A_FOOT}
    return foot


def _give_fetched(to: Model, related: Mapping[str, Sequence[Model]]) -> None:
    """Rows that were read in another way, as if they had been prefetched."""
    for name, rows in related.items():
        fetched = getattr(to, name).all()
        fetched._result_cache, fetched._prefetch_done = list(rows), True  # noqa: SLF001  # there is no public way
        to.__dict__.setdefault("_prefetched_objects_cache", {})[name] = fetched


def _weighing(shoe: Mapping[str, Any]) -> Weighing:
    return Weighing(shoe["pair_uuid"], shoe["side"], float(shoe["estimated_g"]), float(shoe["weighed_g"]))
