"""Cells set in a sheet of an .ods workbook: every other cell and part of it stays as it was.

The sheet's own XML is changed (OpenDocument, OASIS standard 1.3), where equal rows, and equal cells
of a row, are one element that says how often it stands there.
"""

from __future__ import annotations

import copy
from typing import Any

from sunsched.folder.editing import packed
from sunsched.folder.editing.cells_set import CellsSet

OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
EXTENSION = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"
CONTENT = "content.xml"
ROW, CELL, COVERED = f"{TABLE}table-row", f"{TABLE}table-cell", f"{TABLE}covered-table-cell"
ROWS_REPEATED, CELLS_REPEATED = f"{TABLE}number-rows-repeated", f"{TABLE}number-columns-repeated"
SPANNED = (f"{TABLE}number-rows-spanned", f"{TABLE}number-columns-spanned")
OF_TIME = ("date", "time")


def with_cells(raw: bytes, sheet: str, made: CellsSet) -> bytes:
    """Give a workbook with cells of one sheet set.

    Parameters
    ----------
    raw : bytes
        The whole workbook.
    sheet : str
        The name of the sheet.
    made : CellsSet
        What is set.

    Raises
    ------
    EditRefused
        For a cell that holds a formula, or is part of a merged one.
    """
    parts = packed.parts(raw)
    tree = packed.tree(parts[CONTENT])
    (table,) = (one for one in tree.iter(f"{TABLE}table") if one.get(f"{TABLE}name") == sheet)
    for (line, at), text in sorted(made.texts.items()):
        cell = _cell(_row(table, line), at)
        if cell.tag == COVERED or any(int(cell.get(name) or 1) > 1 for name in SPANNED):
            raise made.refused("a merged cell", line, at)
        if cell.get(f"{TABLE}formula") is not None:
            raise made.refused("a formula", line, at)
        like = made.like.get(line)
        _set(cell, text, None if like is None else _cell(_row(table, like), at))
    return packed.packed(raw, {CONTENT: packed.part(tree)})


def _row(table: Any, line: int) -> Any:
    """Give the row of a line as an element of its own."""
    rows = [row for row in table.iter(ROW) if next(row.iterancestors(f"{TABLE}table")) is table]
    found = _alone(rows, line - 1, ROWS_REPEATED)
    if isinstance(found, int):
        last = rows[-1] if rows else None
        for _ in range(found + 1):
            made = table.makeelement(ROW)
            if last is None:
                table.append(made)
            else:
                last.addnext(made)
            last = made
        found = last
    return found


def _cell(row: Any, at: int) -> Any:
    """Give the cell of a place from 0 as an element of its own."""
    found = _alone([cell for cell in row if cell.tag in (CELL, COVERED)], at, CELLS_REPEATED)
    if isinstance(found, int):
        made = [row.makeelement(CELL) for _ in range(found + 1)]
        row.extend(made)
        found = made[-1]
    return found


def _alone(listed: list[Any], at: int, repeated: str) -> Any:
    """Give the element that stands at a place, parted from its equals.

    Where the list ends before, how many are missing between its end and the place.
    """
    before = 0
    for one in listed:
        count = int(one.get(repeated) or 1)
        if at < before + count:
            sides = (at - before, one.addprevious), (before + count - 1 - at, one.addnext)
            for more, put in sides:
                if more:
                    equals = copy.deepcopy(one)
                    equals.tail = None
                    _repeat(equals, repeated, more)
                    put(equals)
            _repeat(one, repeated, 1)
            return one
        before += count
    return at - before


def _repeat(one: Any, repeated: str, count: int) -> None:
    if count > 1:
        one.set(repeated, str(count))
    else:
        one.attrib.pop(repeated, None)


def _set(cell: Any, text: str, twin: Any) -> None:
    """Write a text, or a number where a spreadsheet would take it for one; never a formula.

    `twin` is the cell whose looks it takes, if any.
    """
    style = f"{TABLE}style-name"
    if twin is not None and cell.get(style) is None and twin.get(style) is not None:
        cell.set(style, twin.get(style))
    looks = cell if twin is None else twin
    is_of_time = looks.get(f"{OFFICE}value-type") in OF_TIME
    for name in list(cell.attrib):
        if name.startswith((OFFICE, EXTENSION)):
            del cell.attrib[name]
    for part in [one for one in cell if one.tag == f"{TEXT}p"]:
        cell.remove(part)
    if not text:
        return
    is_number = packed.is_number(text) and not is_of_time
    cell.set(f"{OFFICE}value-type", "float" if is_number else "string")
    if is_number:
        cell.set(f"{OFFICE}value", text)
    for line in text.split("\n"):
        words = cell.makeelement(f"{TEXT}p")
        words.text = " ".join(line.split())  # the format takes several spaces for one
        cell.append(words)
