"""The stored drawings of the twelve prescriptions and two others: where they lie, and how they are renewed.

    .venv/bin/python -m tests.prescriptions.draw_again

draws all of them again (`make drawings`). Look at each that changed before it is kept: a browser shows the file.
"""

import os
import sys
from pathlib import Path

import django

KEPT_IN = Path(__file__).parent / "drawings"


def drawings() -> dict[str, str]:
    """Every drawing by the name of its file, an element a line."""
    from cases.prescriptions.cut_away import cut_aways_of
    from tests.prescriptions.twelve import OTHERS, TWELVE

    return {
        f"{name}-{drawn.side}.svg": readable(drawn.svg)
        for name, pair in {**TWELVE, **OTHERS}.items()
        for drawn in cut_aways_of(pair)
    }


def readable(svg: str) -> str:
    whole = svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    return whole.replace("><", ">\n<") + "\n"


def draw_again() -> list[str]:
    """Write what changed, take away what is no more; gives back the names."""
    KEPT_IN.mkdir(exist_ok=True)
    wanted, kept = drawings(), {each.name: each.read_text() for each in KEPT_IN.glob("*.svg")}
    for name in kept.keys() - wanted.keys():
        (KEPT_IN / name).unlink()
    changed = {name: text for name, text in wanted.items() if kept.get(name) != text}
    for name, text in changed.items():
        (KEPT_IN / name).write_text(text)
    return sorted({*changed, *(kept.keys() - wanted.keys())})


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    django.setup()
    sys.stdout.write("\n".join([*draw_again(), ""]))
