"""Cells set in a sheet of an .xlsx workbook: every other cell and part of it stays as it was.

The sheet's own XML is changed (Office Open XML, ECMA-376), as a workbook that is read and written
again by a library loses what that does not know, and the results of all formulas.
"""

from __future__ import annotations

from typing import Any

from sunsched.folder.editing.books import packed
from sunsched.folder.editing.books.office_parts import BOOK, MAIN, SHEETS, sheet_part
from sunsched.folder.editing.cells_set import CellsSet

SPACE = "{http://www.w3.org/XML/1998/namespace}space"
STYLES = "xl/styles.xml"
TEXT_FORMAT = "@"
# What stands before the settings of formulas in a workbook, in the standard's order.
BEFORE_COMPUTING = ("sheets", "functionGroups", "externalReferences", "definedNames")


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
    name = sheet_part(parts, sheet)
    tree = packed.tree(parts[name])
    _set_cells(tree, _formats(parts.get(STYLES)), made)
    changed = {name: packed.part(tree)}
    if any(b"<f" in part for path, part in parts.items() if path.startswith(SHEETS)):
        changed[BOOK] = _computed_when_opened(parts[BOOK])
    return packed.packed(raw, changed)


def _formats(styles: bytes | None) -> list[str]:
    """Give the number format of each style of cells."""
    from openpyxl.styles.numbers import BUILTIN_FORMATS

    if styles is None:
        return []
    tree = packed.tree(styles)
    own = {int(one.get("numFmtId")): one.get("formatCode") for one in tree.iter(f"{MAIN}numFmt")}
    cells = tree.find(f"{MAIN}cellXfs")
    numbers = [] if cells is None else [int(one.get("numFmtId") or 0) for one in cells]
    return [own.get(number) or BUILTIN_FORMATS.get(number, "General") for number in numbers]


def _set_cells(tree: Any, formats: list[str], made: CellsSet) -> None:
    from openpyxl.utils.cell import get_column_letter, range_boundaries

    areas = [range_boundaries(one.get("ref")) for one in tree.iter(f"{MAIN}mergeCell")]
    data = tree.find(f"{MAIN}sheetData")
    rows = {int(row.get("r") or at): row for at, row in enumerate(data, 1)}
    for (line, at), text in sorted(made.texts.items()):
        where = f"{get_column_letter(at + 1)}{line}"
        if any(a <= at + 1 <= c and b <= line <= d for a, b, c, d in areas):
            raise made.refused("a merged cell", line, at)
        row = rows.get(line)
        if row is None:
            row = rows[line] = data.makeelement(f"{MAIN}row", {"r": str(line)})
            before = sum(1 for other in rows if other < line)
            data.insert(before, row)
        cell = _cell(row, where, at)
        if cell.find(f"{MAIN}f") is not None:
            raise made.refused("a formula", line, at)
        like = rows.get(made.like.get(line, 0))
        if like is not None and cell.get("s") is None:
            style = _cell_style(like, at)
            if style is not None:
                cell.set("s", style)
        number = int(cell.get("s") or 0)
        _set(cell, text, formats[number] if number < len(formats) else "General")
    _widen(tree, made)


def _cell(row: Any, where: str, at: int) -> Any:
    """Give the cell of a row at a place from 0; a new one is put in where there is none."""
    place = -1
    for number, cell in enumerate(row):
        found = cell.get("r")
        place = _place(found) if found else place + 1
        if place == at:
            return cell
        if place > at:
            made = row.makeelement(f"{MAIN}c", {"r": where})
            row.insert(number, made)
            return made
    made = row.makeelement(f"{MAIN}c", {"r": where})
    row.append(made)
    row.attrib.pop("spans", None)  # a hint for readers, which would now be wrong
    return made


def _place(where: str) -> int:
    from openpyxl.utils.cell import column_index_from_string

    return int(column_index_from_string(where.rstrip("0123456789"))) - 1


def _cell_style(row: Any, at: int) -> str | None:
    found = (cell for cell in row if cell.get("r") and _place(cell.get("r")) == at)
    cell = next(found, None)
    return None if cell is None else cell.get("s")


def _set(cell: Any, text: str, shown_as: str) -> None:
    """Write a text, or a number where a spreadsheet would take it for one; never a formula."""
    from openpyxl.styles.numbers import is_date_format

    for part in list(cell):
        cell.remove(part)
    for name in ("t", "cm", "vm"):
        cell.attrib.pop(name, None)
    if not text:
        return
    if packed.is_number(text) and shown_as != TEXT_FORMAT and not is_date_format(shown_as):
        value = cell.makeelement(f"{MAIN}v")
        value.text = text
        cell.append(value)
        return
    cell.set("t", "inlineStr")
    held = cell.makeelement(f"{MAIN}is")
    words = held.makeelement(f"{MAIN}t", {SPACE: "preserve"})
    words.text = text
    held.append(words)
    cell.append(held)


def _widen(tree: Any, made: CellsSet) -> None:
    """Let the size that a sheet states hold the new cells too."""
    from openpyxl.utils.cell import get_column_letter, range_boundaries

    stated = tree.find(f"{MAIN}dimension")
    if stated is None or not made.texts:
        return
    left, top, right, foot = range_boundaries(stated.get("ref"))
    right = max(right, *(at + 1 for _, at in made.texts))
    foot = max(foot, *(line for line, _ in made.texts))
    start = f"{get_column_letter(left)}{top}"
    stated.set("ref", f"{start}:{get_column_letter(right)}{foot}")


def _computed_when_opened(book: bytes) -> bytes:
    """Ask the spreadsheet to compute its formulas anew, as cells that they look at may differ."""
    tree = packed.tree(book)
    found = tree.find(f"{MAIN}calcPr")
    if found is None:
        found = tree.makeelement(f"{MAIN}calcPr")
        before = [f"{MAIN}{name}" for name in BEFORE_COMPUTING]
        place = max(at for at, part in enumerate(tree) if part.tag in before)
        tree.insert(place + 1, found)
    found.set("fullCalcOnLoad", "1")
    return packed.part(tree)
