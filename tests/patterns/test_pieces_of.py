"""All pieces of a pair: adjusted before and after they are drafted, and those that serve either foot put together."""

from dataclasses import replace

import pytest

from cases.bench.checks_asked import PART_WORDS
from cases.patterns.drafting.changes import (
    FIGURE,
    FIGURES,
    Changes,
    FigureChange,
    PointShift,
    figures_of,
    shift_differs,
)
from cases.patterns.drafting.parts import checked_as, cut_as
from cases.patterns.drafting.pieces_of import Drafted, pieces_of
from cases.prescriptions.shoe import Shoe
from shared.sides import SIDES, Edge, Side
from tests.patterns.figures import STARTING
from tests.prescriptions.twelve import TWELVE
from workshop.figures.settings_table import SETTINGS

TOLERANCES = {name: float(SETTINGS[name].value) for name in SETTINGS if name.startswith("tolerance_")}


def shoes_named(name: str) -> dict[Side, Shoe]:
    return dict(TWELVE[name])


def drafted(name: str, **changes: object) -> Drafted:
    return pieces_of(shoes_named(name), STARTING, Changes(**changes))  # type: ignore[arg-type]


def figure_now(name: str, key: str, side: Side = Side.LEFT) -> float:
    now = FIGURE[key].now(shoes_named(name)[side])
    assert now is not None
    return now


def keys(found: Drafted, side: Side) -> set[str]:
    return {piece.key for piece in found.of(side)}


@pytest.mark.parametrize("name", list(TWELVE))
def test_all_twelve_prescriptions_are_drafted_whole(name: str) -> None:
    assert drafted(name).not_drafted == ()


@pytest.mark.parametrize("name", list(TWELVE))
def test_every_piece_is_of_one_foot_or_of_both(name: str) -> None:
    assert {piece.serves for piece in drafted(name).pieces} <= {(Side.LEFT,), (Side.RIGHT,), SIDES}


@pytest.mark.parametrize("name", list(TWELVE))
def test_no_foot_has_a_piece_twice(name: str) -> None:
    for side in SIDES:
        of_foot = [piece.key for piece in drafted(name).of(side)]
        assert len(of_foot) == len(set(of_foot))


def test_short_stiffeners_of_equal_lasts_serve_either_foot() -> None:
    found = drafted("04-metatarsalgia")
    assert [piece.serves for piece in found.pieces if piece.key == "stiffener"] == [SIDES]


def test_of_unequal_feet_each_has_its_own() -> None:
    shoes = shoes_named("04-metatarsalgia")
    shoes[Side.RIGHT] = FIGURE["back-height"].put(shoes[Side.RIGHT], figure_now("04-metatarsalgia", "back-height") + 3)
    found = pieces_of(shoes, STARTING)
    assert [piece.serves for piece in found.pieces if piece.key == "stiffener"] == [(Side.LEFT,), (Side.RIGHT,)]


def test_of_unequal_leather_each_foot_has_its_own() -> None:
    shoes = shoes_named("04-metatarsalgia")
    right = shoes[Side.RIGHT]
    assert right.stiffener is not None
    shoes[Side.RIGHT] = replace(right, stiffener=replace(right.stiffener, thickness_mm=3.5))
    found = pieces_of(shoes, STARTING)
    assert [piece.serves for piece in found.pieces if piece.key == "stiffener"] == [(Side.LEFT,), (Side.RIGHT,)]


def test_a_single_shoe_has_its_own_piece() -> None:
    only = {Side.RIGHT: shoes_named("04-metatarsalgia")[Side.RIGHT]}
    found = pieces_of(only, STARTING)
    assert [piece.serves for piece in found.pieces if piece.key == "stiffener"] == [(Side.RIGHT,)]


def test_a_shifted_piece_serves_its_own_foot() -> None:
    shift = PointShift(Side.LEFT, "stiffener", "medial_end", 2.0, 0.0)
    found = drafted("04-metatarsalgia", shifts=(shift,))
    assert [piece.serves for piece in found.pieces if piece.key == "stiffener"] == [(Side.LEFT,), (Side.RIGHT,)]


def test_a_changed_reach_changes_what_hangs_on_it() -> None:
    now = figure_now("01-collapsed-arch", "medial-reach")
    change = FigureChange(Side.LEFT, "medial-reach", now, now - 20)
    piece = drafted("01-collapsed-arch", figures=(change,)).piece(Side.LEFT, "stiffener")
    assert piece is not None
    assert dict(piece.facts)["medial reach"] == pytest.approx(now - 20)


def test_a_changed_figure_is_said_on_the_piece_it_is_changed_on() -> None:
    now = figure_now("01-collapsed-arch", "medial-reach")
    change = FigureChange(Side.LEFT, "medial-reach", now, now - 20)
    found = drafted("01-collapsed-arch", figures=(change,))
    said = [(piece.key, piece.serves) for piece in found.pieces if any("adjusted" in words for words in piece.words)]
    assert said == [("stiffener", (Side.LEFT,))]


def test_a_shifted_point_is_said_on_its_piece() -> None:
    shift = PointShift(Side.LEFT, "insole", "toe_tip", 0.0, 2.0)
    piece = drafted("01-collapsed-arch", shifts=(shift,)).piece(Side.LEFT, "insole")
    assert piece is not None
    assert piece.words[-1] == "adjusted: tip of the toe shifted"


