"""Targets, alterations, nearest lasts and slips by name, for the calculators page and the command line."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

import numpy as np

from cases.lasts import girths, slips
from cases.lasts.alteration import LIMITS, Limits, last_alteration
from cases.lasts.measures import BY_KEY as MEASURES
from cases.lasts.nearest import COSTS, Costs, RackArrays, Wanted, nearest_lasts
from cases.lasts.stations import BY_KEY, STATIONS
from cases.lasts.target import last_target
from shared.calculations import BadInput, Calculation, Input, Kind, Output, Worked, figures_by_name
from shared.workings import Status, Workings

LASTS = "Targets and alterations of lasts"
MEASURING = "Measures"
FOOT_EXAMPLE = '{"joint": 253, "instep": 258}'
EASE_EXAMPLE = '{"joint": 0, "instep": -2}'
TARGET_EXAMPLE = '{"joint": 257, "instep": 260}'
LAST_EXAMPLE = '{"joint": 250, "instep": 262}'
MEASURES_EXAMPLE = '{"foot_length": 273, "heel_to_joint": 273, "joint_girth": 253}'
RACK_EXAMPLE = '[{"length_mm": 285, "heel_height_mm": 20, "joint": 250}]'
MOST_LASTS = 5000
SHOWN = 10
TURNING = {station.key: station.turning_setting for station in STATIONS if station.turning_setting}


def _stations(name: str, given: object, example: str) -> dict[str, float]:
    return figures_by_name(name, given, known=list(BY_KEY), example=example)


def _layer_girth(**given: Any) -> Worked:
    found = girths.layer_girth(**given)
    return Worked({"girth_change_mm": found.girth_change_mm}, (found.workings,))


def _girth_build_up(**given: Any) -> Worked:
    found = girths.girth_build_up(**given)
    return Worked({"thickness_mm": found.thickness_mm}, (found.workings,))


def _heel_girth(**given: Any) -> Worked:
    found = girths.heel_girth_expected(**given)
    return Worked({"heel_girth_mm": found.heel_girth_mm}, (found.workings,))


def _last_target(*, foot: object, ease: object, own: object, kind: str, **given: Any) -> Worked:
    stations = last_target(
        foot_mm=_stations("foot", foot, FOOT_EXAMPLE),
        ease_mm=_stations("ease", ease, EASE_EXAMPLE),
        own_mm=_stations("own", own, EASE_EXAMPLE),
        kind=kind,
        **given,
    )
    if not stations:
        raise BadInput("foot", foot, allowed=f"a station that has an ease, such as {FOOT_EXAMPLE}")
    rows = [
        {
            "station": each.label,
            "foot_mm": each.foot_mm,
            "addends": "; ".join(f"{addend.words} {addend.signed}" for addend in each.addends),
            "target_mm": each.target_mm,
        }
        for each in stations
    ]
    return Worked({"stations": rows}, tuple(each.workings for each in stations))


def _last_alteration(*, target: object, last: object, figures: Mapping[str, float]) -> Worked:
    wanted = _stations("target", target, TARGET_EXAMPLE)
    found = last_alteration(
        target=last_target(foot_mm=wanted, ease_mm=dict.fromkeys(wanted, 0.0), kind="low"),
        last_mm=_stations("last", last, LAST_EXAMPLE),
        turning_deg={key: figures[name] for key, name in TURNING.items()},
        limits=Limits(**{name: figures[setting] for name, setting in LIMITS.items()}),
    )
    if not found.stations:
        raise BadInput("last", last, allowed=f"a station of the target, such as {LAST_EXAMPLE}")
    rows = [
        {
            "station": each.label,
            "difference_mm": each.difference_mm,
            "work": each.work,
            "thickness_mm": each.bench_mm,
            "resulting_mm": each.resulting_girth_mm,
        }
        for each in found.stations
    ]
    figures_found = {"stations": rows, "new_last_because": list(found.new_last_because)}
    return Worked(figures_found, tuple(each.workings for each in found.stations))


def _nearest_lasts(
    *, target: object, length_mm: float, heel_height_mm: float, rack: object, figures: Mapping[str, float]
) -> Worked:
    rows = _rack(rack)
    arrays = RackArrays(
        is_left=np.ones(len(rows), dtype=bool),
        length_mm=np.array([row["length_mm"] for row in rows]),
        heel_height_mm=np.array([row["heel_height_mm"] for row in rows]),
        stations_mm=np.array([[row.get(station.key, np.nan) for station in STATIONS] for row in rows]),
    )
    ranked = nearest_lasts(
        Wanted(
            is_left=True,
            length_mm=length_mm,
            heel_height_mm=heel_height_mm,
            target_mm=_stations("target", target, TARGET_EXAMPLE),
        ),
        rack=arrays,
        costs=Costs(**{cost: figures[setting] for cost, setting in COSTS.items()}),
        most=SHOWN,
    )
    shown = [
        {
            "place": each.place,
            "row": each.index + 1,
            "work": round(each.work, 1),
            "to_do": "; ".join((each.length_words, each.heel_words, *(station.to_do for station in each.stations))),
        }
        for each in ranked
    ]
    return Worked({"lasts": shown}, tuple(each.workings for each in ranked) or (_no_last(length_mm),))


def _rack(given: object) -> list[dict[str, float]]:
    if not isinstance(given, list) or not 0 < len(given) <= MOST_LASTS:
        raise BadInput("rack", given, allowed=f"1 to {MOST_LASTS} lasts, JSON such as {RACK_EXAMPLE}")
    rows = [
        figures_by_name("rack", row, known=["length_mm", "heel_height_mm", *BY_KEY], example=RACK_EXAMPLE)
        for row in given
    ]
    for name in ("length_mm", "heel_height_mm"):
        if any(name not in row for row in rows):
            raise BadInput("rack", "a last without " + name, allowed=f"JSON such as {RACK_EXAMPLE}")
    return rows


def _no_last(length_mm: float) -> Workings:
    return Workings(
        name="nearest lasts",
        result="none of these lasts",
        formula="a last that is too short is no last for this foot",
        inputs=(("Length needed", f"{length_mm:g} mm"),),
        source="a workshop setting",
        status=Status.WORKSHOP_SETTING,
    )


def _measure_slips(*, left: object, right: object) -> Worked:
    asked = slips.measure_slips(left=_measures("left", left), right=_measures("right", right))
    rows = [{"side": each.side or "both", "question": each.question, "source": each.source} for each in asked]
    sheet = Workings(
        name="please measure again?",
        result=f"{len(rows)} questions" if len(rows) != 1 else "1 question",
        formula="order of the measures, slips of ten times and of digits, left against right, survey, Golding",
        inputs=tuple((f"Question {number}", each.words) for number, each in enumerate(asked, start=1)),
        source=f"{slips.SURVEY}; {girths.GOLDING}; common practice, no source",
        status=Status.WORKSHOP_SETTING,
        cautions=("A question, never a block: where the tape was right, the measures stand.",),
    )
    return Worked({"questions": rows}, (sheet,))


def _measures(name: str, given: object) -> dict[str, Decimal]:
    read = figures_by_name(name, given, known=list(MEASURES), example=MEASURES_EXAMPLE)
    values: dict[str, Decimal] = {}
    for key, value in read.items():
        try:
            values[key] = Decimal(str(value)).quantize(Decimal("0.1"))
        except InvalidOperation:
            raise BadInput(f"{name} {key}", value, allowed="more than 0 and less than 1500 mm") from None
        if not 0 < values[key] < 1500:
            raise BadInput(f"{name} {key}", value, allowed="more than 0 and less than 1500 mm")
    return values


TURNING_INPUT = Input("turning_deg", "the layer turns by", "°", default=180.0, example="180")
KIND = Input(
    "kind",
    "footwear",
    "",
    kind=Kind.CHOICE,
    choices=("low", "court", "ankle_boot", "long_boot", "moccasin", "sandal", "no_sensation", "indoor"),
    default="low",
)

CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="measure-slips",
        words="what had better be measured again",
        subject=MEASURING,
        inputs=(
            Input("left", "LEFT foot", kind=Kind.TABLE, example=MEASURES_EXAMPLE),
            Input("right", "RIGHT foot", kind=Kind.TABLE, example=MEASURES_EXAMPLE),
        ),
        outputs=(Output("questions", "please measure again?", ""),),
        source=f"{slips.SURVEY}; {girths.GOLDING}; common practice, no source",
        work=_measure_slips,
    ),
    Calculation(
        name="layer-girth",
        words="girth by a layer",
        subject=LASTS,
        inputs=(Input("thickness_mm", "thickness of the layer", example="3"), TURNING_INPUT),
        outputs=(Output("girth_change_mm", "the girth changes by"),),
        source=girths.PARALLEL_CURVES,
        work=_layer_girth,
        cautions=(girths.CONVEX, girths.ALL_ROUND),
    ),
    Calculation(
        name="girth-build-up",
        words="layer for a girth",
        subject=LASTS,
        inputs=(Input("girth_change_mm", "the girth is to change by", example="6"), TURNING_INPUT),
        outputs=(Output("thickness_mm", "thickness of the layer"),),
        source=girths.PARALLEL_CURVES,
        work=_girth_build_up,
        cautions=(girths.CONVEX, girths.ALL_ROUND),
    ),
    Calculation(
        name="heel-girth-expected",
        words="heel girth to expect of an adult foot",
        subject=LASTS,
        inputs=(
            Input("instep_girth_mm", "instep girth", example="258"),
            Input("heel_height_mm", "rise of the heel", default=0.0, example="22"),
        ),
        outputs=(Output("heel_girth_mm", "heel girth"),),
        source=girths.GOLDING,
        work=_heel_girth,
    ),
    Calculation(
        name="last-target",
        words="what a last must measure",
        subject=LASTS,
        inputs=(
            Input("foot", "foot, by station", kind=Kind.TABLE, example=FOOT_EXAMPLE),
            Input("ease", "ease, by station", kind=Kind.TABLE, example=EASE_EXAMPLE),
            KIND,
            Input("hose_mm", "hose", default=0.0, example="4"),
            Input("swelling_mm", "swelling", default=0.0, example="0"),
            Input("inlay_mm", "removable inlay", default=0.0, example="0"),
            Input("own", "added besides, by station", kind=Kind.TABLE, default={}, example=EASE_EXAMPLE),
        ),
        outputs=(Output("stations", "station by station", ""),),
        source="ease is a workshop setting, common practice without a source",
        work=_last_target,
    ),
    Calculation(
        name="last-alteration",
        words="what to build up or take down",
        subject=LASTS,
        inputs=(
            Input("target", "target, by station", kind=Kind.TABLE, example=TARGET_EXAMPLE),
            Input("last", "last, by station", kind=Kind.TABLE, example=LAST_EXAMPLE),
        ),
        outputs=(Output("stations", "station by station", ""), Output("new_last_because", "a new last because", "")),
        source=girths.PARALLEL_CURVES,
        work=_last_alteration,
        cautions=(girths.CONVEX, girths.ALL_ROUND),
        also=(*TURNING.values(), *LIMITS.values()),
    ),
    Calculation(
        name="nearest-lasts",
        words="nearest lasts by least work",
        subject=LASTS,
        inputs=(
            Input("target", "target, by station", kind=Kind.TABLE, example=TARGET_EXAMPLE),
            Input("length_mm", "length needed", example="285"),
            Input("heel_height_mm", "heel height", default=20.0, example="20"),
            Input("rack", "lasts of this side", "", kind=Kind.TABLE, example=RACK_EXAMPLE),
        ),
        outputs=(Output("lasts", "nearest first", ""),),
        source="what work counts is a workshop setting, from memory",
        work=_nearest_lasts,
        also=tuple(COSTS.values()),
    ),
)
