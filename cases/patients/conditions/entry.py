"""What is known of one condition: its words, where it may sit, and what is asked about it."""

from dataclasses import dataclass
from enum import Enum


class Group(Enum):
    """The heading under which a condition is looked for, from the person down to the shoe."""

    GENERAL = "General"
    SENSATION = "Sensation and circulation"
    SKIN = "Skin and nails"
    TOES = "Toes"
    FOREFOOT = "Forefoot"
    MIDFOOT = "Midfoot"
    HINDFOOT = "Arch and hindfoot"
    ANKLE = "Ankle and leg"
    FUNCTION = "What the person does"
    FOOTWEAR = "Footwear worn now"


@dataclass(frozen=True)
class Condition:
    """One entry of the list.

    `label` is the clinical word for the screen, `plain` the word for the client's letter. `on_a_foot` is false for
    what has no side. `has_flexibility` says whether fixed or flexible (accommodate or correct) is a question here.
    `places` are suggestions. `asks` says what the note should hold. `sign` names the red flag this may be.
    """

    key: str
    label: str
    plain: str
    group: Group
    on_a_foot: bool = True
    has_flexibility: bool = False
    places: tuple[str, ...] = ()
    asks: str = ""
    is_deformity: bool = False
    sign: str = ""
