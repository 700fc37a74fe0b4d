"""One pair as the bench sees it: what comes next, what is checked, where its route stands."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from uuid import UUID

from django.db.models import OuterRef, Prefetch, Subquery
from django.db.models.fields.json import KT
from django.utils import timezone

from cases.bench.models import (
    CheckMoment,
    CoverCheck,
    CoverRequirement,
    Difference,
    DifferenceSource,
    DifferenceState,
    Pair,
    Stage,
    StageAfter,
    StageKind,
)
from cases.bench.queries.checks_seen import CheckedPart, CheckSeen, PartChecks, checked_parts
from cases.bench.queries.differences import answered
from cases.bench.queries.photos import PhotoSeen, is_asked_for, photos_of, with_photos
from cases.bench.queries.waits import Wait, longest, waits_before
from cases.bench.stage_table import ROWS
from cases.patients.models import Allergy
from cases.patients.queries import live_allergies
from shared.drawing.stitches import Knot, StageSeen, StitchLine, stitch_line
from shared.models import Deed, HistoryEntry

FITTING = "record_fitting"
"""The action under which a fitting is entered in the history, by which the bench finds what the client's feet said."""
FITTING_TABLE = "fittings_fitting"
"""Where that deed wrote its record, by which the bench leads to it."""

DEEDS_OF_THE_BENCH = (
    "open_pair",
    "open_repair",
    "begin_stages",
    "tick_stages",
    "take_back_ticks",
    "record_checks",
    "withdraw_check",
    "keep_placed_photo",
    "accept_difference",
    "undo_difference",
    "take_up_version",
    "come_again",
)
"""What tells a maker how far a pair is; calls and bookings about it do not."""
TELLS_FIGURES = frozenset({"record_checks", "accept_difference", "undo_difference", "take_up_version"})
"""Of these, whose sentence may say a prescribed figure."""


@dataclass(frozen=True)
class FootStage:
    """One stage of one foot as it stands."""

    stage: Stage
    missing: tuple[Stage, ...]
    waits: tuple[Wait, ...]
    checks: tuple[CheckSeen, ...]
    may_be_taken_back: bool
    is_drying: bool

    @property
    def is_next(self) -> bool:
        return self.stage.ticked_at is None and not self.missing

    @property
    def is_checked(self) -> bool:
        return all(check.is_settled for check in self.checks)

    @property
    def puts_in_position(self) -> bool:
        """Whether parts of this foot are checked in position before this stage closes them in."""
        return any(check.asked.moment == CheckMoment.PLACED for check in self.checks)

    @property
    def held_back_by(self) -> str:
        """Why a foot that is next may not be ticked yet, or nothing."""
        if any(check.made is None for check in self.checks):
            return "record its checks above first"
        return "" if self.is_checked else "what differs waits for its answer first"

    @property
    def state(self) -> str:
        """done, drying, begun, next or waiting: the word the page shows."""
        if self.stage.ticked_at:
            return self.stage.kind.waiting_word if self.is_drying else "done"
        if self.stage.begun_at:
            return "begun"
        return "waiting" if self.missing else "next"


