"""What can be noted of a shooting day, one event at a time: facts, frozen, in UTC."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from sunsched.day.model import Day, Shot

BY_PLAN = "plan"  # the value of an event that was taken to be as planned


class Kind(StrEnum):
    """The word that an event is noted with."""

    ROLLED = "rolled"
    DONE = "done"
    CUT = "cut"
    MORE = "more"
    LATE = "late"
    GONE = "gone"
    HERE = "here"
    CLOSED = "closed"
    OPEN = "open"
    CLOUD = "cloud"
    MEAL = "meal"
    ADD = "add"
    NOTE = "note"
    UNDO = "undo"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One event of the day.

    Attributes
    ----------
    number : its place in the log, from 1
    at : when it happened
    kind : what happened
    subject : the shot's id, the name of the cast member or spot, or the words of a note; empty for
        other kinds
    minutes : those of `MORE` and `LATE`
    cover : that of `CLOUD`, 0 clear to 1 overcast
    since, until : from when to when it holds, for presence, spots and clouds; `until` None has no
        end, `since` is `at` where nothing else is said
    undone : number of the event that `UNDO` takes back
    shot : the new one of `ADD`
    cells : the row of the shot list that the new shot was read from, as columns and texts
    by_plan : whether nobody looked at a clock: a roll, its end or the meal was taken to be when the
        plan had it
    """

    number: int
    at: datetime
    kind: Kind
    since: datetime
    subject: str = ""
    minutes: int | None = None
    cover: float | None = None
    until: datetime | None = None
    undone: int | None = None
    shot: Shot | None = None
    cells: tuple[tuple[str, str], ...] = ()
    by_plan: bool = False


def standing(events: Iterable[Event]) -> tuple[Event, ...]:
    """Give the events that hold: those neither taken back nor taking one back."""
    kept: list[Event] = []
    for event in events:
        if event.kind is not Kind.UNDO:
            kept.append(event)
        elif kept and kept[-1].number == event.undone:
            kept.pop()
    return tuple(kept)


def cells_of(event: Event, day: Day) -> dict[str, str]:
    """Give the cells of the row that an event is written as."""

    def local(when: datetime) -> str:
        return when.astimezone(day.place.zone).isoformat(timespec="minutes")

    values = (event.minutes, event.cover, event.undone)
    cells = {
        "number": str(event.number),
        "at": local(event.at),
        "event": event.kind.value,
        "subject": "" if event.kind is Kind.ADD else event.subject,
        "value": next(
            (repr(value) for value in values if value is not None), BY_PLAN * event.by_plan
        ),
        "from": local(event.since) if event.since != event.at else "",
        "until": "" if event.until is None else local(event.until),
        **dict(event.cells),
    }
    return {column: text for column, text in cells.items() if text}
