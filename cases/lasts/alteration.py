"""A last against its target: what is left, built up or taken down at each station, and when a new last is made.

Estimates. A layer is worked out as if it lay all round the arc the station's tape crosses; a feathered patch gives
less, and the tape decides. Lengths in mm, turning in degrees.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cases.lasts.girths import ALL_ROUND, CONVEX, PARALLEL_CURVES, girth_build_up
from cases.lasts.stations import BY_KEY, Station
from cases.lasts.target import TargetStation
from shared.calculations import BadInput
from shared.workings import Status, Workings

LEAVE, BUILD_UP, TAKE_DOWN = "leave", "build up", "take down"
"""What is done at a station. The last two are the works of a patch."""

BENCH_STEP_MM = 0.5
"""A layer is worked to the half millimetre."""

PROFILE_STEP_MM = 10.0
ESTIMATE = "An estimate: measure again after the work. The tape decides."
NOT_ACROSS = "Nothing is taken down across the hinge or at the feather edge."
LONG_HEEL = "This tape crosses the instep: take it again after the instep is done, before anything is added here."
TURNING_SOURCE = "turning: from memory, the workshop's setting"


@dataclass(frozen=True)
class Limits:
    """The workshop's limits, all in mm. Up to `patch_watch_mm` a patch is ordinary; above `patch_most_mm` none is made."""

    leave_within_mm: float
    toe_depth_within_mm: float
    take_down_plastic_mm: float
    take_down_wood_mm: float
    patch_watch_mm: float
    patch_most_mm: float
    longer_most_mm: float
    feather_mm: float


LIMITS = {
    "leave_within_mm": "agreed_last_girth_tolerance_mm",
    "toe_depth_within_mm": "toe_depth_within_mm",
    "take_down_plastic_mm": "take_down_plastic_most_mm",
    "take_down_wood_mm": "take_down_wood_most_mm",
    "patch_watch_mm": "patch_watch_mm",
    "patch_most_mm": "patch_most_mm",
    "longer_most_mm": "last_longer_most_mm",
    "feather_mm": "patch_feather_mm",
}
"""The workshop's figure for each of the limits."""


@dataclass(frozen=True)
class StationWork:
    """What is done at one station. `difference_mm` is target less last; `thickness_mm` is positive either way.

    `bench_mm` is that layer to the half millimetre, `resulting_girth_mm` what the station measures after it; for the
    toe it is a depth, and `turning_deg` is None.
    """

    key: str
    target_mm: float
    last_mm: float
    turning_deg: float | None
    left_within_mm: float
    work: str
    thickness_mm: float
    bench_mm: float
    resulting_girth_mm: float
    cautions: tuple[str, ...]

    @property
    def label(self) -> str:
        return BY_KEY[self.key].label

    @property
    def difference_mm(self) -> float:
        return self.target_mm - self.last_mm

    @property
    def signed_mm(self) -> float:
        """The layer as worked at the bench, negative where it is taken down."""
        return -self.bench_mm if self.work == TAKE_DOWN else self.bench_mm

    @property
    def workings(self) -> Workings:
        """How the work was found."""
        inputs = [
            ("Target", f"{self.target_mm:g} mm"),
            ("Last", f"{self.last_mm:g} mm"),
            ("Difference", f"{self.difference_mm:+.1f} mm".replace("-", "\u2212")),
            ("Left alone within", f"{self.left_within_mm:g} mm"),
        ]
        formula, source = "target − last", "the difference of two depths"
        general: tuple[str, ...] = (ESTIMATE,)
        if self.turning_deg is not None:
            inputs.append(("Turning", f"{self.turning_deg:g}°"))
            formula = "(target − last) / turning in radians, to half a millimetre"
            source, general = f"{PARALLEL_CURVES}; {TURNING_SOURCE}", (ESTIMATE, ALL_ROUND)
        if self.work != LEAVE:
            inputs.append(("Measures then", f"{self.resulting_girth_mm:.0f} mm, ± 2"))
        return Workings(
            name=f"{self.label}, work on the last",
            result=self.work if self.work == LEAVE else f"{self.work} {self.bench_mm:g} mm",
            formula=formula,
            inputs=tuple(inputs),
            source=source,
            status=Status.GEOMETRY,
            cautions=(*general, *self.cautions),
        )


@dataclass(frozen=True)
class LengthWork:
    """The length of the last against the length that the foot needs; `difference_mm` is needed less last."""

    needed_mm: float
    last_mm: float
    difference_mm: float


