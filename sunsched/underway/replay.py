"""What has happened on a day, gathered by going through the events of its log one by one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from sunsched.day.model import Day, Shot
from sunsched.day.past import Made
from sunsched.folder.log.event import Event, Kind
from sunsched.plan.timetable import Timetable

MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """What has happened after some events.

    `free` is when the crew can begin something new, `begun` when it could first do so after the
    last roll or meal, before minutes were lost; `lost` are those minutes, from when and how many.
    `running` ends when it is expected to.
    """

    begun: datetime
    free: datetime
    made: tuple[Made, ...] = ()
    running: Made | None = None
    cut: tuple[str, ...] = ()
    meal_start: datetime | None = None
    more_min: Mapping[str, int] = field(default_factory=dict)
    lost: tuple[tuple[datetime, timedelta], ...] = ()

    def building_since(
        self, at: datetime, planned: Timetable | None
    ) -> tuple[str, datetime] | None:
        """Give the shot that is being built at a moment, and since when; None for none."""
        if planned is None or self.running is not None:
            return None
        made = {one.shot_id for one in self.made}
        over = made | set(self.cut)
        ids = [roll.shot_id for roll in planned.rolls]
        place = next((k for k, shot_id in enumerate(ids) if shot_id not in over), None)
        if place is None or made & set(ids[place:]):
            return None
        start = planned.rolls[place].changeover_start
        eats_first = planned.meal_start is not None and planned.meal_start <= start
        if start > at or (eats_first and self.meal_start is None):
            return None
        since = max(start, self.begun)
        for moment, length in self.lost:
            since = since + length if since <= moment else max(since, moment + length)
        # One that begins when the crew is free, as after a meal that goes on, is not begun.
        return (ids[place], since) if since < max(self.free, at) else None


def go_through(
    day: Day, shots: Mapping[str, Shot], events: Iterable[Event], planned: Timetable | None
) -> Behind:
    """Go through the events of a log.

    Parameters
    ----------
    day : as its folder has it
    shots : its shots and the added ones, by id
    events : those that stand, in their order
    planned : the plan that was followed, for when changeovers began; None for none
    """
    begins = {}
    if planned is not None:
        begins = {roll.shot_id: roll.changeover_start for roll in planned.rolls}
    behind = Behind(begun=day.hours.crew_call, free=day.hours.crew_call)
    for event in events:
        minutes = timedelta(minutes=event.minutes or 0)
        match event.kind:
            case Kind.ROLLED:
                behind = _rolled(behind, shots[event.subject], event, begins)
            case Kind.DONE if behind.running is not None:
                end = max(event.at, behind.running.roll_start + MINUTE)
                done = replace(behind.running, roll_end=end, ends_by_plan=event.by_plan)
                behind = replace(
                    behind, made=(*behind.made, done), running=None, begun=end, free=end, lost=()
                )
            case Kind.MEAL:
                start = max(event.at, behind.made[-1].roll_end if behind.made else event.at)
                end = start + timedelta(minutes=day.meal.length_min)
                behind = replace(behind, meal_start=start, begun=end, free=end, lost=())
            case Kind.CUT:
                behind = replace(behind, cut=(*behind.cut, event.subject))
            case Kind.MORE:
                behind = _more(behind, event.subject, event.minutes or 0)
            case Kind.LATE if behind.running is not None:
                span = (event.at, event.at + minutes)
                rolling = replace(behind.running, lost=(*behind.running.lost, span))
                behind = replace(behind, free=behind.free + minutes, running=rolling)
            case Kind.LATE:
                moment = max(behind.free, event.at)
                lost = (*behind.lost, (moment, minutes))
                behind = replace(behind, free=moment + minutes, lost=lost)
            case _:
                pass  # these events change the day around the crew; the crew did nothing
    return behind


def _rolled(behind: Behind, shot: Shot, event: Event, begins: Mapping[str, datetime]) -> Behind:
    """Let a shot begin to roll."""
    at = event.at
    start = max(at, behind.made[-1].roll_end) if behind.made else at
    sooner = min(behind.begun, start)
    changed = begins.get(shot.id, sooner)
    if not sooner <= changed <= start:
        changed = sooner
    length = shot.shoot_min + behind.more_min.get(shot.id, 0)
    end = start + timedelta(minutes=length)
    rolling = Made(
        shot_id=shot.id,
        changeover_start=changed,
        roll_start=start,
        roll_end=end,
        starts_by_plan=event.by_plan,
        lost=tuple((since, since + minutes) for since, minutes in behind.lost),
    )
    return replace(behind, running=rolling, free=end, lost=())


def _more(behind: Behind, shot_id: str, minutes: int) -> Behind:
    """Let a shot take longer, which the crew waits for if it rolls."""
    whole = behind.more_min.get(shot_id, 0) + minutes
    more = replace(behind, more_min={**behind.more_min, shot_id: whole})
    if behind.running is not None and behind.running.shot_id == shot_id:
        return replace(more, free=behind.free + timedelta(minutes=minutes))
    return more
