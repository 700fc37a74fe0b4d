"""What a prescribed shoe is likely to weigh: each part's volume from the form under it, at the material's density.

Areas come from the outline, the girths along the last and the reaches; what the prescription does not say stands in as
an ordinary shoe has it, from memory.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cases.prescriptions.cut_away.bottom import TOE_PROP_LONG_MM, carbon_zone, scoured_zone, shank_ends, sock_end
from cases.prescriptions.cut_away.shell import BOOT_TOPS_MM, back_height, reach_of, topline
from cases.prescriptions.cut_away.stack import Stack, insole_thickness, sole_thickness, stack_of
from cases.prescriptions.shoe import Shoe, Stiffener, ToePuff
from cases.prescriptions.weighed_here import WeighedHere
from cases.prescriptions.weight import Density, PartWeight, Scale, ShoeWeight, density_for, of_volume, together
from shared.sides import Edge

UPPER, LINING = "bovine upper leather, 1.2 to 2.0 mm", "lining leather, calf or goat"
BELLY, SHOULDER = "vegetable-tanned belly, for stiffeners and puffs", "vegetable-tanned shoulder, for insoles"
CUSHION, FILLER, STEEL = "open-cell polyurethane cushion", "cork and latex filler, dry", "steel"
SOLING, RAISE = "microcellular rubber soling", "EVA foam, medium"
CARBON, INLAY = "carbon laminate laid by hand, fibre volume 0.40", "removable inlay, several layers"
COLLAR = "collar foam"

NOTHING_WEIGHED = WeighedHere()

THROAT_AT = 0.53
FILLER_MM, FILLED_PART = 3.0, 0.35
SOLE_OVERHANG = 1.08
OVERLAP = 1.5
"""From memory: tongue, facings, folded edges and overlaps, against the surface of the last that they cover."""
DOMED = 1.35
"""From memory: a puff's leather against the plan under it."""


@dataclass(frozen=True)
class WeightFigures:
    """The workshop's figures for what a prescription does not say; each a dated setting."""

    upper_mm: float = 1.6
    lining_mm: float = 1.2
    sock_mm: float = 0.9
    small_parts_g: float = 45.0
    range_part: float = 0.18
    range_weighed_part: float = 0.08
    pairs_to_learn: float = 10
    ply_mm: float = 0.28
    stiffener_mm: float = 2.8
    stiffener_margin_mm: float = 13.0
    stiffener_skive_top_mm: float = 15.0
    stiffener_skive_ends_mm: float = 25.0
    stiffener_skive_long_ends_mm: float = 30.0
    puff_mm: float = 1.6
    puff_margin_mm: float = 12.0
    puff_wall_mm: float = 14.0
    puff_wall_fade_mm: float = 12.0
    upper_margin_mm: float = 18.0
    boot_margin_mm: float = 20.0
    lining_margin_mm: float = 16.0
    scoured_rim_mm: float = 11.0
    heel_cushion_mm: float = 60.0
    doubled_behind_joint_mm: float = 20.0
    carbon_edge_mm: float = 9.0


@dataclass(frozen=True)
class Plan:
    """The form in slices: how wide it is at each x. Lengths in mm."""

    x: NDArray[np.float64]
    width: NDArray[np.float64]

    @classmethod
    def of(cls, shoe: Shoe) -> "Plan":
        points, tip = shoe.form.outline.points, int(shoe.form.outline.points[:, 0].argmax())
        medial, lateral = points[: tip + 1], np.concatenate([points[tip:], points[:1]])[::-1]
        x = np.linspace(0, shoe.form.length_mm, 181)
        width = np.interp(x, medial[:, 0], medial[:, 1]) - np.interp(x, lateral[:, 0], lateral[:, 1])
        return cls(x, width)

    def area_cm2(self, start: float, end: float, *, rim_mm: float = 0.0) -> float:
        """The plan between two places along the foot, with a rim left all round."""
        inner = np.maximum(self.width - 2 * rim_mm, 0.0)
        at = np.clip(np.linspace(start, end, 121), 0, float(self.x[-1]))
        return float(np.trapezoid(np.interp(at, self.x, inner), at)) / 100

    def broadest_mm(self, start: float, end: float) -> float:
        """The greatest width between two places along the foot."""
        at = np.clip(np.linspace(start, end, 61), 0, float(self.x[-1]))
        return float(np.interp(at, self.x, self.width).max())

    def edge_mm(self, start: float, end: float) -> float:
        """Both edges of the plan between two places, as if it lay even about its long axis."""
        at = np.linspace(start, end, 61)
        half = np.interp(at, self.x, self.width) / 2
        return 2 * float(np.hypot(np.diff(at), np.diff(half)).sum())

    def volume_cm3(self, height: NDArray[np.float64], over: NDArray[np.float64]) -> float:
        """What lies under the plan with this height over these places."""
        return float(np.trapezoid(np.interp(over, self.x, self.width) * np.maximum(height, 0.0), over)) / 1000


