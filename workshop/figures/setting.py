"""What one setting of the workshop is: its words, unit, bounds, and the value a workshop starts with."""

from dataclasses import dataclass
from decimal import Decimal

PUBLISHED = "published"
COMMON_PRACTICE = "common practice"
FROM_MEMORY = "from memory"


@dataclass(frozen=True)
class Setting:
    """A figure that the workshop may change. `standing` and `source` are those of the starting value alone."""

    name: str
    words: str
    value: Decimal
    unit: str
    standing: str
    source: str = ""
    lowest: Decimal = Decimal(0)
    highest: Decimal = Decimal(1000)

    @property
    def is_switch(self) -> bool:
        """True where the only values are 0 for no and 1 for yes."""
        return self.unit == SWITCH_UNIT


@dataclass(frozen=True)
class Group:
    """Settings that belong together on the screen."""

    words: str
    settings: tuple[Setting, ...]


SWITCH_UNIT = "0 no, 1 yes"


def common(name: str, words: str, value: str, unit: str, *, highest: str = "1000") -> Setting:
    """A convention of the bench: no source can be cited."""
    return Setting(name, words, Decimal(value), unit, COMMON_PRACTICE, highest=Decimal(highest))


def memory(name: str, words: str, value: str, unit: str, *, lowest: str = "0", highest: str = "1000") -> Setting:
    """Believable and unchecked."""
    return Setting(name, words, Decimal(value), unit, FROM_MEMORY, lowest=Decimal(lowest), highest=Decimal(highest))


def published(name: str, words: str, value: str, unit: str, *, source: str, highest: str = "1000") -> Setting:
    """Read in a source that can be named."""
    return Setting(name, words, Decimal(value), unit, PUBLISHED, source, highest=Decimal(highest))
