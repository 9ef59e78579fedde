"""The log as a file: whole lines told from one that was cut short, and rows as text."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping

from sunsched.errors import Fault, FolderError
from sunsched.folder.log.row import COLUMNS
from sunsched.folder.store.files import LOG_FILE, MAX_FILE_BYTES, SAVE_AS_UTF8, TORN_FILE
from sunsched.folder.tables import table
from sunsched.folder.tables.table import Table
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where, shown

# Columns that came after the first logs were written: an older header is no fault.
LATER = frozenset({"control"})


def split_torn(content: bytes) -> tuple[bytes, bytes]:
    """Give the whole lines, and what stands after the last line end: a line cut short.

    An event is written with its line end last, so that a line without one is not a whole event,
    however whole it looks: `rolled,1` may be the start of `rolled,12`.
    """
    end = max(content.rfind(b"\n"), content.rfind(b"\r")) + 1
    return content[:end], content[end:]


def note_torn(whole: bytes, torn: bytes, findings: Findings) -> None:
    """Warn of a line that was cut short."""
    if torn:
        line = _plain(whole).count("\n") + 1
        findings.warn(
            Where(file=LOG_FILE, line=line),
            "a line that was cut short",
            shown(torn.decode("utf-8", "replace")),
            hint=f"it is not counted; the next event moves it to `{TORN_FILE}`. "
            "Note its event again",
        )


def read_rows(whole: bytes, findings: Findings) -> Table | None:
    """Read the whole lines as a table; None for an empty log, or with the fault noted."""
    where = Where(file=LOG_FILE)
    if len(whole) > MAX_FILE_BYTES:
        expected = f"at most {MAX_FILE_BYTES:,} bytes"
        findings.fault(where, f"{len(whole):,} bytes long", expected=expected)
        return None
    try:
        text = whole.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = _plain(error.object[: error.start]).count("\n") + 1
        at = Where(file=LOG_FILE, line=line)
        findings.fault(at, "bytes that are not text", expected="UTF-8", hint=SAVE_AS_UTF8)
        return None
    if "\x00" in text:
        findings.fault(where, "not a text file (it holds NUL bytes)", expected="UTF-8")
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not words.clean(text):
        return None
    lines = table.csv_lines(text, LOG_FILE, findings)
    found = None if lines is None else table.table_of(lines, LOG_FILE, COLUMNS, findings)
    if found is None:
        return None
    header = Where(file=LOG_FILE, line=found.header_line)
    missing = [column for column in COLUMNS if column not in {*found.columns, *LATER}]
    for column in missing:
        findings.fault(header, f"no column `{column}`", expected="the header as it was written")
    return None if missing else found


def line_of(whole: bytes, cells: Mapping[str, str]) -> bytes:
    """Give the line that says these cells at the end of a log, with the header if it has none.

    A spreadsheet may have saved the log with its columns moved or with another separator, so the
    line is the one that reads back as the cells.

    Raises
    ------
    FolderError
        When the log was begun before there was a column that the cells need.
    ValueError
        When no line does; with a log without faults this cannot happen.
    """
    found = read_rows(whole, Findings())
    columns = COLUMNS if found is None else found.columns
    for column in cells.keys() - set(columns):
        hint = f"add `{column}` to the end of its first line"
        raise FolderError((Fault(file=LOG_FILE, problem=f"no column `{column}`", hint=hint),))
    header = _line(columns, ",") if found is None else b""
    last = max(place for place, column in enumerate(columns) if column in cells)
    row = [cells.get(column, "") for column in columns[: last + 1]]
    for separator in table.SEPARATORS:
        line = header + _line(row, separator)
        again = read_rows(whole + line, Findings())
        if again is not None and again.rows and again.rows[-1].cells == cells:
            return line
    raise ValueError(f"{LOG_FILE}: no line reads back as {cells}")


def _line(row: tuple[str, ...] | list[str], separator: str) -> bytes:
    written = io.StringIO()
    csv.writer(written, delimiter=separator, lineterminator="\n").writerow(row)
    return written.getvalue().encode()


def _plain(raw: bytes) -> str:
    return re.sub(r"\r\n?", "\n", raw.decode("latin-1"))
