"""The lasts of the rack that are nearest to a client's feet."""

from typing import Any
from uuid import UUID

from django.db.models import prefetch_related_objects
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.lasts import permissions
from cases.lasts.forms.nearest import NearestForm
from cases.lasts.queries import nearest as queries
from cases.patients.models import Finding
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


@allowed(*permissions.READS)
@require_safe
def nearest_lasts(request: StaffRequest, uuid: UUID) -> HttpResponse:
    patient = permissions.owner_of_lasts(uuid)
    sittings, chosen = queries.sitting_to_fit(patient, _asked_sitting(request))
    context: dict[str, Any] = {"patient": patient, "may_measure": permissions.may_measure(request.user)}
    if chosen is None:
        return render(request, "lasts/nearest.html", context)
    form = NearestForm(request.GET.dict(), sittings=sittings, chosen=chosen)
    context |= {"form": form, "sitting": chosen}
    if not form.is_valid():
        return render(request, "lasts/nearest.html", context, status=422)
    prefetch_related_objects([chosen], "measures")
    figures_mm = queries.figures_to_fit(form.fitted, on=timezone.localdate())
    findings = Finding.objects.filter(patient=patient, ended_on__isnull=True)
    needs = queries.needs_of(chosen, form.fitted, figures_mm=figures_mm, findings=findings)
    rack = queries.rack_to_rank(of=None if form.asks_whole_rack else patient)
    context["feet"] = queries.nearest_of(needs, rack=rack, costs=queries.costs_of(figures_mm))
    context |= {"on_the_rack": len(rack.keys), "left_out": rack.left_out}
    return render(request, "lasts/nearest.html", context)


def _asked_sitting(request: StaffRequest) -> UUID | None:
    asked = request.GET.get("sitting", "")
    try:
        return UUID(asked) if asked else None
    except ValueError:
        raise Http404 from None
