"""A day that is over: what was made of it, at its real times and in its real light."""

from __future__ import annotations

from sunsched.day.model import Day
from sunsched.folder.log.log import Log
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import LeftOut, Plan, describe_roll, plan_as_told
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.underway.rest import stopped
from sunsched.underway.state import day_so_far


def is_over(day: Day, log: Log) -> bool:
    """Say whether a log tells the whole day.

    So it does when each shot is made or cut, or something was noted at the hard wrap or after it,
    and nothing rolls.
    """
    state = log.state
    if state.last is None or state.running is not None:
        return False
    is_all = set(state.shots) <= {*state.made, *state.cut, *day.cut_ids}
    return is_all or state.last.at >= day.hours.hard_wrap


def plan_made(day: Day, log: Log, planned: Timetable) -> Plan | None:
    """Give what was made of a day as a plan of which nothing is to come; None before it is over.

    It is told as it was: a rule that the day broke is no fault any more.

    Parameters
    ----------
    day : as its folder has it
    log : what was noted
    planned : the plan that was followed
    """
    if not is_over(day, log) or log.state.last is None:
        return None
    after = day_so_far(day, log.events, at=log.state.last.at, planned=planned)
    fit, timetable = fit_checked(after), stopped(after)
    worth = score(fit, timetable)
    made = {roll.shot_id for roll in timetable.rolls}
    return plan_as_told(
        fit,
        timetable,
        worth,
        status="proven",
        bound=worth.total,
        grid_min=1,
        shots=tuple(
            describe_roll(fit, timetable, worth, place) for place in range(len(timetable.rolls))
        ),
        left_out=tuple(
            LeftOut(shot=shot, why="cut" if shot.id in after.cut_ids else "not made")
            for shot in after.shots
            if shot.id not in made
        ),
    )
