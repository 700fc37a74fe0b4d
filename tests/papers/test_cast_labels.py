"""Labels of casts: to be read from a shelf, opened by a terminal, and naming nobody."""

from datetime import date

import pytest
from django.conf import settings
from django.urls import reverse

from cases.lasts.labels import label_sheet, single_label
from cases.lasts.models import Cast
from tests.factories.lasts import make_cast
from tests.factories.patients import make_patient
from tests.papers.reading import ReadPaper, modules_printed

pytestmark = pytest.mark.django_db

MM_A_PT = 25.4 / 72


@pytest.fixture
def cast(db: None) -> Cast:
    patient = make_patient(given_names="Zoë", family_name="Brandt", record_number="R77")
    return make_cast(patient=patient, side="right", made_on=date(2026, 11, 2), kind="foam")


def test_a_label_says_side_record_number_day_and_kind(cast: Cast) -> None:
    text = ReadPaper(single_label(cast)).text
    assert [words for words in ("RIGHT", "record R77", "Mon 2 Nov 2026", "foam impression") if words not in text] == []


def test_a_label_bears_no_name(cast: Cast) -> None:
    text = ReadPaper(single_label(cast)).text
    assert ("Brandt" in text, "Zoë" in text) == (False, False)


def test_a_single_label_is_a_page_of_its_own_size(cast: Cast) -> None:
    pages = ReadPaper(single_label(cast)).reader.pages
    size_mm = [round(float(side) * MM_A_PT) for side in (pages[0].mediabox.width, pages[0].mediabox.height)]
    assert (len(pages), size_mm) == (1, [70, 37])


def test_its_code_opens_the_page_of_the_cast(cast: Cast) -> None:
    address = settings.PUBLIC_ADDRESS + reverse("cast", args=[cast.uuid])
    expected, printed = modules_printed(single_label(cast), address=address)
    assert printed == expected


def test_a_sheet_holds_twenty_four_and_goes_on_on_the_next(cast: Cast) -> None:
    pages = ReadPaper(label_sheet([cast] * 25)).reader.pages
    assert [page.extract_text().count("record R77") for page in pages] == [24, 1]


def test_a_sheet_that_was_begun_is_used_up(cast: Cast) -> None:
    begun, whole = ReadPaper(label_sheet([cast], first=3)), ReadPaper(label_sheet([cast]))
    places = [next(word.left for word in paper.words if word.text == "RIGHT") * MM_A_PT for paper in (whole, begun)]
    assert places[1] - places[0] == pytest.approx(140, abs=0.5)
