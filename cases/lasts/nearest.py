"""The lasts of a rack in the order of the work that would make each of them one foot's last.

Work is counted in mm of girth built up: everything else is so many times as dear, by the workshop's settings, which
are from memory. It orders lasts; it is no time and no price. All lengths in mm.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

import numpy as np
import numpy.typing as npt

from cases.lasts.stations import BY_KEY, STATIONS, Station
from shared.calculations import BadInput
from shared.workings import Status, Workings

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]

SHORTEST_TARGET_MM, LONGEST_TARGET_MM = 80.0, 400.0
HIGHEST_HEEL_MM = 120.0
LEAST_STATION_MM, MOST_STATION_MM = 5.0, 700.0
DECIMALS_OF_WORK = 6
"""Lasts are measured to the tenth: what differs beyond this is the machine's arithmetic, and counts as equal."""

SOURCE = "workshop settings, from memory: build up cheap, take down dear, too short never"


class Work(Enum):
    """What is to be done at one station."""

    LEAVE = "leave"
    BUILD_UP = "build up"
    TAKE_DOWN = "take down"
    UNKNOWN = "not measured"


@dataclass(frozen=True)
class Costs:
    """What work counts, each in mm of girth built up for one mm; and two bounds in mm.

    `depth_per_mm` is what a mm of depth is worth in mm of girth. A last that is shorter than the target by more than
    `short_at_most_mm` is no last for this foot. A difference within `leave_within_mm` of girth or `leave_depth_within_mm` of
    depth is left alone: it counts all the same, so that the nearer last comes first.
    """

    build_up_per_mm: float
    take_down_per_mm: float
    depth_per_mm: float
    long_per_mm: float
    short_per_mm: float
    heel_per_mm: float
    short_at_most_mm: float
    leave_within_mm: float
    leave_depth_within_mm: float

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            if not (math.isfinite(value) and value >= 0):
                raise BadInput(name, value, least=0, most=1000)


COSTS = {
    "build_up_per_mm": "nearest_build_up_per_mm",
    "take_down_per_mm": "nearest_take_down_per_mm",
    "depth_per_mm": "nearest_depth_per_mm",
    "long_per_mm": "nearest_long_per_mm",
    "short_per_mm": "nearest_short_per_mm",
    "heel_per_mm": "nearest_heel_per_mm",
    "short_at_most_mm": "nearest_short_at_most_mm",
    "leave_within_mm": "nearest_leave_within_mm",
    "leave_depth_within_mm": "toe_depth_within_mm",
}
"""The workshop's figure for each of the costs."""


@dataclass(frozen=True)
class RackArrays:
    """A rack, one row a last. A column of `stations_mm` is a station of `STATIONS`; NaN where it was not measured."""

    is_left: Flags
    length_mm: Floats
    heel_height_mm: Floats
    stations_mm: Floats

    def __len__(self) -> int:
        return len(self.length_mm)


@dataclass(frozen=True)
class Wanted:
    """What one foot needs: its side, the last's length, the heel it stands on, and a target for each station known."""

    is_left: bool
    length_mm: float
    heel_height_mm: float
    target_mm: Mapping[str, float]

    def __post_init__(self) -> None:
        _check("length_mm", self.length_mm, SHORTEST_TARGET_MM, LONGEST_TARGET_MM)
        _check("heel_height_mm", self.heel_height_mm, 0, HIGHEST_HEEL_MM)
        for key, value in self.target_mm.items():
            if key not in BY_KEY:
                raise BadInput("target_mm", key, allowed=f"a station: {', '.join(BY_KEY)}")
            _check(f"target_mm {key}", value, LEAST_STATION_MM, MOST_STATION_MM)


@dataclass(frozen=True)
class StationWork:
    """What one station asks for. `difference_mm` is target less last; both are None where the last was not measured."""

    key: str
    work: Work
    target_mm: float
    last_mm: float | None
    difference_mm: float | None
    counts: float

    @property
    def label(self) -> str:
        return BY_KEY[self.key].label

    @property
    def to_do(self) -> str:
        """What is done here, in words, to the whole mm."""
        if self.difference_mm is None:
            return f"{self.label}: not measured on the last"
        if self.work is Work.LEAVE:
            return f"{self.label}: leave"
        return f"{self.label}: {self.work.value} {abs(self.difference_mm):.0f} mm"


