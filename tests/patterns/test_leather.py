"""What the leather must be, and its hours. Which part of the hide: common practice, no source."""

from dataclasses import replace

import pytest

from cases.patterns.drafting.pieces import Piece
from cases.patterns.leather import Hours, leather_of
from shared.sides import SIDES, Side
from tests.patterns.test_cutting import square

HOURS = Hours(
    soak_thin_minutes=10,
    soak_thick_hours_least=1,
    soak_thick_hours_most=12,
    soak_thick_from_mm=3,
    mellow_minutes=30,
    dry_stiffener_hours_least=24,
    dry_stiffener_hours_most=48,
    dry_puff_hours_least=12,
    dry_puff_hours_most=24,
    dry_insole_hours_least=24,
    dry_insole_hours_most=48,
    drying_season_factor=1.0,
)


def cut_from(key: str, *, side: Side = Side.LEFT, thickness_mm: float | None = 2.8, material: str = "belly") -> Piece:
    return Piece(
        key=key,
        part=key,
        name=key,
        serves=(side,),
        material=material,
        thickness_mm=thickness_mm,
        outline=square(),
    )


@pytest.mark.parametrize(
    ("key", "hide", "grain"),
    [("stiffener", "belly", "outward"), ("toe_puff", "belly", "outward"), ("insole", "shoulder", "to the foot")],
)
def test_each_part_comes_from_its_place_in_the_hide(key: str, hide: str, grain: str) -> None:
    line = leather_of([cut_from(key)], HOURS)[0]
    assert (line.cut_from.split(",")[0].split(";")[0], grain in line.grain) == (hide, True)


def test_both_feet_of_one_thickness_are_one_line() -> None:
    lines = leather_of([cut_from("stiffener", side=Side.RIGHT), cut_from("stiffener")], HOURS)
    assert [line.sides for line in lines] == [SIDES]


@pytest.mark.parametrize(
    ("thickness_mm", "soak"), [(2.9, "10 min"), (3.0, "1 to 12 h"), (None, "thickness not said: feel it")]
)
def test_thin_leather_soaks_minutes_and_thick_leather_hours(thickness_mm: float | None, soak: str) -> None:
    assert leather_of([cut_from("insole", thickness_mm=thickness_mm)], HOURS)[0].soak == soak


def test_what_is_split_first_soaks_as_it_is_split() -> None:
    piece = replace(cut_from("insole", thickness_mm=5.0), split_to_mm=2.5)
    assert leather_of([piece], HOURS)[0].soak == "10 min"


def test_thicknesses_that_soak_alike_stand_on_one_line() -> None:
    pieces = [cut_from("toe_puff", thickness_mm=thick) for thick in (2.1, 1.2, 1.6, 1.2)]
    assert [line.thickness for line in leather_of(pieces, HOURS)] == ["1.2 mm, 1.6 mm, 2.1 mm"]


def test_what_is_split_first_says_so() -> None:
    piece = replace(cut_from("insole", thickness_mm=5.0), split_to_mm=4.0)
    assert leather_of([piece], HOURS)[0].thickness == "5 mm split to 4 mm"


def test_damp_weather_makes_drying_longer() -> None:
    damp = replace(HOURS, drying_season_factor=1.5)
    assert leather_of([cut_from("toe_puff")], damp)[0].dry == "18 to 36 h"


@pytest.mark.parametrize("material", ["thermoplastic sheet", "leather board", "carbon", "EVA"])
def test_what_is_no_leather_is_not_soaked(material: str) -> None:
    assert leather_of([cut_from("stiffener", material=material)], HOURS) == ()


def test_what_is_not_worked_wet_is_not_on_the_sheet() -> None:
    assert leather_of([cut_from("sock")], HOURS) == ()
