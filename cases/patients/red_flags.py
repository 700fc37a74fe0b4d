"""Signs that are no footwear question today: the person is referred, and somebody says what was done.

The list is common practice of the trade, no citable source. Whom to send to, and how fast, is for the local rules.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Sign:
    """One sign. `has_side` is false where it may concern the whole person."""

    key: str
    words: str
    has_side: bool = True


_ALL: tuple[Sign, ...] = (
    Sign("hot_swollen_foot", "Hot, swollen, red foot with loss of sensation (possibly an active Charcot foot)"),
    Sign("open_or_infected_wound", "Open or infected wound where a shoe touches"),
    Sign("spreading_redness_or_fever", "Spreading redness, or fever", has_side=False),
    Sign("black_or_blue_tissue", "Black or blue tissue, or pain at rest"),
    Sign("sudden_calf_swelling", "Sudden swelling and pain of the calf"),
    Sign("sudden_foot_drop", "Sudden new foot drop"),
)

SIGNS: dict[str, Sign] = {sign.key: sign for sign in _ALL}

WHAT_TO_DO = (
    "Not a footwear question today: refer. Ask the client to stop wearing the shoes, and send them for care by the "
    "local rules."
)


def words(key: str) -> str:
    """What the sign is, for the screen. A key of an older list is shown as it stands."""
    return SIGNS[key].words if key in SIGNS else key
