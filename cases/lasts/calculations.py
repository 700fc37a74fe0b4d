"""What this room works out, by name, for the calculators page and the command line."""

from collections.abc import Callable
from typing import Any

from cases.lasts import sizes
from shared.calculations import Calculation, Input, Output, Worked

FOOT_LENGTH = Input("foot_length_mm", "foot length, standing, longest toe", example="270")
SIZES = "Sizes"


def _last_length(*, foot_length_mm: float, toe_allowance_mm: float) -> Worked:
    last = sizes.last_length(foot_length_mm=foot_length_mm, toe_allowance_mm=toe_allowance_mm)
    return Worked({"last_length_mm": last.last_length_mm}, (last.workings,))


def _sizes_of_last(*, last_length_mm: float) -> Worked:
    last = sizes.sizes_of_last(last_length_mm=last_length_mm)
    figures = {
        "eu": last.eu,
        "uk": last.uk,
        "uk_scale": last.uk_scale.value,
        "us_men": last.us_men,
        "us_women": last.us_women,
        "last_length_in": last.last_length_in,
    }
    return Worked(figures, last.workings)


def _mondopoint(*, foot_length_mm: float, foot_width_mm: float | None, interval_mm: float) -> Worked:
    found = sizes.mondopoint(foot_length_mm=foot_length_mm, foot_width_mm=foot_width_mm, interval_mm=interval_mm)
    return Worked({"designation": found.designation, "interval_mm": found.interval_mm}, (found.workings,))


def _sizes(name: str, words: str, *, work: Callable[..., Worked], source: str, **shape: Any) -> Calculation:
    return Calculation(name=name, words=words, subject=SIZES, work=work, source=source, **shape)


CALCULATIONS: tuple[Calculation, ...] = (
    _sizes(
        "last-length",
        "length of the last for a foot",
        inputs=(FOOT_LENGTH, Input("toe_allowance_mm", "room before the longest toe", setting="toe_allowance_mm")),
        outputs=(Output("last_length_mm", "last length"),),
        source=sizes.ALLOWANCE,
        work=_last_length,
    ),
    _sizes(
        "sizes-of-last",
        "sizes of a last",
        inputs=(Input("last_length_mm", "last length", example="280"),),
        outputs=(
            Output("eu", "EU, read on the last", ""),
            Output("uk", "UK, read on the last", ""),
            Output("uk_scale", "UK scale", ""),
            Output("us_men", "US men, read on the last", ""),
            Output("us_women", "US women, read on the last", ""),
            Output("last_length_in", "last length", "in"),
        ),
        source=sizes.UK_SOURCE,
        work=_sizes_of_last,
        cautions=("A size number says nothing without the allowance before the toe.",),
    ),
    _sizes(
        "mondopoint",
        "designation by foot length and width",
        inputs=(
            FOOT_LENGTH,
            Input("foot_width_mm", "foot width, where it is to be printed", default=None, example="102"),
            Input("interval_mm", "interval of lengths", default=5.0, example="5"),
        ),
        outputs=(Output("designation", "as printed, without unit", ""), Output("interval_mm", "interval")),
        source=sizes.MONDOPOINT,
        work=_mondopoint,
    ),
)