def test_a_change_from_another_figure_than_is_prescribed_lapses() -> None:
    now = figure_now("01-collapsed-arch", "medial-reach")
    change = FigureChange(Side.LEFT, "medial-reach", now + 1, now - 20)
    found = drafted("01-collapsed-arch", figures=(change,))
    assert (found.lapsed, found.shoes) == ((change,), shoes_named("01-collapsed-arch"))


@pytest.mark.parametrize(("piece", "point"), [("stiffener", "no-such-point"), ("no-such-piece", "toe_tip")])
def test_a_shift_of_what_is_not_there_is_lost(piece: str, point: str) -> None:
    shift = PointShift(Side.LEFT, piece, point, 1.0, 0.0)
    assert drafted("01-collapsed-arch", shifts=(shift,)).lost == (shift,)


def test_what_is_cut_by_an_own_template_is_left_out_on_that_foot() -> None:
    found = drafted("03-stiff-big-toe", own=frozenset({(Side.RIGHT, "carbon_plies")}))
    assert ({key for key in keys(found, Side.RIGHT) if key.startswith("carbon")}, len(found.left_out)) == (set(), 5)


def test_an_own_template_of_the_insole_leaves_its_sock() -> None:
    found = drafted("01-collapsed-arch", own=frozenset({(Side.LEFT, "insole")}))
    assert keys(found, Side.LEFT) & {"insole", "sock"} == {"sock"}


def test_what_cannot_be_drafted_is_said_and_the_rest_is_cut() -> None:
    now = figure_now("01-collapsed-arch", "medial-reach")
    change = FigureChange(Side.LEFT, "medial-reach", now, 390.0)
    found = drafted("01-collapsed-arch", figures=(change,))
    assert ([(each.side, each.name) for each in found.not_drafted], "insole" in keys(found, Side.LEFT)) == (
        [(Side.LEFT, "stiffener")],
        True,
    )


@pytest.mark.parametrize("name", list(TWELVE))
def test_every_figure_that_is_put_is_read_back(name: str) -> None:
    for shoe in shoes_named(name).values():
        for figure in FIGURES:
            now = figure.now(shoe)
            if now is not None:
                assert figure.now(figure.put(shoe, now + 1)) == pytest.approx(now + 1)


@pytest.mark.parametrize("name", list(TWELVE))
def test_what_is_cut_as_prescribed_never_differs(name: str) -> None:
    for shoe in shoes_named(name).values():
        for piece in ("stiffener", "toe_puff", "insole", "shank"):
            for figure, mm in figures_of(shoe, piece=piece):
                if figure.key != "shank-behind-joint":
                    assert not figure.differs(shoe, mm, mm, TOLERANCES)


@pytest.mark.parametrize(
    ("key", "was", "mm", "differs"),
    [
        ("medial-reach", 130, 133, False),
        ("medial-reach", 130, 133.5, True),
        ("back-height", 50, 48, False),
        ("back-height", 50, 47.5, True),
        ("puff-length", 56, 59, False),
        ("puff-length", 56, 52.5, True),
        ("turn-up-medial", 12, 14, False),
        ("turn-up-medial", 12, 14.5, True),
        ("scoured-rim", 11, 9, False),
        ("scoured-rim", 11, 8.5, True),
        ("shank-behind-joint", 12, 8, False),
        ("shank-behind-joint", 12, 7.5, True),
        ("shank-behind-joint", 12, 17.5, True),
    ],
)
def test_a_figure_differs_beyond_the_tolerance_of_its_check(key: str, was: float, mm: float, differs: bool) -> None:  # noqa: FBT001
    """The tolerances of the part checks are from memory."""
    shoe = shoes_named("01-collapsed-arch")[Side.LEFT]
    assert FIGURE[key].differs(shoe, was, mm, TOLERANCES) is differs


def test_a_longer_reach_never_comes_nearer_to_the_joint_than_its_check_lets_pass() -> None:
    shoe = shoes_named("01-collapsed-arch")[Side.LEFT]
    joint = shoe.form.arc_mm(Edge.MEDIAL)
    assert FIGURE["medial-reach"].differs(shoe, joint - 10, joint - 7.5, TOLERANCES)


@pytest.mark.parametrize(
    ("part", "medial_mm", "along_mm", "differs"),
    [
        ("stiffener", 3, 2, False),
        ("stiffener", 3.5, 0, True),
        ("stiffener", 0, -2.5, True),
        ("insole", -5, 5, False),
        ("insole", 0, 5.5, True),
    ],
)
def test_a_point_differs_beyond_the_tolerance_of_its_part(
    part: str,
    medial_mm: float,
    along_mm: float,
    differs: bool,  # noqa: FBT001
) -> None:
    assert shift_differs(part, medial_mm=medial_mm, along_mm=along_mm, tolerances=TOLERANCES) is differs


def test_every_piece_is_checked_as_a_part_that_the_bench_knows() -> None:
    pieces = [piece for name in TWELVE for piece in drafted(name).pieces]
    assert {checked_as(piece) for piece in pieces} <= set(PART_WORDS)


@pytest.mark.parametrize(
    ("name", "key", "cut"),
    [("03-stiff-big-toe", "carbon_ply_2", "carbon_plies"), ("09-shorter-leg", "heel_lift", "heel_lift")],
)
def test_layers_are_one_template_and_a_lift_in_the_shoe_is_another(name: str, key: str, cut: str) -> None:
    piece = next(piece for piece in drafted(name).pieces if piece.key == key)
    assert cut_as(piece) == cut
