"""A rack as a file of comma-separated values: one form to take lasts in and to give them out. Measures in mm.

Reading keeps every line that is good and names every one that is not, with its line number, column and reason; what
becomes of them is for others to decide. Nothing here knows the rack but by what it is told.
"""

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from cases.lasts.rack_columns import BY_NAME, COLUMNS, NEEDED, Column, Kind, Value

MOST_BYTES = 25 * 1024 * 1024
MOST_LINES = 50_000
LONGEST_SAID = 40
"""Characters of a cell that are repeated beside the reason."""

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
GUARD = "'"
"""A spreadsheet takes a cell behind this sign for text and never for a formula."""


class BadFile(ValueError):
    """A file of which no line can be read. The message is a sentence for the screen."""


class BadCell(ValueError):
    """A cell that cannot be taken. The message is the reason."""


@dataclass(frozen=True, slots=True)
class RackLine:
    """One good line: where it stood in the file, and a value for each column. Empty: "" for words, else None."""

    line: int
    values: Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class BadLine:
    """What is wrong on one line of the file. `column` is empty where it is the line as a whole."""

    line: int
    column: str
    given: str
    reason: str


@dataclass(frozen=True)
class RackRead:
    """A file that was read. `encoding` and `separator` say how, in words."""

    lines: Sequence[RackLine]
    bad: Sequence[BadLine]
    encoding: str
    separator: str


# Giving out ------------------------------------------------------------------------------------------------------


