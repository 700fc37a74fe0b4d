"""What a shoe implies, as it is told: figures foot by foot, in rows and groups, each with the sheet behind it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from cases.prescriptions.rigidity import Labels
from cases.prescriptions.weight import ShoeWeight
from shared.sides import Side
from shared.workings import Workings


@dataclass(frozen=True)
class Told:
    """One figure of one foot; `passed` says which promise to the client it passes."""

    sheet: Workings
    passed: str = ""


@dataclass(frozen=True)
class Line:
    """A small line drawing from the side: svg paths in mm, y down, in a box of this size; what lies at its two ends."""

    ground: str
    upper: str
    lower: str
    wide: float
    high: float
    ends: tuple[str, str]
    says: str


@dataclass(frozen=True)
class OfFoot:
    """One foot's figures by their keys, in the order in which they are read.

    `first` are those that are always read; `pieces` works out those to cut, once somebody looks at them.
    """

    side: Side
    weight: ShoeWeight
    first: Mapping[str, Told]
    pieces: Callable[[], Mapping[str, Told]]
    rocker: Line | None = None
    labels: Labels | None = None
    """What its forepart comes to; None where nothing is known of its layers."""

    @cached_property
    def told(self) -> Mapping[str, Told]:
        return {**self.first, **self.pieces()}

    def figure(self, key: str) -> Told | None:
        """One figure; None where this foot has none."""
        return (self.told if key in PIECES else self.first).get(key)


@dataclass(frozen=True)
class Row:
    """One figure, LEFT and RIGHT. A foot that has none has None."""

    key: str
    words: str
    left: Told | None
    right: Told | None
    is_pair: bool

    @property
    def differs(self) -> bool:
        """Whether the two feet of a pair are told differently."""
        one, other = (each.sheet.result if each else "" for each in (self.left, self.right))
        return self.is_pair and one != other


@dataclass(frozen=True)
class Group:
    words: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Implied:
    """What a pair implies. `cannot` says of a foot why nothing is worked out for it."""

    feet: Mapping[Side, OfFoot]
    cannot: Mapping[Side, str] = field(default_factory=dict)

    @property
    def left(self) -> OfFoot | None:
        return self.feet.get(Side.LEFT)

    @property
    def right(self) -> OfFoot | None:
        return self.feet.get(Side.RIGHT)

    @property
    def groups(self) -> tuple[Group, ...]:
        """Everything, LEFT beside RIGHT; what neither foot has is left out."""
        return tuple(Group(words, rows) for words, keys in GROUPS.items() if (rows := tuple(self._rows(keys))))

    @property
    def brief(self) -> tuple[Row, ...]:
        """Label, weight and heights alone."""
        return tuple(self._rows(BRIEF))

    @property
    def passed(self) -> tuple[str, ...]:
        """Every promise to the client that is passed, foot by foot."""
        return tuple(
            f"{side.label}: {told.passed}"
            for side, foot in self.feet.items()
            for told in foot.first.values()
            if told.passed
        )

    def _rows(self, keys: Iterable[str]) -> Iterator[Row]:
        for key in keys:
            left, right = (foot.figure(key) if foot else None for foot in (self.left, self.right))
            if left or right:
                yield Row(key, WORDS[key], left, right, is_pair=len(self.feet) > 1)


WORDS: Mapping[str, str] = {
    "weight": "weight of the shoe",
    "heel_height": "height under the heel",
    "joint_height": "height under the joint",
    "toe_height": "height under the toe",
    "pitch": "pitch",
    "raise_pitch": "raise: change of pitch",
    "raise_stiffener": "raise: stiffener left behind the heel",
    "rigidity": "forepart",
    "plies_asked": "carbon for the label asked",
    "plies_firm": "carbon for a firm forepart",
    "plies_rigid": "carbon for a rigid forepart",
    "rocker_thickness": "rocker sole",
    "rocker_lift": "rocker, toe lift",
    "cut_stiffener": "stiffener",
    "cut_puff": "toe puff",
    "cut_insole": "insole",
    "cut_cushion": "scoured zone and cushion",
    "cut_shank": "shank",
    "cut_carbon": "carbon zone",
}
PIECES = ("cut_stiffener", "cut_puff", "cut_insole", "cut_cushion", "cut_shank", "cut_carbon")
GROUPS: Mapping[str, Sequence[str]] = {
    "Weight and heights": (
        "weight",
        "heel_height",
        "joint_height",
        "toe_height",
        "pitch",
        "raise_pitch",
        "raise_stiffener",
    ),
    "Forepart and rocker": (
        "rigidity",
        "plies_asked",
        "plies_firm",
        "plies_rigid",
        "rocker_thickness",
        "rocker_lift",
    ),
    "Starting pieces, trimmed on the last": PIECES,
}
BRIEF = ("rigidity", "weight", "heel_height", "joint_height", "toe_height")