@dataclass(frozen=True)
class BothFeet:
    """One kind of stage of the route on the feet that have it."""

    kind: StageKind
    left: FootStage | None
    right: FootStage | None
    held_by: tuple[Difference, ...] = field(default=())

    @property
    def there(self) -> tuple[FootStage, ...]:
        return tuple(foot for foot in (self.left, self.right) if foot is not None)

    @property
    def feet(self) -> tuple[tuple[str, FootStage | None], ...]:
        return (("left", self.left), ("right", self.right))

    @property
    def ready(self) -> tuple[FootStage, ...]:
        return tuple(foot for foot in self.there if foot.is_next)

    @property
    def is_next(self) -> bool:
        return bool(self.ready)

    @property
    def to_tick(self) -> tuple[FootStage, ...]:
        """The feet that may be ticked now, but for drying."""
        if self.kind.by_visit or self.held_by:
            return ()
        return tuple(foot for foot in self.ready if foot.is_checked)

    @property
    def held_back(self) -> tuple[FootStage, ...]:
        """The feet that are next and wait for their checks, or for an answer to what these found."""
        if self.kind.by_visit or self.held_by:
            return ()
        return tuple(foot for foot in self.ready if not foot.is_checked)

    @property
    def to_begin(self) -> tuple[FootStage, ...]:
        return tuple(foot for foot in self.to_tick if foot.stage.begun_at is None)

    @property
    def to_take_back(self) -> tuple[FootStage, ...]:
        return tuple(foot for foot in self.there if foot.may_be_taken_back)

    @property
    def wait(self) -> Wait | None:
        return longest(wait for foot in self.ready for wait in foot.waits)

    @property
    def to_photograph(self) -> tuple[FootStage, ...]:
        """The feet on which something lies in position next, for one photo of both."""
        return tuple(foot for foot in self.ready if foot.puts_in_position)

    @cached_property
    def photos(self) -> tuple[PhotoSeen, ...]:
        return photos_of(foot.stage for foot in self.to_photograph)

    @property
    def photo_is_missing(self) -> bool:
        """Whether the workshop asks for a photo, and nobody took one or said why not."""
        return not self.photos and is_asked_for(foot.stage for foot in self.to_photograph)

    @property
    def photo_is_asked_for(self) -> bool:
        return is_asked_for(foot.stage for foot in self.to_photograph)

    @cached_property
    def parts(self) -> tuple[PartChecks, ...]:
        """What is to be checked before this stage, in the order in which the parts go in."""
        found: dict[tuple[str, str], dict[str, CheckSeen]] = defaultdict(dict)
        for foot in self.ready:
            for check in foot.checks:
                found[(check.asked.part, check.asked.get_moment_display())][check.asked.side] = check
        return tuple(
            PartChecks(part, moment, sides.get("left"), sides.get("right"), _no_check(self.left), _no_check(self.right))
            for (part, moment), sides in found.items()
        )


def _no_check(foot: FootStage | None) -> str:
    if foot is None or foot.is_next:
        return "Nothing to check on this foot."
    if foot.stage.ticked_at:
        return "Done on this foot."
    return f"Not yet: first comes “{foot.missing[0].kind.name}”."


@dataclass(frozen=True)
class PairOnBench:
    """Everything on the bench page of one pair."""

    pair: Pair
    allergies: tuple[Allergy, ...]
    steps: tuple[BothFeet, ...]
    route: tuple[BothFeet, ...]
    checked: tuple[CheckedPart, ...]
    differences: tuple[Difference, ...]
    accepted: tuple[Difference, ...]
    answered_since: tuple[Difference, ...]
    answered_before: tuple[Difference, ...]
    line: StitchLine
    last_deed: Deed | None
    last_fitting: Deed | None

    @property
    def is_blind(self) -> bool:
        """True where figures are measured next that nobody may read before: the drawing tells them all."""
        return any(part.is_blind for step in self.steps for part in step.parts)

    @property
    def last_words(self) -> str:
        """What was done last, in its own sentence, unless that may tell what is still to be measured."""
        deed = self.last_deed
        return "" if deed is None or (self.is_blind and deed.action in TELLS_FIGURES) else deed.says


def pair_named(uuid: UUID) -> Pair | None:
    """The pair with its client and its version, or None. One query."""
    return Pair.objects.select_related("patient", "working_to", "repeat_of").filter(uuid=uuid).first()


def pair_on_bench(pair: Pair, *, now: datetime) -> PairOnBench:
    """One pair with its route, its checks and its differences. Eight queries, for any route."""
    stages = list(
        with_photos(Stage.objects.filter(pair=pair, retired_at__isnull=True), on=timezone.localdate(now))
        .select_related("kind__bench", "ticked_by")
        .order_by("order", "side")
    )
    edges = StageAfter.objects.filter(stage__pair=pair, stage__retired_at__isnull=True, needs__retired_at__isnull=True)
    differences = list(
        Difference.objects.filter(pair=pair)
        .select_related("raised_by", "settled_by", "stage__kind", "check_found__requirement")
        .order_by("pk")
    )
    answered_since, answered_before = answered(differences, stages)
    requirements = _requirements(pair)
    standing = _feet(stages, list(edges), requirements, differences, now=now)
    open_ones = tuple(difference for difference in differences if difference.state == DifferenceState.OPEN)
    route = _route(standing, open_ones)
    return PairOnBench(
        pair=pair,
        allergies=tuple(live_allergies(pair.patient)),
        steps=tuple(step for step in route if step.is_next),
        route=route,
        checked=checked_parts(requirements),
        differences=open_ones,
        accepted=tuple(difference for difference in differences if difference.state == DifferenceState.ACCEPTED),
        answered_since=answered_since,
        answered_before=answered_before,
        line=_line(standing, now),
        last_deed=Deed.objects.filter(pair_uuid=pair.uuid, action__in=DEEDS_OF_THE_BENCH).order_by("-pk").first(),
        last_fitting=last_fitting(pair),
    )


