"""Finished shoes on the scale: after their final check, beside what was estimated, and what that teaches the next."""

from collections.abc import Callable, Mapping
from datetime import datetime
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from cases.bench import actions
from cases.bench.models import Pair
from cases.prescriptions import queries
from cases.prescriptions.models import WeighedShoe
from cases.prescriptions.panel import day_of, implied_by
from shared.models import Deed
from shared.refusals import Refused
from shared.sides import Side
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.base import setting_up
from tests.factories.prescriptions import make_prescription, make_weighed_shoe
from workshop.figures.models import Figure
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.fixture
def finished(pair: Pair, maker: Person, now: datetime) -> Pair:
    factory.bring_to_the_end(pair, by=maker, at=now)
    return pair


def weigh(pair: Pair, weighed_g: Mapping[Side, int], *, by: Person, at: datetime) -> None:
    actions.weigh_pair(pair, weighed_g=weighed_g, by=by, at=at)


def estimates(pair: Pair) -> dict[str, float]:
    assert pair.working_to is not None
    version = queries.whole(pair.working_to.uuid)
    feet = implied_by(version, day=day_of(timezone.localdate(version.signed_at))).implied.feet
    return {side: foot.weight.by_parts_g for side, foot in feet.items()}


def test_a_weight_stands_beside_the_estimate_of_the_day_of_signing(
    finished: Pair, maker: Person, now: datetime
) -> None:
    weigh(finished, {Side.LEFT: 612, Side.RIGHT: 634}, by=maker, at=now)
    shoes = {shoe.side: shoe for shoe in WeighedShoe.objects.all()}
    assert {side: shoe.weighed_g for side, shoe in shoes.items()} == {"left": 612, "right": 634}
    assert {side: float(shoe.estimated_g) for side, shoe in shoes.items()} == pytest.approx(
        estimates(finished), abs=0.05
    )


def test_the_story_of_the_pair_tells_what_it_weighs(finished: Pair, maker: Person, now: datetime) -> None:
    weigh(finished, {Side.LEFT: 612, Side.RIGHT: 634}, by=maker, at=now)
    told = Deed.objects.get(action="record_weights")
    assert (told.says, told.pair_uuid) == ("Weighed LEFT 612 g, RIGHT 634 g.", finished.uuid)


def test_a_shoe_is_not_weighed_before_its_final_check(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "final-check", by=maker, at=now)
    with pytest.raises(Refused, match=r"LEFT: weighed once its final check is ticked\."):
        weigh(pair, {Side.LEFT: 612}, by=maker, at=now)


def test_a_weight_that_no_shoe_has_is_refused(finished: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="RIGHT: a shoe weighs 50 to 5000 g"):
        weigh(finished, {Side.RIGHT: 6120}, by=maker, at=now)


def test_a_weighing_is_never_changed(maker: Person) -> None:
    shoe = make_weighed_shoe(by=maker)
    with pytest.raises(IntegrityError) as refused, transaction.atomic(), setting_up():
        WeighedShoe.objects.filter(pk=shoe.pk).update(weighed_g=700)
    assert "weighed_shoe_is_final" in str(refused.value.__cause__.diag.constraint_name)  # type: ignore[union-attr]


def test_ten_weighed_pairs_correct_the_estimate_of_another(now: datetime) -> None:
    factory.load_starting_values()
    version = make_prescription()
    day = day_of(timezone.localdate(now))

    def middle() -> float:
        return implied_by(queries.whole(version.uuid), day=day).implied.feet[Side.LEFT].weight.middle_g

    before = middle()
    for _ in range(9):
        make_weighed_shoe(estimated_g=500, weighed_g=550)
    after_nine = middle()
    make_weighed_shoe(estimated_g=500, weighed_g=550)
    assert (after_nine, middle()) == pytest.approx((before, 1.1 * before))


def test_from_how_many_pairs_on_is_the_workshops_to_say(now: datetime) -> None:
    factory.load_starting_values()
    with setting_up():
        Figure.objects.create(
            name="weight_pairs_to_learn", value=1, unit="pairs", valid_from=timezone.localdate(now), standing="set here"
        )
    make_weighed_shoe(pair_uuid=uuid4(), estimated_g=500, weighed_g=450)
    version = queries.whole(make_prescription().uuid)
    weight = implied_by(version, day=day_of(timezone.localdate(now))).implied.feet[Side.LEFT].weight
    assert weight.middle_g == pytest.approx(0.9 * weight.by_parts_g)


def test_the_page_puts_a_weight_on_record(finished: Pair, maker: Person, signed_in: SignedIn) -> None:
    client, address = signed_in(maker), reverse("pair-weigh", args=[finished.uuid])
    answer = client.post(address, {"left_g": "612", "right_g": ""})
    shoes = [(shoe.side, shoe.weighed_g) for shoe in WeighedShoe.objects.all()]
    assert (answer.status_code, shoes, "LEFT 612 g, estimated" in client.get(address).content.decode()) == (
        303,
        [("left", 612)],
        True,
    )


def test_the_page_says_why_a_weight_is_not_taken(pair: Pair, maker: Person, signed_in: SignedIn) -> None:
    answer = signed_in(maker).post(reverse("pair-weigh", args=[pair.uuid]), {"left_g": "612"})
    assert (answer.status_code, "weighed once its final check is ticked" in answer.content.decode()) == (422, True)
