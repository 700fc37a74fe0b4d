"""What is typed of a sitting and not saved yet: kept at each change, told to others, given up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.diary.models import Visit
from cases.lasts import actions, permissions, queries
from cases.lasts.drawings.tapes import tapes
from cases.lasts.forms import MeasuringForm
from cases.lasts.forms.fields import LONGEST_TEXT
from cases.lasts.models import MeasureSet, MeasuringDraft
from cases.patients.models import Patient
from shared.fragments import done
from shared.once import FIELD
from shared.papers.render import render_pdf
from shared.permissions import allowed
from shared.sides import SIDES, Side
from workshop.figures.queries import figures
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest

THIRD_TAKE, THIRD_TAKE_SWOLLEN = "third_take_above_mm", "third_take_above_swollen_mm"
OF_THE_PAGE = {"csrfmiddlewaretoken", FIELD, "draft", actions.PAGE, actions.CHANGE}
MOST_ENTRIES = 400
"""More fields than the form has, questions and all."""


@dataclass(frozen=True)
class Sitting:
    """What the form of a client's next sitting is made from."""

    patient: Patient
    previous: MeasureSet | None
    conditions: Mapping[Side, frozenset[str]]
    draft: MeasuringDraft | None
    others: Sequence[MeasuringDraft]
    draft_uuid: UUID
    visits: Sequence[Visit]
    people: Sequence[Person]
    third_take_mm: Mapping[str, Decimal]
    at: datetime

    def form(self, data: Mapping[str, str] | None) -> MeasuringForm:
        """The form with what was sent, else with what was typed before, else as it begins."""
        today = timezone.localdate(self.at)
        visit = next((each for each in self.visits if each.day == today), None)
        begin = MeasuringForm.first_entries(self.previous, visit=visit, at=self.at)
        return MeasuringForm(
            data,
            initial={**begin, **(self.draft.typed if self.draft else {})},
            visits=self.visits,
            people=self.people,
            previous=self.previous,
            conditions=self.conditions,
            third_above_mm=self.third_take_mm[THIRD_TAKE],
            third_above_swollen_mm=self.third_take_mm[THIRD_TAKE_SWOLLEN],
            at=self.at,
        )


def sitting_of(patient: Patient, *, person: Person, at: datetime) -> Sitting:
    """Read what the form is made from: at most seven queries."""
    today = timezone.localdate(at)
    previous, drafts = queries.last_time(patient), queries.drafts_of(patient)
    draft = queries.draft_by(person, drafts)
    return Sitting(
        patient=patient,
        previous=previous,
        conditions=queries.conditions_on(patient, today),
        draft=draft,
        others=[each for each in drafts if each is not draft],
        draft_uuid=actions.draft_uuid(patient, person, latest=previous),
        visits=list(queries.visits_to_measure_at(patient, today=today)),
        people=list(queries.people_who_cast()),
        third_take_mm=figures([THIRD_TAKE, THIRD_TAKE_SWOLLEN], on=today),
        at=at,
    )


@allowed(*permissions.MEASURES)
@require_POST
def measures_draft(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Keep everything that is typed, and say what there is to say about it. Each change is sent under a new key."""
    at = timezone.now()
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    sitting = sitting_of(patient, person=request.user, at=at)
    draft = actions.keep_draft(
        patient, uuid=sitting.draft_uuid, typed=_typed(request), **_which_change(request), by=request.user, at=at
    )
    form = sitting.form(request.POST)
    form.is_valid()
    context = {"form": form, "draft": draft, "others": sitting.others, "is_kept": True}
    return render(request, "lasts/measures_new.html#kept", context)


def _typed(request: HttpRequest) -> dict[str, str]:
    entries = [(name, value) for name, value in request.POST.items() if name not in OF_THE_PAGE]
    return {name[:80]: str(value)[:LONGEST_TEXT].replace("\x00", "") for name, value in entries[:MOST_ENTRIES]}


def _which_change(request: HttpRequest) -> dict[str, Any]:
    change = request.POST.get(actions.CHANGE, "")
    is_number = change.isascii() and change.isdecimal() and len(change) < 10
    return {"page": request.POST.get(actions.PAGE, "")[:40], "change": int(change) if is_number else 0}


@allowed(*permissions.MEASURES)
@require_POST
def measures_draft_drop(request: StaffRequest, uuid: UUID) -> HttpResponse:
    patient = permissions.patient_to_measure(request.user, uuid, at=timezone.now())
    actions.end_draft(patient, by=request.user)
    return done("measures-new", patient.uuid)


@allowed(*permissions.MEASURES)
@require_safe
def measures_sheet(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """A sheet to fill by hand. It says nothing that must be kept, so it is made anew each time and not kept."""
    at = timezone.now()
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    previous = queries.last_time(patient)
    third_take_mm = figures([THIRD_TAKE, THIRD_TAKE_SWOLLEN], on=timezone.localdate(at))
    context = {
        "patient": patient,
        "previous": previous,
        "drawings": [tapes(side) for side in SIDES],
        "rows": queries.sheet_rows(previous),
        "third_above_mm": third_take_mm[THIRD_TAKE],
        "third_above_swollen_mm": third_take_mm[THIRD_TAKE_SWOLLEN],
        "is_demonstration": settings.IS_DEMONSTRATION,
        "printed_at": at,
        "printed_by": request.user,
    }
    pdf = render_pdf("papers/tape_sheet.html", context, most_pages=1)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="tape-sheet.pdf"'
    return answer
