"""What is asked of a maker at the checks: figures measured before the prescribed value is shown, one kind a part; a photo."""

from workshop.figures.setting import SWITCH_UNIT, Group, Setting, memory


def _blind(key: str, words: str, *, on: bool = False) -> Setting:
    return memory(f"blind_{key}", words, "1" if on else "0", SWITCH_UNIT)


CHECK_GROUPS = (
    Group(
        "Measured blind at the part check, on stages planned from then on",
        (
            _blind("stiffener_reaches", "stiffener: reach medial and lateral", on=True),
            _blind("puff_length", "toe puff: length from the toe"),
            _blind("insole_thickness", "insole: finished at heel, waist, forepart"),
            _blind("scoured_thickness", "scoured zone: thickness left", on=True),
            _blind("cushion_thickness", "cushion: thickness"),
            _blind("carbon_plies", "carbon: plies, counted as laid", on=True),
            _blind("dome_height", "metatarsal dome: height"),
            _blind("raise_heights", "raise: heel, joint and toe, before the sole", on=True),
            _blind("wedge_height", "wedge: height at the edge"),
        ),
    ),
    Group(
        "Photo at the placed check",
        (memory("placed_photo_asked_for", "a photo of what is in position is asked for", "0", SWITCH_UNIT),),
    ),
)
