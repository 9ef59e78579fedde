"""The sheets of one file: a workbook's, or the one that a text is cut into."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from sunsched.folder.intake.header import LEAST, LOOKED_AT, best_place, score
from sunsched.folder.tables import table
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where

GAPS = re.compile(r"\t+| {2,}")  # a table that was copied out of a page
SEPARATORS = (*table.SEPARATORS, "|")
LIKELY = 3  # columns that a sheet must name to be a list beside another one


def text_sheet(
    text: str,
    file: str,
    findings: Findings,
    *,
    is_head: Callable[[Sequence[str | None]], int] = score,
    gaps: re.Pattern[str] | None = None,
) -> Sheet | None:
    """Cut a text into cells, at the separator that gives the best head.

    Parameters
    ----------
    text : str
        The whole file, with `\\n` line ends.
    file : str
        Its name, for faults.
    findings : Findings
        Where faults are noted.
    is_head : callable
        Gives how many known columns the cells of a line name.
    gaps : pattern, optional
        What parts the cells of a table that is set with spaces.

    Returns
    -------
    Sheet or None
        None, with the fault noted, when its quotes do not close.
    """
    if gaps is not None:
        cut: list[table.Line] = [
            (line, [*gaps.split(row.strip())]) for line, row in enumerate(text.split("\n"), 1)
        ]
        return Sheet(name="", lines=cut)
    best: tuple[tuple[int, int], Sheet] | None = None
    for separator in SEPARATORS:
        lines = table.csv_lines(text, file, Findings(), separator=separator)
        if not lines:
            continue
        worth = max((is_head(cells), len(cells)) for _, cells in lines[:LOOKED_AT])
        if worth[0] < (LEAST if is_head is score else 1):
            continue
        if best is None or worth > best[0]:
            best = worth, Sheet(name="", lines=_without_rules(lines) if separator == "|" else lines)
    if best is not None:
        return best[1]
    plain = table.csv_lines(text, file, findings)
    return None if plain is None else Sheet(name="", lines=plain)


def _without_rules(lines: list[table.Line]) -> list[table.Line]:
    """Leave out the lines that draw a table in a text, such as `|---|---|`."""
    return [
        (line, cells)
        for line, cells in lines
        if not any(cell and cell.strip() for cell in cells)
        or not all(set(cell or "") <= set("-: =+") for cell in cells)
    ]


def pick_sheet(
    sheets: Sequence[Sheet], named: str, file: str, findings: Findings, notes: list[str]
) -> Sheet | None:
    """Choose the sheet with the list, and say which others there are.

    Parameters
    ----------
    sheets : sequence of Sheet
        Those of one file, one at least.
    named : str
        The name of the one that is taken before all others.
    file : str
        Its name, for faults.
    findings : Findings
        Where it is noted that several look like lists.
    notes : list of str
        To which is added what was not read.
    """
    shown = [sheet for sheet in sheets if not sheet.is_hidden] or list(sheets)
    worths = {sheet.name: _worth(sheet) for sheet in shown}
    best = max(worths.values())
    likely = [sheet for sheet in shown if worths[sheet.name] >= max(LIKELY, best - 2)]
    by_name = [sheet for sheet in sheets if sheet.name.casefold() == named]
    chosen = by_name[0] if by_name else max(shown, key=lambda sheet: worths[sheet.name])
    if not by_name and len(likely) > 1:
        names = [sheet.name for sheet in likely]
        findings.fault(
            Where(file=file),
            f"{len(likely)} sheets that look like shot lists",
            ", ".join(names),
            expected="one",
            hint=f"call the one that counts `{named}`, or keep it in a file of its own",
        )
        return None
    others = [sheet for sheet in sheets if sheet is not chosen]
    if others:
        names = [f"`{sheet.name}`" + (" (hidden)" if sheet.is_hidden else "") for sheet in others]
        notes.append(f"sheet `{chosen.name}` is read, {words.listed(names, 'and')} not")
    return chosen


def _worth(sheet: Sheet) -> int:
    place = best_place(sheet.lines)
    return 0 if place is None else score(sheet.lines[place][1])
