"""Which checks a stage asks for, with the values that were prescribed: per foot, part and moment."""

from collections.abc import Mapping
from dataclasses import dataclass

Lines = tuple[tuple[str, str], ...]
"""Label and value with its unit, in the order in which a maker reads them."""

PART_WORDS: Mapping[str, str] = {
    "stiffener": "stiffener",
    "toe_puff": "toe puff",
    "toe_filler": "toe filler",
    "insole": "insole",
    "scoured_zone": "scoured zone",
    "cushion_forepart": "forepart cushion",
    "cushion_heel": "heel cushion",
    "cushion_full": "full-length cushion",
    "metatarsal_bar": "metatarsal bar",
    "metatarsal_dome": "metatarsal dome",
    "toe_prop": "toe prop",
    "shank": "shank",
    "carbon": "carbon",
    "posting": "posting",
    "inlay_room": "room for the inlay",
    "raise_in_shoe": "raise in the shoe",
    "raise_on_sole": "raise on the sole",
    "wedge_heel": "heel wedge",
    "wedge_forefoot": "forefoot wedge",
    "flare_medial": "medial flare",
    "flare_lateral": "lateral flare",
    "soft_zones": "soft zones",
    "heights": "heights to be restored",
}


@dataclass(frozen=True)
class AskedCheck:
    """One check of one part at one stage, with what was prescribed."""

    part: str
    moment: str
    prescribed: Lines


def checks_asked(checks: tuple[tuple[str, str], ...], words: Mapping[str, Lines]) -> tuple[AskedCheck, ...]:
    """The checks of one stage of one foot with their prescribed values. `words` are the lines of that foot's parts.

    Raises `KeyError` for a part that this foot does not have.
    """
    return tuple(AskedCheck(part=part, moment=moment, prescribed=words[part]) for part, moment in checks)


def part_words(part: str) -> str:
    """A part as a sentence names it."""
    return PART_WORDS.get(part, part.replace("_", " "))
