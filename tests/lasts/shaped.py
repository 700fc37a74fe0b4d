"""Targets set as a maker sets them, and the pages of a last opened by name."""

from datetime import datetime
from typing import Any

from django.urls import reverse

from cases.lasts import actions
from cases.lasts.models import Last, LastTarget
from workshop.staff.models import Person

FOOT = {"foot_length": 273, "joint_girth": 253, "instep_girth": 255}


def owner_of(last: Last) -> Any:
    assert last.owner is not None
    return last.owner


def set_target(last: Last, by: Person, at: datetime, **chosen: Any) -> LastTarget:
    sitting = owner_of(last).measure_sets.get()
    given = {"footwear_kind": "low", "hose": "normal", **chosen}
    return actions.set_last_target(last, measure_set=sitting, **given, by=by, at=at)


def page(client: Any, last: Last, name: str = "last") -> Any:
    return client.get(reverse(name, args=[last.uuid]))
