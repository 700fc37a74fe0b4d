"""The sizes of the last each foot needs, and of a last itself."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from django.utils import timezone

from cases.lasts import sizes
from cases.lasts.models import Last, MeasureSet
from cases.lasts.queries.measuring import values_of
from shared.calculations import BadInput
from shared.sides import SIDES, Side
from shared.workings import Workings
from workshop.figures.queries import figure

TOE_ALLOWANCE = "toe_allowance_mm"


PART_IS_LOST = frozenset({"partial_foot_amputation", "toe_amputation"})
SHORTENED = (
    "A part of this foot is lost: these are the sizes of what is left. Its shoe mostly takes the length of the other "
    "foot's, with a filler (common practice, no source)."
)
NOTHING_RECORDED: Mapping[Side, frozenset[str]] = {}


@dataclass(frozen=True)
class FootSizes:
    """What the length of one foot says about its last. `cannot` says why where nothing can be worked out."""

    side: Side
    last_length: Workings | None = None
    sizes: tuple[Workings, ...] = ()
    spread: Workings | None = None
    mondopoint: Workings | None = None
    cannot: str = ""
    caution: str = ""


def sizes_of(
    measure_set: MeasureSet, *, conditions: Mapping[Side, frozenset[str]] = NOTHING_RECORDED
) -> tuple[FootSizes, FootSizes]:
    """The sizes of LEFT and of RIGHT, with the toe allowance that was valid when they were measured. One query.

    A foot of which `conditions` says that a part is lost has a caution.
    """
    allowance = float(figure(TOE_ALLOWANCE, on=timezone.localdate(measure_set.taken_at)))
    left, right = (_sizes_of_a_foot(side, values_of(measure_set, side), allowance) for side in SIDES)
    return _with_caution(left, conditions), _with_caution(right, conditions)


def _with_caution(foot: FootSizes, conditions: Mapping[Side, frozenset[str]]) -> FootSizes:
    is_shortened = PART_IS_LOST & conditions.get(foot.side, frozenset())
    return replace(foot, caution=SHORTENED) if is_shortened and not foot.cannot else foot


def _sizes_of_a_foot(side: Side, values: Mapping[str, Decimal], toe_allowance_mm: float) -> FootSizes:
    if "foot_length" not in values:
        return FootSizes(side, cannot="The foot length was not taken.")
    foot_length_mm = float(values["foot_length"])
    width = float(values["joint_width"]) if "joint_width" in values else None
    try:
        return FootSizes(
            side,
            last_length=sizes.last_length(foot_length_mm=foot_length_mm, toe_allowance_mm=toe_allowance_mm).workings,
            sizes=sizes.sizes_of_foot(foot_length_mm=foot_length_mm, toe_allowance_mm=toe_allowance_mm).workings,
            spread=sizes.spread(foot_length_mm=foot_length_mm).workings,
            mondopoint=sizes.mondopoint(foot_length_mm=foot_length_mm, foot_width_mm=width).workings,
        )
    except BadInput as error:
        return FootSizes(side, cannot=f"No size can be worked out: {error}.")


def sizes_of_a_last(last: Last) -> tuple[Workings, ...]:
    """The sizes read on a last itself; none where it is too short for the scales. No query."""
    try:
        return sizes.sizes_of_last(last_length_mm=float(last.length_mm)).workings
    except BadInput:
        return ()
