"""The patterns of a pair, and one piece of them on which a figure or a point is chosen and adjusted."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.bench.models import Pair, PairState
from cases.patterns import actions, queries
from cases.patterns.drafting.parts import cut_words
from cases.patterns.drafting.pieces import Piece
from cases.patterns.forms import FigureForm, PointForm
from cases.patterns.leather import COMMON_PRACTICE, leather_of
from cases.patterns.models import STANDING
from cases.patterns.on_screen import drawn_piece
from cases.patterns.permissions import ADJUSTS, READS
from cases.patterns.queries import Patterns
from cases.patterns.ready import not_to_be_cut, refuse_without_patterns
from cases.patterns.sheets.paper import groups_in
from cases.patterns.shown import Choice, adjustments_shown, choices_of, parts_shown
from cases.patterns.views.asked import pair_or_404, side_or_404
from shared.fragments import done, page
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import SIDES, Side
from workshop.staff.requests import StaffRequest

PIECE_PX_A_MM = 2.4


@allowed(*READS)
@require_safe
def patterns(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    refuse_without_patterns(pair)
    shown = queries.patterns_of(pair, on=timezone.localdate())
    reasons = not_to_be_cut(shown)
    context = {
        "pair": pair,
        "patterns": shown,
        "parts": parts_shown(shown),
        "reasons": reasons,
        "groups": () if reasons else groups_in(shown.drafted.pieces),
        "adjustments": adjustments_shown(shown),
        "leather": leather_of(shown.drafted.pieces, shown.day.hours),
        "leather_source": COMMON_PRACTICE,
        "sides": [side for side in SIDES if side in shown.shoes],
        "works": request.user.holds_any_of(ADJUSTS) and pair.state == PairState.OPEN,
    }
    return page(request, "patterns/patterns.html", context)


@dataclass(frozen=True)
class PieceAsked:
    """One piece of one foot that an address names, with what of it is chosen, if anything is."""

    pair: Pair
    shown: Patterns
    side: Side
    piece: Piece
    choices: tuple[Choice, ...]

    @property
    def chosen(self) -> Choice | None:
        return next((each for each in self.choices if each.is_chosen), None)


@allowed(*READS)
@require_safe
def pattern_piece(request: StaffRequest, uuid: UUID, side: str, key: str) -> HttpResponse:
    """One piece, large, with its points numbered; `what` chooses a figure or a point."""
    asked = _asked(uuid, side, key, what=request.GET.get("what", ""))
    works = request.user.holds_any_of(ADJUSTS) and asked.pair.state == PairState.OPEN
    form = _form(asked, asked.chosen, given=None) if asked.chosen and works else None
    return page(request, "patterns/piece.html", _context(asked, form, works=works))


@allowed(*ADJUSTS)
@require_POST
def pattern_adjust(request: StaffRequest, uuid: UUID, side: str, key: str) -> HttpResponse:
    """What was chosen on a piece is adjusted; where that is refused, the piece is shown again with what was typed."""
    asked = _asked(uuid, side, key, what=request.POST.get("what", ""))
    chosen = asked.chosen
    if chosen is None:
        raise Refused("This piece has no such figure or point. Look at the pattern again.")
    form = _form(asked, chosen, given=request.POST)
    if form.is_valid():
        adjusted = actions.Adjusted(
            side=asked.side, piece=key, what=chosen.key, follows=form.cleaned_data["follows"], **form.change()
        )
        try:
            actions.adjust(asked.pair, adjusted, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now())
        except Refused as refused:
            form.add_error(None, refused.message)
        else:
            messages.success(request, f"{asked.side.label} {chosen.words}: adjusted.")
            return done("pattern-piece", asked.pair.uuid, asked.side.value, key)
    return page(request, "patterns/piece.html", _context(asked, form, works=True), status=422)


def _asked(uuid: UUID, side: str, key: str, *, what: str) -> PieceAsked:
    pair, foot = pair_or_404(uuid), side_or_404(side)
    refuse_without_patterns(pair)
    shown = queries.patterns_of(pair, on=timezone.localdate())
    piece = shown.drafted.piece(foot, key)
    if piece is None:
        raise Http404
    return PieceAsked(pair, shown, foot, piece, choices_of(shown, foot, piece, what))


def _form(asked: PieceAsked, chosen: Choice, *, given: QueryDict | None) -> FigureForm | PointForm:
    initial = {"follows": str(chosen.latest.uuid) if chosen.latest else ""}
    if chosen.number is None:
        return FigureForm(given, initial=initial)
    return PointForm(given, initial=initial, is_standing=asked.piece.part in STANDING)


def _context(asked: PieceAsked, form: FigureForm | PointForm | None, *, works: bool) -> dict[str, Any]:
    chosen = asked.chosen
    return {
        "pair": asked.pair,
        "side": asked.side,
        "piece": asked.piece,
        "name": cut_words(asked.piece),
        "drawing": drawn_piece(asked.piece, px_a_mm=PIECE_PX_A_MM, chosen=chosen.key if chosen else "", choosable=True),
        "choices": asked.choices,
        "chosen": chosen,
        "form": form,
        "adjustments": adjustments_shown(asked.shown, side=asked.side, piece=asked.piece.key),
        "works": works,
    }
