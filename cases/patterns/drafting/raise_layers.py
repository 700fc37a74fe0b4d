"""A raise as layers that are cut and laid on each other, and the wedge of a lift in the shoe.

On the sole, each layer reaches as far as the raise is higher than what lies under it; where it is less than a layer
higher, the layer is skived. So the layers together are as high as the raise everywhere, and not only where it is
prescribed. Layers are counted from the foot down. Lengths in mm.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.lying import across_line, centre_line, cut_line, joint_line, mean_over_form, medial_edge
from cases.patterns.drafting.pieces import Line, LineKind, Piece, Points
from cases.prescriptions.cut_away.plan import across, behind_joint, beyond
from cases.prescriptions.cut_away.sheet import mm
from cases.prescriptions.cut_away.stack import SEAT_TO, in_shoe_raise, raise_on_sole
from cases.prescriptions.shoe import Shoe

LEAST_LAYER_MM = 1.0
"""No layer is thinner: what is left over is shared by the last two. From memory."""
SHORTEST_LAYER_MM = 15.0
"""A layer is cut at least so long, and ground back. From memory."""
STEPS = 400


@dataclass(frozen=True)
class Layer:
    """One layer: what lies under it and how thick its sheet is; from where to where it reaches along the foot."""

    below_mm: float
    thick_mm: float
    start_mm: float
    end_mm: float

    def height(self, shoe: Shoe, x: Points) -> Points:
        """How high it is at places along the foot; none beyond its ends."""
        on_it = (x >= self.start_mm - 1e-6) & (x <= self.end_mm + 1e-6)
        return np.where(on_it, np.clip(raise_on_sole(shoe, x) - self.below_mm, 0.0, self.thick_mm), 0.0)


def raise_layers(shoe: Shoe, figures: PatternFigures) -> tuple[Piece, ...]:
    """The layers on the sole from the foot down, then the lift in the shoe. Raises `BadInput`."""
    return (*_on_sole(shoe, figures), *_in_shoe(shoe))


def layers_of(shoe: Shoe, layer_mm: float) -> tuple[Layer, ...]:
    """The layers of a raise on the sole, from the foot down."""
    x = np.linspace(0.0, shoe.form.length_mm, STEPS + 1)
    x = np.unique(np.concatenate([x, _places(shoe)]))
    high = raise_on_sole(shoe, x)
    found, below = [], 0.0
    for thick in _thicknesses(float(high.max()), layer_mm):
        found += [Layer(below, thick, *ends) for ends in _reaches(x, high, below, shoe.form.length_mm)]
        below += thick
    return tuple(reversed(found))


def _thicknesses(high: float, layer_mm: float) -> tuple[float, ...]:
    """Of the sheets from the ground up: whole ones and what is left over."""
    if high <= 0:
        return ()
    count = math.ceil(round(high / layer_mm, 6))
    rest = high - (count - 1) * layer_mm
    if rest < LEAST_LAYER_MM and count > 1:
        return (*[layer_mm] * (count - 2), *[(layer_mm + rest) / 2] * 2)
    return (*[layer_mm] * (count - 1), rest)


def _reaches(x: Points, high: Points, below: float, length: float) -> Iterator[tuple[float, float]]:
    """From where to where a raise is higher than what lies under a layer."""
    over = np.concatenate([[False], high > below + 1e-9, [False]])
    changes = np.flatnonzero(over[1:] != over[:-1])
    for first, after in changes.reshape(-1, 2):
        start = 0.0 if first == 0 else _crossing(x, high, below, int(first) - 1)
        end = length if after == len(x) else _crossing(x, high, below, int(after) - 1)
        if end - start < SHORTEST_LAYER_MM:
            start, end = (start, start + SHORTEST_LAYER_MM) if first == 0 else (end - SHORTEST_LAYER_MM, end)
        yield start, end


def _crossing(x: Points, high: Points, level: float, at: int) -> float:
    """Where a line crosses a level between one place and the next."""
    here, there = float(high[at]), float(high[at + 1])
    return float(x[at] + (level - here) / (there - here) * (x[at + 1] - x[at]))


def _places(shoe: Shoe) -> Points:
    """Where heights are prescribed: heel, joint and toe."""
    form = shoe.form
    return np.array([SEAT_TO * form.length_mm, form.heel_to_joint_mm, form.length_mm])


def _on_sole(shoe: Shoe, figures: PatternFigures) -> Iterator[Piece]:
    layers = layers_of(shoe, figures.raise_layer_mm)
    if not layers:
        return
    edge = beyond(shoe, figures.raise_layer_edge_mm)
    least, _, most, _ = edge.bounds
    length = shoe.form.length_mm
    for number, layer in enumerate(layers, start=1):
        start = least if layer.start_mm <= 0 else layer.start_mm
        end = most if layer.end_mm >= length else layer.end_mm
        outline = cut_line(across(edge, start, end), name=f"Layer {number} of the raise")
        yield _layer_piece(shoe, layer, outline, number=number, of=len(layers), figures=figures)


def _layer_piece(shoe: Shoe, layer: Layer, outline: Points, *, number: int, of: int, figures: PatternFigures) -> Piece:
    heights = layer.height(shoe, _places(shoe))
    sheet = figures.raise_layer_mm
    words = [f"layer {number} of {of}, counted from the foot down"]
    skives = tuple(_skives(shoe, layer, outline))
    if skives:
        words.append("skived to nothing where it ends")
    if (edge_mm := figures.raise_layer_edge_mm) > 0:
        words.append(f"cut {mm(edge_mm)} beyond the feather edge")
    raised = shoe.height_raise
    return Piece(
        key=f"raise_layer_{number}",
        part="height_raise",
        name=f"Raise, layer {number} of {of}",
        serves=(shoe.side,),
        material=raised.material if raised else "",
        thickness_mm=max(sheet, layer.thick_mm),
        split_to_mm=layer.thick_mm if layer.thick_mm < sheet - 0.05 else None,
        mean_thickness_mm=_mean_height(shoe, layer),
        outline=outline,
        lines=(*skives, *joint_line(shoe, outline), *centre_line(outline)),
        medial_edge=medial_edge(outline),
        words=tuple(words),
        facts=(
            ("length", float(np.ptp(outline[:, 1]))),
            ("width", float(np.ptp(outline[:, 0]))),
            *((f"height at the {name}", float(high)) for name, high in zip(HEIGHTS, heights, strict=True)),
        ),
    )


HEIGHTS = ("heel", "joint", "toe")


def _skives(shoe: Shoe, layer: Layer, outline: Points) -> Iterator[Line]:
    """Where a layer begins to get thinner towards an end at which nothing of it is left."""
    x = np.linspace(max(layer.start_mm, 0.0), min(layer.end_mm, shoe.form.length_mm), STEPS + 1)
    high = layer.height(shoe, x)
    whole = high >= high.max() - 1e-6
    first, last = float(x[whole][0]), float(x[whole][-1])
    for at, end, is_nothing in ((first, float(x[0]), high[0] < 0.05), (last, float(x[-1]), high[-1] < 0.05)):
        if is_nothing and abs(end - at) > 1.0:
            words = f"from {mm(float(high.max()))} to nothing over {mm(abs(end - at))}"
            yield from across_line(outline, at, LineKind.SKIVE, words)


def _mean_height(shoe: Shoe, layer: Layer) -> float:
    x = np.linspace(max(layer.start_mm, 0.0), min(layer.end_mm, shoe.form.length_mm), 60)
    return mean_over_form(shoe, x, layer.height(shoe, x))


def _in_shoe(shoe: Shoe) -> Iterator[Piece]:
    raised = shoe.height_raise
    lift = raised.in_shoe_heel_mm if raised else None
    if raised is None or not lift:
        return
    outline = cut_line(behind_joint(shoe, shoe.form.outline.polygon, 0.0), name="Lift in the shoe")
    form = shoe.form
    waist = (SEAT_TO * form.length_mm + form.heel_to_joint_mm) / 2
    heights: Sequence[tuple[str, float]] = (("heel", lift), ("waist", _lift_at(shoe, waist)), ("joint", 0.0))
    x = np.linspace(0.0, form.heel_to_joint_mm, 60)
    skive = across_line(
        outline, SEAT_TO * form.length_mm, LineKind.SKIVE, f"from {mm(lift)} to nothing at the joint line"
    )
    yield Piece(
        key="heel_lift",
        part="height_raise",
        name="Lift in the shoe",
        serves=(shoe.side,),
        material=raised.material,
        thickness_mm=lift,
        mean_thickness_mm=mean_over_form(shoe, x, in_shoe_raise(shoe, x)),
        outline=outline,
        lines=(*skive, *centre_line(outline)),
        medial_edge=medial_edge(outline),
        words=("whole under the heel, then to nothing at the joint line",),
        facts=(
            ("length", float(np.ptp(outline[:, 1]))),
            ("width", float(np.ptp(outline[:, 0]))),
            *((f"height at the {name}", high) for name, high in heights),
        ),
    )


def _lift_at(shoe: Shoe, x: float) -> float:
    return float(in_shoe_raise(shoe, np.array([x]))[0])
