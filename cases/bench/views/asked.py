"""What a form of the bench names: pairs, stages and checks by their own identifiers."""

from collections.abc import Iterable, Sequence
from typing import TypeVar
from uuid import UUID

from django.http import Http404, QueryDict

from cases.bench.models import CoverRequirement, Difference, Pair, Stage
from cases.bench.queries import pair_named
from shared.refusals import Refused
from shared.sides import Side

MOST_AT_ONCE = 500

OfAFoot = TypeVar("OfAFoot", Stage, CoverRequirement)


def pair_or_404(uuid: UUID) -> Pair:
    pair = pair_named(uuid)
    if pair is None:
        raise Http404
    return pair


def difference_or_404(uuid: UUID) -> Difference:
    difference = Difference.objects.select_related("pair__patient").filter(uuid=uuid).first()
    if difference is None:
        raise Http404
    return difference


def stages_asked(entries: QueryDict, pair: Pair) -> list[Stage]:
    """The stages a form names, on the feet its button says. Raises `Refused` where one is not this pair's."""
    wanted = _uuids(entries.getlist("stage"))
    found = list(Stage.objects.filter(uuid__in=wanted, pair=pair).select_related("kind"))
    if len(found) != len(wanted):
        raise Refused("This stage is not part of this pair. Look at the pair anew.")
    return of_the_feet_said(entries, found)


def of_the_feet_said(entries: QueryDict, found: Iterable[OfAFoot]) -> list[OfAFoot]:
    """Those of the feet that the button says. Raises `Refused` where it says neither."""
    side = entries.get("side", "both")
    if side not in ("both", *Side.values):
        raise Refused("Say LEFT, RIGHT or both.")
    return [each for each in found if side in ("both", each.side)]


def checks_asked_for(entries: QueryDict, pair: Pair) -> list[CoverRequirement]:
    """The checks a form names. Raises `Refused` where one is not this pair's."""
    wanted = _uuids(entries.getlist("check"))
    found = list(CoverRequirement.objects.filter(uuid__in=wanted, stage__pair=pair).select_related("stage__pair"))
    if len(found) != len(wanted):
        raise Refused("This check is not part of this pair. Look at the pair anew.")
    return found


def stages_of_several_pairs(entries: QueryDict) -> dict[Pair, list[Stage]]:
    """The stages that a catch-up names, by their pair."""
    wanted = _uuids(value for joined in entries.getlist("stage") for value in joined.split(","))
    found: dict[Pair, list[Stage]] = {}
    for stage in Stage.objects.filter(uuid__in=wanted).select_related("kind", "pair").order_by("pair__number"):
        found.setdefault(stage.pair, []).append(stage)
    return found


def _uuids(values: Iterable[str]) -> Sequence[UUID]:
    try:
        wanted = {UUID(value) for value in values}
    except ValueError as error:
        raise Refused("This form is not complete. Load the page again.") from error
    if len(wanted) > MOST_AT_ONCE:
        raise Refused(f"No more than {MOST_AT_ONCE} at once.")
    return list(wanted)