def write_rack_file(rows: Iterable[Mapping[str, Value]]) -> str:
    """Rows of values by the columns' names as text to read again. No cell of text can be taken for a formula."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(BY_NAME)
    for row in rows:
        writer.writerow([_written(row.get(name)) for name in BY_NAME])
    return out.getvalue()


def _written(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, date):
        return value.isoformat()
    return f"{GUARD}{value}" if value.startswith((*FORMULA_SIGNS, GUARD)) else value


# Reading ---------------------------------------------------------------------------------------------------------


def read_rack_file(content: bytes, *, today: date) -> RackRead:
    """Every line of a file, good or bad. Raises `BadFile` where it is no such file, or longer than `MOST_LINES`."""
    text, encoding = _decoded(content)
    delimiter, separator = _delimiter_of(text)
    rows = _rows(text, delimiter)
    _, head = next(rows, (1, []))
    columns = _columns_of(head)
    lines: list[RackLine] = []
    bad: list[BadLine] = []
    known: Known = {}
    for how_many, (line, cells) in enumerate(rows, start=1):
        if how_many > MOST_LINES:
            raise BadFile(f"This file has more than {MOST_LINES} lines. Part it, and take in one part after the other.")
        if wrong := _wrong_count(line, cells, columns):
            bad.append(wrong)
            continue
        values, wrong_cells = _read_cells(line, cells, columns, known, today=today)
        bad.extend(wrong_cells)
        if not wrong_cells:
            lines.append(RackLine(line, values))
    if not lines and not bad:
        raise BadFile("This file has a head and no last below it.")
    return RackRead(lines, bad, encoding, separator)


def _decoded(content: bytes) -> tuple[str, str]:
    if len(content) > MOST_BYTES:
        raise BadFile(f"This file is larger than {MOST_BYTES // 1024 // 1024} MB. Part it.")
    if content.startswith(b"PK"):
        raise BadFile("This is a spreadsheet's own file or an archive. Save it as CSV, and choose that.")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\x00" in content:
        raise BadFile("This file is no text in UTF-8. Save it as CSV in UTF-8, and choose that.")
    if not content.strip():
        raise BadFile("This file is empty.")
    try:
        return content.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError:
        pass
    try:
        return content.decode("cp1252"), "Windows text (cp1252)"
    except UnicodeDecodeError:
        raise BadFile(
            "This file is text neither in UTF-8 nor in Windows-1252. Save it as CSV in UTF-8, and choose that."
        ) from None


SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}


def _delimiter_of(text: str) -> tuple[str, str]:
    """What separates the cells: the sign under which the head holds the most columns that are known."""
    head = text.lstrip("\r\n").partition("\n")[0]

    def known(delimiter: str) -> int:
        return len({cell.strip().strip('"').strip().lower() for cell in head.split(delimiter)} & BY_NAME.keys())

    best = max(SEPARATORS, key=known)
    return best, SEPARATORS[best]


def _rows(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Each row that is not empty with the number of the line on which it begins."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins, cells
            begins = reader.line_num + 1
    except csv.Error as error:
        raise BadFile(
            f"The row that begins on line {begins} cannot be parted into cells ({error}): look at its quotation marks."
        ) from None


def _columns_of(head: Sequence[str]) -> tuple[Column, ...]:
    names = [cell.strip().lower() for cell in head]
    while names and not names[-1]:
        names.pop()
    if unknown := [name for name in names if name not in BY_NAME]:
        raise BadFile(
            f"The head of the file has columns that are not known: {', '.join(_said(name) or 'one without a name' for name in unknown[:5])}."
            " Give the columns the names described here."
        )
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise BadFile(f"A column stands there twice: {', '.join(twice)}.")
    if missing := [name for name in NEEDED if name not in names]:
        raise BadFile(f"The head of the file lacks a column that is needed: {', '.join(missing)}.")
    return tuple(BY_NAME[name] for name in names)


def _wrong_count(line: int, cells: Sequence[str], columns: Sequence[Column]) -> BadLine | None:
    more = any(cell.strip() for cell in cells[len(columns) :])
    if len(cells) >= len(columns) and not more:
        return None
    amiss = "too many" if more else "missing"
    return BadLine(line, "", "", f"has {len(cells)} cells where the head has {len(columns)}: is a separator {amiss}?")


Known = dict[tuple[str, str], Value]
"""Figures, days and choices that were read already, by column and text: most stand in many lines of a file."""


def _read_cells(
    line: int, cells: Sequence[str], columns: Sequence[Column], known: Known, *, today: date
) -> tuple[dict[str, Value], list[BadLine]]:
    values: dict[str, Value] = dict(NOTHING)
    bad = []
    for column, cell in zip(columns, cells, strict=False):
        text = cell.strip()
        key = (column.name, text)
        if key in known:
            values[column.name] = known[key]
            continue
        try:
            value = values[column.name] = _read_cell(column, text, today=today)
            if column.kind is not Kind.TEXT:
                known[key] = value
        except BadCell as error:
            bad.append(BadLine(line, column.name, _said(text), str(error)))
    if not bad and (values["marked_size"] == "") is not (values["marked_read_on"] == ""):
        named = "marked_read_on" if values["marked_size"] else "marked_size"
        bad.append(BadLine(line, named, "", "a marked size says what it was read on: last or foot"))
    return values, bad


NOTHING: Mapping[str, Value] = {
    column.name: "" if column.kind in {Kind.TEXT, Kind.CHOICE} else None for column in COLUMNS
}
"""What an empty cell is read as."""


def _read_cell(column: Column, text: str, *, today: date) -> Value:
    if not text:
        if column.needed:
            raise BadCell("must be there")
        return NOTHING[column.name]
    return READERS[column.kind](column, text, today)


def _read_text(column: Column, text: str, today: date) -> str:
    if text.startswith(GUARD) and text[1:].startswith((*FORMULA_SIGNS, GUARD)):
        text = text[1:]
    if len(text) > column.most:
        raise BadCell(f"is longer than {column.most} characters")
    return text


def _read_choice(column: Column, text: str, today: date) -> str:
    if text.lower() not in column.choices:
        raise BadCell(f"is none of: {', '.join(column.choices)}")
    return text.lower()


FIGURE = re.compile(r"([+\-\u2212]?)([0-9]{1,4})(?:[.,]([0-9]{1,6}))?")


def _read_figure(column: Column, text: str, today: date) -> Decimal:
    """A figure with a decimal point or comma. What would be rounded is refused: nothing is changed silently."""
    match = FIGURE.fullmatch(text)
    unit = "degrees" if column.kind is Kind.DEGREES else "mm"
    if match is None:
        raise BadCell(f"is no figure in {unit}, such as 27 or 27.5 or 27,5")
    sign, whole, part = match[1], match[2], (match[3] or "").rstrip("0")
    if len(part) > 1:
        raise BadCell(f"is finer than a tenth of a {'degree' if unit == 'degrees' else 'mm'}")
    value = Decimal(f"{whole}.{part or '0'}")
    value = -value if sign in {"-", "\u2212"} else value
    if not column.least <= value <= column.most:
        raise BadCell(f"is not within {column.least} to {column.most} {unit}")
    return value


def _read_day(column: Column, text: str, today: date) -> date:
    try:
        day = date.fromisoformat(text) if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else None
    except ValueError:
        day = None
    if day is None:
        raise BadCell("is no day such as 2026-11-25")
    if day > today:
        raise BadCell("is still to come")
    return day


READERS: Mapping[Kind, Callable[[Column, str, date], Value]] = {
    Kind.TEXT: _read_text,
    Kind.CHOICE: _read_choice,
    Kind.MM: _read_figure,
    Kind.DEGREES: _read_figure,
    Kind.DAY: _read_day,
}


def _said(text: str) -> str:
    """A cell as it is repeated beside its reason: on one line, not longer than a person reads."""
    said = " ".join(text.split())
    return f"{said[:LONGEST_SAID]}…" if len(said) > LONGEST_SAID else said


# Against the rack ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class OnTheRack:
    """What stands there already: the owner's record number of each number ("" for stock), the lasts, the clients."""

    owners: Mapping[str, str]
    lasts: AbstractSet[tuple[str, str]]
    clients: AbstractSet[str]


def against_the_rack(lines: Sequence[RackLine], rack: OnTheRack) -> list[BadLine]:
    """What stands against taking these lines in: a last that is there, a number of somebody else, an unknown client."""
    bad = []
    first: dict[tuple[str, str], int] = {}
    owner_in_file: dict[str, tuple[str, int]] = {}
    for each in lines:
        number, side, owner = (str(each.values[name]) for name in ("number", "side", "owner_record_number"))
        at, said_owner = (
            first.setdefault((number, side), each.line),
            owner_in_file.setdefault(number, (owner, each.line)),
        )
        if owner and owner not in rack.clients:
            bad.append(BadLine(each.line, "owner_record_number", _said(owner), "is no client's record number"))
        if (number, side) in rack.lasts:
            bad.append(BadLine(each.line, "number", _said(number), f"already stands on the rack, {side.upper()}"))
        elif number in rack.owners and rack.owners[number] != owner:
            bad.append(BadLine(each.line, "number", _said(number), "is already given to a last of another owner"))
        if at != each.line:
            bad.append(BadLine(each.line, "number", _said(number), f"{side.upper()} stands on line {at} already"))
        elif said_owner[0] != owner:
            bad.append(
                BadLine(
                    each.line,
                    "owner_record_number",
                    _said(owner),
                    f"is another than on line {said_owner[1]} for this number",
                )
            )
    return bad
