"""A rack as a file: what is read, what is refused and why, and that giving out and taking in are each other's mirror."""

import csv
import io
import subprocess
import sys
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.lasts import rack_columns, rack_files
from cases.lasts.models import MEASURED_MM, Last, Making, Origin, ReadOn
from cases.lasts.rack_columns import BY_NAME, COLUMNS, Column, Kind
from cases.lasts.rack_files import (
    BadFile,
    BadLine,
    OnTheRack,
    RackLine,
    against_the_rack,
    read_rack_file,
    write_rack_file,
)
from shared.sides import Side
from tests.architecture.walk import ROOT

TODAY = date(2026, 11, 25)
EMPTY_RACK = OnTheRack(owners={}, lasts=frozenset(), clients=frozenset())
NAMES = ("number", "side", "length_mm", "heel_height_mm", "place")


def of(*lines: str, head: str = ",".join(NAMES), encoding: str = "utf-8") -> bytes:
    return "\r\n".join([head, *lines]).encode(encoding)


def bad_of(*lines: str, head: str = ",".join(NAMES)) -> list[BadLine]:
    return list(read_rack_file(of(*lines, head=head), today=TODAY).bad)


def one(cells: Mapping[str, str]) -> bytes:
    """A file of one line that is good but for the cells given."""
    whole = {"number": "7", "side": "left", "length_mm": "285", "heel_height_mm": "22", "place": "A1", **cells}
    return of(";".join(whole.values()), head=";".join(whole))


# Round trip --------------------------------------------------------------------------------------------------------


def words(longest: int, *, needed: bool) -> st.SearchStrategy[str]:
    risky = st.sampled_from(
        ["=1+1", "+4", "-2 mm", "@A1", "'=x", "''", "a,b;c", 'says "12"', "two\nlines", "ü€日", "\t=x"]
    )
    anything = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=longest)
    text = st.one_of(risky, anything).map(lambda each: each.strip()[:longest].strip())
    return text.filter(bool) if needed else text


def values_of(column: Column) -> st.SearchStrategy[Any]:
    if column.kind is Kind.TEXT:
        return words(int(column.most), needed=column.needed)
    if column.kind is Kind.CHOICE:
        return st.sampled_from(column.choices if column.needed else ("", *column.choices))
    if column.kind is Kind.DAY:
        return st.none() | st.dates(max_value=TODAY)
    figure = st.decimals(column.least, column.most, places=1, allow_nan=False)
    return figure if column.needed else st.none() | figure


ROWS = st.fixed_dictionaries({column.name: values_of(column) for column in COLUMNS}).filter(
    lambda row: bool(row["marked_size"]) is bool(row["marked_read_on"])
)


@settings(max_examples=200, deadline=None)
@given(st.lists(ROWS, min_size=1, max_size=4))
def test_what_is_given_out_is_what_is_read_again(rows: list[dict[str, Any]]) -> None:
    read = read_rack_file(write_rack_file(rows).encode("utf-8-sig"), today=TODAY)
    assert ([dict(line.values) for line in read.lines], list(read.bad)) == (rows, [])


@settings(max_examples=200, deadline=None)
@given(ROWS)
def test_no_cell_of_words_is_a_formula_to_a_spreadsheet(row: dict[str, Any]) -> None:
    cells = next(csv.DictReader(io.StringIO(write_rack_file([row]), newline="")))
    begins = {cells[column.name][:1] for column in COLUMNS if column.kind is Kind.TEXT}
    assert begins & {"=", "+", "-", "@", "\t", "\r"} == set()


def test_a_tilt_to_valgus_stays_a_figure_to_a_spreadsheet() -> None:
    row: dict[str, Any] = {"number": "7", "rearfoot_varus_degrees": Decimal("-3.5")}
    assert write_rack_file([row]).splitlines()[1].split(",")[20] == "-3.5"


def answer_to(content: bytes) -> str:
    """What a person is told: the sentence of a refusal, or "read"."""
    try:
        read = read_rack_file(content, today=TODAY)
    except BadFile as refused:
        return str(refused)
    return "read" if read.lines or read.bad else "nothing"


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=300) | st.text(max_size=100).map(str.encode))
def test_any_bytes_are_read_or_refused_with_a_sentence(content: bytes) -> None:
    assert answer_to(content)[-1] in ".d"


