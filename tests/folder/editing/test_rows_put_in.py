"""Rows put in the middle of a workbook's list: all that is below moves, or nothing is written.

The new bytes are read by openpyxl and odfdo, which had no part in writing them, and by our reader.
Where a formula looks after a row was put in is as spreadsheets have it: OpenDocument 1.3, part 4,
says how references read; that they move with their cells is common practice, no source.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from typing import Any

import odfdo
import openpyxl
import pytest
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Border, Font, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table as OfficeTable

from sunsched.folder.editing.edit import AddRow, DeleteRow, Edit, EditRefused, SetCell
from sunsched.folder.editing.editable import list_of
from sunsched.folder.editing.edited import edited_list

KINDS = ("shots.xlsx", "shots.ods")
HEAD = ["Shot", "Action", "Size", "Camera", "Min"]
ROWS: list[list[Any]] = [
    HEAD,
    [1, "Weir in spate", "WS", "W", 30],
    [2, "Hal on the plank", "MS", "N", 20],
    [3, "The plank", "insert", "N", 10],
]
NEW = AddRow(row="a", after="2", cells={"id": "1A", "description": "Foam", "size": "CU"})
SHEET = "xl/worksheets/sheet1.xml"


def office_book(change: Callable[[Any, Any], None] = lambda _book, _sheet: None) -> Any:
    """Make an .xlsx with a second sheet, and change it further."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Our list"
    for row in ROWS:
        sheet.append(row)
    book.create_sheet("Sums")
    change(book, sheet)
    return book


def bytes_of(book: Any) -> bytes:
    """Write a workbook of either library."""
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def open_book(change: Callable[[Any, Any], None] = lambda _list, _sums: None) -> bytes:
    """Make an .ods with a second sheet, and change both."""
    document = odfdo.Document("spreadsheet")
    document.body.clear()
    tables = [odfdo.Table("Our list"), odfdo.Table("Sums")]
    for at, row in enumerate(ROWS):
        tables[0].set_row_values(at, list(row))
    change(*tables)
    for table in tables:
        document.body.append(table)
    return bytes_of(document)


def put_in(raw: bytes, file: str, *edits: Edit) -> bytes:
    """Give a workbook after edits, `NEW` where there are none."""
    asked: tuple[Edit, ...] = edits or (NEW,)
    return edited_list(list_of(raw, file), asked).listed.raw


def ids(raw: bytes, file: str) -> list[str]:
    """Read the ids by our own reader."""
    return [row.cells.get("id", "") for row in list_of(raw, file).rows]


def first_cells(raw: bytes, file: str) -> list[Any]:
    """Read the first column by another library."""
    if file.endswith(".xlsx"):
        return [row[0] for row in openpyxl.load_workbook(io.BytesIO(raw)).worksheets[0].values]
    table = odfdo.Document(io.BytesIO(raw)).body.get_table(0)
    assert table is not None
    return [row[0] for row in table.get_values()]


