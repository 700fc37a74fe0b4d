"""The columns of a rack's file: what each means and what may stand in it. Measures in mm."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import Enum

ORIGINS = ("made", "altered", "reused")
MAKINGS = ("tape", "cast", "scan")
READ_ON = ("last", "foot")

Value = str | Decimal | date | None


class Kind(Enum):
    TEXT = "text"
    MM = "mm, to the tenth"
    DEGREES = "degrees, to the tenth"
    DAY = "day as 2026-11-25"
    CHOICE = "one of a list"


@dataclass(frozen=True)
class Column:
    """One column. `most` is the longest text in characters, or the largest figure in the unit of its kind."""

    name: str
    words: str
    kind: Kind = Kind.TEXT
    needed: bool = False
    least: Decimal = Decimal(0)
    most: Decimal = Decimal(0)
    choices: tuple[str, ...] = ()
    otherwise: str = ""
    """What an empty cell stands for, where it is not simply left out."""

    @property
    def allowed(self) -> str:
        """What may stand in it, in words."""
        if self.kind is Kind.CHOICE:
            return ", ".join(self.choices)
        if self.kind is Kind.TEXT:
            return f"text, up to {self.most} characters"
        return self.kind.value if self.kind is Kind.DAY else f"{self.least} to {self.most} {self.kind.value}"


def _text(name: str, words: str, longest: int, *, needed: bool = False) -> Column:
    return Column(name, words, needed=needed, most=Decimal(longest))


def _mm(name: str, words: str, least: int, most: int, *, needed: bool = False, otherwise: str = "") -> Column:
    return Column(name, words, Kind.MM, needed, Decimal(least), Decimal(most), otherwise=otherwise)


def _degrees(name: str, words: str, most: int) -> Column:
    return Column(name, words, Kind.DEGREES, least=Decimal(-most), most=Decimal(most))


def _choice(name: str, words: str, choices: tuple[str, ...], *, needed: bool = False, otherwise: str = "") -> Column:
    return Column(name, words, Kind.CHOICE, needed, choices=choices, otherwise=otherwise)


COLUMNS: tuple[Column, ...] = (
    _text("number", "the last's number; LEFT and RIGHT of a pair have the same", 30, needed=True),
    _choice("side", "the foot it is for", ("left", "right"), needed=True),
    _text("owner_record_number", "record number of the client it was made for; empty for stock", 20),
    _text("marked_size", "the size marked on it", 20),
    _choice("marked_read_on", "what the marked size was read on", READ_ON),
    _mm("length_mm", "length along the bottom", 80, 400, needed=True),
    _mm("heel_height_mm", "heel height", 0, 120, needed=True),
    _mm("toe_spring_mm", "toe spring", 0, 60, otherwise="the workshop's figure"),
    _text("toe_shape", "toe shape", 80),
    _mm("joint_girth_mm", "joint girth", 50, 700),
    _mm("waist_girth_mm", "waist girth", 50, 700),
    _mm("instep_girth_mm", "instep girth", 50, 700),
    _mm("short_heel_girth_mm", "short heel girth", 50, 700),
    _mm("long_heel_girth_mm", "long heel girth", 50, 700),
    _mm("ankle_girth_mm", "ankle girth", 50, 700),
    _mm("joint_width_mm", "joint width", 20, 350),
    _mm("heel_width_mm", "heel width", 20, 350),
    _mm("heel_to_joint_mm", "heel to joint, medial", 20, 350),
    _mm("heel_to_fifth_mm", "heel to joint, lateral", 20, 350),
    _mm("toe_depth_mm", "toe depth", 5, 90),
    _degrees("rearfoot_varus_degrees", "rearfoot tilt, valgus negative", 45),
    _degrees("forefoot_varus_degrees", "forefoot tilt, valgus negative", 45),
    _degrees("toe_out_degrees", "toe-out, toe-in negative", 60),
    _choice("origin", "how it came to be", ORIGINS, otherwise="reused"),
    _choice("making", "what it was made from", MAKINGS, otherwise="tape"),
    _text("place", "where it stands", 80, needed=True),
    _text("condition", "condition", 120),
    _text("not_used_because", "why it is not to be used; empty where it may be", 120),
    _text("alteration_note", "what was built up or taken down on it", 4000),
    Column("made_on", "day it was made", Kind.DAY, otherwise="the day it is taken in"),
    Column("measured_on", "day the tape was on it", Kind.DAY, otherwise="the day it is taken in, where it has a girth"),
)
BY_NAME: Mapping[str, Column] = {column.name: column for column in COLUMNS}
NEEDED = tuple(column.name for column in COLUMNS if column.needed)
