"""Left and right, medial and lateral, said in words everywhere. Pure: no Django."""

from enum import EnumType, StrEnum


class _Listed(EnumType):
    """What a column and a form ask of a closed list, by the names Django gives them."""

    @property
    def values(cls) -> list[str]:
        return [str(member) for member in cls]

    @property
    def choices(cls) -> list[tuple[str, str]]:
        return [(str(member), member.label) for member in cls]


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
