"""When an event was, and from when until when it holds: moments bounded to the day."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

from sunsched.day.model import Day, Span
from sunsched.errors import Fault, FolderError
from sunsched.folder.log.course import clock
from sunsched.folder.settings import document
from sunsched.folder.settings.facts import Facts, read_facts
from sunsched.folder.settings.reader import read_settings
from sunsched.folder.store import files
from sunsched.folder.store.files import SETTINGS_FILE
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row
from sunsched.folder.text import words
from sunsched.folder.text.clock import Calendar, clock_time
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

# Events are noted on the way to the set and after the wrap too.
AROUND = timedelta(hours=6)
FAR = timedelta(days=3)
AT_EXPECTED = "a time such as 06:40 or 2027-06-09T06:40+02:00"
# A day that is put on another date, or at another place, leaves what was noted of it behind.
OUT_HINT = (
    "if `day.toml` was put right after this was noted, call `log.csv` something else, such as "
    "`log-before.csv`, and note what happened once more"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What reading the events of a day needs: the day, what `day.toml` says, and the clock."""

    day: Day
    facts: Facts
    calendar: Calendar


def span_of(day: Day) -> Span:
    """Give the hours whose events belong to a day."""
    return Span(start=day.hours.crew_call - AROUND, end=day.hours.hard_wrap + AROUND)


def desk_of(folder: Path, day: Day) -> Desk:
    """Read what an added shot needs of `day.toml` beside the day.

    Raises
    ------
    FolderError
        When the file is not what the day was read from any more.
    """
    findings = Findings()
    found = files.open_folder(folder, findings)
    text = written = None
    if found is not None:
        text = files.read_text(found, SETTINGS_FILE, findings, strict=True)
    if text is not None:
        written = document.parse(text, SETTINGS_FILE, findings)
    if written is not None:
        facts = read_facts(written, read_settings(written, findings), findings)
        if facts.calendar is not None and not findings.faults:
            return Desk(day=day, facts=facts, calendar=facts.calendar)
    raise FolderError(tuple(findings.faults) or (Fault(file=SETTINGS_FILE, problem="changed"),))


def read_moment(desk: Desk, text: str, option: str = "--at") -> datetime:
    """Read a time of the day on its own, from an option of the command line.

    Raises
    ------
    FolderError
        When it is none, or not one of the day.
    """
    findings = Findings()
    row = row_of({"at": text}, option, 0)
    found = Cells(row=row, findings=findings).need(
        "at", partial(moment, desk, row.at(""), findings), None, AT_EXPECTED
    )
    check_span(desk, row, "at", found, findings)
    if found is None or findings.faults:
        raise FolderError(tuple(replace(one, line=None, column="") for one in findings.faults))
    return found


def moment(desk: Desk, where: Where, findings: Findings, text: str) -> datetime | None:
    """Read a clock time of the day, or a date and time with its offset."""
    plain = words.plain_hyphens(text)
    if not re.match(r"\d+-", plain):
        return desk.calendar.nearest(clock_time(plain), desk.day.hours, where, findings)
    try:
        found = datetime.fromisoformat(plain)
    except ValueError:
        raise WordError("not a time", expected=AT_EXPECTED) from None
    if found.tzinfo is None:
        raise WordError("a date without the time and its offset", expected=AT_EXPECTED)
    if found.second or found.microsecond:
        raise WordError("a time with seconds", expected=AT_EXPECTED)
    # Zones are less than a day apart; beside the first and the last year there is nothing to go to.
    if abs(found.date() - desk.day.date) > FAR:
        raise WordError("not a time of this day", expected=_span_text(desk))
    return found.astimezone(UTC)


def check_span(
    desk: Desk, row: Row, column: str, when: datetime | None, findings: Findings
) -> None:
    span = span_of(desk.day)
    if when is not None and not span.start <= when <= span.end:
        expected = _span_text(desk)
        hint = OUT_HINT if row.line else ""
        findings.fault(
            row.at(column), "outside the day", row.cells[column], expected=expected, hint=hint
        )


def _span_text(desk: Desk) -> str:
    span, zone = span_of(desk.day), desk.day.place.zone
    start, end = (one.astimezone(zone) for one in (span.start, span.end))
    return f"from {start:%Y-%m-%d %H:%M} to {end:%Y-%m-%d %H:%M}"


def read_span(
    cells: Cells, desk: Desk, at: datetime | None
) -> tuple[datetime | None, datetime | None]:
    """Give from when to when the event holds; an end past midnight is that of the next day."""
    row, findings = cells.row, cells.findings
    since = cells.get("from", partial(moment, desk, row.at("from"), findings), at)
    until = cells.get("until", partial(moment, desk, row.at("until"), findings), None)
    begins = [one for one in (at, since) if one is not None]
    begin, end = max(begins, default=None), span_of(desk.day).end
    if until is not None and begin is not None and until <= begin:
        is_clock = not re.match(r"\d+-", words.plain_hyphens(row.cells["until"]))
        if is_clock and until + timedelta(days=1) <= end:
            until += timedelta(days=1)
    check_span(desk, row, "until", until, findings)
    if "from" in row.cells:
        check_span(desk, row, "from", since, findings)
    for column, later, sooner in (("from", since, at), ("until", until, begin)):
        if column not in row.cells or later is None or sooner is None:
            continue
        least = sooner + timedelta(minutes=column == "until")
        if later < least:
            findings.fault(
                row.at(column),
                "too early",
                clock(desk.day, later),
                expected=f"from {clock(desk.day, least)} to {clock(desk.day, end)}",
            )
    return since, until


def row_of(cells: Mapping[str, str], file: str, line: int) -> Row:
    """Give the row of the log that the words of an event will become."""
    kept = {column: text for column, text in cells.items() if words.clean(text)}
    return Row(file=file, line=line, cells=kept, unreadable=frozenset())