@dataclass(frozen=True)
class Alteration:
    """Everything that is to be done on a last. `profile` has (from the back of the heel, thickness), both in mm.

    `places` has the stations of the profile from heel to toe, each with its place from the back of the heel in mm.
    `new_last_because` holds for any last, `new_last_if_plastic` besides where the last is of plastic. `not_compared`
    names the stations of the target that were not measured on the last.
    """

    stations: tuple[StationWork, ...]
    length: LengthWork | None
    places: tuple[tuple[str, float], ...]
    profile: tuple[tuple[float, float], ...]
    new_last_because: tuple[str, ...]
    new_last_if_plastic: tuple[str, ...]
    not_compared: tuple[str, ...]

    @property
    def is_done(self) -> bool:
        """Whether every station that could be compared is left as it is."""
        return all(each.work == LEAVE for each in self.stations)


def last_alteration(
    *,
    target: Sequence[TargetStation],
    last_mm: Mapping[str, float],
    turning_deg: Mapping[str, float],
    limits: Limits,
    last_length_mm: float | None = None,
    length_needed_mm: float | None = None,
    heel_to_joint_mm: float | None = None,
) -> Alteration:
    """What is done on a last so that it meets its target. Raises `BadInput`.

    `last_mm` and `turning_deg` go by the station's key. The profile needs `last_length_mm`; the joint lies at
    `heel_to_joint_mm` where that was taken on the last. `length_needed_mm` is the length that the foot asks for.
    """
    compared = [each for each in target if each.key in last_mm]
    stations = tuple(_work_at(each, last_mm[each.key], turning_deg, limits) for each in compared)
    length = None
    if last_length_mm is not None and length_needed_mm is not None:
        length = LengthWork(length_needed_mm, last_length_mm, length_needed_mm - last_length_mm)
    places: tuple[tuple[str, float], ...] = ()
    if last_length_mm is not None:
        _check("last_length_mm", last_length_mm, 80, 400)
        places = _places(stations, last_length_mm, heel_to_joint_mm)
    return Alteration(
        stations=stations,
        length=length,
        places=places,
        profile=_profile(stations, places, last_length_mm or 0.0, limits.feather_mm),
        new_last_because=_because(stations, length, limits),
        new_last_if_plastic=_because_plastic(stations, limits),
        not_compared=tuple(each.key for each in target if each.key not in last_mm),
    )


def _work_at(target: TargetStation, last_mm: float, turning_deg: Mapping[str, float], limits: Limits) -> StationWork:
    station = BY_KEY[target.key]
    _check(f"last_mm {target.key}", last_mm, 5, 700)
    difference = target.target_mm - last_mm
    turning = _turning(station, turning_deg)
    work = _which(station, difference, limits)
    thickness, bench, result = 0.0, 0.0, last_mm
    if work != LEAVE:
        thickness = abs(difference if turning is None else _layer(difference, turning))
        bench = max(BENCH_STEP_MM, round(thickness / BENCH_STEP_MM) * BENCH_STEP_MM)
        # The girth changes as the layer does.
        result += difference * bench / thickness
    return StationWork(
        key=target.key,
        target_mm=target.target_mm,
        last_mm=last_mm,
        turning_deg=turning,
        left_within_mm=limits.leave_within_mm if station.is_girth else limits.toe_depth_within_mm,
        work=work,
        thickness_mm=thickness,
        bench_mm=bench,
        resulting_girth_mm=result,
        cautions=_cautions(station, work, thickness, limits),
    )


def _turning(station: Station, turning_deg: Mapping[str, float]) -> float | None:
    if not station.is_girth:
        return None
    if station.key not in turning_deg:
        raise BadInput(f"turning_deg {station.key}", "missing", allowed="10 to 360 °")
    return turning_deg[station.key]


def _layer(difference_mm: float, turning_deg: float) -> float:
    return girth_build_up(girth_change_mm=difference_mm, turning_deg=turning_deg).thickness_mm


def _which(station: Station, difference_mm: float, limits: Limits) -> str:
    """More depth over the toes than asked for is left; elsewhere what is too much is taken down."""
    if not station.is_girth:
        return BUILD_UP if difference_mm > limits.toe_depth_within_mm else LEAVE
    if abs(difference_mm) <= limits.leave_within_mm:
        return LEAVE
    return BUILD_UP if difference_mm > 0 else TAKE_DOWN


