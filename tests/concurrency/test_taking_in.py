"""A last registered while a file of lasts is being taken in. The race is first shown to exist, with the wait left out."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from threading import Event

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from cases.lasts.actions import choose_rack_file, rack_files, register_last, take_in_rack_file
from cases.lasts.actions.rack_files import NotGood
from cases.lasts.models import Last, RackFile
from shared.refusals import Refused
from tests.factories.figures import load_figures
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db(transaction=True)

LONG_ENOUGH_S = 0.4
"""Seconds in which a rival that does not wait has long looked at the rack."""
NEVER_S = 20
CONTENT = b"number,side,length_mm,heel_height_mm,place\nS1,left,285,22,A1\nS1,right,285,22,A1"


@pytest.fixture
def file(maker: Person) -> RackFile:
    load_figures()
    return choose_rack_file(CONTENT, name="rack.csv", by=maker, at=timezone.now())


def ending_of(act: Callable[[], object]) -> str:
    """How an act ended on a connection of its own."""
    try:
        act()
    except NotGood as error:
        return "; ".join(each.reason for each in error.found.bad)
    except Refused as error:
        return error.message
    except IntegrityError:
        return "refused by the database alone"
    finally:
        connection.close()
    return "done"


def taken_in_beside_a_registration(file: RackFile, maker: Person) -> str:
    """How taking in ends that begins while somebody registers one of its lasts and has not finished."""
    registered = Event()

    def register() -> None:
        with transaction.atomic():
            register_last(
                owner=None,
                number="S1",
                side="left",
                length_mm=Decimal(285),
                origin="made",
                making="tape",
                heel_height_mm=Decimal(22),
                toe_spring_mm=Decimal(12),
                toe_shape="round",
                place="A1",
                made_on=timezone.localdate(),
                by=maker,
                at=timezone.now(),
            )
            registered.set()
            # Nobody can say when the rival stands waiting: it has this long to come as far as it gets.
            Event().wait(LONG_ENOUGH_S)

    with ThreadPoolExecutor(2) as pool:
        rival = pool.submit(ending_of, register)
        registered.wait(NEVER_S)
        ended = pool.submit(ending_of, lambda: take_in_rack_file(file, by=maker, at=timezone.now())).result(NEVER_S)
        assert rival.result(NEVER_S) == "done"
    return ended


def test_without_the_wait_the_database_alone_refuses_what_was_looked_at_too_early(
    file: RackFile, maker: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rack_files, "give_numbers_alone", lambda: None)
    assert taken_in_beside_a_registration(file, maker) == "refused by the database alone"


def test_a_last_registered_meanwhile_is_named_and_nothing_is_taken_in(file: RackFile, maker: Person) -> None:
    ended = taken_in_beside_a_registration(file, maker)
    assert (ended, Last.objects.count()) == ("already stands on the rack, LEFT", 1)


def test_a_file_taken_in_twice_at_once_is_taken_in_once(file: RackFile, maker: Person) -> None:
    with ThreadPoolExecutor(2) as pool:
        runs = [pool.submit(ending_of, lambda: take_in_rack_file(file, by=maker, at=timezone.now())) for _ in range(2)]
        ended = sorted(run.result(NEVER_S) for run in runs)
    assert (ended, Last.objects.count()) == (["This file was taken in already, or given up.", "done"], 2)
