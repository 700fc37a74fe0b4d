"""Weights by hand: a part, a skived part, and a whole shoe summed apart from the program."""

import math
from dataclasses import asdict, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.panel import WEIGHT_SETTINGS
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.weight import Density, ShoeWeight, density_for, of_volume, part_weight, to_ten, together
from cases.prescriptions.weight_of_shoe import WeightFigures, weight_of_shoe
from shared.calculations import BadInput
from tests.prescriptions.shoes import ORDINARY, a_bar, a_cushion, a_shoe, a_toe_prop
from workshop.figures.materials_table import MATERIALS
from workshop.figures.settings_table import SETTINGS

TABLE = {each.name: Density(each.name, each.kind, each.low, each.high) for each in MATERIALS}
FIGURES = WeightFigures()


def weighed(shoe: Shoe = ORDINARY) -> ShoeWeight:
    return weight_of_shoe(shoe, densities=TABLE, figures=FIGURES)


def grams(shoe: Shoe, words: str) -> float:
    return sum(part.middle_g for part in weighed(shoe).parts if part.words == words)


def test_a_part_weighs_its_volume_times_its_density() -> None:
    """200 cm² × 0.28 cm × 0.9 g/cm³ = 50.4 g, by hand."""
    found = part_weight(area_cm2=200, thickness_mm=2.8, density_kg_m3=900)
    assert found.weight_g == pytest.approx(50.4)


def test_over_a_skive_to_nothing_the_mean_thickness_is_half() -> None:
    """40 of 200 cm² skived: (200 − 20) × 0.28 × 0.9 = 45.36 g, by hand."""
    found = part_weight(area_cm2=200, thickness_mm=2.8, density_kg_m3=900, skived_area_cm2=40)
    assert found.weight_g == pytest.approx(45.36)


@given(st.floats(0, 1000), st.floats(0, 20), st.floats(100, 2000), st.floats(0, 50), st.floats(0, 2))
def test_more_of_a_part_never_weighs_less(
    area: float, thick: float, density: float, more: float, thicker: float
) -> None:
    less = part_weight(area_cm2=area, thickness_mm=thick, density_kg_m3=density).weight_g
    assert part_weight(area_cm2=area + more, thickness_mm=thick + thicker, density_kg_m3=density).weight_g >= less


def test_a_part_that_cannot_be_is_refused_in_a_sentence() -> None:
    with pytest.raises(BadInput) as refused:
        part_weight(area_cm2=200, thickness_mm=2, density_kg_m3=900, skived_area_cm2=300)
    assert str(refused.value) == "skived_area_cm2 is 300 cm²; allowed is 0 to 200 cm²"


def test_steel_by_hand() -> None:
    """A shank 15 × 1.2 mm from 25 in the seat to 12 behind a joint line at 191.1: 154.1 mm, 2.774 cm³ × 7.85 = 21.8 g."""
    assert grams(ORDINARY, "shank") == pytest.approx(21.77, abs=0.01)


def test_a_cushion_by_hand() -> None:
    """A heel cushion of 60 mm across and 4 mm: 28.27 cm² × 0.4 × 0.26 = 2.94 g."""
    assert grams(a_shoe(cushions=(a_cushion("heel"),)), "cushion, heel") == pytest.approx(2.94, abs=0.005)


def test_a_bar_by_hand() -> None:
    """15 × 80 × 6 mm with the hump's share of 0.55: 3.96 cm³ × 0.26 = 1.03 g."""
    assert grams(a_shoe(metatarsal_supports=(a_bar(),)), "bar") == pytest.approx(1.03, abs=0.005)


def test_a_toe_prop_by_hand() -> None:
    """Three toes of five across 100 mm, 20 mm long, 6 mm high, the hump's share of 0.55: 3.96 cm³ × 0.26 = 1.03 g."""
    assert grams(a_shoe(toe_prop=a_toe_prop()), "toe prop") == pytest.approx(1.03, abs=0.005)


def test_an_insole_by_hand() -> None:
    """The plan's area by the geometry library, 4.2 mm of shoulder at 0.95 g/cm³."""
    expected = ORDINARY.form.outline.area_cm2 * 0.42 * 0.95
    assert grams(ORDINARY, "insole") == pytest.approx(expected, rel=0.005)


def test_five_plies_of_carbon_by_hand() -> None:
    """Of the plan from the seat's front to 12 mm from the toe, 9 mm short all round: × 1.4 mm × 1.40 g/cm³."""
    import shapely

    outline = ORDINARY.form.outline.polygon
    slices = [
        outline.intersection(shapely.LineString([(x, -200), (x, 200)])).length - 18
        for x in (0.24 * 285 + (273 - 0.24 * 285) * (step + 0.5) / 400 for step in range(400))
    ]
    area_cm2 = sum(max(each, 0) for each in slices) / 400 * (273 - 0.24 * 285) / 100
    assert grams(a_shoe(carbon_zone={}, rocker={}), "carbon") == pytest.approx(area_cm2 * 0.14 * 1.40, rel=0.01)


