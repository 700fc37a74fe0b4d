"""Plausible shoes at random, for sweeps: 200 lasts, each under any number of prescriptions that a workshop may see."""

from dataclasses import replace
from functools import lru_cache
from random import Random

from cases.lasts.outline import Bulge, ToeShape
from cases.prescriptions.shoe import (
    CarbonZone,
    Cushion,
    Form,
    Insole,
    MetatarsalSupport,
    Raise,
    Relief,
    Shank,
    Shoe,
    Stiffener,
    ToeProp,
    ToePuff,
)
from shared.sides import SIDES, Edge
from tests.prescriptions import shoes

LASTS = 200
"""An outline costs a millisecond: lasts are used again, prescriptions are not."""
REACHES = {"short": 0.45, "medium": 0.65, "long": 0.90}
UPPERS = ("low", "low", "ankle boot", "high boot")
RELIEF_PLACES = (
    "back of the heel",
    "back of the heel, lateral",
    "back of the heel, medial",
    "lateral side of the heel",
    "medial side of the heel",
)


def plausible_shoe(random: Random) -> Shoe:
    """One foot's shoe: a last from a child's to a long and broad one, and a prescription that fits it."""
    form = a_form(random.randrange(LASTS))
    height = random.choice(UPPERS)
    insole = an_insole(random, form)
    return replace(
        shoes.ORDINARY,
        side=random.choice(SIDES),
        form=form,
        upper=replace(shoes.UPPER, height=height),
        stiffener=a_stiffener(random, form, is_low=height == "low"),
        toe_puff=a_puff(random, form),
        insole=insole,
        toe_prop=ToeProp(random.choice(("2", "2-3", "2-4", "1-5")), "", random.uniform(3, 10))
        if chance(random, 0.1)
        else None,
        shank=a_shank(random),
        carbon_zone=a_carbon_zone(random),
        height_raise=a_raise(random),
        reliefs=some_reliefs(random, form),
        cushions=some_cushions(random, insole),
        metatarsal_supports=some_supports(random),
    )


def chance(random: Random, part: float) -> bool:
    return random.random() < part


@lru_cache(maxsize=LASTS)
def a_form(number: int) -> Form:
    """One of the lasts: always the same one for a number."""
    random = Random(number)
    long = random.uniform(165, 325)
    joint, fifth = random.uniform(0.70, 0.76) * long, random.uniform(0.60, 0.66) * long
    instep = random.uniform(0.22, 0.28) * long
    broad = random.uniform(0.32, 0.42) * long
    return replace(
        shoes.FORM,
        drawn_from=f"last {number}, agreed",
        length_mm=long,
        joint_width_mm=broad,
        heel_width_mm=random.uniform(0.22, 0.29) * long,
        heel_to_joint_mm=joint,
        heel_to_fifth_mm=fifth,
        heel_height_mm=random.uniform(0, 45),
        toe_spring_mm=random.uniform(5, 20),
        toe_depth_mm=random.uniform(0.08, 0.14) * long,
        instep_height_mm=instep,
        girths_mm={} if chance(random, 0.2) else {"joint": 2.5 * broad, "instep": 2.6 * broad},
        medial_malleolus_mm=None if chance(random, 0.2) else random.uniform(0.26, 0.31) * long,
        lateral_malleolus_mm=None if chance(random, 0.2) else random.uniform(0.23, 0.28) * long,
        toe_shape=random.choice(list(ToeShape)),
        bulges=some_bulges(random, long, joint=joint, fifth=fifth),
        is_partial=chance(random, 0.05),
    )


def some_bulges(random: Random, long: float, *, joint: float, fifth: float) -> tuple[Bulge, ...]:
    """At a joint or anywhere between heel and joint, on either side."""
    found = []
    if chance(random, 0.25):
        found.append(Bulge(True, joint, random.uniform(40, 70), random.uniform(4, 18)))
    if chance(random, 0.15):
        found.append(Bulge(False, fifth, random.uniform(30, 60), random.uniform(4, 14)))
    if chance(random, 0.15):
        at = random.uniform(0.15, 0.55) * long
        found.append(Bulge(chance(random, 0.5), at, random.uniform(30, 60), random.uniform(3, 8)))
    return tuple(found)


def a_stiffener(random: Random, form: Form, *, is_low: bool) -> Stiffener | None:
    if chance(random, 0.03):
        return None
    words = {edge: random.choice(("short", "medium", "medium", "long")) for edge in Edge}
    if chance(random, 0.06):
        words[random.choice(list(Edge))] = "none"
    joints = {Edge.MEDIAL: form.heel_to_joint_mm, Edge.LATERAL: form.heel_to_fifth_mm}
    if set(words.values()) == {"short"}:
        joints[Edge.MEDIAL] = joints[Edge.LATERAL]
    reaches = {
        edge: None
        if word == "none" or chance(random, 0.1)
        else float(round(REACHES[word] * joints[edge] + (random.uniform(-8, 8) if chance(random, 0.2) else 0)))
        for edge, word in words.items()
    }
    back = 0.18 * form.length_mm + (0 if is_low else random.choice((8, 20)))
    return replace(
        shoes.STIFFENER,
        medial_reach=words[Edge.MEDIAL],
        medial_reach_mm=reaches[Edge.MEDIAL],
        lateral_reach=words[Edge.LATERAL],
        lateral_reach_mm=reaches[Edge.LATERAL],
        back_height_mm=None if chance(random, 0.1) else round(back),
        thickness_mm=random.choice((2.0, 2.8, 3.5, None)),
        thinned_to_mm=2.0 if chance(random, 0.1) else None,
        front_height_mm=float(round(random.uniform(15, 28))) if chance(random, 0.3) else None,
        medial_below_malleolus_mm=10 if chance(random, 0.1) else None,
        lateral_below_malleolus_mm=10 if chance(random, 0.15) else None,
        ankle_high="no" if is_low else random.choice(("no", "no", "no", "medial", "lateral", "both")),
        above_malleolus_mm=random.choice((None, 20, 30, 40)),
    )