@dataclass(frozen=True)
class Ranked:
    """One last in its place, counted from 1. `index` is its row; differences are last less target."""

    index: int
    place: int
    work: float
    length_difference_mm: float
    heel_difference_mm: float
    stations: tuple[StationWork, ...]
    workings: Workings

    @property
    def unknown(self) -> tuple[StationWork, ...]:
        """The stations that nobody can speak of before the tape was on them."""
        return tuple(station for station in self.stations if station.work is Work.UNKNOWN)

    @property
    def length_words(self) -> str:
        return f"length: {_against(self.length_difference_mm, 'longer', 'shorter')}"

    @property
    def heel_words(self) -> str:
        return f"heel: {_against(self.heel_difference_mm, 'higher', 'lower')}"


@dataclass(frozen=True)
class Ranking:
    """The rows of a rack that could become this foot's last, the one with least work first; and the work of each row."""

    order: Places
    work: Floats

    def place_of(self, index: int) -> int | None:
        """The place of a row counted from 1, or None where it cannot become this foot's last."""
        found = np.flatnonzero(self.order == index)
        return int(found[0]) + 1 if len(found) else None


def rank(wanted: Wanted, *, rack: RackArrays, costs: Costs) -> Ranking:
    """The whole rack in order of work, in one vectorised pass.

    Lasts measured at every station that has a target come first; then those with one unknown, and so on. Equal work
    stays in the order of the rack. What cannot be this foot's last is left out: the other side, or too short.
    """
    work = np.zeros(len(rack))
    unknown = np.zeros(len(rack), dtype=np.int64)
    for column, station in enumerate(STATIONS):
        if station.key not in wanted.target_mm:
            continue
        difference = wanted.target_mm[station.key] - rack.stations_mm[:, column]
        is_unknown = np.isnan(difference)
        unknown += is_unknown
        each = np.where(difference > 0, costs.build_up_per_mm, costs.take_down_per_mm)
        work += np.where(is_unknown, 0.0, np.abs(difference) * each * _worth(station, costs))
    long = rack.length_mm - wanted.length_mm
    work += np.abs(long) * np.where(long > 0, costs.long_per_mm, costs.short_per_mm)
    work += np.abs(rack.heel_height_mm - wanted.heel_height_mm) * costs.heel_per_mm
    work = np.round(work, DECIMALS_OF_WORK)
    long_enough = np.round(long + costs.short_at_most_mm, DECIMALS_OF_WORK) >= 0
    rows = np.flatnonzero((rack.is_left == wanted.is_left) & long_enough)
    return Ranking(order=rows[np.lexsort((rows, work[rows], unknown[rows]))], work=work)


def nearest_lasts(wanted: Wanted, *, rack: RackArrays, costs: Costs, most: int) -> tuple[Ranked, ...]:
    """The nearest lasts for one foot with what would have to be done to each, least work first, at most `most`."""
    return explained(rank(wanted, rack=rack, costs=costs), wanted, rack=rack, costs=costs, most=most)


def explained(ranking: Ranking, wanted: Wanted, *, rack: RackArrays, costs: Costs, most: int) -> tuple[Ranked, ...]:
    """The first `most` of a ranking, each with what would have to be done."""
    return tuple(
        _ranked(int(index), place, wanted, rack, costs, work=float(ranking.work[index]))
        for place, index in enumerate(ranking.order[:most], start=1)
    )


