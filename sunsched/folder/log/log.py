"""The log of a shooting day, `log.csv`: what really happened, only ever added to."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from sunsched.day.model import Day
from sunsched.errors import Fault, FolderError
from sunsched.folder.log.course import Course, State, begin, clock
from sunsched.folder.log.event import Event, cells_of
from sunsched.folder.log.file import line_of, note_torn, read_rows, split_torn
from sunsched.folder.log.moments import Desk, desk_of, row_of
from sunsched.folder.log.row import read_event
from sunsched.folder.store import files
from sunsched.folder.store.files import LOG_FILE, TORN_FILE
from sunsched.folder.store.shared import append_lines
from sunsched.folder.tables.table import Row
from sunsched.folder.text.findings import Findings

MAX_EVENTS = 5_000
MAX_FAULTS = 300
LONG_AFTER = timedelta(hours=1)  # past the hard wrap, from which on a time is questioned

# Where the cells of an event stand on the command line.
SPOKEN = {
    "event": "",
    "subject": "",
    "value": "",
    "at": "--at",
    "from": "--from",
    "until": "--until",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """The events of a day in the order in which they were noted, and how far the day has come."""

    events: tuple[Event, ...]
    state: State
    warnings: tuple[Fault, ...]


def read_log(folder: Path | str, day: Day) -> Log:
    """Read the log of a day folder; one that is not there has no events.

    Parameters
    ----------
    folder : the day folder
    day : what it asks

    Returns
    -------
    Log
        The events, in order.

    Raises
    ------
    FolderError
        With everything at fault in it, such as a slip of a hand that edited it.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import date, time
    >>> from pathlib import Path
    >>> from sunsched.folder.starter import starter_texts
    >>> folder, place = Path(tempfile.mkdtemp()), sunsched.example_day().place
    >>> texts = starter_texts("A day", place, date(2027, 6, 9), (time(8), time(20)), 80, 260)
    >>> for name, text in texts.items():
    ...     _ = (folder / name).write_text(text, encoding="utf-8")
    >>> sunsched.read_log(folder, sunsched.read_day(folder)).events
    ()
    """
    findings = Findings()
    folder = Path(folder)
    found = files.open_folder(folder, findings)
    content = None
    if found is not None and LOG_FILE in found.names:
        content = files.read_bytes(found, LOG_FILE, findings)
    log, _ = _read(content or b"", desk_of(folder, day), findings)
    return log


def note_events(
    folder: Path, day: Day, wanted: Callable[[Log], Sequence[Mapping[str, str]]]
) -> tuple[Log, tuple[Event, ...]]:
    """Add events to the log; they are on the disk when this returns.

    Several terminals may do so at once: each reads what the others have noted before it adds its
    own, and nobody writes meanwhile.

    Parameters
    ----------
    folder : the day folder
    day : what it asks
    wanted : gives the cells of the events to add, by the log's columns, for the log as it stands;
        numbers are not needed

    Returns
    -------
    Log, tuple of Event
        The log with the new events, and those.

    Raises
    ------
    FolderError
        When the log is at fault or an event contradicts it; nothing is written then.
    WriteRefused
        When the file cannot be written; the log is then as it was.
    """
    desk = desk_of(folder, day)
    done: list[tuple[Log, tuple[Event, ...]]] = []

    def more(content: bytes) -> bytes:
        after, events = _with_events(content, desk, wanted)
        whole, _ = split_torn(content)
        added = b""
        for event in events:
            added += line_of(whole + added, cells_of(event, day))
        done.append((after, events))
        return added

    append_lines(folder / LOG_FILE, folder / TORN_FILE, split_torn, more)
    return done[-1]


def imagine_events(
    folder: Path, day: Day, wanted: Callable[[Log], Sequence[Mapping[str, str]]]
) -> tuple[Log, tuple[Event, ...]]:
    """Give the log as `note_events` would leave it, and write nothing."""
    findings = Findings()
    found = files.open_folder(folder, findings)
    content = None
    if found is not None and LOG_FILE in found.names:
        content = files.read_bytes(found, LOG_FILE, findings)
    if findings.faults:
        raise FolderError(tuple(findings.faults))
    return _with_events(content or b"", desk_of(folder, day), wanted)


def _with_events(
    content: bytes, desk: Desk, wanted: Callable[[Log], Sequence[Mapping[str, str]]]
) -> tuple[Log, tuple[Event, ...]]:
    """Read a log and the events that are to follow: the log with them, and those."""
    findings = Findings()
    log, course = _read(content, desk, findings)
    events = _taken(wanted(log), len(log.events), desk, course, findings)
    after = Log(events=log.events + events, state=course.now, warnings=tuple(findings.warnings))
    return after, events


def _read(content: bytes, desk: Desk, findings: Findings) -> tuple[Log, Course]:
    whole, torn = split_torn(content)
    note_torn(whole, torn, findings)
    found = read_rows(whole, findings)
    course = begin(desk.day)
    events: list[Event] = []
    sure = True
    for row in found.rows[:MAX_EVENTS] if found else ():
        if len(findings.faults) > MAX_FAULTS:
            problem = "not read from here on, as so much above is at fault"
            findings.fault(row.at(""), problem)
            break
        event = read_event(row, desk, course.now, len(events) + 1, findings)
        if event is None:
            # The rows below may be right after what this row was meant to say.
            sure = False
            continue
        if sure:
            sure = _check_number(row, event, findings)
        course.take(event, row.at("event"), findings if sure else Findings())
        events.append(event)
    if found and len(found.rows) > MAX_EVENTS:
        findings.fault(
            found.rows[MAX_EVENTS].at(""),
            f"{len(found.rows):,} events",
            expected=f"at most {MAX_EVENTS:,}",
        )
    if findings.faults:
        raise FolderError(tuple(findings.faults))
    log = Log(events=tuple(events), state=course.now, warnings=tuple(findings.warnings))
    return log, course


def _check_number(row: Row, event: Event, findings: Findings) -> bool:
    """Look at an event's number: a row taken out or put in would change what saved plans knew."""
    written = row.cells.get("number", "")
    right = written == str(event.number)
    if not right:
        findings.fault(row.at("number"), "not the next number", written, expected=str(event.number))
    return right


