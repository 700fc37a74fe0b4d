"""What the leather of a piece must be, and how long it soaks, mellows and dries.

Which part of a hide a piece is cut from, and which way its grain lies, is common practice without a source; the hours are
the workshop's dated settings.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields

from cases.patterns.drafting.pieces import Piece
from shared.sides import SIDES, Side

COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Hours:
    """The workshop's soaking and drying, each a dated setting of the same name; factor: damp weather or a warm cabinet."""

    soak_thin_minutes: float
    soak_thick_hours_least: float
    soak_thick_hours_most: float
    soak_thick_from_mm: float
    mellow_minutes: float
    dry_stiffener_hours_least: float
    dry_stiffener_hours_most: float
    dry_puff_hours_least: float
    dry_puff_hours_most: float
    dry_insole_hours_least: float
    dry_insole_hours_most: float
    drying_season_factor: float


HOURS = tuple(field.name for field in fields(Hours))


@dataclass(frozen=True)
class Asked:
    """What is asked of the leather of a part. `dries` names the settings of its drying."""

    cut_from: str
    grain: str
    look_for: str
    dries: str


ASKED: Mapping[str, Asked] = {
    "stiffener": Asked(
        cut_from="belly, or the softer part of a shoulder; vegetable-tanned",
        grain="grain outward, away from the foot",
        look_for="even stretch, no loose flesh, no vein across the back",
        dries="dry_stiffener_hours",
    ),
    "toe_puff": Asked(
        cut_from="belly; vegetable-tanned",
        grain="grain outward, away from the foot",
        look_for="fine and even, nothing loose where it is skived",
        dries="dry_puff_hours",
    ),
    "insole": Asked(
        cut_from="shoulder; vegetable-tanned",
        grain="grain to the foot",
        look_for="firm, of one thickness left and right, no scar under the joints",
        dries="dry_insole_hours",
    ),
}
"""By the shoe's part: common practice, no source."""

NOT_LEATHER = ("thermoplastic", "board", "carbon", "steel", "foam", "eva", "cork", "rubber", "polyurethane", "felt")
"""Words of a material that is neither soaked nor mellowed."""


@dataclass(frozen=True)
class LeatherLine:
    """What the leather of a part must be, for the feet in `sides`. `thickness` is in words: each that is cut."""

    name: str
    sides: tuple[Side, ...]
    material: str
    thickness: str
    cut_from: str
    grain: str
    look_for: str
    soak: str
    mellow: str
    dry: str


def leather_of(pieces: Iterable[Piece], hours: Hours) -> tuple[LeatherLine, ...]:
    """One line for each part and material that is cut from leather and wetted, parted where thick leather soaks longer."""
    together: dict[tuple[str, str, str], list[Piece]] = {}
    for piece in pieces:
        if piece.key in ASKED and is_leather(piece.material):
            together.setdefault((piece.key, piece.material, soak_words(piece, hours)), []).append(piece)
    return tuple(_line(key, soak, alike, hours) for (key, _, soak), alike in together.items())


def _line(key: str, soak: str, pieces: Sequence[Piece], hours: Hours) -> LeatherLine:
    asked = ASKED[key]
    serve = {side for piece in pieces for side in piece.serves}
    return LeatherLine(
        name=pieces[0].name.partition(",")[0],
        sides=tuple(side for side in SIDES if side in serve),
        material=pieces[0].material,
        thickness=", ".join(sorted({thickness_words(piece) for piece in pieces})),
        cut_from=asked.cut_from,
        grain=asked.grain,
        look_for=asked.look_for,
        soak=soak,
        mellow=f"{hours.mellow_minutes:g} min",
        dry=dry_words(asked.dries, hours),
    )


def thickness_words(piece: Piece) -> str:
    """2.8 mm; or 5 mm, split to 4 mm."""
    if piece.thickness_mm is None:
        return "not said"
    split = f" split to {piece.split_to_mm:g} mm" if piece.split_to_mm is not None else ""
    return f"{piece.thickness_mm:g} mm{split}"


def is_leather(material: str) -> bool:
    """Whether a material in words is leather that is worked wet."""
    words = material.casefold()
    return not any(word in words for word in NOT_LEATHER)


def soak_words(piece: Piece, hours: Hours) -> str:
    """How long a piece soaks: thin leather minutes, thick leather hours."""
    thick = piece.split_to_mm if piece.split_to_mm is not None else piece.thickness_mm
    if thick is None:
        return "thickness not said: feel it"
    if thick < hours.soak_thick_from_mm:
        return f"{hours.soak_thin_minutes:g} min"
    return f"{hours.soak_thick_hours_least:g} to {hours.soak_thick_hours_most:g} h"


def dry_words(dries: str, hours: Hours) -> str:
    """How long a piece dries on the last, with the season's factor in it."""
    least, most = (getattr(hours, f"{dries}_{end}") * hours.drying_season_factor for end in ("least", "most"))
    return f"{least:.0f} to {most:.0f} h"