def _ranked(index: int, place: int, wanted: Wanted, rack: RackArrays, costs: Costs, *, work: float) -> Ranked:
    stations = tuple(
        _at_station(station.key, wanted.target_mm[station.key], float(rack.stations_mm[index, column]), costs)
        for column, station in enumerate(STATIONS)
        if station.key in wanted.target_mm
    )
    length = round(float(rack.length_mm[index]) - wanted.length_mm, DECIMALS_OF_WORK)
    heel = round(float(rack.heel_height_mm[index]) - wanted.heel_height_mm, DECIMALS_OF_WORK)
    return Ranked(
        index=index,
        place=place,
        work=work,
        length_difference_mm=length,
        heel_difference_mm=heel,
        stations=stations,
        workings=_workings(work, stations, length, heel, costs),
    )


def _at_station(key: str, target_mm: float, last_mm: float, costs: Costs) -> StationWork:
    if math.isnan(last_mm):
        return StationWork(key, Work.UNKNOWN, target_mm, None, None, 0.0)
    difference = round(target_mm - last_mm, DECIMALS_OF_WORK)
    each = costs.build_up_per_mm if difference > 0 else costs.take_down_per_mm
    counts = abs(difference) * each * _worth(BY_KEY[key], costs)
    return StationWork(key, _work(BY_KEY[key], difference, costs), target_mm, last_mm, difference, counts)


def _work(station: Station, difference_mm: float, costs: Costs) -> Work:
    if abs(difference_mm) <= (costs.leave_within_mm if station.is_girth else costs.leave_depth_within_mm):
        return Work.LEAVE
    return Work.BUILD_UP if difference_mm > 0 else Work.TAKE_DOWN


def _worth(station: Station, costs: Costs) -> float:
    return 1.0 if station.is_girth else costs.depth_per_mm


def _workings(
    work: float, stations: tuple[StationWork, ...], length_mm: float, heel_mm: float, costs: Costs
) -> Workings:
    length_each = costs.long_per_mm if length_mm > 0 else costs.short_per_mm
    unknown = [station.label for station in stations if station.work is Work.UNKNOWN]
    return Workings(
        name="work to make it this foot's last",
        result=f"work {work:.0f}",
        formula=(
            f"built up × {costs.build_up_per_mm:g} + taken down × {costs.take_down_per_mm:g}"
            f" (depth × {costs.depth_per_mm:g} more) + longer × {costs.long_per_mm:g}"
            f" + shorter × {costs.short_per_mm:g} + heel apart × {costs.heel_per_mm:g}"
        ),
        inputs=(
            *((_first_upper(station.label), _counted(station)) for station in stations),
            ("Length against the target", f"{_signed(length_mm)} mm, counts {abs(length_mm) * length_each:.0f}"),
            ("Heel against the shoe's", f"{_signed(heel_mm)} mm, counts {abs(heel_mm) * costs.heel_per_mm:.0f}"),
        ),
        source=SOURCE,
        status=Status.WORKSHOP_SETTING,
        cautions=(
            "It orders lasts: as much work as so many mm of girth built up. It is no time and no price.",
            *((f"Not measured, so not counted: {', '.join(unknown)}.",) if unknown else ()),
        ),
    )


def _counted(station: StationWork) -> str:
    if station.last_mm is None or station.difference_mm is None:
        return f"target {station.target_mm:.0f} mm, the last was not measured"
    done = f"{station.work.value} {abs(station.difference_mm):.0f} mm, counts {station.counts:.0f}"
    return f"target {station.target_mm:.0f} mm, last {station.last_mm:.0f} mm: {done}"


def _against(difference_mm: float, more: str, less: str) -> str:
    """A difference in words, to the whole mm."""
    if round(difference_mm) == 0:
        return "as wanted"
    return f"{abs(difference_mm):.0f} mm {more if difference_mm > 0 else less} than wanted"


def _first_upper(words: str) -> str:
    return words[:1].upper() + words[1:]


def _signed(value: float) -> str:
    """+4, −2, 0, to the whole mm, with the true minus sign."""
    return "0" if round(value) == 0 else f"{value:+.0f}".replace("-", "\u2212")


def _check(name: str, value: float, least: float, most: float) -> None:
    if not (math.isfinite(value) and least <= value <= most):
        raise BadInput(name, value, least=least, most=most)
