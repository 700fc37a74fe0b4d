"""The database itself: a photo shows what is in position, of its own feet, before it is closed in."""

from datetime import datetime
from typing import Any

import pytest

from cases.bench.models import Pair, PlacedPhoto, Stage
from tests.bench.guarded import refused_by
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.fixture
def reason(maker: Person, now: datetime) -> dict[str, Any]:
    return {"left_out_because": "hands wet", "by": maker, "at": now}


def backs(pair: Pair, side: str) -> Stage:
    return factory.stage(pair, "last-backs", side)


def test_a_photo_is_of_a_foot(reason: dict[str, Any]) -> None:
    assert refused_by(PlacedPhoto(**reason).save) == "a_placed_photo_is_of_a_foot"


def test_without_a_photo_it_says_why(pair: Pair, reason: dict[str, Any]) -> None:
    silent = PlacedPhoto(left=backs(pair, "left"), **{**reason, "left_out_because": ""})
    assert refused_by(silent.save) == "a_photo_or_why_there_is_none"


def test_a_photo_is_what_its_hash_says(pair: Pair, maker: Person, now: datetime) -> None:
    photo = PlacedPhoto(left=backs(pair, "left"), jpeg=b"a picture", sha256="0" * 64, by=maker, at=now)
    assert refused_by(photo.save) == "placed_photo_matches_its_hash"


@pytest.mark.parametrize(("left", "right"), [("right", None), (None, "left")])
def test_left_and_right_stay_in_their_places(
    pair: Pair, reason: dict[str, Any], left: str | None, right: str | None
) -> None:
    feet = {place: backs(pair, side) for place, side in (("left", left), ("right", right)) if side}
    assert refused_by(PlacedPhoto(**feet, **reason).save) == "a_photo_shows_a_placed_part"


def test_where_nothing_is_put_in_position_there_is_nothing_to_show(pair: Pair, reason: dict[str, Any]) -> None:
    photo = PlacedPhoto(left=factory.stage(pair, "gather"), **reason)
    assert refused_by(photo.save) == "a_photo_shows_a_placed_part"


def test_left_and_right_are_of_one_pair(pair: Pair, maker: Person, now: datetime, reason: dict[str, Any]) -> None:
    other = factory.make_pair(by=maker, at=now)
    photo = PlacedPhoto(left=backs(pair, "left"), right=backs(other, "right"), **reason)
    assert refused_by(photo.save) == "a_photo_is_of_one_pair"


def test_after_it_is_closed_in_there_is_nothing_to_show(
    pair: Pair, maker: Person, now: datetime, reason: dict[str, Any]
) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    photo = PlacedPhoto(left=backs(pair, "left"), **reason)
    assert refused_by(photo.save) == "a_photo_comes_before_the_cover"


def test_a_kept_photo_stays_as_it_is(pair: Pair, maker: Person, now: datetime) -> None:
    kept = PlacedPhoto.objects.filter(pk=factory.make_placed_photo(pair, by=maker, at=now).pk)
    assert refused_by(lambda: kept.update(at=now.replace(hour=1))) == "placed_photo_is_final"
