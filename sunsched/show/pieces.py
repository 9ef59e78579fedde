"""A plan cut into what the crew does, piece by piece, as pictures show it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from sunsched.day.model import Span
from sunsched.plan.plan import Plan
from sunsched.show.agenda import State, lost_spans, moved_at, ready_at, state_of


class Doing(StrEnum):
    """What the crew does for a shot."""

    WAIT = "wait"
    MOVE = "move"
    BUILD = "build"
    ROLL = "roll"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of the plan that belongs to one shot; a build holds the turnaround too."""

    shot_id: str
    state: State
    doing: Doing
    start: datetime
    end: datetime


def plan_pieces(plan: Plan) -> tuple[Piece, ...]:
    """Cut a plan into what the crew does, in order of time; the meal is not among it."""
    pieces: list[Piece] = []
    free_at: datetime | None = None
    meal = plan.meal
    for planned in plan.shots:
        marks, state = [], state_of(plan, planned)
        if meal is not None and meal.start < planned.roll_start:
            if free_at is not None:
                marks.append((Doing.WAIT, free_at, meal.start))
            free_at, meal = meal.end, None
        moved, ready = moved_at(planned), ready_at(plan, planned)
        if free_at is not None:
            marks.append((Doing.WAIT, free_at, planned.changeover_start))
        marks += [
            (Doing.MOVE, planned.changeover_start, moved),
            *_built(moved, ready, lost_spans(plan, planned)),
            (Doing.WAIT, ready, planned.roll_start),
            (Doing.ROLL, planned.roll_start, planned.roll_end),
        ]
        pieces += [
            Piece(shot_id=planned.shot.id, state=state, doing=doing, start=start, end=end)
            for doing, start, end in marks
            if start < end
        ]
        free_at = planned.roll_end
    return tuple(pieces)


def _built(
    start: datetime, end: datetime, lost: Sequence[Span]
) -> Iterator[tuple[Doing, datetime, datetime]]:
    """Give a build with the minutes that were lost in it, as waits."""
    for span in lost:
        since = max(start, span.start)
        yield Doing.BUILD, start, since
        yield Doing.WAIT, since, max(since, span.end)
        start = max(since, span.end)
    yield Doing.BUILD, start, end
