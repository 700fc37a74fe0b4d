"""The rack and the pages of lasts: what is found, by whom, with how many queries."""

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from cases.diary.models import Visit
from cases.lasts import queries
from cases.lasts.forms import AlterForm, CastForm, DestroyForm, LastForm, MoveForm, RackForm
from cases.lasts.models import Cast, Last
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_last, make_measure_set
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


@pytest.fixture
def rack(db: None) -> dict[str, Last]:
    owner = make_patient(given_names="Zoë", family_name="Brandt", record_number="R77")
    return {
        "hers left": make_last(owner=owner, number="12", side="left", place="rack A1"),
        "hers right": make_last(owner=owner, number="12", side="right", place="rack A1"),
        "stock": make_last(number="S5", side="left", place="rack C9"),
    }


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ({}, ["hers left", "hers right", "stock"]),
        ({"text": "12"}, ["hers left", "hers right"]),
        ({"text": "s5"}, ["stock"]),
        ({"text": "zoe"}, ["hers left", "hers right"]),
        ({"text": "r77"}, ["hers left", "hers right"]),
        ({"text": "c9"}, ["stock"]),
        ({"text": "brandt a1", "side": "right"}, ["hers right"]),
        ({"side": "left"}, ["hers left", "stock"]),
        ({"text": "%"}, []),
        ({"side": "both"}, ["hers left", "hers right", "stock"]),
    ],
    ids=str,
)
def test_the_rack_finds_by_number_owner_place_and_side(
    maker: Person, signed_in: Callable[[Person], Any], rack: dict[str, Last], asked: dict[str, str], names: list[str]
) -> None:
    found = signed_in(maker).get(reverse("last-rack"), asked).context["rack"].lasts
    assert found == [rack[name] for name in names]


def test_the_rack_says_when_there_are_more(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(queries.lasts, "MOST_ON_THE_RACK", 2)
    for number in range(3):
        make_last(number=f"N{number}")
    assert (len(queries.rack().lasts), queries.rack().more) == (2, True)


def test_the_rack_says_which_last_is_agreed(rack: dict[str, Last]) -> None:
    agreed(rack["stock"])
    assert [last.is_agreed for last in queries.rack().lasts] == [False, False, True]


def test_a_search_that_is_being_typed_gets_only_what_was_found(
    maker: Person, signed_in: Callable[[Person], Any], rack: dict[str, Last]
) -> None:
    headers = {"HX-Request": "true", "HX-Target": "found"}
    page = signed_in(maker).get(reverse("last-rack"), {"text": "s5"}, headers=headers).content.decode()
    assert ("<html" in page, "S5" in page, "rack A1" in page) == (False, True, False)


@pytest.mark.parametrize("page", ["last", "last-alter", "last-new", "stock-last-new", "last-rack"])
@pytest.mark.parametrize("role", ["clinician", "maker", "manager", "reception", "administrator"])
def test_makers_and_clinicians_handle_lasts_and_the_manager_reads(
    request: pytest.FixtureRequest, signed_in: Callable[[Person], Any], page: str, role: str
) -> None:
    last = make_last(owner=make_patient())
    about = {"last": last, "last-alter": last, "last-new": last.owner}.get(page)
    address = reverse(page, args=[about.uuid] if about else [])
    status = signed_in(request.getfixturevalue(role)).get(address).status_code
    reads = page in {"last", "last-rack"} and role == "manager"
    assert status == (200 if reads or role in {"clinician", "maker"} else 403)


@pytest.mark.parametrize("page", ["last-move", "last-agree"])
@pytest.mark.parametrize("role", ["manager", "reception", "administrator"])
def test_nobody_else_moves_or_agrees_a_last(
    request: pytest.FixtureRequest, signed_in: Callable[[Person], Any], page: str, role: str
) -> None:
    client = signed_in(request.getfixturevalue(role))
    answer = client.post(reverse(page, args=[make_last().uuid]), {"place": "rack Z9", "seen_version": "1"})
    assert answer.status_code == 403


@pytest.mark.parametrize("rows", [1, 3, 30])
def test_the_sittings_of_a_client_take_the_same_queries(django_assert_num_queries: Any, rows: int) -> None:
    patient = make_patient()
    for _ in range(rows):
        make_measure_set(patient=patient, both={"foot_length": 270})
    with django_assert_num_queries(2):  # sittings with who measured, their measures
        shown = [queries.rows_of(each) for each in queries.measure_sets_of(patient)]
    assert len(shown) == rows


NASTY = st.one_of(
    st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=40),
    st.sampled_from(["NaN", "Infinity", "1e400", "٢٧٣", "\x00", "9" * 300, "0001-01-01", "x" * 5000]),
    st.uuids().map(str),
)
FORMS: list[Callable[[dict[str, str]], Any]] = [
    lambda data: CastForm(data, people=Person.objects.all(), visits=Visit.objects.all()),
    lambda data: LastForm(data, people=Person.objects.all(), casts=Cast.objects.all()),
    DestroyForm,
    AlterForm,
    MoveForm,
    RackForm,
]
NAMES = sorted({name for make in [DestroyForm, AlterForm, MoveForm, RackForm] for name in make.base_fields}) + sorted(
    {*CastForm.base_fields, *LastForm.base_fields}
)


class HostileEntries(TestCase):
    @settings(max_examples=150, deadline=None)
    @given(st.sampled_from(FORMS), st.dictionaries(st.sampled_from(NAMES), NASTY, max_size=12))
    def test_every_form_answers_every_entry(
        self, make_form: Callable[[dict[str, str]], Any], entries: dict[str, str]
    ) -> None:
        form = make_form(entries)
        assert form.is_valid() is not bool(form.errors)

    @settings(max_examples=60, deadline=None)
    @given(text=NASTY, side=NASTY)
    def test_the_rack_answers_every_search(self, text: str, side: str) -> None:
        form = RackForm({"text": text, "side": side})
        assert queries.rack(**form.asked).lasts == []
