"""Where each tape, stick and caliper lies: a plain foot from above and from its medial side, LEFT and RIGHT.

A scheme and nobody's foot: it is drawn in units of its own, for the LEFT foot, and mirrored for the RIGHT. From above the
toes are up, as the wearer looks down. From the side the toes of the LEFT foot are at the right, those of the RIGHT foot at
the left, so that both point to the middle of the page. Pure: no database, no clock.
"""

import re
from dataclasses import dataclass

from cases.lasts.measures import MEASURES, MeasureKind

WIDE, HIGH = 372, 336
"""Units of the drawing of one foot; about a pixel on a tablet held upright."""

# The LEFT foot. Only M, L, C, Q and Z with absolute points, so that a path can be mirrored point by point.
FROM_ABOVE = (
    "M308 312 C291 312 280 298 280 276 C280 250 277 228 270 202 C264 180 259 162 261 142 "
    "C262 127 263 116 266 105 C268 95 278 92 281 100 C281 88 290 79 296 86 C297 74 307 66 313 74 "
    "C314 60 322 53 327 62 C329 40 338 24 347 27 C358 31 359 58 357 84 C356 98 359 108 358 122 "
    "C356 148 343 176 340 208 C338 236 338 254 337 278 C336 299 325 312 308 312 Z"
)
TOES_FROM_ABOVE = (
    "M281 100 C283 108 283 116 281 124",
    "M296 86 C299 96 300 106 299 116",
    "M313 74 C316 86 318 98 317 110",
    "M327 62 C329 78 331 92 332 106",
)
FROM_THE_SIDE = (
    "M28 14 C16 52 20 96 36 142 C43 166 45 186 40 206 C35 226 26 244 26 266 C26 288 33 300 50 301 "
    "C74 302 88 298 104 291 C120 285 134 289 148 296 C162 302 182 301 200 301 C214 301 220 294 219 284 "
    "C218 275 208 270 196 269 C182 266 168 256 154 241 C142 226 134 214 122 203 C106 192 98 180 97 162 "
    "C96 126 110 74 108 14"
)
DETAILS_FROM_THE_SIDE = (
    "M198 271 C203 276 206 281 205 287",
    "M66 222 C60 226 59 235 65 239 C72 243 79 237 78 229 C77 222 71 219 66 222",
)
BEHIND_FROM_THE_SIDE = ("M58 243 C53 246 52 254 57 258 C63 262 69 257 68 250 C67 244 62 241 58 243",)
"""The lateral malleolus, which stands lower, further back and on the far side."""
FLOOR = "M30 302 L232 302"


@dataclass(frozen=True)
class _Lies:
    """How one measure is drawn on the LEFT foot: its line, the marks at its ends, and where its number stands."""

    line: str
    number_at: tuple[float, float]
    ends: str = ""


_ON_THE_LEFT_FOOT: dict[str, _Lies] = {
    # From above: stick and caliper.
    "foot_length": _Lies("M246 26 L246 312", (246, 190), "M240 26 L349 26 M240 312 L308 312"),
    "heel_to_joint": _Lies("M364 122 L364 312", (361, 214), "M356 122 L368 122 M310 312 L368 312"),
    "heel_to_fifth": _Lies("M262 146 L262 312", (263, 240), "M257 146 L267 146"),
    "joint_width": _Lies("M261 134 L358 134", (310, 134), "M261 128 L261 140 M358 128 L358 140"),
    "heel_width": _Lies("M280 276 L337 276", (309, 276), "M280 270 L280 282 M337 270 L337 282"),
    # From the medial side: tape.
    "joint_girth": _Lies("M164 299 C172 286 176 272 174 258", (181, 243)),
    "waist_girth": _Lies("M139 291 C150 276 155 260 152 239", (163, 223)),
    "instep_girth": _Lies("M112 288 C126 264 132 234 127 208", (141, 192)),
    "short_heel_girth": _Lies("M27 277 C60 258 92 226 112 196", (126, 173)),
    "long_heel_girth": _Lies("M32 291 C68 284 106 250 126 208", (16, 297)),
    "ankle_girth": _Lies("M42 186 C58 196 82 192 98 178", (24, 184)),
    # From the medial side: stick.
    "toe_depth": _Lies("M211 301 L211 271", (222, 258), "M202 269 L219 269"),
    "instep_height": _Lies("M126 301 L126 208", (124, 318)),
    "medial_malleolus_height": _Lies("M76 301 L76 240", (84, 318), "M71 240 L81 240"),
    "lateral_malleolus_height": _Lies("M56 301 L56 260", (50, 318), "M51 260 L61 260"),
    "calf_girth": _Lies("M21 60 C46 74 80 72 105 60", (122, 54)),
}


@dataclass(frozen=True)
class Line:
    """One measure as it is drawn. `number` is its place in the list of measures, which stands beside its field too."""

    key: str
    label: str
    touches: str
    number: int
    is_tape: bool
    path: str
    ends: str
    x: float
    y: float


@dataclass(frozen=True)
class Word:
    """A word on the drawing, set from the middle."""

    text: str
    x: float
    y: float


@dataclass(frozen=True)
class Tapes:
    """The drawing of one foot. `side` is left or right; all else are paths and points in its units."""

    side: str
    from_above: str
    toes: tuple[str, ...]
    from_the_side: str
    details: tuple[str, ...]
    behind: tuple[str, ...]
    floor: str
    lines: tuple[Line, ...]
    words: tuple[Word, ...]
    wide: int = WIDE
    high: int = HIGH


def tapes(side: str) -> Tapes:
    """The drawing of one foot: `side` is left or right."""

    def placed(path: str) -> str:
        return path if side == "left" else mirrored(path)

    def across(x: float) -> float:
        return x if side == "left" else WIDE - x

    def line(number: int, kind: MeasureKind) -> Line:
        lies = _ON_THE_LEFT_FOOT[kind.key]
        x, y = lies.number_at
        is_tape = kind.touches.startswith("tape")
        path, ends = placed(lies.line), placed(lies.ends)
        return Line(kind.key, kind.label, kind.touches, number, is_tape, path, ends, across(x), y)

    return Tapes(
        side=side,
        from_above=placed(FROM_ABOVE),
        toes=tuple(placed(toe) for toe in TOES_FROM_ABOVE),
        from_the_side=placed(FROM_THE_SIDE),
        details=tuple(placed(detail) for detail in DETAILS_FROM_THE_SIDE),
        behind=tuple(placed(detail) for detail in BEHIND_FROM_THE_SIDE),
        floor=placed(FLOOR),
        lines=tuple(line(number, kind) for number, kind in enumerate(MEASURES, start=1)),
        words=(
            Word("lateral", across(268), 330),
            Word("medial", across(344), 330),
            Word("medial side", across(182), 325),
        ),
    )


_POINT = re.compile(r"(-?[0-9.]+) (-?[0-9.]+)")


def mirrored(path: str) -> str:
    """The same path with every point on the other side of the drawing's middle line."""
    return _POINT.sub(lambda point: f"{WIDE - float(point[1]):g} {point[2]}", path)
