"""How each kind of part is filled: a pattern of its own, never a colour alone, so that black print tells them apart."""

from dataclasses import dataclass

INK = "#1D1B19"
QUIET = "#5C564E"


@dataclass(frozen=True)
class Filling:
    """`tile`: the pattern's width and height with what is drawn on it; without one the fill is plain."""

    fill: str = "none"
    tile: tuple[float, float, str] | None = None
    stroke: float = 0.6
    dashes: str = ""


def short(value: float) -> str:
    """A figure as SVG takes it, without the nought before the point."""
    return f"{value:g}".removeprefix("0")


def _lined(path: str, stroke: float = 0.5) -> str:
    return f'<path d="{path}"/>' if stroke == 0.5 else f'<path d="{path}" stroke-width="{short(stroke)}"/>'


KINDS: dict[str, Filling] = {
    "upper": Filling("#FFF", stroke=0.8),
    "form": Filling("#FFF", stroke=0.8),
    "stiffener": Filling("#E9E2D3", (4, 4, _lined("M0 4L4 0", 0.6))),
    "relief": Filling("#FFF", stroke=1.0, dashes="3 1.5"),
    "puff": Filling("#F3EEE3", (4, 4, _lined("M0 0L4 4M2 0L4 2M0 2L2 4", 0.4))),
    "insole": Filling("#C2AA86", (5, 2.4, _lined("M0 1.2H2.5", 0.4))),
    "doubled": Filling("#E2D5BF", (3, 3, _lined("M0 .7H3M0 2.2H3", 0.5))),
    "turned up": Filling("#D9C7A6", (3, 5, _lined("M1.5 0V5", 0.8))),
    "collar": Filling("#FFF", (5, 5, _lined("M0 2.5q1.2-2 2.5 0t2.5 0", 0.5))),
    "inlay": Filling("#FFF", stroke=0.6, dashes="2 1"),
    "posting": Filling("#FFF", (4, 4, _lined("M2 0V4M0 2H4", 0.5))),
    "scoured": Filling("#FFF", (5, 5, _lined("M2.5 1.5V3.5M1.5 2.5H3.5", 0.5))),
    "cushion": Filling("#FFF", (3, 3, f'<circle cx="1.5" cy="1.5" r=".65" fill="{INK}" stroke="none"/>')),
    "toe prop": Filling("#FFF", (4, 4, _lined("M0 2a2 2 0 0 1 4 0", 0.6))),
    "toe filler": Filling("#F3EEE3", (6, 6, _lined("M3 1.5V4.5M1.5 3H4.5M0 0L1 1", 0.5))),
    "support": Filling("#8C8478", (4, 4, '<circle cx="2" cy="2" r="1" fill="#FFF" stroke="none"/>')),
    "shank": Filling(INK),
    "carbon": Filling("#FFF", (2.4, 2.4, _lined("M0 0L2.4 2.4M2.4 0L0 2.4", 0.5))),
    "sole": Filling("#D6D0C4", (8, 5, _lined("M1 4L2 2", 0.5))),
    "heel": Filling("#BDB5A6", (8, 5, _lined("M0 0H8M2 0V5", 0.4))),
    "raise": Filling("#F7F3EA", (4, 3, _lined("M0 1.5H4", 0.5))),
    "soft zone": Filling("none", (7, 7, _lined("M1 3.5q1.5-2 3 0t3 0", 0.4)), stroke=0.6, dashes="3 2"),
    "wedge": Filling("#F7F3EA", (2.4, 4, _lined("M1.2 0V4", 0.6))),
    "flare": Filling("#F3EEE3", (5, 5, _lined("M0 5L2.5 0L5 5", 0.4)), dashes="2 1.5"),
    "joint line": Filling(stroke=0.5, dashes="6 2"),
    "apex line": Filling(stroke=0.9, dashes="6 2 1 2"),
    "breast line": Filling(stroke=0.6, dashes="1.5 1.5"),
    "sock": Filling(stroke=1.1, dashes=".8 1.4"),
    "ground": Filling(),
}
