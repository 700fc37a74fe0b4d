"""One photo of both feet before a part is closed in: kept, shown beside its checks, asked for and never in the way."""

from collections.abc import Callable
from datetime import datetime
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from cases.bench import actions
from cases.bench.models import Pair, PlacedPhoto, Stage
from shared import photos
from shared.models import Deed
from shared.refusals import Refused
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.figures import make_figure
from tests.shared.test_photos import picture
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    """The stiffeners are cut: next they are put in position."""
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    return pair


@pytest.fixture
def asked_for(pair: Pair) -> None:
    make_figure("placed_photo_asked_for", "1", valid_from=timezone.localdate())


def sent(client: Browserless, pair: Pair, *, sides: tuple[str, ...] = ("left", "right"), **entries: object) -> int:
    stages = [str(stage.uuid) for stage in factory.stages(pair, "last-backs", *sides)]
    answer = client.post(reverse("placed-photo-add", args=[pair.uuid]), {"stage": stages, **entries})
    return int(answer.status_code)


def photo(content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("../../bench.html", content, content_type="text/html")


def bench_page(client: Browserless, pair: Pair) -> str:
    return client.get(reverse("pair-bench", args=[pair.uuid])).content.decode()


def test_a_photo_of_both_feet_is_kept_made_smaller_and_told_in_the_story(
    signed_in: SignedIn, maker: Person, pair: Pair
) -> None:
    assert sent(signed_in(maker), pair, photo=photo(picture(size=(3200, 1600)))) == 303
    kept = PlacedPhoto.objects.get()
    assert kept.jpeg is not None
    assert Image.open(BytesIO(bytes(kept.jpeg))).size == (photos.LONGEST_SIDE_PX, 800)
    assert [kept.left, kept.right] == factory.stages(pair, "last-backs")
    says = Deed.objects.get(action="keep_placed_photo").says
    assert says == "Kept a photo in position: 'Paste the stiffeners in, last the backs', LEFT and RIGHT."


def test_a_photo_of_one_shoe_says_which(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    client = signed_in(maker)
    sent(client, pair, sides=("right",), photo=photo(picture()))
    assert 'alt="In position, RIGHT"' in bench_page(client, pair)


@pytest.mark.parametrize(
    ("content", "sentence"), [(b"<script>alert(1)</script>", photos.NO_PICTURE), (b"", "The submitted file is empty.")]
)
def test_what_is_no_photo_is_refused_in_a_sentence(
    signed_in: SignedIn, maker: Person, pair: Pair, content: bytes, sentence: str
) -> None:
    stages = [str(stage.uuid) for stage in factory.stages(pair, "last-backs")]
    entries = {"stage": stages, "photo": photo(content)}
    answer = signed_in(maker).post(reverse("placed-photo-add", args=[pair.uuid]), entries)
    assert (answer.status_code, sentence in answer.content.decode(), PlacedPhoto.objects.count()) == (422, True, 0)


def test_a_photo_is_given_out_as_a_picture_and_small(signed_in: SignedIn, clinician: Person, pair: Pair) -> None:
    kept = factory.make_placed_photo(pair, by=clinician, at=timezone.now())
    client = signed_in(clinician)
    given = [client.get(reverse(name, args=[kept.uuid])) for name in ("placed-photo", "placed-photo-small")]
    assert [answer.headers["Content-Type"] for answer in given] == ["image/jpeg", "image/jpeg"]


def test_why_there_is_none_is_no_picture(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    stages = factory.stages(pair, "last-backs")
    left_out = actions.leave_photo_out(pair, stages=stages, because="hands wet", by=maker, at=timezone.now())
    assert signed_in(maker).get(reverse("placed-photo", args=[left_out.uuid])).status_code == 404


def test_the_page_of_the_pair_shows_it_beside_its_check(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    factory.hold(factory.requirement(pair, "stiffener"), by=maker, at=timezone.now())
    kept = factory.make_placed_photo(pair, by=maker, at=timezone.now())
    page = signed_in(maker).get(reverse("pair", args=[pair.uuid]))
    (stage,) = [stage for stage in page.context["checked"] if stage.photos]
    told = (stage.name, [part.name for part in stage.parts], [seen.uuid for seen in stage.photos])
    assert told == ("Paste the stiffeners in, last the backs", ["Stiffener, placed check"], [kept.uuid])
    assert reverse("placed-photo-small", args=[kept.uuid]) in page.content.decode()


def test_the_page_of_the_pair_tells_what_was_measured(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    factory_page = signed_in(maker).get(reverse("pair", args=[pair.uuid])).content.decode()
    assert "medial reach measured 130 mm, prescribed 130 mm (127 to 133 mm)" in factory_page


def test_reception_sees_neither_checks_nor_photos(signed_in: SignedIn, reception: Person, pair: Pair) -> None:
    kept = factory.make_placed_photo(pair, by=reception, at=timezone.now())
    client = signed_in(reception)
    page = client.get(reverse("pair", args=[pair.uuid])).content.decode()
    photo_of_it = client.get(reverse("placed-photo", args=[kept.uuid])).status_code
    assert ("What was checked" in page, photo_of_it) == (False, 403)


def test_a_photo_is_offered_and_not_asked_for_unless_the_workshop_says_so(
    signed_in: SignedIn, maker: Person, pair: Pair
) -> None:
    page = bench_page(signed_in(maker), pair)
    assert ("Both feet in one photo, LEFT at left, a scale in view." in page, "A photo is asked for" in page) == (
        True,
        False,
    )


@pytest.mark.usefixtures("asked_for")
def test_asked_for_it_warns_until_there_is_one(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    client = signed_in(maker)
    before = "A photo is asked for" in bench_page(client, pair)
    sent(client, pair, photo=photo(picture()))
    assert (before, "A photo is asked for" in bench_page(client, pair)) == (True, False)


@pytest.mark.usefixtures("asked_for")
def test_why_it_was_left_out_is_said_by_one_touch(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    client = signed_in(maker)
    assert sent(client, pair, because="hands wet") == 303
    page = bench_page(client, pair)
    assert ("no photo</span> hands wet" in page, "A photo is asked for" in page) == (True, False)


@pytest.mark.usefixtures("asked_for")
def test_asked_for_it_holds_nobody_up(maker: Person, pair: Pair, now: datetime) -> None:
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    assert Stage.objects.filter(pair=pair, kind__key="last-backs", ticked_at=now).count() == 2


def test_no_reason_is_none(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Say why"):
        actions.leave_photo_out(pair, stages=factory.stages(pair, "last-backs"), because=" ", by=maker, at=now)


@pytest.mark.parametrize(
    ("stage", "refused"),
    [("cut-stiffeners", "already covered"), ("patterns", "already covered"), ("puff-on", "nothing")],
)
def test_where_nothing_is_in_position_there_is_nothing_to_photograph(
    pair: Pair, maker: Person, now: datetime, stage: str, refused: str
) -> None:
    with pytest.raises(Refused, match=refused):
        actions.leave_photo_out(pair, stages=factory.stages(pair, stage), because="hands wet", by=maker, at=now)


def test_a_photo_is_of_one_stage(pair: Pair, maker: Person, now: datetime) -> None:
    stages = [factory.stage(pair, "last-backs"), factory.stage(pair, "last-foreparts", "right")]
    with pytest.raises(Refused, match="one stage"):
        actions.leave_photo_out(pair, stages=stages, because="hands wet", by=maker, at=now)
