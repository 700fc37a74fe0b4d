"""What is given out: pattern sheets as a kept paper, and the pieces of a foot as a file."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.patterns.forms import PrintForm
from cases.patterns.permissions import READS
from cases.patterns.printing import dxf_file, patterns_to_cut, print_patterns, svg_file
from cases.patterns.sheets.paper import Group, PaperSize
from cases.patterns.views.asked import pair_or_404
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*READS)
@require_POST
def patterns_print(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    form = PrintForm(request.POST)
    if not form.is_valid():
        raise Refused("Say whether A4 or A3 lies in the printer.")
    size = PaperSize(form.cleaned_data["size"])
    return done("paper", print_patterns(pair, size=size, by=request.user, at=timezone.now()).uuid)


@allowed(*READS)
@require_safe
def patterns_svg(request: StaffRequest, uuid: UUID, group: str) -> HttpResponse:
    return _file(uuid, group, kind="svg")


@allowed(*READS)
@require_safe
def patterns_dxf(request: StaffRequest, uuid: UUID, group: str) -> HttpResponse:
    return _file(uuid, group, kind="dxf")


MAKERS = {"svg": (svg_file, "image/svg+xml"), "dxf": (dxf_file, "image/vnd.dxf")}


def _file(uuid: UUID, word: str, *, kind: str) -> HttpResponse:
    """The pieces of LEFT, of RIGHT or of either foot, to be saved: a file is never opened as a page of ours."""
    pair = pair_or_404(uuid)
    if word not in list(Group):
        raise Http404
    make, content_type = MAKERS[kind]
    contents = make(patterns_to_cut(pair, on=timezone.localdate()), Group(word))
    response = HttpResponse(contents, content_type=content_type)
    response["Content-Disposition"] = f'attachment; filename="pair-{pair.number}-{word}.{kind}"'
    response["Cache-Control"] = "no-store"
    return response