def weight_of_shoe(
    shoe: Shoe, *, densities: Mapping[str, Density], figures: WeightFigures, weighed: WeighedHere = NOTHING_WEIGHED
) -> ShoeWeight:
    """The estimate of one shoe, corrected by what was `weighed` here. Raises `KeyError` where an ordinary material is missing from the table."""
    plan = Plan.of(shoe)
    parts = [
        *_shell(shoe, plan, densities, figures),
        *_insole(shoe, plan, densities, figures),
        *_bottom(shoe, plan, densities, figures),
        PartWeight("thread, eyelets, straps, paste", "allowance", 0.0, *([figures.small_parts_g] * 3)),
    ]
    scale = Scale(weighed, figures.pairs_to_learn, figures.range_weighed_part) if weighed.pairs else None
    return together(parts, range_part=figures.range_part, scale=scale)


def _shell(shoe: Shoe, plan: Plan, densities: Mapping[str, Density], figures: WeightFigures) -> Iterator[PartWeight]:
    perimeter, over_the_last = shoe.form.outline.perimeter_mm, OVERLAP * shell_area_cm2(shoe, plan)
    is_boot = shoe.upper is not None and shoe.upper.height in BOOT_TOPS_MM
    margin = figures.boot_margin_mm if is_boot else figures.upper_margin_mm
    leather = density_for(shoe.upper.leather if shoe.upper else "", otherwise=UPPER, table=densities, never=LINING)
    lining = density_for(shoe.upper.quarter_lining if shoe.upper else "", otherwise=LINING, table=densities)
    yield of_volume("upper", (over_the_last + perimeter * margin / 100) * figures.upper_mm / 10, leather)
    within = over_the_last + perimeter * figures.lining_margin_mm / 100
    yield of_volume("lining", within * figures.lining_mm / 10, lining)
    if shoe.upper and shoe.upper.collar_padding_mm:
        volume = 0.55 * perimeter * 25 * shoe.upper.collar_padding_mm / 1000
        yield of_volume("collar padding", volume, densities[COLLAR])
    if shoe.stiffener:
        yield _stiffener(shoe, shoe.stiffener, densities, figures)
    puff = shoe.toe_puff
    if puff and puff.kind != "none":
        yield _puff(shoe, puff, plan, densities, figures)


def _stiffener(
    shoe: Shoe, stiffener: Stiffener, densities: Mapping[str, Density], figures: WeightFigures
) -> PartWeight:
    reaches = {edge: reach_of(shoe, edge) for edge in Edge}
    along, high = sum(reaches.values()), 0.8 * back_height(shoe)
    ends = sum(
        figures.stiffener_skive_long_ends_mm if stiffener.reach(edge) == "long" else figures.stiffener_skive_ends_mm
        for edge, reach in reaches.items()
        if reach
    )
    # Over what is skived along the top and at the ends the mean thickness is half.
    area = along * (high + figures.stiffener_margin_mm) - (along * figures.stiffener_skive_top_mm + ends * high) / 2
    for edge in Edge:
        if stiffener.is_ankle_high(edge):
            area += 60 * (stiffener.above_malleolus_mm or 30.0) + 60 * 30
    thickness = stiffener.thinned_to_mm or stiffener.thickness_mm or figures.stiffener_mm
    material = density_for(stiffener.material, otherwise=BELLY, table=densities)
    return of_volume("stiffener", max(area, 0.0) * thickness / 1000, material)