def changed_part(raw: bytes, part: str, old: bytes, new: bytes) -> bytes:
    """Change the text of a part of a packed file."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as held, zipfile.ZipFile(out, "w") as made:
        for name in held.namelist():
            text = held.read(name)
            assert name != part or old in text
            made.writestr(name, text.replace(old, new) if name == part else text)
    return out.getvalue()


@pytest.mark.parametrize("file", KINDS)
def test_rows_are_put_in_where_none_is_free(file):
    """Several at once, below the head too, with cells set and a row deleted in the same step."""
    raw = bytes_of(office_book()) if file.endswith(".xlsx") else open_book()
    edits: list[Edit] = [
        DeleteRow(row="4"),
        AddRow(row="z", after=None, cells={"id": "0"}),
        NEW,
        AddRow(row="b", after="a", cells={"id": "1B", "shoot_min": "15"}),
        AddRow(row="c", after="b"),
        SetCell(row="3", column="look", text="S"),
        AddRow(row="d", after="3", cells={"id": "2A"}),
    ]
    edited = edited_list(list_of(raw, file), edits)
    new = edited.listed.raw
    assert ids(new, file) == ["0", "1", "1A", "1B", "2", "2A"]
    assert first_cells(new, file)[:7] == ["Shot", 0, 1, "1A", "1B", 2, "2A"]
    assert [edited.keys[row.line] for row in edited.listed.rows] == ["z", "2", "a", "b", "3", "d"]
    rows = {row.cells["id"]: row.cells for row in edited.listed.rows}
    assert rows["1A"] == {"id": "1A", "description": "Foam", "size": "CU"}
    assert rows["1B"]["shoot_min"] == "15"
    assert rows["2"]["look"] == "S"


def _watched(book: Any, sheet: Any) -> None:
    sums = book.worksheets[1]
    sheet["A6"], sheet["E6"], sheet["F3"] = "Total", "=SUM(E2:E4)", "=E3*2"
    sheet["G4"] = '=IF(E4>5,"E4",$E$2&E$4)'
    sums["A1"] = "='Our list'!E4+SUM('Our list'!E2:E4)+A4"
    sums["A2"] = "=SUM('Our list'!E:E)"
    sheet.merge_cells("C6:D6")
    sheet["B3"].comment = Comment("He cannot swim", "Ada")
    sheet["B2"].font, sheet["B3"].font = Font(bold=True), Font(italic=True)
    sheet["F2"].border = Border(left=Side(style="thick"))
    sheet.row_dimensions[2].height = 40
    choices = DataValidation(type="list", formula1='"WS,MS,CU"')
    choices.add("C2:C4")
    sheet.add_data_validation(choices)
    sheet.conditional_formatting.add("E3:E4", FormulaRule(["E3>15"], font=Font(bold=True)))
    sheet.print_area, sheet.auto_filter.ref = "A1:E4", "A1:E4"
    book.defined_names["minutes"] = DefinedName("minutes", attr_text="'Our list'!$E$2:$E$4")
    sheet["B4"].hyperlink = "https://example.org/"


def test_what_looks_at_the_rows_below_moves_in_an_xlsx():
    """Formulas here and elsewhere, merged cells, notes, formats, choices, names and filters."""
    book = openpyxl.load_workbook(io.BytesIO(put_in(bytes_of(office_book(_watched)), "shots.xlsx")))
    sheet, sums = book.worksheets
    assert [sheet[cell].value for cell in ("A3", "B3", "A4", "A5", "A7")] == [
        *("1A", "Foam", 2, 3, "Total"),
    ]
    assert [sheet[cell].value for cell in ("E7", "F4", "G5")] == [
        *("=SUM(E2:E5)", "=E4*2", '=IF(E5>5,"E4",$E$2&E$5)'),
    ]
    assert sums["A1"].value == "='Our list'!E5+SUM('Our list'!E2:E5)+A4"
    assert sums["A2"].value == "=SUM('Our list'!E:E)"
    assert [str(one) for one in sheet.merged_cells.ranges] == ["C7:D7"]
    assert (sheet["B3"].comment, sheet["B4"].comment.text) == (None, "He cannot swim")
    assert (sheet["B3"].font.bold, sheet["B4"].font.italic) == (True, True)
    assert sheet["F3"].border.left.style == "thick"  # of the row above, where nothing was written
    assert [sheet.row_dimensions[line].height for line in (2, 3, 4)] == [40, 40, None]
    assert str(sheet.data_validations.dataValidation[0].sqref) == "C2:C5"
    (formats,) = sheet.conditional_formatting
    assert (str(formats.sqref), formats.rules[0].formula) == ("E4:E5", ["E4>15"])
    assert (sheet.print_area, sheet.auto_filter.ref) == ("'Our list'!$A$1:$E$5", "A1:E5")
    assert book.defined_names["minutes"].attr_text == "'Our list'!$E$2:$E$5"
    assert sheet["B5"].hyperlink.target == "https://example.org/"


def test_formulas_that_are_shared_are_written_out():
    """A formula that a spreadsheet filled downwards stands in its first cell only."""

    def filled(_: Any, sheet: Any) -> None:
        for line in (2, 3, 4):
            sheet[f"F{line}"] = f"=E{line}*60"

    raw = bytes_of(office_book(filled))
    raw = changed_part(raw, SHEET, b"<f>E2*60", b'<f t="shared" ref="F2:F4" si="0">E2*60')
    for line in (b"3", b"4"):
        raw = changed_part(raw, SHEET, b"<f>E%s*60</f>" % line, b'<f t="shared" si="0"/>')
    raw = changed_part(raw, SHEET, b"<v></v>", b"<v>1</v>")
    sheet = openpyxl.load_workbook(io.BytesIO(put_in(raw, "shots.xlsx"))).worksheets[0]
    assert [sheet[f"F{line}"].value for line in range(2, 6)] == ["=E2*60", None, "=E4*60", "=E5*60"]


def test_what_looks_at_the_rows_below_moves_in_an_ods():
    """Formulas here and elsewhere, merged cells and looks."""

    def watched(listed: Any, sums: Any) -> None:
        listed.set_value("A6", "Total")
        cell = odfdo.Cell(60, formula='of:=SUM([.E2:.E4])&"[.E4]"&[.$E$2]', style="ce9")
        listed.set_cell("E6", cell)
        listed.set_cell("B2", odfdo.Cell("Weir", style="ce1"))
        elsewhere = "of:=[$'Our list'.E4]+SUM(['Our list'.E2:.E4])+[.A4]"
        sums.set_cell("A1", odfdo.Cell(60, formula=elsewhere))
        listed.set_span("C6:D6", merge=False)
        listed.set_attribute("table:print-ranges", "'Our list'.A1:'Our list'.E4")

    new = put_in(open_book(watched), "shots.ods")
    listed, sums = odfdo.Document(io.BytesIO(new)).body.get_tables()
    assert [listed.get_value(cell) for cell in ("A3", "B3", "A4", "A5", "A7")] == [
        *("1A", "Foam", 2, 3, "Total"),
    ]
    assert listed.get_cell("E7").formula == 'of:=SUM([.E2:.E5])&"[.E4]"&[.$E$2]'
    moved = "of:=[$'Our list'.E5]+SUM(['Our list'.E2:.E5])+[.A4]"
    assert sums.get_cell("A1").formula == moved
    assert listed.get_cell("C7").get_attribute("table:number-columns-spanned") == "2"
    assert [listed.get_cell(cell).style for cell in ("B3", "E7")] == ["ce1", "ce9"]
    ranges = listed.get_attribute("table:print-ranges")
    assert ranges == "'Our list'.A1:'Our list'.E5"


def _chart(_: Any, sheet: Any) -> None:
    chart = BarChart()
    chart.add_data(Reference(sheet, min_col=5, min_row=1, max_row=4))
    sheet.add_chart(chart, "H2")


def _table(_: Any, sheet: Any) -> None:
    sheet.add_table(OfficeTable(displayName="shots", ref="A1:E4"))


def _merged(_: Any, sheet: Any) -> None:
    sheet.merge_cells("D2:D3")


def _over_sheets(book: Any, _: Any) -> None:
    book.worksheets[1]["A1"] = "=SUM('Our list:Sums'!E4)"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (_chart, "a chart that shows the list"),
        (_table, "a table"),
        (_merged, "a merged cell that runs over the place: `D2:D3`"),
        (_over_sheets, "a formula over several sheets"),
    ],
)
def test_what_cannot_move_is_told_and_the_end_is_offered(change, told):
    """At the end of the same list the row can be put."""
    raw = bytes_of(office_book(change))
    with pytest.raises(EditRefused, match="would not move all that is below it: ") as refused:
        put_in(raw, "shots.xlsx")
    assert told in str(refused.value)
    assert refused.value.row == "a"
    assert refused.value.hint.startswith("add it at the end, or do it in the spreadsheet")
    at_end = AddRow(row="a", after="4", cells={"id": "4"})
    assert ids(put_in(raw, "shots.xlsx", at_end), "shots.xlsx")[-1] == "4"


def test_merged_cells_of_an_ods_over_the_place_are_refused():
    """A row within them would show their text."""
    raw = open_book(lambda listed, _: listed.set_span("D2:D3", merge=False))
    with pytest.raises(EditRefused, match="a merged cell that runs over the place"):
        put_in(raw, "shots.ods")
    below = AddRow(row="a", after="3", cells={"id": "2A"})
    assert ids(put_in(raw, "shots.ods", below), "shots.ods") == ["1", "2", "2A", "3"]


def test_a_fault_of_a_row_that_moved_names_it_as_the_edits_do():
    """Such as a formula in a cell that is set in the same step."""
    raw = bytes_of(office_book(lambda _, sheet: sheet.__setitem__("E4", "=E3*2")))
    with pytest.raises(EditRefused, match="a formula: `E5`") as refused:
        put_in(raw, "shots.xlsx", NEW, SetCell(row="4", column="shoot_min", text="9"))
    assert (refused.value.row, refused.value.column) == ("4", "shoot_min")
