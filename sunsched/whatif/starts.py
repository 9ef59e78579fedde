"""Which starts some plan may have, as far as the times between shots alone tell.

No order is tried: a start is shut if the call, the meal or the end of the day puts it out of reach.
A day is shut if two shots that must be made leave no room for one another. What is shut is
impossible for certain; what is open need not be possible.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Day
from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.instance.problem import FORBIDDEN, Problem

FAR = 10**6  # slots; more than any day has


def open_starts(problem: Problem) -> BoolArray:
    """Mark the starts that can be reached from the call and from which the day can end: (n, T)."""
    allowed: BoolArray = np.any(problem.gain > FORBIDDEN, axis=0)
    slots = np.arange(problem.slots)
    first = _first_starts(problem, allowed)
    last = _last_starts_hungry(problem, allowed)
    hungry = (slots >= first[0][:, None]) & (slots <= last[:, None])
    opened: BoolArray = allowed & (hungry | (slots >= first[1][:, None]))
    return opened


def is_shut(problem: Problem) -> bool:
    """Say whether a shot that must be made has no start, or two of them no room for one another."""
    if problem.shots == 0:
        return True
    opened = open_starts(problem)
    must = np.flatnonzero(problem.must)
    if not opened[must].any(axis=1).all():
        return True
    apart = _least_lags(problem)
    first = opened.argmax(axis=1)
    last = problem.slots - 1 - opened[:, ::-1].argmax(axis=1)
    may_follow = last[None, :] >= first[:, None] + apart  # the second of a pair after the first
    may_follow &= ~problem.forbidden_pair
    return any(not may_follow[a, b] and not may_follow[b, a] for a in must for b in must[must > a])


def _first_starts(problem: Problem, allowed: BoolArray) -> IntArray:
    """Give each shot's first slot to start in, without the meal before it and with: (2, n)."""
    n = problem.shots
    lag, lag_fed = _others(problem.lag), _others(problem.lag_fed)
    upcoming = _next_allowed(allowed)
    first = np.full((2, n), FAR, dtype=np.int64)
    begin = [problem.lag[n], np.full(n, FAR)]
    if problem.eat_by[n] >= 0:
        begin[1] = np.maximum(problem.lag_fed[n], problem.fed_from[n])
    for fed in range(2):
        first[fed] = _at_or_after(upcoming, begin[fed])
    for _ in range(n):
        before = first.copy()
        for fed in range(2):
            reached = (first[fed][:, None] + lag).min(axis=0)
            first[fed] = np.minimum(first[fed], _at_or_after(upcoming, reached))
        fed_after = np.maximum(first[0][:, None] + lag_fed, problem.fed_from[:n])
        fed_after[first[0] > problem.eat_by[:n]] = FAR
        reached = fed_after.min(axis=0)
        first[1] = np.minimum(first[1], _at_or_after(upcoming, reached))
        if (first == before).all():
            break
    return first


def _last_starts_hungry(problem: Problem, allowed: BoolArray) -> IntArray:
    """Give each shot's last slot to start in without a meal before it, −1 for none: (n,)."""
    n, slots = problem.shots, problem.slots
    lag, lag_fed = _others(problem.lag), _others(problem.lag_fed)
    latest = np.where(allowed.any(axis=1), slots - 1 - allowed[:, ::-1].argmax(axis=1), -FAR)
    last = np.full(n, -1, dtype=np.int64)
    for a in range(n):
        ends = np.flatnonzero(allowed[a] & problem.can_skip_meal[a])
        if ends.size:
            last[a] = ends[-1]
        # The meal after it, and then one more shot.
        starts = np.where(problem.fed_from[a] <= latest, latest - lag_fed[a], -FAR)
        last[a] = max(last[a], min(int(problem.eat_by[a]), int(starts.max())))
    for _ in range(n):
        before = last.copy()
        last = np.maximum(last, (np.minimum(last, latest)[None, :] - lag).max(axis=1))
        if (last == before).all():
            break
    return last


def _others(lags: IntArray) -> IntArray:
    """Give the lags between shots, far too long from a shot to itself: (n, n)."""
    n = lags.shape[1]
    parted: IntArray = lags[:n].copy()
    np.fill_diagonal(parted, FAR)
    return parted


def _least_lags(problem: Problem) -> IntArray:
    """Give the fewest slots from one start to another, whatever is made between: (n, n)."""
    n = problem.shots
    apart = problem.lag[:n].copy()
    for over in range(n):
        apart = np.minimum(apart, apart[:, over, None] + apart[over])
    return apart


def _next_allowed(allowed: BoolArray) -> IntArray:
    """Give for each shot and slot the first allowed slot from there on, FAR for none: (n, T+1)."""
    n, slots = allowed.shape
    upcoming = np.full((n, slots + 1), FAR, dtype=np.int64)
    for slot in range(slots - 1, -1, -1):
        upcoming[:, slot] = np.where(allowed[:, slot], slot, upcoming[:, slot + 1])
    return upcoming


def _at_or_after(upcoming: IntArray, slots: IntArray) -> IntArray:
    n, end = upcoming.shape[0], upcoming.shape[1] - 1
    found: IntArray = upcoming[np.arange(n), np.clip(slots, 0, end)]
    return found


def clock_times(day: Day, step_min: int) -> tuple[datetime, ...]:
    """Give the full steps of the local clock from when the crew is free to the hard wrap."""
    begins = day.hours.crew_call if day.past is None else day.past.free_at
    local = begins.astimezone(day.place.zone)
    when = begins + timedelta(minutes=-(local.hour * 60 + local.minute) % step_min)
    times = []
    while when <= day.hours.hard_wrap:
        times.append(when)
        when += timedelta(minutes=step_min)
    return tuple(times)
