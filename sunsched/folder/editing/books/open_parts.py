"""The rows of a sheet of an .ods workbook, of which equal ones are one element.

OpenDocument (OASIS standard 1.3) says of such an element how often it stands there.
"""

from __future__ import annotations

import copy
from typing import Any

TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
CONTENT = "content.xml"
ROW, CELL, COVERED = f"{TABLE}table-row", f"{TABLE}table-cell", f"{TABLE}covered-table-cell"
ROWS_REPEATED, CELLS_REPEATED = f"{TABLE}number-rows-repeated", f"{TABLE}number-columns-repeated"


def table_of(tree: Any, sheet: str) -> Any:
    """Give the table of a sheet."""
    (table,) = (one for one in tree.iter(f"{TABLE}table") if one.get(f"{TABLE}name") == sheet)
    return table


def row_at(table: Any, line: int) -> Any:
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


def cell_at(row: Any, at: int) -> Any:
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