@settings(max_examples=300, deadline=None)
@given(st.lists(st.text(max_size=30), max_size=7))
def test_any_cells_below_a_good_head_give_a_good_line_or_a_reason(cells: list[str]) -> None:
    assert answer_to(write_rack_file([]).encode() + ",".join(cells).encode("utf-8", "replace"))[-1] in ".d"


# What is read --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_text_is_read_as_it_was_written(encoding: str) -> None:
    read = read_rack_file(of("7,left,285,22,Schränkchen €", encoding=encoding), today=TODAY)
    assert read.lines[0].values["place"] == "Schränkchen €"


@pytest.mark.parametrize(
    ("separator", "words_for_it"),
    [(",", "comma"), (";", "semicolon"), ("\t", "tab")],
    ids=["comma", "semicolon", "tab"],
)
def test_the_separator_is_found_by_the_head(separator: str, words_for_it: str) -> None:
    content = of("7,left,285,22,A1".replace(",", separator), head=",".join(NAMES).replace(",", separator))
    assert read_rack_file(content, today=TODAY).separator == words_for_it


@pytest.mark.parametrize(
    ("typed", "mm"), [("285", "285"), ("285.5", "285.5"), ("285,5", "285.5"), ("285.50", "285.5"), (" 285 ", "285")]
)
def test_a_figure_has_a_point_or_a_comma(typed: str, mm: str) -> None:
    assert read_rack_file(one({"length_mm": typed}), today=TODAY).lines[0].values["length_mm"] == Decimal(mm)


@pytest.mark.parametrize(("typed", "degrees"), [("-3.5", "-3.5"), ("\u22123,5", "-3.5"), ("+2", "2")])
def test_a_tilt_may_be_negative(typed: str, degrees: str) -> None:
    values = read_rack_file(one({"rearfoot_varus_degrees": typed}), today=TODAY).lines[0].values
    assert values["rearfoot_varus_degrees"] == Decimal(degrees)


def test_a_last_may_be_of_today() -> None:
    assert read_rack_file(one({"made_on": "2026-11-25"}), today=TODAY).lines[0].values["made_on"] == TODAY


def test_columns_stand_in_any_order_and_case() -> None:
    content = of("A1,22,285,RIGHT,7", head="Place,HEEL_HEIGHT_MM,length_mm,Side,number")
    assert {name: read_rack_file(content, today=TODAY).lines[0].values[name] for name in NAMES} == {
        "number": "7",
        "side": "right",
        "length_mm": Decimal(285),
        "heel_height_mm": Decimal(22),
        "place": "A1",
    }


def test_empty_lines_are_passed_over_and_still_counted() -> None:
    read = read_rack_file(of("", "7,left,285,22,A1", ",,,,", "7,right,285,22,A1"), today=TODAY)
    assert [line.line for line in read.lines] == [3, 5]


def test_a_note_of_two_lines_moves_the_numbers_of_the_lines_below() -> None:
    content = of('7,left,285,22,"rack\nA1"', "8,left,999,22,A1")
    assert [(bad.line, bad.column) for bad in read_rack_file(content, today=TODAY).bad] == [(4, "length_mm")]


