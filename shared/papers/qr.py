"""QR codes for papers, drawn as a picture with words."""

import segno
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

QUIET_ZONE = 4
"""Blank modules on every side, as ISO/IEC 18004 asks. The standard was not read; from memory."""

ERROR_CORRECTION = "q"
"""About a quarter of the code may be soiled: a job card lies among paste and leather dust."""


def qr_svg(address: str, *, words: str) -> SafeString:
    """The QR code of an address as inline SVG, one unit a module, `words` its text alternative."""
    rows = [tuple(row) for row in segno.make(address, error=ERROR_CORRECTION, micro=False).matrix]
    size = len(rows) + 2 * QUIET_ZONE
    path = "".join(
        f"M{start + QUIET_ZONE} {line + QUIET_ZONE}h{length}v1h-{length}z"
        for line, row in enumerate(rows)
        for start, length in _dark_runs(row)
    )
    return format_html(
        '<svg class="qr" viewBox="0 0 {size} {size}" role="img" aria-label="{words}"><title>{words}</title>'
        '<rect width="{size}" height="{size}" fill="#fff"/><path d="{path}" fill="#000"/></svg>',
        size=size,
        words=words,
        path=mark_safe(path),  # noqa: S308  # digits and letters of our own making
    )


def _dark_runs(row: tuple[int, ...]) -> list[tuple[int, int]]:
    """Where dark modules begin in a row and how many follow one another."""
    runs: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if dark and runs and sum(runs[-1]) == place:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        elif dark:
            runs.append((place, 1))
    return runs
