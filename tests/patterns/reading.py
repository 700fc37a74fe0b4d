"""What tests read off a flat piece."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.pieces import Line, LineKind, Piece
from cases.prescriptions.shoe import Shoe
from tests.patterns.figures import STARTING

STRAIGHT = replace(STARTING, stiffener_topline_part=1.0)
"""A stiffener is a straight strip: what lies so far along and so high up can be read off its coordinates."""


def drafted_by(
    draft: Callable[[Shoe, PatternFigures], Piece | None], shoe: Shoe, figures: PatternFigures = STARTING
) -> Piece:
    """The piece, which must be there."""
    piece = draft(shoe, figures)
    assert piece is not None
    return piece


def lines(piece: Piece, kind: LineKind) -> list[Line]:
    return [line for line in piece.lines if line.kind is kind]


def length_of(points: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def handle(piece: Piece, key: str) -> tuple[float, float]:
    return {each.key: each.at for each in piece.handles}[key]
