"""The table of materials: read by the workshop, changed by its manager, from a day on."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError
from django.utils import timezone

from shared.models import Deed
from shared.refusals import Refused
from tests.factories.figures import load_figures, make_material
from workshop.figures.actions import set_material
from workshop.figures.materials_table import MATERIALS
from workshop.figures.models import Material, Standing
from workshop.figures.queries import FigureUnknown, figures, figures_and_materials, materials_valid
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
STEEL = "steel"


def sent(**changes: Any) -> dict[str, Any]:
    """What the page of a material sends."""
    return {
        "kind": "metal",
        "density_low_kg_m3": "7800",
        "density_high_kg_m3": "7900",
        "modulus_low_mpa": "200000",
        "modulus_high_mpa": "210000",
        "in_stock": "on",
        "standing": "set here",
        "valid_from": timezone.localdate(),
        **changes,
    }


def columns(**changes: Any) -> dict[str, Any]:
    return {"kind": "leather", "density_low_kg_m3": 800, "density_high_kg_m3": 900, **changes}


def test_every_shipped_material_has_a_modulus_said_to_be_unchecked_or_its_source() -> None:
    said = {
        (each.modulus_low is not None, each.standing == "from memory" or "modulus" in each.source) for each in MATERIALS
    }
    assert said == {(True, True)}


def test_a_manager_writes_a_material_down_anew(signed_in: Any, manager: Person) -> None:
    load_figures()
    row = Material.objects.get(name=STEEL)
    answer = signed_in(manager).post(
        f"/materials/{row.uuid}/", sent(density_low_kg_m3="7700", price="3.2", price_per="kg")
    )
    now = materials_valid(on=timezone.localdate()).get(name=STEEL)
    assert (answer.status_code, now.density_low_kg_m3, now.price, now.price_per, now.changed_by) == (
        303,
        Decimal("7700.0"),
        Decimal("3.20"),
        "kg",
        manager,
    )


def test_what_was_known_before_stands_for_the_days_before(now: datetime, manager: Person) -> None:
    today = timezone.localdate(now)
    make_material("own belly", valid_from=today - timedelta(days=9))
    set_material("own belly", fields=columns(), valid_from=today, by=manager, at=now)
    known = [
        materials_valid(on=day).get(name="own belly").density_low_kg_m3 for day in (today - timedelta(days=1), today)
    ]
    assert known == [Decimal(900), Decimal(800)]


def test_the_page_of_a_material_starts_from_what_is_known(signed_in: Any, manager: Person) -> None:
    row = make_material("own belly", modulus_low_mpa=12, modulus_high_mpa=34)
    page = signed_in(manager).get(f"/materials/{row.uuid}/").content.decode()
    assert [f'value="{figure}"' in page for figure in ("900.0", "1000.0", "12.00", "34.00")] == [True] * 4


def test_a_new_material_is_added(signed_in: Any, manager: Person) -> None:
    answer = signed_in(manager).post("/materials/new/", sent(name="own felt", kind="filler"))
    assert (answer.status_code, Material.objects.get(name="own felt").standing) == (303, Standing.SET_HERE)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"density_low_kg_m3": "9000"}, "The range ends below where it begins."),
        ({"density_low_kg_m3": "0"}, "This is more than 0."),
        ({"modulus_high_mpa": ""}, "Give both ends of the range, or neither."),
        ({"price": "3"}, "Say the price and what it is for, or neither."),
        ({"price_per": "kg"}, "Say the price and what it is for, or neither."),
        ({"price": "-3", "price_per": "kg"}, "A price is not below 0."),
        ({"standing": "published"}, "Name where it was published."),
        ({"valid_from": date(2020, 1, 1)}, "A material changes from today or a later day"),
        ({"density_low_kg_m3": "heavy"}, "Enter a number."),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    signed_in: Any, manager: Person, changes: dict[str, Any], says: str
) -> None:
    row = make_material(STEEL)
    answer = signed_in(manager).post(f"/materials/{row.uuid}/", sent(**changes))
    assert (answer.status_code, says in answer.content.decode(), Material.objects.count()) == (422, True, 1)


def test_a_second_material_of_one_name_is_refused(signed_in: Any, manager: Person) -> None:
    make_material(STEEL)
    assert signed_in(manager).post("/materials/new/", sent(name="Steel")).status_code == 422


def test_a_material_is_written_down_once_a_day(now: datetime, manager: Person) -> None:
    today = timezone.localdate(now)
    make_material("own belly", valid_from=today)
    with pytest.raises(Refused, match="Choose a later day"):
        set_material("own belly", fields=columns(), valid_from=today, by=manager, at=now)


def test_writing_a_material_down_is_a_deed(now: datetime, manager: Person) -> None:
    set_material("own belly", fields=columns(), valid_from=date(2026, 12, 1), by=manager, at=now)
    assert Deed.objects.get(action="set_material").says == "Added the material “own belly” from 1 Dec 2026."


@pytest.mark.parametrize(
    ("constraint", "changes"),
    [
        ("density_is_a_range", {"density_low_kg_m3": 1200}),
        ("modulus_is_a_range", {"modulus_low_mpa": 5}),
        ("modulus_is_a_range", {"modulus_high_mpa": 5}),
        ("modulus_is_a_range", {"modulus_low_mpa": 5, "modulus_high_mpa": 4}),
        ("price_says_for_what", {"price": 3}),
        ("price_says_for_what", {"price_per": "kg"}),
        ("published_material_names_its_source", {"standing": "published"}),
    ],
)
def test_the_database_keeps_what_the_form_checks(constraint: str, changes: dict[str, Any]) -> None:
    with pytest.raises(IntegrityError, match=constraint):
        make_material(**changes)


def test_a_maker_reads_whether_it_is_in_stock_but_changes_nothing(signed_in: Any, maker: Person) -> None:
    row = make_material("own belly", in_stock=False)
    page = signed_in(maker).get("/materials/").content.decode()
    assert ("<td>no</td>" in page, f"/materials/{row.uuid}/" in page) == (True, False)


def test_figures_and_materials_read_together_are_those_read_apart(
    now: datetime, django_assert_num_queries: Any
) -> None:
    """One query for both, and the latest row of each on that day."""
    load_figures()
    today = timezone.localdate(now)
    make_material(STEEL, valid_from=today, density_low_kg_m3=7700, density_high_kg_m3=7800)
    with django_assert_num_queries(1):
        found, known = figures_and_materials(["sock_mm", "toe_spring_mm"], on=today)
    apart = materials_valid(on=today).values_list("name", "density_low_kg_m3", "modulus_high_mpa")
    values = {name: each.value for name, each in found.items()}
    assert (values, [(each.name, each.density_low_kg_m3, each.modulus_high_mpa) for each in known]) == (
        figures(["sock_mm", "toe_spring_mm"], on=today),
        sorted(apart),
    )


def test_a_figure_that_is_missing_beside_the_materials_is_named() -> None:
    load_figures()
    with pytest.raises(FigureUnknown, match="no_such_figure"):
        figures_and_materials(["sock_mm", "no_such_figure"], on=date(2026, 11, 25))
