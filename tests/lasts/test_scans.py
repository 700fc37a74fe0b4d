"""Scans: kept only whole and measured, laid by a person, and taken as measures only where a person ticked."""

import json
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.actions.scans import add_scan, place_scan, take_measures
from cases.lasts.forms.scans import PlaceForm
from cases.lasts.meshes.measuring import measure
from cases.lasts.models import MeasureSet, Scan
from cases.lasts.scans import takeable_mm
from shared.models import Deed
from shared.refusals import Refused
from shared.uploads import MEGABYTE
from shared.versions import Stale
from tests.factories.lasts import make_cast, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.scans import foot_file, make_scan
from tests.shared.test_uploads import BOUNDARY, Body
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

PLACING = measure(foot_file("left"), side="left", asked={})["placing"]
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


def test_the_file_is_given_out_as_it_came_and_under_no_name(maker: Person, signed_in: Sign) -> None:
    scan = make_scan(patient=make_patient(family_name="Brandt", record_number="R77"))
    answer = signed_in(maker).get(reverse("scan-file", args=[scan.uuid]))
    assert (answer.content, answer.headers["Content-Disposition"]) == (
        bytes(scan.file),
        'attachment; filename="scan-R77-left-2026-11-02.stl"',
    )


# How it lies ------------------------------------------------------------------------------------------------


def place(client: Any, scan: Scan, **changes: Any) -> Any:
    scan.refresh_from_db()
    shown = client.get(reverse("scan", args=[scan.uuid])).context["form"]
    entries = {name: shown[name].value() for name in shown.fields if shown[name].value() is not None}
    entries |= {"seen_version": scan.version, "do": "measure", **changes}
    answer = client.post(reverse("scan-place", args=[scan.uuid]), entries)
    scan.refresh_from_db()
    return answer


def test_a_station_that_was_moved_is_measured_there(clinician: Person, signed_in: Sign) -> None:
    scan = make_scan()
    before = scan.measured["girths"]["waist_girth"]["tape_mm"]
    place(signed_in(clinician), scan, waist="150")
    assert (scan.placed, scan.measured["placing"]["stations"]["waist"], scan.version) == (
        {"stations": {"waist": 150.0}},
        150.0,
        2,
    )
    assert scan.measured["girths"]["waist_girth"]["tape_mm"] != before