def some_reliefs(random: Random, form: Form) -> tuple[Relief, ...]:
    """None, or one or two: at the back or at a side of the heel, never twice at one place."""
    count = random.choice((0, 0, 0, 1, 1, 2))
    back, *sides = random.sample(RELIEF_PLACES[:3], 1) + random.sample(RELIEF_PLACES[3:], 2)
    return tuple(a_relief(random, form, place) for place in random.sample([back, *sides], count))


def a_relief(random: Random, form: Form, place: str) -> Relief:
    """A bump's size and 6 mm more all round, or a swelling's."""
    way = random.choice(("cut out", "thinned"))
    return Relief(
        place=place,
        width_mm=float(round(random.uniform(0.07, 0.14) * form.length_mm)),
        height_mm=float(round(random.uniform(0.06, 0.11) * form.length_mm)),
        above_seat_mm=None if chance(random, 0.2) else float(round(random.uniform(0.07, 0.12) * form.length_mm)),
        way=way,
        thinned_to_mm=random.choice((0.8, 1.0, None)) if way == "thinned" else None,
    )


def a_puff(random: Random, form: Form) -> ToePuff | None:
    kind = random.choice(("light", "standard", "standard", "wall", "wall", "steel", "none"))
    long = {"light": 0.15, "standard": 0.20, "wall": 0.20, "steel": 0.20}.get(kind, 0.0) * form.length_mm
    return replace(
        shoes.PUFF,
        kind=kind,
        length_mm=float(round(long)) if long and not chance(random, 0.15) else None,
        thickness_mm=None if kind == "none" else random.choice((1.2, 1.6, 2.1)),
        wall_height_mm=float(round(random.uniform(9, 18))) if kind == "wall" and chance(random, 0.5) else None,
    )


def an_insole(random: Random, form: Form) -> Insole:
    is_scoured = chance(random, 0.4)
    return replace(
        shoes.INSOLE,
        thickness_mm=random.choice((3.2, 4.2, 5.0, None)),
        blocked=chance(random, 0.5),
        turn_up_medial_mm=random.choice((None, 8, 12, 18, 25)),
        turn_up_lateral_mm=random.choice((None, None, 6, 12)),
        turn_up_heel_mm=random.choice((None, None, 6, 10)),
        scoured_to_mm=0.5 if is_scoured else None,
        scoured_behind_joint_mm=random.choice((None, 8, 12, 20)) if is_scoured else None,
        scoured_before_toe_mm=random.choice((None, 12, 15, 20)) if is_scoured else None,
        scoured_rim_mm=random.choice((None, 9, 11, 13)) if is_scoured else None,
        rear_doubled_mm=3.0 if chance(random, 0.25) else None,
        inlay_heel_mm=random.choice((None, None, 5, 8)),
    )


def a_shank(random: Random) -> Shank | None:
    if chance(random, 0.1):
        return None
    count = random.choice((1, 1, 2))
    return replace(
        shoes.SHANK,
        count=count,
        width_mm=15 if count == 1 else 10,
        front_end_behind_joint_mm=random.uniform(8, 18),
        rear_end_in_seat_mm=random.choice((None, 20, 25, 30)),
        apart_mm=None if count == 1 else 12,
    )


def a_carbon_zone(random: Random) -> CarbonZone | None:
    if not chance(random, 0.3):
        return None
    return replace(shoes.CARBON, plies=random.choice((3, 4, 5, 6)), ends_before_toe_mm=random.choice((10, 12, 15)))


def a_raise(random: Random) -> Raise | None:
    if not chance(random, 0.3):
        return None
    heel = float(round(random.uniform(5, 40)))
    return replace(
        shoes.RAISE,
        in_shoe_heel_mm=random.choice((None, 6, 8, 10)),
        on_sole_heel_mm=heel,
        on_sole_ball_mm=random.choice((None, round(random.uniform(0.5, 1.0) * heel))),
        on_sole_toe_mm=random.choice((None, round(0.3 * heel))),
    )


def some_cushions(random: Random, insole: Insole) -> tuple[Cushion, ...]:
    places = [place for place, part in (("heel", 0.2), ("full", 0.1)) if chance(random, part)]
    places += ["forepart"] if insole.scoured_to_mm is not None else []
    return tuple(Cushion(place=place, material="open-cell polyurethane", thickness_mm=4) for place in places)


def some_supports(random: Random) -> tuple[MetatarsalSupport, ...]:
    kind = random.choice(("bar", "dome", "", "", ""))
    if not kind:
        return ()
    behind = {"bar": 8.0, "dome": 5.0}[kind]
    long, across = {"bar": (15.0, None), "dome": (55.0, 40.0)}[kind]
    is_said = chance(random, 0.5)
    return (MetatarsalSupport(kind, behind, 6.0, long if is_said else None, across if is_said else None),)
