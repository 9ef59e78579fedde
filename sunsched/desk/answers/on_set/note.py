"""A tap noted in the log of the day, once however often it is sent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sunsched.day.model import Day
from sunsched.desk.answers.known import known
from sunsched.desk.work.worker import Memory
from sunsched.errors import FolderError, SunschedError, WriteRefused
from sunsched.folder.log.course import begin
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.log.forgotten import put_in_place
from sunsched.folder.log.log import Log, note_events
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.saved.revisions import newest_revision
from sunsched.saved.silence import Wanted, went_as_planned
from sunsched.show.text.log import noted_text

AS_PLANNED = "as-planned"
NO_PLAN = "no plan is saved that the day could have gone by"
Record = dict[str, Any]


class _Already(Exception):
    """The tap is in the log: it was noted before, and its answer did not arrive."""

    def __init__(self, events: Sequence[Event]) -> None:
        super().__init__()
        self.events = events


def answer(memory: Memory, *, folder: str, tap: Record) -> Iterator[Record]:
    """Note a tap; give the numbers of its events, or why the log refuses it.

    Parameters
    ----------
    tap : `event`, `subject` and `value` as the log has them, `at`, `since` and `until` in
        milliseconds since 1970; `seen`, the events that the phone knew of; `again`, whether it was
        sent before; `forgotten`, whether it is to be put in its place

    Raises
    ------
    SunschedError
        When the day folder is at fault or cannot be written: the tap may be sent again later.
    """
    path = Path(folder)
    one = known(memory, path)
    day, wanted = one.reading.day, _wanted(path, one.reading.day, tap)

    def still(log: Log) -> Sequence[Mapping[str, str]]:
        if tap["again"]:
            there = _noted_before(day, log, tap, wanted)
            if there:
                raise _Already(there)
        return wanted(log)

    try:
        log, events = note_events(path, day, still)
    except _Already as found:
        yield {"events": [event.number for event in found.events], "text": ""}
    except WriteRefused:
        raise
    except SunschedError as error:
        last = one.log.state.last
        is_early = last is not None and _moment(tap["at"]) < last.at and tap["event"] != "undo"
        yield {"refused": _told(error), "is_early": is_early and tap["event"] != AS_PLANNED}
    else:
        numbers = [event.number for event in events]
        yield {"events": numbers, "text": noted_text(day, log, events)}


def _told(error: SunschedError) -> str:
    """Tell why a tap is refused: the page shows which it is, and has buttons instead of options."""
    if not isinstance(error, FolderError):
        return str(error)
    faults = (replace(one, hint="" if "--" in one.hint else one.hint) for one in error.faults)
    return "\n".join(str(replace(one, file="", line=None, column=""))[2:] for one in faults)


def _wanted(folder: Path, day: Day, tap: Record) -> Wanted:
    """Give the cells of the events that a tap asks to note."""
    at = _moment(tap["at"])
    if tap["event"] == AS_PLANNED:
        saved = newest_revision(folder)
        if saved is None:
            return _without_plan
        return went_as_planned(day, saved, at)
    times = {name: tap[key] for name, key in (("from", "since"), ("until", "until"))}
    cells = {
        "event": tap["event"],
        "subject": tap["subject"],
        "value": tap["value"],
        "at": at.isoformat(),
        **{name: _moment(ms).isoformat() for name, ms in times.items() if ms is not None},
    }
    if tap["forgotten"]:
        return lambda log: [dict(one) for one in put_in_place(day, log, [(at, cells)])]
    return lambda _: [cells]


def _without_plan(_: Log) -> Sequence[dict[str, str]]:
    raise SunschedError(NO_PLAN)


def _noted_before(day: Day, log: Log, tap: Record, wanted: Wanted) -> list[Event]:
    """Find a tap among the events that its phone did not know of; empty where it is not there."""
    news = log.events[tap["seen"] :]
    if tap["event"] != AS_PLANNED:
        return [event for event in news if _is_of(event, tap)][:1]
    try:
        rows = wanted(_log_before(day, log, tap["seen"]))
    except SunschedError:
        return []
    asked = [(row["event"], row["subject"], datetime.fromisoformat(row["at"])) for row in rows]
    found = [event for event in news if (str(event.kind), event.subject, event.at) in asked]
    return found if len(found) >= len(asked) else []


def _is_of(event: Event, tap: Record) -> bool:
    """Say whether an event is what a tap says."""
    same = event.kind.value == tap["event"] and event.subject == words.clean(tap["subject"])
    if same and event.kind is Kind.UNDO:
        return str(event.undone) == str(tap["value"])
    amount = event.minutes if event.minutes is not None else event.cover
    told = None if amount is None else float(tap["value"] or "nan")
    since = event.at if tap["since"] is None else _moment(tap["since"])
    until = None if tap["until"] is None else _moment(tap["until"])
    times = (event.at, event.since, event.until) == (_moment(tap["at"]), since, until)
    return same and times and amount == told


def _log_before(day: Day, log: Log, number: int) -> Log:
    """Give the log as it was with its first events alone."""
    course, events = begin(day), log.events[:number]
    for event in events:
        course.take(event, Where(file=""), Findings())
    return Log(events=events, state=course.now, warnings=())


def _moment(ms: int) -> datetime:
    return datetime.fromtimestamp(ms / 1000, UTC)
