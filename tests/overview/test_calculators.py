"""Every calculation by the page and by the command: the same figures, and a sentence for what cannot be."""

import json
from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.overview.calculations import CALCULATIONS
from shared.calculations import BadInput, Calculation
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from workshop.figures.models import Figure
from workshop.figures.settings_table import SETTINGS
from workshop.staff.models import Person

SignIn = Callable[[Person], Client]
FIGURES = {name: float(setting.value) for name, setting in SETTINGS.items()}
ALL = pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=list(CALCULATIONS))


def example_of(calculation: Calculation) -> dict[str, str]:
    """Its required inputs as somebody would try them."""
    return {each.name: each.example for each in calculation.inputs if each.is_required}


def work_out(*arguments: str) -> str:
    said = StringIO()
    call_command("work_out", *arguments, stdout=said)
    return said.getvalue().strip()


@ALL
def test_every_calculation_comes_with_an_example_that_works(calculation: Calculation) -> None:
    worked = calculation.work(**calculation.read(example_of(calculation), figures=FIGURES))
    assert list(worked.figures) == [output.name for output in calculation.outputs]


@ALL
def test_every_calculation_opens_its_workings(calculation: Calculation) -> None:
    worked = calculation.work(**calculation.read(example_of(calculation), figures=FIGURES))
    assert worked.sheets != ()


@ALL
def test_every_setting_that_stands_in_is_one_of_the_workshops(calculation: Calculation) -> None:
    assert set(calculation.settings) <= set(SETTINGS)


@ALL
@pytest.mark.django_db
def test_the_page_and_the_command_give_the_same_figures(
    calculation: Calculation, signed_in: SignIn, maker: Person
) -> None:
    load_figures()
    asked = example_of(calculation)
    form = {each.name: asked.get(each.name, "") for each in calculation.inputs}
    page = signed_in(maker).get(reverse("calculator", args=[calculation.name]), form)
    said = json.loads(work_out(calculation.name, *(f"{name}={value}" for name, value in asked.items())))
    shown = [result.output.name for result in page.context["results"]]
    assert (page.status_code, shown) == (200, list(said))


@ALL
@pytest.mark.django_db
def test_an_empty_calculator_asks_and_does_not_scold(
    calculation: Calculation, signed_in: SignIn, maker: Person
) -> None:
    load_figures()
    page = signed_in(maker).get(reverse("calculator", args=[calculation.name]))
    assert (page.status_code, page.context["error"], page.context["results"]) == (200, None, [])


def test_the_list_names_every_calculation_with_its_source() -> None:
    said = work_out("--list")
    assert [name for name in CALCULATIONS if f"{name}: " not in said] == []


def test_a_formula_needs_no_database() -> None:
    """The mark that gives a test its database is missing here on purpose."""
    assert json.loads(work_out("sizes-of-last", "last_length_mm=280"))["eu"] == 42.0


@pytest.mark.django_db
def test_a_figure_that_the_workshop_set_comes_before_the_starting_one() -> None:
    load_figures()
    with setting_up():
        Figure.objects.create(
            name="toe_allowance_mm", value=15, unit="mm", valid_from=timezone.localdate(), standing="set here"
        )
    assert json.loads(work_out("last-length", "foot_length_mm=270")) == {"last_length_mm": 285.0}


@pytest.mark.django_db
def test_a_workshop_that_set_no_figures_yet_works_with_the_starting_ones() -> None:
    assert json.loads(work_out("last-length", "foot_length_mm=270")) == {"last_length_mm": 282.0}


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            ["last-length", "foot_length_mm=abc", "toe_allowance_mm=12"],
            "foot_length_mm is abc; allowed is a number in mm",
        ),
        (
            ["last-length", "foot_length_mm=900", "toe_allowance_mm=12"],
            "foot_length_mm is 900 mm; allowed is 50 to 400 mm",
        ),
        (["last-length", "foot_length_mm"], "input is foot_length_mm; allowed is name=value"),
        (["last-length", "foot_length_mm=1", "foot_length_mm=2"], "foot_length_mm is given twice; allowed is once"),
        (["no-such"], f"name is no-such; allowed is one of {', '.join(CALCULATIONS)}"),
    ],
)
def test_the_command_ends_with_2_and_one_line(arguments: list[str], sentence: str) -> None:
    heard = StringIO()
    with pytest.raises(SystemExit) as ended:
        call_command("work_out", *arguments, stderr=heard)
    assert (ended.value.code, heard.getvalue()) == (2, f"{sentence}\n")


@pytest.mark.django_db
def test_the_page_says_what_cannot_be_and_keeps_what_was_typed(signed_in: SignIn, maker: Person) -> None:
    load_figures()
    page = signed_in(maker).get(reverse("calculator", args=["last-length"]), {"foot_length_mm": "900"})
    kept = [(field.typed, field.error) for field in page.context["fields"]]
    assert (page.status_code, kept) == (
        422,
        [("900", "foot_length_mm is 900 mm; allowed is 50 to 400 mm"), ("", "")],
    )


@pytest.mark.django_db
def test_a_figure_as_it_is_typed_swaps_the_result_alone(signed_in: SignIn, maker: Person) -> None:
    load_figures()
    headers = {"HX-Request": "true", "HX-Target": "result"}
    page = signed_in(maker).get(reverse("calculator", args=["last-length"]), {"foot_length_mm": "270"}, headers=headers)
    assert ("282" in page.text, "<form" in page.text) == (True, False)


MOSTLY_NUMBERS = st.one_of(
    st.text(max_size=40),
    st.integers(-(10**6), 10**6).map(str),
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.recursive(
        st.none() | st.booleans() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
        max_leaves=8,
    ).map(json.dumps),
)


@ALL
@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_nothing_typed_gets_past_a_calculation_but_a_figure_or_a_refusal(calculation: Calculation, data: Any) -> None:
    typed = {each.name: data.draw(MOSTLY_NUMBERS | st.just(each.example)) for each in calculation.inputs}
    try:
        said = json.dumps(dict(calculation.work(**calculation.read(typed, figures=FIGURES)).figures), allow_nan=False)
    except BadInput as refused:
        said = str(refused)
    assert said.startswith("{") or "; allowed is " in said
