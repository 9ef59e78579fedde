"""A log that has been silent for long, and what would have happened since by the saved plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TypeAlias

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.errors import SunschedError
from sunsched.folder.log.event import Event
from sunsched.folder.log.log import Log, note_events
from sunsched.folder.text.words import listed
from sunsched.saved.plan_file import Revision
from sunsched.underway.as_planned import events_as_planned

SILENT = timedelta(minutes=45)  # without a word of the crew's work
Cells = dict[str, str]
# Gives the cells of the events to note, for the log as it stands.
Wanted: TypeAlias = Callable[[Log], Sequence[Cells]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Silence:
    """What nobody has noted: the events by the plan, and what they come to in words."""

    wanted: Wanted
    text: str


def find_silence(asked: Day, log: Log, saved: Revision, at: datetime) -> Silence | None:
    """Give what would have happened by the plan since the last event; None where that is recent.

    None too where the plan has nothing for that time or the day has left it: nobody could say more
    than what is noted.
    """
    last = asked.hours.crew_call if log.state.last is None else log.state.last.at
    if at - last < SILENT:
        return None
    wanted = went_as_planned(asked, saved, at)
    try:
        rows = wanted(log)
    except SunschedError:
        return None
    return Silence(wanted=wanted, text=_assumed(asked, log, rows))


def went_as_planned(asked: Day, saved: Revision, until: datetime) -> Wanted:
    """Give the events by which a day went by a saved plan up to a moment, for its log."""
    planned_day = asked
    if saved.average is not None:
        from sunsched.average.likely import likely_day

        planned_day = likely_day(asked)

    def wanted(log: Log) -> Sequence[Cells]:
        return events_as_planned(planned_day, log, saved.timetable, until)

    return wanted


def note_unless_more(
    folder: Path, asked: Day, wanted: Wanted, known: int
) -> tuple[Log, tuple[Event, ...]]:
    """Note events, unless more has been noted since the log was read.

    Parameters
    ----------
    known : events that the log had then

    Raises
    ------
    SunschedError
        When somebody has noted something meanwhile; nothing is written then.
    """

    def still(log: Log) -> Sequence[Cells]:
        if len(log.events) != known:
            raise SunschedError("something was noted meanwhile\n  hint: replan once more")
        return wanted(log)

    return note_events(folder, asked, still)


def _assumed(asked: Day, log: Log, rows: Sequence[Cells]) -> str:
    """Say what would have happened by the plan."""
    done = [row["subject"] for row in rows if row["event"] == "done"]
    rolls = [
        row["subject"] for row in rows if row["event"] == "rolled" and row["subject"] not in done
    ]
    parts = []
    if done:
        parts.append(f"{listed(done, 'and')} {'is' if len(done) == 1 else 'are'} made")
    if rolls:
        parts.append(f"{rolls[0]} rolls")
    if any(row["event"] == "meal" for row in rows):
        parts.append("lunch has begun")
    last = log.state.last
    since = "is noted" if last is None else f"is noted since {clock(asked, last.at)}"
    return f"nothing {since}; by the plan {listed(parts, 'and')}"
