"""Pattern sheets as a paper: one page a sheet, at full size, in the papers' way."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from cases.patterns.sheets.blocks import STARTING_PIECE, version_words
from cases.patterns.sheets.marks import CAUTION
from cases.patterns.sheets.paper import Sheet
from cases.patterns.sheets.svg import sheet_svg
from shared.papers.render import render_pdf

TEMPLATE = "papers/patterns.html"
MOST_NAMES = 5
"""Named in the head of a sheet."""


@dataclass(frozen=True)
class PageOfPattern:
    """A sheet and its drawing, as the template takes them."""

    sheet: Sheet
    drawing: SafeString
    version: str

    @property
    def names(self) -> str:
        """The pieces on it, as many as its head has room for: each has its own name beside it as well."""
        names = self.sheet.names
        if len(names) <= MOST_NAMES:
            return ", ".join(names)
        return f"{', '.join(names[: MOST_NAMES - 1])} and {len(names) - MOST_NAMES + 1} more"

    @property
    def drafted_from(self) -> str:
        return self.sheet.heading.lasts_of(self.sheet.group)

    @property
    def page_class(self) -> str:
        return f"{self.sheet.size.value}-{'landscape' if self.sheet.is_landscape else 'portrait'}"


def pattern_context(sheets: Sequence[Sheet]) -> dict[str, Any]:
    """What the template is filled with. The day of printing is no part of it."""
    pages = [
        # Written by our own hand, every word in it escaped.
        PageOfPattern(sheet, mark_safe(sheet_svg(sheet)), version_words(sheet.heading))  # noqa: S308
        for sheet in sheets
    ]
    return {"pages": pages, "starting_piece": STARTING_PIECE, "caution": CAUTION}


def pattern_pdf(sheets: Sequence[Sheet], *, title: str) -> bytes:
    """The PDF of these sheets, in their order, without keeping it."""
    return render_pdf(TEMPLATE, {**pattern_context(sheets), "title": title})
