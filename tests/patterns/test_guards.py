"""What the database refuses of adjusted patterns and own templates, tried by going round the actions."""

from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest

from cases.bench.models import Difference, Pair
from cases.patterns.models import OwnTemplate, PatternAdjustment
from tests.bench.guarded import refused_by
from tests.bench.test_versions import sign_next_version
from tests.concurrency.racing import at_once
from tests.factories import bench as factory
from tests.factories.base import setting_up
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FOUND = "medial reach 140 mm; 130 mm is prescribed."


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def adjustment(pair: Pair, by: Person, at: datetime, **fields: Any) -> PatternAdjustment:
    return PatternAdjustment(
        **{
            "pair": pair,
            "version": pair.working_to,
            "side": "left",
            "piece": "stiffener",
            "part": "stiffener",
            "kind": "figure",
            "what": "medial-reach",
            "what_words": "medial reach",
            "from_mm": Decimal(130),
            "to_mm": Decimal(140),
            "reason": "the heel is long",
            "by": by,
            "at": at,
            **fields,
        }
    )


def made(pair: Pair, by: Person, at: datetime, **fields: Any) -> PatternAdjustment:
    row = adjustment(pair, by, at, **fields)
    with setting_up():
        row.save()
    return row


def point(**fields: Any) -> dict[str, Any]:
    """The fields of a shifted point."""
    return {"kind": "point", "from_mm": None, "to_mm": None, "medial_mm": Decimal(2), "along_mm": Decimal(0), **fields}


@pytest.mark.parametrize(
    ("fields", "constraint"),
    [
        ({"side": "both"}, "adjustment_side_is_known"),
        ({"reason": " x "}, "an_adjustment_says_why"),
        ({"to_mm": None}, "an_adjustment_is_a_figure_or_a_point"),
        ({"along_mm": Decimal(3)}, "an_adjustment_is_a_figure_or_a_point"),
        (point(medial_mm=None), "an_adjustment_is_a_figure_or_a_point"),
        ({"to_mm": Decimal("400.5")}, "an_adjustment_stays_within_the_piece"),
        ({"to_mm": Decimal(-1)}, "an_adjustment_stays_within_the_piece"),
        (point(medial_mm=Decimal(41)), "an_adjustment_stays_within_the_piece"),
        (point(along_mm=Decimal("-40.5")), "an_adjustment_stays_within_the_piece"),
    ],
)
def test_an_adjustment_that_says_too_little_or_too_much_is_refused(
    pair: Pair, maker: Person, now: datetime, fields: dict[str, Any], constraint: str
) -> None:
    assert refused_by(adjustment(pair, maker, now, **fields).save) == constraint


def test_an_adjustment_is_of_the_version_its_pair_works_to(pair: Pair, maker: Person, now: datetime) -> None:
    newer = sign_next_version(pair)
    wrong = adjustment(pair, maker, now, version=newer)
    assert refused_by(wrong.save) == "an_adjustment_is_of_its_own_pair"


def test_an_adjustment_is_of_a_foot_that_its_pair_has(maker: Person, now: datetime) -> None:
    single = factory.make_pair(by=maker, at=now, feet="right")
    assert refused_by(adjustment(single, maker, now).save) == "an_adjustment_is_of_its_own_pair"


def test_an_adjustment_begins_standing(pair: Pair, maker: Person, now: datetime) -> None:
    wrong = adjustment(pair, maker, now, taken_back_at=now, taken_back_by=maker)
    assert refused_by(wrong.save) == "an_adjustment_begins_standing"


def test_two_adjustments_of_one_figure_are_not_both_the_first(pair: Pair, maker: Person, now: datetime) -> None:
    made(pair, maker, now)
    assert refused_by(adjustment(pair, maker, now).save) == "one_adjustment_is_the_first"


def test_two_adjustments_do_not_follow_the_same_one(pair: Pair, maker: Person, now: datetime) -> None:
    first = made(pair, maker, now)
    made(pair, maker, now, follows=first)
    again = adjustment(pair, maker, now, follows=first)
    assert refused_by(again.save) == "patterns_patternadjustment_follows_id_key"


@pytest.mark.parametrize("other", [{"side": "right"}, {"what": "lateral-reach"}, {"piece": "insole"}])
def test_an_adjustment_follows_one_of_the_same_figure(
    pair: Pair, maker: Person, now: datetime, other: dict[str, str]
) -> None:
    first = made(pair, maker, now, **other)
    assert refused_by(adjustment(pair, maker, now, follows=first).save) == "an_adjustment_follows_its_own_kind"


