"""The sheets of an .ods workbook (OpenDocument, OASIS standard 1.3 = ISO/IEC 26300)."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from sunsched.errors import Fault
from sunsched.folder.tables.sheet import (
    MAX_CELLS,
    Sheet,
    cell_letters,
    note_failed,
    note_large,
    note_no_result,
    text_of,
)
from sunsched.folder.tables.table import Line
from sunsched.folder.text.findings import Findings, Where

if TYPE_CHECKING:
    from odfdo import Cell, Document, Table

MIMETYPE = b"application/vnd.oasis.opendocument.spreadsheet"
FAILED = ("#", "Err:")  # what a formula without a value shows: `#REF!`, `Err:502`
HIDDEN = ("collapse", "filter")  # a row that was hidden by hand, or by a filter


def is_spreadsheet(packed: zipfile.ZipFile) -> bool:
    """Say whether a packed file is a spreadsheet of OpenDocument, or a template of one."""
    return "mimetype" in packed.namelist() and packed.read("mimetype").startswith(MIMETYPE)


def is_locked(packed: zipfile.ZipFile) -> bool:
    """Say whether a file of OpenDocument has a password: its parts are then encrypted."""
    manifest = "META-INF/manifest.xml"
    return manifest in packed.namelist() and b"encryption-data" in packed.read(manifest)


def read_sheets(raw: bytes, file: str, findings: Findings) -> list[Sheet] | None:
    """Read the sheets of an .ods workbook; None, with the fault noted, when one is too large.

    What a broken workbook raises is whatever its zip and XML readers raise.
    """
    # Imported here, as most days have a CSV shot list and `--help` must not wait for this.
    import odfdo

    document = odfdo.Document(io.BytesIO(raw))
    sheets: list[Sheet] = []
    for table in document.body.get_elements("table:table"):
        sheet = _sheet(document, table, file, findings)
        if sheet is None:
            return None
        sheets.append(sheet)
    return sheets


def _sheet(document: Document, table: Any, file: str, findings: Findings) -> Sheet | None:
    lines: list[Line] = []
    hidden: set[int] = set()
    faults: dict[tuple[int, int], Fault] = {}
    spans: dict[int, tuple[int, str]] = {}  # by column: rows that a merged cell still covers
    line = looked_at = 0
    for row in table.get_elements(".//table:table-row"):
        written = [*_cells(row)]
        repeated = row.repeated or 1
        if not written:
            # The empty rest of a sheet is one row, repeated a million times. What a merged cell
            # covers is written, so that none reaches down here.
            line += repeated
            spans.clear()
            continue
        for _ in range(repeated):
            line += 1
            looked_at += sum(count for _, count in written) + 1
            if looked_at > MAX_CELLS:
                note_large(line, file, findings)
                return None
            lines.append((line, _texts(written, line, file, spans, faults)))
            if row.get_attribute("table:visibility") in HIDDEN:
                hidden.add(line)
    return Sheet(
        name=str(table.name),
        lines=lines,
        is_hidden=_is_hidden(document, table),
        hidden_lines=frozenset(hidden),
        faults=faults,
    )


def _cells(row: Any) -> Iterator[tuple[Cell, int]]:
    """Give the cells of a row, each with how often it stands there; not the empty rest."""
    held: list[tuple[Cell, int]] = []
    for cell in row.get_elements("table:table-cell|table:covered-table-cell"):
        held.append((cell, cell.repeated or 1))
        if cell.type is not None or cell.formula is not None or cell.is_covered():
            yield from held
            held.clear()


def _texts(
    written: list[tuple[Cell, int]],
    line: int,
    file: str,
    spans: dict[int, tuple[int, str]],
    faults: dict[tuple[int, int], Fault],
) -> list[str | None]:
    """Read the cells of one row; one that is merged over several rows stands in each of them."""
    cells: list[str | None] = []
    for cell, count in written:
        notes = Findings()
        text = _text(cell, Where(file=file, line=line, column=cell_letters(len(cells))), notes)
        for _ in range(count):
            at = len(cells)
            rows, above = spans.pop(at, (0, ""))
            covered = cell.is_covered() and rows > 0
            # What a merged cell covers may still hold words that nobody sees.
            cells.append(above if covered else "" if cell.is_covered() else text)
            if notes.faults and not cell.is_covered():
                faults[line, at] = notes.faults[0]
            if covered and rows > 1:
                spans[at] = rows - 1, above
        deep = cell.get_attribute_integer("table:number-rows-spanned") or 1
        if deep > 1 and text:
            spans[len(cells) - count] = deep - 1, text
    return cells


def _text(cell: Cell, where: Where, findings: Findings) -> str | None:
    value: object = cell.value
    shown = "\n".join(one.inner_text for one in cell.get_elements("text:p"))
    formula = cell.formula
    if cell.get_attribute("calcext:value-type") == "error" or (
        formula and shown.startswith(FAILED)
    ):
        note_failed(shown, where, findings)
        return None
    if cell.type is None and formula:
        note_no_result(formula, where, findings)
        return None
    if isinstance(value, Decimal):
        value = float(value)
    return text_of(value, where, findings, has_hours=":" in shown)


def _is_hidden(document: Document, table: Table) -> bool:
    style = document.get_style("table", table.style) if table.style else None
    properties = None if style is None else style.get_element("style:table-properties")
    return properties is not None and properties.get_attribute("table:display") in ("false", False)
