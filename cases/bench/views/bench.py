"""My bench, the bench page of one pair, and everything a maker does there."""

from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.bench import actions, queries
from cases.bench.forms import CatchUpForm, Keyed, PlacedPhotoForm
from cases.bench.models import CoverCheck, Outcome, Pair
from cases.bench.permissions import BENCH, READERS, may_accept_differences
from cases.bench.views.asked import (
    checks_asked_for,
    of_the_feet_said,
    pair_or_404,
    stages_asked,
    stages_of_several_pairs,
)
from shared.fragments import done, page
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*READERS)
@require_safe
def my_bench(request: StaffRequest) -> HttpResponse:
    named = request.GET.get("find", "")
    if named.strip():
        found = queries.find_pair(named)
        if found is not None:
            return done("pair-bench", found)
    now = timezone.now()
    of_this_terminal = request.terminal.bench_key if request.terminal else ""
    bench = request.GET.get("bench", of_this_terminal)
    board = queries.bench_of(bench=bench, everything="all" in request.GET, now=now)
    context = {"board": board, "now": now, "not_found": named.strip()}
    return page(request, "bench/my_bench.html", context)


@allowed(*READERS)
@require_safe
def pair_bench(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return bench_page(request, pair_or_404(uuid))


def bench_page(
    request: StaffRequest, pair: Pair, *, keyed: Keyed | None = None, photo_form: PlacedPhotoForm | None = None
) -> HttpResponse:
    """The bench page of a pair; with what was `keyed` or sent where it could not be read, and what is wrong with it."""
    now = timezone.now()
    ahead = queries.version_ahead(pair)
    works = request.user.holds_any_of(BENCH)
    if ahead is not None:
        context = {"pair": pair, "ahead": ahead, "works": works}
        return page(request, "bench/version_ahead.html", context, fragments=("bench",))
    context = {
        "pair": pair,
        "sheet": queries.pair_on_bench(pair, now=now),
        "now": now,
        "today": timezone.localdate(now),
        "works": works,
        "accepts": may_accept_differences(request.user),
        "keyed": keyed,
        "photo_form": photo_form,
    }
    return page(request, "bench/pair.html", context, fragments=("bench",), status=422 if keyed or photo_form else 200)


@allowed(*BENCH)
@require_POST
def stage_tick(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    form = CatchUpForm(request.POST)
    if not form.is_valid():
        raise Refused("The time it was done cannot be read. Nothing was ticked.")
    actions.tick_stages(
        pair,
        stages=stages_asked(request.POST, pair),
        by=request.user,
        at=timezone.now(),
        done_at=form.cleaned_data["done_at"],
        felt_dry="felt_dry" in request.POST,
    )
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_POST
def stage_begin(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    actions.begin_stages(pair, stages=stages_asked(request.POST, pair), by=request.user, at=timezone.now())
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_POST
def stage_take_back(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    stages = stages_asked(request.POST, pair)
    reason = request.POST.get("reason", "")
    actions.take_back_ticks(pair, stages=stages, reason=reason, by=request.user, at=timezone.now())
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_POST
def check_record(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    outcome = request.POST.get("outcome", "")
    if outcome not in Outcome.values:
        raise Refused("Say whether it is as prescribed or differs.")
    actions.record_checks(
        checks_asked_for(request.POST, pair),
        outcome=outcome,
        found=request.POST.get("found", ""),
        by=request.user,
        at=timezone.now(),
    )
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_POST
def check_measure(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Checks whose figures were measured before their prescribed values were shown."""
    pair = pair_or_404(uuid)
    asked = checks_asked_for(request.POST, pair)
    keyed = Keyed.read(request.POST, asked, said=of_the_feet_said(request.POST, asked))
    if keyed.amiss:
        return bench_page(request, pair, keyed=keyed)
    actions.record_found(keyed.found, by=request.user, at=timezone.now())
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_POST
def check_withdraw(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    asked = checks_asked_for(request.POST, pair)
    check = CoverCheck.objects.filter(requirement__in=asked, withdrawn_at__isnull=True).first()
    if check is None:
        raise Refused("This check was already withdrawn.")
    actions.withdraw_check(check, by=request.user, at=timezone.now())
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_POST
def version_take_up(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    actions.take_up_version(pair, by=request.user, at=timezone.now())
    return done("pair-bench", pair.uuid)


@allowed(*BENCH)
@require_http_methods(["GET", "HEAD", "POST"])
def catch_up(request: StaffRequest) -> HttpResponse:
    """Key in what was done at the bench, several stages of several pairs at once, with the time it was done."""
    form = CatchUpForm(request.POST if request.method == "POST" else None)
    now, status = timezone.now(), 422 if form.is_bound else 200
    if form.is_bound and form.is_valid():
        try:
            ticked = _catch_up(request, done_at=form.cleaned_data["done_at"], now=now)
        except Refused as refused:
            form.add_error(None, refused.message)
            status = refused.status
        else:
            messages.success(request, f"Ticked on {ticked} {'pair' if ticked == 1 else 'pairs'}.")
            return done("catch-up")
    board = queries.bench_of(everything=True, now=now)
    steps = [step for job in board.jobs if not job.has_newer_version for step in job.steps if step.can_be_keyed_in]
    context = {"steps": steps, "chosen": request.POST.getlist("stage"), "form": form, "now": now}
    return page(request, "bench/catch_up.html", context, status=status)


@transaction.atomic
def _catch_up(request: StaffRequest, *, done_at: datetime | None, now: datetime) -> int:
    """Tick what was chosen, all or nothing, and give the number of pairs. Raises `Refused` with the pair's number."""
    chosen = stages_of_several_pairs(request.POST)
    if not chosen:
        raise Refused("Nothing was chosen.")
    for pair, stages in chosen.items():
        try:
            actions.tick_stages(pair, stages=stages, by=request.user, at=now, done_at=done_at, felt_dry=True)
        except Refused as refused:
            raise Refused(
                f"Pair {pair.number}: {refused.message} Nothing was ticked, on this pair or another."
            ) from None
    return len(chosen)