# What nobody prescribed -----------------------------------------------------------------------------------------------


def test_every_figure_of_an_estimate_begins_as_the_setting_that_fills_it() -> None:
    assert {name: float(SETTINGS[setting].value) for name, setting in WEIGHT_SETTINGS.items()} == asdict(FIGURES)


def of(shoe: Shoe, words: str, **figures: float) -> float:
    """The volume of a part with other figures of the workshop, cm³."""
    found = weight_of_shoe(shoe, densities=TABLE, figures=replace(FIGURES, **figures))
    return sum(part.volume_cm3 for part in found.parts if part.words == words)


SCOURED = a_shoe(insole={"scoured_to_mm": 0.5}, cushions=(a_cushion(),))
FILLED: list[tuple[str, Shoe, str, float, float]] = [
    ("stiffener_skive_top_mm", ORDINARY, "stiffener", 17.0, -249 * 2 / 2 * 0.0028),
    ("stiffener_skive_ends_mm", ORDINARY, "stiffener", 27.0, -2 * 2 * 41.6 / 2 * 0.0028),
    (
        "stiffener_skive_long_ends_mm",
        a_shoe(stiffener={"medial_reach": "long"}),
        "stiffener",
        32.0,
        -2 * 41.6 / 2 * 0.0028,
    ),
    ("upper_margin_mm", ORDINARY, "upper", 19.0, 0.0016 * ORDINARY.form.outline.perimeter_mm),
    (
        "boot_margin_mm",
        a_shoe(upper={"height": "high boot"}),
        "upper",
        21.0,
        0.0016 * ORDINARY.form.outline.perimeter_mm,
    ),
    ("lining_margin_mm", ORDINARY, "lining", 17.0, 0.0012 * ORDINARY.form.outline.perimeter_mm),
    ("heel_cushion_mm", a_shoe(cushions=(a_cushion("heel"),)), "cushion, heel", 50.0, -math.pi * (3**2 - 2.5**2) * 0.4),
]


@pytest.mark.parametrize(("name", "shoe", "words", "value", "more_cm3"), FILLED, ids=[each[0] for each in FILLED])
def test_an_estimate_follows_the_workshops_own_figures(
    name: str, shoe: Shoe, words: str, value: float, more_cm3: float
) -> None:
    """By hand: a band of 249 mm, 41.6 mm high at its ends on the mean, 2.8 mm thick."""
    assert of(shoe, words, **{name: value}) - of(shoe, words) == pytest.approx(more_cm3, abs=0.001)


@pytest.mark.parametrize(
    ("name", "shoe", "words"),
    [
        ("scoured_rim_mm", SCOURED, "cushion, forepart"),
        ("carbon_edge_mm", a_shoe(carbon_zone={}, rocker={}), "carbon"),
        ("doubled_behind_joint_mm", a_shoe(insole={"rear_doubled_mm": 3}), "doubled rear"),
    ],
)
def test_further_within_the_edge_there_is_less_of_a_part(name: str, shoe: Shoe, words: str) -> None:
    assert of(shoe, words, **{name: 25.0}) < of(shoe, words)


@pytest.mark.parametrize("name", ["puff_margin_mm", "puff_wall_mm", "puff_wall_fade_mm"])
def test_a_broader_wall_or_margin_makes_more_of_a_puff(name: str) -> None:
    wall = a_shoe(toe_puff={"kind": "wall"})
    assert of(wall, "toe puff", **{name: 20.0}) > of(wall, "toe puff")


@pytest.mark.parametrize("leather", ["calf", "calf, chrome-free", "goat"])
def test_the_leather_of_an_upper_is_never_weighed_as_a_lining(leather: str) -> None:
    (upper,) = (part for part in weighed(a_shoe(upper={"leather": leather})).parts if part.words == "upper")
    assert upper.material == "bovine upper leather, 1.2 to 2.0 mm"


@pytest.mark.parametrize("sock", ["", "none"])
def test_a_sock_that_is_not_prescribed_weighs_nothing(sock: str) -> None:
    assert of(a_shoe(insole={"sock": sock}), "sock") == 0


def test_a_heel_sock_weighs_less_than_a_half_one_and_that_less_than_a_whole_one() -> None:
    heel, half, whole = (of(a_shoe(insole={"sock": sock}), "sock") for sock in ("heel, leather", "half", "full"))
    assert 0 < heel < half < whole


def test_a_whole_shoe_is_the_sum_of_its_parts() -> None:
    found = weighed()
    assert found.middle_g == pytest.approx(math.fsum(part.middle_g for part in found.parts))


def test_the_range_is_never_narrower_than_the_workshops_own() -> None:
    steel = together([of_volume("shank", 10, TABLE["steel"])], range_part=0.18)
    assert (steel.low_g / steel.middle_g, steel.high_g / steel.middle_g) == pytest.approx((0.82, 1.18))


