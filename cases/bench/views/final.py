"""The sheet of the final check: every figure of both finished shoes beside what is prescribed."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.bench import actions, queries
from cases.bench.forms import FinalKeyed
from cases.bench.permissions import READERS
from cases.bench.views.asked import pair_or_404
from shared.fragments import done
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


@allowed(*READERS)
@require_http_methods(["GET", "HEAD", "POST"])
def final_check(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair, now = pair_or_404(uuid), timezone.now()
    sheet = queries.final_sheet(pair, on=timezone.localdate(now))
    if sheet is None:
        raise Http404
    keyed = FinalKeyed.read(request.POST, sheet.seen) if request.method == "POST" else None
    if keyed is not None and not keyed.amiss:
        actions.record_final(pair, keyed.entries, by=request.user, at=now)
        return done("final-check", pair.uuid)
    context = {"pair": pair, "sheet": sheet, "keyed": keyed}
    return render(request, "bench/final_check.html", context, status=422 if keyed else 200)
