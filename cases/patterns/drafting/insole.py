"""The insole: cut full, with the line it is trimmed to, and on it the place of everything that comes on or under it.

The finished line is the outline of the last; the cut line lies so far outside it as the workshop cuts full, and by the
height of a turn-up further where the insole is turned up. Seen from above: the grain side, which lies to the foot.
"""

import numpy as np
import shapely

from cases.lasts.outline import HEEL_WIDEST_AT
from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.lying import (
    back_at,
    centre_line,
    cut_line,
    front_at,
    grain,
    joint_line,
    lateral_at,
    mean_over_form,
    medial_at,
    medial_edge,
)
from cases.patterns.drafting.on_the_insole import places
from cases.patterns.drafting.pieces import Handle, Line, LineKind, Piece, Points
from cases.patterns.drafting.said import insole_words
from cases.prescriptions.cut_away.edges import edge_of_outline
from cases.prescriptions.cut_away.plan import beyond, inside, largest, scoured, turned_up
from cases.prescriptions.cut_away.stack import insole_thickness
from cases.prescriptions.shoe import Insole, Shoe
from shared.sides import Edge

LEATHER = "vegetable-tanned shoulder"
WELTED = frozenset({"hand-welted", "machine-welted"})
HEEL_TURNED_TO = 0.22
"""Of the length: how far forward a heel that is turned up comes. From memory."""
RAMP_MM = 60.0
"""Along the foot: a turn-up rises to its height, and comes down, over so much. From memory."""
RAMP_INSIDE_MM = 40.0
"""So much of a ramp lies within the turn-up: the cut is everywhere as high as what is drawn turned up there, or higher."""
CORNER_MM = 6.0
"""From memory: a knife follows no tighter hollow of a cut line."""
STEEPEST = 1.6
"""A height is measured across the edge; where the edge runs steeper than this it is no longer made longer for it."""


def insole(shoe: Shoe, figures: PatternFigures) -> Piece | None:
    """The insole of a shoe; None where none is prescribed. Raises `BadInput` where it cannot be drawn."""
    given = shoe.insole
    if given is None:
        return None
    outline = cut_line(_cut(shoe, given, figures.insole_cut_oversize_mm), name="the insole")
    waist_v = (HEEL_WIDEST_AT * shoe.form.length_mm + shoe.form.outline.medial_joint[0]) / 2
    return Piece(
        key="insole",
        part="insole",
        name="Insole",
        serves=(shoe.side,),
        material=given.leather or LEATHER,
        thickness_mm=given.thickness_mm,
        split_to_mm=_split_to(given),
        mean_thickness_mm=_mean_thickness(shoe, given),
        outline=outline,
        lines=(
            *_lines(shoe, outline, figures),
            *places(shoe, figures),
        ),
        medial_edge=medial_edge(outline, v=waist_v - 20.0),
        handles=_handles(shoe, outline, waist_v),
        words=insole_words(shoe, given, figures),
        facts=_facts(shoe, given, outline),
    )


def _cut(shoe: Shoe, given: Insole, over_mm: float) -> shapely.Polygon:
    cut = beyond(shoe, over_mm)
    if not any((given.turn_up_medial_mm, given.turn_up_lateral_mm, given.turn_up_heel_mm)):
        return cut
    medial, lateral = (_turned_edge(shoe, given, edge, over_mm) for edge in Edge)
    turned = shapely.Polygon(np.concatenate([lateral[::-1], medial[1:]]))
    whole = cut.union(turned if turned.is_valid else turned.buffer(0))
    return largest(whole.buffer(CORNER_MM).buffer(-CORNER_MM))


def _turned_edge(shoe: Shoe, given: Insole, edge: Edge, over_mm: float) -> Points:
    """One edge from the back of the heel, moved out by what is turned up and cut full; x, y.

    Behind the widest of the heel it moves away from the heel's middle, ahead of it away from the long axis.
    """
    line = edge_of_outline(shoe, edge)
    middle = HEEL_WIDEST_AT * shoe.form.length_mm
    high = _turned_high(shoe, given, edge, line[:, 0])
    out = np.where(high > 0, over_mm + high, 0.0)
    slope = np.gradient(line[:, 1], np.maximum.accumulate(line[:, 0] + 1e-6 * np.arange(len(line))))
    towards = np.where(
        (line[:, 0] < middle)[:, None],
        line - [middle, 0.0],
        np.column_stack([np.zeros(len(line)), np.sign(line[:, 1])]),
    )
    towards = towards / np.maximum(np.hypot(*towards.T), 1e-9)[:, None]
    longer = np.where(line[:, 0] < middle, 1.0, np.minimum(np.hypot(1.0, slope), STEEPEST))
    moved: Points = line + towards * (out * longer)[:, None]
    return moved