def test_the_estimate_is_read_to_ten_grams() -> None:
    assert (to_ten(614), to_ten(616), weighed().workings.result.startswith("about ")) == (610, 620, True)


@pytest.mark.parametrize(
    ("shoe", "least", "most"),
    [
        (ORDINARY, 420, 620),
        (a_shoe(construction="moccasin", shank=None, toe_puff={"kind": "none"}, upper={"height": "court"}), 300, 480),
        (
            a_shoe(
                upper={"height": "ankle boot"}, sole={"material": "solid rubber"}, heel={"material": "solid rubber"}
            ),
            560,
            850,
        ),
    ],
    ids=["laced low, about EU 42", "slip-on", "ankle boot on solid rubber"],
)
def test_an_ordinary_pair_weighs_what_such_pairs_weigh(shoe: Shoe, least: float, most: float) -> None:
    """Low laced 450 to 620, slip-on 300 to 420, ankle boot 600 to 850 g at EU 42: from memory, so with some room."""
    assert least <= weighed(shoe).middle_g <= most


MORE: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "carbon": ({"rocker": {}}, {"rocker": {}, "carbon_zone": {}}),
    "a raise": ({}, {"height_raise": {"on_sole_heel_mm": 20, "on_sole_ball_mm": 15, "on_sole_toe_mm": 6}}),
    "a doubled rear": ({}, {"insole": {"rear_doubled_mm": 3}}),
    "a longer stiffener": ({}, {"stiffener": {"medial_reach_mm": 180}}),
    "a thicker stiffener": ({}, {"stiffener": {"thickness_mm": 3.5}}),
    "a thicker sole": ({}, {"sole": {"thickness_mm": 10}}),
    "a second shank": ({}, {"shank": {"count": 2}}),
    "a heel cushion": ({}, {"cushions": (a_cushion("heel"),)}),
    "a bar": ({}, {"metatarsal_supports": (a_bar(),)}),
    "a toe prop": ({}, {"toe_prop": a_toe_prop()}),
    "a toe prop under more toes": ({"toe_prop": a_toe_prop("2")}, {"toe_prop": a_toe_prop("2-5")}),
    "a boot": ({}, {"upper": {"height": "ankle boot"}}),
    "a steeper rocker": ({"rocker": {}}, {"rocker": {"angle_deg": 20}}),
}


@pytest.mark.parametrize(("less", "more"), MORE.values(), ids=list(MORE))
def test_more_of_anything_weighs_more(less: dict[str, Any], more: dict[str, Any]) -> None:
    assert weighed(a_shoe(**more)).middle_g > weighed(a_shoe(**less)).middle_g


@pytest.mark.parametrize(("heel_mm", "cm3"), [(22, 94.4), (33, 141.5)])
def test_a_heel_weighs_by_the_height_it_is_prescribed_at(heel_mm: float, cm3: float) -> None:
    """On a plan of 43.7 cm² behind the breast, nearly as high to its front: half as high again weighs half as much more."""
    raised = a_shoe(heel={"height_mm": heel_mm}, height_raise={"on_sole_heel_mm": 20, "on_sole_ball_mm": 10})
    assert grams(raised, "heel") == pytest.approx(cm3 * 0.475, rel=0.005)


def test_a_raise_of_twenty_millimetres_weighs_what_the_bench_expects() -> None:
    """60 to 110 g for a light 20 mm raise, from memory."""
    raised = a_shoe(height_raise={"on_sole_heel_mm": 20, "on_sole_ball_mm": 16, "on_sole_toe_mm": 8})
    assert 50 <= weighed(raised).middle_g - weighed().middle_g <= 110


@pytest.mark.parametrize(
    ("said", "otherwise", "found"),
    [
        ("microcellular rubber", "sole bend", "microcellular rubber soling"),
        ("polyurethane", "microcellular rubber soling", "polyurethane soling"),
        ("EVA light", "EVA foam, medium", "EVA foam, medium"),
        ("", "sole bend", "sole bend"),
        ("moon rock", "sole bend", "sole bend"),
        ("vegetable-tanned leather", "lining leather, calf or goat", "lining leather, calf or goat"),
    ],
)
def test_a_material_is_understood_as_it_was_written(said: str, otherwise: str, found: str) -> None:
    assert density_for(said, otherwise=otherwise, table=TABLE).material == found


def test_parts_that_weigh_nothing_are_left_out() -> None:
    steel = TABLE["steel"]
    found = together([of_volume("a", 0, steel), of_volume("b", 1, steel)], range_part=0.18)
    assert [part.words for part in found.parts] == ["b"]


def test_the_same_shoe_of_the_other_foot_weighs_the_same() -> None:
    from dataclasses import replace

    from shared.sides import Side

    assert weighed(replace(ORDINARY, side=Side.RIGHT)).middle_g == weighed().middle_g
