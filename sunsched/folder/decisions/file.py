"""The decisions as a file: rows as text, and the file with a row put in, changed or taken out."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass

from sunsched.folder.decisions.row import COLUMNS
from sunsched.folder.store import files
from sunsched.folder.tables import table
from sunsched.folder.tables.table import Line, Row
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where

DECISIONS_FILE = "decisions.csv"
MAX_DECISIONS = 300
HEAD = "# What was decided for the day. A line taken out is a decision lifted.\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """The file as lines of text, each with its end, and as the rows that they say."""

    lines: tuple[str, ...]
    cells: tuple[Line, ...]
    separator: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def put(self, cells: Mapping[str, str], row: Row | None) -> str:
        """Give the text with a row in the place of another, whose other cells it keeps.

        Parameters
        ----------
        row : the one that goes; None for a new one below the others
        """
        first = {} if row is None else row.cells
        kept = {column: text for column, text in first.items() if column not in COLUMNS}
        columns = self.columns or COLUMNS
        line = _line([{**kept, **cells}.get(column, "") for column in columns], self.separator)
        if row is not None:
            start, end = self._lines_of(row)
            return "".join([*self.lines[:start], line, *self.lines[end:]])
        text = "".join(self.lines)
        if text and not text.endswith("\n"):
            text += "\n"
        if not self.columns:
            text += ("" if text else HEAD) + _line(list(COLUMNS), self.separator)
        return text + line

    def without(self, row: Row) -> str:
        """Give the text without a row."""
        start, end = self._lines_of(row)
        return "".join([*self.lines[:start], *self.lines[end:]])

    def _lines_of(self, row: Row) -> tuple[int, int]:
        """Give the places of a row's first line and of the one after its last."""
        starts = [line for line, _ in self.cells]
        after = starts[starts.index(row.line) + 1 :]
        return row.line - 1, after[0] - 1 if after else len(self.lines)


def read_text(content: bytes, findings: Findings) -> Text | None:
    """Read the file; an empty one has no rows. None, with every fault noted, where it is none."""
    text = files.text_of(content, DECISIONS_FILE, findings, strict=True)
    if text is None or table.is_long(text, DECISIONS_FILE, findings):
        return None
    lines = tuple(io.StringIO(text))
    read = table.csv_lines(text, DECISIONS_FILE, findings, comments=True)
    if read is None:
        return None
    if not any(table.says(cell) for _, cells in read for cell in cells):
        return Text(lines=lines, cells=(), separator=",", columns=(), rows=())
    header_line, titles = next(
        (line, cells) for line, cells in read if any(table.says(cell) for cell in cells)
    )
    found = table.table_of(read, DECISIONS_FILE, COLUMNS, findings, _kept(titles))
    where = Where(file=DECISIONS_FILE, line=header_line)
    if found is None:
        return None
    missing = [column for column in COLUMNS if column not in found.columns]
    for column in missing:
        findings.fault(where, f"no column `{column}`", expected=words.listed(COLUMNS, "and"))
    if len(found.rows) > MAX_DECISIONS:
        at = Where(file=DECISIONS_FILE, line=found.rows[MAX_DECISIONS].line)
        expected = f"at most {MAX_DECISIONS}"
        findings.fault(at, f"{len(found.rows)} decisions", expected=expected)
        return None
    if missing:
        return None
    return Text(
        lines=lines,
        cells=tuple(read),
        separator=_separator(lines[header_line - 1], len(found.columns)),
        columns=found.columns,
        rows=found.rows,
    )


def _kept(titles: list[str | None]) -> dict[str, str]:
    """Give the columns that nothing reads; one that is nearly a known one stays a fault."""
    named = {table.column_name(title): title for title in titles if title}
    return {
        column: title
        for column, title in named.items()
        if column and column not in COLUMNS and not words.did_you_mean(column, COLUMNS)
    }


def _separator(header: str, columns: int) -> str:
    """Give what stands between the cells of the header: the sign that cuts it in as many."""
    return next(
        (
            sign
            for sign in table.SEPARATORS
            if len(next(csv.reader([header], delimiter=sign))) >= columns
        ),
        ",",
    )


def _line(cells: list[str], separator: str) -> str:
    written = io.StringIO()
    csv.writer(written, delimiter=separator, lineterminator="\n").writerow(cells)
    return written.getvalue()
