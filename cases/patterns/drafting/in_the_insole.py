"""What comes in, on and under the insole as pieces of their own: cushions, dome and bar, shanks, rear, carbon, sock.

A piece that is alike to both sides of its own axis serves either foot; one that had to be cut back to the outline of its
foot does not. Lengths in mm.
"""

import re
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
import shapely

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.insole import LEATHER
from cases.patterns.drafting.lying import (
    centre_line,
    cut_line,
    front_and_back,
    grain,
    joint_line,
    medial_edge,
)
from cases.patterns.drafting.on_the_insole import SUPPORT_INSIDE_MM, sized, support_place, toes_of
from cases.patterns.drafting.pieces import Line, LineKind, Piece, Points
from cases.patterns.drafting.said import rim_of
from cases.prescriptions.cut_away.bottom import CARBON_MM_A_PLY, SCOURED_RIM_MM, carbon_zone, shank_ends
from cases.prescriptions.cut_away.plan import (
    behind_joint,
    carbon,
    doubled,
    full_cushion,
    heel_cushion,
    inside,
    scoured,
    sock,
    support,
    support_piece,
    toe_prop,
)
from cases.prescriptions.cut_away.sheet import mm
from cases.prescriptions.shoe import Cushion, MetatarsalSupport, Shoe
from shared.calculations import BadInput
from shared.sides import SIDES

CLOTH_G_M2 = 200.0
"""The cloth whose ply is as thick as `CARBON_MM_A_PLY` says."""
SHORTEST_PLY_MM = 30.0
"""From memory: a shorter ply holds nothing."""
SHORTEST_SHANK_MM = 20.0
SHANK_CORNER_MM = 3.0
"""From memory: corners of a shank are rounded so that they do not cut."""
DOMED_PART = 0.5
"""Of its height, what a dome, a bar or a crest is thick on average. From memory."""


def _cushion(shoe: Shoe, cushion: Cushion, figures: PatternFigures) -> Piece:
    if cushion.place == "heel":
        return _heel_cushion(shoe, cushion, figures)
    is_full = cushion.place == "full"
    zone = full_cushion(shoe) if is_full else scoured(shoe)
    name = "Full-length cushion" if is_full else "Forepart cushion"
    outline = cut_line(zone, name=name)
    scoured_to = shoe.insole.scoured_to_mm if shoe.insole and not is_full else None
    rim = rim_of(shoe.insole) if shoe.insole else SCOURED_RIM_MM
    words = f"fills the scoured zone: the same line, rim {mm(rim)}" if scoured_to is not None else "on the insole"
    return Piece(
        key="full_cushion" if is_full else "forepart_cushion",
        part="cushions",
        name=name,
        serves=(shoe.side,),
        material=cushion.material,
        thickness_mm=cushion.thickness_mm,
        outline=outline,
        lines=(*joint_line(shoe, outline), *centre_line(outline)),
        medial_edge=medial_edge(outline),
        handles=front_and_back(outline),
        words=(words, "edges flush"),
        facts=(*_size(outline), *((("rim", rim),) if scoured_to is not None else ())),
    )


def _heel_cushion(shoe: Shoe, cushion: Cushion, figures: PatternFigures) -> Piece:
    disc = heel_cushion(shoe, diameter_mm=figures.cushion_heel_diameter_mm)
    outline = cut_line(shapely.transform(disc, lambda points: points - [disc.centroid.x, 0.0]), name="Heel cushion")
    return Piece(
        key="heel_cushion",
        part="cushions",
        name="Heel cushion",
        serves=SIDES,
        material=cushion.material,
        thickness_mm=cushion.thickness_mm,
        outline=outline,
        words=("in the middle of the seat",),
        facts=(
            ("diameter", float(np.ptp(outline[:, 1]))),
            ("middle, from the back of the heel", float(disc.centroid.x)),
        ),
    )


def _support(shoe: Shoe, one: MetatarsalSupport, figures: PatternFigures) -> Piece:
    """A bar or a dome by itself where the whole of it lies on the insole, else as it is cut back for this foot."""
    lies, whole = support_place(shoe, one, figures), support(shoe, one)
    is_whole = whole.within(inside(shoe, SUPPORT_INSIDE_MM).buffer(0.1))
    alone = shapely.Polygon(support_piece(one, joint_width_mm=shoe.form.joint_width_mm))
    name = "Metatarsal bar" if one.kind == "bar" else "Metatarsal dome"
    outline = cut_line(alone if is_whole else lies, name=name)
    from_where = "crest" if one.kind == "bar" else "leading edge"
    feathered = "to nothing along both edges and at its ends" if one.kind == "bar" else "to nothing all round"
    behind = ("behind the joint line", one.behind_joint_line_mm)
    return Piece(
        key=one.kind,
        part="metatarsal_supports",
        name=name,
        serves=SIDES if is_whole else (shoe.side,),
        material="",
        thickness_mm=one.height_mm,
        mean_thickness_mm=DOMED_PART * one.height_mm,
        outline=outline,
        lines=(_crest(outline),) if is_whole and one.kind == "bar" else (),
        medial_edge=None if is_whole else medial_edge(outline),
        words=(
            f"{mm(one.height_mm)} high, {feathered}",
            f"{from_where} {mm(one.behind_joint_line_mm)} behind the joint line",
        ),
        facts=(*_size(outline), ("height", one.height_mm), behind),
    )


