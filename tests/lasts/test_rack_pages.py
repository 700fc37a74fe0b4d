"""The rack: found by size and heel, registered with all that was measured, photographed."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from cases.lasts import actions
from cases.lasts.models import MEASURED_MM, Last, LastPhoto
from shared import photos
from shared.models import Deed, HistoryEntry
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_last
from tests.factories.patients import make_patient
from tests.lasts.test_lasts import typed
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Any]


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def picture(*, size: tuple[int, int] = (2000, 1000)) -> bytes:
    out = BytesIO()
    Image.new("RGB", size, "brown").save(out, "JPEG")
    return out.getvalue()


def sent(content: bytes, *, name: str = "last.jpg", words: str = "the joint") -> dict[str, Any]:
    return {"photo": SimpleUploadedFile(name, content, content_type="image/jpeg"), "words": words}


def make_photo(*, last: Last | None = None, by: Person, words: str = "") -> LastPhoto:
    jpeg = photos.kept_photo(picture())
    return actions.keep_photo(last or make_last(), jpeg=jpeg, words=words, by=by, at=timezone.now())


# Found ---------------------------------------------------------------------------------------------------------------


@pytest.fixture
def rack() -> None:
    make_last(number="42 long", length_mm=Decimal(280), heel_height_mm=Decimal(20))
    make_last(number="42 by its mark", length_mm=Decimal(270), marked_size="EU 42", marked_read_on="foot")
    make_last(
        number="41", length_mm=Decimal("273.4"), heel_height_mm=Decimal(40), marked_size="142", marked_read_on="last"
    )


@pytest.mark.parametrize(
    ("asked", "numbers"),
    [
        ({"size": "EU 42"}, ["42 by its mark", "42 long"]),
        ({"size": "eu42"}, ["42 by its mark", "42 long"]),
        ({"size": "UK 8"}, ["42 long"]),
        ({"size": "270-275"}, ["41", "42 by its mark"]),
        ({"size": "275 to 270 mm"}, ["41", "42 by its mark"]),
        ({"size": "271"}, ["41", "42 by its mark"]),
        ({"size": "11 in"}, ["42 long"]),
        ({"heel": "20"}, ["42 by its mark", "42 long"]),
        ({"heel": "40", "size": "EU 41"}, ["41"]),
        ({"heel": "40", "size": "EU 44"}, []),
    ],
    ids=str,
)
def test_a_last_is_found_by_size_length_mark_and_heel(
    maker: Person, signed_in: SignedIn, rack: None, asked: dict[str, str], numbers: list[str]
) -> None:
    found = signed_in(maker).get(reverse("last-rack"), asked).context["rack"].lasts
    assert [last.number for last in found] == numbers


def test_the_rack_stands_in_the_order_of_its_numbers(maker: Person, signed_in: SignedIn) -> None:
    for number in ("10", "9", "A1", "100"):
        make_last(number=number)
    found = signed_in(maker).get(reverse("last-rack")).context["rack"].lasts
    assert [last.number for last in found] == ["9", "10", "100", "A1"]


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"size": "large"}, "This is neither a size nor a length: type EU 42, UK 8, UK child 10, 285 or 280-290."),
        (
            {"size": "42"},
            "A last is 80 to 400 mm long. For a size say which: EU 42, UK 8, UK child 10, 285 or 280-290.",
        ),
        ({"heel": "high"}, "This is no heel height: type it in mm, such as 22."),
        ({"heel": "300"}, "The heel height of a last is at most 120 mm."),
    ],
    ids=str,
)
def test_what_cannot_be_read_is_said_and_left_out(
    maker: Person, signed_in: SignedIn, rack: None, asked: dict[str, str], sentence: str
) -> None:
    context = signed_in(maker).get(reverse("last-rack"), asked).context
    assert (context["form"].cannot, len(context["rack"].lasts)) == ([sentence], 3)


def test_the_range_behind_a_size_is_said(maker: Person, signed_in: SignedIn) -> None:
    page = signed_in(maker).get(reverse("last-rack"), {"size": "EU 42"}).content.decode()
    assert "EU 42: 276.7 to 283.3 mm long on the last, or so marked" in page


# Registered ----------------------------------------------------------------------------------------------------------


def test_length_heel_and_place_are_enough(maker: Person, signed_in: SignedIn) -> None:
    begins = signed_in(maker).get(reverse("stock-last-new")).context["form"].initial
    few = {"left_length_mm": "285", "heel_height_mm": "22", "place": "A1", "origin": "reused", "making": "tape"}
    answer = signed_in(maker).post(
        reverse("stock-last-new"),
        {**few, "made_on": f"{begins['made_on']}", "toe_spring_mm": begins["toe_spring_mm"]},
    )
    assert (answer.status_code, Last.objects.get().length_mm) == (303, Decimal(285))


def test_each_foot_keeps_its_own_girths_and_widths(maker: Person, signed_in: SignedIn) -> None:
    girths = {f"left_{name}": "60" for name in MEASURED_MM} | {f"right_{name}": "61,5" for name in MEASURED_MM}
    signed_in(maker).post(reverse("stock-last-new"), typed(maker, **girths))
    kept = {last.side: {getattr(last, name) for name in MEASURED_MM} for last in Last.objects.all()}
    assert kept == {"left": {Decimal(60)}, "right": {Decimal("61.5")}}


def test_a_girth_may_be_typed_in_inches(maker: Person, signed_in: SignedIn) -> None:
    signed_in(maker).post(reverse("stock-last-new"), typed(maker, left_joint_girth_mm="9 7/8 in"))
    assert Last.objects.get(side="left").joint_girth_mm == Decimal("250.8")


def test_alignment_is_kept_with_its_sign(maker: Person, signed_in: SignedIn) -> None:
    tilts = {"left_rearfoot_varus_degrees": "-3,5", "left_toe_out_degrees": "\u22124"}
    signed_in(maker).post(reverse("stock-last-new"), typed(maker, **tilts))
    last = Last.objects.get(side="left")
    assert (last.rearfoot_varus_degrees, last.toe_out_degrees) == (Decimal("-3.5"), Decimal(-4))


def test_where_the_tape_was_on_it_the_last_says_when_and_by_whom(
    maker: Person, signed_in: SignedIn, now: datetime
) -> None:
    signed_in(maker).post(reverse("stock-last-new"), typed(maker, left_joint_girth_mm="250"))
    said = Last.objects.order_by("side").values_list("measured_version", "measured_on", "measured_by")
    assert list(said) == [(1, timezone.localdate(), maker.pk), (None, None, None)]


def test_a_marked_size_says_what_it_was_read_on(maker: Person, signed_in: SignedIn) -> None:
    answer = signed_in(maker).post(reverse("stock-last-new"), typed(maker, marked_size="EU 42"))
    assert (answer.status_code, answer.context["form"].errors) == (
        422,
        {"marked_read_on": ["Say whether the size was read on the last or on the foot."]},
    )


def test_a_marked_size_is_kept_for_both_feet(maker: Person, signed_in: SignedIn) -> None:
    signed_in(maker).post(reverse("stock-last-new"), typed(maker, marked_size="EU 42", marked_read_on="foot"))
    assert set(Last.objects.values_list("marked_size", "marked_read_on")) == {("EU 42", "foot")}


def test_a_girth_without_a_length_is_asked_about(maker: Person, signed_in: SignedIn) -> None:
    entries = typed(maker, right_length_mm="", right_joint_girth_mm="250")
    answer = signed_in(maker).post(reverse("stock-last-new"), entries)
    assert answer.context["form"].errors == {
        "right_length_mm": ["Type the length of the RIGHT last, or empty its half."]
    }


def test_a_girth_that_no_last_has_is_asked_about(maker: Person, signed_in: SignedIn) -> None:
    answer = signed_in(maker).post(reverse("stock-last-new"), typed(maker, left_joint_girth_mm="25"))
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, ["left_joint_girth_mm"])


# Its condition -------------------------------------------------------------------------------------------------------


def test_the_condition_of_an_agreed_last_is_noted_and_it_stays_agreed(maker: Person, signed_in: SignedIn) -> None:
    last = agreed(make_last())
    signed_in(maker).post(reverse("last-condition", args=[last.uuid]), {"condition": "hinge worn"})
    last.refresh_from_db()
    assert (last.condition, last.version) == ("hinge worn", 1)


def test_the_story_tells_of_the_condition(maker: Person, now: datetime) -> None:
    actions.note_condition(make_last(number="7", condition="hinge worn"), condition=" ", by=maker, at=now)
    assert Deed.objects.get(action="note_condition").says == "Noted on last 7 LEFT: nothing amiss any more."


def test_a_condition_that_is_noted_already_is_no_deed(maker: Person, now: datetime) -> None:
    actions.note_condition(make_last(condition="hinge worn"), condition="hinge worn", by=maker, at=now)
    assert Deed.objects.filter(action="note_condition").count() == 0


def test_an_agreed_last_that_is_not_to_be_used_says_why_where_it_stands(maker: Person, signed_in: SignedIn) -> None:
    last, client = agreed(make_last(number="7")), signed_in(maker)
    entries = {"condition": "", "not_used_because": "cracked at the hinge"}
    client.post(reverse("last-condition", args=[last.uuid]), entries)
    page = client.get(reverse("last", args=[last.uuid])).content.decode()
    rack = client.get(reverse("last-rack")).content.decode()
    said = Deed.objects.get(action="note_condition").says
    assert (said, page.count("Not to be used: cracked at the hinge"), rack.count("cracked at the hinge")) == (
        "Noted on last 7 LEFT: not to be used, cracked at the hinge.",
        1,
        1,
    )


def test_a_last_that_may_be_used_again_is_said_to(maker: Person, now: datetime) -> None:
    last = make_last(number="7", condition="worn", not_used_because="cracked")
    actions.note_condition(last, condition="hinge renewed", by=maker, at=now)
    assert Deed.objects.get(action="note_condition").says == "Noted on last 7 LEFT: hinge renewed; to be used again."


def test_a_condition_too_long_is_asked_about(maker: Person, signed_in: SignedIn) -> None:
    answer = signed_in(maker).post(reverse("last-condition", args=[make_last().uuid]), {"condition": "x" * 121})
    assert answer.status_code == 422


# Photos --------------------------------------------------------------------------------------------------------------


def test_a_photo_is_kept_smaller_than_it_came(maker: Person, signed_in: SignedIn) -> None:
    last = make_last()
    answer = signed_in(maker).post(reverse("last-photo-add", args=[last.uuid]), sent(picture()))
    kept = LastPhoto.objects.get()
    assert (answer.status_code, kept.words, Image.open(BytesIO(bytes(kept.jpeg))).size) == (
        303,
        "the joint",
        (1600, 800),
    )


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"not a picture", photos.NO_PICTURE),
        (b"", "The submitted file is empty."),
        (b"\xff" * (photos.MOST_BYTES + 1), photos.TOO_LARGE),
    ],
    ids=["words", "nothing", "too large"],
)
def test_what_is_no_photo_is_refused_with_a_sentence(
    maker: Person, signed_in: SignedIn, content: bytes, sentence: str
) -> None:
    answer = signed_in(maker).post(reverse("last-photo-add", args=[make_last().uuid]), sent(content))
    assert (answer.status_code, answer.context["form"].errors, LastPhoto.objects.count()) == (
        422,
        {"photo": [sentence]},
        0,
    )


@pytest.mark.parametrize(("page", "size"), [("last-photo", (1600, 800)), ("last-photo-small", (320, 160))])
def test_a_photo_is_given_out_as_it_is_and_small(
    maker: Person, signed_in: SignedIn, page: str, size: tuple[int, int]
) -> None:
    answer = signed_in(maker).get(reverse(page, args=[make_photo(by=maker).uuid]))
    shown = Image.open(BytesIO(answer.content)).size
    assert (answer["Content-Type"], answer["Cache-Control"], shown) == ("image/jpeg", "no-store", size)


@pytest.mark.parametrize("page", ["last-photo", "last-photo-small"])
def test_a_photo_is_not_for_the_desk(reception: Person, maker: Person, signed_in: SignedIn, page: str) -> None:
    assert signed_in(reception).get(reverse(page, args=[make_photo(by=maker).uuid])).status_code == 403


def test_the_history_keeps_that_there_was_a_photo_and_not_the_picture(maker: Person) -> None:
    make_photo(by=maker, words="the heel")
    entry = HistoryEntry.objects.get(table_name="lasts_lastphoto")
    assert entry.after is not None
    assert ("jpeg" in entry.after, entry.after["words"]) == (False, "the heel")


def test_the_page_of_a_last_shows_its_photos_the_latest_first(maker: Person, signed_in: SignedIn) -> None:
    last = make_last()
    shown = [make_photo(last=last, by=maker, words=words) for words in ("the heel", "the toe")]
    found = signed_in(maker).get(reverse("last", args=[last.uuid])).context["last"].shown_photos
    assert [(each.uuid, each.words, each.by) for each in found] == [
        (shown[1].uuid, "the toe", maker.name),
        (shown[0].uuid, "the heel", maker.name),
    ]


def test_the_page_of_a_last_shows_the_photos_of_no_other(maker: Person, signed_in: SignedIn) -> None:
    make_photo(by=maker)
    assert signed_in(maker).get(reverse("last", args=[make_last().uuid])).context["last"].shown_photos == []


def test_a_photo_that_is_not_what_was_kept_is_not_given_out(maker: Person, signed_in: SignedIn) -> None:
    kept = make_photo(by=maker)
    with setting_up(), connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("ALTER TABLE lasts_lastphoto DISABLE TRIGGER USER")
        cursor.execute("ALTER TABLE lasts_lastphoto DROP CONSTRAINT photo_matches_its_hash")
        cursor.execute("UPDATE lasts_lastphoto SET sha256 = repeat('0', 64) WHERE id = %s", [kept.pk])
    with pytest.raises(RuntimeError):
        signed_in(maker).get(reverse("last-photo", args=[kept.uuid]))


def test_a_clients_lasts_are_registered_with_the_owner(maker: Person, signed_in: SignedIn) -> None:
    owner = make_patient()
    signed_in(maker).post(reverse("last-new", args=[owner.uuid]), typed(maker, left_joint_girth_mm="250"))
    assert {last.owner for last in Last.objects.all()} == {owner}
