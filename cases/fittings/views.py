"""The page of a visit; recording a fitting, a hand-over, a review; and reading them again."""

from collections.abc import Callable, Sequence
from datetime import date
from functools import cache
from typing import Any
from uuid import UUID

from django.forms import Form
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.bench.models import Pair
from cases.bench.queries import differs_at_the_end
from cases.diary.models import Visit
from cases.fittings import actions, queries, wear_in
from cases.fittings.actions.hand_over import REVIEW_WINDOW, review_window
from cases.fittings.actions.visits import sides_of
from cases.fittings.forms import PLACES, FittingForm, HandOverForm, ReviewForm, fitting_kind_of
from cases.fittings.models import FittingKind
from cases.patients.models import Finding, Patient
from cases.patients.queries import head_of_record, live_findings, open_red_flags, patient_for, signs_found
from cases.patients.red_flags import SIGNS
from cases.prescriptions.models import Prescription
from shared.fragments import back, done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.figures.queries import figures
from workshop.staff.models import RoleKind
from workshop.staff.requests import StaffRequest


@allowed("reception", "clinician", "manager")
@require_safe
def visit_page(request: StaffRequest, uuid: UUID) -> HttpResponse:
    visit = get_object_or_404(queries.visits(), uuid=uuid)
    now = timezone.now()
    patient_for(request.user, visit.patient.uuid, at=now)
    pair, recorded = queries.pair_of(visit), queries.recorded_at(visit)
    is_clinician = request.user.holds_any_of({RoleKind.CLINICIAN})
    before = queries.before_a_pair(visit) if is_clinician else None
    thing = queries.next_thing(visit, pair, recorded, before) if is_clinician else None
    context = {
        **head_of_record(request.user, visit.patient, at=now),
        "visit": visit,
        "pair": pair,
        "recorded": recorded,
        "is_to_come": visit.day > timezone.localdate(now),
        "thing": thing,
        "thing_address": _address(thing, visit, before.written if before else None) if thing else "",
    }
    return render(request, "fittings/visit.html", context)


