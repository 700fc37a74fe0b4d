"""Every change of the patterns of a pair, one verb each."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Difference, DifferenceState, Pair
from cases.patterns import queries
from cases.patterns.drafting.changes import FIGURE, shift_differs
from cases.patterns.drafting.parts import checked_as, cut_as, cut_words
from cases.patterns.drafting.pieces import Piece, shifted
from cases.patterns.models import (
    MOST_FIGURE_MM,
    MOST_SHIFTED_MM,
    AdjustmentKind,
    OwnTemplate,
    PatternAdjustment,
    shift_words,
)
from cases.patterns.permissions import require_bench
from cases.patterns.queries import Patterns
from cases.patterns.ready import refuse_without_patterns
from shared.calculations import BadInput
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person

SHORTEST_REASON = 3
JUST_NOW = "Somebody adjusted this just now. Look at the pattern again."


@dataclass(frozen=True)
class Adjusted:
    """What is adjusted: a figure set to `to_mm`, or a point moved. `follows` is the adjustment the maker saw, if any."""

    side: Side
    piece: str
    what: str
    to_mm: Decimal | None = None
    medial_mm: Decimal = Decimal(0)
    along_mm: Decimal = Decimal(0)
    follows: str = ""

    @property
    def kind(self) -> AdjustmentKind:
        return AdjustmentKind.FIGURE if self.to_mm is not None else AdjustmentKind.POINT


@dataclass(frozen=True)
class _Change:
    """An adjustment measured against what is prescribed."""

    what_words: str
    from_mm: Decimal | None
    part: str
    says: str
    differs: bool


@transaction.atomic
def adjust(pair: Pair, adjusted: Adjusted, *, reason: str, by: Person, at: datetime) -> PatternAdjustment:
    """Adjust a figure or a point of the patterns of a pair, with a reason. It takes the place of the one before it.

    What the part's own check would refuse becomes a difference of the bench, which a clinician settles; within the
    tolerance it is recorded alone. Raises `Refused` and `NotAllowed`.
    """
    require_bench(by)
    if len(reason.strip()) < SHORTEST_REASON:
        raise Refused("Say in a few words why the pattern is adjusted.")
    held = bench.pair_for_patterns(pair, side=adjusted.side, parts=())
    patterns = _patterns_of(held, at=at)
    piece = _piece(patterns, adjusted)
    change = _figure(patterns, adjusted) if adjusted.to_mm is not None else _point(patterns, adjusted, piece)
    bench.pair_for_patterns(held, side=adjusted.side, parts=[change.part])
    before = _before(patterns, adjusted)
    if before is not None and before.difference is not None and before.pk in patterns.holding:
        bench.drop_pattern_difference(before.difference, because="adjusted anew on the pattern", by=by, at=at)
    made = PatternAdjustment(
        pair=held,
        version=patterns.version,
        reason=reason.strip(),
        by=by,
        at=at,
        follows=before,
        difference=_difference(held, adjusted, change, reason=reason, by=by, at=at),
        **_values(adjusted, change),
    )
    says = f"Adjusted the pattern, {adjusted.side.label} {change.says}: {reason.strip()}"
    with acting(
        by=by, action="adjust_pattern", says=says, at=at, reason=reason, patient=held.patient.uuid, pair=held.uuid
    ):
        made.save()
    return made


def _values(adjusted: Adjusted, change: _Change) -> dict[str, Any]:
    """What is adjusted, as the columns of its row."""
    is_figure = adjusted.to_mm is not None
    return {
        "side": adjusted.side,
        "piece": adjusted.piece,
        "part": change.part,
        "kind": adjusted.kind,
        "what": adjusted.what,
        "what_words": change.what_words,
        "from_mm": change.from_mm,
        "to_mm": adjusted.to_mm,
        "medial_mm": None if is_figure else adjusted.medial_mm,
        "along_mm": None if is_figure else adjusted.along_mm,
    }


def _patterns_of(pair: Pair, *, at: datetime) -> Patterns:
    refuse_without_patterns(pair)
    return queries.patterns_of(queries.with_templates(pair), on=timezone.localdate(at))


def _piece(patterns: Patterns, adjusted: Adjusted) -> Piece:
    piece = patterns.drafted.piece(adjusted.side, adjusted.piece)
    if piece is None:
        raise Refused(f"The {adjusted.side.label} shoe has no such piece. Look at the patterns again.")
    return piece


def _before(patterns: Patterns, adjusted: Adjusted) -> PatternAdjustment | None:
    """The adjustment that this one takes the place of. Raises `Refused` where the maker saw another."""
    before = patterns.latest(side=adjusted.side, piece=adjusted.piece, what=adjusted.what)
    if (str(before.uuid) if before else "") != adjusted.follows:
        raise Refused(JUST_NOW)
    return before


def _figure(patterns: Patterns, adjusted: Adjusted) -> _Change:
    figure, shoe = FIGURE.get(adjusted.what), patterns.shoes[adjusted.side]
    was = figure.now(shoe) if figure else None
    if figure is None or was is None or adjusted.to_mm is None:
        raise Refused("This piece has no such figure. Look at the patterns again.")
    if not 0 <= adjusted.to_mm <= MOST_FIGURE_MM:
        raise Refused(f"A figure of a pattern lies between 0 and {MOST_FIGURE_MM} mm.")
    mm = float(adjusted.to_mm)
    _refuse_what_cannot_be_drafted(patterns, adjusted)
    return _Change(
        what_words=figure.words,
        from_mm=_tenth(was),
        part=figure.checked_as,
        says=f"{figure.words} {mm:g} mm, {was:g} mm is prescribed",
        differs=figure.differs(shoe, was, mm, patterns.day.tolerances),
    )


def _refuse_what_cannot_be_drafted(patterns: Patterns, adjusted: Adjusted) -> None:
    """A figure by which the piece can no longer be cut is refused before it is kept."""
    tried = queries.drafted_with(patterns, adjusted.side, adjusted.what, float(adjusted.to_mm or 0))
    why = next((each.why for each in tried.not_drafted if each.side is adjusted.side), "")
    if why or tried.piece(adjusted.side, adjusted.piece) is None:
        raise Refused(f"With this figure the piece cannot be cut. {why}".strip())


def _point(patterns: Patterns, adjusted: Adjusted, piece: Piece) -> _Change:
    medial, along = float(adjusted.medial_mm), float(adjusted.along_mm)
    if max(abs(medial), abs(along)) > MOST_SHIFTED_MM:
        raise Refused(f"A point is shifted by at most {MOST_SHIFTED_MM} mm each way.")
    plain = queries.drafted_without(patterns, adjusted.side, adjusted.piece, adjusted.what)
    handle = next((each for each in plain.handles if each.key == adjusted.what), None) if plain else None
    if plain is None or handle is None:
        raise Refused("This piece has no such point. Look at the patterns again.")
    try:
        shifted(plain, adjusted.what, medial_mm=medial, along_mm=along)
    except BadInput as error:
        raise Refused("Shifted so far, the cut line would cross itself. Shift it less.") from error
    words = shift_words(medial, along, part=piece.part)
    return _Change(
        what_words=f"{cut_words(piece)}, {handle.words}",
        from_mm=None,
        part=checked_as(piece),
        says=f"{cut_words(piece)}, {handle.words}: {words}",
        differs=shift_differs(piece.part, medial_mm=medial, along_mm=along, tolerances=patterns.day.tolerances),
    )


def _difference(
    pair: Pair, adjusted: Adjusted, change: _Change, *, reason: str, by: Person, at: datetime
) -> Difference | None:
    if not change.differs:
        return None
    found = f"{change.says}. Because: {reason.strip()}"
    return bench.raise_pattern_difference(pair, side=adjusted.side, part=change.part, found=found, by=by, at=at)


def _tenth(mm: float) -> Decimal:
    return Decimal(str(round(mm, 1)))


@transaction.atomic
def take_back_adjustment(adjustment: PatternAdjustment, *, by: Person, at: datetime) -> None:
    """Take back an adjustment: the piece is drafted as prescribed again, and a difference not yet settled is undone.

    Raises `Refused` where it was taken back or followed by another, or a clinician accepted its difference.
    """
    require_bench(by)
    pair = bench.pair_for_patterns(adjustment.pair, side=adjustment.side, parts=[adjustment.part])
    adjustment = PatternAdjustment.objects.select_related("difference").get(pk=adjustment.pk)
    if adjustment.taken_back_at is not None:
        raise Refused("This adjustment was already taken back.")
    if PatternAdjustment.objects.filter(follows=adjustment).exists():
        raise Refused("It was adjusted anew since. Look at the patterns again.")
    difference = adjustment.difference
    if difference is not None and difference.state == DifferenceState.ACCEPTED:
        raise Refused("A clinician accepted this difference. To cut it as prescribed after all, adjust it anew.")
    if difference is not None:
        difference.pair = pair
        bench.drop_pattern_difference(difference, because="the adjustment was taken back", by=by, at=at)
    says = (
        f"Took back on the pattern, {Side(adjustment.side).label} {adjustment.what_words}: {adjustment.change_words}."
    )
    with acting(by=by, action="take_back_adjustment", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        adjustment.taken_back_at, adjustment.taken_back_by = at, by
        adjustment.save(update_fields=["taken_back_at", "taken_back_by"])


@transaction.atomic
def use_own_template(
    pair: Pair, *, sides: tuple[Side, ...], piece: str, template: str, by: Person, at: datetime
) -> list[OwnTemplate]:
    """Cut a piece by the maker's own template on these feet: it is left out of the sheets, and its check still holds.

    Raises `Refused` where nothing is said of the template, the foot has no such piece, or one is used already.
    """
    require_bench(by)
    if not template.strip():
        raise Refused("Say which template is used.")
    if not sides:
        raise Refused("Say LEFT, RIGHT or both.")
    held = bench.pair_for_patterns(pair, side=sides[0], parts=())
    patterns = _patterns_of(held, at=at)
    pieces = [patterns.drafted.piece(side, piece) for side in sides]
    if None in pieces:
        raise Refused("There is no such piece, or its own template is used already. Look at the patterns again.")
    first = next(each for each in pieces if each is not None)
    feet = " and ".join(side.label for side in sides)
    says = f"Own template for the {cut_words(first)}, {feet}: {template.strip()}."
    with acting(by=by, action="use_own_template", says=says, at=at, patient=held.patient.uuid, pair=held.uuid):
        return [
            OwnTemplate.objects.create(
                pair=held, side=side, part=cut_as(first), template=template.strip(), by=by, at=at
            )
            for side in sides
        ]


@transaction.atomic
def end_own_template(used: OwnTemplate, *, by: Person, at: datetime) -> None:
    """Cut the drafted piece again from now on. Raises `Refused` where that was said already."""
    require_bench(by)
    pair = bench.pair_for_patterns(used.pair, side=used.side, parts=())
    used = OwnTemplate.objects.get(pk=used.pk)
    if used.ended_at is not None:
        raise Refused("The drafted piece is cut again already.")
    says = f"The drafted piece again instead of the own template, {Side(used.side).label}: {used.template}."
    with acting(by=by, action="end_own_template", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        used.ended_at, used.ended_by = at, by
        used.save(update_fields=["ended_at", "ended_by"])
