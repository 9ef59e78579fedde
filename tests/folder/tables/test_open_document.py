"""Shot lists in spreadsheets of OpenDocument, written by a library or by hand after the standard.

Elements and attributes are those of OASIS, Open Document Format 1.3, part 3 (from memory);
`calcext:value-type` and `Err:` are what offices write beside them.
"""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from typing import Any

import pytest
from odfdo import Cell, Document, Row, Style, Table

from sunsched.folder.intake.file import read_list
from sunsched.folder.read import read_day, read_folder
from sunsched.folder.text.findings import Findings

HEADER = ["id", "description", "size", "look", "shoot_min", "pin", "hold", "weight"]
GOOD = [1, "Wide", "wide", "N", 30]
NAMES = " ".join(
    f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for short, name in (
        ("office", "office"),
        ("table", "table"),
        ("text", "text"),
        ("style", "style"),
    )
)
CALC = 'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
MIMETYPE = "application/vnd.oasis.opendocument.spreadsheet"
MANIFEST = (
    '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
    f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{MIMETYPE}"/>'
    '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml">{more}'
    "</manifest:file-entry></manifest:manifest>"
)


def saved(*sheets: Table) -> bytes:
    """Give the bytes of a spreadsheet that the library writes."""
    document = Document("spreadsheet")
    document.body.clear()
    for sheet in sheets:
        document.body.append(sheet)
    raw = io.BytesIO()
    document.save(raw)
    return raw.getvalue()


def table(*rows: list[Any], name: str = "Sheet1") -> Table:
    """Give a sheet with a value in each cell."""
    made = Table(name)
    for values in rows:
        row = Row()
        for value in values:
            row.append_cell(Cell(value))
        made.append_row(row)
    return made


