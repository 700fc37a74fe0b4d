"""The workshop itself: coming in, accounts, terminals, hours, figures."""

from datetime import timedelta

from django.test import Client
from django.utils import timezone

from tests.factories.base import setting_up
from tests.factories.figures import load_figures, make_figure, make_material
from tests.factories.hours import load_hours, make_closure, make_room
from tests.factories.staff import make_person
from tests.factories.terminals import give_pin, make_terminal
from tests.page_queries.counted import KNOWN, NOBODY, Asked, Counted, Scene
from workshop.staff import guessing
from workshop.staff.models import Attempt, Person


def _people(scene: Scene) -> list[Person]:
    people = [make_person(name=name, roles=["maker", "reception"]) for name in scene.names()]
    for person in people:
        give_pin(person)
    return people


def _with_people(scene: Scene) -> Asked:
    _people(scene)
    return Asked()


def _one_of_the_people(scene: Scene) -> Asked:
    return Asked([_people(scene)[0].uuid])


def _lock_screen(scene: Scene) -> Asked:
    make_terminal(scene.browser)
    return _with_people(scene)


def _pin_of_one(scene: Scene) -> Asked:
    make_terminal(scene.browser)
    return _one_of_the_people(scene)


def _locked_out(scene: Scene) -> Asked:
    at, people = timezone.now(), _people(scene)
    with setting_up():
        Attempt.objects.bulk_create(
            Attempt(account=guessing.account_of_login(person.login), address="192.0.2.7", at=at, succeeded=False)
            for person in people
            for _ in range(10)
        )
    return Asked()


def _terminals(scene: Scene) -> Asked:
    for name in scene.names():
        make_terminal(Client(), name=name)
    return Asked()


def _hours(scene: Scene) -> Asked:
    load_hours()
    for days, name in enumerate(scene.names()):
        make_room(name=name)
        make_closure(day=timezone.localdate(scene.now) + timedelta(days=days), name=name)
    return Asked()


def _figures(scene: Scene) -> Asked:
    load_figures()
    for days in range(scene.rows):
        make_figure("sock_mm", "1.1", valid_from=timezone.localdate(scene.now) - timedelta(days=days))
    return Asked()


def _values_of_a_figure(scene: Scene) -> Asked:
    _figures(scene)
    return Asked(["sock_mm"])


def _materials(scene: Scene) -> Asked:
    load_figures()
    for name in scene.names():
        make_material(name, valid_from=timezone.localdate(scene.now))
    return Asked()


def _rows_of_a_material(scene: Scene) -> Asked:
    """As many rows of one material, each shown by its source."""
    for days, name in enumerate(scene.names()):
        row = make_material(source=name, valid_from=timezone.localdate(scene.now) - timedelta(days=days))
    return Asked([row.uuid])


PAGES = [
    Counted("sign-in", NOBODY, 0, "nothing: nobody is known yet", "people", _with_people, most_shown=0),
    Counted("terminal-unlock", NOBODY, 2, "the terminal; the people", "people with a PIN", _lock_screen),
    Counted(
        "terminal-pin",
        NOBODY,
        2,
        "the terminal; the person",
        "people with a PIN, of whom one",
        _pin_of_one,
        most_shown=1,
    ),
    Counted("people", "administrator", 5, f"{KNOWN}; people with PIN; their roles", "people", _with_people),
    Counted("person-new", "administrator", 3, KNOWN, "people there are already", _with_people, most_shown=0),
    Counted(
        "person-edit",
        "administrator",
        5,
        f"{KNOWN}; the one shown with PIN; their roles",
        "people, of whom one",
        _one_of_the_people,
        most_shown=1,
    ),
    Counted(
        "locked-out",
        "manager",
        7,
        f"{KNOWN}; tries by account; tries by address; PINs; people",
        "people locked out",
        _locked_out,
    ),
    Counted(
        "terminals", "manager", 5, f"{KNOWN}; benches; terminals with who registered them", "terminals", _terminals
    ),
    Counted("hours", "manager", 7, f"{KNOWN}; hours; closures; rooms; benches", "rooms, closures", _hours),
    Counted(
        "figures", "manager", 4, f"{KNOWN}; figures", "values a figure had, of which one holds", _figures, most_shown=0
    ),
    Counted(
        "figure-edit",
        "manager",
        4,
        f"{KNOWN}; values with who set them",
        "values the figure had, each shown by its day",
        _values_of_a_figure,
        most_shown=0,
    ),
    Counted("materials", "maker", 4, f"{KNOWN}; materials", "materials", _materials),
    Counted("material-add", "manager", 3, KNOWN, "materials", _materials, most_shown=0),
    Counted(
        "material-edit",
        "manager",
        6,
        f"{KNOWN}; the row; the latest of its material; all of them with who wrote them",
        "rows of the material",
        _rows_of_a_material,
    ),
]
