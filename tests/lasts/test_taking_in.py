"""Lasts taken in from a file: looked at first, then all of it in one deed or nothing."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from cases.lasts import rack_files
from cases.lasts.actions import choose_rack_file, take_in_rack_file
from cases.lasts.actions.rack_files import NotGood
from cases.lasts.models import Last, RackFile
from cases.lasts.queries.rack_files import rows_of_the_rack
from cases.lasts.rack_files import write_rack_file
from shared.models import Deed, HistoryEntry
from shared.refusals import Refused
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Any]
HEAD = "number,side,length_mm,heel_height_mm,place,joint_girth_mm,owner_record_number"


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def content_of(*lines: str) -> bytes:
    return "\n".join([HEAD, *lines]).encode()


TWO = content_of("S1,left,285,22,A1,250,", "S1,right,286,22,A1,251.5,")


def chosen(by: Person, content: bytes = TWO, *, at: datetime | None = None) -> RackFile:
    return choose_rack_file(content, name="rack.csv", by=by, at=at or timezone.now())


def sent(content: bytes) -> dict[str, Any]:
    return {"file": SimpleUploadedFile("rack.csv", content, content_type="text/csv")}


# Choosing and looking ------------------------------------------------------------------------------------------------


def test_a_file_is_looked_at_before_anything_is_registered(maker: Person, signed_in: SignedIn) -> None:
    client = signed_in(maker)
    page = client.get(client.post(reverse("rack-import"), sent(TWO))["Location"])
    assert (page.context["how_many_good"], page.context["how_many_bad"], Last.objects.count()) == (2, 0, 0)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"PK\x03\x04", "This is a spreadsheet's own file or an archive. Save it as CSV, and choose that."),
        (
            b"number;size\n7;42",
            "The head of the file has columns that are not known: size. Give the columns the names described here.",
        ),
        (b"", "This file is empty."),
    ],
    ids=["spreadsheet", "columns", "empty"],
)
def test_a_file_that_is_none_is_refused_with_a_sentence(
    maker: Person, signed_in: SignedIn, content: bytes, sentence: str
) -> None:
    answer = signed_in(maker).post(reverse("rack-import"), sent(content))
    assert (answer.status_code, answer.context["form"].errors, RackFile.objects.count()) == (
        422,
        {"file": [sentence]},
        0,
    )


def test_a_file_too_large_is_refused_with_a_sentence(
    maker: Person, signed_in: SignedIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rack_files, "MOST_BYTES", 20)
    answer = signed_in(maker).post(reverse("rack-import"), sent(TWO))
    assert answer.context["form"].errors == {"file": ["This file is larger than 0 MB. Part it."]}


def test_every_bad_line_is_named_and_the_good_ones_are_shown(maker: Person, signed_in: SignedIn) -> None:
    file = chosen(maker, content_of("S1,left,285,22,A1,,", "S1,up,285,22,A1,,", "S2,left,2,22,A1,,X9"))
    page = signed_in(maker).get(reverse("rack-file", args=[file.uuid]))
    named = [(bad.line, bad.column, bad.given) for bad in page.context["bad"]]
    assert (named, [line.line for line in page.context["lines"]]) == ([(3, "side", "up"), (4, "length_mm", "2")], [2])


def test_a_last_that_stands_on_the_rack_is_named_before_it_is_taken_in(maker: Person, signed_in: SignedIn) -> None:
    make_last(number="S1", side="right")
    page = signed_in(maker).get(reverse("rack-file", args=[chosen(maker).uuid]))
    assert [(bad.line, bad.reason) for bad in page.context["bad"]] == [(3, "already stands on the rack, RIGHT")]


def test_a_file_with_a_bad_line_offers_no_taking_in(maker: Person, signed_in: SignedIn) -> None:
    file = chosen(maker, content_of("S1,left,285,22,A1,,", "S1,up,285,22,A1,,"))
    page = signed_in(maker).get(reverse("rack-file", args=[file.uuid])).content.decode()
    assert ("Take in 1 last" in page, "1 line cannot be taken in" in page) == (False, True)


def test_many_bad_lines_are_shown_page_by_page(maker: Person, signed_in: SignedIn) -> None:
    file = chosen(maker, content_of(*(f"S{number},up,285,22,A1,," for number in range(450))))
    client = signed_in(maker)
    pages = [client.get(reverse("rack-file", args=[file.uuid]), {"from": begin}) for begin in (0, 200, 400)]
    shown = [(len(page.context["bad"]), page.context["before"], page.context["after"]) for page in pages]
    assert shown == [(200, None, 200), (200, 0, 400), (50, 200, None)]


@pytest.mark.parametrize("begin", ["-1", "x", "9" * 40, "²"])
def test_a_page_of_bad_lines_that_is_none_is_the_first(maker: Person, signed_in: SignedIn, begin: str) -> None:
    file = chosen(maker, content_of("S1,up,285,22,A1,,"))
    assert len(signed_in(maker).get(reverse("rack-file", args=[file.uuid]), {"from": begin}).context["bad"]) == 1


def test_a_file_is_for_whoever_chose_it(maker: Person, clinician: Person, signed_in: SignedIn) -> None:
    assert signed_in(clinician).get(reverse("rack-file", args=[chosen(maker).uuid])).status_code == 404


def test_a_file_that_nobody_took_in_is_forgotten_after_a_day(maker: Person, now: datetime) -> None:
    chosen(maker, at=now - timedelta(days=1, minutes=1))
    kept = chosen(maker, at=now - timedelta(hours=23))
    later = chosen(maker, at=now)
    assert set(RackFile.objects.all()) == {kept, later}


# Taking in -----------------------------------------------------------------------------------------------------------


def test_what_was_looked_at_is_what_is_registered(maker: Person, signed_in: SignedIn) -> None:
    answer = signed_in(maker).post(reverse("rack-file", args=[chosen(maker).uuid]))
    lasts = Last.objects.order_by("side")
    kept = [(each.number, each.side, each.length_mm, each.joint_girth_mm, each.place, each.owner) for each in lasts]
    assert (answer.status_code, kept) == (
        303,
        [
            ("S1", "left", Decimal(285), Decimal(250), "A1", None),
            ("S1", "right", Decimal(286), Decimal("251.5"), "A1", None),
        ],
    )


def test_the_rack_says_how_many_were_taken_in(maker: Person, signed_in: SignedIn) -> None:
    client = signed_in(maker)
    page = client.get(client.post(reverse("rack-file", args=[chosen(maker).uuid]))["Location"]).content.decode()
    assert "2 lasts taken in from the file." in page


def test_all_lasts_of_a_file_are_one_deed_with_a_history_row_each(maker: Person, now: datetime) -> None:
    take_in_rack_file(chosen(maker), by=maker, at=now)
    deed = Deed.objects.get(action="take_in_rack_file")
    entries = HistoryEntry.objects.filter(deed=deed, table_name="lasts_last", operation="insert")
    assert (deed.says, deed.who_name, entries.count()) == ("Took 2 lasts in from the file rack.csv.", maker.name, 2)


def test_what_a_file_leaves_out_is_as_for_most_lasts(maker: Person, now: datetime) -> None:
    today = timezone.localdate(now)
    take_in_rack_file(chosen(maker, content_of("S1,left,285,22,A1,250,", "S2,left,285,22,A1,,")), by=maker, at=now)
    said = Last.objects.values_list("origin", "making", "toe_spring_mm", "made_on", "measured_on", "measured_version")
    assert list(said) == [
        ("reused", "tape", Decimal(12), today, today, 1),
        ("reused", "tape", Decimal(12), today, None, None),
    ]


def test_a_last_gets_the_client_whose_record_number_stands_there(maker: Person, now: datetime) -> None:
    owner = make_patient(record_number="L77")
    take_in_rack_file(chosen(maker, content_of("S1,left,285,22,A1,,L77")), by=maker, at=now)
    assert Last.objects.get().owner == owner


def test_with_one_bad_line_nothing_at_all_is_taken_in(maker: Person, now: datetime) -> None:
    file = chosen(maker, content_of("S1,left,285,22,A1,,", "S1,up,285,22,A1,,"))
    with pytest.raises(NotGood):
        take_in_rack_file(file, by=maker, at=now)
    assert Last.objects.count() == 0


def test_a_line_that_was_taken_meanwhile_is_told_and_the_file_is_kept(maker: Person, signed_in: SignedIn) -> None:
    file = chosen(maker)
    make_last(number="S1", side="left")
    answer = signed_in(maker).post(reverse("rack-file", args=[file.uuid]))
    assert (
        answer.status_code,
        answer.context["refused"],
        [bad.reason for bad in answer.context["bad"]],
        Last.objects.count(),
        RackFile.objects.filter(pk=file.pk).exists(),
    ) == (
        409,
        "Nothing was taken in: the rack has changed since you looked at this file.",
        ["already stands on the rack, LEFT"],
        1,
        True,
    )


def test_a_file_is_taken_in_once(maker: Person, now: datetime) -> None:
    file = chosen(maker)
    take_in_rack_file(file, by=maker, at=now)
    with pytest.raises(Refused, match="taken in already"):
        take_in_rack_file(file, by=maker, at=now)


@pytest.mark.parametrize("page", ["rack-import", "rack-file"])
@pytest.mark.parametrize("role", ["manager", "reception", "administrator"])
def test_nobody_else_takes_lasts_in(request: pytest.FixtureRequest, signed_in: SignedIn, page: str, role: str) -> None:
    person = request.getfixturevalue(role)
    address = reverse(page, args=[chosen(person).uuid] if page == "rack-file" else [])
    assert signed_in(person).post(address).status_code == 403


# Giving out ----------------------------------------------------------------------------------------------------------


def test_the_rack_is_given_out_as_a_file(maker: Person, signed_in: SignedIn) -> None:
    make_last(number="=7", owner=make_patient(record_number="L77"), joint_girth_mm=Decimal("250.5"))
    answer = signed_in(maker).get(reverse("rack-export"))
    line = answer.content.decode("utf-8-sig").splitlines()[1].split(",")
    assert (answer["Content-Type"], line[:3], line[9]) == ("text/csv; charset=utf-8", ["'=7", "left", "L77"], "250.5")


def test_a_rack_given_out_and_taken_in_is_the_same_rack(maker: Person, now: datetime) -> None:
    owner = make_patient()
    taped: dict[str, Any] = {"measured_on": timezone.localdate(now), "measured_version": 1}
    make_last(number="12", owner=owner, joint_girth_mm=Decimal(250), marked_size="42", marked_read_on="foot", **taped)
    make_last(number="12", side="right", owner=owner, toe_out_degrees=Decimal("-4.5"), condition="-worn; see note")
    make_last(number="S1", heel_height_mm=Decimal("0.5"), **taped)
    before = list(rows_of_the_rack())
    file = chosen(maker, write_rack_file(before).encode())
    with setting_up():
        Last.objects.all().delete()
    take_in_rack_file(file, by=maker, at=now)
    assert list(rows_of_the_rack()) == before
