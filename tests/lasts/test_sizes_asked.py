"""Sizes, lengths and heels as somebody types them to find a last.

The scales are those of `test_sizes.py`, with their sources there; how far about reaches is from memory.
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.sizes import sizes_of_last
from cases.lasts.sizes_asked import NotASize, read_heel, read_size


@pytest.mark.parametrize(
    ("typed", "least_mm", "most_mm"),
    [
        # EU 42 is 280.0 mm of last, a size 6.667 mm; UK adult 8 is 279.4 mm, a size 8.467 mm.
        ("EU 42", 276.67, 283.33),
        ("eu42", 276.67, 283.33),
        ("EU 42.5", 281.67, 285.0),
        ("EU 42,5", 281.67, 285.0),
        ("UK 8", 275.17, 283.63),
        ("UK 8.5", 281.52, 285.75),
        # UK child 10: 12 barleycorns and 10 more, 186.27 mm.
        ("UK child 10", 182.03, 190.5),
        ("uk 10 child", 182.03, 190.5),
        ("285", 282.5, 287.5),
        ("285,5 mm", 283.0, 288.0),
        ("11 1/4 in", 283.3, 288.3),
        ("280-290", 280, 290),
        ("290 to 280", 280, 290),
        ("280 – 290 mm", 280, 290),
    ],
)
def test_what_is_typed_stands_for_a_range_of_lengths(typed: str, least_mm: float, most_mm: float) -> None:
    asked = read_size(typed)
    assert [asked.least_mm, asked.most_mm] == pytest.approx([least_mm, most_mm], abs=0.01)


@given(st.integers(300, 460))
def test_a_last_is_found_by_the_eu_size_nearest_to_its_length(tenths: int) -> None:
    size = tenths / 10
    length_mm = size * 20 / 3
    asked = read_size(f"EU {round(sizes_of_last(last_length_mm=length_mm).eu)}")
    assert asked.least_mm - 1e-9 <= length_mm <= asked.most_mm + 1e-9


@pytest.mark.parametrize(
    ("typed", "mark", "is_found"),
    [
        ("EU 42", "EU 42", True),
        ("EU 42", "eu42", True),
        ("EU 42", "42", True),
        ("EU 42", "42.0", True),
        ("EU 42", "42.5", False),
        ("EU 42", "142", False),
        ("EU 42", "UK 42", False),
        ("EU 42.5", "42.5", True),
        ("EU 42.5", "4205", False),
        ("UK 8", "UK 8", True),
        ("UK child 8", "UK child 8", True),
        ("UK child 8", "UK 8", False),
    ],
)
def test_a_size_is_found_by_its_mark(typed: str, mark: str, *, is_found: bool) -> None:
    assert (re.search(read_size(typed).marked, mark, re.IGNORECASE) is not None) is is_found


def test_a_length_is_no_mark() -> None:
    assert read_size("285").marked == ""


@pytest.mark.parametrize(
    "typed", ["", "large", "EU", "EU 421", "42", "5000", "EU child 30", "280-", "-5", "280-9000", "²"]
)
def test_what_is_neither_size_nor_length_is_refused_with_a_sentence(typed: str) -> None:
    with pytest.raises(NotASize, match=r"\.$"):
        read_size(typed)


def test_a_heel_is_found_about_what_is_typed() -> None:
    asked = read_heel("20 mm")
    assert (asked.least_mm, asked.most_mm, asked.words) == (17.5, 22.5, "heel about 20 mm")


@pytest.mark.parametrize("typed", ["high", "121", "-3", "20 25"])
def test_what_is_no_heel_is_refused_with_a_sentence(typed: str) -> None:
    with pytest.raises(NotASize, match=r"\.$"):
        read_heel(typed)


@given(st.text(max_size=40))
def test_anything_typed_is_read_or_refused(typed: str) -> None:
    for read in (read_size, read_heel):
        try:
            asked = read(typed)
        except NotASize:
            continue
        assert asked.least_mm <= asked.most_mm
