"""How long the panel beside a prescription takes to work out: figures, notes and drawings of both feet, in ms.

`make bench`, or `.venv/bin/python -m tests.benchmarks.prescription_panel`. Processor time, the middle of many turns, of
each of the twelve prescriptions; nothing is read from a database. Every turn changes one figure of the LEFT foot, as a
person writing does: what is kept of a foot that did not change may be used, what is kept of the changed one may not.
"""

import json
import os
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import count

import django

TURNS = 40
MOST_MS = 5.0


def middle_ms(work: Callable[[], object], *, turns: int = TURNS) -> float:
    """The median of several turns, in ms of processor time."""
    spent = []
    for _ in range(turns):
        begun = time.process_time()
        work()
        spent.append(1000 * (time.process_time() - begun))
    return round(statistics.median(spent), 2)


def measured() -> dict[str, dict[str, float]]:
    """By prescription: the whole panel and its parts."""
    from cases.prescriptions.cut_away import cut_aways_of
    from cases.prescriptions.implied import implied_of
    from cases.prescriptions.notes import Question, notes_on
    from cases.prescriptions.shoe import Shoe
    from shared.sides import Side
    from tests.prescriptions.asking import DIABETIC
    from tests.prescriptions.stock import WORKSHOP
    from tests.prescriptions.twelve import TWELVE

    changes = count(1)

    def changed(pair: dict[Side, Shoe]) -> dict[Side, Shoe]:
        stiffener = pair[Side.LEFT].stiffener
        assert stiffener
        higher = replace(stiffener, back_height_mm=(stiffener.back_height_mm or 50) + 0.001 * next(changes))
        return {**pair, Side.LEFT: replace(pair[Side.LEFT], stiffener=higher)}

    def notes(pair: dict[Side, Shoe]) -> None:
        for side, shoe in pair.items():
            notes_on(Question(shoe=shoe, wearer=DIABETIC, fellow=pair[side.other]), switched_off=())

    def panel(pair: dict[Side, Shoe]) -> None:
        figures(pair)
        notes(pair)
        drawings(pair)

    def figures(pair: dict[Side, Shoe]) -> None:
        implied_of(pair, workshop=WORKSHOP)

    def drawings(pair: dict[Side, Shoe]) -> None:
        cut_aways_of(pair)

    def written_on(work: Callable[[dict[Side, Shoe]], None], pair: dict[Side, Shoe]) -> None:
        work(changed(pair))

    found = {}
    for name, pair in TWELVE.items():
        panel(pair)
        parts = {"panel": panel, "figures": figures, "notes": notes, "drawings": drawings}
        found[name] = {each: middle_ms(partial(written_on, work, pair)) for each, work in parts.items()}
        found[name]["unchanged"] = middle_ms(partial(panel, pair))
    return found


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    django.setup()
    found = measured()
    worst = max(each["panel"] for each in found.values())
    sys.stdout.write(
        json.dumps({"what": "prescription panel, ms", "bar": MOST_MS, "worst": worst, "by": found}, indent=1) + "\n"
    )


if __name__ == "__main__":
    main()
