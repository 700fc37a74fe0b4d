"""Where a scan is measured: by default as parts of the foot's length, and moved by a person."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

SURVEY = "mean of the 4,082 men of the open survey ANSUR II, NATICK/TR-15/007"
MEMORY = "from memory"


@dataclass(frozen=True)
class ScanStation:
    """A place along the foot. `fraction`: its default distance from the heel, as a part of the foot's length."""

    key: str
    label: str
    fraction: float
    source: str


STATIONS: tuple[ScanStation, ...] = (
    ScanStation("joint_medial", "joint, medial edge", 0.741, SURVEY),
    ScanStation("joint_lateral", "joint, lateral edge", 0.645, MEMORY),
    ScanStation("waist", "waist", 0.62, MEMORY),
    ScanStation("instep", "instep", 0.52, MEMORY),
    ScanStation("heel_width", "heel width", 0.17, MEMORY),
)
BY_KEY: Mapping[str, ScanStation] = MappingProxyType({station.key: station for station in STATIONS})

SHORT_HEEL_DEG = (25.0, 65.0)
"""How steeply, to the floor, the plane of the short heel girth may rise from the back of the heel."""

HEEL_WIDTH_BELOW = 0.16
"""The heel is measured across up to this part of the foot's length above the floor. From memory."""

GIRTHS = ("joint_girth", "waist_girth", "instep_girth", "short_heel_girth", "long_heel_girth")
"""Keys of `measures.py`, in its order, that are the girth of a plane section."""