# What is refused -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "column", "reason"),
    [
        ({"number": " "}, "number", "must be there"),
        ({"number": "7" * 31}, "number", "is longer than 30 characters"),
        ({"side": "inner"}, "side", "is none of: left, right"),
        ({"length_mm": "11 in"}, "length_mm", "is no figure in mm, such as 27 or 27.5 or 27,5"),
        ({"length_mm": "28.5"}, "length_mm", "is not within 80 to 400 mm"),
        ({"length_mm": "285.55"}, "length_mm", "is finer than a tenth of a mm"),
        ({"length_mm": "-285"}, "length_mm", "is not within 80 to 400 mm"),
        ({"length_mm": "1e2"}, "length_mm", "is no figure in mm, such as 27 or 27.5 or 27,5"),
        ({"length_mm": "NaN"}, "length_mm", "is no figure in mm, such as 27 or 27.5 or 27,5"),
        ({"length_mm": "٢٨٥"}, "length_mm", "is no figure in mm, such as 27 or 27.5 or 27,5"),
        ({"joint_girth_mm": "12"}, "joint_girth_mm", "is not within 50 to 700 mm"),
        ({"toe_out_degrees": "61"}, "toe_out_degrees", "is not within -60 to 60 degrees"),
        ({"origin": "bought"}, "origin", "is none of: made, altered, reused"),
        ({"made_on": "25.11.2026"}, "made_on", "is no day such as 2026-11-25"),
        ({"made_on": "2026-02-30"}, "made_on", "is no day such as 2026-11-25"),
        ({"made_on": "2026-11-26"}, "made_on", "is still to come"),
        ({"marked_size": "EU 42"}, "marked_read_on", "a marked size says what it was read on: last or foot"),
        ({"marked_read_on": "foot"}, "marked_size", "a marked size says what it was read on: last or foot"),
    ],
    ids=str,
)
def test_a_bad_cell_is_named_with_its_line_column_and_reason(cells: dict[str, str], column: str, reason: str) -> None:
    found = read_rack_file(one(cells), today=TODAY).bad
    assert [(bad.line, bad.column, bad.reason) for bad in found] == [(2, column, reason)]


def test_every_bad_cell_of_a_line_is_named() -> None:
    assert [bad.column for bad in bad_of("7,inner,28.5,22,A1")] == ["side", "length_mm"]


def test_a_good_line_between_bad_ones_stays_good() -> None:
    read = read_rack_file(of("7,left,1,22,A1", "8,left,285,22,A1", "9,up,285,22,A1"), today=TODAY)
    assert ([line.line for line in read.lines], [bad.line for bad in read.bad]) == ([3], [2, 4])


def test_a_line_with_a_cell_too_many_is_named() -> None:
    assert bad_of("7,left,285,22,A1,more") == [
        BadLine(2, "", "", "has 6 cells where the head has 5: is a separator too many?")
    ]


def test_a_line_with_a_cell_too_few_is_named() -> None:
    assert bad_of("7,left,285,22") == [BadLine(2, "", "", "has 4 cells where the head has 5: is a separator missing?")]


def test_a_comma_for_the_point_between_commas_is_a_cell_too_many() -> None:
    assert [bad.reason for bad in bad_of("7,left,285,5,22,A1")] == [
        "has 6 cells where the head has 5: is a separator too many?"
    ]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "This file is empty."),
        (b"  \r\n ", "This file is empty."),
        (b"PK\x03\x04rest", "This is a spreadsheet's own file or an archive. Save it as CSV, and choose that."),
        ("number".encode("utf-16"), "This file is no text in UTF-8. Save it as CSV in UTF-8, and choose that."),
        (b"number\x00", "This file is no text in UTF-8. Save it as CSV in UTF-8, and choose that."),
        (
            b"number\x81\xff",
            "This file is text neither in UTF-8 nor in Windows-1252. Save it as CSV in UTF-8, and choose that.",
        ),
        (of(), "This file has a head and no last below it."),
        (
            of("7", head="number"),
            "The head of the file lacks a column that is needed: side, length_mm, heel_height_mm, place.",
        ),
        (of("7,1", head="number,number"), "A column stands there twice: number."),
        (
            of("7,left,285,22,A1,x", head=",".join([*NAMES, "girth"])),
            "The head of the file has columns that are not known: girth. Give the columns the names described here.",
        ),
        (
            of('7,left,285,22,"A1'),
            (
                "The row that begins on line 2 cannot be parted into cells (unexpected end of data): look at its"
                " quotation marks."
            ),
        ),
    ],
    ids=lambda case: case[:24] if isinstance(case, str) else "",
)
def test_a_file_that_is_none_is_refused_with_a_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises(BadFile) as refused:
        read_rack_file(content, today=TODAY)
    assert str(refused.value) == sentence


def test_a_file_larger_than_allowed_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rack_files, "MOST_BYTES", 10)
    with pytest.raises(BadFile, match="This file is larger than"):
        read_rack_file(of("7,left,285,22,A1"), today=TODAY)