def _taken(
    wanted: Sequence[Mapping[str, str]],
    number: int,
    desk: Desk,
    course: Course,
    findings: Findings,
) -> tuple[Event, ...]:
    """Read the words of new events and see that each may follow.

    Raises
    ------
    FolderError
        With all that speaks against them.
    """
    events: list[Event] = []
    for cells in wanted:
        word = cells.get("event", "")
        row = row_of(cells, word or LOG_FILE, 0)
        number += 1
        event = read_event(row, desk, course.now, number, findings)
        if event is not None:
            course.take(event, row.at("event"), findings)
            events.append(event)
            _question(event, row, desk.day, findings)
    if number > MAX_EVENTS:
        findings.fault(row_of({}, LOG_FILE, 0).at(""), f"more than {MAX_EVENTS:,} events")
    if findings.faults:
        raise FolderError(tuple(_spoken(fault) for fault in findings.faults))
    return tuple(events)


def _question(event: Event, row: Row, day: Day, findings: Findings) -> None:
    """Warn of an event long after the day: a slip of the clock is more likely."""
    if event.at > day.hours.hard_wrap + LONG_AFTER:
        findings.warn(
            row.at("at"),
            "long after the hard wrap",
            clock(day, event.at),
            expected=f"up to {clock(day, day.hours.hard_wrap)}",
            hint="it is noted; `undo` takes it back",
        )


def _spoken(fault: Fault) -> Fault:
    """Give a fault of words on the command line, which stand in no line of a file."""
    column = SPOKEN.get(fault.column, fault.column)
    return replace(fault, line=None, column=column)
