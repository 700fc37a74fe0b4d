"""Papers: one template, one PDF, with nothing fetched from anywhere."""

from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string

STATIC_SCHEME = "static:"


def render_pdf(template: str, context: dict[str, Any]) -> bytes:
    """The PDF of a template. Style sheets and pictures are named `static:path`; any other address is refused."""
    # Imported here: the library takes a second, and most pages print nothing.
    from weasyprint import HTML
    from weasyprint.urls import URLFetchingError

    def fetch(url: str, *_: Any, **__: Any) -> dict[str, Any]:
        path = finders.find(url.removeprefix(STATIC_SCHEME)) if url.startswith(STATIC_SCHEME) else None
        if path is None:
            raise URLFetchingError(f"A paper fetches nothing: {url}")
        return {"string": Path(path).read_bytes()}

    html = render_to_string(template, context)
    pdf: bytes = HTML(string=html, url_fetcher=fetch).write_pdf(pdf_variant="pdf/ua-1")
    return pdf
