"""A foot's parts as a pattern, and a pattern laid on a foot of which other figures are known."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from cases.prescriptions.models import Foot
from cases.prescriptions.parts import PartsOfFoot, parts_of
from cases.prescriptions.reaches import Arcs, ReachSettings, ReachWords, worked_out
from shared.sides import Edge

OF_THE_CLIENT = {
    "stiffener": ("medial_reach_mm", "lateral_reach_mm", "back_height_mm", "remarks"),
    "toe_puff": ("length_mm", "remarks"),
    "insole": ("remarks",),
    "sole": ("remarks",),
    "heel": ("height_mm",),
}
"""Figures that come from a client's measures or last, and remarks, in which a client may be named."""
DROPPED = {"height_raise"}
"""A raise: a client's own."""
KEPT_OF_THE_FOOT = ("forepart_asked",)
"""Of what stands on the foot itself, what is of the shoe and not of the client."""


def as_pattern(foot: Foot) -> dict[str, Any]:
    """What a pattern keeps of a foot, each figure as text."""
    kept: dict[str, Any] = {}
    for name, values in parts_of(foot).items():
        if name in DROPPED:
            continue
        if name == "foot":
            assert isinstance(values, Mapping)
            kept[name] = {column: values[column] for column in KEPT_OF_THE_FOOT}
        elif isinstance(values, Mapping):
            kept[name] = _plain(name, values)
        else:
            kept[name] = None if values is None else [_plain(name, row) for row in values]
    return kept


def _plain(part: str, values: Mapping[str, Any]) -> dict[str, Any]:
    dropped = OF_THE_CLIENT.get(part, ())
    return {
        name: str(value) if isinstance(value, Decimal) else value
        for name, value in values.items()
        if name not in dropped
    }


def laid_on(
    pattern: Mapping[str, Any], *, ordinary: PartsOfFoot, arcs: Arcs, reaches: ReachSettings
) -> dict[str, Mapping[str, Any] | Sequence[Mapping[str, Any]] | None]:
    """The parts of a foot begun from a pattern: the pattern's, with the lengths that this foot and its last ask for.

    `ordinary` are the starting parts of the same foot, whose lengths come from its last.
    """
    parts = dict(pattern)
    for name, figures in OF_THE_CLIENT.items():
        usual = ordinary.get(name)
        if parts.get(name) is not None and isinstance(usual, Mapping):
            parts[name] = {**parts[name], **{key: usual[key] for key in figures if key in usual}}
    if parts.get("stiffener") is not None:
        words = ReachWords(parts["stiffener"]["medial_reach"], parts["stiffener"]["lateral_reach"])
        lengths = {f"{edge}_reach_mm": worked_out(words, edge=edge, arcs=arcs, settings=reaches) for edge in Edge}
        parts["stiffener"] = {**parts["stiffener"], **lengths}
    return parts