def _puff(
    shoe: Shoe, puff: ToePuff, plan: Plan, densities: Mapping[str, Density], figures: WeightFigures
) -> PartWeight:
    length = shoe.form.length_mm
    long, thickness = puff.length_mm or 0.2 * length, puff.thickness_mm or figures.puff_mm
    round_the_toe = 2 * long + float(np.interp(length - long, plan.x, plan.width)) * 0.6
    if puff.kind == "wall":
        # It fades to nothing over its wall: half as thick there.
        area = round_the_toe * ((puff.wall_height_mm or figures.puff_wall_mm) + figures.puff_wall_fade_mm / 2) / 100
    else:
        area = DOMED * plan.area_cm2(length - long, length)
    area += round_the_toe * figures.puff_margin_mm / 100
    if puff.kind == "steel":
        return of_volume("steel toe cap", area * 1.2 / 10, densities[STEEL])
    return of_volume("toe puff", area * thickness / 10, density_for(puff.material, otherwise=BELLY, table=densities))


def shell_area_cm2(shoe: Shoe, plan: Plan) -> float:
    """The upper over the last without its margin: girths integrated along the vamp, quarters and shaft by heights."""
    form, length = shoe.form, shoe.form.length_mm
    joint = form.girths_mm.get("joint", 2.5 * form.joint_width_mm)
    instep = form.girths_mm.get("instep", 1.02 * joint)
    at = np.linspace(THROAT_AT * length, length, 80)
    girth = np.interp(
        at, [0.5 * length, form.heel_to_joint_mm, 0.93 * length, length], [instep, joint, 0.62 * joint, 0.25 * joint]
    )
    vamp = float(np.trapezoid(np.maximum(girth - np.interp(at, plan.x, plan.width), 0.0), at)) / 100
    edge = form.outline.points
    behind = edge[edge[:, 0] <= THROAT_AT * length]
    round_the_heel = 2 * THROAT_AT * length + 0.3 * float(np.abs(behind[:, 1]).max())
    sides = (topline(shoe, Edge.MEDIAL) + topline(shoe, Edge.LATERAL)) / 2
    quarters = round_the_heel * (sides + 0.8 * form.instep_height_mm) / 2 / 100
    shaft = 0.0
    if shoe.upper and shoe.upper.height in BOOT_TOPS_MM:
        ankle = form.girths_mm.get("ankle", 0.9 * joint)
        shaft = (ankle + 20) * max(BOOT_TOPS_MM[shoe.upper.height] - sides, 0.0) / 100
    return vamp + quarters + shaft


