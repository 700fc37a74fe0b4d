import pytest
from django.test import Client
from django.views.defaults import server_error

from tests.factories.staff import make_person
from workshop.navigation import PLACES
from workshop.staff.models import Person, RoleKind

pytestmark = pytest.mark.django_db


def words_in_the_masthead(client: Client) -> list[str]:
    """What the masthead offers, on a page that anybody of the staff may ask for."""
    places_there = client.get("/no-such-page/").context["places"]
    return [link.words for link in places_there()]


@pytest.mark.parametrize(
    ("role", "words"),
    [
        ("reception", ["Desk", "Clients", "Diary", "To call"]),
        ("clinician", ["Clinic", "Clients", "Diary", "Differences", "Last rack", "Casts", "Calculators"]),
        ("maker", ["My bench", "Last rack", "Casts", "Calculators"]),
        (
            "manager",
            [
                "Late pairs",
                "Bench",
                "Clients",
                "Diary",
                "Differences",
                "Calculators",
                "Notes",
                "Figures",
                "Rooms and hours",
                "Terminals",
            ],
        ),
        ("administrator", ["People"]),
    ],
)
def test_the_masthead_offers_each_role_its_own_places(role: str, words: list[str]) -> None:
    assert [place.words for place in PLACES if role in place.roles] == words


def test_somebody_with_all_roles_is_offered_no_place_twice(signed_in) -> None:
    words = words_in_the_masthead(signed_in(make_person(roles=RoleKind.values)))
    assert len(words) == len(set(words))


def test_nobody_is_offered_nothing(nobody: Client) -> None:
    assert words_in_the_masthead(nobody) == []


def test_the_place_one_stands_at_is_marked(signed_in, administrator: Person) -> None:
    page = signed_in(administrator).get("/people/").content.decode()
    assert '<a href="/people/" aria-current="page">People</a>' in page


def test_an_unknown_page_is_said_to_be_unknown(signed_in, maker: Person) -> None:
    answer = signed_in(maker).get("/no-such-page/")
    assert (answer.status_code, "<h1>Not found</h1>" in answer.content.decode()) == (404, True)


def test_a_page_that_breaks_says_so_without_asking_the_database(rf, django_assert_num_queries) -> None:
    with django_assert_num_queries(0):  # it may be the database that broke
        answer = server_error(rf.get("/"))
    assert (answer.status_code, "Something broke here" in answer.content.decode()) == (500, True)
