"""Tables of a day folder as text: rows of named cells, with the line where each row starts.

The standard csv module cuts the cells, as it alone knows on which line of the file a row starts
when a quoted cell holds line breaks.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where

MAX_COLUMNS = 100
MAX_LINES = 50_000  # of a file; a day has a few hundred
MAX_CELLS = 500_000
SEPARATORS = (",", ";", "\t")
SEPARATOR_NAMES = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}

Line = tuple[int, list[str | None]]
"""The line a row starts on, and its cells; None is a cell that is already told to be at fault."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: its line and its cells by column name; blank cells are left out."""

    file: str
    line: int
    cells: Mapping[str, str]
    unreadable: frozenset[str]

    def at(self, column: str) -> Where:
        """Say where a cell stands."""
        return Where(file=self.file, line=self.line, column=column)


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The rows of one table, blank ones left out, and the line of its header (None for
    shots made by hand).

    `kept` has the titles of columns that are not read but carried along, by their names.
    """

    file: str
    header_line: int | None
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    kept: Mapping[str, str] = field(default_factory=dict)


def says(cell: str | None) -> bool:
    """Say whether a cell holds anything, also what is already told to be at fault."""
    return cell is None or bool(words.clean(cell))


def column_name(header: str) -> str:
    """Give a header as the readers know it: `Shoot (min)` and `shoot-min` are `shoot_min`."""
    return re.sub(r"\W+", "_", words.clean(header).casefold()).strip("_")


def csv_lines(
    text: str,
    file: str,
    findings: Findings,
    *,
    comments: bool = False,
    separator: str | None = None,
) -> list[Line] | None:
    """Cut the text of a CSV file into lines of cells.

    The separator is the one that the first line has most of, unless it is given. A first line such
    as `sep=;`, which some spreadsheets write, is obeyed.

    Parameters
    ----------
    text : str
        The whole file, with `\\n` line ends.
    file : str
        Its name, for faults.
    findings : Findings
        Where faults are noted.
    comments : bool
        Leave out lines that start with `#`.
    separator : str, optional
        What stands between two cells.

    Returns
    -------
    list of Line, or None
        None, with the fault noted, when the quotes do not close or there are too many lines.
    """
    if is_long(text, file, findings):
        return None
    physical = text.split("\n")
    skipped = 0
    named = re.fullmatch(r'"?sep=(.)"?', physical[0].strip(" "), re.IGNORECASE)
    if named:
        physical, skipped = physical[1:], 1
    if comments:
        physical = ["" if line.lstrip().startswith("#") else line for line in physical]
    if named and named[1] in SEPARATOR_NAMES:
        separator = named[1]
    separator = separator or _separator(physical)
    reader = csv.reader((f"{line}\n" for line in physical), delimiter=separator, strict=True)
    lines: list[Line] = []
    start, looked_at = skipped + 1, 0
    try:
        for cells in reader:
            looked_at += len(cells)
            if looked_at > MAX_CELLS:
                at = Where(file=file, line=start)
                findings.fault(at, "too many cells", expected=f"at most {MAX_CELLS:,} in a table")
                return None
            lines.append((start, list(cells)))
            start = reader.line_num + skipped + 1
    except csv.Error as error:
        _note_quotes(str(error), Where(file=file, line=start), separator, findings)
        return None
    return lines


def is_long(text: str, file: str, findings: Findings) -> bool:
    """Note a text of so many lines that reading them would take all of the memory."""
    count = text.count("\n")
    if count > MAX_LINES:
        hint = "delete what is no part of the list"
        expected = f"at most {MAX_LINES:,}"
        findings.fault(Where(file=file), f"{count:,} lines", expected=expected, hint=hint)
    return count > MAX_LINES


def table_of(
    lines: Iterable[Line],
    file: str,
    known: Iterable[str],
    findings: Findings,
    kept: Mapping[str, str] | None = None,
) -> Table | None:
    """Name the cells of a table by its header, which is its first line that is not blank.

    Parameters
    ----------
    lines : iterable of Line
        The lines, header included.
    file : str
        Name of the file, for faults.
    known : iterable of str
        The columns that the table may have.
    findings : Findings
        Where faults are noted: unknown, repeated and unnamed columns, and cells past the last one.
    kept : mapping of str to str, optional
        Columns that are carried along, and their titles.

    Returns
    -------
    Table or None
        None, with the fault noted, when there is no header.
    """
    written = (line for line in lines if not _is_blank(line[1]))
    header = next(written, None)
    if header is None:
        findings.fault(Where(file=file), "empty", expected="a header line and rows below it")
        return None
    header_line, titles = header
    width = max(place for place, title in enumerate(titles, 1) if title is None or title.strip())
    if width > MAX_COLUMNS:
        findings.fault(
            Where(file=file, line=header_line),
            f"{width} columns",
            expected=f"at most {MAX_COLUMNS}",
        )
        return None
    columns = [column_name(title or "") for title in titles[:width]]
    own = tuple(known)
    known = (*own, *(kept or {}))
    if not any(column in own or words.did_you_mean(column, own) for column in columns):
        findings.fault(
            Where(file=file, line=header_line),
            "no header line",
            ", ".join(title or "" for title in titles[:width]),
            expected=f"a first line with the names of columns: {words.listed(own)}",
        )
        return None
    _check_columns(columns, titles, Where(file=file, line=header_line), known, findings)
    rows = tuple(_rows(written, file, columns, findings))
    return Table(
        file=file,
        header_line=header_line,
        columns=tuple(column for column in columns if column in known),
        rows=rows,
        kept=kept or {},
    )


def _rows(
    lines: Iterable[Line], file: str, columns: list[str], findings: Findings
) -> Iterator[Row]:
    for line, cells in lines:
        over = next((cell for cell in cells[len(columns) :] if cell and cell.strip()), None)
        if over is not None:
            findings.fault(
                Where(file=file, line=line),
                f"more cells than the {len(columns)} columns of the header",
                over,
                hint="put a text that holds the separator, such as a decimal comma, in quotes",
            )
        named = list(zip(columns, cells, strict=False))
        yield Row(
            file=file,
            line=line,
            cells={column: cell for column, cell in named if cell and words.clean(cell)},
            unreadable=frozenset(column for column, cell in named if cell is None),
        )


def _check_columns(
    columns: list[str],
    titles: list[str | None],
    where: Where,
    known: tuple[str, ...],
    findings: Findings,
) -> None:
    seen: set[str] = set()
    for place, (column, title) in enumerate(zip(columns, titles, strict=False), 1):
        if title is None:
            continue
        if not column:
            findings.fault(where, f"column {place} has no name", expected="a name in every column")
        elif column in seen:
            findings.fault(where, "a column that stands twice", title)
        elif column not in known:
            near = words.did_you_mean(column, known)
            expected = "" if near else words.listed(known)
            findings.fault(where, "unknown column", title, expected=expected, hint=near)
        seen.add(column)


def _is_blank(cells: list[str | None]) -> bool:
    return not any(cell is None or words.clean(cell) for cell in cells)


def _separator(physical: list[str]) -> str:
    header = next((line for line in physical if words.clean(line)), "")
    outside_quotes = re.sub(r'"[^"]*"', "", header)
    return max(SEPARATORS, key=outside_quotes.count)


def _note_quotes(message: str, where: Where, separator: str, findings: Findings) -> None:
    if "expected after" in message:
        name = SEPARATOR_NAMES[separator]
        findings.fault(
            where,
            "text after a closing quote",
            expected=f"a {name} or the end of the line",
            hint="write a quote inside a quoted cell twice",
        )
    elif "limit" in message:
        findings.fault(where, "a cell too long to read", hint="look for a quote that never closes")
    else:
        findings.fault(where, "a quote that is never closed")
