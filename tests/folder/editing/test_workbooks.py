"""Workbooks edited in place: cells that nobody touched, formulas, looks and other sheets stay.

The new bytes are read by openpyxl and odfdo, which had no part in writing them.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from datetime import time
from typing import Any

import odfdo
import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font
from openpyxl.worksheet.datavalidation import DataValidation

from folder.intake.workbooks import BOOKS, book_bytes
from sunsched.folder.editing.edit import (
    AddRow,
    DeleteRow,
    Edit,
    EditRefused,
    MoveRow,
    SetCell,
)
from sunsched.folder.editing.editable import Kind, list_of
from sunsched.folder.editing.edited import edited_bytes

KINDS = ("shots.xlsx", "shots.ods")
ROWS: list[list[Any]] = [
    ["Shot", "Action", "Size", "Camera", "Min", "Crew food"],
    [1, "Weir in spate", "WS", "W", 30, "soup"],
    [2, "Hal on the plank", "MS", "N", 20, None],
    [],
    [3, "The plank", "insert", "N", 10, None],
]


def book(rows: Sequence[Sequence[Any]] = ROWS) -> bytes:
    """Write an .xlsx with a second sheet, looks, a comment and a list of choices."""
    made = openpyxl.Workbook()
    sheet = made.active
    sheet.title = "List"
    for row in rows:
        sheet.append(row)
    sheet["B2"].font = Font(bold=True)
    sheet["B3"].font = Font(italic=True)
    sheet["B3"].comment = Comment("He cannot swim", "Ada")
    choices = DataValidation(type="list", formula1='"WS,MS,CU"')
    choices.add("C2:C9")
    sheet.add_data_validation(choices)
    made.create_sheet("Crew").append(["Ada", "=1+1"])
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def open_book(rows: Sequence[Sequence[Any]] = ROWS) -> bytes:
    """Write an .ods with a second sheet."""
    document = odfdo.Document("spreadsheet")
    document.body.clear()
    for name, held in (("List", rows), ("Crew", [["Ada", "Grip"]])):
        table = odfdo.Table(name)
        for at, row in enumerate(held):
            table.set_row_values(at, list(row))
        document.body.append(table)
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def written(file: str, rows: Sequence[Sequence[Any]] = ROWS) -> bytes:
    """Write a workbook of a kind."""
    return book(rows) if file.endswith(".xlsx") else open_book(rows)


def values(raw: bytes, file: str) -> list[list[Any]]:
    """Read the first sheet by another library, without empty ends."""
    if file.endswith(".xlsx"):
        rows = [list(row) for row in openpyxl.load_workbook(io.BytesIO(raw)).worksheets[0].values]
    else:
        table = odfdo.Document(io.BytesIO(raw)).body.get_table(0)
        assert table is not None
        rows = [list(row) for row in table.get_values()]
    for row in rows:
        while row and row[-1] is None:
            row.pop()
    while rows and not rows[-1]:
        rows.pop()
    return rows


def edited(file: str, *edits: Edit, raw: bytes | None = None) -> bytes:
    """Give a workbook after edits."""
    return edited_bytes(list_of(written(file) if raw is None else raw, file), edits)


@pytest.mark.parametrize("file", KINDS)
def test_cells_are_set_and_all_others_stay(file):
    """Numbers as such, texts as texts: what begins like a formula is none."""
    new = edited(
        file,
        SetCell(row="2", column="shoot_min", text="25"),
        SetCell(row="3", column="description", text="=SUM(E2:E5) & <so on>"),
        SetCell(row="3", column="look", text="@W"),
        SetCell(row="5", column="#6", text="-tea\nand +milk"),
        SetCell(row="5", column="id", text="10.10"),
        SetCell(row="2", column="#6", text=""),
        SetCell(row="5", column="rig", text="open"),
    )
    assert values(new, file) == [
        [*ROWS[0], "rig"],
        [1, "Weir in spate", "WS", "W", 25],
        [2, "=SUM(E2:E5) & <so on>", "MS", "@W", 20],
        [],
        ["10.10", "The plank", "insert", "N", 10, "-tea\nand +milk", "open"],
    ]
    assert list_of(new, file).rows[1].cells["description"] == "=SUM(E2:E5) & <so on>"


def test_text_like_a_formula_is_kept_as_text_by_the_workbook():
    """The cell holds a text for the library too; `=` at its start computes nothing."""
    new = edited("shots.xlsx", SetCell(row="3", column="description", text="=1+1"))
    with zipfile.ZipFile(io.BytesIO(new)) as packed:
        part = packed.read("xl/worksheets/sheet1.xml").decode()
    assert '<c r="B3" s="' in part
    assert 't="inlineStr"><is><t xml:space="preserve">=1+1</t></is></c>' in part
    assert "<f>" not in part


@pytest.mark.parametrize("file", KINDS)
def test_parts_that_hold_no_list_stay_to_the_byte(file):
    """Only the sheet's own part changes; where formulas stand, they are computed when opened."""
    raw = written(file)
    new = edited(file, SetCell(row="2", column="look", text="S"), raw=raw)
    with zipfile.ZipFile(io.BytesIO(raw)) as before, zipfile.ZipFile(io.BytesIO(new)) as after:
        assert before.namelist() == after.namelist()
        changed = {name for name in before.namelist() if before.read(name) != after.read(name)}
        assert [one.compress_type for one in before.infolist()] == [
            one.compress_type for one in after.infolist()
        ]
    sheet = {"shots.xlsx": "xl/worksheets/sheet1.xml", "shots.ods": "content.xml"}
    assert changed - {"xl/workbook.xml"} == {sheet[file]}


