"""Scans, added as an action adds them."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from cases.lasts.actions.scans import add_scan
from cases.lasts.models import Scan
from tests.factories.scans import foot_file
from workshop.staff.models import Person


def added(patient: Any, by: Person, at: datetime, **changes: Any) -> Scan:
    facts: dict[str, Any] = {
        "side": "left",
        "file": foot_file("left"),
        "load": "part",
        "heel_height_mm": Decimal(0),
        "made_on": at.date(),
        **changes,
    }
    return add_scan(patient, **facts, by=by, at=at)
