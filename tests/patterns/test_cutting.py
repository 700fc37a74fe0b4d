"""What is cut, put together by material: against figures worked by hand."""

from typing import Any

import numpy as np
import pytest

from cases.patterns.cutting import Cut, CuttingList, Stock, Waste, cutting_list, waste_percent
from cases.patterns.drafting.pieces import Piece, Points
from cases.prescriptions.weight import Density
from shared.sides import SIDES, Side
from workshop.figures.materials_table import MATERIALS

WASTE = Waste(waste_leather_percent=25, waste_board_percent=15, waste_foam_percent=10, waste_cloth_percent=20)
DENSITIES = {each.name: Density(each.name, each.kind, float(each.low), float(each.high)) for each in MATERIALS}


def square(side_mm: float = 100.0) -> Points:
    return np.array([[0.0, 0.0], [side_mm, 0.0], [side_mm, side_mm], [0.0, side_mm]])


def a_piece(key: str = "insole", **changes: Any) -> Piece:
    """A square decimetre of shoulder, 4 mm thick, for the LEFT shoe."""
    given: dict[str, Any] = {
        "part": "insole",
        "name": "Insole",
        "serves": (Side.LEFT,),
        "material": "vegetable-tanned shoulder",
        "thickness_mm": 4.0,
        "outline": square(),
        **changes,
    }
    return Piece(key=key, **given)


def listed(*cuts: Cut) -> CuttingList:
    return cutting_list(cuts, waste=WASTE, densities=DENSITIES)


def test_a_square_decimetre_needs_a_quarter_more_of_leather() -> None:
    row = listed(Cut(1, a_piece())).rows[0]
    assert (row.net_dm2, row.needed_dm2) == (1.0, 1.25)


def test_its_weight_goes_from_the_lowest_to_the_highest_density() -> None:
    """100 cm² of 4 mm are 40 cm³; shoulder is 900 to 1000 kg/m³."""
    assert listed(Cut(1, a_piece())).rows[0].weight_g == pytest.approx((36.0, 40.0))


def test_what_is_skived_weighs_less() -> None:
    assert listed(Cut(1, a_piece(mean_thickness_mm=2.0))).rows[0].weight_g == pytest.approx((18.0, 20.0))


def test_a_hole_is_not_weighed_nor_counted() -> None:
    hole = square(50.0) + 10.0
    assert listed(Cut(1, a_piece(holes=(hole,)))).rows[0].net_dm2 == pytest.approx(0.75)


def test_what_serves_either_foot_is_cut_for_each() -> None:
    row = listed(Cut(1, a_piece(serves=SIDES, count=2))).rows[0]
    assert (row.how_many, row.net_dm2, row.what) == (4, 4.0, ("insole: either foot 4",))


def test_feet_of_several_pairs_are_counted_left_and_right() -> None:
    row = listed(Cut(2, a_piece(serves=(Side.RIGHT,))), Cut(1, a_piece()), Cut(2, a_piece())).rows[0]
    assert (row.what, row.pairs) == (("insole: LEFT 2, RIGHT 1",), (1, 2))


def test_another_thickness_is_another_row() -> None:
    rows = listed(Cut(1, a_piece()), Cut(1, a_piece(thickness_mm=3.0)), Cut(1, a_piece(split_to_mm=3.5))).rows
    assert [(row.thickness_mm, row.split_to_mm) for row in rows] == [(3.0, None), (4.0, None), (4.0, 3.5)]


def test_without_a_thickness_the_weight_is_not_known() -> None:
    assert listed(Cut(1, a_piece(thickness_mm=None))).rows[0].weight_words == "not known"


@pytest.mark.parametrize(
    ("key", "part", "material", "stock"),
    [
        ("stiffener", "stiffener", "vegetable-tanned belly", Stock.LEATHER),
        ("stiffener", "stiffener", "leather board", Stock.BOARD),
        ("stiffener", "stiffener", "thermoplastic sheet", Stock.BOARD),
        ("forepart_cushion", "cushions", "open-cell polyurethane", Stock.FOAM),
        ("forepart_cushion", "cushions", "", Stock.FOAM),
        ("carbon_ply_1", "carbon_zone", "carbon cloth 200 g/m²", Stock.CLOTH),
        ("shank", "shank", "steel", Stock.METAL),
        ("raise_layer_1", "height_raise", "light EVA", Stock.FOAM),
    ],
)
def test_each_material_comes_as_its_own_stock(key: str, part: str, material: str, stock: Stock) -> None:
    assert listed(Cut(1, a_piece(key, part=part, material=material))).rows[0].stock is stock


@pytest.mark.parametrize(
    ("key", "part", "material", "beside"),
    [("sock", "insole", "calf", "leather"), ("cushion", "cushions", "closed-cell polyethylene foam", "")],
)
def test_what_kind_of_stock_it_is_is_said_once(key: str, part: str, material: str, beside: str) -> None:
    assert listed(Cut(1, a_piece(key, part=part, material=material))).rows[0].stock_beside == beside


def test_metal_is_counted_and_loses_nothing() -> None:
    row = listed(Cut(1, a_piece("shank", part="shank", material="steel"))).rows[0]
    assert (row.needed_dm2, waste_percent(Stock.METAL, WASTE), listed(*row.cuts).totals) == (None, 0.0, ())


def test_totals_are_by_stock() -> None:
    cuts = (
        Cut(1, a_piece()),
        Cut(1, a_piece(thickness_mm=3.0)),
        Cut(1, a_piece("stiffener", material="leather board")),
    )
    assert [(total.stock, total.how_many, total.needed_dm2) for total in listed(*cuts).totals] == [
        (Stock.LEATHER, 2, 2.5),
        (Stock.BOARD, 1, pytest.approx(1.15)),
    ]


def test_what_is_not_said_is_listed_by_what_stands_in() -> None:
    assert listed(Cut(1, a_piece(material=""))).rows[0].material == (
        "material not said: as vegetable-tanned shoulder, for insoles"
    )
