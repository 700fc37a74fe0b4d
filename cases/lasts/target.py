"""What a last must become at each station: the foot, and everything that is added to it by name. Figures in mm.

Ease, hose and the like are the workshop's settings and come as arguments. The allowances are conventions of the bench
without a source, but for the deduction for light uppers (Golding 1902).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cases.lasts.stations import BY_KEY, STATIONS, TOE_DEPTH, Station
from shared.calculations import BadInput
from shared.workings import Status, Workings

NO_SENSATION = "no_sensation"
"""Footwear for a foot without protective sensation: the key of its kind."""

SETTINGS_SOURCE = "ease, hose and swelling: bench convention, no source; the workshop's settings"
LIGHT_UPPER_SOURCE = "light uppers: Golding FY, The Manufacture of Boots and Shoes, 1902"
NEVER_TIGHTER = "swelling, arterial disease and loss of sensation: never tighter than the foot"
INLAY = "removable inlay"
"""How an addend of an inlay begins."""
UNDER_FOOT_TWICE = 2
"""A layer of t under the foot asks for 2·t of girth where the upper stays upright on both sides of it."""

LEAST_FOOT_MM, MOST_FOOT_MM = 5.0, 700.0
MOST_ADDEND_MM = 100.0


@dataclass(frozen=True)
class Addend:
    """One thing that is added at a station, in words, with its mm; negative where it is taken off."""

    words: str
    mm: float

    @property
    def signed(self) -> str:
        """Its mm with their sign: +4, −2, 0."""
        return _signed(self.mm)


@dataclass(frozen=True)
class TargetStation:
    """What the last must measure at one station. `target_mm` is the foot plus its addends."""

    key: str
    foot_mm: float
    addends: tuple[Addend, ...]
    target_mm: float
    workings: Workings

    @property
    def label(self) -> str:
        return BY_KEY[self.key].label


def last_target(
    *,
    foot_mm: Mapping[str, float],
    kind: str,
    ease_mm: Mapping[str, float],
    hose_mm: float = 0.0,
    light_upper_mm: Mapping[str, float] | None = None,
    swelling_mm: float = 0.0,
    inlay_mm: float = 0.0,
    own_mm: Mapping[str, float] | None = None,
    never_tighter_because: Sequence[str] = (),
) -> tuple[TargetStation, ...]:
    """The target of a last at every station at which the foot was measured and this kind of footwear has an ease.

    All by the station's key. `ease_mm` has the ease of this kind; a station without one is left out. `light_upper_mm`
    has what is taken off for a light upper. `inlay_mm` is the thickness of a removable inlay. `own_mm` is what the
    person adds. `never_tighter_because` says in words why this foot bears no negative ease; swelling and loss of
    sensation are seen here. Raises `BadInput`.
    """
    own_mm, light_upper_mm = own_mm or {}, light_upper_mm or {}
    _check("hose_mm", hose_mm, 0, MOST_ADDEND_MM)
    _check("swelling_mm", swelling_mm, 0, MOST_ADDEND_MM)
    _check("inlay_mm", inlay_mm, 0, MOST_ADDEND_MM)
    for name, values in (("foot_mm", foot_mm), ("ease_mm", ease_mm), ("own_mm", own_mm), ("light", light_upper_mm)):
        _check_stations(name, values)
    reasons = _reasons(kind, swelling_mm, never_tighter_because)
    found = []
    for station in STATIONS:
        if station.key not in foot_mm or station.key not in ease_mm:
            continue
        foot = foot_mm[station.key]
        _check(f"foot_mm {station.key}", foot, LEAST_FOOT_MM, MOST_FOOT_MM)
        addends = (
            *_what_the_foot_wears(station, hose_mm, swelling_mm, inlay_mm),
            *_ease(station, ease_mm[station.key], light_upper_mm.get(station.key, 0.0), reasons),
            *_own(station, own_mm),
        )
        found.append(_station(station, foot, addends, kind, reasons))
    return tuple(found)


def _reasons(kind: str, swelling_mm: float, given: Sequence[str]) -> tuple[str, ...]:
    """Why nothing may be tighter than the foot, each once."""
    seen = [
        *(["loss of sensation"] if kind == NO_SENSATION else []),
        *(["swelling"] if swelling_mm > 0 else []),
        *given,
    ]
    return tuple(dict.fromkeys(seen))


def _what_the_foot_wears(station: Station, hose_mm: float, swelling_mm: float, inlay_mm: float) -> tuple[Addend, ...]:
    """Hose and swelling lie round the foot at each girth; an inlay lies under it."""
    if station.key == TOE_DEPTH:
        return (Addend(f"{INLAY}, its thickness", inlay_mm),) if inlay_mm else ()
    addends = []
    if hose_mm:
        addends.append(Addend("hose", hose_mm))
    if swelling_mm:
        addends.append(Addend("swelling", swelling_mm))
    if inlay_mm and station.key == "joint":
        addends.append(Addend(f"{INLAY}, {UNDER_FOOT_TWICE} × its thickness", UNDER_FOOT_TWICE * inlay_mm))
    return tuple(addends)


def _ease(station: Station, ease_mm: float, light_mm: float, reasons: tuple[str, ...]) -> tuple[Addend, ...]:
    addends = []
    if ease_mm < 0 and reasons:
        addends.append(Addend(f"ease: none taken, not {_signed(ease_mm)} mm ({', '.join(reasons)})", 0.0))
    else:
        addends.append(Addend("ease", ease_mm))
    if light_mm and reasons:
        addends.append(Addend(f"light upper: nothing taken off ({', '.join(reasons)})", 0.0))
    elif light_mm:
        addends.append(Addend("light upper", -light_mm))
    return tuple(addends)


def _own(station: Station, own_mm: Mapping[str, float]) -> tuple[Addend, ...]:
    own = own_mm.get(station.key, 0.0)
    return (Addend("own addition", own),) if own else ()


def _station(
    station: Station, foot_mm: float, addends: tuple[Addend, ...], kind: str, reasons: tuple[str, ...]
) -> TargetStation:
    target = foot_mm + sum(addend.mm for addend in addends)
    _check(f"target {station.key}", target, LEAST_FOOT_MM, MOST_FOOT_MM)
    cautions = ["A tape is sure to about 3 mm: the fitting decides."]
    if any(addend.words.startswith(f"{INLAY}, {UNDER_FOOT_TWICE}") for addend in addends):
        cautions.append("At most this for an inlay, and only where the upper stays upright: the tape decides.")
    if reasons and any(addend.mm < 0 for addend in addends):
        cautions.append(f"An own addition makes it tighter, against the rule: {NEVER_TIGHTER}.")
    sheet = Workings(
        name=f"{station.label} of the last",
        result=f"{target:.0f} mm",
        formula=" + ".join(["foot", *(addend.words.split(":")[0].split(",")[0] for addend in addends)]),
        inputs=(
            ("Foot", f"{foot_mm:g} mm"),
            *((addend.words, f"{addend.signed} mm") for addend in addends),
            ("Footwear", kind.replace("_", " ")),
        ),
        source=f"{SETTINGS_SOURCE}; {LIGHT_UPPER_SOURCE}; {NEVER_TIGHTER}: a stated rule, from memory",
        status=Status.WORKSHOP_SETTING,
        cautions=tuple(cautions),
    )
    return TargetStation(station.key, foot_mm, addends, target, sheet)


def _signed(value: float) -> str:
    """+4, −2, 0: with the true minus sign."""
    return "0" if value == 0 else f"{value:+g}".replace("-", "\u2212")


def _check_stations(name: str, values: Mapping[str, float]) -> None:
    for key, value in values.items():
        if key not in BY_KEY:
            raise BadInput(name, key, allowed=f"a station: {', '.join(BY_KEY)}")
        if name != "foot_mm":
            _check(f"{name} {key}", value, -MOST_ADDEND_MM, MOST_ADDEND_MM)


def _check(name: str, value: float, least: float, most: float) -> None:
    if not (math.isfinite(value) and least <= value <= most):
        raise BadInput(name, value, least=least, most=most)
