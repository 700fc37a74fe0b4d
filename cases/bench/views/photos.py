"""Photos of what is in position: kept at the bench, given out to those who see the pair there."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.bench import actions
from cases.bench.forms import PlacedPhotoForm
from cases.bench.models import PlacedPhoto
from cases.bench.permissions import BENCH, READERS
from cases.bench.views.asked import pair_or_404, stages_asked
from cases.bench.views.bench import bench_page
from shared.fragments import done
from shared.permissions import allowed
from shared.photo_files import photo_answer
from workshop.staff.requests import StaffRequest

LONGEST_REASON = 120


@allowed(*BENCH)
@require_POST
def placed_photo_add(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    stages = stages_asked(request.POST, pair)
    if "because" in request.POST:
        because = request.POST["because"][:LONGEST_REASON]
        actions.leave_photo_out(pair, stages=stages, because=because, by=request.user, at=timezone.now())
        return done("pair-bench", pair.uuid)
    form = PlacedPhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return bench_page(request, pair, photo_form=form)
    actions.keep_placed_photo(pair, stages=stages, jpeg=form.cleaned_data["photo"], by=request.user, at=timezone.now())
    return done("pair-bench", pair.uuid)


@allowed(*READERS)
@require_safe
def placed_photo(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _given_out(uuid)


@allowed(*READERS)
@require_safe
def placed_photo_small(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _given_out(uuid, small=True)


def _given_out(uuid: UUID, *, small: bool = False) -> HttpResponse:
    kept = get_object_or_404(PlacedPhoto, uuid=uuid, jpeg__isnull=False)
    assert kept.jpeg is not None
    return photo_answer(kept.jpeg, sha256=kept.sha256, name="in-position", small=small)
