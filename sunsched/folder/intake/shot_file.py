"""The file with a day folder's own shot list: which one it is, and its sheet."""

from __future__ import annotations

from sunsched.folder.intake import source
from sunsched.folder.store import files
from sunsched.folder.store.files import Files
from sunsched.folder.tables import workbook
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where

SHOT_FILES = ("shots.csv", "shots.xlsx", "shots.ods")
SHEET = "shots"  # the name of the sheet that is taken before all others


def find_name(found: Files, findings: Findings) -> str | None:
    """Give the name of the shot list; None, with the fault noted, where there is none."""
    present = [name for name in SHOT_FILES if name in found.names]
    if not present:
        other = next((name for name in found.names if name.startswith("shots.")), None)
        findings.fault(
            Where(file=SHOT_FILES[0]),
            "no shot list in the day folder",
            expected=words.listed(SHOT_FILES),
            hint=f"save `{other}` as shots.xlsx or shots.csv" if other else "",
        )
        return None
    if len(present) > 1:
        hint = "keep one of them, so that there is one shot list"
        findings.fault(Where(file=present[1]), f"stands beside {present[0]}", hint=hint)
    return present[0]


def read_sheet(found: Files, name: str, findings: Findings, notes: list[str]) -> Sheet | None:
    """Give the sheet of the list; None, with the faults noted, where it cannot be read.

    Parameters
    ----------
    found : Files
        The folder.
    name : str
        The name of the list.
    findings : Findings
        Where faults and warnings are noted.
    notes : list of str
        To which is added what was not read.
    """
    if name.endswith(workbook.ENDINGS):
        raw = files.read_bytes(found, name, findings)
        sheets = None if raw is None else workbook.book_sheets(raw, name, findings)
        return source.pick_sheet(sheets, SHEET, name, findings, notes) if sheets else None
    text = files.read_text(found, name, findings)
    return None if text is None else source.text_sheet(text, name, findings)
