"""What a maker measures blind at a part check: keyed before the prescribed value is shown, held against a tolerance."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from cases.bench.stage_table.shape import PART

ZERO = Decimal(0)
EXACT = "counted: exact, from memory"
TO_JOINT_LEAST = "tolerance_stiffener_to_joint_least_mm"

_TYPED = re.compile(r"\s*([0-9]{1,3}(?:[.,][0-9]{1,2})?|[.,][0-9]{1,2})\s*(?:mm|plies|ply)?\s*")
_PRESCRIBED = re.compile(r"(?:^|, )([0-9]+(?:\.[0-9]+)?)(?: mm.*)?$")
"""A prescribed line as it is written: 'long, 180 mm', '0.5 mm', '5'."""


class KnownFigure(Protocol):
    """A dated setting of the workshop: its value, and in words how far it may be trusted."""

    @property
    def value(self) -> Decimal: ...
    @property
    def trusted(self) -> str: ...


class NotMeasured(ValueError):
    """What was keyed is no figure. The message is a sentence for the screen."""


@dataclass(frozen=True)
class BlindFigures:
    """One kind of figure of a part. `labels` are those of its prescribed lines; `less` and `more` name tolerances in mm."""

    switch: str
    parts: tuple[str, ...]
    labels: tuple[str, ...]
    less: str = ""
    more: str = ""
    unit: str = "mm"


BLIND = (
    BlindFigures(
        "blind_stiffener_reaches",
        ("stiffener",),
        ("medial reach", "lateral reach"),
        *["tolerance_stiffener_reach_mm"] * 2,
    ),
    BlindFigures("blind_puff_length", ("toe_puff",), ("length from the toe",), *["tolerance_puff_length_mm"] * 2),
    BlindFigures(
        "blind_insole_thickness",
        ("insole",),
        ("finished, heel", "finished, waist", "finished, forepart"),
        *["tolerance_insole_thickness_mm"] * 2,
    ),
    BlindFigures(
        "blind_scoured_thickness",
        ("scoured_zone",),
        ("thickness left",),
        "tolerance_scoured_thinner_mm",
        "tolerance_scoured_thicker_mm",
    ),
    BlindFigures(
        "blind_cushion_thickness",
        ("cushion_forepart", "cushion_heel", "cushion_full"),
        ("thickness",),
        *["tolerance_cushion_mm"] * 2,
    ),
    BlindFigures("blind_carbon_plies", ("carbon",), ("plies",), unit="plies"),
    BlindFigures("blind_dome_height", ("metatarsal_dome",), ("height",), *["tolerance_support_height_mm"] * 2),
    BlindFigures("blind_raise_heights", ("raise_on_sole",), ("heel", "ball", "toe"), *["tolerance_raise_mm"] * 2),
    BlindFigures(
        "blind_wedge_height", ("wedge_heel", "wedge_forefoot"), ("height at the edge",), *["tolerance_wedge_mm"] * 2
    ),
)
"""At most one kind of figure a part: whoever measures everything measures nothing."""
SETTINGS = frozenset(
    {TO_JOINT_LEAST, *(name for each in BLIND for name in (each.switch, each.less, each.more) if name)}
)
_OF_PART = {part: each for each in BLIND for part in each.parts}


@dataclass(frozen=True)
class AskedFigure:
    """A figure to be keyed before it is shown; as prescribed from `least` to `most`, both included.

    `trusted` says what the tolerance rests on, `beside` what else it must not pass.
    """

    label: str
    unit: str
    prescribed: Decimal
    least: Decimal
    most: Decimal
    trusted: str
    beside: str = ""

    @classmethod
    def of(cls, row: Mapping[str, str]) -> "AskedFigure":
        """A figure as a required check keeps it."""
        return cls(
            label=row["label"],
            unit=row["unit"],
            prescribed=Decimal(row["prescribed"]),
            least=Decimal(row["least"]),
            most=Decimal(row["most"]),
            trusted=row["trusted"],
            beside=row["beside"],
        )

    @property
    def row(self) -> dict[str, str]:
        """The same, to be kept."""
        return {
            "label": self.label,
            "unit": self.unit,
            "prescribed": plain(self.prescribed),
            "least": plain(self.least),
            "most": plain(self.most),
            "trusted": self.trusted,
            "beside": self.beside,
        }

    def holds(self, measured: Decimal) -> bool:
        return self.least <= measured <= self.most

    def says(self, figure: Decimal) -> str:
        """A figure with its unit: 182 mm, 5 plies."""
        unit = "ply" if self.unit == "plies" and figure == 1 else self.unit
        return f"{plain(figure)} {unit}"

    @property
    def allowed(self) -> str:
        """What counts as prescribed: 177 to 183 mm, or exactly 5 plies."""
        if self.least == self.most:
            return f"exactly {self.says(self.most)}"
        return f"{plain(self.least)} to {self.says(self.most)}"

    def beside_prescribed(self, measured: Decimal) -> str:
        """What was measured, beside what is prescribed and what counts as it."""
        return f"{self.label} measured {self.says(measured)}, prescribed {self.says(self.prescribed)} ({self.allowed})"


def figures_asked(
    part: str, moment: str, lines: Iterable[tuple[str, str]], *, settings: Mapping[str, KnownFigure]
) -> tuple[AskedFigure, ...]:
    """What is measured blind at one check: the figures of its prescribed lines that the workshop switched on.

    A line that prescribes a word without a figure has nothing to be held against, and is looked at as ever.
    """
    blind = _OF_PART.get(part)
    if blind is None or moment != PART or not settings[blind.switch].value:
        return ()
    return tuple(
        _asked(blind, label, value, Decimal(found[1]), settings)
        for label, value in lines
        if label in blind.labels and (found := _PRESCRIBED.search(value))
    )


def _asked(
    blind: BlindFigures, label: str, line: str, prescribed: Decimal, settings: Mapping[str, KnownFigure]
) -> AskedFigure:
    named = list(dict.fromkeys(name for name in (blind.less, blind.more) if name))
    is_long = blind.switch == "blind_stiffener_reaches" and line.startswith("long")
    nearest = plain(settings[TO_JOINT_LEAST].value)
    return AskedFigure(
        label=label,
        unit=blind.unit,
        prescribed=prescribed,
        least=max(prescribed - settings[blind.less].value, ZERO) if blind.less else prescribed,
        most=prescribed + settings[blind.more].value if blind.more else prescribed,
        trusted="; ".join(dict.fromkeys(settings[name].trusted for name in named)) or EXACT,
        beside=f"long: never nearer to the joint than {nearest} mm" if is_long else "",
    )


def read_figure(typed: str, *, unit: str = "mm") -> Decimal:
    """A figure as it was keyed, with a decimal comma or point. Raises `NotMeasured`."""
    found = _TYPED.fullmatch(typed)
    if found is None:
        example = "5" if unit == "plies" else "182 or 12,5"
        raise NotMeasured(f"Key what you measured in {unit}, such as {example}.")
    figure = Decimal(found[1].replace(",", "."))
    if unit == "plies" and figure != figure.to_integral_value():
        raise NotMeasured("Plies are counted: key a whole number.")
    return figure


def plain(figure: Decimal) -> str:
    """Without idle noughts: 180, 0.5."""
    return f"{figure.normalize():f}"


def as_kept(measured: Mapping[str, Decimal]) -> dict[str, str]:
    """What was measured, by the label of its line, as a check keeps it."""
    return {label: plain(figure) for label, figure in measured.items()}
