"""Sizes against worked examples and against what holds for every foot. The source stands beside each check."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.sizes import (
    BARLEYCORN_MM,
    INCH_MM,
    LONGEST_LAST_MM,
    PARIS_POINT_MM,
    SHORTEST_LAST_MM,
    UK_ADULT_ZERO_MM,
    ReadOn,
    UkScale,
    last_length,
    mondopoint,
    sizes_of_foot,
    sizes_of_last,
    spread,
)
from shared.calculations import BadInput
from shared.workings import Status

LASTS = st.floats(min_value=SHORTEST_LAST_MM, max_value=LONGEST_LAST_MM)
FEET = st.floats(min_value=110, max_value=340)
ALLOWANCES = st.floats(min_value=0, max_value=40)


# EU = 1.5 × last length in cm; units: Williams A, Nester C, Footwear and Foot Orthoses, Elsevier 2010, ch. 6.
@pytest.mark.parametrize(("size", "length_mm"), [(36, 240.0), (40, 266.7), (42, 280.0), (45, 300.0)])
def test_an_eu_size_is_two_thirds_of_a_centimetre_of_last(size: int, length_mm: float) -> None:
    assert sizes_of_last(last_length_mm=length_mm).eu == pytest.approx(size, abs=0.01)


# UK adult = 3 × last length in inches − 25; two secondary texts agree.
@pytest.mark.parametrize(("size", "length_mm"), [(4, 245.53), (6, 262.47), (8, 279.40), (13, 321.73)])
def test_a_uk_size_is_a_barleycorn_of_last(size: int, length_mm: float) -> None:
    assert sizes_of_last(last_length_mm=length_mm).uk == pytest.approx(size, abs=0.001)


# Golding FY, The Manufacture of Boots and Shoes, London 1902, "Irregular Gradations": "size 1 (4 1/3 in.)" and
# "size 10 (7 1/3 in.)", both children's.
@pytest.mark.parametrize(("size", "inches_on_the_stick"), [(1, 4 + 1 / 3), (10, 7 + 1 / 3)])
def test_childrens_sizes_stand_on_the_stick_where_golding_has_them(size: int, inches_on_the_stick: float) -> None:
    sizes = sizes_of_last(last_length_mm=inches_on_the_stick * INCH_MM)
    assert (sizes.uk_scale, round(sizes.uk, 6)) == (UkScale.CHILD, size)


# Golding 1902, the lady's foot in repose: foot of size 1 1/2, length allowance of 2 1/2 sizes, last of size 4.
def test_goldings_lady_with_foot_one_and_a_half_gets_a_last_of_size_four() -> None:
    foot_mm, allowance_mm = (25 + 1.5) * BARLEYCORN_MM, 2.5 * BARLEYCORN_MM
    sizes = sizes_of_foot(foot_length_mm=foot_mm, toe_allowance_mm=allowance_mm)
    worked = (round(foot_mm, 1), round(allowance_mm, 2), round(sizes.last_length_mm, 1), round(sizes.uk, 6))
    assert worked == (224.4, 21.17, 245.5, 4.0)


# Arithmetic on the published formulas: one foot of 270 mm, four allowances in use (1 cm, 15 mm, 2 barleycorns, 2 cm).
@pytest.mark.parametrize(
    ("allowance_mm", "last_mm", "eu", "uk", "us_men"),
    [
        (10, 280.00, 42.00, 8.07, 9.07),
        (15, 285.00, 42.75, 8.66, 9.66),
        (2 * BARLEYCORN_MM, 286.93, 43.04, 8.89, 9.89),
        (20, 290.00, 43.50, 9.25, 10.25),
    ],
)
def test_one_foot_finds_itself_in_several_sizes(
    allowance_mm: float, last_mm: float, eu: float, uk: float, us_men: float
) -> None:
    sizes = sizes_of_foot(foot_length_mm=270, toe_allowance_mm=allowance_mm)
    assert [round(each, 2) for each in (sizes.last_length_mm, sizes.eu, sizes.uk, sizes.us_men)] == [
        last_mm,
        eu,
        uk,
        us_men,
    ]


# US women, common scale: 3 × last length in inches − 22.5, so one and a half above men.
def test_a_womans_us_size_is_one_and_a_half_above_a_mans() -> None:
    sizes = sizes_of_last(last_length_mm=260)
    assert sizes.us_women - sizes.us_men == pytest.approx(1.5)


# ISO 9407:2019 as quoted: a foot 280 mm long and 110 mm wide is marked 280/110.
def test_mondopoint_is_printed_without_a_unit() -> None:
    assert mondopoint(foot_length_mm=280, foot_width_mm=110).designation == "280/110"


# PD ISO/TS 19407:2015, explanatory notes: intervals of 5 mm, or 7.5 mm for specialised footwear, starting at zero.
@pytest.mark.parametrize(("interval_mm", "designation"), [(5.0, "275"), (7.5, "270")])
def test_mondopoint_goes_by_its_interval(interval_mm: float, designation: str) -> None:
    assert mondopoint(foot_length_mm=273, interval_mm=interval_mm).designation == designation


def test_mondopoint_knows_no_other_interval() -> None:
    with pytest.raises(BadInput, match="interval_mm is 6 mm"):
        mondopoint(foot_length_mm=273, interval_mm=6.0)


def test_below_adult_nought_the_childrens_scale_is_used_and_said() -> None:
    sheet = sizes_of_last(last_length_mm=UK_ADULT_ZERO_MM - 0.01).workings[1]
    assert (sheet.name, sheet.result, sheet.cautions) == (
        "UK child size",
        "UK child 13 (read on the last)",
        ("Below adult 0, which is child 13: this is the child scale.",),
    )


def test_at_adult_nought_the_adult_scale_begins() -> None:
    assert sizes_of_last(last_length_mm=UK_ADULT_ZERO_MM).workings[1].result == "UK adult 0 (read on the last)"


def test_every_converted_size_says_the_allowance_and_where_it_is_read() -> None:
    results = [sheet.result for sheet in sizes_of_foot(foot_length_mm=273, toe_allowance_mm=12).workings]
    assert results == [
        "EU 42.8 (read on the last, allowance 12 mm)",
        "UK adult 8.7 (read on the last, allowance 12 mm)",
        "US men 9.7 (read on the last, allowance 12 mm)",
        "US women 11.2 (read on the last, allowance 12 mm)",
    ]


def test_a_measured_last_says_that_no_allowance_was_used() -> None:
    inputs = dict(sizes_of_last(last_length_mm=280).workings[0].inputs)
    assert inputs["Toe allowance"] == "none used: the last itself was measured"


def test_mondopoint_is_read_on_the_foot() -> None:
    assert mondopoint(foot_length_mm=273).read_on is ReadOn.FOOT


def test_a_size_of_a_last_is_read_on_the_last() -> None:
    assert sizes_of_last(last_length_mm=280).read_on is ReadOn.LAST


def test_the_spread_of_one_foot_runs_from_ten_to_twenty_millimetres() -> None:
    assert spread(foot_length_mm=270).workings.result == "EU 42 to 43.5, UK adult 8.1 to UK adult 9.3"


@pytest.mark.parametrize("allowance_mm", [9.9, 20.1])
def test_an_allowance_beyond_the_guideline_is_said(allowance_mm: float) -> None:
    sheet = last_length(foot_length_mm=270, toe_allowance_mm=allowance_mm).workings
    assert sheet.cautions == ("The allowance is not within the 10 to 20 mm of the guideline.",)


def test_an_allowance_within_the_guideline_needs_no_word() -> None:
    assert last_length(foot_length_mm=270, toe_allowance_mm=12).workings.cautions == ()


def test_every_sheet_is_published_and_names_its_source() -> None:
    sheets = [
        last_length(foot_length_mm=270, toe_allowance_mm=12).workings,
        *sizes_of_last(last_length_mm=280).workings,
        spread(foot_length_mm=270).workings,
        mondopoint(foot_length_mm=270).workings,
    ]
    assert {(sheet.status, bool(sheet.source)) for sheet in sheets} == {(Status.PUBLISHED, True)}


@pytest.mark.parametrize("length_mm", [float("nan"), float("inf"), -1.0, 0.0, 101.5, 400.1])
def test_a_last_that_cannot_be_is_refused_by_name(length_mm: float) -> None:
    with pytest.raises(BadInput, match=r"last_length_mm is .* allowed is 101\.6 to 400 mm"):
        sizes_of_last(last_length_mm=length_mm)


@pytest.mark.parametrize("length_mm", [float("nan"), 49.0, 401.0])
def test_a_foot_that_cannot_be_is_refused_by_name(length_mm: float) -> None:
    with pytest.raises(BadInput, match="foot_length_mm"):
        last_length(foot_length_mm=length_mm, toe_allowance_mm=12)


def test_a_width_that_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match="foot_width_mm is 10 mm; allowed is 20 to 200 mm"):
        mondopoint(foot_length_mm=270, foot_width_mm=10)


@given(LASTS, LASTS)
def test_the_longer_last_has_the_greater_eu_size(one: float, other: float) -> None:
    shorter, longer = sorted([one, other])
    assert sizes_of_last(last_length_mm=shorter).eu <= sizes_of_last(last_length_mm=longer).eu


@given(LASTS, LASTS)
def test_within_one_scale_the_longer_last_has_the_greater_uk_size(one: float, other: float) -> None:
    shorter, longer = (sizes_of_last(last_length_mm=length) for length in sorted([one, other]))
    assert shorter.uk <= longer.uk or (shorter.uk_scale, longer.uk_scale) == (UkScale.CHILD, UkScale.ADULT)


# 1 UK size is 1.27 EU sizes: 8.467 mm against 6.667 mm.
@given(st.floats(min_value=UK_ADULT_ZERO_MM, max_value=390), st.floats(min_value=1, max_value=10))
def test_a_uk_step_is_always_the_same_part_of_an_eu_step(length_mm: float, more_mm: float) -> None:
    one, other = sizes_of_last(last_length_mm=length_mm), sizes_of_last(last_length_mm=length_mm + more_mm)
    assert (other.uk - one.uk) / (other.eu - one.eu) == pytest.approx(0.7874, abs=1e-4)


@given(LASTS)
def test_an_eu_size_leads_back_to_its_last(length_mm: float) -> None:
    assert sizes_of_last(last_length_mm=length_mm).eu * PARIS_POINT_MM == pytest.approx(length_mm)


@given(LASTS)
def test_a_uk_size_leads_back_to_its_last(length_mm: float) -> None:
    sizes = sizes_of_last(last_length_mm=length_mm)
    zero_mm = UK_ADULT_ZERO_MM if sizes.uk_scale is UkScale.ADULT else SHORTEST_LAST_MM
    assert zero_mm + sizes.uk * BARLEYCORN_MM == pytest.approx(length_mm)


@given(FEET, ALLOWANCES)
def test_a_last_is_longer_than_its_foot_by_the_allowance(foot_mm: float, allowance_mm: float) -> None:
    last = last_length(foot_length_mm=foot_mm, toe_allowance_mm=allowance_mm)
    assert last.last_length_mm - foot_mm == pytest.approx(allowance_mm, abs=1e-9)


@given(FEET)
def test_mondopoint_is_never_further_from_the_foot_than_half_its_interval(foot_mm: float) -> None:
    assert abs(float(mondopoint(foot_length_mm=foot_mm).designation) - foot_mm) <= 2.5
