"""The invented workshop as a walk finds it: one person for each role, and the rows that it does not hold by itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from django.db.models import Model, QuerySet
from django.utils import timezone

from cases.bench.actions import link_visit
from cases.bench.models import Pair, PairState
from cases.diary.models import Visit
from cases.lasts.actions import choose_rack_file
from cases.overview.job_card import print_job_card
from cases.patients.actions import open_record
from cases.patients.models import Patient
from cases.prescriptions.actions import sign_prescription, write_new_version
from cases.prescriptions.models import Prescription
from tests.factories.diary import make_drop_in
from tests.factories.staff import make_person
from workshop.staff.actions import register_terminal
from workshop.staff.models import Person
from workshop.terminals.middleware import COOKIE

Row = TypeVar("Row", bound=Model)


def first(rows: QuerySet[Row]) -> Row:
    """The first row of its kind in the invented workshop. Raises `LookupError` where there is none."""
    row = rows.order_by("pk").first()
    if row is None:
        raise LookupError(f"the invented workshop holds no such {rows.model.__name__}")
    return row


@dataclass(frozen=True)
class InventedWorkshop:
    """One person for each role, and the rows that the workshop does not hold by itself at every moment."""

    people: Mapping[str, Person | None]
    cookies: Mapping[str, Mapping[str, str]]
    draft: Prescription
    behind: Pair
    """A pair whose prescription has a newer version than the bench has taken up."""
    hand_over_today: Visit
    opened: Patient
    """Whose record the maker and the administrator have opened with a reason."""
    unopened: Patient


def prescription_of(pair: Pair) -> Prescription:
    return Prescription.objects.get(pairs=pair)


def furnish(*, now: datetime) -> InventedWorkshop:
    """Take what the walk needs out of the loaded workshop, and add what is missing."""
    iris, bram, edwin = (Person.objects.get(login=login) for login in ("iris", "bram", "edwin"))
    manager = make_person(name="Mona Manager", roles=["manager"])
    on_the_bench = Pair.objects.filter(state=PairState.OPEN, kind="new").order_by("pk")
    of_draft, behind = on_the_bench[0], on_the_bench[1]
    draft = write_new_version(prescription_of(of_draft), reason="The back rubs.", by=iris, at=now)
    newer = write_new_version(prescription_of(behind), reason="A longer stiffener.", by=iris, at=now)
    sign_prescription(newer, seen_version=newer.version, by=iris, at=now)
    print_job_card(of_draft.uuid, by=bram, at=now)
    opened, unopened = of_draft.patient, behind.patient
    for person in (bram, edwin):
        open_record(opened, reason="The client asked at the bench.", by=person, at=now)
    finished = first(Pair.objects.filter(state=PairState.FINISHED))
    collected = make_drop_in(day=timezone.localdate(now), patient=finished.patient)
    link_visit(finished, collected, by=iris, at=now)
    for person in (iris, bram):
        for lines in ("X1,left,285,22,A1", "X1,left,285,22,A1\nX1,up,28,22,A1"):
            content = f"number,side,length_mm,heel_height_mm,place\n{lines}".encode()
            choose_rack_file(content, name="rack.csv", by=person, at=now)
    _, key = register_terminal(name="by the window", bench_key="lasting", by=manager, at=now)
    return InventedWorkshop(
        people={
            "reception": Person.objects.get(login="nell"),
            "clinician": iris,
            "maker": bram,
            "manager": manager,
            "administrator": edwin,
            "nobody": None,
            "nobody at a terminal": None,
        },
        cookies={"nobody at a terminal": {COOKIE: key}},
        draft=draft,
        behind=behind,
        hand_over_today=collected,
        opened=opened,
        unopened=unopened,
    )
