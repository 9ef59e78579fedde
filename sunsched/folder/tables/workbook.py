"""A workbook of any kind that is read: told by what stands in it, not by its name."""

from __future__ import annotations

import io
import zipfile

from sunsched.folder.tables import office_book, open_document
from sunsched.folder.tables.packed_size import is_too_large
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.text.findings import Findings, Where

ENCRYPTED_OR_OLD = b"\xd0\xcf\x11\xe0"
ENDINGS = (".xlsx", ".xlsm", ".ods")


def book_sheets(raw: bytes, file: str, findings: Findings) -> list[Sheet] | None:
    """Read the sheets of an .xlsx or .ods workbook as lines of text cells.

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
            expected="an .xlsx or .ods workbook",
            hint="save it again as .xlsx without a password",
        )
        return None
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            if is_too_large(packed, file, findings):
                return None
            is_open_document = open_document.is_spreadsheet(packed)
            is_locked = is_open_document and open_document.is_locked(packed)
        if is_locked:
            hint = "save it again without a password"
            findings.fault(where, "a workbook with a password", hint=hint)
            return None
        reader = open_document.read_sheets if is_open_document else office_book.read_sheets
        return reader(raw, file, findings)
    except Exception:  # noqa: BLE001  a broken workbook raises what its zip and XML readers raise
        expected = "an .xlsx or .ods workbook"
        findings.fault(where, "not a workbook that can be read", expected=expected)
        return None
