"""The registry of what is worked out: what it reads, what it refuses, and in which words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.calculations import BadInput, Calculation, Input, Kind, NameTaken, Output, Worked, by_name

LENGTH = Input("length_mm", "length", example="270")


def calculation(*inputs: Input, name: str = "doubled") -> Calculation:
    return Calculation(
        name=name,
        words="twice the length",
        subject="Examples",
        inputs=inputs,
        outputs=(Output("doubled_mm", "twice"),),
        source="arithmetic",
        work=lambda **values: Worked({"doubled_mm": values["length_mm"] * 2}, ()),
    )


def refusal(wanted: Calculation, typed: dict[str, str]) -> str:
    with pytest.raises(BadInput) as refused:
        wanted.read(typed, figures={})
    return str(refused.value)


@pytest.mark.parametrize(("typed", "read"), [("270", 270.0), (" 270,5 ", 270.5), ("2.7e2", 270.0), ("-3", -3.0)])
def test_a_number_is_read_with_a_comma_or_a_point(typed: str, read: float) -> None:
    assert LENGTH.read(typed) == read


@pytest.mark.parametrize("typed", ["abc", "nan", "inf", "-inf", "1_000", "2,7,0", "270 mm"])
def test_what_is_no_number_is_refused_with_what_is_allowed(typed: str) -> None:
    assert refusal(calculation(LENGTH), {"length_mm": typed}) == f"length_mm is {typed}; allowed is a number in mm"


def test_what_was_given_is_said_on_one_line_and_cut_short() -> None:
    said = refusal(calculation(LENGTH), {"length_mm": "a\nb" + "c" * 5000})
    assert said == f"length_mm is a b{'c' * 57}…; allowed is a number in mm"


def test_an_input_that_is_not_known_is_refused_with_those_that_are() -> None:
    assert refusal(calculation(LENGTH), {"width_mm": "3"}) == "width_mm is 3; allowed is one of length_mm"


def test_an_input_that_is_missing_is_named() -> None:
    assert refusal(calculation(LENGTH), {}) == "length_mm is missing; allowed is a number in mm"


def test_a_missing_table_shows_its_form() -> None:
    table = Input("layers", "layers", kind=Kind.TABLE, example='[{"thickness_mm": 4}]')
    assert refusal(calculation(table), {}) == 'layers is missing; allowed is JSON such as [{"thickness_mm": 4}]'


def test_a_workshops_figure_stands_in_for_what_nobody_typed() -> None:
    wanted = calculation(Input("length_mm", "length", setting="length_of_all_mm"))
    assert wanted.read({"length_mm": " "}, figures={"length_of_all_mm": 12.0}) == {"length_mm": 12.0}


def test_what_was_typed_comes_before_the_workshops_figure() -> None:
    wanted = calculation(Input("length_mm", "length", setting="length_of_all_mm"))
    assert wanted.read({"length_mm": "15"}, figures={"length_of_all_mm": 12.0}) == {"length_mm": 15.0}


def test_a_default_stands_in_last() -> None:
    assert calculation(Input("length_mm", "length", default=5.0)).read({}, figures={}) == {"length_mm": 5.0}


def test_a_whole_number_has_no_fraction() -> None:
    plies = Input("plies", "plies", unit="", kind=Kind.WHOLE)
    assert refusal(calculation(plies), {"plies": "2.5"}) == "plies is 2.5; allowed is a whole number"


def test_a_choice_is_one_of_its_list() -> None:
    kind = Input("kind", "kind", unit="", kind=Kind.CHOICE, choices=("low", "boot"))
    assert refusal(calculation(kind), {"kind": "clog"}) == "kind is clog; allowed is low, boot"


@pytest.mark.parametrize(("typed", "read"), [("yes", True), ("no", False)])
def test_yes_and_no_are_read_as_words(typed: str, read: bool) -> None:  # noqa: FBT001
    assert Input("light", "light", kind=Kind.YES_NO).read(typed) is read


@pytest.mark.parametrize("typed", ["{", '{"a": NaN}', "[" * 100_000, '{"a": Infinity}'])
def test_what_is_no_json_is_refused_however_it_is_broken(typed: str) -> None:
    table = Input("layers", "layers", kind=Kind.TABLE, example="[]")
    with pytest.raises(BadInput, match="allowed is JSON such as"):
        table.read(typed)


def test_a_bound_is_said_with_its_unit() -> None:
    assert str(BadInput("angle", 95, least=0, most=45, unit="°")) == "angle is 95 °; allowed is 0 to 45 °"


def test_two_calculations_of_one_name_are_found_at_once() -> None:
    with pytest.raises(NameTaken, match="doubled"):
        by_name((calculation(LENGTH),), (calculation(LENGTH),))


@given(st.text(), st.sampled_from(Kind))
def test_no_text_is_read_as_anything_but_a_value_or_a_refusal(typed: str, kind: Kind) -> None:
    wanted = Input("given", "given", kind=kind, choices=("one",), example="1")
    try:
        wanted.read(typed)
        said = ""
    except BadInput as refused:
        said = str(refused)
    assert "\n" not in said
    assert said == "" or "; allowed is " in said