@pytest.mark.parametrize("other", [{"side": "right"}, {"part": "insole"}])
def test_an_adjustment_has_a_difference_of_its_own_foot_and_part(
    pair: Pair, maker: Person, now: datetime, other: dict[str, str]
) -> None:
    asked = {"side": "left", "part": "stiffener", **other}
    with setting_up():
        difference = Difference.objects.create(
            pair=pair,
            source="pattern",
            stage=factory.stage(pair, "cut-stiffeners", asked["side"]),
            found=FOUND,
            raised_at=now,
            raised_by=maker,
            **asked,
        )
    assert (
        refused_by(adjustment(pair, maker, now, difference=difference).save) == "an_adjustment_has_its_own_difference"
    )


@pytest.mark.parametrize("change", [{"to_mm": 132}, {"reason": "another"}, {"side": "right"}])
def test_an_adjustment_is_not_changed(pair: Pair, maker: Person, now: datetime, change: dict[str, object]) -> None:
    rows = PatternAdjustment.objects.filter(pk=made(pair, maker, now).pk)
    assert refused_by(lambda: rows.update(**change)) == "an_adjustment_stays_on_record"


def test_an_adjustment_is_not_deleted(pair: Pair, maker: Person, now: datetime) -> None:
    rows = PatternAdjustment.objects.filter(pk=made(pair, maker, now).pk)
    assert refused_by(rows.delete) == "an_adjustment_stays_on_record"


def test_an_adjustment_is_taken_back_at_most_once(pair: Pair, maker: Person, now: datetime) -> None:
    rows = PatternAdjustment.objects.filter(pk=made(pair, maker, now).pk)
    with setting_up():
        rows.update(taken_back_at=now, taken_back_by=maker)
    assert refused_by(lambda: rows.update(taken_back_at=None, taken_back_by=None)) == "an_adjustment_stays_on_record"


def test_whoever_takes_an_adjustment_back_is_named(pair: Pair, maker: Person, now: datetime) -> None:
    rows = PatternAdjustment.objects.filter(pk=made(pair, maker, now).pk)
    assert refused_by(lambda: rows.update(taken_back_at=now)) == "who_takes_an_adjustment_back_is_named"


# Own templates


def template(pair: Pair, by: Person, at: datetime, **fields: Any) -> OwnTemplate:
    given = {"pair": pair, "side": "left", "part": "toe_puff", "template": "my no. 3", "by": by, "at": at, **fields}
    return OwnTemplate(**given)


def used(pair: Pair, by: Person, at: datetime) -> OwnTemplate:
    row = template(pair, by, at)
    with setting_up():
        row.save()
    return row


def test_one_template_stands_for_a_part_of_a_foot(pair: Pair, maker: Person, now: datetime) -> None:
    used(pair, maker, now)
    assert refused_by(template(pair, maker, now).save) == "one_template_stands"


def test_a_template_says_which(pair: Pair, maker: Person, now: datetime) -> None:
    assert refused_by(template(pair, maker, now, template=" ").save) == "an_own_template_says_which"


def test_a_template_is_of_a_foot_that_its_pair_has(maker: Person, now: datetime) -> None:
    single = factory.make_pair(by=maker, at=now, feet="right")
    assert refused_by(template(single, maker, now).save) == "a_template_is_of_a_foot_of_its_pair"


def test_a_template_is_not_changed(pair: Pair, maker: Person, now: datetime) -> None:
    rows = OwnTemplate.objects.filter(pk=used(pair, maker, now).pk)
    assert refused_by(lambda: rows.update(template="another")) == "a_template_stays_on_record"


def test_a_template_is_not_deleted(pair: Pair, maker: Person, now: datetime) -> None:
    rows = OwnTemplate.objects.filter(pk=used(pair, maker, now).pk)
    assert refused_by(rows.delete) == "a_template_stays_on_record"


def test_whoever_ends_a_template_is_named(pair: Pair, maker: Person, now: datetime) -> None:
    rows = OwnTemplate.objects.filter(pk=used(pair, maker, now).pk)
    assert refused_by(lambda: rows.update(ended_at=now)) == "who_ends_a_template_is_named"


@pytest.mark.django_db(transaction=True)
def test_of_two_who_adjust_one_figure_at_once_one_is_told(now: datetime) -> None:
    maker = make_person(name="Max Maker", roles=["maker"])
    pair = factory.make_pair(by=maker, at=now)
    runs = at_once(*(lambda: made(pair, maker, now) for _ in range(2)))
    assert sorted(run.refused for run in runs) == ["", "one_adjustment_is_the_first"]
