"""What spreadsheets do to a shot list: every habit is read, or told in plain words."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from typing import Any

import openpyxl
import pytest

from sunsched.folder.read import read_day

HEADER = "id,description,size,look,shoot_min"


def test_byte_order_mark_is_no_part_of_the_first_header(make_folder):
    """Spreadsheets start UTF-8 files with a mark that cannot be seen."""
    shots = b"\xef\xbb\xbf" + f"{HEADER}\n1,Wide,wide,N,30\n".encode()
    assert read_day(make_folder(shots=shots)).shots[0].id == "1"


@pytest.mark.parametrize("separator", [";", "\t"], ids=["semicolon", "tab"])
def test_separator_is_that_of_the_header_and_commas_are_decimal(separator, make_folder):
    """Where the comma is decimal, cells are set apart by semicolons or tabs."""
    rows = [[*HEADER.split(","), "weight"], ["1", "Wide", "wide", "12,5", "30", "2,5"]]
    shots = "\n".join(separator.join(row) for row in rows)
    shot = read_day(make_folder(shots=shots)).shots[0]
    assert (shot.look_deg, shot.weight) == (12.5, 2.5)


def test_quoted_decimal_comma_is_read_between_commas(make_folder):
    """A quoted cell holds its comma even where commas set the cells apart."""
    shots = f'{HEADER}\n1,Wide,wide,"12,5",30\n'
    assert read_day(make_folder(shots=shots)).shots[0].look_deg == 12.5


def test_line_that_names_the_separator_is_obeyed(make_folder, faults):
    """Some spreadsheets write `sep=;` first; lines still count from the top of the file."""
    shots = "sep=;\nid;description;size;look;shoot_min\n1;Wide, then tight;wide;N;0\n"
    assert faults(make_folder(shots=shots)) == [
        "shots.csv:3, shoot_min: out of range: `0` (expected a whole number from 1 to 720)"
    ]


@pytest.mark.parametrize("end", ["\r\n", "\r"], ids=["CRLF", "CR"])
def test_line_ends_of_other_systems_count_as_lines(end, make_folder, faults):
    """The line told is the one that an editor shows."""
    shots = end.join([HEADER, "1,Wide,wide,N,30", "2,Wide,wide,N,0", ""])
    assert faults(make_folder(shots=shots)) == [
        "shots.csv:3, shoot_min: out of range: `0` (expected a whole number from 1 to 720)"
    ]


def test_quoted_line_break_is_a_space_and_keeps_the_count(make_folder, faults):
    """A cell may run over lines; the rows after it are still told by their true line."""
    shots = f'{HEADER}\n1,"The pans,\nat ""first"" light",wide,N,30\n'
    folder = make_folder(shots=shots)
    assert read_day(folder).shots[0].description == 'The pans, at "first" light'
    (folder / "shots.csv").write_text(f"{shots}2,Wide,wide,N,0\n")
    assert faults(folder) == [
        "shots.csv:4, shoot_min: out of range: `0` (expected a whole number from 1 to 720)"
    ]


def test_non_breaking_spaces_are_spaces(make_folder):
    """They come with texts pasted from pages and with numbers formatted by spreadsheets."""
    shots = f"{HEADER}\n\u00a01,The\u00a0pans,close\u00a0up,\u202fN,30\u00a0\n"
    shot = read_day(make_folder(shots=shots)).shots[0]
    assert (shot.id, shot.description, shot.size) == ("1", "The pans", "close-up")


def test_trailing_empty_rows_and_columns_are_nothing(make_folder):
    """A sheet that once was larger leaves separators behind."""
    shots = f"{HEADER},,\n\n1,Wide,wide,N,30,,\n,,,,,,\n ,,,,,,,,\n"
    assert len(read_day(make_folder(shots=shots)).shots) == 1


def test_headers_may_be_mixed_case_with_spaces_and_hyphens(make_folder):
    """`Shoot (min)` and `Sun-From` say what `shoot_min` and `sun_from` say."""
    shots = "ID,Description,SIZE,Look,Shoot (min),Sun-From\n1,Wide,WS,N,30,Left\n"
    shot = read_day(make_folder(shots=shots)).shots[0]
    assert (shot.shoot_min, shot.wish.camera_side) == (30, "left")


def test_windows_code_page_is_read_with_a_warning(make_folder, warnings_of):
    """Older spreadsheets save accents in code page 1252."""
    folder = make_folder(shots=f"{HEADER}\r\n1,Café,wide,N,30\r\n".encode("cp1252"))
    assert read_day(folder).shots[0].description == "Café"
    assert warnings_of(folder) == [
        (
            "shots.csv:2: not UTF-8; read as Windows-1252\n  hint: check the accents, and save it "
            "again as text in UTF-8"
        ),
    ]


@pytest.mark.parametrize(
    ("raw", "message"),
    [
        pytest.param(
            HEADER.encode("utf-16"),
            "shots.csv: saved as UTF-16 (expected UTF-8)\n  hint: save it again as text in UTF-8",
            id="UTF-16",
        ),
        pytest.param(
            HEADER.encode("utf-16-le"),
            "shots.csv: not a text file (it holds NUL bytes) (expected UTF-8)\n"
            "  hint: save it again as text in UTF-8",
            id="NUL bytes",
        ),
        pytest.param(
            HEADER.encode() + b"\n\n\x81\x8d",
            "shots.csv:3: bytes that are not text (expected UTF-8)\n"
            "  hint: save it again as text in UTF-8",
            id="neither UTF-8 nor 1252",
        ),
        pytest.param(
            b"PK\x03\x04 and more",
            "shots.csv: a workbook or an archive, not a text file (expected text in UTF-8)\n"
            "  hint: a workbook's name ends in `.xlsx`",
            id="workbook",
        ),
        pytest.param(
            b"", "shots.csv: empty (expected a header line and rows below it)", id="empty"
        ),
    ],
)
def test_file_that_is_not_text_is_a_fault(raw, message, make_folder, faults):
    """Each says how to save the list again."""
    assert faults(make_folder(shots=raw)) == [message]


def workbook(*rows: list[Any], sheet: str = "Sheet1") -> bytes:
    """Give an .xlsx with one sheet of these rows."""
    book = openpyxl.Workbook()
    book.active.title = sheet
    for row in rows:
        book.active.append(row)
    raw = io.BytesIO()
    book.save(raw)
    return raw.getvalue()


COLUMNS = [*HEADER.split(","), "pin", "hold", "weight"]


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
    raw = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook(HEADER.split(","), [7, *GOOD[1:]]))) as old,
        zipfile.ZipFile(raw, "w") as new,
    ):
        for part in old.namelist():
            new.writestr(part, old.read(part).replace(b"<v>7</v>", b"<v>7.0</v>"))
    assert read_day(make_folder(shots=None, shots_xlsx=raw.getvalue())).shots[0].id == "7"


GOOD = [1, "Wide", "wide", "N", 30]


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
            "shots.xlsx:3, shoot_min: not a number: `yes` (expected a whole number from 1 to 720)",
            id="boolean",
        ),
        pytest.param(
            4,
            dt.time(0, 30),
            "shots.xlsx:3, shoot_min: not a number: `00:30` "
            "(expected a whole number from 1 to 720)",
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
            "shots.xlsx: not a workbook that can be read (expected an .xlsx workbook)",
            id="text",
        ),
        pytest.param(
            packed("a.txt", b"hello"),
            "shots.xlsx: not a workbook that can be read (expected an .xlsx workbook)",
            id="other archive",
        ),
        pytest.param(
            workbook(COLUMNS)[:-200],
            "shots.xlsx: not a workbook that can be read (expected an .xlsx workbook)",
            id="cut short",
        ),
        pytest.param(
            b"\xd0\xcf\x11\xe0 and more",
            "shots.xlsx: a workbook with a password or in the old .xls format "
            "(expected an .xlsx workbook)\n  hint: save it again as .xlsx without a password",
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
            "shots.xlsx:32: a sheet of more than 500,000 cells\n"
            "  hint: delete the empty rows and columns around the table"
        ),
    ]
