"""The sheet behind a computed figure: formula, what was put in, where it comes from."""

from dataclasses import dataclass, field
from enum import Enum


class Status(Enum):
    """How far a figure may be trusted, in the words the screen uses."""

    PUBLISHED = "published"
    GEOMETRY = "geometry"
    WORKSHOP_SETTING = "workshop setting"
    WEIGHED_HERE = "weighed here"


@dataclass(frozen=True)
class Workings:
    """A computed figure with everything needed to check it. `result` is text with its unit, ready to show."""

    name: str
    result: str
    formula: str
    inputs: tuple[tuple[str, str], ...]
    source: str
    status: Status
    cautions: tuple[str, ...] = field(default=())
