"""Lengths as they are typed. An inch is 25.4 mm by definition; what is typed in mm stays what it is."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.units import LONGEST_TYPED, NotALength, Unit, inches_as_mm, read_length


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("273", "273"),
        (" 273,5 mm ", "273.5"),
        ("273.5mm", "273.5"),
        ("27.3 cm", "273.0"),
        ("10 3/4 in", "273.1"),
        ('10¾"', "273.1"),
        ("10¾", "273.1"),
        ("10-3/4 in.", "273.1"),
        ("10 3/4″", "273.1"),
        ("10 3⁄4 inches", "273.1"),
        ("7 1/2", "190.5"),
        ("7 1/2''", "190.5"),
        ("1/2", "12.7"),
        ("10.75 in", "273.1"),
        ("10,75 inch", "273.1"),
        ("8 9/32 in", "210.3"),
        ("7 1/3 in", "186.3"),
        ("10in", "254.0"),
        ("0", "0"),
        (".5", "0.5"),
    ],
)
def test_a_length_is_read_in_the_unit_it_carries(typed: str, mm: str) -> None:
    assert read_length(typed).mm == Decimal(mm)


@pytest.mark.parametrize(
    ("typed", "bare", "mm"),
    [
        ("10", Unit.MM, "10"),
        ("10", Unit.INCH, "254.0"),
        ("10.5", Unit.INCH, "266.7"),
        ("273 mm", Unit.INCH, "273"),
        ("10 1/4", Unit.MM, "260.4"),
    ],
)
def test_a_figure_without_a_unit_is_in_that_of_the_page(typed: str, bare: Unit, mm: str) -> None:
    assert read_length(typed, bare=bare).mm == Decimal(mm)


@pytest.mark.parametrize(("typed", "converted"), [("273", False), ("273 mm", False), ("10 3/4", True), ("27 cm", True)])
def test_a_length_says_whether_it_was_converted(typed: str, *, converted: bool) -> None:
    assert read_length(typed).was_converted is converted


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("10 in 5 mm", "Two units stand in one field"),
        ("10in5mm", "Two units stand in one field"),
        ("27 cm 3 mm", "Two units stand in one field"),
        ("in 10", "Something stands behind the unit"),
        ("10 in 3/4", "Something stands behind the unit"),
        ("-273", "A length has no minus"),
        ("−10 3/4 in", "A length has no minus"),
        ("7 1/2 mm", "typed with a decimal point: 273.5"),
        ("10 5/4 in", "The fraction is not a part of an inch"),
        ("10 0/4 in", "The fraction is not a part of an inch"),
        ("10 3/0", "A tape divides an inch into 2 to 64 parts"),
        ("1/1000", "A tape divides an inch into 2 to 64 parts"),
        ("wide", "no length that can be read"),
        ("", "no length that can be read"),
        ("NaN", "no length that can be read"),
        ("1e3", "no length that can be read"),
        ("٢٧٣", "no length that can be read"),
        ("2 7 3", "no length that can be read"),
        ("10' 9", "no length that can be read"),
        ("9" * (LONGEST_TYPED + 1), "too long for a length"),
    ],
)
def test_what_is_no_length_is_refused_with_a_sentence(typed: str, sentence: str) -> None:
    with pytest.raises(NotALength, match=sentence):
        read_length(typed)


PARTS = st.sampled_from([2, 4, 8, 16, 32, 64])


@given(st.integers(0, 58), PARTS, st.data())
def test_inches_with_a_fraction_and_mm_agree_to_the_tenth(whole: int, parts: int, data: st.DataObject) -> None:
    over = data.draw(st.integers(1, parts - 1))
    exact_mm = (whole + Fraction(over, parts)) * Fraction("25.4")
    read = read_length(f"{whole} {over}/{parts} in").mm
    assert abs(Fraction(read) - exact_mm) <= Fraction("0.05")


@given(st.decimals(min_value=0, max_value=1500, places=1))
def test_mm_typed_in_inches_to_four_places_come_back_as_the_same_mm(mm: Decimal) -> None:
    inches = (mm / Decimal("25.4")).quantize(Decimal("0.0001"))
    assert read_length(f"{inches} in").mm == mm


@given(st.decimals(min_value=0, max_value=1500, places=1))
def test_mm_and_cm_agree(mm: Decimal) -> None:
    assert read_length(f"{mm / 10} cm").mm == read_length(f"{mm} mm").mm


@given(st.integers(0, 60), PARTS, st.data())
def test_a_fraction_means_the_same_whether_it_is_cancelled_or_not(whole: int, parts: int, data: st.DataObject) -> None:
    over = data.draw(st.integers(1, parts - 1))
    assert read_length(f"{whole} {over}/{parts}").mm == inches_as_mm(whole + Fraction(over, parts))


@given(st.text(max_size=40))
def test_whatever_is_typed_is_a_length_of_at_least_nothing_or_refused(typed: str) -> None:
    try:
        length = read_length(typed)
    except NotALength:
        return
    assert length.mm >= 0
