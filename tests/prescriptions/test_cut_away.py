"""The cut-away: to scale, every prescribed part where it will be and nothing else, each foot as it is named."""

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.prescriptions.cut_away import changed_parts, cut_aways_of
from cases.prescriptions.cut_away.layout import Views, width_for
from cases.prescriptions.cut_away.pair import views_of
from cases.prescriptions.cut_away.sheet import View
from cases.prescriptions.implied.cuts import cuts_told
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge, Side
from tests.prescriptions.shoes import (
    FORM,
    a_bar,
    a_cushion,
    a_flare,
    a_relief,
    a_shoe,
    a_soft_zone,
    a_toe_prop,
    a_wedge,
)
from tests.prescriptions.stock import WORKSHOP

SVG = re.compile(r'<text x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>(.*?)</text>')
MOST_BYTES = 12_000
"""A foot's four views, so that two and their page come in one breath on a slow line."""


def drawn(shoe: Shoe, **others: Any) -> str:
    return cut_aways_of({shoe.side: shoe}, **others)[0].svg


def kinds(view: View) -> set[str]:
    return {shape.kind for shape in view.shapes}


def mirrored(shoe: Shoe) -> Shoe:
    return replace(shoe, side=Side.RIGHT if shoe.side is Side.LEFT else Side.LEFT)


def along(points: np.ndarray) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