def _crest(outline: Points) -> Line:
    ends = [(float(outline[:, 0].min()) + 2, 0.0), (float(outline[:, 0].max()) - 2, 0.0)]
    return Line(LineKind.CENTRE, np.array(ends), words="crest")


def _toe_prop(shoe: Shoe, _: PatternFigures) -> Iterator[Piece]:
    prop = shoe.toe_prop
    if prop is None:
        return
    outline = cut_line(toe_prop(shoe), name="Toe prop")
    yield Piece(
        key="toe_prop",
        part="toe_prop",
        name="Toe prop",
        serves=(shoe.side,),
        material=prop.material,
        thickness_mm=prop.height_mm,
        mean_thickness_mm=DOMED_PART * prop.height_mm,
        outline=outline,
        medial_edge=medial_edge(outline),
        words=(f"under {toes_of(shoe)}, {mm(prop.height_mm)} at its crest, to nothing in front and behind",),
        facts=(*_size(outline), ("height", prop.height_mm)),
    )


def _rear_doubled(shoe: Shoe, figures: PatternFigures) -> Iterator[Piece]:
    thick_mm = shoe.insole.rear_doubled_mm if shoe.insole else None
    if not thick_mm:
        return
    behind = figures.rear_doubled_behind_joint_mm
    zone = doubled(shoe, behind_joint_mm=behind)
    outline = cut_line(zone, name="Doubled rear")
    full = behind_joint(shoe, zone, behind + figures.rear_doubled_skive_mm)
    skived = max(zone.area - full.area, 0.0)
    front = _front_edge(shoe, full)
    words = f"{mm(figures.rear_doubled_skive_mm)} to nothing at the front"
    yield Piece(
        key="rear_doubled",
        part="insole",
        name="Doubled rear",
        serves=(shoe.side,),
        material=(shoe.insole.leather if shoe.insole else "") or LEATHER,
        thickness_mm=thick_mm,
        mean_thickness_mm=thick_mm * (1 - 0.5 * skived / zone.area),
        outline=outline,
        lines=(
            *((Line(LineKind.SKIVE, front, words=words),) if len(front) else ()),
            *centre_line(outline),
            grain(outline, "towards the toe", u=-0.2 * shoe.form.heel_width_mm),
        ),
        medial_edge=medial_edge(outline),
        handles=front_and_back(outline),
        words=("on the under face", f"skived {words}"),
        facts=(*_size(outline), ("front, behind the joint line", behind), ("skive", figures.rear_doubled_skive_mm)),
    )


def _front_edge(shoe: Shoe, zone: shapely.Polygon) -> Points:
    """The straight front of a zone that ends along the joint line."""
    if zone.is_empty:
        return np.zeros((0, 2))
    ring = np.asarray(zone.exterior.coords)
    longest = max(pairwise(ring), key=lambda ends: float(abs(ends[1][1] - ends[0][1])))
    return np.array(longest)[:, ::-1]


def _shank(shoe: Shoe, _: PatternFigures) -> Iterator[Piece]:
    shank = shoe.shank
    if shank is None:
        return
    rear, front = shank_ends(shoe)
    if front - rear < SHORTEST_SHANK_MM:
        raise BadInput("the shank's length", front - rear, allowed=f"{SHORTEST_SHANK_MM:g} mm and more")
    corner = min(SHANK_CORNER_MM, 0.45 * shank.width_mm)
    plate = shapely.box(-shank.width_mm / 2, rear, shank.width_mm / 2, front)
    rounded = plate.buffer(-corner, join_style="mitre").buffer(corner)
    outline = cut_line(shapely.transform(rounded, lambda points: points[:, ::-1]), name="Shank")
    yield Piece(
        key="shank",
        part="shank",
        name="Shank",
        serves=SIDES,
        material=shank.material,
        thickness_mm=shank.thickness_mm,
        outline=outline,
        count=int(shank.count),
        words=(
            f"rear end {mm(rear)} ahead of the back of the seat",
            f"front end {mm(shank.front_end_behind_joint_mm)} behind the joint line",
            "bent to the last, fixed, no rattle",
        ),
        facts=(("length", front - rear), ("width", shank.width_mm), ("thickness", shank.thickness_mm)),
    )


