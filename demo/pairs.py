"""The pairs of the invented workshop: of which prescription, how far along, and when promised."""

from collections.abc import Mapping
from dataclasses import dataclass

from shared.sides import Side

HANDED_OVER = "handed over"
FINISHED = "finished"


@dataclass(frozen=True)
class PlannedPair:
    """A pair as it stands today.

    `reached` is the stage that comes next, or the state it is in. `opened` and `promised` are days from today.
    `again` makes it a repeat of the same client's earlier pair; `repair` says what a repair is of.
    """

    client: str
    reached: str
    opened: int
    promised: int
    again: bool = False
    repair: str = ""
    repaired_feet: str = "both"
    repair_jobs: tuple[str, ...] = ("full sole job",)
    heights_to_restore: Mapping[Side, str] | None = None
    handed_over: int = 0
    reviewed: int = 0
    next_review: int = 45
    letter: bool = False


PAIRS = (
    PlannedPair("collapsed-arch", "last-backs", opened=-24, promised=20),
    PlannedPair("hypermobile", FINISHED, opened=-58, promised=3),
    PlannedPair("stiff-big-toe", "carbon", opened=-52, promised=-9),
    PlannedPair("metatarsalgia", "rough-fitting", opened=-30, promised=15),
    PlannedPair("haglund", "last-backs", opened=-27, promised=12),
    PlannedPair("hammer-toes", "cut-stiffeners", opened=-16, promised=26),
    PlannedPair(
        "healed-ulcer",
        HANDED_OVER,
        opened=-165,
        promised=-98,
        handed_over=-96,
        reviewed=-75,
        next_review=15,
        letter=True,
    ),
    PlannedPair("charcot", "alter-last", opened=-5, promised=45),
    PlannedPair("leg-length", "sole", opened=-60, promised=-3),
    PlannedPair("foot-drop", HANDED_OVER, opened=-75, promised=-20, handed_over=-17),
    PlannedPair("part-foot", "gather", opened=-1, promised=49),
    PlannedPair("rheumatoid", "sew-plug", opened=-22, promised=9),
    PlannedPair("adaptation", "adapt-stiffener", opened=-9, promised=6),
    PlannedPair(
        "repair",
        "repair-price",
        opened=-3,
        promised=4,
        repair="resole; 20 mm raise on the RIGHT",
        repaired_feet="right",
        heights_to_restore={Side.RIGHT: "raise: heel 20 mm, joint 12 mm, toe 6 mm"},
    ),
    PlannedPair("healed-ulcer", "close", opened=-14, promised=24, again=True),
    PlannedPair("foot-drop", "gather", opened=-2, promised=34, again=True),
    PlannedPair("rheumatoid", HANDED_OVER, opened=-230, promised=-190, handed_over=-188, reviewed=-165),
    PlannedPair(
        "hypermobile",
        "repair-finish",
        opened=-11,
        promised=-1,
        repair="heels worn to the lateral edge",
        repair_jobs=("heel job",),
    ),
    PlannedPair(
        "leg-length",
        HANDED_OVER,
        opened=-40,
        promised=-30,
        repair="half soles",
        repair_jobs=("half sole job",),
        handed_over=-29,
    ),
    PlannedPair("haglund", HANDED_OVER, opened=-300, promised=-250, handed_over=-248, reviewed=-226),
    PlannedPair("hammer-toes", HANDED_OVER, opened=-260, promised=-210, handed_over=-206, reviewed=-184),
)
