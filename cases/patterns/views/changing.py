"""What is done to the patterns of a pair with one touch."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cases.patterns import actions
from cases.patterns.forms import OwnTemplateForm
from cases.patterns.models import OwnTemplate, PatternAdjustment
from cases.patterns.permissions import ADJUSTS
from cases.patterns.views.asked import pair_or_404
from shared.fragments import back, done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*ADJUSTS)
@require_POST
def adjustment_take_back(request: StaffRequest, uuid: UUID) -> HttpResponse:
    adjustment = PatternAdjustment.objects.select_related("pair").filter(uuid=uuid).first()
    if adjustment is None:
        raise Http404
    actions.take_back_adjustment(adjustment, by=request.user, at=timezone.now())
    return back(request.POST, reverse("patterns", args=[adjustment.pair.uuid]))


@allowed(*ADJUSTS)
@require_POST
def own_template_use(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    form = OwnTemplateForm(request.POST)
    if not form.is_valid():
        raise Refused("Say which template is used, and on which feet.")
    entered = form.cleaned_data
    actions.use_own_template(
        pair,
        sides=form.sides(),
        piece=entered["piece"],
        template=entered["template"],
        by=request.user,
        at=timezone.now(),
    )
    return done("patterns", pair.uuid)


@allowed(*ADJUSTS)
@require_POST
def own_template_end(request: StaffRequest, uuid: UUID) -> HttpResponse:
    used = OwnTemplate.objects.select_related("pair").filter(uuid=uuid).first()
    if used is None:
        raise Http404
    actions.end_own_template(used, by=request.user, at=timezone.now())
    return done("patterns", used.pair.uuid)