def by_hand(
    rows: str, styles: str = "", sheet: str = 'table:name="Sheet1"', more: str = ""
) -> bytes:
    """Give the bytes of a spreadsheet with these rows as XML."""
    content = (
        f'<office:document-content {NAMES} {CALC} office:version="1.3"><office:automatic-styles>'
        f"{styles}</office:automatic-styles><office:body><office:spreadsheet><table:table {sheet}>"
        f"{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    )
    raw = io.BytesIO()
    with zipfile.ZipFile(raw, "w") as packed:
        packed.writestr("mimetype", MIMETYPE)
        packed.writestr("content.xml", content)
        packed.writestr("META-INF/manifest.xml", MANIFEST.replace("{more}", more))
    return raw.getvalue()


def text(value: str, extra: str = "") -> str:
    return (
        f'<table:table-cell office:value-type="string"{extra}><text:p>{value}</text:p>'
        "</table:table-cell>"
    )


def number(value: str) -> str:
    return f'<table:table-cell office:value-type="float" office:value="{value}"/>'


def row(*cells: str, extra: str = "") -> str:
    return f"<table:table-row{extra}>{''.join(cells)}</table:table-row>"


HEAD = row(*map(text, HEADER[:5]))
COVERED = "<table:covered-table-cell/>"
GONE = (
    '<table:covered-table-cell office:value-type="string"><text:p>gone</text:p>'
    "</table:covered-table-cell>"
)


def test_a_spreadsheet_gives_the_same_shots_as_text(make_folder):
    """Numbers, times, lengths of time and truths come out as people write them."""
    book = saved(
        table(
            HEADER,
            [7, "Wide", "wide", 12.5, 30, dt.timedelta(hours=13), True, 2.5],
            ["7A", "Wide", "wide", "NNW", dt.timedelta(minutes=20), None, False, None],
            [None, None, "  "],
            ["8", "Two\nlines", "wide", 0, 30, "15:00", None, 1],
        )
    )
    folder = make_folder(shots=None, shots_ods=book)
    from_book = read_day(folder)
    (folder / "shots.ods").unlink()
    (folder / "shots.csv").write_text(
        f"{','.join(HEADER)}\n7,Wide,wide,12.5,30,13:00,yes,2.5\n"
        "7A,Wide,wide,NNW,20,,no,\n8,Two lines,wide,0,30,15:00,,1\n"
    )
    assert from_book == read_day(folder)


def test_repeated_cells_and_rows_stand_as_often_as_they_say(make_folder):
    """A sheet ends in empty rows and cells, repeated to its last; those are no size."""
    empty = '<table:table-cell table:number-columns-repeated="1000"/>'
    far = '<table:table-cell table:number-columns-repeated="16379"/>'
    shots = read_day(
        make_folder(
            shots=None,
            shots_ods=by_hand(
                row(*map(text, ["id", "description", "size", "look", "shoot_min", "cast"]), empty)
                + row(empty, extra=' table:number-rows-repeated="3"')
                + row(
                    number("1"),
                    text("Salt", ' table:number-columns-repeated="1"'),
                    text("wide"),
                    text("N"),
                    number("20"),
                    far,
                )
                + row(
                    number("2"),
                    text("Rakes"),
                    text("wide"),
                    text("N"),
                    '<table:table-cell office:value-type="float" office:value="25" '
                    'table:number-columns-repeated="2"/>',
                )
                + row(far, extra=' table:number-rows-repeated="1048000"')
            ),
        )
    ).shots
    assert [(shot.id, shot.shoot_min, shot.cast) for shot in shots] == [
        ("1", 20, ()),
        ("2", 25, ("25",)),
    ]


def test_lines_are_those_of_the_spreadsheet(make_folder, faults):
    """Empty rows that are written once count as often as they stand there."""
    rows = (
        "<table:table-header-rows>"
        + HEAD
        + "</table:table-header-rows>"
        + row("<table:table-cell/>", extra=' table:number-rows-repeated="4"')
        + "<table:table-row-group>"
        + row(number("1"), text("Salt"), text("wied"), text("N"), number("20"))
        + "</table:table-row-group>"
    )
    (fault,) = faults(make_folder(shots=None, shots_ods=by_hand(rows)))
    assert fault.startswith("shots.ods:6, size: not a size: `wied`")


def test_merged_cells_stand_in_each_of_their_rows(minimal_day, make_folder):
    """As a set that is written beside three shots; what it covers is not seen, and not read."""
    rows = (
        row(*map(text, ["id", "description", "size", "look", "shoot_min", "spot"]))
        + row(number("1"), text("Salt"), text("wide"), text("N"), number("20"),
              text("Pans", ' table:number-rows-spanned="3" table:number-columns-spanned="2"'),
              GONE)
        + row(number("2"), text("Rakes"), text("wide"), text("N"), number("20"),
              '<table:covered-table-cell office:value-type="string"><text:p>Mill</text:p>'
              "</table:covered-table-cell>", COVERED)
        + row(number("3"), text("Carts"), text("wide"), text("N"), number("20"), COVERED, COVERED)
        + row(number("4"), text("Wheel"), text("wide"), text("N"), number("20"), text("Mill"))
    )  # fmt: skip
    spots = '[[spot]]\nname = "Mill"\n[[spot]]\nname = "Pans"\n'
    reading = read_folder(make_folder(minimal_day + spots, shots=None, shots_ods=by_hand(rows)))
    assert [shot.spot for shot in reading.day.shots] == ["Pans", "Pans", "Pans", "Mill"]
    assert not any("row above" in note for note in reading.taken)
    assert all(shot.kept == () for shot in reading.day.shots)


@pytest.mark.parametrize("how", ["collapse", "filter"])
def test_hidden_rows_are_not_read_and_named(make_folder, how):
    """By hand or by a filter."""
    shot = [text("Salt"), text("wide"), text("N"), number("20")]
    rows = (
        HEAD
        + row(number("1"), *shot)
        + row(number("2"), *shot, extra=f' table:visibility="{how}"')
        + row(number("3"), *shot, extra=' table:visibility="visible"')
    )
    reading = read_folder(make_folder(shots=None, shots_ods=by_hand(rows)))
    assert [shot.id for shot in reading.day.shots] == ["1", "3"]
    assert reading.taken == ("line 3 is hidden in the spreadsheet: not read; show what counts",)


def test_hidden_sheets_are_not_read(make_folder):
    """The list that can be seen is the one that counts."""
    style = Style("table", name="gone")
    style.set_properties({"table:display": "false"}, area="table")
    document = Document("spreadsheet")
    document.body.clear()
    document.insert_style(style, automatic=True)
    old = table(HEADER[:5], [9, *GOOD[1:]], name="Old")
    old.style = "gone"
    for sheet in (old, table(HEADER[:5], GOOD, name="Now")):
        document.body.append(sheet)
    raw = io.BytesIO()
    document.save(raw)
    reading = read_folder(make_folder(shots=None, shots_ods=raw.getvalue()))
    assert [shot.id for shot in reading.day.shots] == ["1"]
    assert reading.taken == ("sheet `Now` is read, `Old` (hidden) not",)


def test_remarks_on_cells_are_not_their_words(make_folder):
    """A note hangs on a cell, and is another paragraph."""
    note = (
        '<table:table-cell office:value-type="string"><office:annotation><text:p>ask the director'
        "</text:p></office:annotation><text:p>Salt</text:p></table:table-cell>"
    )
    rows = HEAD + row(number("1"), note, text("wide"), text("N"), number("20"))
    (shot,) = read_day(make_folder(shots=None, shots_ods=by_hand(rows))).shots
    assert shot.description == "Salt"


@pytest.mark.parametrize(
    ("place", "cell", "fault"),
    [
        pytest.param(
            0,
            '<table:table-cell office:value-type="date" office:date-value="2027-02-01">'
            "<text:p>01.02.27</text:p></table:table-cell>",
            "shots.ods:2, id: a date, which the spreadsheet made of what was typed: `2027-02-01` "
            "(expected text or a number)\n  hint: format the column as text and type it again",
            id="date",
        ),
        pytest.param(
            4,
            '<table:table-cell table:formula="of:=15*2"/>',
            "shots.ods:2, shoot_min: a formula without a result: `of:=15*2`\n  hint: open and save "
            "the workbook in a spreadsheet, or type the value",
            id="no result",
        ),
        pytest.param(
            1,
            '<table:table-cell table:formula="of:=[.Z1]" office:value-type="string" '
            'office:string-value="" calcext:value-type="error"><text:p>#REF!</text:p>'
            "</table:table-cell>",
            "shots.ods:2, description: a formula that failed: `#REF!`",
            id="error",
        ),
        pytest.param(
            4,
            '<table:table-cell table:formula="of:=1/0" office:value-type="float" office:value="0">'
            "<text:p>Err:502</text:p></table:table-cell>",
            "shots.ods:2, shoot_min: a formula that failed: `Err:502`",
            id="error shown",
        ),
    ],
)
def test_what_a_spreadsheet_made_of_a_cell_is_told(make_folder, faults, place, cell, fault):
    """As it is told of the other kind of workbook."""
    cells = [number("1"), text("Salt"), text("wide"), text("N"), number("20")]
    cells[place] = cell
    assert faults(make_folder(shots=None, shots_ods=by_hand(HEAD + row(*cells)))) == [fault]


def test_a_formula_gives_its_result(make_folder):
    """What it was when the spreadsheet was saved."""
    cell = (
        '<table:table-cell table:formula="of:=15*2" office:value-type="float" office:value="30"/>'
    )
    rows = HEAD + row(number("1"), text("Salt"), text("wide"), text("N"), cell)
    (shot,) = read_day(make_folder(shots=None, shots_ods=by_hand(rows))).shots
    assert shot.shoot_min == 30


def test_too_many_cells_are_told(make_folder, faults):
    """Rows that are written out, however they are packed."""
    rows = HEAD + row(number("1"), extra=' table:number-rows-repeated="300000"')
    assert faults(make_folder(shots=None, shots_ods=by_hand(rows))) == [
        (
            "shots.ods:99999: a sheet of more than 200,000 cells\n"
            "  hint: delete the empty rows and columns around the table"
        )
    ]


@pytest.mark.parametrize(
    ("raw", "fault"),
    [
        pytest.param(
            by_hand(HEAD, more="<manifest:encryption-data/>"),
            "shots.ods: a workbook with a password\n  hint: save it again without a password",
            id="password",
        ),
        pytest.param(
            by_hand("<table:table-row>"),
            "shots.ods: not a workbook that can be read (expected an .xlsx or .ods workbook)",
            id="broken",
        ),
        pytest.param(
            by_hand(""),
            "shots.ods: empty (expected a header line and rows below it)",
            id="empty",
        ),
    ],
)
def test_what_is_no_list_is_told(make_folder, faults, raw, fault):
    """Never a traceback."""
    assert faults(make_folder(shots=None, shots_ods=raw)) == [fault]


def test_a_list_is_imported_whatever_its_name_says(tmp_path):
    """What stands in a file says what it is."""
    path = tmp_path / "list.xlsx"
    path.write_bytes(saved(table(["No.", "Action", "Size", "Minutes"], [1, "Salt", "WS", 20])))
    taken = read_list(path, Findings())
    assert taken is not None
    assert dict(taken.table.rows[0].cells) == {
        "id": "1",
        "description": "Salt",
        "size": "WS",
        "shoot_min": "20",
    }
