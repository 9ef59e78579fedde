"""A workbook's sheets as lines of text cells, as people typed them.

A spreadsheet keeps numbers, times and dates where people typed words. Numbers, times and dates with
a time come out as people write them; a date alone does not, as no column of a shot list holds one:
it is an id such as `1-2` that was taken for a date.
"""

from __future__ import annotations

import contextlib
import io
import warnings
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sunsched.errors import Fault
from sunsched.folder.tables.cells import cell_text
from sunsched.folder.tables.table import Line
from sunsched.folder.text.findings import Findings, Where

MAX_UNPACKED_BYTES = 50_000_000
MAX_CELLS = 500_000
ENCRYPTED_OR_OLD = b"\xd0\xcf\x11\xe0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet: its rows of cells as text, and what of it cannot be seen in the spreadsheet.

    `faults` are those of its cells, by line and place from 0; such a cell is None in `lines`.
    A cell that is merged over several rows stands in each of them.
    """

    name: str
    lines: list[Line]
    is_hidden: bool = False
    hidden_lines: frozenset[int] = frozenset()
    faults: Mapping[tuple[int, int], Fault] = field(default_factory=dict)


def book_sheets(raw: bytes, file: str, findings: Findings) -> list[Sheet] | None:
    """Read the sheets of an .xlsx workbook as lines of text cells.

    Parameters
    ----------
    raw : bytes
        The whole workbook.
    file : str
        Its name, for faults.
    findings : Findings
        Where faults of the workbook are noted; those of its cells stand in the sheets.

    Returns
    -------
    list of Sheet, or None
        None, with the fault noted, when it is not a workbook that can be read.
    """
    where = Where(file=file)
    if raw.startswith(ENCRYPTED_OR_OLD):
        findings.fault(
            where,
            "a workbook with a password or in the old .xls format",
            expected="an .xlsx workbook",
            hint="save it again as .xlsx without a password",
        )
        return None
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            unpacked = sum(part.file_size for part in packed.infolist())
        if unpacked > MAX_UNPACKED_BYTES:
            findings.fault(
                where,
                f"{unpacked:,} bytes long when unpacked",
                expected=f"at most {MAX_UNPACKED_BYTES:,} bytes",
            )
            return None
        # openpyxl prints what it thinks of a damaged style; our output is not the place for it.
        with warnings.catch_warnings(), contextlib.redirect_stdout(io.StringIO()):
            # Extensions that openpyxl drops, such as drop-down lists, do not change a cell's value.
            warnings.simplefilter("ignore", UserWarning)
            return _sheets(raw, file, findings)
    except Exception:  # noqa: BLE001  a broken workbook raises what its zip and XML readers raise
        findings.fault(where, "not a workbook that can be read", expected="an .xlsx workbook")
        return None


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
            findings.fault(
                Where(file=file, line=line),
                f"a sheet of more than {MAX_CELLS:,} cells",
                hint="delete the empty rows and columns around the table",
            )
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
        findings.fault(
            where,
            "a formula without a result",
            str(formula.value),
            hint="open and save the workbook in a spreadsheet, or type the value",
        )
        return None
    if result.data_type == "e":
        findings.fault(where, "a formula that failed", str(value))
        return None
    text = cell_text(value, has_hours="h" in str(result.number_format).lower())
    if text is None:
        findings.fault(
            where,
            "a date, which the spreadsheet made of what was typed",
            f"{value:%Y-%m-%d}",
            expected="text or a number",
            hint="format the column as text and type it again",
        )
    return text
