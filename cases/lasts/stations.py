"""The stations at which a last is measured, and what a foot's measure and a last's figure are called at each."""

from collections.abc import Mapping
from dataclasses import dataclass

TOE_DEPTH = "toe_depth"


@dataclass(frozen=True)
class Station:
    """One place on a last.

    `measure_key` is a key of `measures.py`, `last_field` a column of the last, `turning_setting` the workshop's figure
    for how far a layer turns there, in degrees. A depth has none: what is added to it is its thickness.
    `along` is the place of its highest point on the last from the back of the heel, as a part of the last's length;
    None where the tape does not cross the top of the last.
    """

    key: str
    label: str
    measure_key: str
    last_field: str
    turning_setting: str
    along: float | None

    @property
    def is_girth(self) -> bool:
        return bool(self.turning_setting)

    def ease_setting(self, kind: str) -> str:
        """The name of the workshop's figure for the ease of this kind of footwear here, in mm."""
        return f"ease_{kind}_{self.key}_mm"


def _girth(key: str, label: str, along: float | None) -> Station:
    return Station(key, label, f"{key}_girth", f"{key}_girth_mm", f"turning_{key}_degrees", along)


STATIONS: tuple[Station, ...] = (
    _girth("joint", "joint", 0.72),
    _girth("waist", "waist", 0.61),
    _girth("instep", "instep", 0.51),
    _girth("short_heel", "short heel", 0.36),
    _girth("long_heel", "long heel", None),
    _girth("ankle", "ankle", None),
    Station(TOE_DEPTH, "toe depth", "toe_depth", "toe_depth_mm", "", 0.92),
)
"""In the order of the tape, the depth of the toe last. The places along the last are from memory; where the last's own
heel-to-joint length was taken, it stands for the joint."""

BY_KEY: Mapping[str, Station] = {station.key: station for station in STATIONS}