def test_looks_comments_and_choices_stay():
    """A text in the place of another looks like it; a new row like the one above it."""
    new = edited(
        "shots.xlsx",
        SetCell(row="2", column="description", text="Weir"),
        AddRow(row="a", after="3", cells={"id": "2A", "description": "Again", "size": "CU"}),
    )
    sheet = openpyxl.load_workbook(io.BytesIO(new)).worksheets[0]
    assert sheet["B2"].font.bold
    assert sheet["B4"].font.italic
    assert sheet["B3"].comment.text == "He cannot swim"
    (choices,) = sheet.data_validations.dataValidation
    assert str(choices.sqref) == "C2:C9"
    assert [cell.value for cell in sheet[4]][:3] == ["2A", "Again", "CU"]


@pytest.mark.parametrize("file", KINDS)
def test_rows_are_added_on_blank_lines_and_at_the_end(file):
    """In the order of the list; a deleted row is left blank and can be filled again."""
    new = edited(
        file,
        AddRow(row="a", after="5", cells={"id": "4"}),
        AddRow(row="b", after="a", cells={"id": "5", "shoot_min": "15"}),
        AddRow(row="c", after="b"),
        DeleteRow(row="2"),
        AddRow(row="d", after="3", cells={"description": "new"}),
    )
    assert values(new, file)[1:] == [
        [],
        ROWS[2][:-1],
        [None, "new"],
        ROWS[4][:-1],
        [4],
        [5, None, None, None, 15],
    ]
    listed = list_of(new, file)
    again = edited_bytes(listed, [AddRow(row="e", after=None, cells={"id": "1"})])
    assert values(again, file)[1] == [1]


@pytest.mark.parametrize("file", KINDS)
@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (MoveRow(row="2", after="3"), "rows of a workbook are not moved here"),
        (SetCell(row="2", column="look", text="\x07"), "a sign that is no text"),
    ],
)
def test_rows_stay_in_their_order_and_signs_that_are_no_text_are_refused(file, edit, told):
    """As formulas and merged cells elsewhere may look at rows that move past others."""
    with pytest.raises(EditRefused, match=told):
        edited(file, edit)


