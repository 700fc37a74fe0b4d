"""Lasts taken in from a file, and the rack given out as one."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from cases.lasts import permissions
from cases.lasts.actions.rack_files import NotGood, choose_rack_file, take_in_rack_file
from cases.lasts.forms.rack_files import RackFileForm
from cases.lasts.models import RackFile
from cases.lasts.queries import rack_files as queries
from cases.lasts.rack_columns import COLUMNS
from cases.lasts.rack_files import MOST_LINES, write_rack_file
from shared.fragments import done
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest

BAD_A_PAGE = 200
GOOD_SHOWN = 50
BYTE_ORDER_MARK = "\ufeff"
"""By it a spreadsheet knows the file for UTF-8."""


@allowed(*permissions.READS)
@require_safe
def rack_export(request: StaffRequest) -> HttpResponse:
    text = BYTE_ORDER_MARK + write_rack_file(queries.rows_of_the_rack())
    name = f"last-rack-{timezone.localdate().isoformat()}.csv"
    return HttpResponse(
        text, content_type="text/csv; charset=utf-8", headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def rack_import(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    form = RackFileForm(
        *((request.POST, request.FILES) if request.method == "POST" else ()), today=timezone.localdate(at)
    )
    if form.is_valid():
        chosen = form.cleaned_data["file"]
        file = choose_rack_file(form.content, name=chosen.name, by=request.user, at=at)
        return done("rack-file", file.uuid)
    context = {"form": form, "columns": COLUMNS, "most_lines": MOST_LINES}
    return render(request, "lasts/rack_import.html", context, status=422 if form.is_bound else 200)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def rack_file(request: StaffRequest, uuid: UUID) -> HttpResponse:
    file = queries.rack_file(uuid, person=request.user)
    at = timezone.now()
    if request.method != "POST":
        found = queries.looked_at(file, today=timezone.localdate(at))
        return render(request, "lasts/rack_file.html", _page_of(request, file, found))
    try:
        how_many = take_in_rack_file(file, by=request.user, at=at)
    except NotGood as refused:
        context = _page_of(request, file, refused.found) | {"refused": refused.message}
        return render(request, "lasts/rack_file.html", context, status=refused.status)
    return done(f"{reverse('last-rack')}?taken_in={how_many}")


def _page_of(request: StaffRequest, file: RackFile, found: queries.LookedAt) -> dict[str, Any]:
    asked = request.GET.get("from", "")
    begin = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 7 else 0
    lines = found.lines
    return {
        "file": file,
        "read": found.read,
        "bad": found.bad[begin : begin + BAD_A_PAGE],
        "bad_from": begin + 1,
        "bad_to": min(begin + BAD_A_PAGE, len(found.bad)),
        "how_many_reasons": len(found.bad),
        "how_many_bad": found.how_many_bad,
        "before": max(0, begin - BAD_A_PAGE) if begin else None,
        "after": begin + BAD_A_PAGE if begin + BAD_A_PAGE < len(found.bad) else None,
        "lines": lines[:GOOD_SHOWN],
        "how_many_good": len(lines),
        "not_shown": max(0, len(lines) - GOOD_SHOWN),
    }
