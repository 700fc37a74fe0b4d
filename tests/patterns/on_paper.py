"""Pieces made by hand for tests of sheets: a strip, a sector, an insole, small ones, and one that serves either foot."""

from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np

from cases.lasts.outline import PlanShape, outline_of
from cases.patterns.drafting.pieces import Line, LineKind, MedialEdge, Piece
from cases.patterns.sheets.paper import Heading
from shared.sides import SIDES, Side

HEADING = Heading(
    pair_number="2026-0117",
    record_number="R-20417",
    version=2,
    signed_on=date(2026, 11, 20),
    drafted_from=((Side.LEFT, "last 77, state 3"), (Side.RIGHT, "last 77, state 4")),
)


@cache
def an_insole(side: Side = Side.LEFT, *, length_mm: float = 285) -> Piece:
    """The outline of a last with 9 mm all round, its finished line, and what lies across it."""
    outline = outline_of(PlanShape(length_mm=length_mm, joint_width_mm=100, heel_width_mm=70))
    finished = outline.points[:, ::-1]
    cut = np.asarray(outline.polygon.buffer(9).exterior.coords)[:-1, ::-1]
    medial, lateral = outline.medial_joint[::-1], outline.lateral_joint[::-1]
    return Piece(
        key="insole",
        part="insole",
        name="Insole",
        serves=(side,),
        material="vegetable-tanned shoulder",
        thickness_mm=4.2,
        outline=cut,
        lines=(
            Line(LineKind.FINISHED, finished, closed=True, words="after blocking"),
            Line(LineKind.JOINT, np.array([medial, lateral])),
            Line(LineKind.GRAIN, np.array([(0.0, 90.0), (0.0, 150.0)])),
            Line(LineKind.CENTRE, np.array([(0.0, 0.0), (0.0, 60.0)])),
        ),
        medial_edge=MedialEdge(at=(float(cut[:, 0].max()), medial[1]), inwards=(-1, 0)),
        facts=(("finished length", length_mm), ("finished joint width", 100.0)),
    )


def a_sector(
    side: Side = Side.LEFT,
    *,
    inner_mm: float = 260,
    high_mm: float = 66,
    spread_deg: float = 50,
    key: str = "stiffener",
) -> Piece:
    """A band developed on a cone: two arcs about one middle, the lower one shorter."""
    turn = np.deg2rad(np.linspace(-spread_deg / 2, spread_deg / 2, 61))
    arc = np.column_stack([np.sin(turn), np.cos(turn) - 1])

    def band(at_mm: float) -> np.ndarray:
        return arc * (inner_mm + at_mm) + [0.0, at_mm]

    return Piece(
        key=key,
        part="stiffener",
        name="Stiffener",
        serves=(side,),
        material="vegetable-tanned belly",
        thickness_mm=2.8,
        outline=np.concatenate([band(0), band(high_mm)[::-1]]),
        lines=(
            Line(LineKind.FEATHER, band(13), words="margin 13 mm"),
            Line(LineKind.SKIVE, band(high_mm - 15), words="top 15 mm to nothing"),
            Line(LineKind.CENTRE_BACK, np.array([(0.0, 0.0), (0.0, high_mm)])),
            Line(LineKind.GRAIN, np.array([(20.0, 22.0), (50.0, 20.0)])),
        ),
        medial_edge=MedialEdge(at=(float(band(30)[-1, 0]), float(band(30)[-1, 1])), inwards=(-0.9, 0.4)),
    )


def a_plate(
    wide_mm: float, high_mm: float, *, side: Side = Side.LEFT, key: str = "plate", holes: tuple[np.ndarray, ...] = ()
) -> Piece:
    corners = [(0.0, 0.0), (wide_mm, 0.0), (wide_mm, high_mm), (0.0, high_mm)]
    return Piece(
        key=key,
        part="insole",
        name=key.capitalize(),
        serves=(side,),
        material="carbon cloth 200 g/m²",
        thickness_mm=0.3,
        outline=np.array(corners),
        holes=holes,
        medial_edge=MedialEdge(at=(wide_mm, high_mm / 2), inwards=(-1, 0)),
    )


def a_disc(across_mm: float = 60) -> Piece:
    """A heel cushion: it serves either foot."""
    turn = np.linspace(0, 2 * np.pi, 72, endpoint=False)
    return Piece(
        key="heel cushion",
        part="cushion",
        name="Heel cushion",
        serves=SIDES,
        material="open-cell polyurethane",
        thickness_mm=6.0,
        outline=np.column_stack([np.cos(turn), np.sin(turn)]) * across_mm / 2,
        lines=(
            Line(
                LineKind.SKIVE,
                np.column_stack([np.cos(turn), np.sin(turn)]) * (across_mm / 2 - 8),
                closed=True,
                words="8 mm to nothing",
            ),
        ),
    )


def a_set() -> tuple[Piece, ...]:
    """What a plain pair is cut from, and two small pieces."""
    of_a_side = [
        piece
        for side in SIDES
        for piece in (
            an_insole(side),
            a_sector(side),
            a_plate(90, 60, side=side, key="carbon ply 1"),
            a_plate(70, 55, side=side, key="carbon ply 2"),
        )
    ]
    return (*of_a_side, a_disc())


def a_long_stiffener(side: Side = Side.LEFT) -> Piece:
    return replace(a_sector(side, inner_mm=330, spread_deg=68), key="long stiffener")