def _turned_high(shoe: Shoe, given: Insole, edge: Edge, x: Points) -> Points:
    """How high one edge is turned up at each place; where heel and side meet, they run into each other."""
    start, end = turned_up(shoe, edge)
    beside = (given.turn_up_medial_mm if edge == Edge.MEDIAL else given.turn_up_lateral_mm) or 0.0
    behind = given.turn_up_heel_mm or 0.0
    if beside and behind:
        meet = _ramp(x - start + RAMP_INSIDE_MM - RAMP_MM / 2)
        return (behind * (1 - meet) + beside * meet) * _ramp(end - x)
    heel = behind * _ramp(HEEL_TURNED_TO * shoe.form.length_mm - x)
    return heel + beside * _ramp(x - start) * _ramp(end - x)


def _ramp(within_mm: Points) -> Points:
    """From 0 to 1 without a corner, by how far within its end a turn-up is."""
    part = np.clip((within_mm + RAMP_MM - RAMP_INSIDE_MM) / RAMP_MM, 0.0, 1.0)
    return part * part * (3 - 2 * part)


def _lines(shoe: Shoe, outline: Points, figures: PatternFigures) -> tuple[Line, ...]:
    finished = shoe.form.outline.points[:, ::-1]
    is_blocked = shoe.insole is not None and shoe.insole.blocked
    trimmed = Line(
        LineKind.FINISHED, finished, closed=True, words="trim after blocking" if is_blocked else "trim on the last"
    )
    aside = -0.36 * shoe.form.heel_width_mm
    feather: tuple[Line, ...] = ()
    if shoe.construction in WELTED:
        holdfast = inside(shoe, figures.feather_width_mm)
        words = (
            f"{figures.feather_width_mm:g} mm wide, {figures.feather_depth_mm:g} mm deep; the holdfast stands within it"
        )
        feather = (Line(LineKind.FEATHER, np.asarray(holdfast.exterior.coords)[:-1, ::-1], closed=True, words=words),)
    return (
        trimmed,
        *feather,
        *joint_line(shoe, outline, "1st to 5th joint"),
        *centre_line(outline),
        grain(outline, "towards the toe, grain to the foot", u=aside),
    )


def _handles(shoe: Shoe, outline: Points, waist_v: float) -> tuple[Handle, ...]:
    lateral, medial = sorted(joint_line(shoe, outline)[0].points.tolist())
    tip = shoe.form.outline.tip
    return (
        Handle("medial_joint", "medial joint", (medial[0], medial[1])),
        Handle("lateral_joint", "lateral joint", (lateral[0], lateral[1])),
        Handle("toe_tip", "tip of the toe", front_at(outline, tip[1])),
        Handle("heel_back", "back of the heel", back_at(outline, 0.0)),
        Handle("medial_arch", "medial arch", medial_at(outline, waist_v)),
        Handle("lateral_waist", "lateral waist", lateral_at(outline, waist_v)),
    )


def _split_to(given: Insole) -> float | None:
    """A flat insole that is finished thinner than its sheet is split; a blocked one is carved when it is dry."""
    finished = (given.finished_heel_mm, given.finished_waist_mm, given.finished_forepart_mm)
    if given.blocked or given.thickness_mm is None or any(each is None for each in finished):
        return None
    thickest = max(each for each in finished if each is not None)
    return thickest if thickest < given.thickness_mm else None


def _mean_thickness(shoe: Shoe, given: Insole) -> float | None:
    """Of what is left after carving and scouring, over the finished line; None where nobody said how thick it is."""
    if given.thickness_mm is None:
        return None
    x = np.linspace(0, shoe.form.length_mm, 90)
    thick = insole_thickness(shoe, x)
    mean = mean_over_form(shoe, x, thick)
    if given.scoured_to_mm is not None:
        zone = scoured(shoe)
        within = float(np.interp(zone.centroid.x, x, thick)) if zone.area else 0.0
        mean -= zone.area / shoe.form.outline.polygon.area * max(within - given.scoured_to_mm, 0.0)
    return mean


def _facts(shoe: Shoe, given: Insole, outline: Points) -> tuple[tuple[str, float], ...]:
    finished = shoe.form.outline.points
    long, broad = np.ptp(outline[:, 1]), np.ptp(outline[:, 0])
    turned = (
        ("turned up, medial", given.turn_up_medial_mm),
        ("turned up, lateral", given.turn_up_lateral_mm),
        ("turned up, heel", given.turn_up_heel_mm),
    )
    return (
        ("finished length", float(np.ptp(finished[:, 0]))),
        ("finished width", float(np.ptp(finished[:, 1]))),
        ("cut length", float(long)),
        ("cut width", float(broad)),
        *((name, high) for name, high in turned if high),
    )
