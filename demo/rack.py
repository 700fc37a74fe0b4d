"""The invented workshop's stock lasts: pairs of four models, graded from one size to the next.

Grading. A quarter of an inch of joint girth for a size of the English scale, the instep 9/32 in over the joint, and the
heel girth instep + a third of it + half the heel height: Golding FY, The Manufacture of Boots and Shoes, London 1902.
The girth from which each model begins, its widths, depths and conditions are from memory.
"""

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from cases.lasts import actions as lasts
from cases.lasts import queries
from cases.lasts.models import Last
from cases.lasts.sizes import BARLEYCORN_MM, INCH_MM, PARIS_POINT_MM
from cases.lasts.stations import STATIONS
from demo.clients import BOTH, LEFT
from demo.clinic import Clinic

JOINT_GIRTH_A_MM = 0.25 * INCH_MM / BARLEYCORN_MM
"""mm of joint girth for each mm of length."""
INSTEP_OVER_JOINT_MM = 9 / 32 * INCH_MM
BEGINS_AT_EU = 40


@dataclass(frozen=True)
class Model:
    """One shape of stock last in several sizes. `joint_girth_mm` is that of size EU 40."""

    letter: str
    toe_shape: str
    sizes_eu: range
    joint_girth_mm: float
    heel_height_mm: int
    toe_depth_mm: int
    shelf: str


MODELS = (
    Model("A", "round", range(36, 46), 238, 20, 25, "rack C, shelf 1"),
    Model("F", "round, full", range(38, 47), 252, 15, 29, "rack C, shelf 2"),
    Model("W", "oval", range(35, 42), 232, 35, 24, "rack C, shelf 3"),
    Model("B", "round, for boots", range(40, 44), 246, 25, 27, "rack D, shelf 1"),
)
CONDITIONS = {
    "F41": "hinge worn",
    "A44": "toe chipped, filled",
    "W38": "plastic scored at the heel seat",
    "B42": "cone split, not to be driven hard",
}
NEVER_TAPED = {"A36", "A45", "F46", "W35"}
LEFT_ALONE = {"A37", "F38"}
"""Whose other foot got lost over the years."""


def put_stock_on_the_rack(clinic: Clinic) -> None:
    """Register every stock last of the invented workshop, over the years before today."""
    bram = clinic.staff["bram"]
    for place, (model, size_eu) in enumerate(_pairs()):
        number = f"{model.letter}{size_eu}"
        at = clinic.now - timedelta(days=360 - 7 * place)
        lasts.register_lasts(
            owner=None,
            feet=[
                _foot(model, size_eu, side, seed=f"{clinic.seed} {number} {side}")
                for side in (BOTH if number not in LEFT_ALONE else (LEFT,))
            ],
            number=number,
            origin="reused",
            making="tape",
            heel_height_mm=Decimal(model.heel_height_mm),
            toe_spring_mm=Decimal(12),
            toe_shape=model.toe_shape,
            marked_size=f"EU {size_eu}",
            marked_read_on="last",
            place=model.shelf,
            condition=CONDITIONS.get(number, ""),
            made_on=timezone.localdate(at),
            made_elsewhere=True,
            by=bram,
            at=at,
        )


def _pairs() -> Iterator[tuple[Model, int]]:
    return ((model, size_eu) for model in MODELS for size_eu in model.sizes_eu)


def _foot(model: Model, size_eu: int, side: str, *, seed: str) -> lasts.LastFoot:
    """One last. Two of a pair that were shaped by hand differ by a mm here and there."""
    chance = random.Random(seed)
    number = f"{model.letter}{size_eu}"
    measured = {} if number in NEVER_TAPED else _measured(model, size_eu)
    return lasts.LastFoot(
        side=side,
        length_mm=Decimal(str(round(size_eu * PARIS_POINT_MM, 1))),
        measured={name: Decimal(round(mm) + chance.choice((-1, 0, 0, 0, 1))) for name, mm in measured.items()},
    )


def _measured(model: Model, size_eu: int) -> Mapping[str, float]:
    length_mm = size_eu * PARIS_POINT_MM
    joint = model.joint_girth_mm + JOINT_GIRTH_A_MM * (size_eu - BEGINS_AT_EU) * PARIS_POINT_MM
    instep = joint + INSTEP_OVER_JOINT_MM
    # Only a last for boots reaches up to where the tape goes round the ankle.
    ankle = {"ankle_girth_mm": instep * 0.93} if "boots" in model.toe_shape else {}
    return ankle | {
        "joint_girth_mm": joint,
        "waist_girth_mm": joint - 6,
        "instep_girth_mm": instep,
        "short_heel_girth_mm": instep * 4 / 3 + model.heel_height_mm / 2,
        "long_heel_girth_mm": instep * 4 / 3 + model.heel_height_mm / 2 + 14,
        "joint_width_mm": joint * 0.375,
        "heel_width_mm": length_mm * 0.245,
        "heel_to_joint_mm": length_mm * 0.705,
        "heel_to_fifth_mm": length_mm * 0.62,
        "toe_depth_mm": model.toe_depth_mm + 0.3 * (size_eu - BEGINS_AT_EU),
    }


OVER_THE_FOOT_MM = {"joint": 4, "waist": 1, "instep": 2, "short_heel": 7, "long_heel": 4, "toe_depth": 6}
"""A low shoe over hose of normal thickness: what the last measures more than the foot. From memory."""


def tape_the_rest(clinic: Clinic) -> None:
    """Lay the tape on the clients' lasts that nobody measured yet, but for those that wait for it after an alteration."""
    at = clinic.now - timedelta(hours=1)
    for last in Last.objects.filter(owner__isnull=False, joint_girth_mm__isnull=True).select_related("owner"):
        if last.owner is None or last.awaits_tape:
            continue
        sitting = queries.last_time(last.owner)
        foot = queries.values_of(sitting, last.side) if sitting else {}
        measured = {
            station.last_field: foot[station.measure_key] + OVER_THE_FOOT_MM[station.key]
            for station in STATIONS
            if station.key in OVER_THE_FOOT_MM and station.measure_key in foot
        }
        if measured:
            lasts.measure_last(last, seen_version=last.version, measured=measured, by=clinic.staff["bram"], at=at)