def last_fitting(pair: Pair) -> Deed | None:
    """The latest fitting in its own sentence: what the feet said, and what a maker is asked to do. One query.

    `record_uuid` is the record it left, read from the history: the room that keeps it is not known here.
    """
    record = HistoryEntry.objects.filter(deed=OuterRef("pk"), table_name=FITTING_TABLE).values(uuid=KT("after__uuid"))
    fittings = Deed.objects.filter(pair_uuid=pair.uuid, action=FITTING).annotate(record_uuid=Subquery(record[:1]))
    return fittings.order_by("-pk").first()


def _requirements(pair: Pair) -> list[CoverRequirement]:
    standing = CoverCheck.objects.filter(withdrawn_at__isnull=True).select_related("by")
    return list(
        CoverRequirement.objects.filter(stage__pair=pair, stage__retired_at__isnull=True)
        .prefetch_related(Prefetch("checks", queryset=standing, to_attr="standing"))
        .order_by("pk")
    )


def _feet(
    stages: Iterable[Stage],
    edges: Iterable[StageAfter],
    requirements: Iterable[CoverRequirement],
    differences: Iterable[Difference],
    *,
    now: datetime,
) -> list[FootStage]:
    by_pk = {stage.pk: stage for stage in stages}
    behind: dict[int, list[StageAfter]] = defaultdict(list)
    leaning: set[int] = set()
    for edge in edges:
        edge.needs = by_pk[edge.needs_id]
        behind[edge.stage_id].append(edge)
        if by_pk[edge.stage_id].ticked_at:
            leaning.add(edge.needs_id)
    found_by = {difference.check_found_id: difference for difference in differences}
    checks: dict[int, list[CheckSeen]] = defaultdict(list)
    for asked in requirements:
        made: CoverCheck | None = next(iter(asked.standing), None)  # type: ignore[attr-defined]  # prefetched
        checks[asked.stage_id].append(CheckSeen(asked, made, found_by.get(made.pk) if made else None))
    return [
        FootStage(
            stage=stage,
            missing=tuple(edge.needs for edge in behind[stage.pk] if not _is_met(edge)),
            waits=tuple(waits_before(behind[stage.pk], now)),
            checks=tuple(checks[stage.pk]),
            may_be_taken_back=bool(stage.ticked_at or stage.begun_at) and stage.pk not in leaning,
            is_drying=bool(stage.dry_at and stage.dry_at > now and stage.felt_dry_at is None),
        )
        for stage in by_pk.values()
    ]


def _is_met(edge: StageAfter) -> bool:
    needed = edge.needs
    return needed.ticked_at is not None or (edge.started_is_enough and needed.begun_at is not None)


def _route(standing: Iterable[FootStage], waiting: tuple[Difference, ...]) -> tuple[BothFeet, ...]:
    together: dict[int, dict[str, FootStage]] = defaultdict(dict)
    for foot in standing:
        together[foot.stage.kind_id][foot.stage.side] = foot
    route = []
    for sides in together.values():
        first = next(iter(sides.values())).stage
        touched = {(side, part) for side in sides for part in ROWS[first.kind.key].touches}
        covered = {(side, part) for side, foot in sides.items() for part in foot.stage.covers}
        held_by = tuple(
            difference
            for difference in waiting
            if first.held_by_differences
            or (difference.source == DifferenceSource.NEW_VERSION and (difference.side, difference.part) in touched)
            or (difference.source == DifferenceSource.PATTERN and (difference.side, difference.part) in covered)
        )
        route.append(BothFeet(first.kind, sides.get("left"), sides.get("right"), held_by))
    return tuple(route)


def _line(standing: Iterable[FootStage], now: datetime) -> StitchLine:
    worst_first = (Knot.DIFFERS, Knot.ASKED, Knot.PASSED, Knot.NONE)
    seen = [
        StageSeen(
            key=foot.stage.kind.key,
            name=foot.stage.kind.name,
            side=foot.stage.side,
            is_done=foot.stage.ticked_at is not None,
            dry_at=None if foot.stage.felt_dry_at else foot.stage.dry_at,
            knot=min((check.knot for check in foot.checks), key=worst_first.index, default=Knot.NONE),
        )
        for foot in standing
    ]
    return stitch_line(seen, now=timezone.localtime(now))
