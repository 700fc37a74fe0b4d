"""What a measured scan says, in words and with workings. Takes what `meshes.measuring.measure` found; all in mm."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from cases.lasts.measures import MEASURES, MeasureKind
from cases.lasts.meshes.stations import BY_KEY, HEEL_WIDTH_BELOW, MEMORY
from shared.workings import Status, Workings

TENTH = Decimal("0.1")

GEOMETRY = (
    "geometry of a plane section; checked against the published circumference of an ellipse "
    "(S. Ramanujan, Quarterly Journal of Mathematics 1914;45:350-372)"
)
NO_TAPE = "A tape presses the flesh and a scan does not: the girth of a scan comes out greater. From memory."
NOT_CLOSED = "The section does not go all round: the scan has a hole or an edge here, and is not offered as a measure."
HOLLOW_MM = 3.0
"""Where the surface is longer than the tape by more than this, the hollow is worth a word."""


@dataclass(frozen=True)
class ScanMeasure:
    """One measure of a scan. `takeable`: it may be taken as a measure."""

    kind: MeasureKind
    value_mm: Decimal
    workings: Workings
    takeable: bool


def takeable_mm(measured: Mapping[str, Any]) -> dict[str, Decimal]:
    """What may be taken as a measure, to the tenth of a millimetre, by its key."""
    return {each.kind.key: each.value_mm for each in scan_measures(measured) if each.takeable}


def scan_measures(measured: Mapping[str, Any]) -> tuple[ScanMeasure, ...]:
    """Every measure that was found, in the order of the list, each with its workings."""
    lengths, girths = measured.get("lengths", {}), measured.get("girths", {})
    found = []
    for kind in MEASURES:
        if kind.key in lengths:
            found.append(_length(kind, lengths[kind.key], measured["placing"]))
        elif kind.key in girths:
            found.append(_girth(kind, girths[kind.key], measured["placing"]))
    return tuple(found)


def _girth(kind: MeasureKind, girth: Mapping[str, Any], placing: Mapping[str, Any]) -> ScanMeasure:
    value = _tenth(girth["tape_mm"])
    cautions = [NO_TAPE]
    if not girth["is_closed"]:
        cautions.insert(0, NOT_CLOSED)
    if girth["surface_mm"] - girth["tape_mm"] > HOLLOW_MM:
        cautions.append("The tape spans a hollow here that the surface follows.")
    workings = Workings(
        name=kind.label,
        result=_mm(value),
        formula="length of a tape round the plane section: the circumference of its convex hull",
        inputs=(
            ("plane", _plane(kind.key, placing)),
            ("along the surface", _mm(_tenth(girth["surface_mm"]))),
            ("pieces that the plane cut", f"{girth['pieces']}, of which the largest that goes all round is the foot"),
            *_unit(placing),
        ),
        source=GEOMETRY,
        status=Status.GEOMETRY,
        cautions=tuple(cautions),
    )
    return ScanMeasure(kind, value, workings, takeable=bool(girth["is_closed"]))


def _plane(key: str, placing: Mapping[str, Any]) -> str:
    stations = placing["stations"]
    if key == "joint_girth":
        medial, lateral = _mm(stations["joint_medial"]), _mm(stations["joint_lateral"])
        return f"upright, {medial} from the heel at the medial edge and {lateral} at the lateral edge"
    if key == "short_heel_girth":
        return f"from the lowest point at the back of the heel, rising forward by {placing['short_heel_deg']:g}°"
    if key == "long_heel_girth":
        return "from the lowest point at the back of the heel to the top of the instep"
    return f"upright, square to the foot, {_mm(stations[key.removesuffix('_girth')])} from the heel"


FORMULAS: Mapping[str, str] = {
    "foot_length": "from the back of the heel to the longest toe, along the foot",
    "heel_to_joint": "as the medial edge of the joint was placed",
    "heel_to_fifth": "as the lateral edge of the joint was placed",
    "joint_width": "how far the joint section reaches across, square to the foot",
    "heel_width": f"how far the heel reaches across, up to {HEEL_WIDTH_BELOW:g} of the foot's length above the floor",
    "instep_height": "from the floor to the top of the instep section",
}
STATION_OF: Mapping[str, str] = {
    "heel_to_joint": "joint_medial",
    "heel_to_fifth": "joint_lateral",
    "heel_width": "heel_width",
    "instep_height": "instep",
}


def _length(kind: MeasureKind, mm: float, placing: Mapping[str, Any]) -> ScanMeasure:
    inputs = list(_unit(placing))
    if station := BY_KEY.get(STATION_OF.get(kind.key, "")):
        at_mm = placing["stations"][station.key]
        inputs.insert(0, (f"{station.label}, from the heel", _mm(at_mm)))
        inputs.insert(1, ("placed by default at", f"{station.fraction:g} of the foot's length ({station.source})"))
    is_placed_alone = kind.key in {"heel_to_joint", "heel_to_fifth"}
    cautions = ("Nothing was found here: it is where the joint was placed.",) if is_placed_alone else ()
    workings = Workings(
        name=kind.label,
        result=_mm(_tenth(mm)),
        formula=FORMULAS[kind.key],
        inputs=tuple(inputs),
        source="geometry of the mesh",
        status=Status.GEOMETRY,
        cautions=cautions,
    )
    return ScanMeasure(kind, _tenth(mm), workings, takeable=True)


def _unit(placing: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    guessed = f", guessed from the size of the mesh ({MEMORY})" if placing["unit_guessed"] else ", as a person said"
    return (("unit of the file", f"{placing['unit']}{guessed}"),)


def _tenth(mm: float) -> Decimal:
    return Decimal(str(mm)).quantize(TENTH)


def _mm(mm: Decimal | float) -> str:
    return f"{float(mm):.1f}".removesuffix(".0") + " mm"
