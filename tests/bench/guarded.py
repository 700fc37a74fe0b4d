"""Going round the actions: what the tests of the guards change by hand."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime

import pytest
from django.db import IntegrityError, transaction

from cases.bench.measured import as_kept
from cases.bench.models import (
    CoverCheck,
    Difference,
    Outcome,
    Pair,
    Stage,
)
from shared.history import acting
from shared.models import Deed
from tests.concurrency.racing import constraint_of
from tests.factories import bench as factory
from tests.factories.base import setting_up
from workshop.staff.models import Person


def refused_by(change: Callable[[], object], *, deed: AbstractContextManager[Deed] | None = None) -> str:
    """The name of the constraint by which the database refuses a change."""
    with pytest.raises(IntegrityError) as error, transaction.atomic(), deed or setting_up():
        change()
    return constraint_of(error.value)


def with_typed_reason(by: Person, now: datetime) -> AbstractContextManager[Deed]:
    return acting(by=by, action="try", says="Tried.", at=now, reason="typed by a person")


def tick(stage: Stage, by: Person, now: datetime) -> int:
    return Stage.objects.filter(pk=stage.pk).update(ticked_at=now, ticked_by=by)


def made_check(
    pair: Pair, by: Person, now: datetime, *, outcome: str = Outcome.AS_PRESCRIBED, **asked: str
) -> CoverCheck:
    requirement = factory.requirement(pair, **asked)
    with setting_up():
        return CoverCheck.objects.create(
            requirement=requirement,
            outcome=outcome,
            measured=as_kept(factory.as_asked(requirement)),
            found="10 mm short" if outcome == Outcome.DIFFERS else "",
            by=by,
            at=now,
        )


def make_difference(check: CoverCheck, **fields: object) -> Difference:
    asked = check.requirement
    return Difference(
        **{
            "pair": asked.stage.pair,
            "side": asked.side,
            "part": asked.part,
            "stage": asked.stage,
            "check_found": check,
            "found": check.found,
            "raised_at": check.at,
            "raised_by": check.by,
            **fields,
        }
    )
