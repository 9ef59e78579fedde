"""A workbook's sheet as lines of text cells, as people typed them.

A spreadsheet keeps numbers, times and dates where people typed words. Numbers, times and dates with
a time come out as people write them; a date alone does not, as no column of a shot list holds one:
it is an id such as `1-2` that was taken for a date.
"""

from __future__ import annotations

import contextlib
import io
import warnings
import zipfile
from typing import Any

from sunsched.folder.tables.cells import cell_text
from sunsched.folder.tables.table import Line
from sunsched.folder.text.findings import Findings, Where

MAX_UNPACKED_BYTES = 50_000_000
MAX_CELLS = 500_000
ENCRYPTED_OR_OLD = b"\xd0\xcf\x11\xe0"


def sheet_lines(raw: bytes, file: str, sheet: str, findings: Findings) -> list[Line] | None:
    """Read one sheet of an .xlsx workbook as lines of text cells.

    Parameters
    ----------
    raw : bytes
        The whole workbook.
    file : str
        Its name, for faults.
    sheet : str
        The sheet to read; the first one when no sheet has this name.
    findings : Findings
        Where faults are noted.

    Returns
    -------
    list of Line, or None
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
            return _lines(raw, file, sheet, findings)
    except Exception:  # noqa: BLE001  a broken workbook raises what its zip and XML readers raise
        findings.fault(where, "not a workbook that can be read", expected="an .xlsx workbook")
        return None


def _lines(raw: bytes, file: str, name: str, findings: Findings) -> list[Line] | None:
    formulas = _sheet(raw, name, values=False)
    results = _sheet(raw, name, values=True)
    lines: list[Line] = []
    titles: list[str | None] = []
    looked_at = 0
    for line, (written, shown) in enumerate(
        zip(formulas.iter_rows(), results.iter_rows(), strict=True), 1
    ):
        looked_at += len(written) + 1
        if looked_at > MAX_CELLS:
            findings.fault(
                Where(file=file, line=line),
                f"a sheet of more than {MAX_CELLS:,} cells",
                hint="delete the empty rows and columns around the table",
            )
            return None
        cells: list[str | None] = []
        for place, (formula, result) in enumerate(zip(written, shown, strict=True)):
            title = titles[place] if place < len(titles) else None
            column = title or str(getattr(formula, "column_letter", ""))
            where = Where(file=file, line=line, column=column)
            cells.append(_text(formula, result, where, findings))
        titles = titles or (cells if any(cells) else [])
        lines.append((line, cells))
    return lines


def _sheet(raw: bytes, name: str, *, values: bool) -> Any:
    # Imported here, as most days have a CSV shot list and `--help` must not wait for this.
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=values)
    sheets = book.worksheets
    found = next((one for one in sheets if one.title.casefold() == name.casefold()), sheets[0])
    # The size that a workbook states for a sheet is often wrong; the cells themselves are not.
    found.reset_dimensions()
    return found


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