@allowed("reception", "clinician", "manager")
@require_POST
def visit_take_back(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """What was marked of a visit by mistake is taken back."""
    visit = get_object_or_404(queries.visits(), uuid=uuid)
    actions.take_back_mark(visit, by=request.user, at=timezone.now())
    return back(request.POST, reverse("visit", args=[visit.uuid]))


def _address(thing: queries.NextThing, visit: Visit, written: Prescription | None) -> str:
    if thing.page_of == "visit":
        return reverse(thing.url_name, args=[visit.uuid])
    if thing.page_of == "prescription" and written is not None:
        return reverse(thing.url_name, args=[written.uuid])
    return f"{reverse(thing.url_name, args=[visit.patient.uuid])}?visit={visit.uuid}"


def _recording(
    request: StaffRequest,
    uuid: UUID,
    *,
    template: str,
    form_of: Callable[[Visit, Pair, Any], Form],
    record: Callable[[Visit, Pair, Form], tuple[str, UUID]],
    context_of: Callable[[Visit, Pair], dict[str, Any]],
) -> HttpResponse:
    """The course that the three records share: whose pair, the form, the action, and what to do when it refuses."""
    visit = get_object_or_404(queries.visits(), uuid=uuid)
    patient_for(request.user, visit.patient.uuid, at=timezone.now(), clinical=True)
    pair = queries.pair_of(visit)
    if pair is None:
        pairs = list(queries.pairs_to_choose(visit.patient))
        pair = _chosen(request, pairs)
        if pair is None:
            return render(request, "fittings/which_pair.html", {"visit": visit, "pairs": pairs})
    form, status = form_of(visit, pair, request.POST if request.method == "POST" else None), 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                url_name, recorded = record(visit, pair, form)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done(url_name, recorded)
    context = {"visit": visit, "pair": pair, "form": form, **context_of(visit, pair)}
    return render(request, template, context, status=status)


def _chosen(request: StaffRequest, pairs: Sequence[Pair]) -> Pair | None:
    """The pair that was chosen on the page before, or the only one there is."""
    asked = request.GET.get("pair")
    if asked is not None:
        return next((pair for pair in pairs if str(pair.uuid) == asked), None)
    return pairs[0] if len(pairs) == 1 else None


@allowed("clinician")
@require_http_methods(["GET", "HEAD", "POST"])
def fitting_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    def form_of(visit: Visit, pair: Pair, data: Any) -> FittingForm:
        return FittingForm(data, sides=sides_of(pair), initial={"kind": fitting_kind_of(visit.kind.key)})

    def record(visit: Visit, pair: Pair, form: Any) -> tuple[str, UUID]:
        fitting = actions.record_fitting(
            visit,
            pair=pair,
            kind=form.cleaned_data["kind"],
            outcome=form.cleaned_data["outcome"],
            findings=form.notes(),
            note=form.cleaned_data["note"],
            by=request.user,
            at=timezone.now(),
        )
        return "fitting", fitting.uuid

    return _recording(
        request,
        uuid,
        template="fittings/fitting_new.html",
        form_of=form_of,
        record=record,
        context_of=lambda visit, pair: {"places_on_a_foot": PLACES},
    )


@allowed("clinician")
@require_http_methods(["GET", "HEAD", "POST"])
def hand_over_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    today = timezone.localdate()
    known = figures([*REVIEW_WINDOW, *wear_in.FIGURES.values()], on=today)
    first_day, last_day = review_window(today, known=known)

    # Asked for the wear-in table and for the signs: read once.
    found = cache(lambda patient: list(live_findings(patient)))

    def form_of(visit: Visit, pair: Pair, data: Any) -> HandOverForm:
        likely = {
            "wear_in": wear_in.offered_first([each.condition for each in found(pair.patient)]).key,
            "collected_by": pair.patient.name,
            "review_due_on": first_day,
            **{name: known[setting].normalize() for name, setting in wear_in.FIGURES.items()},
        }
        return HandOverForm(data, initial=likely)

    def record(visit: Visit, pair: Pair, form: Any) -> tuple[str, UUID]:
        record = actions.hand_over(visit, pair=pair, **form.said(), by=request.user, at=timezone.now())
        return "hand-over", record.uuid

    return _recording(
        request,
        uuid,
        template="fittings/hand_over_new.html",
        form_of=form_of,
        record=record,
        context_of=lambda visit, pair: {
            **_asked_again(pair.patient, found(pair.patient), today=today),
            "differs": differs_at_the_end(pair),
            "tables": wear_in.TABLES.values(),
            "first_day": first_day,
            "last_day": last_day,
            **_said_at_every_hand_over(),
        },
    )


def _asked_again(patient: Patient, found: Sequence[Finding], *, today: date) -> dict[str, Any]:
    """Red flags that are open, and findings that may be one and were not answered today."""
    return {
        "patient": patient,
        "red_flags": list(open_red_flags(patient)),
        "signs": SIGNS.values(),
        "still_found": [each for each in signs_found(patient, found) if not each.was_answered_on(today)],
    }


def _said_at_every_hand_over() -> dict[str, Any]:
    return {
        "stop_and_ask": wear_in.STOP_AND_ASK,
        "every_time": wear_in.EVERY_TIME,
        "with_these_parts": wear_in.WITH_THESE_PARTS,
    }


@allowed("clinician")
@require_http_methods(["GET", "HEAD", "POST"])
def review_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    def form_of(visit: Visit, pair: Pair, data: Any) -> ReviewForm:
        return ReviewForm(data, sides=sides_of(pair))

    def record(visit: Visit, pair: Pair, form: Any) -> tuple[str, UUID]:
        review = actions.record_review(
            visit, pair=pair, feet=form.feet(), **form.wear(), by=request.user, at=timezone.now()
        )
        return "review", review.uuid

    return _recording(
        request,
        uuid,
        template="fittings/review_new.html",
        form_of=form_of,
        record=record,
        context_of=lambda visit, pair: {},
    )


@allowed("clinician", "manager", "maker")
@require_safe
def fitting(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Open to makers too: what is to be done stands here."""
    record = queries.whole_fitting(uuid)
    if record is None:
        raise Http404
    feet = queries.by_side(list(record.findings.all()), record.pair)
    context = {"record": record, "called": FittingKind(record.kind).called, "feet": feet}
    return render(request, "fittings/fitting.html", context)


@allowed("clinician", "manager")
@require_safe
def hand_over(request: StaffRequest, uuid: UUID) -> HttpResponse:
    record = queries.whole_hand_over(uuid)
    if record is None:
        raise Http404
    patient_for(request.user, record.pair.patient.uuid, at=timezone.now(), clinical=True)
    context = {"record": record, "table": wear_in.table_of(record.wear_in), **_said_at_every_hand_over()}
    return render(request, "fittings/hand_over.html", context)


@allowed("clinician", "manager")
@require_safe
def review(request: StaffRequest, uuid: UUID) -> HttpResponse:
    record = queries.whole_review(uuid)
    if record is None:
        raise Http404
    patient_for(request.user, record.pair.patient.uuid, at=timezone.now(), clinical=True)
    feet = queries.by_side(list(record.feet.all()), record.pair)
    return render(request, "fittings/review.html", {"record": record, "feet": feet})