def _cautions(station: Station, work: str, thickness_mm: float, limits: Limits) -> tuple[str, ...]:
    if work == LEAVE:
        return ()
    cautions = [NOT_ACROSS] if work == TAKE_DOWN else [CONVEX] if station.is_girth else []
    if work == BUILD_UP and limits.patch_watch_mm < thickness_mm <= limits.patch_most_mm:
        cautions.append(f"Above {limits.patch_watch_mm:g} mm: is a new last the better work?")
    if work == TAKE_DOWN and limits.take_down_plastic_mm < thickness_mm <= limits.take_down_wood_mm:
        cautions.append(f"More than a plastic last bears ({limits.take_down_plastic_mm:g} mm): a wooden one alone.")
    if station.key == "long_heel":
        cautions.append(LONG_HEEL)
    return tuple(cautions)


def _because(stations: Sequence[StationWork], length: LengthWork | None, limits: Limits) -> tuple[str, ...]:
    reasons = []
    for each in stations:
        if each.work == BUILD_UP and each.thickness_mm > limits.patch_most_mm:
            reasons.append(
                f"{each.label}: build up {each.bench_mm:g} mm; at most {limits.patch_most_mm:g} mm is built up"
            )
        if each.work == TAKE_DOWN and each.thickness_mm > limits.take_down_wood_mm:
            reasons.append(
                f"{each.label}: take down {each.bench_mm:g} mm; a wooden last bears {limits.take_down_wood_mm:g} mm,"
                f" a plastic one {limits.take_down_plastic_mm:g} mm"
            )
    if length is not None and length.difference_mm > limits.longer_most_mm:
        reasons.append(
            f"length: {length.difference_mm:.0f} mm too short; at most {limits.longer_most_mm:g} mm is added"
        )
    return tuple(reasons)


def _because_plastic(stations: Sequence[StationWork], limits: Limits) -> tuple[str, ...]:
    return tuple(
        f"{each.label}: take down {each.bench_mm:g} mm; a plastic last bears {limits.take_down_plastic_mm:g} mm"
        for each in stations
        if each.work == TAKE_DOWN and limits.take_down_plastic_mm < each.thickness_mm <= limits.take_down_wood_mm
    )


def _places(
    stations: Sequence[StationWork], length_mm: float, heel_to_joint_mm: float | None
) -> tuple[tuple[str, float], ...]:
    """Where the tape crosses the top of the last, from heel to toe; the joint where it was found on this last."""
    places = {each.key: part * length_mm for each in stations if (part := BY_KEY[each.key].along) is not None}
    if "joint" in places and heel_to_joint_mm is not None:
        places["joint"] = heel_to_joint_mm
    return tuple(sorted(places.items(), key=lambda place: place[1]))


def _profile(
    stations: Sequence[StationWork], places: Sequence[tuple[str, float]], length_mm: float, feather_mm: float
) -> tuple[tuple[float, float], ...]:
    """The layer over the top of the last every 10 mm.

    As at the stations, smoothly between them, feathered to nothing behind the first and before the last.
    """
    if not places:
        return ()
    layers = {each.key: each.signed_mm for each in stations}
    known = [(place, layers[key]) for key, place in places]
    knots = [(known[0][0] - feather_mm, 0.0), *known, (known[-1][0] + feather_mm, 0.0)]
    first = max(0.0, math.floor(knots[0][0] / PROFILE_STEP_MM) * PROFILE_STEP_MM)
    last = min(length_mm, math.ceil(knots[-1][0] / PROFILE_STEP_MM) * PROFILE_STEP_MM)
    steps = int((last - first) // PROFILE_STEP_MM) + 1
    return tuple((x, _between(knots, x)) for x in (first + PROFILE_STEP_MM * step for step in range(steps)))


def _between(knots: Sequence[tuple[float, float]], x: float) -> float:
    """The layer at x: level at each knot, without a hump between two of them."""
    for (x0, t0), (x1, t1) in pairwise(knots):
        if x0 <= x <= x1 and x1 > x0:
            part = (x - x0) / (x1 - x0)
            return t0 + (t1 - t0) * part * part * (3 - 2 * part)
    return 0.0


def _check(name: str, value: float, least: float, most: float) -> None:
    if not (math.isfinite(value) and least <= value <= most):
        raise BadInput(name, value, least=least, most=most)
