"""What spreadsheets make of a shot list in a workbook: it is read, or told in plain words."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from typing import Any

import openpyxl
import pytest

from sunsched.folder.read import read_day

HEADER = "id,description,size,look,shoot_min"
COLUMNS = [*HEADER.split(","), "pin", "hold", "weight"]
GOOD = [1, "Wide", "wide", "N", 30]


def workbook(*rows: list[Any], sheet: str = "Sheet1") -> bytes:
    """Give an .xlsx with one sheet of these rows."""
    book = openpyxl.Workbook()
    book.active.title = sheet
    for row in rows:
        book.active.append(row)
    raw = io.BytesIO()
    book.save(raw)
    return raw.getvalue()


def rewritten(book: bytes, old: bytes, new: bytes) -> bytes:
    """Give a workbook in whose parts one piece of text stands for another, which must be there."""
    raw = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as before, zipfile.ZipFile(raw, "w") as after:
        parts = {name: before.read(name) for name in before.namelist()}
        assert any(old in part for part in parts.values())
        for name, part in parts.items():
            after.writestr(name, part.replace(old, new))
    return raw.getvalue()


def test_workbook_gives_the_same_shots_as_text(make_folder):
    """Numbers, times and ticked boxes come out as people write them."""
    book = workbook(
        COLUMNS,
        [7, "Wide", "wide", 12.5, 30.0, dt.time(13, 0), True, 2.5],
        ["7A", "Wide", "wide", "NNW", 30, dt.timedelta(hours=14), False, None],
        [None, None, "  "],
        ["8", "Wide", "wide", 0, 30, "15:00", None, 1],
    )
    text = (
        f"{','.join(COLUMNS)}\n7,Wide,wide,12.5,30,13:00,yes,2.5\n"
        "7A,Wide,wide,NNW,30,14:00,no,\n8,Wide,wide,0,30,15:00,,1\n"
    )
    folder = make_folder(shots=None, shots_xlsx=book)
    from_book = read_day(folder)
    (folder / "shots.xlsx").unlink()
    (folder / "shots.csv").write_text(text)
    assert from_book == read_day(folder)


def test_sheet_called_shots_is_read_before_the_first(make_folder):
    """A workbook may hold other sheets."""
    book = openpyxl.Workbook()
    book.active.append(["notes"])
    book.create_sheet("Shots").append(HEADER.split(","))
    book["Shots"].append([1, "Wide", "wide", "N", 30])
    raw = io.BytesIO()
    book.save(raw)
    assert len(read_day(make_folder(shots=None, shots_xlsx=raw.getvalue())).shots) == 1


def test_whole_number_kept_as_a_fraction_is_whole(make_folder):
    """Some spreadsheets store 7 as 7.0, which must not become the id `7.0`."""
    whole = workbook(HEADER.split(","), [7, *GOOD[1:]])
    book = rewritten(whole, b"<v>7</v>", b"<v>7.0</v>")
    assert read_day(make_folder(shots=None, shots_xlsx=book)).shots[0].id == "7"


def test_what_the_reader_prints_of_a_damaged_workbook_is_not_shown(make_folder, faults, capsys):
    """A cell style that leads nowhere is told as a fault, and our output holds nothing else."""
    book = rewritten(workbook(HEADER.split(","), GOOD), b'xfId="0"', b'xfId="99"')
    assert faults(make_folder(shots=None, shots_xlsx=book)) == [
        "shots.xlsx: not a workbook that can be read (expected an .xlsx or .ods workbook)"
    ]
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("column", "value", "message"),
    [
        pytest.param(
            0,
            dt.date(2027, 2, 1),
            "shots.xlsx:3, id: a date, which the spreadsheet made of what was typed: `2027-02-01` "
            "(expected text or a number)\n"
            "  hint: format the column as text and type it again",
            id="id taken for a date",
        ),
        pytest.param(
            4,
            "=15*2",
            "shots.xlsx:3, shoot_min: a formula without a result: `=15*2`\n  hint: open and save "
            "the workbook in a spreadsheet, or type the value",
            id="formula",
        ),
        pytest.param(
            1, "#REF!", "shots.xlsx:3, description: a formula that failed: `#REF!`", id="error"
        ),
        pytest.param(
            4,
            True,
            "shots.xlsx:3, shoot_min: not a number: `yes` (expected a whole number from 1 to "
            "720, such as 20)",
            id="boolean",
        ),
        pytest.param(
            4,
            dt.time(0, 0, 30),
            "shots.xlsx:3, shoot_min: not whole minutes: `00:00:30` "
            "(expected a whole number from 1 to 720, such as 20)",
            id="time",
        ),
    ],
)
def test_cell_that_is_no_text_is_a_fault(column, value, message, make_folder, faults):
    """The row told is the sheet's own, and one fault is told once."""
    row = [*GOOD]
    row[column] = value
    book = workbook(HEADER.split(","), [2, *GOOD[1:]], row)
    assert faults(make_folder(shots=None, shots_xlsx=book)) == [message]


def packed(name: str, content: bytes) -> bytes:
    """Give a zip of one file."""
    raw = io.BytesIO()
    with zipfile.ZipFile(raw, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, content)
    return raw.getvalue()


@pytest.mark.parametrize(
    ("raw", "message"),
    [
        pytest.param(
            b"id,size\n",
            "shots.xlsx: not a workbook that can be read (expected an .xlsx or .ods workbook)",
            id="text",
        ),
        pytest.param(
            packed("a.txt", b"hello"),
            "shots.xlsx: not a workbook that can be read (expected an .xlsx or .ods workbook)",
            id="other archive",
        ),
        pytest.param(
            workbook(COLUMNS)[:-200],
            "shots.xlsx: not a workbook that can be read (expected an .xlsx or .ods workbook)",
            id="cut short",
        ),
        pytest.param(
            b"\xd0\xcf\x11\xe0 and more",
            "shots.xlsx: a workbook with a password or in the old .xls format (expected an .xlsx "
            "or .ods workbook)\n  hint: save it again as .xlsx without a password",
            id="password",
        ),
        pytest.param(
            packed("a.xml", b" " * 50_000_001),
            "shots.xlsx: 50,000,001 bytes long when unpacked (expected at most 50,000,000 bytes)",
            id="bomb",
        ),
        pytest.param(
            workbook(),
            "shots.xlsx: empty (expected a header line and rows below it)",
            id="empty",
        ),
    ],
)
def test_workbook_that_cannot_be_read_is_a_fault(raw, message, make_folder, faults):
    """Each says what the file is instead."""
    assert faults(make_folder(shots=None, shots_xlsx=raw)) == [message]


def test_sheet_that_reaches_too_far_is_a_fault(make_folder, faults):
    """One stray cell in the last corner must not make the reader walk over all others."""
    book = openpyxl.Workbook()
    for column, title in enumerate(HEADER.split(","), 1):
        book.active.cell(1, column, title)
    for row in range(2, 40):
        book.active.cell(row, 16_384, "x")
    raw = io.BytesIO()
    book.save(raw)
    assert faults(make_folder(shots=None, shots_xlsx=raw.getvalue())) == [
        (
            "shots.xlsx:14: a sheet of more than 200,000 cells\n"
            "  hint: delete the empty rows and columns around the table"
        ),
    ]