def test_formulas_stay_and_are_computed_anew_when_opened():
    """One in a cell that is edited is refused; the results of the others stay for the reader."""
    rows = [*ROWS, ["Total", None, None, None, "=SUM(E2:E5)"]]
    made = openpyxl.load_workbook(io.BytesIO(book(rows)))
    out = io.BytesIO()
    made.calculation.fullCalcOnLoad = None
    made.save(out)
    raw = out.getvalue()
    part = "xl/worksheets/sheet1.xml"
    with zipfile.ZipFile(io.BytesIO(raw)) as packed:
        names = packed.namelist()
        parts = {name: packed.read(name) for name in names}
    parts[part] = (
        parts[part].replace(b"</f><v></v>", b"</f><v>60</v>").replace(b"</f><v/>", b"</f><v>60</v>")
    )
    assert b"<v>60</v>" in parts[part]
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for name in names:
            packed.writestr(name, parts[name])
    raw = out.getvalue()
    new = edited("shots.xlsx", SetCell(row="2", column="shoot_min", text="25"), raw=raw)
    sheet = openpyxl.load_workbook(io.BytesIO(new)).worksheets[0]
    assert sheet["E6"].value == "=SUM(E2:E5)"
    results = openpyxl.load_workbook(io.BytesIO(new), data_only=True)
    assert results.worksheets[0]["E6"].value == 60
    assert results.calculation.fullCalcOnLoad
    for edit in (SetCell(row="6", column="shoot_min", text="1"), DeleteRow(row="6")):
        with pytest.raises(EditRefused, match="a formula: `E6`") as told:
            edited("shots.xlsx", edit, raw=raw)
        assert (told.value.row, told.value.column) == ("6", "shoot_min")


def test_merged_cells_are_refused():
    """Each of their lines shows their text, which belongs to none of them alone."""
    raw = book_bytes("48-merged.xlsx")
    listed = list_of(raw, "shots.xlsx")
    for row in listed.rows[:2]:
        assert row.cells["spot"] == "Mill"
        with pytest.raises(EditRefused, match=r"a merged cell: `A[23]`") as told:
            edited_bytes(listed, [SetCell(row=row.key, column="spot", text="Weir")])
        assert (told.value.row, told.value.column) == (row.key, "spot")


def test_merged_cells_of_an_ods_are_refused():
    """Also those that one of them covers."""
    document = odfdo.Document(io.BytesIO(open_book()))
    table = document.body.get_table(0)
    assert table is not None
    table.set_span("F2:F3", merge=False)
    out = io.BytesIO()
    document.save(out)
    for row in ("2", "3"):
        with pytest.raises(EditRefused, match=r"a merged cell: `F[23]`"):
            edited("shots.ods", SetCell(row=row, column="#6", text="x"), raw=out.getvalue())


def test_times_are_replaced_by_texts():
    """A number in a cell that shows a time would be read as one."""
    rows = [[*ROWS[0], "pin"], [1, "Weir", "WS", "W", time(0, 30), "", time(6, 30)]]
    raw = book(rows)
    listed = list_of(raw, "shots.xlsx")
    assert (listed.rows[0].cells["shoot_min"], listed.rows[0].cells["pin"]) == ("00:30", "06:30")
    new = edited_bytes(
        listed,
        [
            SetCell(row="2", column="shoot_min", text="25"),
            SetCell(row="2", column="pin", text="7:15"),
        ],
    )
    cells = list_of(new, "shots.xlsx").rows[0].cells
    assert (cells["shoot_min"], cells["pin"]) == ("25", "7:15")


@pytest.mark.parametrize("name", [name for name in BOOKS if name.endswith(".xlsx")])
def test_every_kind_of_workbook_is_edited_in_one_cell_alone(name):
    """Sections, hidden rows, notes, sums: one cell changes, and one row is added at the end."""
    raw = book_bytes(name)
    listed = list_of(raw, "shots.xlsx")
    row = next(one for one in listed.rows if one.kind is Kind.SHOT)
    column = next(one for one in listed.columns if one.known == "size")
    new = list_of(
        edited_bytes(
            listed,
            [
                SetCell(row=row.key, column=column.key, text="full"),
                AddRow(row="a", after=listed.rows[-1].key, cells={column.key: "wide"}),
            ],
        ),
        "shots.xlsx",
    )
    before = {one.key: one.cells for one in listed.rows}
    after = {one.key: one.cells for one in new.rows}
    assert after.pop(new.rows[-1].key) == {column.key: "wide"}
    assert after == before | {row.key: {**before[row.key], column.key: "full"}}
