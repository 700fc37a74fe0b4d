"""What a new draft holds before a clinician has touched it: an ordinary shoe, by the workshop's own figures.

The words (materials, kinds) are common practice without a source; each figure's standing is its setting's own.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from cases.prescriptions.reaches import Arcs, ReachSettings, ReachWords, worked_out
from shared.sides import Edge
from shared.workings import Status, Workings

WITHOUT_PUFF = {"moccasin", "sandal"}
WITHOUT_SHANK = {"moccasin", "sandal"}
WELTED = {"hand-welted", "machine-welted", "stitchdown"}
STARTS_EMPTY = {"adaptation", "repair"}
"""Work on a shoe that is there: only what is changed is prescribed."""

FIGURES = (
    "stiffener_back_height_of_last",
    "stiffener_standard_mm",
    "puff_length_standard",
    "puff_standard_mm",
    "toe_depth_over_mm",
    "insole_men_mm",
    "insole_boot_mm",
    "shank_width_mm",
    "shank_thickness_mm",
    "shank_in_seat_mm",
    "shank_behind_joint_mm",
    "sock_mm",
)
"""The settings that `starting_parts` asks for."""


@dataclass(frozen=True)
class FootGiven:
    """What is known of one foot when its draft is begun; None where it is not."""

    last_length_mm: Decimal | None = None
    heel_height_mm: Decimal | None = None
    arcs: Arcs = Arcs()


def starting_parts(
    *, work: str, construction: str, given: FootGiven, figures: Mapping[str, Decimal], reaches: ReachSettings
) -> dict[str, dict[str, Any]]:
    """The parts of one foot, by name, each with its starting values. Lengths in mm."""
    if work in STARTS_EMPTY:
        return {}
    parts = {
        "upper": {"height": "low", "fastening": "laces"},
        "stiffener": _stiffener(given, figures, reaches),
        "toe_puff": {"kind": "none"} if construction in WITHOUT_PUFF else _toe_puff(given, figures),
        "insole": {
            "leather": "vegetable-tanned shoulder",
            "thickness_mm": figures["insole_boot_mm" if construction in WELTED else "insole_men_mm"],
            "sock": f"full length, leather {figures['sock_mm'].normalize():f} mm",
        },
        "sole": {},
        "heel": {} if given.heel_height_mm is None else {"height_mm": given.heel_height_mm},
    }
    if construction not in WITHOUT_SHANK:
        parts["shank"] = {
            "count": 1,
            "material": "steel",
            "width_mm": figures["shank_width_mm"],
            "thickness_mm": figures["shank_thickness_mm"],
            "front_end_behind_joint_mm": figures["shank_behind_joint_mm"],
            "rear_end_in_seat_mm": figures["shank_in_seat_mm"],
        }
    return parts


def _stiffener(given: FootGiven, figures: Mapping[str, Decimal], reaches: ReachSettings) -> dict[str, Any]:
    values: dict[str, Any] = {
        "medial_reach": "medium",
        "lateral_reach": "medium",
        "thickness_mm": figures["stiffener_standard_mm"],
        "material": "vegetable-tanned belly",
        "adhesive": "paste",
    }
    words = ReachWords(medial=values["medial_reach"], lateral=values["lateral_reach"])
    for edge in Edge:
        values[f"{edge}_reach_mm"] = worked_out(words, edge=edge, arcs=given.arcs, settings=reaches)
    if given.last_length_mm is not None:
        values["back_height_mm"] = part_of_last_mm(
            figures["stiffener_back_height_of_last"], last_length_mm=given.last_length_mm
        )
    return values


def _toe_puff(given: FootGiven, figures: Mapping[str, Decimal]) -> dict[str, Any]:
    values: dict[str, Any] = {
        "kind": "standard",
        "thickness_mm": figures["puff_standard_mm"],
        "toe_depth_mm": figures["toe_depth_over_mm"],
        "material": "vegetable-tanned belly",
    }
    if given.last_length_mm is not None:
        values["length_mm"] = part_of_last_mm(figures["puff_length_standard"], last_length_mm=given.last_length_mm)
    return values


@dataclass(frozen=True)
class ScouredZone:
    """Where the workshop scours a forepart, in mm: from behind the joint line, to before the toe, within its rim."""

    behind_joint_mm: Decimal
    before_toe_mm: Decimal
    rim_mm: Decimal

    def laid_round(self, insole: Mapping[str, Any]) -> dict[str, Any]:
        """The values of an insole whose forepart is newly scoured, with the lengths that were not given."""
        usual = {
            "scoured_behind_joint_mm": self.behind_joint_mm,
            "scoured_before_toe_mm": self.before_toe_mm,
            "scoured_rim_mm": self.rim_mm,
        }
        missing = {name: value for name, value in usual.items() if insole.get(name) is None}
        return {**insole, **missing}


def part_of_last_mm(part: Decimal, *, last_length_mm: Decimal) -> Decimal:
    """A part of the length of the last in whole mm. The parts are common practice, without a source."""
    return (part * last_length_mm).quantize(Decimal(1), rounding=ROUND_HALF_UP)


@dataclass(frozen=True)
class PartOfLast:
    """A length that is worked out as a part of the length of the last; `source` says how far the part may be trusted."""

    words: str
    part: Decimal
    source: str

    def workings(self, *, last_length_mm: Decimal) -> Workings:
        """The length in whole mm, with what was put in."""
        return Workings(
            name=self.words,
            result=f"{self.words} {part_of_last_mm(self.part, last_length_mm=last_length_mm)} mm",
            formula="part × length of the last",
            inputs=(
                ("length of the last", f"{last_length_mm.normalize():f} mm"),
                ("part", f"{self.part.normalize():f}"),
            ),
            source=self.source,
            status=Status.WORKSHOP_SETTING,
        )