def test_as_many_lines_as_allowed_are_read_and_one_more_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rack_files, "MOST_LINES", 2)
    lines = ["7,left,285,22,A1", "7,right,285,22,A1"]
    allowed = read_rack_file(of(*lines), today=TODAY)
    with pytest.raises(BadFile, match="more than 2 lines"):
        read_rack_file(of(*lines, "8,left,285,22,A1"), today=TODAY)
    assert len(allowed.lines) == 2


READ_50_000 = """
import re
from datetime import date
from pathlib import Path
from cases.lasts.rack_columns import BY_NAME
from cases.lasts.rack_files import MOST_LINES, read_rack_file

def line(number):
    girths = ",".join(str(220 + (number * 7 + each) % 90) for each in range(6))
    lengths = f"{230 + number % 80}.5,{number % 40},12"
    return f"N{number},left,,EU 42,last,{lengths},round,{girths},95,66,190,170,26,,,,reused,tape,rack {number},worn,,,,"

content = "\\n".join([",".join(BY_NAME), *map(line, range(MOST_LINES))]).encode()
read = read_rack_file(content, today=date(2026, 11, 25))
print(len(read.lines), int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) // 1024)
"""
"""Its own highest mark: what the system counts for a child begins with the size of the process that started it."""


@pytest.mark.slow
def test_fifty_thousand_lines_are_read_in_less_than_512_mb() -> None:
    done = subprocess.run([sys.executable, "-c", READ_50_000], cwd=ROOT, capture_output=True, text=True, check=True)
    lines, peak_mb = map(int, done.stdout.split())
    assert (lines, peak_mb < 512) == (50_000, True)


# Against the rack ----------------------------------------------------------------------------------------------------


def lines_of(*rows: tuple[str, str, str]) -> list[RackLine]:
    return [
        RackLine(line, {"number": number, "side": side, "owner_record_number": owner})
        for line, (number, side, owner) in enumerate(rows, start=2)
    ]


RACK = OnTheRack(owners={"7": "", "8": "L1041"}, lasts={("7", "left"), ("8", "left")}, clients={"L1041", "L1042"})


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ([("9", "left", ""), ("9", "right", "")], []),
        ([("7", "right", "")], []),
        ([("8", "right", "L1041")], []),
        ([("7", "left", "")], [BadLine(2, "number", "7", "already stands on the rack, LEFT")]),
        ([("7", "right", "L1042")], [BadLine(2, "number", "7", "is already given to a last of another owner")]),
        ([("9", "left", "L9")], [BadLine(2, "owner_record_number", "L9", "is no client's record number")]),
        (
            [("9", "left", ""), ("9", "left", "")],
            [BadLine(3, "number", "9", "LEFT stands on line 2 already")],
        ),
        (
            [("9", "left", ""), ("9", "right", "L1042")],
            [BadLine(3, "owner_record_number", "L1042", "is another than on line 2 for this number")],
        ),
    ],
    ids=str,
)
def test_what_stands_against_taking_a_line_in_is_named(rows: list[tuple[str, str, str]], found: list[BadLine]) -> None:
    assert against_the_rack(lines_of(*rows), RACK) == found


def test_an_empty_rack_takes_everything() -> None:
    assert against_the_rack(lines_of(("7", "left", "")), EMPTY_RACK) == []


# The columns are those of a last ---------------------------------------------------------------------------------------


def test_every_measure_of_a_last_has_its_column() -> None:
    assert set(MEASURED_MM) - BY_NAME.keys() == set()


@pytest.mark.parametrize(
    ("allowed", "choices"),
    [
        (rack_columns.ORIGINS, Origin.values),
        (rack_columns.MAKINGS, Making.values),
        (rack_columns.READ_ON, ReadOn.values),
        (BY_NAME["side"].choices, Side.values),
    ],
)
def test_what_may_be_chosen_is_what_a_last_knows(allowed: tuple[str, ...], choices: list[str]) -> None:
    assert list(allowed) == choices


@pytest.mark.parametrize("column", [c for c in COLUMNS if c.kind is Kind.TEXT], ids=lambda column: column.name)
def test_no_text_is_longer_than_a_last_can_keep(column: Column) -> None:
    if column.name == "owner_record_number":
        kept = 20
    else:
        kept = getattr(Last._meta.get_field(column.name), "max_length", None) or 4000
    assert column.most == kept
