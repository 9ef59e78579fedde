"""What spreadsheets do to a shot list saved as text: each habit is read, or told in plain words."""

from __future__ import annotations

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
        (
            "shots.csv:3, shoot_min: out of range: `0` (expected a whole number from 1 to 720, "
            "such as 20)"
        )
    ]


@pytest.mark.parametrize("end", ["\r\n", "\r"], ids=["CRLF", "CR"])
def test_line_ends_of_other_systems_count_as_lines(end, make_folder, faults):
    """The line told is the one that an editor shows."""
    shots = end.join([HEADER, "1,Wide,wide,N,30", "2,Wide,wide,N,0", ""])
    assert faults(make_folder(shots=shots)) == [
        (
            "shots.csv:3, shoot_min: out of range: `0` (expected a whole number from 1 to 720, "
            "such as 20)"
        )
    ]


def test_quoted_line_break_is_a_space_and_keeps_the_count(make_folder, faults):
    """A cell may run over lines; the rows after it are still told by their true line."""
    shots = f'{HEADER}\n1,"The pans,\nat ""first"" light",wide,N,30\n'
    folder = make_folder(shots=shots)
    assert read_day(folder).shots[0].description == 'The pans, at "first" light'
    (folder / "shots.csv").write_text(f"{shots}2,Wide,wide,N,0\n")
    assert faults(folder) == [
        (
            "shots.csv:4, shoot_min: out of range: `0` (expected a whole number from 1 to 720, "
            "such as 20)"
        )
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
            "  hint: a workbook's name ends in `.xlsx` or `.ods`",
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
