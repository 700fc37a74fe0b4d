"""Papers: one template, one PDF, with nothing fetched from anywhere."""

import hashlib
import mimetypes
from functools import cache
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string

STATIC_SCHEME = "static:"
STYLE_SHEET = "paper.css"

DENSITIES = ("roomy", "close", "closer", "closest")
"""Classes of a paper's body, tried in this order until it fits its pages. What is closed in stays 14 pt in all."""


class FetchesSomething(Exception):
    """A paper asked for a file that is not ours, or not there: a defect of its template."""


def fingerprint(template: str, context: dict[str, Any]) -> str:
    """What a paper says and how it looks, as 64 hexadecimal digits: the same for the same words on the same sheet."""
    words = hashlib.sha256(_html(template, context, DENSITIES[0]).encode())
    words.update(_read(STYLE_SHEET))
    return words.hexdigest()


def render_pdf(template: str, context: dict[str, Any], *, most_pages: int | None = None) -> bytes:
    """The PDF of a template. Style sheets and pictures are named `static:path`; any other address is a defect
    and raises `FetchesSomething`.

    Where it runs over `most_pages` it is set closer, step by step; where even that does not help, it is set as roomy
    as its fewest pages allow. Nothing is ever cut off.
    """
    # Imported here: the library takes a second, and most pages print nothing.
    from weasyprint import HTML

    own_files = _OwnFiles()

    def laid_out(density: str) -> Any:
        html = HTML(string=_html(template, context, density), url_fetcher=own_files)
        return html.render(pdf_variant="pdf/ua-1")

    document = laid_out(DENSITIES[0])
    for density in DENSITIES[1:]:
        if most_pages is None or len(document.pages) <= most_pages:
            break
        closer = laid_out(density)
        if len(closer.pages) < len(document.pages):
            document = closer
    if own_files.refused:
        raise FetchesSomething(", ".join(own_files.refused))
    pdf: bytes = document.write_pdf(pdf_variant="pdf/ua-1")
    return pdf


class _OwnFiles:
    """Gives the renderer our own static files, and notes whatever else it asked for: it would only warn."""

    _fail_on_errors = False

    def __init__(self) -> None:
        self.refused: list[str] = []

    def __call__(self, url: str) -> Any:
        from weasyprint.urls import URLFetcherResponse

        try:
            body = _read(_own_path(url))
        except FetchesSomething:
            self.refused.append(url)
            raise
        kind, _ = mimetypes.guess_type(url)
        return URLFetcherResponse(url, body, {"Content-Type": kind or "application/octet-stream"})


def _own_path(url: str) -> str:
    if not url.startswith(STATIC_SCHEME):
        raise FetchesSomething(url)
    return url.removeprefix(STATIC_SCHEME)


def _html(template: str, context: dict[str, Any], density: str) -> str:
    return render_to_string(template, {**context, "density": density})


@cache
def _read(static_path: str) -> bytes:
    path = finders.find(static_path)
    if path is None:
        raise FetchesSomething(static_path)
    return Path(path).read_bytes()
