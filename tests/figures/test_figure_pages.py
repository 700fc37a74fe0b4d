import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from tests.factories.figures import load_figures
from workshop.figures.models import Figure
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures_loaded(db: None) -> None:
    load_figures()


def test_the_page_says_how_far_each_figure_may_be_trusted(signed_in, manager: Person) -> None:
    page = signed_in(manager).get("/figures/").content.decode()
    said = [words for words in ("common practice, no source", "from memory, unchecked", "published") if words in page]
    assert said == ["common practice, no source", "from memory, unchecked", "published"]


@pytest.mark.parametrize("role", ["reception", "clinician", "maker", "administrator"])
def test_nobody_but_a_manager_sees_the_figures(signed_in, request, role: str) -> None:
    assert signed_in(request.getfixturevalue(role)).get("/figures/").status_code == 403


def test_a_manager_changes_a_figure(signed_in, manager: Person) -> None:
    today = timezone.localdate()
    answer = signed_in(manager).post("/figures/sock_mm/", {"value": "1.1", "valid_from": today, "source": ""})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/figures/")
    assert Figure.objects.filter(name="sock_mm", valid_from=today).get().value == Decimal("1.1")


def test_a_refused_change_keeps_what_was_typed(signed_in, manager: Person) -> None:
    yesterday = timezone.localdate() - timedelta(days=1)
    answer = signed_in(manager).post("/figures/sock_mm/", {"value": "1.1", "valid_from": yesterday, "source": "own"})
    assert (answer.status_code, 'value="1.1"' in answer.content.decode()) == (422, True)


def test_a_value_that_is_no_number_is_refused(signed_in, manager: Person) -> None:
    form = {"value": "thick", "valid_from": timezone.localdate(), "source": ""}
    assert signed_in(manager).post("/figures/sock_mm/", form).status_code == 422


def test_a_figure_nobody_knows_is_not_found(signed_in, manager: Person) -> None:
    assert signed_in(manager).get("/figures/no_such_figure/").status_code == 404


def test_a_maker_reads_the_materials(signed_in, maker: Person) -> None:
    page = signed_in(maker).get("/materials/").content.decode()
    assert "cork sheet" in page


def test_a_switch_is_changed_by_yes_or_no(signed_in, manager: Person) -> None:
    client, address = signed_in(manager), "/figures/blind_stiffener_reaches/"
    client.post(address, {"value": "0", "valid_from": timezone.localdate(), "source": ""})
    page = client.get(address).content.decode()
    values = re.findall(r'<td class="number">(.*?)</td>', page)
    assert (values, re.findall(r'<option value="(.*?)"', page)) == (["no", "yes"], ["", "1", "0"])
