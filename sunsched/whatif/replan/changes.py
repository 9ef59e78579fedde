"""What a new plan changes of the one that was followed, in words."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import groupby

from sunsched.day.model import Day
from sunsched.folder.log.course import clock
from sunsched.folder.text import words
from sunsched.plan.plan import Plan
from sunsched.plan.timetable import Timetable, roll_end

MINUTE = timedelta(minutes=1)


def change_texts(
    planned_day: Day, planned: Timetable, plan: Plan, *, least: timedelta = MINUTE
) -> tuple[str, ...]:
    """Say what a plan changes of what was still to come; nothing for a plan that changes nothing.

    Shots that stand in another order are those fewest without which the order would be the same.

    Parameters
    ----------
    planned_day, planned : the plan that was followed, and the day that it was made for
    plan : of the day as it stands now
    least : what is shifted by less is not told
    """
    past = plan.day.past
    over = () if past is None else tuple(one.shot_id for one in past.made)
    before = {r.shot_id: r.roll_start for r in planned.rolls if r.shot_id not in over}
    now = {r.shot_id: r.roll_start for r in plan.timetable.rolls if r.shot_id not in over}
    return (
        *_gone(plan, before, now),
        *_new(planned_day, plan, before, now),
        *_moved(plan.day, before, now),
        *_shifted(plan.day, before, now, least),
        *_meal(plan, planned, least),
        *_last_end(planned_day, planned, plan, least),
    )


def comebacks(planned_day: Day, planned: Timetable, plan: Plan) -> tuple[str, ...]:
    """Give the ids of shots that a plan makes and the plan that was followed left out."""
    known = {shot.id for shot in planned_day.shots} - {roll.shot_id for roll in planned.rolls}
    return tuple(one.shot.id for one in plan.shots if one.shot.id in known)


def _gone(plan: Plan, before: dict[str, datetime], now: dict[str, datetime]) -> Iterator[str]:
    for shot_id in before:
        if shot_id not in now:
            yield f"{shot_id} is {'cut' if shot_id in plan.day.cut_ids else 'left out'}"


def _new(
    planned_day: Day, plan: Plan, before: dict[str, datetime], now: dict[str, datetime]
) -> Iterator[str]:
    known = {shot.id for shot in planned_day.shots}
    ids = [*now]
    for place, shot_id in enumerate(ids):
        if shot_id not in before:
            how = "comes back in" if shot_id in known else "is new"
            yield f"{shot_id} {how}, at {clock(plan.day, now[shot_id])}{_whereto(ids, place)}"


def _moved(day: Day, before: dict[str, datetime], now: dict[str, datetime]) -> Iterator[str]:
    ids = [*now]
    for shot_id in _out_of_order([*before], ids):
        was, when = clock(day, before[shot_id]), clock(day, now[shot_id])
        rolls = f": {when} instead of {was}" if when != was else f" and still rolls at {when}"
        yield f"{shot_id} moves{_whereto(ids, ids.index(shot_id))}{rolls}"


def _shifted(
    day: Day, before: dict[str, datetime], now: dict[str, datetime], least: timedelta
) -> Iterator[str]:
    """Say how much later the shots roll that keep their place; neighbours alike are one text."""
    moved = _out_of_order([*before], [*now])
    kept = [one for one in now if one in before and one not in moved]
    for shift, ids in groupby(kept, key=lambda one: now[one] - before[one]):
        if abs(shift) >= least:
            each = list(ids)
            rolls = "rolls" if len(each) == 1 else "roll"
            when = f": {clock(day, now[each[0]])}" if len(each) == 1 else ""
            yield f"{words.listed(each, 'and')} {rolls} {_later(shift)}{when}"


def _meal(plan: Plan, planned: Timetable, least: timedelta) -> Iterator[str]:
    day, start = plan.day, plan.timetable.meal_start
    if day.past is not None and day.past.meal_start is not None:
        return
    if start is None:
        if planned.meal_start is not None:
            yield f"there is no lunch any more: it was to be at {clock(day, planned.meal_start)}"
    elif planned.meal_start is None:
        yield f"lunch comes in at {clock(day, start)}"
    elif abs(start - planned.meal_start) >= least:
        yield f"lunch is {_later(start - planned.meal_start)}: {clock(day, start)}"


def _last_end(planned_day: Day, planned: Timetable, plan: Plan, least: timedelta) -> Iterator[str]:
    if not planned.rolls or not plan.timetable.rolls:
        return
    was = roll_end(planned_day, planned.rolls[-1])
    ends = roll_end(plan.day, plan.timetable.rolls[-1])
    if abs(ends - was) >= least:
        yield f"the last roll ends {_later(ends - was)}: {clock(plan.day, ends)}"


def _whereto(ids: Sequence[str], place: int) -> str:
    """Say where in the rest of the day a shot stands."""
    if place:
        return f" after {ids[place - 1]}"
    return f" before {ids[1]}" if len(ids) > 1 else ""


def _later(shift: timedelta) -> str:
    hours, minutes = divmod(round(abs(shift) / MINUTE), 60)
    length = f"{hours} h {minutes:02}" if hours else f"{minutes} min"
    return f"{length} {'later' if shift > timedelta(0) else 'earlier'}"


def _out_of_order(before: Sequence[str], now: Sequence[str]) -> list[str]:
    """Give the shots of both orders that are not in the longest row that both have alike."""
    place = {shot_id: k for k, shot_id in enumerate(before)}
    shared = [shot_id for shot_id in now if shot_id in place]
    ends: list[int] = []  # the least last place of a rising row, by its length
    length = []
    for shot_id in shared:
        at = bisect_left(ends, place[shot_id])
        ends[at : at + 1] = [place[shot_id]]
        length.append(at + 1)
    kept, want = set[str](), len(ends)
    # Among shots that end a row of one length, a later one has a lower place: so the last one fits.
    for shot_id, reached in zip(reversed(shared), reversed(length), strict=True):
        if reached == want:
            kept.add(shot_id)
            want -= 1
    return [shot_id for shot_id in shared if shot_id not in kept]
