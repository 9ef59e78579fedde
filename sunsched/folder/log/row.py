"""One row of the log, or the words of an event about to be noted, turned into an `Event`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

from sunsched.day.model import Day, Shot, Span
from sunsched.errors import Fault, FolderError
from sunsched.folder.log.course import State, clock
from sunsched.folder.log.event import BY_PLAN, Event, Kind
from sunsched.folder.log.shot import read_added, shot_cells
from sunsched.folder.settings import document
from sunsched.folder.settings.facts import Facts, find, read_facts
from sunsched.folder.settings.reader import read_settings
from sunsched.folder.shot_list.columns import COLUMNS as SHOT_COLUMNS
from sunsched.folder.store import files
from sunsched.folder.store.files import SETTINGS_FILE
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row
from sunsched.folder.text import words
from sunsched.folder.text.clock import Calendar, clock_time
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.minutes import minutes as read_minutes
from sunsched.folder.text.words import WordError

COLUMNS = ("number", "at", "event", "subject", "value", "from", "until", *SHOT_COLUMNS)
EVERY = frozenset({"number", "at", "event"})
MAX_LOST_MIN = 720
# Events are noted on the way to the set and after the wrap too.
AROUND = timedelta(hours=6)

SHOT_KINDS = frozenset({Kind.ROLLED, Kind.DONE, Kind.CUT, Kind.MORE})
PLANNED_KINDS = frozenset({Kind.ROLLED, Kind.DONE, Kind.MEAL})
CAST_KINDS = frozenset({Kind.GONE, Kind.HERE})
SPOT_KINDS = frozenset({Kind.CLOSED, Kind.OPEN})

# The cells that each kind has beside its number, time and word.
USES: dict[Kind, frozenset[str]] = {
    **dict.fromkeys((Kind.ROLLED, Kind.DONE), frozenset({"subject", "value"})),
    Kind.CUT: frozenset({"subject"}),
    Kind.MORE: frozenset({"subject", "value"}),
    Kind.LATE: frozenset({"value"}),
    **dict.fromkeys(CAST_KINDS | SPOT_KINDS, frozenset({"subject", "from"})),
    Kind.CLOUD: frozenset({"value", "from", "until"}),
    Kind.MEAL: frozenset({"value"}),
    Kind.ADD: frozenset(SHOT_COLUMNS),
    Kind.NOTE: frozenset({"subject"}),
    Kind.UNDO: frozenset({"value"}),
}
AT_EXPECTED = "a time such as 06:40 or 2027-06-09T06:40+02:00"
COVER_EXPECTED = "a number from 0 to 1, or per cent such as 80%"
NOTE_EXPECTED = f"a line of at most {words.MAX_DESCRIPTION} characters"


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


def read_event(row: Row, desk: Desk, state: State, number: int, findings: Findings) -> Event | None:
    """Read one event; None, with every fault of the row noted, when it cannot be read.

    Parameters
    ----------
    row : its cells as text
    desk : what reading needs
    state : how far the day has come, for the shots that there are
    number : the event's place in the log
    findings : where faults and warnings are noted
    """
    before = len(findings.faults)
    cells = Cells(row=row, findings=findings)
    kind = cells.need("event", _kind, None, words.listed(Kind))
    at = cells.need("at", partial(_moment, desk, row.at("at"), findings), None, AT_EXPECTED)
    _check_span(desk, row, "at", at, findings)
    if kind is None:
        return None
    for column, text in row.cells.items():
        if column not in EVERY | USES[kind]:
            hint = words.did_you_mean(column, USES[kind])
            findings.fault(row.at(column), f"not used by `{kind}`", text, hint=hint)
    subject, shot = _read_subject(cells, kind, desk, state)
    minutes = None
    if kind in (Kind.MORE, Kind.LATE):
        expected = words.a_whole_number(1, MAX_LOST_MIN)
        minutes = cells.need(
            "value", partial(read_minutes, low=1, high=MAX_LOST_MIN), None, expected
        )
    cover = undone = None
    if kind is Kind.CLOUD:
        cover = cells.need("value", _cover, None, COVER_EXPECTED)
    elif kind is Kind.UNDO:
        last = None if state.last is None else state.last.number
        undone = cells.get("value", partial(words.whole, low=1, high=number), last)
    by_plan = kind in PLANNED_KINDS and bool(cells.get("value", _by_plan, ""))
    since, until = _read_span(cells, desk, at)
    if at is None or since is None or len(findings.faults) > before:
        return None
    return Event(
        number=number,
        at=at,
        kind=kind,
        since=since,
        subject=subject,
        minutes=minutes,
        cover=cover,
        until=until,
        undone=undone,
        shot=shot,
        cells=shot_cells(row) if kind is Kind.ADD else (),
        by_plan=by_plan,
    )


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
        "at", partial(_moment, desk, row.at(""), findings), None, AT_EXPECTED
    )
    _check_span(desk, row, "at", found, findings)
    if found is None or findings.faults:
        raise FolderError(tuple(replace(one, line=None, column="") for one in findings.faults))
    return found


def _kind(text: str) -> Kind:
    found = {kind.value: kind for kind in Kind}.get(words.key_of(text))
    if found is None:
        hint = words.did_you_mean(text, Kind)
        raise WordError("not an event", expected=words.listed(Kind), hint=hint)
    return found


def _moment(desk: Desk, where: Where, findings: Findings, text: str) -> datetime | None:
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
    try:
        return found.astimezone(UTC)
    except OverflowError:
        raise WordError("not a time", expected=AT_EXPECTED) from None


def _by_plan(text: str) -> str:
    if words.key_of(text) != BY_PLAN:
        raise WordError("not how an event is known", expected=f"`{BY_PLAN}`, or nothing")
    return BY_PLAN


def _cover(text: str) -> float:
    plain = words.clean(text)
    whole = plain.removesuffix("%").rstrip()
    try:
        # Nobody writes 2 for twice the sky: it is a share up to 1, and per cent above.
        if plain.endswith("%") or (whole.isdecimal() and int(whole) > 1):
            return words.number(whole, 0, 100) / 100
        return words.number(plain, 0, 1)
    except WordError as error:
        raise WordError(error.problem, expected=COVER_EXPECTED, hint=error.hint) from None


def _check_span(
    desk: Desk, row: Row, column: str, when: datetime | None, findings: Findings
) -> None:
    span = span_of(desk.day)
    if when is not None and not span.start <= when <= span.end:
        zone = desk.day.place.zone
        start, end = (one.astimezone(zone) for one in (span.start, span.end))
        findings.fault(
            row.at(column),
            "outside the day",
            row.cells[column],
            expected=f"from {start:%Y-%m-%d %H:%M} to {end:%Y-%m-%d %H:%M}",
        )


def _read_span(
    cells: Cells, desk: Desk, at: datetime | None
) -> tuple[datetime | None, datetime | None]:
    """Give from when to when the event holds."""
    row, findings = cells.row, cells.findings
    since = cells.get("from", partial(_moment, desk, row.at("from"), findings), at)
    until = cells.get("until", partial(_moment, desk, row.at("until"), findings), None)
    _check_span(desk, row, "until", until, findings)
    if "from" in row.cells:
        _check_span(desk, row, "from", since, findings)
    for column, later, sooner in (("from", since, at), ("until", until, since)):
        if column not in row.cells or later is None or sooner is None:
            continue
        least = timedelta(minutes=column == "until")
        if later < sooner + least:
            findings.fault(
                row.at(column),
                "too early",
                clock(desk.day, later),
                expected=f"{clock(desk.day, sooner + least)} or later",
            )
    return since, until


def _read_subject(cells: Cells, kind: Kind, desk: Desk, state: State) -> tuple[str, Shot | None]:
    """Give the known shot, cast member or spot that the event is about, and the shot it adds."""
    if kind in SHOT_KINDS:
        ids = sorted(state.shots, key=words.natural_key)
        return _known(cells, ids, "shot", words.choice(ids, "shot")), None
    if kind in CAST_KINDS:
        names = [member.name for member in desk.day.cast]
        return _known(cells, names, "name", words.choice(names, "cast")), None
    if kind in SPOT_KINDS:
        names = [spot.name for spot in desk.day.spots]
        return _known(cells, names, "spot", words.choice(names, "spot")), None
    if kind is Kind.NOTE:
        text = partial(words.line_of_text, limit=words.MAX_DESCRIPTION)
        return cells.need("subject", text, "", NOTE_EXPECTED), None
    if kind is Kind.ADD:
        shot = read_added(cells, desk.facts, state.shots)
        return ("", None) if shot is None else (shot.id, shot)
    return "", None


def _known(cells: Cells, names: list[str], what: str, expected: str) -> str:
    cells.note_blank("subject", expected)
    text = cells.row.cells.get("subject")
    if text is None:
        return ""
    same = {name.casefold(): name for name in names}.get(words.plain_hyphens(text).casefold())
    found = same if what == "shot" else find(text, names)
    if found is None:
        cells.findings.fault(
            cells.row.at("subject"),
            f"no such {what}",
            text,
            expected=expected,
            hint=words.did_you_mean(text, names),
        )
    return found or ""


def row_of(cells: Mapping[str, str], file: str, line: int) -> Row:
    """Give the row of the log that the words of an event will become."""
    kept = {column: text for column, text in cells.items() if words.clean(text)}
    return Row(file=file, line=line, cells=kept, unreadable=frozenset())
