"""Papers in general: they fetch nothing, fit their pages as well as they can, and a code can be drawn of any address."""

import re
from pathlib import Path

import pytest
import segno
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from shared.papers.qr import QUIET_ZONE, qr_svg
from shared.papers.render import FetchesSomething, fingerprint, render_pdf
from tests.papers.reading import ReadPaper

PAPER = """<!doctype html><html lang="en"><head><title>A paper</title><link rel="stylesheet" href="static:paper.css">
{{ head|safe }}</head><body class="job-card {{ density }}"><p>{{ density }}</p>
{% for line in lines %}<table class="route"><tr><td>{{ line }}</td></tr></table>{% endfor %}</body></html>"""


@pytest.fixture
def paper_html(tmp_path: Path, settings) -> str:
    """A template of our own, among no others."""
    (tmp_path / "paper.html").write_text(PAPER)
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [tmp_path]}]
    return "paper.html"


@pytest.mark.parametrize("address", ["https://example.org/foreign.css", "file:///etc/passwd", "static:not-there.css"])
def test_a_paper_that_would_fetch_something_is_not_printed(paper_html, address) -> None:
    with pytest.raises(FetchesSomething):
        render_pdf(paper_html, {"head": f'<link rel="stylesheet" href="{address}">'})


def test_a_paper_that_fits_is_set_roomy(paper_html) -> None:
    assert ReadPaper(render_pdf(paper_html, {"lines": ["one"]}, most_pages=1)).text.startswith("roomy")


def test_a_paper_that_runs_over_is_set_closer(paper_html) -> None:
    pdf = render_pdf(paper_html, {"lines": ["a line"] * 40}, most_pages=1)
    assert (len(ReadPaper(pdf).reader.pages), ReadPaper(pdf).text.split()[0] != "roomy") == (1, True)


def test_what_fits_in_no_way_is_printed_whole_on_more_pages(paper_html) -> None:
    paper = ReadPaper(render_pdf(paper_html, {"lines": [f"line{n}" for n in range(200)]}, most_pages=1))
    assert (len(paper.reader.pages) > 1, "line199" in paper.text) == (True, True)


def test_without_a_bound_a_paper_stays_roomy(paper_html) -> None:
    assert ReadPaper(render_pdf(paper_html, {"lines": ["a line"] * 200})).text.startswith("roomy")


def test_the_fingerprint_follows_the_words(paper_html) -> None:
    same, other = {"lines": ["one"]}, {"lines": ["two"]}
    assert fingerprint(paper_html, same) == fingerprint(paper_html, dict(same))
    assert fingerprint(paper_html, same) != fingerprint(paper_html, other)


@given(st.text(alphabet="abcdefghij0123456789-/:.", min_size=1, max_size=120))
@examples(max_examples=50)
def test_a_code_is_drawn_module_by_module(address) -> None:
    svg = qr_svg(address, words="a code")
    drawn = {
        (int(x) + step, int(y))
        for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", svg)
        for step in range(int(length))
    }
    expected = {
        (column + QUIET_ZONE, row + QUIET_ZONE)
        for row, modules in enumerate(segno.make(address, error="q", micro=False).matrix)
        for column, dark in enumerate(modules)
        if dark
    }
    assert drawn == expected


def test_the_words_of_a_code_are_escaped() -> None:
    assert "<title>&lt;b&gt;</title>" in qr_svg("http://127.0.0.1", words="<b>")
