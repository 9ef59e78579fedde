"""How far a day under way has come, in words."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day


def past_texts(day: Day) -> Iterator[str]:
    """Say what is made and when the crew can begin something new; nothing before the day began."""
    past = day.past
    if past is None:
        return
    done = [one.shot_id for one in past.made if one.shot_id != past.running]
    yield f"{clock(day, past.at)}, made: {', '.join(done) or 'nothing'}"
    now = []
    if past.running is not None:
        end = clock(day, past.made[-1].roll_end)
        now.append(f"{past.running} rolls, expected until {end}")
    if past.built_since is not None and past.built_since <= past.at:
        begun = clock(day, past.built_since)
        now.append(f"the changeover to {past.building} goes on since {begun}, by the plan")
    if past.meal_start is not None:
        over = past.meal_start + timedelta(minutes=day.meal.length_min)
        if past.at < over:
            now.append(f"lunch goes on until {clock(day, over)}")
    if past.cut:
        now.append(f"cut: {', '.join(past.cut)}")
    if past.meal_due is not None:
        now.append(f"lunch was to begin by {clock(day, past.meal_due)}")
    if past.unpinned:
        pins = "the pins" if len(past.unpinned) > 1 else "the pin"
        now.append(f"{pins} of {', '.join(past.unpinned)} cannot be kept any more")
    if past.free_at >= day.hours.hard_wrap:
        now.append(f"the hard wrap was at {clock(day, day.hours.hard_wrap)}")
    if past.free_at > past.at:
        now.append(f"the crew is free at {clock(day, past.free_at)}")
    if now:
        yield "; ".join(now)
