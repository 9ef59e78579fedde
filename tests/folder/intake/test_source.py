"""Which sheet of a workbook is the list, and where a text is cut into cells."""

from __future__ import annotations

import pytest

from sunsched.folder.intake.source import GAPS, pick_sheet, text_sheet
from sunsched.folder.intake.take import take_sheet
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line
from sunsched.folder.text.findings import Findings

TITLES = ("Shot", "Action", "Size", "Looking", "Minutes", "Sun")


def a_sheet(name: str, titles: int, *, is_hidden: bool = False) -> Sheet:
    """Give a sheet whose head names so many columns."""
    return Sheet(name=name, lines=[(1, [*TITLES[:titles]])], is_hidden=is_hidden)


def picked(*sheets: Sheet) -> tuple[str | None, list[str], int]:
    """Give the name of the sheet that is the list, what is said, and the number of faults."""
    findings, notes = Findings(), list[str]()
    found = pick_sheet(sheets, "shots", "x.xlsx", findings, notes)
    return found.name if found else None, notes, len(findings.faults)


@pytest.mark.parametrize(
    ("sheets", "name"),
    [
        ((a_sheet("A", 2), a_sheet("B", 5)), "B"),
        ((a_sheet("A", 3), a_sheet("B", 6)), "B"),
        ((a_sheet("A", 4), a_sheet("B", 6)), None),
        ((a_sheet("A", 2), a_sheet("B", 2)), "A"),
        ((a_sheet("A", 6, is_hidden=True), a_sheet("B", 4)), "B"),
        ((a_sheet("A", 5, is_hidden=True), a_sheet("B", 2, is_hidden=True)), "A"),
        ((a_sheet("SHOTS", 3), a_sheet("B", 6)), "SHOTS"),
    ],
)
def test_the_list_is_the_sheet_that_names_most_columns(sheets, name):
    """One of nearly as many makes it unsure, unless one is called so; the hidden come last."""
    found, notes, faults = picked(*sheets)
    assert (found, faults) == (name, int(name is None))
    if name is None:
        return
    (other,) = [sheet for sheet in sheets if sheet.name != name]
    hidden = " (hidden)" if other.is_hidden else ""
    assert notes == [f"sheet `{name}` is read, `{other.name}`{hidden} not"]


def test_a_text_is_cut_where_its_head_names_most():
    """Then where it has most cells; the first of two that are as good."""
    semicolons = text_sheet("Shot;Action;Size\n1;a, b, c, d, e;WS\n", "x.csv", Findings())
    assert semicolons is not None
    assert semicolons.lines[1][1] == ["1", "a, b, c, d, e", "WS"]
    commas = text_sheet("Shot,Size;x\n1,WS;y\n", "x.csv", Findings())
    assert commas is not None
    assert commas.lines[0][1] == ["Shot", "Size;x"]
    gaps = text_sheet("Shot  Size\n1     WS\n", "x.txt", Findings(), gaps=GAPS)
    assert gaps is not None
    assert gaps.lines[:2] == [(1, ["Shot", "Size"]), (2, ["1", "WS"])]


def test_quotes_that_do_not_close_are_a_fault():
    """Whatever is between the cells."""
    findings = Findings()
    assert text_sheet('nothing\n"open\n', "x.csv", findings) is None
    assert len(findings.faults) == 1


def taken_columns(head: str, row: str) -> tuple[tuple[str, ...], str]:
    """Give the columns of an imported list of one shot, and all that is said of it."""
    sheet = Sheet(name="", lines=[(1, [*head.split(",")]), (2, [*row.split(",")])])
    findings = Findings()
    taken = take_sheet(sheet, "x.csv", findings, is_slip_taken=True)
    assert taken is not None, findings.faults
    assert findings.faults == []
    return taken.table.columns, "\n".join(taken.notes)


def test_a_slip_is_taken_once_and_a_blank_title_has_a_name():
    """A second slip of the same stands by its own title; a blank column without cells is none."""
    columns, said = taken_columns("Shot,Descripton,Size,Discription,,", "1,a,WS,b,c,")
    assert columns == ("id", "description", "size", "discription_list", "column_5")
    assert "`Descripton` is nearly description, and taken for it" in said
    assert "columns kept as they are: Discription (list), column 5" in said


def test_a_spot_that_is_written_stays_before_that_of_its_section():
    """A blank one is the section's; marks before a number are no part of it."""
    rows = ["Shot,Action,Size,Set,After", "Mill,,,,", "#1,a,WS,Dam,", "#2,b,WS,,#1"]
    lines: list[Line] = [(line, [*row.split(",")]) for line, row in enumerate(rows, 1)]
    taken = take_sheet(Sheet(name="", lines=lines), "x.csv", Findings())
    assert taken is not None
    cells = [row.cells for row in taken.table.rows]
    assert [(one["id"], one["spot"], one.get("after")) for one in cells] == [
        ("1", "Dam", None),
        ("2", "Mill", "1"),
    ]