def test_what_was_moved_before_stays_where_it_was_moved(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    place(client, scan, waist="150")
    place(client, scan, toe_mm="260", short_heel_deg="40")
    assert scan.placed == {"stations": {"waist": 150.0}, "toe_mm": 260.0, "short_heel_deg": 40.0}


def test_a_figure_that_is_cleared_is_guessed_again(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    default = scan.measured["placing"]["stations"]["waist"]
    place(client, scan, waist="150")
    place(client, scan, waist="")
    assert (scan.placed, scan.measured["placing"]["stations"]["waist"]) == ({}, default)


def test_toe_and_heel_change_ends_and_back(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    before = scan.measured["girths"]
    place(client, scan, do="ends")
    turned_round = scan.measured["girths"]
    place(client, scan, do="ends")
    assert turned_round["instep_girth"]["tape_mm"] != pytest.approx(before["instep_girth"]["tape_mm"], abs=1)
    assert scan.measured["girths"]["instep_girth"]["tape_mm"] == pytest.approx(
        before["instep_girth"]["tape_mm"], abs=0.05
    )


def test_turning_forgets_where_stations_stood_before(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    place(client, scan, waist="150")
    place(client, scan, do="ends")
    assert sorted(scan.placed) == ["axes"]


def test_a_mirrored_scan_is_shown_with_a_warning(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    place(client, scan, do="mirror")
    page = client.get(reverse("scan", args=[scan.uuid])).content.decode()
    assert (scan.measured["placing"]["mirrored"], "make sure that it is the LEFT foot" in page) == (True, True)


def test_a_little_turn_moves_the_toe_to_the_side_that_was_said(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    place(client, scan, do="turn", turn_deg="10")
    toe = max(scan.measured["views"]["above"], key=lambda place: place[0])
    heel = min(scan.measured["views"]["above"], key=lambda place: place[0])
    # In the frame of the foot y runs to the wearer's left.
    assert toe[1] - heel[1] > 15


def test_everything_is_guessed_again(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    at_first = scan.measured
    place(client, scan, do="over")
    place(client, scan, do="guess")
    assert (scan.placed, scan.measured) == ({}, at_first)


def test_a_wrong_unit_is_a_sentence_and_changes_nothing(clinician: Person, signed_in: Sign) -> None:
    scan = make_scan()
    answer = place(signed_in(clinician), scan, unit="inch")
    assert "Read in inch, this mesh would be" in answer.context["form"].non_field_errors()[0]
    assert (answer.status_code, scan.placed, scan.version) == (409, {}, 1)


def test_the_right_unit_is_remembered_as_said(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    place(client, scan, unit="cm")
    assert scan.version == 1


@pytest.mark.parametrize("entries", [{"waist": "four"}, {"toe_mm": "9999"}, {"do": "explode"}, {"unit": "ell"}])
def test_a_bad_entry_comes_back_with_what_was_typed(
    clinician: Person, signed_in: Sign, entries: dict[str, str]
) -> None:
    scan = make_scan()
    answer = place(signed_in(clinician), scan, **entries)
    [(name, value)] = entries.items()
    assert (answer.status_code, answer.context["form"][name].value(), scan.version) == (422, value, 1)


def test_two_people_who_lay_a_scan_are_told(clinician: Person, signed_in: Sign) -> None:
    scan, client = make_scan(), signed_in(clinician)
    place(client, scan, waist="150")
    answer = place(client, scan, seen_version=1, waist="140")
    assert (answer.status_code, scan.placed) == (409, {"stations": {"waist": 150.0}})


def test_a_scan_whose_measures_were_taken_stays_as_it_lies(clinician: Person, now: datetime) -> None:
    scan = make_scan(made_on=now.date())
    take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)
    with pytest.raises(Refused, match="stays as it was laid"):
        place_scan(scan, seen_version=2, placed={}, by=clinician, at=now)


ENTRIES = st.one_of(st.text(max_size=12), st.sampled_from(["", "nan", "-1", "1e9", "12,5", "Infinity", "1/2", "3 in"]))


@given(data=st.dictionaries(st.sampled_from(["do", "unit", "waist", "heel_mm", "toe_mm", "turn_deg"]), ENTRIES))
def test_whatever_is_typed_is_refused_or_can_be_kept(data: dict[str, str]) -> None:
    form = PlaceForm(data, placed={}, placing=PLACING)
    if form.is_valid():
        assert isinstance(json.dumps(form.placed, allow_nan=False), str)


# Taking its numbers -----------------------------------------------------------------------------------------


def take(client: Any, scan: Scan, *ticked: str, **more: Any) -> Any:
    entries = {"seen_version": scan.version, "take": list(ticked), **more}
    return client.post(reverse("scan-take", args=[scan.uuid]), entries)


def kept(measure_set: MeasureSet) -> list[tuple[str, str, int, Decimal]]:
    return list(measure_set.measures.order_by("side", "name").values_list("side", "name", "take", "value_mm"))


def test_what_was_ticked_and_nothing_else_becomes_a_measure_by_scan(clinician: Person, signed_in: Sign) -> None:
    scan = make_scan(load="standing", heel_height_mm=Decimal(20))
    answer = take(signed_in(clinician), scan, "left:foot_length", "left:joint_girth")
    measure_set, offered = MeasureSet.objects.get(), takeable_mm(scan.measured)
    scan.refresh_from_db()
    assert answer.headers["Location"] == reverse("measures", args=[measure_set.uuid])
    assert (measure_set.method, measure_set.load, measure_set.heel_height_mm, measure_set.taken_by) == (
        "scan",
        "standing",
        Decimal(20),
        clinician,
    )
    assert scan.taken_as == measure_set
    assert kept(measure_set) == [
        ("left", "foot_length", 1, offered["foot_length"]),
        ("left", "joint_girth", 1, offered["joint_girth"]),
    ]


def test_the_measures_are_of_the_day_of_the_scan(clinician: Person, now: datetime) -> None:
    scan = make_scan(made_on=now.date() - timedelta(days=3))
    taken = take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)
    assert timezone.localdate(taken.taken_at) == scan.made_on


def test_a_scan_of_this_morning_is_not_taken_in_a_time_to_come(clinician: Person, now: datetime) -> None:
    scan, early = make_scan(made_on=now.date()), now.replace(hour=8)
    assert take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=early).taken_at == early


def test_both_feet_scanned_in_one_go_are_one_sitting(clinician: Person, signed_in: Sign) -> None:
    left = make_scan()
    right = make_scan(patient=left.patient, side="right")
    take(signed_in(clinician), left, "left:foot_length", "right:foot_length", seen_fellow=right.version)
    assert [(side, name) for side, name, _, _ in kept(MeasureSet.objects.get())] == [
        ("left", "foot_length"),
        ("right", "foot_length"),
    ]
    assert set(Scan.objects.values_list("taken_as", flat=True)) == {MeasureSet.objects.get().pk}


def test_a_foot_of_which_nothing_was_ticked_still_waits(clinician: Person, signed_in: Sign) -> None:
    left = make_scan()
    right = make_scan(patient=left.patient, side="right")
    take(signed_in(clinician), left, "left:foot_length", seen_fellow=right.version)
    right.refresh_from_db()
    assert right.taken_as is None


def test_scans_of_different_days_are_no_one_sitting(clinician: Person, now: datetime) -> None:
    left = make_scan()
    right = make_scan(patient=left.patient, side="right", made_on=left.made_on - timedelta(days=1))
    with pytest.raises(Refused, match="made in one go"):
        take_measures({left: 1, right: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)


@pytest.mark.parametrize(
    ("ticked", "sentence"),
    [
        ([], "Tick at least one measure"),
        (["left:calf_girth"], "is not there to be taken"),
        (["right:foot_length"], "is not there to be taken"),
    ],
)
def test_nothing_is_taken_that_is_not_there(
    clinician: Person, signed_in: Sign, ticked: list[str], sentence: str
) -> None:
    answer = take(signed_in(clinician), make_scan(), *ticked)
    assert (answer.status_code, sentence in answer.content.decode(), MeasureSet.objects.count()) == (409, True, 0)


def test_a_girth_whose_section_does_not_close_is_not_offered(clinician: Person, now: datetime) -> None:
    measured = make_scan().measured
    measured["girths"]["waist_girth"]["is_closed"] = False
    scan = make_scan(measured=measured)
    with pytest.raises(Refused, match="is not there to be taken"):
        take_measures({scan: 1}, chosen=[("left", "waist_girth")], by=clinician, at=now)


def test_measures_of_a_scan_are_taken_once(clinician: Person, now: datetime) -> None:
    scan = make_scan()
    take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)
    with pytest.raises(Refused, match="were taken already"):
        take_measures({scan: 2}, chosen=[("left", "foot_length")], by=clinician, at=now)


def test_a_scan_that_was_laid_anew_meanwhile_is_not_taken_as_it_was(clinician: Person, now: datetime) -> None:
    scan = make_scan()
    place_scan(scan, seen_version=1, placed={"toe_mm": 260.0}, by=clinician, at=now)
    with pytest.raises(Stale):
        take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)


def test_each_deed_with_a_scan_says_what_was_done(clinician: Person, now: datetime) -> None:
    scan = added(make_patient(), clinician, now)
    place_scan(scan, seen_version=1, placed={"toe_mm": 260.0}, by=clinician, at=now)
    take_measures({scan: 2}, chosen=[("left", "foot_length")], by=clinician, at=now)
    deeds = Deed.objects.filter(action__in=["add_scan", "place_scan", "record_measures", "take_measures"])
    assert [deed.action for deed in deeds.order_by("pk")] == [
        "add_scan",
        "place_scan",
        "record_measures",
        "take_measures",
    ]


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