# To scale ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("edge", "reach_mm"), [(Edge.MEDIAL, 133.0), (Edge.LATERAL, 116.0)])
def test_a_reach_lies_so_far_along_the_feather_edge_from_the_centre_back(edge: Edge, reach_mm: float) -> None:
    view = views_of(a_shoe()).above
    sign = 1 if edge == Edge.MEDIAL else -1
    (band,) = [each.points for each in view.shape("stiffener") if each.points[:, 0].sum() * sign > 0]
    on_edge = band[: len(band) // 2]
    assert along(on_edge) == pytest.approx(reach_mm, abs=0.1)


@pytest.mark.parametrize("height_mm", [44.0, 52.0, 63.5])
def test_the_back_height_of_the_stiffener_is_drawn_in_millimetres(height_mm: float) -> None:
    view = views_of(a_shoe(stiffener={"back_height_mm": height_mm})).medial
    (stiffener,) = view.shape("stiffener")
    at_back = stiffener.points[stiffener.points[:, 0] < 0.01]
    assert np.ptp(at_back[:, 1]) == pytest.approx(height_mm, abs=0.1)


def test_a_relief_has_the_size_it_is_prescribed_at() -> None:
    (relief,) = views_of(a_shoe(reliefs=(a_relief(width_mm=34, height_mm=26),))).behind.shape("relief")
    assert tuple(np.ptp(relief.points, axis=0)) == pytest.approx((34, 26), abs=0.1)


def test_a_shank_ends_as_far_behind_the_joint_as_it_is_prescribed() -> None:
    """Behind the slanting joint line at the lateral edge of a shank 15 mm wide, where the line comes nearest."""
    (shank,) = views_of(a_shoe(shank={"front_end_behind_joint_mm": 15})).medial.shape("shank")
    assert FORM.joint_line_mm(-7.5) - shank.points[:, 0].max() == pytest.approx(15)


def test_a_sole_is_as_thick_at_the_joint_as_it_is_prescribed() -> None:
    sole = views_of(a_shoe(sole={"thickness_mm": 8})).medial.shape("sole")[0].points
    at_joint = sole[np.isclose(sole[:, 0], FORM.heel_to_joint_mm)]
    assert np.ptp(at_joint[:, 1]) == pytest.approx(8)


def test_both_feet_are_drawn_to_one_scale() -> None:
    longer = replace(a_shoe(height_raise={"on_sole_heel_mm": 22.0}), side=Side.RIGHT)
    left, right = cut_aways_of({Side.LEFT: a_shoe(), Side.RIGHT: longer})
    boxes = [re.search(r'viewBox="([^"]*)"', each.svg) for each in (left, right)]
    assert len({box[1].split()[2] for box in boxes if box}) == 1


# Each part where it belongs, and nothing else ------------------------------------------------------------------------

NOTHING: dict[str, Any] = dict.fromkeys(
    ("upper", "stiffener", "toe_puff", "insole", "shank", "carbon_zone", "sole", "heel", "rocker", "height_raise")
)


def test_nothing_is_drawn_of_a_prescription_that_says_nothing_but_the_last() -> None:
    shown = [kinds(view) for view in views_of(a_shoe(**NOTHING)).all]
    assert shown == [{"form"}] * 4


PARTS: list[tuple[dict[str, Any], str, tuple[bool, bool, bool, bool]]] = [
    ({"cushions": (a_cushion("forepart"),)}, "cushion", (True, True, True, False)),
    ({"cushions": (a_cushion("heel"),)}, "cushion", (True, True, True, False)),
    ({"metatarsal_supports": (a_bar(),)}, "support", (True, True, True, False)),
    ({"carbon_zone": {}}, "carbon", (True, True, True, False)),
    ({"height_raise": {"on_sole_heel_mm": 20.0}}, "raise", (True, True, False, True)),
    ({"height_raise": {"in_shoe_heel_mm": 8.0}}, "raise", (True, True, False, True)),
    ({"toe_prop": a_toe_prop()}, "toe prop", (True, True, True, False)),
    ({"toe_filler": "cork, 70 mm"}, "toe filler", (True, True, True, False)),
    ({"soft_zones": (a_soft_zone("toes"),)}, "soft zone", (True, True, False, False)),
    ({"soft_zones": (a_soft_zone("1st joint"),)}, "soft zone", (True, False, False, False)),
    ({"soft_zones": (a_soft_zone("lateral ankle"),)}, "soft zone", (False, True, False, False)),
    ({"upper": {"collar_padding_mm": 10.0}}, "collar", (True, True, False, False)),
    ({"insole": {"rear_doubled_mm": 3.0}}, "doubled", (True, True, True, False)),
    ({"insole": {"inlay_heel_mm": 5.0, "inlay_forepart_mm": 4.0}}, "inlay", (True, True, False, False)),
    ({"insole": {"turn_up_medial_mm": 12.0}}, "turned up", (True, False, True, False)),
    ({"insole": {"turn_up_lateral_mm": 12.0}}, "turned up", (False, True, True, False)),
    ({"insole": {"posting_rear_medial_deg": 4.0}}, "posting", (False, False, True, True)),
    ({"wedges": (a_wedge("medial"),)}, "wedge", (True, False, True, True)),
    ({"wedges": (a_wedge("lateral"),)}, "wedge", (False, True, True, True)),
    ({"wedges": (a_wedge("medial", "forefoot"),)}, "wedge", (True, False, True, False)),
    ({"flares": (a_flare("lateral"),)}, "flare", (False, False, True, True)),
    ({"reliefs": (a_relief(),)}, "relief", (True, True, False, True)),
    ({"reliefs": (a_relief(place="lateral side of the heel"),)}, "relief", (False, True, False, True)),
    ({"stiffener": {"lateral_reach": "none", "lateral_reach_mm": None}}, "stiffener", (True, False, True, True)),
]


@pytest.mark.parametrize(("changes", "kind", "where"), PARTS)
def test_a_part_is_drawn_in_the_views_it_belongs_to(
    changes: dict[str, Any], kind: str, where: tuple[bool, ...]
) -> None:
    assert tuple(kind in kinds(view) for view in views_of(a_shoe(**changes)).all) == where


@pytest.mark.parametrize(("changes", "kind"), [(changes, kind) for changes, kind, _ in PARTS if kind != "stiffener"])
def test_a_part_that_is_not_prescribed_is_not_drawn(changes: dict[str, Any], kind: str) -> None:
    assert kind not in set().union(*(kinds(view) for view in views_of(a_shoe()).all))


SIDED: list[tuple[str, Callable[[str], dict[str, Any]]]] = [
    ("wedge", lambda edge: {"wedges": (a_wedge(edge),)}),
    ("turned up", lambda edge: {"insole": {f"turn_up_{edge}_mm": 12.0}}),
    ("posting", lambda edge: {"insole": {f"posting_rear_{edge}_deg": 4.0}}),
]


@pytest.mark.parametrize("edge", ["medial", "lateral"])
@pytest.mark.parametrize(("kind", "changes"), SIDED)
def test_a_part_of_one_side_lies_on_that_side_from_above(
    kind: str, changes: Callable[[str], dict[str, Any]], edge: str
) -> None:
    (shape,) = views_of(a_shoe(**changes(edge))).above.shape(kind)
    middle = shape.points[:, 0].mean()
    assert ("medial" if middle > 0 else "lateral") == edge


STARTS = [
    ("seat front", 0.24 * FORM.length_mm),
    ("mid seat", 0.12 * FORM.length_mm),
    ("back of the seat", 0.03 * FORM.length_mm),
    ("mid waist", (0.24 * FORM.length_mm + FORM.heel_to_joint_mm) / 2),
    ("behind the joint", FORM.heel_to_joint_mm - 12),
    ("25 mm behind the joint", FORM.heel_to_joint_mm - 25),
    ("60 mm from the back of the heel", 60),
    ("where it suits", 0.24 * FORM.length_mm),
]


@pytest.mark.parametrize(("words", "start_mm"), STARTS)
def test_carbon_begins_where_its_words_say_in_the_drawing_and_in_what_is_cut(words: str, start_mm: float) -> None:
    shoe = a_shoe(carbon_zone={"starts": words})
    views = views_of(shoe)
    begins = [
        float(view.shape("carbon")[0].points[:, along].min()) for view, along in ((views.medial, 0), (views.above, 1))
    ]
    cut = dict(cuts_told(shoe, WORKSHOP)["cut_carbon"].sheet.inputs)["From the back of the heel"]
    # From above it keeps 9 mm from the feather edge, at the back of the heel as well.
    assert begins == pytest.approx([start_mm, max(start_mm, 9)], abs=0.1)
    assert cut == f"{start_mm:.0f} to 273 mm"


@pytest.mark.parametrize(
    ("sock", "kinds_of_plan"), [("full length, leather 0.9 mm", set()), ("half", {"sock"}), ("heel", {"sock"})]
)
def test_the_front_of_a_sock_that_is_not_whole_is_drawn(sock: str, kinds_of_plan: set[str]) -> None:
    lines = {each.kind for each in views_of(a_shoe(insole={"sock": sock})).above.lines}
    assert lines & {"sock"} == kinds_of_plan


def test_a_heel_says_what_a_rocker_adds_to_it() -> None:
    shoe = a_shoe(rocker={}, heel={"height_mm": 20})
    (heel,) = views_of(shoe).medial.shape("heel")
    drawn = float(np.ptp(heel.points[:, 1]))
    assert f"at the heel: sole 6, heel 20 + {drawn - 20:.0f} for the rocker" in calls_of(shoe)


# Left and right ------------------------------------------------------------------------------------------------------


def paths_of(svg: str) -> list[list[tuple[float, float]]]:
    """Every outline of a drawing, as points of the page."""
    found = []
    for path in re.findall(r"M[^M\"]*l[^M\"]*", svg):
        numbers = [float(each) for each in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", path)]
        steps = np.cumsum(np.array(numbers).reshape(-1, 2), axis=0)
        found.append([(round(float(x), 1), round(float(y), 1)) for x, y in steps])
    return found


@settings(max_examples=15, deadline=None)
@given(
    medial=st.sampled_from(["short", "medium", "long"]),
    relief=st.sampled_from(["back of the heel", "lateral side", "medial side"]),
    edge=st.sampled_from(["medial", "lateral"]),
    back=st.floats(40, 80),
    degrees=st.floats(0, 8),
)
def test_a_mirrored_prescription_gives_a_mirrored_drawing(
    medial: str, relief: str, edge: str, back: float, degrees: float
) -> None:
    left = a_shoe(
        stiffener={"medial_reach": medial, "medial_reach_mm": None, "back_height_mm": back},
        insole={"posting_rear_medial_deg": degrees or None},
        reliefs=(a_relief(place=relief),),
        wedges=(a_wedge(edge),),
        flares=(a_flare(edge),),
        rocker={},
    )
    one, other = paths_of(drawn(left)), paths_of(drawn(mirrored(left)))
    width = width_for([views_of(left)])
    turned = [[(width - x, y) for x, y in path] for path in other]
    assert len(one) > 30
    worst = max(
        abs(a - b)
        for path, back_path in zip(one, turned, strict=True)
        for p, q in zip(path, back_path, strict=False)
        for a, b in zip(p, q, strict=True)
    )
    assert worst < 0.25


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
def test_left_or_right_and_medial_or_lateral_stand_in_every_view(side: Side) -> None:
    words = [says for _, _, says in SVG.findall(drawn(replace(a_shoe(), side=side)))]
    titles = [f"{side.label}, {view}" for view in ("MEDIAL side", "LATERAL side", "from above, toes up", "from behind")]
    assert [each for each in words if each.startswith(side.label)] == titles


@pytest.mark.parametrize(("side", "order"), [(Side.LEFT, ["LATERAL", "MEDIAL"]), (Side.RIGHT, ["MEDIAL", "LATERAL"])])
def test_medial_of_left_lies_to_the_right_of_the_page_and_of_right_to_the_left(side: Side, order: list[str]) -> None:
    texts = SVG.findall(drawn(replace(a_shoe(), side=side)))
    level = max(float(y) for _, y, says in texts if says in order and float(y) < 10**4)
    over_plan = min(float(y) for _, y, says in texts if says in order)
    assert level >= over_plan
    found = sorted((float(x), says) for x, y, says in texts if says in order and float(y) == over_plan)
    assert [says for _, says in found] == order


# Words -----------------------------------------------------------------------------------------------------------


def views_called(shoe: Shoe) -> Views:
    return views_of(shoe)


def calls_of(shoe: Shoe) -> set[str]:
    return {call.says for view in views_called(shoe).all for call in view.calls}


def test_every_part_is_called_by_name_with_its_measures() -> None:
    shoe = a_shoe(carbon_zone={}, rocker={}, metatarsal_supports=(a_bar(),), insole={"scoured_to_mm": 0.5})
    assert {
        "medial reach medium 133 mm",
        "lateral reach medium 116 mm",
        "toe puff standard 57 mm, depth + 6",
        "scoured to 0.5 mm",
        "bar 6 mm high, crest 8 mm behind the joint line".replace("8 mm", "8"),
        "carbon 5 plies, from seat front, ends 12 before the toe",
        "shank steel 15 × 1.2, ends 12 behind the joint line",
    } - calls_of(shoe) == set()


def test_a_reach_whose_millimetres_nobody_said_has_none() -> None:
    shoe = a_shoe(stiffener={"medial_reach_mm": None})
    assert "medial reach medium (mm not said)" in calls_of(shoe)


def test_words_of_a_material_are_escaped() -> None:
    assert "<script>" not in drawn(a_shoe(shank={"material": "<script>"}))


def test_a_drawing_carries_no_style_of_its_own() -> None:
    assert re.findall(r"style=|<style|\son\w+=", drawn(a_shoe(carbon_zone={}, rocker={}))) == []


def test_names_of_patterns_are_those_of_the_page_and_foot() -> None:
    names = re.findall(
        r' id="([^"]*)"',
        "".join(
            each.svg for each in cut_aways_of({Side.LEFT: a_shoe(), Side.RIGHT: mirrored(a_shoe())}, prefix="before")
        ),
    )
    assert len(names) == len(set(names))
    assert all(each.startswith("before-") for each in names)


def test_kinds_are_told_apart_by_pattern() -> None:
    """Every filled part but the solid shank and the white upper has a tile of its own."""
    from cases.prescriptions.cut_away.fillings import KINDS

    tiles = [each.tile[2] for each in KINDS.values() if each.tile]
    assert len(tiles) == len(set(tiles))


def test_a_foot_that_did_not_change_is_not_drawn_again() -> None:
    right = mirrored(a_shoe())
    before, after = (
        cut_aways_of({Side.LEFT: left, Side.RIGHT: right})
        for left in (a_shoe(), a_shoe(shank={"front_end_behind_joint_mm": 14}))
    )
    assert (before[0].svg is after[0].svg, before[1].svg is after[1].svg) == (False, True)


def test_an_ordinary_drawing_is_light() -> None:
    assert len(drawn(a_shoe()).encode()) < MOST_BYTES


def test_a_form_that_cannot_be_drawn_is_said_and_the_other_foot_is_drawn() -> None:
    bad = replace(a_shoe(), form=replace(FORM, toe_depth_mm=90))
    left, right = cut_aways_of({Side.LEFT: bad, Side.RIGHT: mirrored(a_shoe())})
    assert (left.svg, left.not_drawn, bool(right.svg)) == (
        "",
        "instep_height_mm is 68 mm; allowed is more than the toe depth 90",
        True,
    )


# Two versions --------------------------------------------------------------------------------------------------------


def test_what_changed_between_two_versions_is_known_by_part() -> None:
    assert changed_parts(a_shoe(), a_shoe(stiffener={"lateral_reach": "short"}, flares=(a_flare(),))) == {
        "stiffener",
        "flares",
    }


def test_a_changed_part_is_marked_by_a_sign_and_a_heavy_line() -> None:
    svg = drawn(a_shoe(), changed={Side.LEFT: {"toe_puff"}})
    assert "▲" in svg
    assert re.search(r'<path fill="url\(#cut-left-puff\)" stroke-width="2"', svg)
