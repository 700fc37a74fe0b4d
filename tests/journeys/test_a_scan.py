"""A scan of a foot in a browser in which no script runs: added, turned, and of its figures one taken."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from cases.lasts.models import MeasureSet
from tests.browser import TABLET_UPRIGHT, Sit
from tests.factories.figures import load_figures
from tests.factories.patients import make_patient
from tests.factories.scans import foot_file
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_scan_is_added_and_taken_without_any_script(clinician: Person, sit_down: Sit, tmp_path: Path) -> None:
    load_figures()
    patient = make_patient()
    file = tmp_path / "foot.stl"
    file.write_bytes(foot_file("right"))
    page = sit_down(clinician, at=TABLET_UPRIGHT, javascript=False, path=f"/clients/{patient.uuid}/casts/")
    page.get_by_role("link", name="Add a scan").click()
    page.get_by_label("RIGHT").check()
    page.get_by_label("Heel height, mm").fill("15")
    page.get_by_label("File").set_input_files(file)
    page.get_by_role("button", name="Add the scan").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Scan RIGHT of")
    page.get_by_text("How it lies, and where it is measured").click()
    page.get_by_label("Waist, mm from the heel").fill("150")
    page.get_by_role("button", name="Measure it so").click()
    page.get_by_label("Take waist girth RIGHT").check()
    page.get_by_role("button", name="Take what is ticked as measures").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Measures of")
    taken = MeasureSet.objects.get()
    assert (taken.method, list(taken.measures.values_list("side", "name"))) == ("scan", [("right", "waist_girth")])


def test_a_bad_file_is_said_and_the_rest_stays_typed(clinician: Person, sit_down: Sit, tmp_path: Path) -> None:
    file = tmp_path / "foot.stl"
    file.write_bytes(b"PK\x03\x04 not a scan")
    page = sit_down(clinician, at=TABLET_UPRIGHT, javascript=False, path=f"/clients/{make_patient().uuid}/scans/new/")
    page.get_by_label("LEFT").check()
    page.get_by_label("Heel height, mm").fill("15")
    page.get_by_label("File").set_input_files(file)
    page.get_by_role("button", name="Add the scan").click()
    expect(page.get_by_role("alert").filter(has_text="This is a zip archive")).to_be_visible()
    expect(page.get_by_label("Heel height, mm")).to_have_value("15")
