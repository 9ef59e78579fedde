"""The sheets of an .xlsx workbook (Office Open XML, ECMA-376)."""

from __future__ import annotations

import contextlib
import io
import warnings
from typing import Any

from sunsched.errors import Fault
from sunsched.folder.tables.sheet import (
    MAX_CELLS,
    Sheet,
    note_failed,
    note_large,
    note_no_result,
    text_of,
)
from sunsched.folder.tables.table import Line
from sunsched.folder.text.findings import Findings, Where


def read_sheets(raw: bytes, file: str, findings: Findings) -> list[Sheet] | None:
    """Read the sheets of an .xlsx workbook; None, with the fault noted, when one is too large.

    What a broken workbook raises is whatever its zip and XML readers raise.
    """
    # openpyxl prints what it thinks of a damaged style; our output is not the place for it.
    with warnings.catch_warnings(), contextlib.redirect_stdout(io.StringIO()):
        # Extensions that openpyxl drops, such as drop-down lists, do not change a cell's value.
        warnings.simplefilter("ignore", UserWarning)
        return _sheets(raw, file, findings)


def _sheets(raw: bytes, file: str, findings: Findings) -> list[Sheet] | None:
    formulas, results = (_book(raw, values=values, is_quick=True) for values in (False, True))
    read: list[tuple[list[Line], dict[tuple[int, int], Fault]]] = []
    for written, shown in zip(formulas.worksheets, results.worksheets, strict=True):
        lines = _lines(written, shown, file, findings)
        if lines is None:
            return None
        read.append(lines)
    # Only the whole book knows what is merged or hidden; it is looked at once its size is known.
    whole = _book(raw, values=True, is_quick=False)
    return [
        Sheet(
            name=str(sheet.title),
            lines=_merged(lines, sheet),
            is_hidden=sheet.sheet_state != "visible",
            hidden_lines=frozenset(
                line for line, row in sheet.row_dimensions.items() if row.hidden
            ),
            faults=faults,
        )
        for sheet, (lines, faults) in zip(whole.worksheets, read, strict=True)
    ]


def _lines(
    written: Any, shown: Any, file: str, findings: Findings
) -> tuple[list[Line], dict[tuple[int, int], Fault]] | None:
    """Read the cells of one sheet, with the faults of those that cannot be read."""
    for sheet in (written, shown):
        # The size that a workbook states for a sheet is often wrong; the cells themselves are not.
        sheet.reset_dimensions()
    lines: list[Line] = []
    faults: dict[tuple[int, int], Fault] = {}
    looked_at = 0
    for line, (formulas, values) in enumerate(
        zip(written.iter_rows(), shown.iter_rows(), strict=True), 1
    ):
        looked_at += len(formulas) + 1
        if looked_at > MAX_CELLS:
            note_large(line, file, findings)
            return None
        cells: list[str | None] = []
        for place, (formula, result) in enumerate(zip(formulas, values, strict=True)):
            notes = Findings()
            where = Where(file=file, line=line, column=str(getattr(formula, "column_letter", "")))
            cells.append(_text(formula, result, where, notes))
            if notes.faults:
                faults[line, place] = notes.faults[0]
        lines.append((line, cells))
    return lines, faults


def _merged(lines: list[Line], sheet: Any) -> list[Line]:
    """Give every row that a merged cell runs over its text, in the first of its columns."""
    rows = dict(lines)
    for area in sheet.merged_cells.ranges:
        top, place = rows.get(area.min_row, []), area.min_col - 1
        text = top[place] if place < len(top) else ""
        for line in range(area.min_row + 1, min(area.max_row, len(lines)) + 1):
            if text and place < len(rows[line]):
                rows[line][place] = text
    return lines


def _book(raw: bytes, *, values: bool, is_quick: bool) -> Any:
    # Imported here, as most days have a CSV shot list and `--help` must not wait for this.
    import openpyxl

    return openpyxl.load_workbook(io.BytesIO(raw), read_only=is_quick, data_only=values)


def _text(formula: Any, result: Any, where: Where, findings: Findings) -> str | None:
    value = result.value
    if value is None and formula.data_type == "f":
        note_no_result(str(formula.value), where, findings)
        return None
    if result.data_type == "e":
        note_failed(str(value), where, findings)
        return None
    return text_of(value, where, findings, has_hours="h" in str(result.number_format).lower())
