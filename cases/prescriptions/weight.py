"""What a part weighs, and what a shoe weighs by its parts: an estimate with its range, until the pair is weighed.

Areas in cm², thickness in mm, densities in kg/m³, weights in g.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from cases.prescriptions.weighed_here import WeighedHere
from shared.calculations import check_within
from shared.workings import Status, Workings

ARITHMETIC = "area × thickness × density; over a skive to nothing the mean thickness is half"
TYPICAL = "densities typical, unsourced: weigh your own stock"
WEIGHED = "Weighed here"
ESTIMATE = "An estimate from the parts: the scale decides."


@dataclass(frozen=True)
class Density:
    """The range of one material, kg/m³. `kind` is its kind in the workshop's table."""

    material: str
    kind: str
    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class PartWeight:
    """One part in g: as light as `low_g`, as heavy as `high_g`."""

    words: str
    material: str
    volume_cm3: float
    low_g: float
    middle_g: float
    high_g: float


@dataclass(frozen=True)
class Scale:
    """What was weighed here, from how many pairs on that counts, and how far the estimate may then be off."""

    weighed: WeighedHere
    pairs_to_learn: float
    range_part: float

    @property
    def has_learnt(self) -> bool:
        return self.weighed.pairs >= max(self.pairs_to_learn, 1)


@dataclass(frozen=True)
class Weight:
    weight_g: float
    workings: Workings


@dataclass(frozen=True)
class ShoeWeight:
    """A shoe and its parts, heaviest first. The range is never narrower than the workshop's own `range_part`."""

    parts: tuple[PartWeight, ...]
    low_g: float
    middle_g: float
    high_g: float
    workings: Workings

    @property
    def by_parts_g(self) -> float:
        """What the parts add up to, whatever the scale taught."""
        return sum(part.middle_g for part in self.parts)


def part_weight(*, area_cm2: float, thickness_mm: float, density_kg_m3: float, skived_area_cm2: float = 0.0) -> Weight:
    """What a flat part weighs in g; `skived_area_cm2` of it runs out to nothing. Raises `BadInput`."""
    check_within("area_cm2", area_cm2, 0, 20_000, unit="cm²")
    check_within("thickness_mm", thickness_mm, 0, 200)
    check_within("density_kg_m3", density_kg_m3, 1, 20_000, unit="kg/m³")
    check_within("skived_area_cm2", skived_area_cm2, 0, area_cm2, unit="cm²")
    weight = (area_cm2 - skived_area_cm2 / 2) * thickness_mm / 10 * density_kg_m3 / 1000
    sheet = Workings(
        name="weight of a part",
        result=f"{weight:.0f} g",
        formula="(area − half of what is skived) × thickness × density",
        inputs=(
            ("Area", f"{area_cm2:g} cm²"),
            ("Of it skived to nothing", f"{skived_area_cm2:g} cm²"),
            ("Thickness", f"{thickness_mm:g} mm"),
            ("Density", f"{density_kg_m3:g} kg/m³"),
        ),
        source=ARITHMETIC,
        status=Status.GEOMETRY,
        cautions=(TYPICAL,),
    )
    return Weight(weight, sheet)


def of_volume(words: str, volume_cm3: float, density: Density) -> PartWeight:
    """A part of so many cm³."""
    low, middle, high = (volume_cm3 * each / 1000 for each in (density.low, density.middle, density.high))
    return PartWeight(words, density.material, volume_cm3, low, middle, high)


def together(parts: Sequence[PartWeight], *, range_part: float, scale: Scale | None = None) -> ShoeWeight:
    """A shoe of these parts; those that weigh nothing are left out. What the workshop's `scale` teaches corrects it."""
    there = sorted((part for part in parts if part.middle_g > 0), key=lambda part: -part.middle_g)
    middle = sum(part.middle_g for part in there)
    if scale is not None and scale.has_learnt:
        return _corrected(there, middle, scale)
    low = min(sum(part.low_g for part in there), middle * (1 - range_part))
    high = max(sum(part.high_g for part in there), middle * (1 + range_part))
    sheet = Workings(
        name="weight of the shoe",
        result=f"about {to_ten(middle)} g, {to_ten(low)}-{to_ten(high)}",
        formula="sum over its parts: volume × density",
        inputs=tuple(
            (part.words, f"{part.middle_g:.0f} g, {100 * part.middle_g / middle:.0f} %, {part.material}")
            for part in there
        )
        + (((WEIGHED, f"{_pairs(scale)}; from {scale.pairs_to_learn:g} on they correct it"),) if scale else ()),
        source=f"{TYPICAL}; range of ±{100 * range_part:.0f} % at least, a workshop setting",
        status=Status.WORKSHOP_SETTING,
        cautions=(ESTIMATE,),
    )
    return ShoeWeight(tuple(there), low, middle, high, sheet)


def _corrected(there: Sequence[PartWeight], by_parts: float, scale: Scale) -> ShoeWeight:
    """By the median of what the last pairs weighed, within the workshop's range for what was weighed here."""
    ratio, part = scale.weighed.ratio, scale.range_part
    middle = by_parts * ratio
    low, high = middle * (1 - part), middle * (1 + part)
    shares = (
        (each.words, f"{each.middle_g:.0f} g, {100 * each.middle_g / by_parts:.0f} %, {each.material}")
        for each in there
    )
    sheet = Workings(
        name="weight of the shoe",
        result=f"about {to_ten(middle)} g, {to_ten(low)}-{to_ten(high)}",
        formula="sum over its parts: volume × density; × the median of weighed to estimated",
        inputs=(
            (WEIGHED, f"{_pairs(scale)}, × {ratio:.2f} ({scale.weighed.lowest:.2f}-{scale.weighed.highest:.2f})"),
            ("By its parts alone", f"{by_parts:.0f} g"),
            *shares,
        ),
        source=f"this workshop's scale: the last {_pairs(scale)}, of whatever kind; range of ±{100 * part:.0f} % a workshop setting",
        status=Status.WEIGHED_HERE,
        cautions=(ESTIMATE,),
    )
    return ShoeWeight(tuple(there), low, middle, high, sheet)


def _pairs(scale: Scale) -> str:
    return f"{scale.weighed.pairs} pair{'' if scale.weighed.pairs == 1 else 's'}"


def to_ten(grams: float) -> int:
    """To the nearest 10 g, as far as an estimate can be read."""
    return 10 * round(grams / 10)


def density_for(said: str, *, otherwise: str, table: Mapping[str, Density], never: str = "") -> Density:
    """The density of a material as somebody wrote it: the row with most of its words, else the ordinary material.

    Of rows that hold as many of the words, one of the ordinary material's kind comes first. The row `never` is not
    meant, whatever words it shares.
    """
    words, ordinary = _words(said) - VAGUE, table[otherwise]
    if not words:
        return ordinary

    def alike(row: Density) -> tuple[int, bool, bool]:
        return len(words & _words(row.material)), row.kind == ordinary.kind, row is ordinary

    best = max((row for name, row in table.items() if name != never), key=alike)
    return best if alike(best)[0] else ordinary


VAGUE = {
    "leather",
    "vegetable",
    "tanned",
    "chrome",
    "free",
    "for",
    "and",
    "by",
    "several",
    "layers",
    "mm",
    "or",
    "light",
}
"""Words of a material's name that alone say little."""


@lru_cache(maxsize=512)
def _words(text: str) -> frozenset[str]:
    return frozenset(word.strip(",.;()") for word in text.casefold().replace("-", " ").split())
