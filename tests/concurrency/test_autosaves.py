"""Two tablets keep one draft at the same moment. The race is first shown to exist where nobody asks which state was seen."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection, transaction
from django.urls import reverse

from cases.prescriptions.models import Foot, Heel, Prescription
from tests.conftest import Browserless
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from tests.factories.prescriptions import make_prescription
from tests.factories.staff import make_person
from tests.prescriptions.pages import filled_in

pytestmark = pytest.mark.django_db(transaction=True)

HEIGHTS_MM = (25, 31)
NEVER = 20
SAVED, STALE = 200, 409


@pytest.fixture
def draft() -> Prescription:
    load_figures()
    return make_prescription()


def both_at_once(keep: Callable[[int], int]) -> dict[int, int]:
    """Each tablet writes its own height of the left heel, begun together: the status each was told."""
    together = Barrier(len(HEIGHTS_MM))

    def run(height_mm: int) -> int:
        try:
            together.wait(NEVER)
            return keep(height_mm)
        finally:
            connection.close()

    with ThreadPoolExecutor(len(HEIGHTS_MM)) as pool:
        return dict(zip(HEIGHTS_MM, pool.map(run, HEIGHTS_MM), strict=True))


def saved_height_mm(draft: Prescription) -> int:
    return int(Heel.objects.get(foot__prescription=draft, foot__side="left").height_mm or 0)


def test_who_does_not_say_which_state_was_seen_writes_over_the_other_unheard(draft: Prescription) -> None:
    """Both read 22 mm, both are told that theirs is saved, and one of them is gone."""
    read = Barrier(len(HEIGHTS_MM))

    def write_over(height_mm: int) -> int:
        foot = Foot.objects.get(prescription=draft, side="left")
        assert Heel.objects.get(foot=foot).height_mm == 22
        read.wait(NEVER)
        with transaction.atomic(), setting_up():
            Heel.objects.filter(foot=foot).update(height_mm=height_mm)
        return SAVED

    told = both_at_once(write_over)
    lost = [height_mm for height_mm, status in told.items() if status == SAVED and height_mm != saved_height_mm(draft)]
    assert len(lost) == 1


def test_of_two_tablets_that_keep_a_draft_at_once_one_is_told_and_nothing_is_written_over(draft: Prescription) -> None:
    tablets = {height_mm: Browserless() for height_mm in HEIGHTS_MM}
    for tablet in tablets.values():
        tablet.force_login(make_person(roles=["clinician"]))
    pages = {
        height_mm: filled_in(tablet.get(reverse("prescription", args=[draft.uuid])).content.decode())
        for height_mm, tablet in tablets.items()
    }

    def keep(height_mm: int) -> int:
        page = pages[height_mm] | {"left-heel-height_mm": str(height_mm)}
        return int(tablets[height_mm].post(reverse("prescription-keep", args=[draft.uuid]), page).status_code)

    told = both_at_once(keep)
    (kept,) = (height_mm for height_mm, status in told.items() if status == SAVED)
    draft.refresh_from_db()
    assert (sorted(told.values()), saved_height_mm(draft), draft.version) == ([SAVED, STALE], kept, 2)