def _plies(shoe: Shoe, figures: PatternFigures) -> Iterator[Piece]:
    zone = shoe.carbon_zone
    if zone is None:
        return
    start, end = carbon_zone(shoe)
    count, step = int(zone.plies), figures.carbon_step_mm
    shortest = end - start - 2 * step * (count - 1)
    if shortest < SHORTEST_PLY_MM:
        raise BadInput(
            f"the last of {count} carbon plies, each {step:g} mm shorter at both ends,",
            max(shortest, 0.0),
            allowed=f"{SHORTEST_PLY_MM:g} mm and more",
        )
    for number in range(count):
        whole = carbon(shoe, edge_in_mm=figures.carbon_edge_in_mm, step_mm=step * number)
        outline = cut_line(whole, name=f"Carbon ply {number + 1}")
        yield Piece(
            key=f"carbon_ply_{number + 1}",
            part="carbon_zone",
            name=f"Carbon ply {number + 1} of {count}",
            serves=(shoe.side,),
            material=f"carbon cloth {zone.cloth_g_m2:g} g/m²",
            thickness_mm=CARBON_MM_A_PLY * zone.cloth_g_m2 / CLOTH_G_M2,
            outline=outline,
            lines=(
                *joint_line(shoe, outline),
                *centre_line(outline),
                grain(outline, "warp along the shoe", u=-0.25 * shoe.form.heel_width_mm),
            ),
            medial_edge=medial_edge(outline),
            words=(
                "the longest ply is laid first, on the under face",
                f"{mm(figures.carbon_edge_in_mm)} short of the feather edge; each ply {mm(step)} shorter at both ends",
            ),
            facts=(*_size(outline), *_overlap(shoe, start + step * number)),
        )


def _overlap(shoe: Shoe, start: float) -> tuple[tuple[str, float], ...]:
    """How far a ply lies over the shank's front."""
    if shoe.shank is None:
        return ()
    rear, front = shank_ends(shoe)
    return (("over the shank", max(front - max(start, rear), 0.0)),)


def _sock(shoe: Shoe, figures: PatternFigures) -> Iterator[Piece]:
    lining = sock(shoe)
    if lining.is_empty:
        return
    words = shoe.insole.sock if shoe.insole else ""
    outline = cut_line(lining, name="Sock")
    said = re.search(r"(\d+(?:[.,]\d+)?) *mm", words)
    yield Piece(
        key="sock",
        part="insole",
        name="Sock",
        serves=(shoe.side,),
        material=words,
        thickness_mm=float(said[1].replace(",", ".")) if said else figures.sock_mm,
        outline=outline,
        lines=(*centre_line(outline), grain(outline, "towards the toe", u=-0.2 * shoe.form.heel_width_mm)),
        medial_edge=medial_edge(outline),
        words=("to the finished line of the insole, trimmed in the shoe",),
        facts=_size(outline),
    )


def _size(outline: Points) -> tuple[tuple[str, float], ...]:
    return (("length", float(np.ptp(outline[:, 1]))), ("width", float(np.ptp(outline[:, 0]))))


def _cushions(shoe: Shoe, figures: PatternFigures) -> Iterator[Piece]:
    for cushion in shoe.cushions:
        yield _cushion(shoe, cushion, figures)


def _supports(shoe: Shoe, figures: PatternFigures) -> Iterator[Piece]:
    for one in shoe.metatarsal_supports:
        yield _support(shoe, sized(one, figures), figures)


Drafting = Callable[[Shoe, PatternFigures], tuple[Piece, ...]]


def _all_of(draft: Callable[[Shoe, PatternFigures], Iterator[Piece]]) -> Drafting:
    return lambda shoe, figures: tuple(draft(shoe, figures))


IN_THE_INSOLE: tuple[tuple[str, Drafting], ...] = (
    ("cushions", _all_of(_cushions)),
    ("dome and bar", _all_of(_supports)),
    ("toe prop", _all_of(_toe_prop)),
    ("doubled rear", _all_of(_rear_doubled)),
    ("shank", _all_of(_shank)),
    ("carbon plies", _all_of(_plies)),
    ("sock", _all_of(_sock)),
)
"""By what they are, so that one that cannot be cut does not keep the others from it."""


def in_the_insole(shoe: Shoe, figures: PatternFigures) -> tuple[Piece, ...]:
    """Every piece that is prescribed. Raises `BadInput` where one cannot be cut for this form."""
    return tuple(piece for _, draft in IN_THE_INSOLE for piece in draft(shoe, figures))
