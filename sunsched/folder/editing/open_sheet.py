"""Cells set in a sheet of an .ods workbook: every other cell and part of it stays as it was.

The sheet's own XML is changed (OpenDocument, OASIS standard 1.3), where equal rows, and equal cells
of a row, are one element that says how often it stands there.
"""

from __future__ import annotations

from typing import Any

from sunsched.folder.editing.books import packed
from sunsched.folder.editing.books.open_parts import (
    CONTENT,
    COVERED,
    TABLE,
    cell_at,
    row_at,
    table_of,
)
from sunsched.folder.editing.cells_set import CellsSet

OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
EXTENSION = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"
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
    table = table_of(tree, sheet)
    for (line, at), text in sorted(made.texts.items()):
        cell = cell_at(row_at(table, line), at)
        if cell.tag == COVERED or any(int(cell.get(name) or 1) > 1 for name in SPANNED):
            raise made.refused("a merged cell", line, at)
        if cell.get(f"{TABLE}formula") is not None:
            raise made.refused("a formula", line, at)
        like = made.like.get(line)
        _set(cell, text, None if like is None else cell_at(row_at(table, like), at))
    return packed.packed(raw, {CONTENT: packed.part(tree)})


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
