"""The pages of a prescription as people meet them: without JavaScript, LEFT at left, nothing lost."""

import re
from typing import Any

import pytest
from django.urls import reverse

from cases.prescriptions import queries
from cases.prescriptions.models import Prescription
from tests.factories.figures import load_figures
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


def address(prescription: Prescription) -> str:
    return reverse("prescription", args=[prescription.uuid])


def form_of(html: str) -> dict[str, Any]:
    """What a browser would send: every filled-in field of the first form that has them."""
    form = max(re.findall(r"<form.*?</form>", html, flags=re.DOTALL), key=len)
    sent: dict[str, Any] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        is_box = 'type="checkbox"' in tag
        if name and name[1] not in {"csrfmiddlewaretoken", "submission"} and (not is_box or " checked" in tag):
            sent[name[1]] = value[1] if value else ("on" if is_box else "")
    for name, options in re.findall(r'<select name="([^"]*)".*?>(.*?)</select>', form, flags=re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        sent[name] = chosen[1] if chosen else ""
    for name, text in re.findall(r'<textarea name="([^"]*)".*?>(.*?)</textarea>', form, flags=re.DOTALL):
        sent[name] = text.strip()
    return sent


def test_a_page_saved_as_it_stands_changes_nothing_prescribed(clinician, signed_in) -> None:
    draft = make_prescription(left={"rocker": {"apex_percent": 55, "angle_deg": 15}})
    client = signed_in(clinician)
    before = queries.whole(draft.uuid)
    page = client.get(address(draft))
    answer = client.post(address(draft), form_of(page.content.decode()))
    from cases.prescriptions.described import differences_in_words

    assert (answer.status_code, differences_in_words(before, queries.whole(draft.uuid))) == (303, ())
