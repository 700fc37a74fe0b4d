"""How a scan lies: guessed, moved by a person, and refused with what was typed."""

import json
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.actions.scans import place_scan, take_measures
from cases.lasts.forms.scans import PlaceForm
from cases.lasts.meshes.measuring import measure
from cases.lasts.models import Scan
from shared.refusals import Refused
from tests.factories.scans import foot_file, make_scan
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


PLACING = measure(foot_file("left"), side="left", asked={})["placing"]

Sign = Callable[[Person], Any]


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
