"""The log of a day in plain words and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.folder.log.event import Event, Kind, cells_of, standing
from sunsched.folder.log.log import Log
from sunsched.folder.text import words
from sunsched.show.layout import heading, table, wrapped

Record = dict[str, object]

WIDTH = 80


def log_text(day: Day, log: Log, width: int = WIDTH) -> str:
    """Write what has happened, and how far the day has come."""
    lines = [*heading(day, width), ""]
    if log.events:
        held = {event.number for event in standing(log.events)}
        rows = [
            (str(event.number), clock(day, event.at), _taken_back(day, event, held))
            for event in log.events
        ]
        lines += table(("no.", "time", "what happened"), rows, width, 2)
    else:
        lines.append("nothing is noted yet")
    lines.append("")
    for line in _now(day, log):
        lines += wrapped(line, width)
    return "\n".join(lines)


def noted_text(day: Day, log: Log, events: Iterable[Event]) -> str:
    """Write events that were just noted, one a line; one taken back is named."""
    lines = []
    for event in events:
        text = event_text(day, event)
        if event.undone is not None:
            text += f": {event_text(day, log.events[event.undone - 1])}"
        if event.kind is Kind.LATE:
            end = event.at + timedelta(minutes=event.minutes or 0)
            text += f", from {clock(day, event.at)} to {clock(day, end)}"
        lines.append(f"{event.number}  {clock(day, event.at)}  {text}")
    return "\n".join(lines)


def event_text(day: Day, event: Event) -> str:
    """Say one event in plain words."""
    whom, by_plan = event.subject, ", by the plan" if event.by_plan else ""
    since = f" from {clock(day, event.since)}" if event.since != event.at else ""
    until = "" if event.until is None else f" until {clock(day, event.until)}"
    match event.kind:
        case Kind.ROLLED:
            return f"{whom} rolls{by_plan}"
        case Kind.DONE | Kind.CUT:
            return f"{whom} {event.kind}{by_plan}"
        case Kind.MORE:
            return f"{whom} takes {event.minutes} min more"
        case Kind.LATE:
            return f"{event.minutes} min lost"
        case Kind.GONE | Kind.HERE | Kind.CLOSED | Kind.OPEN:
            return f"{whom} {event.kind}{since}"
        case Kind.CLOUD:
            return f"cloud cover {round(100 * (event.cover or 0))}%{since}{until}"
        case Kind.MEAL:
            return f"lunch begins{by_plan}"
        case Kind.NOTE:
            return f"note: {whom}"
        case Kind.ADD if event.shot is not None:
            shot = event.shot
            return (
                f"{shot.id} added: {shot.description} "
                f"({shot.size}, {shot.spot}, {shot.shoot_min} min)"
            )
    return f"event {event.undone} taken back"


def log_record(day: Day, log: Log) -> Record:
    """Give the log and how far the day has come."""
    state = log.state
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "events": event_records(day, log.events),
        "standing": [event.number for event in standing(log.events)],
        "running": None if state.running is None else state.running.subject,
        "made": list(state.made),
        "cut": _cut(day, log),
        "to_come": _to_come(day, log),
        "meal_start": None if state.meal is None else cells_of(state.meal, day)["at"],
        "warnings": [str(warning) for warning in log.warnings],
    }


def event_records(day: Day, events: Iterable[Event]) -> list[Record]:
    """Give events by the columns of the log, those that are blank left out."""
    return [{**cells_of(event, day), "number": event.number} for event in events]


def _taken_back(day: Day, event: Event, held: set[int]) -> str:
    text = event_text(day, event)
    if event.number in held or event.kind is Kind.UNDO:
        return text
    return f"(taken back) {text}"


def _now(day: Day, log: Log) -> Iterator[str]:
    state = log.state
    if state.running is not None:
        shot = state.shots[state.running.subject]
        minutes = shot.shoot_min + state.more_min.get(shot.id, 0)
        yield (
            f"rolling: {shot.id} since {clock(day, state.running.at)}, {minutes} min expected: "
            f"{shot.description}"
        )
    told = (("made", state.made), ("cut", _cut(day, log)), ("to come", _to_come(day, log)))
    for name, ids in told:
        if ids or name == "made":
            yield f"{name}: {', '.join(ids) or 'nothing'} ({len(ids)} of {len(state.shots)})"
    if state.meal is not None:
        yield f"lunch: began at {clock(day, state.meal.at)}, {day.meal.length_min} min"
    else:
        yield f"lunch: to begin by {clock(day, day.meal.latest)}"


def _cut(day: Day, log: Log) -> list[str]:
    """Give the shots that were cut on the day, then those that a decision cuts."""
    over = {*log.state.made, *log.state.cut}
    if log.state.running is not None:
        over.add(log.state.running.subject)
    return [*log.state.cut, *sorted(day.cut_ids - over, key=words.natural_key)]


def _to_come(day: Day, log: Log) -> list[str]:
    state = log.state
    running = () if state.running is None else (state.running.subject,)
    over = {*state.made, *_cut(day, log), *running}
    return sorted((one for one in state.shots if one not in over), key=words.natural_key)
