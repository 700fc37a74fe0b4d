"""Ten thousand plausible feet and prescriptions: every piece of the bottom can be laid on a sheet and cut."""

from collections.abc import Callable, Iterator
from random import Random

import numpy as np
import pytest
import shapely

from cases.patterns.drafting.in_the_insole import in_the_insole
from cases.patterns.drafting.insole import insole
from cases.patterns.drafting.pieces import Piece
from cases.patterns.drafting.raise_layers import raise_layers
from cases.prescriptions.shoe import Shoe
from tests.patterns.figures import STARTING
from tests.patterns.plausible import plausible_shoe

SHOES = 10_000
SHEET_MM = (400.0, 594.0)
"""Two sheets of A3 beside each other less their margins, two above each other: no shoe's bottom is larger."""


def _insole(shoe: Shoe) -> tuple[Piece, ...]:
    piece = insole(shoe, STARTING)
    return () if piece is None else (piece,)


DRAFTS: tuple[Callable[[Shoe], tuple[Piece, ...]], ...] = (
    _insole,
    lambda shoe: in_the_insole(shoe, STARTING),
    lambda shoe: raise_layers(shoe, STARTING),
)


def swept() -> Iterator[Piece]:
    """Of every shoe one family of pieces, in turn; a piece that was there before to the last point is left out."""
    random, seen = Random(13), set()
    shoes = sorted((plausible_shoe(random) for _ in range(SHOES)), key=lambda shoe: shoe.form.drawn_from)
    for number, shoe in enumerate(shoes):
        for piece in DRAFTS[number % len(DRAFTS)](shoe):
            if (key := (piece.key, piece.outline.tobytes())) not in seen:
                seen.add(key)
                yield piece


def faults(piece: Piece) -> Iterator[str]:
    polygon = piece.polygon
    if not polygon.is_valid:
        yield "crosses itself"
    core = polygon.buffer(-1.5, quad_segs=2)
    if core.geom_type != "Polygon" or core.is_empty:
        yield "has a sliver under 3 mm"
    broad, long = np.ptp(piece.outline, axis=0)
    if broad > SHEET_MM[0] or long > SHEET_MM[1]:
        yield "is larger than its sheet"
    shapely.prepare(polygon)
    for line in piece.lines:
        outside = line.points[~shapely.contains_xy(polygon, line.points)]
        if len(outside) and float(shapely.distance(polygon, shapely.points(outside)).max()) > 0.01:
            yield f"has its line '{line.kind.value} {line.words}' outside"


@pytest.fixture(scope="module")
def found() -> dict[str, int]:
    """What was wrong with which piece, and how many pieces there were."""
    counted = {"pieces": 0}
    for piece in swept():
        counted["pieces"] += 1
        for fault in faults(piece):
            counted[f"{piece.key} {fault}"] = counted.get(f"{piece.key} {fault}", 0) + 1
    return counted


def test_every_piece_is_simple_without_a_sliver_inside_its_sheet_and_its_lines_inside_it(found: dict[str, int]) -> None:
    assert {fault: count for fault, count in found.items() if fault != "pieces"} == {}


def test_the_sweep_saw_pieces(found: dict[str, int]) -> None:
    assert found["pieces"] > SHOES
