"""The rows of an order as they stand in a table or a saved revision, not yet checked for sense.

A table is someone's own spreadsheet, so only its `id` and time columns are read, and a line above
its header does no harm.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

from sunsched.day.model import Day
from sunsched.folder.intake import source
from sunsched.folder.intake.header import CLOCK
from sunsched.folder.intake.titles import columns_for
from sunsched.folder.store import files
from sunsched.folder.store.files import Files
from sunsched.folder.tables import table, workbook
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line, Row
from sunsched.folder.text import words
from sunsched.folder.text.clock import Calendar, clock_time
from sunsched.folder.text.findings import Findings, Where, shown
from sunsched.folder.text.words import WordError
from sunsched.saved.revisions import read_revision

ID_COLUMNS = ("id", "shot", "shot_id")
# All of them say when the camera rolls.
TIME_COLUMNS = (
    *("time", "roll", "start", "roll_start", "roll_start_local"),
    *("rolls_from", "likely_from"),
)
KIND = "kind"  # a sheet of this program says what each row is
OFFSET = "utc_offset_min"  # says which of two equal hours is meant, when a clock is put back
LEFT_OUT = "left-out"
SECOND_MEAL = "second-meal"  # it is eaten as the work goes on, so it has no place in an order
FAR = timedelta(days=3)  # no zone is so far from another
MAX_ROWS = 1_000  # of an order; a day has far fewer shots
HEADER_HINT = "put a first line such as `id,time` above the rows"

_MARKED = re.compile(r"^'(?=[=+\-@])")  # a .csv of this program writes such an id with `'`
_DATED = re.compile(r"\d{4}-\d{2}-\d{2}[T ](\d{2}:\d{2}(?::\d{2})?)(Z|[+-]\d{2}:\d{2})?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One row as written: where it stands, its id, what kind it says it is, and its time."""

    file: str
    line: int | None
    text: str
    kind: str
    when: datetime | None

    def at(self, column: str) -> Where:
        """Say where a cell of it stands."""
        return Where(file=self.file, line=self.line, column=column)


def table_entries(path: Path, day: Day, findings: Findings) -> list[Entry] | None:
    """Read the rows of a .csv, .xlsx or .ods file; None, with the faults noted, without any."""
    where = Where(file=shown(path.name or "ORDER"))
    if not _is_file(path):
        beside = [one.name for one in path.parent.iterdir()] if path.parent.is_dir() else []
        expected = "a .csv, .xlsx or .ods file, such as monday.csv, or a saved revision's number"
        hint = "" if path.is_dir() else words.did_you_mean(path.name, beside)
        if files.is_dangling(path):
            findings.fault(where, files.LINK_TO_NOTHING, str(path))
            return None
        written = "" if path == Path() else str(path)
        findings.fault(where, "no such order", written, expected=expected, hint=hint)
        return None
    path = path.resolve()
    found = Files(folder=path.parent, names=(path.name,))
    own = Findings()
    sheet: Sheet | None = None
    if path.suffix.casefold() in workbook.ENDINGS:
        raw = files.read_bytes(found, path.name, own)
        sheets = None if raw is None else workbook.book_sheets(raw, path.name, own)
        sheet = _sheet_of(sheets) if sheets else None
        if sheets == []:
            own.fault(where, "a workbook without a sheet")
    else:
        text = files.read_text(found, path.name, own)
        sheet = None if text is None else source.text_sheet(text, path.name, own, is_head=is_head)
    if sheet is None:
        findings.faults[:0] = own.faults
        findings.warnings.extend(own.warnings)
        return None
    return sheet_entries(sheet, path.name, own, day, findings)


def sheet_entries(
    sheet: Sheet, name: str, own: Findings, day: Day, findings: Findings
) -> list[Entry] | None:
    """Read the rows of a sheet; None, with the faults noted, without any.

    Parameters
    ----------
    name : of the file, for faults
    own : what was found as the sheet was cut into cells
    """
    narrow = _narrowed(sheet.lines, Where(file=shown(name)), day, findings)
    # What stands in a column that is not read cannot be at fault.
    read = {*ID_COLUMNS, *TIME_COLUMNS, KIND, OFFSET, ""}
    findings.faults[:0] = [one for one in own.faults if table.column_name(one.column) in read]
    findings.warnings.extend(own.warnings)
    if narrow is None:
        return None
    rows = table.table_of(narrow, name, ("id", "time", KIND, OFFSET), findings)
    if rows is not None and len(rows.rows) > MAX_ROWS:
        at = Where(file=name, line=rows.rows[MAX_ROWS].line)
        findings.fault(at, f"{len(rows.rows):,} rows", expected=f"at most {MAX_ROWS:,}")
        return None
    return None if rows is None else [*_entries(rows.rows, day, findings)]


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:
        return False  # a name that the system cannot hold is a file that is not there


def _sheet_of(sheets: Sequence[Sheet]) -> Sheet:
    """Give the sheet called `order`, else the first with a head, else the first."""
    named = [sheet for sheet in sheets if sheet.name.casefold() == "order"]
    headed = [sheet for sheet in sheets if any(is_head(cells) for _, cells in sheet.lines)]
    return [*named, *headed, *sheets][0]


def is_head(cells: Sequence[str | None]) -> int:
    """Give how many columns of an order a line names, 0 where ids are not among them."""
    named = {_column(cell or "") for cell in cells} - {""}
    return len(named) if "id" in named else 0