def _insole(shoe: Shoe, plan: Plan, densities: Mapping[str, Density], figures: WeightFigures) -> Iterator[PartWeight]:
    form, insole = shoe.form, shoe.insole
    leather = density_for(insole.leather if insole else "", otherwise=SHOULDER, table=densities)
    volume = plan.volume_cm3(insole_thickness(shoe, plan.x), plan.x)
    start, end = scoured_zone(shoe)
    rim = insole.scoured_rim_mm if insole and insole.scoured_rim_mm is not None else figures.scoured_rim_mm
    if insole and insole.scoured_to_mm is not None:
        nominal = insole.finished_forepart_mm or insole.thickness_mm or 4.0
        volume -= plan.area_cm2(start, end, rim_mm=rim) * max(nominal - insole.scoured_to_mm, 0.0) / 10
    yield of_volume("insole", max(volume, 0.0), leather)
    for cushion in shoe.cushions:
        area = {
            "forepart": plan.area_cm2(start, end, rim_mm=rim),
            "heel": np.pi * (figures.heel_cushion_mm / 20) ** 2,
            "full": plan.area_cm2(0, form.length_mm),
        }[cushion.place]
        material = density_for(cushion.material, otherwise=CUSHION, table=densities)
        yield of_volume(f"cushion, {cushion.place}", float(area) * cushion.thickness_mm / 10, material)
    for support in shoe.metatarsal_supports:
        long = support.long_mm or (15.0 if support.kind == "bar" else 55.0)
        across = support.across_mm or (0.8 * form.joint_width_mm if support.kind == "bar" else 40.0)
        yield of_volume(support.kind, 0.55 * long * across * support.height_mm / 1000, densities[CUSHION])
    if shoe.toe_prop:
        prop, toes = shoe.toe_prop, 1 + shoe.toe_prop.last_toe - shoe.toe_prop.first_toe
        crest = 0.55 * TOE_PROP_LONG_MM * toes / 5 * form.joint_width_mm * prop.height_mm / 1000
        yield of_volume("toe prop", crest, density_for(prop.material, otherwise=CUSHION, table=densities))
    if insole:
        if insole.rear_doubled_mm:
            area = plan.area_cm2(0.06 * form.length_mm, form.heel_to_joint_mm - figures.doubled_behind_joint_mm)
            yield of_volume("doubled rear", area * insole.rear_doubled_mm / 10, leather)
        room = [each for each in (insole.inlay_heel_mm, insole.inlay_forepart_mm) if each]
        if room:
            thick = sum(room) / len(room)
            yield of_volume("removable inlay", plan.area_cm2(0, form.length_mm) * thick / 10, densities[INLAY])
    if insole and (sock_to := sock_end(shoe)):
        sock = density_for(insole.sock, otherwise=LINING, table=densities)
        yield of_volume("sock", plan.area_cm2(0, sock_to) * figures.sock_mm / 10, sock)


def _bottom(shoe: Shoe, plan: Plan, densities: Mapping[str, Density], figures: WeightFigures) -> Iterator[PartWeight]:
    form, stack = shoe.form, stack_of(shoe, Edge.MEDIAL)
    x = stack.x
    if shoe.shank:
        rear, front = shank_ends(shoe)
        volume = shoe.shank.count * max(front - rear, 0.0) * shoe.shank.width_mm * shoe.shank.thickness_mm / 1000
        yield of_volume("shank", volume, density_for(shoe.shank.material, otherwise=STEEL, table=densities))
    if shoe.carbon_zone:
        area = plan.area_cm2(*carbon_zone(shoe), rim_mm=figures.carbon_edge_mm)
        yield of_volume("carbon", area * shoe.carbon_zone.plies * figures.ply_mm / 10, densities[CARBON])
    filled = FILLED_PART * plan.area_cm2(0, form.length_mm)
    yield of_volume("filler", filled * FILLER_MM / 10, densities[FILLER])
    raised = shoe.height_raise
    if raised:
        material = density_for(raised.material, otherwise=RAISE, table=densities)
        yield of_volume("raise on the sole", plan.volume_cm3(stack.under_insole - stack.over_sole, x), material)
        yield of_volume("raise in the shoe", plan.volume_cm3(stack.under_foot - stack.last_bottom, x), material)
    sole, heel = _sole_and_heel(shoe, stack, plan)
    soling = density_for(shoe.sole.material if shoe.sole else "", otherwise=SOLING, table=densities)
    yield of_volume("sole", SOLE_OVERHANG * sole, soling)
    material = density_for(shoe.heel.material if shoe.heel else "", otherwise=SOLING, table=densities)
    yield of_volume("heel", heel, material)


def _sole_and_heel(shoe: Shoe, stack: Stack, plan: Plan) -> tuple[float, float]:
    """Their volumes in cm³, divided at the breast."""
    sole = sole_thickness(shoe)
    x, breast, under = stack.x, stack.breast_mm, stack.over_sole - stack.under_sole
    is_fore = x >= breast
    fore, behind = np.append(breast, x[is_fore]), np.concatenate([[0.0], x[~is_fore], [breast]])
    thick = np.append(under[is_fore][0], under[is_fore])
    block = np.pad(under[~is_fore], 1, mode="edge") - sole
    return (
        plan.volume_cm3(thick, fore) + plan.volume_cm3(np.full(behind.shape, sole), behind),
        plan.volume_cm3(block, behind),
    )
