"""What is to be cut: for one pair, or for all pairs whose next stages lie at a bench; looked at, and printed."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.bench.models import Pair
from cases.patterns import queries
from cases.patterns.cutting import Cut, CuttingList, cutting_list
from cases.patterns.leather import COMMON_PRACTICE, leather_of
from cases.patterns.permissions import READS
from cases.patterns.queries import Patterns
from cases.patterns.ready import not_to_be_cut, refuse_without_patterns
from cases.patterns.views.asked import pair_or_404
from shared.papers.render import render_pdf
from shared.permissions import allowed
from workshop.hours.models import Bench
from workshop.staff.requests import StaffRequest

NOT_A_BENCH = ("any", "clinic")


@dataclass(frozen=True)
class NotCut:
    """A pair that is not on the list, and why."""

    pair: Pair
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class ToCut:
    """What is to be cut of several pairs."""

    pairs: tuple[Pair, ...]
    listed: CuttingList
    not_cut: tuple[NotCut, ...]
    not_drafted: tuple[str, ...]


@allowed(*READS)
@require_safe
def cutting_of_pair(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return render(request, "patterns/cutting.html", _of_pair(uuid))


@allowed(*READS)
@require_safe
def cutting_of_pair_pdf(request: StaffRequest, uuid: UUID) -> HttpResponse:
    context = _of_pair(uuid)
    return _pdf(request, context, name=f"cutting-list-pair-{context['pair'].number}")


@allowed(*READS)
@require_safe
def cutting_of_bench(request: StaffRequest) -> HttpResponse:
    return render(request, "patterns/cutting.html", _of_bench(request))


@allowed(*READS)
@require_safe
def cutting_of_bench_pdf(request: StaffRequest) -> HttpResponse:
    return _pdf(request, _of_bench(request), name="cutting-list")


def _of_pair(uuid: UUID) -> dict[str, Any]:
    pair = pair_or_404(uuid)
    refuse_without_patterns(pair)
    return {"pair": pair, "heading": f"Cutting list, pair {pair.number}", **_listed([pair])}


def _of_bench(request: StaffRequest) -> dict[str, Any]:
    at_terminal = request.terminal.bench_key if request.terminal else ""
    benches = [bench for bench in Bench.objects.all() if bench.key not in NOT_A_BENCH]
    asked = request.GET.get("bench", at_terminal)
    bench = next((each for each in benches if each.key == asked), None)
    pairs = queries.open_pairs_at(bench.key if bench else "")
    heading = f"Cutting list, {bench.name}" if bench else "Cutting list, all benches"
    return {
        "benches": benches,
        "chosen": bench.key if bench else "",
        "heading": heading,
        "most_pairs": queries.MOST_PAIRS,
        **_listed(pairs),
    }


def _listed(pairs: Sequence[Pair]) -> dict[str, Any]:
    """What is cut of these pairs, with the leather it is cut from. Four queries, for any number of pairs."""
    today = timezone.localdate()
    drafted = queries.patterns_of_pairs(pairs, on=today)
    to_cut = [each for each in drafted if not not_to_be_cut(each)]
    day = drafted[0].day if drafted else queries.day_of(today)
    cuts = [Cut(each.pair.number, piece) for each in to_cut for piece in each.drafted.pieces]
    return {
        "today": today,
        "to_cut": ToCut(
            pairs=tuple(each.pair for each in to_cut),
            listed=cutting_list(cuts, waste=day.waste, densities=day.densities),
            not_cut=tuple(NotCut(each.pair, not_to_be_cut(each)) for each in drafted if not_to_be_cut(each)),
            not_drafted=tuple(words for each in to_cut for words in _not_drafted(each)),
        ),
        "leather": leather_of([cut.piece for cut in cuts], day.hours),
        "leather_source": COMMON_PRACTICE,
    }


def _not_drafted(patterns: Patterns) -> list[str]:
    number = patterns.pair.number
    return [f"Pair {number}, {each.side.label} {each.name}: {each.why}" for each in patterns.drafted.not_drafted]


def _pdf(request: StaffRequest, context: dict[str, Any], *, name: str) -> HttpResponse:
    """The list of today on A4. It is a help for a day and not kept."""
    printed = {**context, "title": context["heading"], "printed_by": request.user, "printed_at": timezone.now()}
    response = HttpResponse(render_pdf("papers/cutting_list.html", printed), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Cache-Control"] = "no-store"
    return response
