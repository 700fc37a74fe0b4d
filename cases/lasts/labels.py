"""Labels for casts, with a code that opens the cast's page. A label bears no name: casts stand where clients walk by."""

from collections.abc import Sequence

from django.conf import settings
from django.urls import reverse

from cases.lasts.models import Cast
from shared.papers.qr import qr_svg
from shared.papers.render import render_pdf

ON_A_SHEET = 24
"""Three beside each other in eight rows, each 70 by 37 mm: A4 divided without a rest."""


def single_label(cast: Cast) -> bytes:
    """One label as a page of its own size."""
    return _printed([_filled(cast)], is_sheet=False)


def label_sheet(casts: Sequence[Cast], *, first: int = 1) -> bytes:
    """Sheets of labels on A4; the first `first - 1` places are left free, where they were used up before."""
    return _printed([None] * (first - 1) + [_filled(cast) for cast in casts], is_sheet=True)


def _filled(cast: Cast) -> dict[str, object]:
    address = settings.PUBLIC_ADDRESS + reverse("cast", args=[cast.uuid])
    return {"cast": cast, "qr": qr_svg(address, words=f"QR code that opens the page of this cast, {cast.side}")}


def _printed(places: Sequence[object], *, is_sheet: bool) -> bytes:
    on_a_page = ON_A_SHEET if is_sheet else 1
    pages = [places[start : start + on_a_page] for start in range(0, len(places), on_a_page)]
    context = {"pages": pages, "is_sheet": is_sheet, "is_demonstration": settings.IS_DEMONSTRATION}
    return render_pdf("papers/cast_labels.html", context)
