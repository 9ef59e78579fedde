"""How far a day has come by its log, and which event may follow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from sunsched.day.clock import AGAIN
from sunsched.day.model import Day, Shot
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.shot_list.columns import MAX_SHOOT
from sunsched.folder.shot_list.shots import MAX_SHOTS
from sunsched.folder.text.findings import Findings, Where

PRESENCE = {Kind.GONE: "cast", Kind.HERE: "cast", Kind.CLOSED: "spot", Kind.OPEN: "spot"}
OPPOSITE = {
    Kind.GONE: Kind.HERE,
    Kind.HERE: Kind.GONE,
    Kind.CLOSED: Kind.OPEN,
    Kind.OPEN: Kind.CLOSED,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """How far the day has come.

    `shots` are those of the list and the added ones by id, `running` is the event of the roll that
    goes on, `meal` that of lunch, `said` the last event about each cast member and spot, `last` the
    last event that stands.
    """

    shots: Mapping[str, Shot]
    last: Event | None = None
    running: Event | None = None
    made: tuple[str, ...] = ()
    cut: tuple[str, ...] = ()
    meal: Event | None = None
    more_min: Mapping[str, int] = field(default_factory=dict)
    said: Mapping[tuple[str, str], Kind] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Objection:
    """Why an event cannot follow; `column` is the cell of the log that says so."""

    column: str
    problem: str
    value: str | None = None
    expected: str = ""
    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The states of a day, one after each event that stands, so that one can be taken back."""

    day: Day
    states: list[State]

    @property
    def now(self) -> State:
        """How far the day has come."""
        return self.states[-1]

    def take(self, event: Event, where: Where, findings: Findings) -> None:
        """Add one event. What it contradicts is noted, and it is added all the same.

        So a log with one slip has one fault, not one more for each event after it.
        """
        for one in objections(self.day, self.now, event):
            at = replace(where, column=one.column)
            findings.fault(at, one.problem, one.value, expected=one.expected, hint=one.hint)
        if event.kind is not Kind.UNDO:
            self.states.append(_after(self.now, event))
        elif len(self.states) > 1:
            self.states.pop()


def begin(day: Day) -> Course:
    """Give the course of a day on which nothing has happened."""
    return Course(day=day, states=[State(shots={shot.id: shot for shot in day.shots})])


def clock(day: Day, when: datetime) -> str:
    """Write a moment on the local clock, with its date when that is not the day's.

    A star marks the second of two like hours, on the night when the clock is put back.
    """
    local = when.astimezone(day.place.zone)
    text = f"{local:%H:%M}" if local.date() == day.date else f"{local:%Y-%m-%d %H:%M}"
    return text + AGAIN * local.fold


def objections(day: Day, state: State, event: Event) -> Iterator[Objection]:
    """Give every contradiction between an event and what was noted before it."""
    last = state.last
    if event.kind is Kind.UNDO:
        yield from _taking_back(last, event)
        return
    if last is not None and event.at < last.at:
        yield Objection(
            column="at",
            problem="before the last event",
            value=clock(day, event.at),
            expected=f"{clock(day, last.at)} or later",
            hint="if it was forgotten, `--forgotten` puts it in its place; "
            f"`undo` takes back event {last.number}, `{last.kind}`",
        )
    match event.kind:
        case Kind.ROLLED | Kind.DONE | Kind.CUT | Kind.MORE:
            yield from _about_shot(day, state, event)
        case Kind.MEAL:
            yield from _meal(day, state)
        case Kind.GONE | Kind.HERE | Kind.CLOSED | Kind.OPEN:
            names = {one.name for one in day.cast} | {one.name for one in day.spots}
            if event.subject not in names:
                yield Objection(column="subject", problem="not in the day", value=event.subject)
            if state.said.get((PRESENCE[event.kind], event.subject)) is event.kind:
                yield Objection(
                    column="event",
                    problem=f"{event.subject} is {event.kind} already",
                    expected=f"`{OPPOSITE[event.kind]}` first",
                )
        case Kind.ADD if len(state.shots) >= MAX_SHOTS:
            yield Objection(
                column="event",
                problem=f"{len(state.shots) + 1} shots",
                expected=f"at most {MAX_SHOTS}",
            )


def _taking_back(last: Event | None, event: Event) -> Iterator[Objection]:
    if last is None:
        yield Objection(column="event", problem="nothing to take back")
    elif event.undone != last.number:
        yield Objection(
            column="value",
            problem="not the last event that stands",
            value=str(event.undone),
            expected=str(last.number),
        )


def _about_shot(day: Day, state: State, event: Event) -> Iterator[Objection]:
    shot_id, running = event.subject, state.running
    rolls = "" if running is None else f"{running.subject} rolls since {clock(day, running.at)}"
    over = "made" if shot_id in state.made else "cut" if shot_id in state.cut else ""

    def object_to(problem: str, expected: str = "") -> Objection:
        return Objection(column="subject", problem=problem, value=shot_id, expected=expected)

    if shot_id not in state.shots:
        yield object_to("no such shot", "a shot's id")
    elif event.kind is Kind.DONE:
        if running is None:
            yield object_to(
                f"{over} already" if over else "nothing rolls", f"`rolled {shot_id}` first"
            )
        elif running.subject != shot_id:
            yield object_to("not the shot that rolls", running.subject)
    elif over:
        yield object_to(f"{over} already", "a shot still to come")
    elif event.kind is Kind.MORE:
        whole = state.shots[shot_id].shoot_min + state.more_min.get(shot_id, 0)
        if whole + (event.minutes or 0) > MAX_SHOOT:
            room = f"at most {max(0, MAX_SHOOT - whole)}"
            yield Objection(
                column="value",
                problem=f"more than {MAX_SHOOT} minutes for one shot",
                value=str(event.minutes),
                expected=room,
            )
    elif running is not None and (event.kind is Kind.ROLLED or running.subject == shot_id):
        yield object_to(rolls, f"`done {running.subject}` first")


def _meal(day: Day, state: State) -> Iterator[Objection]:
    if state.running is not None:
        yield Objection(
            column="event",
            problem=f"{state.running.subject} rolls since {clock(day, state.running.at)}",
            expected=f"`done {state.running.subject}` first",
        )
    if state.meal is not None:
        yield Objection(
            column="event",
            problem=f"lunch began at {clock(day, state.meal.at)}",
            expected="one meal a day",
        )


def _after(state: State, event: Event) -> State:
    """Give the state once an event has happened."""
    after = replace(state, last=event)
    match event.kind:
        case Kind.ROLLED:
            after = replace(after, running=event)
        case Kind.DONE:
            after = replace(after, running=None, made=(*state.made, event.subject))
        case Kind.CUT:
            after = replace(after, cut=(*state.cut, event.subject))
        case Kind.MORE:
            whole = state.more_min.get(event.subject, 0) + (event.minutes or 0)
            after = replace(after, more_min={**state.more_min, event.subject: whole})
        case Kind.MEAL:
            after = replace(after, meal=event)
        case Kind.GONE | Kind.HERE | Kind.CLOSED | Kind.OPEN:
            key = (PRESENCE[event.kind], event.subject)
            after = replace(after, said={**state.said, key: event.kind})
        case Kind.ADD if event.shot is not None:
            after = replace(after, shots={**state.shots, event.subject: event.shot})
    return after
