"""What every test may ask for: people who hold roles, and a browserless client signed in as one of them."""

import gc
import uuid
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import Any

import hypothesis
import pytest
from django.conf import settings
from django.db import connection
from django.test import Client, TransactionTestCase, override_settings
from django.utils import timezone

from shared.hashing import ModestArgon2
from tests.emptying import empty_database
from tests.factories import staff
from workshop.staff.models import Person

pytest_plugins = ["tests.answering", "tests.browser"]

# No test waits on a clock: on a busy machine the first example, which loads a library, may take its time.
hypothesis.settings.register_profile("by no clock", deadline=None)
hypothesis.settings.load_profile("by no clock")

# As often as Python looks for cycles by itself, looking takes an eighth of the run.
gc.set_threshold(5_000, 20, 50)


def pytest_collection_finish() -> None:
    """What is loaded by now stays to the end: no more looking through it for what has become garbage."""
    gc.freeze()


@pytest.fixture(autouse=True, scope="session")
def passwords_cost_little() -> Iterator[None]:
    """The same hash of passwords and PINs, at the smallest size there is: nobody steals those of a test."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ModestArgon2, "time_cost", 1)
        patch.setattr(ModestArgon2, "memory_cost", 8)
        yield


@pytest.fixture(autouse=True, scope="session")
def static_files_as_they_lie(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test depends on static files having been collected, nor on when."""
    as_they_lie = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    nothing_collected = tmp_path_factory.mktemp("static-collected")
    with override_settings(STORAGES={**settings.STORAGES, "staticfiles": as_they_lie}, STATIC_ROOT=nothing_collected):
        yield


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """No table is counted between two tests, while it is empty: a test would then be planned for no rows at all.

    Of a table never counted the server assumes a little, and looks up by index.
    """
    with django_db_blocker.unblock(), connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'ALTER TABLE "{table}" SET (autovacuum_enabled = off)')
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", empty_database)
        yield


@pytest.fixture
def now() -> datetime:
    """The moment a test happens: passed into every action, never read inside one."""
    return timezone.localtime().replace(hour=10, minute=0, second=0, microsecond=0)


@pytest.fixture
def tomorrow(now: datetime) -> datetime:
    return now + timedelta(days=1)


@pytest.fixture
def clinician(db: None) -> Person:
    """May prescribe."""
    return staff.make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)


@pytest.fixture
def maker(db: None) -> Person:
    return staff.make_person(name="Max Maker", roles=["maker"])


@pytest.fixture
def reception(db: None) -> Person:
    return staff.make_person(name="Rita Reception", roles=["reception"])


@pytest.fixture
def manager(db: None) -> Person:
    return staff.make_person(name="Mona Manager", roles=["manager"])


@pytest.fixture
def administrator(db: None) -> Person:
    return staff.make_person(name="Ada Administrator", roles=["administrator"])


class Browserless(Client):
    """Django's test client, which gives each POST the number of its own that a page would have given it."""

    def post(self, path: Any, data: Any = None, *args: Any, **kwargs: Any) -> Any:
        if data is None or isinstance(data, dict):
            data = {"submission": str(uuid.uuid4()), **(data or {})}
        return super().post(path, data, *args, **kwargs)


@pytest.fixture
def signed_in() -> Callable[[Person], Browserless]:
    """`signed_in(maker)` is a client in which this person is signed in."""

    def sign_in(person: Person) -> Browserless:
        client = Browserless()
        client.force_login(person)
        return client

    return sign_in


@pytest.fixture
def nobody() -> Browserless:
    """A client in which nobody is signed in."""
    return Browserless()