def _column(title: str) -> str:
    """Give the column of an order that a title names, as people name those of shot lists too."""
    name = table.column_name(title)
    if name in ID_COLUMNS or "id" in columns_for(title)[:1]:
        return "id"
    if name in TIME_COLUMNS or CLOCK in columns_for(title):
        return "time"
    return name if name in (KIND, OFFSET) else ""


def _narrowed(lines: list[Line], where: Where, day: Day, findings: Findings) -> list[Line] | None:
    """Keep the header, wherever it stands, the lines below it and the columns that are read."""
    every = {shot.id.casefold() for shot in day.shots}

    def ids_in(at: int) -> int:
        cells = (words.clean((row[at] if at < len(row) else "") or "") for _, row in below_head)
        return sum(cell.casefold() in every for cell in cells)

    for start, (line, cells) in enumerate(lines):
        if not is_head(cells):
            continue
        below_head = lines[start + 1 :]
        titles = [table.column_name(cell or "") for cell in cells]
        named = [_column(cell or "") for cell in cells]
        columns: dict[str, int] = {}
        for name, own in (("id", ID_COLUMNS), ("time", TIME_COLUMNS), (KIND, ()), (OFFSET, ())):
            # Of several that mean the same, the one that holds the day's ids, then the one that
            # has our own word for it: `Shot` is as often what is seen as its number.
            places = [at for at, one in enumerate(named) if one == name]
            if places:
                known = [titles.index(one) for one in own if one in titles]
                columns[name] = [*known, *places][0]
                if name == "id":
                    columns[name] = max([*known, *places], key=ids_in)
        if "time" not in columns:
            for title in titles:
                near = words.did_you_mean(title, TIME_COLUMNS) if title else ""
                if near and title not in columns:
                    at = Where(file=where.file, line=line)
                    findings.warn(at, "a column that is not read", title, hint=near)
        read = columns.values()
        kept: list[Line] = [(line, list(columns))]
        for below, row in below_head:
            kept.append((below, [row[place] if place < len(row) else "" for place in read]))
        return kept
    first = next((cells for _, cells in lines if any(cells)), [])
    bare = any(words.clean(cell or "").casefold() in every for cell in first)
    findings.fault(
        where, "no column `id`", expected="a header line", hint=HEADER_HINT if bare else ""
    )
    return None


def _entries(rows: tuple[Row, ...], day: Day, findings: Findings) -> Iterator[Entry]:
    for row in rows:
        kind = words.key_of(row.cells.get(KIND, ""))
        if kind in (LEFT_OUT, SECOND_MEAL) or "id" in row.unreadable:
            continue
        when = None
        if "time" in row.cells:
            reading = findings.read(row.at("time"), row.cells["time"], _clock)
            when = _moment(reading, day, row.at("time"), findings)
        if when is not None:
            when = _told_apart(when, row.cells.get(OFFSET, ""), day)
        text = _MARKED.sub("", row.cells.get("id", ""))
        yield Entry(file=row.file, line=row.line, text=text, kind=kind, when=when)


def _clock(text: str) -> time | datetime:
    """Read when a shot rolls: a clock time, with a date before it or an end after it."""
    word = words.plain_hyphens(text)
    dated = _DATED.fullmatch(word)
    expected = "a clock time such as 06:25"
    try:
        if dated and dated[2]:
            return datetime.fromisoformat(word)
        return clock_time(dated[1] if dated else re.split(r"\s*(?:-|\bto\b)\s*", word)[0])
    except WordError as error:
        raise WordError(error.problem, expected=expected, hint=error.hint) from None
    except ValueError:
        raise WordError("not a time", expected=expected) from None


def _moment(
    reading: time | datetime | None, day: Day, where: Where, findings: Findings
) -> datetime | None:
    """Give the moment in UTC; a time without a date is the one nearest to the day's hours."""
    if reading is None:
        return None
    if isinstance(reading, datetime):
        if abs(reading.date() - day.date) > FAR:
            problem = f"not a time of {day.date} or the day after"
            findings.fault(where, problem, f"{reading:%Y-%m-%d}")
            return None
        return reading.astimezone(UTC)
    zone = day.place.zone
    call = day.hours.crew_call.astimezone(zone).time()
    calendar = Calendar(date=day.date, zone=zone, call=call)
    return calendar.nearest(reading, day.hours, where, findings)


def _told_apart(when: datetime, offset: str, day: Day) -> datetime:
    """Give the later of two moments that a clock shows alike, where the row says it is that one."""
    later = when.astimezone(day.place.zone).replace(fold=1)
    apart = (later.utcoffset() or timedelta()) / timedelta(minutes=1)
    return later.astimezone(UTC) if offset == f"{apart:g}" else when


def revision_entries(number: int, folder: Path) -> list[Entry]:
    """Read the shots and the meal of a saved revision, by time.

    Raises
    ------
    FolderError
        As `read_revision`.
    """
    revision = read_revision(folder, number)
    timetable = revision.timetable
    rows = [(roll.roll_start, roll.shot_id, "") for roll in timetable.rolls]
    if timetable.meal_start is not None:
        rows.append((timetable.meal_start, "", "meal"))
    return [
        Entry(file=revision.file, line=None, text=shot_id, kind=kind, when=when)
        for when, shot_id, kind in sorted(rows, key=lambda row: row[0])
    ]
