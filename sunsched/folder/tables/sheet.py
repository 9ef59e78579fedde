"""One sheet of a workbook as lines of text cells, as people typed them.

A spreadsheet keeps numbers, times and dates where people typed words. Numbers, times and dates with
a time come out as people write them; a date alone does not, as no column of a shot list holds one:
it is an id such as `1-2` that was taken for a date.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from sunsched.errors import Fault
from sunsched.folder.tables.cells import cell_text
from sunsched.folder.tables.table import Line
from sunsched.folder.text.findings import Findings, Where

MAX_CELLS = 200_000


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


def text_of(value: object, where: Where, findings: Findings, *, has_hours: bool) -> str | None:
    """Give the value of a cell as people write it; None, with the fault noted, for a date alone.

    `has_hours` says that a moment at midnight shows its hours, and is one.
    """
    text = cell_text(value, has_hours=has_hours)
    if text is None and isinstance(value, date):
        findings.fault(
            where,
            "a date, which the spreadsheet made of what was typed",
            f"{value:%Y-%m-%d}",
            expected="text or a number",
            hint="format the column as text and type it again",
        )
    return text


def note_no_result(formula: str, where: Where, findings: Findings) -> None:
    """Note a formula whose result was never saved."""
    findings.fault(
        where,
        "a formula without a result",
        formula,
        hint="open and save the workbook in a spreadsheet, or type the value",
    )


def note_failed(shown: str, where: Where, findings: Findings) -> None:
    """Note a formula whose result is an error."""
    findings.fault(where, "a formula that failed", shown)


def note_large(line: int, file: str, findings: Findings) -> None:
    """Note a sheet that holds too many cells to be a list."""
    findings.fault(
        Where(file=file, line=line),
        f"a sheet of more than {MAX_CELLS:,} cells",
        hint="delete the empty rows and columns around the table",
    )


def cell_letters(at: int) -> str:
    """Name a column as a spreadsheet does, from 0: A, B, … Z, AA."""
    before, last = divmod(at, 26)
    return (cell_letters(before - 1) if before else "") + chr(ord("A") + last)
