"""Left and right, medial and lateral, said in words everywhere. Pure: no Django."""

from enum import EnumType, StrEnum
from typing import Any


class _Listed(EnumType):
    """What a column and a form ask of a closed list, by the names Django gives them."""

    @property
    def values(cls) -> list[str]:
        members: dict[str, Any] = dict(cls.__members__)
        return [str(member) for member in members.values()]

    @property
    def choices(cls) -> list[tuple[str, str]]:
        members: dict[str, Any] = dict(cls.__members__)
        return [(str(member), member.label) for member in members.values()]


class Side(StrEnum, metaclass=_Listed):
    """A foot, or the shoe of that foot, as the wearer sees it looking down."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def label(self) -> str:
        return self.value.upper()

    @property
    def other(self) -> "Side":
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


SIDES = (Side.LEFT, Side.RIGHT)


class Edge(StrEnum, metaclass=_Listed):
    """The side of one foot towards the other foot, or away from it."""

    MEDIAL = "medial"
    LATERAL = "lateral"

    @property
    def label(self) -> str:
        return self.value
