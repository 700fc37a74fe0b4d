"""Scans: kept only whole and measured, shown beside what was measured by hand."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from cases.lasts.actions.scans import take_measures
from cases.lasts.models import MeasureSet, Scan
from shared.refusals import Refused
from shared.uploads import MEGABYTE
from tests.factories.lasts import make_cast, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.scans import foot_file, make_scan
from tests.lasts.scanned import added
from tests.shared.test_uploads import BOUNDARY, Body
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

Sign = Callable[[Person], Any]


def typed(file: bytes | None = None, **changes: Any) -> dict[str, Any]:
    contents = foot_file("left") if file is None else file
    return {
        "side": "left",
        "cast": "",
        "load": "part",
        "heel_height_mm": "15",
        "made_on": f"{timezone.localdate():%Y-%m-%d}",
        "file": SimpleUploadedFile("foot.stl", contents),
        **changes,
    }


def test_a_scan_is_kept_with_what_was_measured(clinician: Person, signed_in: Sign) -> None:
    patient = make_patient()
    answer = signed_in(clinician).post(reverse("scan-new", args=[patient.uuid]), typed())
    scan = Scan.objects.get()
    assert (answer.status_code, answer.headers["Location"]) == (303, reverse("scan", args=[scan.uuid]))
    assert (scan.patient, scan.side, scan.format, scan.load, scan.heel_height_mm, scan.added_by, bytes(scan.file)) == (
        patient,
        "left",
        "stl",
        "part",
        Decimal(15),
        clinician,
        foot_file("left"),
    )
    assert scan.measured["lengths"]["foot_length"] == pytest.approx(268, abs=1)


def test_a_kept_scan_has_become_no_measure_by_itself(clinician: Person, signed_in: Sign) -> None:
    signed_in(clinician).post(reverse("scan-new", args=[make_patient().uuid]), typed())
    assert (Scan.objects.get().taken_as, MeasureSet.objects.count()) == (None, 0)


def test_a_scan_of_a_cast_starts_with_what_the_cast_says(clinician: Person, signed_in: Sign) -> None:
    cast = make_cast(side="right", load="sitting", heel_height_mm=Decimal(20))
    page = signed_in(clinician).get(reverse("scan-new", args=[cast.patient.uuid]), {"cast": cast.uuid})
    initial = page.context["form"].initial
    assert [initial[key] for key in ("cast", "side", "load", "heel_height_mm")] == [
        cast.uuid,
        "right",
        "sitting",
        Decimal("20.0"),
    ]


@pytest.mark.parametrize(
    ("file", "sentence"),
    [
        (b"", "This file is empty."),
        (b"PK\x03\x04" + bytes(500), "This is a zip archive, whatever its name says."),
        (foot_file()[:-100], "it was cut off on its way"),
        (b"v 1 2 three\n", "Line 1 of this file should hold three numbers"),
        (bytes(30 * MEGABYTE + 1), "This file is 30.0 MB long; a scan is at most 30.0 MB."),
    ],
    ids=["empty", "zip", "truncated", "broken", "too long"],
)
def test_a_file_that_cannot_be_measured_is_refused_and_nothing_is_kept(
    clinician: Person, signed_in: Sign, file: bytes, sentence: str
) -> None:
    entries = typed(file, heel_height_mm="22")
    answer = signed_in(clinician).post(reverse("scan-new", args=[make_patient().uuid]), entries)
    form = answer.context["form"]
    assert (sentence in form.errors["file"][0], form["heel_height_mm"].value(), Scan.objects.count()) == (
        True,
        "22",
        0,
    )
    assert answer.status_code in {409, 422}


@pytest.mark.slow
def test_a_file_of_two_gigabytes_ends_in_a_sentence(clinician: Person, signed_in: Sign) -> None:
    body: Any = Body(2048 * MEGABYTE)
    answer = signed_in(clinician).request(
        **{
            "REQUEST_METHOD": "POST",
            "PATH_INFO": reverse("scan-new", args=[make_patient().uuid]),
            "CONTENT_TYPE": f"multipart/form-data; boundary={BOUNDARY}",
            "CONTENT_LENGTH": str(2048 * MEGABYTE + 10_000),
            "HTTP_X_SUBMISSION": "6b0c6bd4-6f3e-4a6b-8f8a-0d3c29a9d7a1",
            "wsgi.input": body,
        }
    )
    form = answer.context["form"]
    assert form.errors["file"][0].startswith("This file is 2.0 GB long; a scan is at most 30.0 MB.")
    assert (answer.status_code, form["side"].value(), Scan.objects.count()) == (422, "left", 0)


def test_the_same_file_is_kept_once(clinician: Person, signed_in: Sign) -> None:
    client, address = signed_in(clinician), reverse("scan-new", args=[make_patient().uuid])
    client.post(address, typed())
    answer = client.post(address, typed(side="right"))
    assert "This very file is kept already: the scan LEFT of" in answer.context["form"].errors["file"][0]
    assert (answer.status_code, Scan.objects.count()) == (409, 1)


def test_a_scan_is_not_of_the_other_foots_cast(clinician: Person, now: datetime) -> None:
    cast = make_cast(side="right")
    with pytest.raises(Refused, match="This cast is of the RIGHT foot"):
        added(cast.patient, clinician, now, cast=cast)


def test_a_scan_is_not_of_another_clients_cast(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="another client's"):
        added(make_patient(), clinician, now, cast=make_cast(side="left"))


def test_a_scan_of_a_day_to_come_is_refused(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="still to come"):
        added(make_patient(), clinician, now, made_on=(now + timedelta(days=1)).date())


def test_the_file_is_given_out_as_it_came_and_under_no_name(maker: Person, signed_in: Sign) -> None:
    scan = make_scan(patient=make_patient(family_name="Brandt", record_number="R77"))
    answer = signed_in(maker).get(reverse("scan-file", args=[scan.uuid]))
    assert (answer.content, answer.headers["Content-Disposition"]) == (
        bytes(scan.file),
        'attachment; filename="scan-R77-left-2026-11-02.stl"',
    )


# The page ---------------------------------------------------------------------------------------------------


def test_the_scan_stands_beside_what_was_measured_by_hand(clinician: Person, signed_in: Sign) -> None:
    scan = make_scan()
    make_measure_set(patient=scan.patient, left={"foot_length": 265})
    rows = signed_in(clinician).get(reverse("scan", args=[scan.uuid])).context["rows"]
    cell = next(row.left for row in rows if row.kind.key == "foot_length")
    assert (cell.by_hand_mm, cell.difference_mm) == (265, cell.measure.value_mm - 265)


def test_what_was_taken_of_a_scan_does_not_stand_there_as_measured_by_hand(
    clinician: Person, signed_in: Sign, now: datetime
) -> None:
    scan = make_scan(made_on=now.date())
    make_measure_set(patient=scan.patient, taken_at=now - timedelta(days=9))
    take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)
    page = signed_in(clinician).get(reverse("scan", args=[scan.uuid]))
    assert page.context["by_hand"].method == "tape"


def test_nothing_is_ticked_before_a_person_ticks_it(clinician: Person, signed_in: Sign) -> None:
    page = signed_in(clinician).get(reverse("scan", args=[make_scan().uuid])).content.decode()
    assert ('name="take"' in page, re.findall(r"<input[^>]*\bchecked", page)) == (True, [])


@pytest.mark.parametrize("role", ["maker", "manager"])
def test_who_only_reads_is_offered_nothing_to_change(
    request: pytest.FixtureRequest, signed_in: Sign, role: str
) -> None:
    page = signed_in(request.getfixturevalue(role)).get(reverse("scan", args=[make_scan().uuid])).content.decode()
    assert ('name="take"' in page, reverse("scan-place", args=[Scan.objects.get().uuid]) in page) == (False, False)


def test_each_figure_of_a_scan_opens_its_workings(clinician: Person, signed_in: Sign) -> None:
    page = signed_in(clinician).get(reverse("scan", args=[make_scan().uuid])).content.decode()
    assert page.count('<details class="workings">') == 11


def test_the_drawings_are_small(clinician: Person, signed_in: Sign) -> None:
    page = signed_in(clinician).get(reverse("scan", args=[make_scan().uuid])).content.decode()
    drawn = [part.split("</svg>")[0] for part in page.split('<svg class="drawing scan"')[1:]]
    assert (len(drawn), max(len(each) for each in drawn) < 30_000) == (3, True)


def test_no_page_fetches_the_file(clinician: Person, signed_in: Sign, django_assert_num_queries: Any) -> None:
    scan, client = make_scan(), signed_in(clinician)
    with django_assert_num_queries(6) as asked:
        client.get(reverse("scan", args=[scan.uuid]))
    assert [query["sql"] for query in asked.captured_queries if '"lasts_scan"."file"' in query["sql"]] == []
