"""The day as it was planned and as it went: the plan that was followed over what is made."""

from __future__ import annotations

from datetime import timedelta

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.plan.timetable import Roll, Timetable
from sunsched.show.charts.orders.pair import Pair, pair_picture
from sunsched.show.charts.orders.strip import OrderStrip
from sunsched.show.drawing.picture import Picture, alone
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.text.crew import duration
from sunsched.whatif.orders.as_it_stands import plan_as_it_stands

_MINUTE = timedelta(minutes=1)
LEAST_MIN = 1  # of a roll that is told to be late or early


def made_figure(
    planned: Plan, day: Day, follows: int, *, shape: Shape = Shape.A4, is_bare: bool = False
) -> Figure:
    """Draw a plan over what was made of it.

    Parameters
    ----------
    planned : the plan that was followed
    day : the day with its past
    follows : the number of the plan
    """
    setting = paper(shape)
    picture = made_picture(
        planned, f"revision {follows}", made_plan(day, planned.grid_min), setting
    )
    return alone(day, setting, picture, is_bare=is_bare)


def made_picture(planned: Plan, told: str, made: Plan, setting: Paper) -> Picture:
    """Give the picture of a plan over what was made of it, with what is told of the plan."""
    day = made.day
    first = OrderStrip(name="planned", told=told, plan=planned)
    at = f"by {clock(day, day.past.at)}" if day.past is not None else ""
    second = OrderStrip(name="made", told=at, plan=made, is_over=False)
    pair = Pair(first=first, second=second)
    return pair_picture("Planned and made", made_text(planned, made), [pair], setting)


def made_plan(day: Day, grid_min: int = 5) -> Plan:
    """Give the part of a day that is made, or rolls, as a plan that leaves nothing out."""
    past = day.past
    rolls = () if past is None else past.made
    timetable = Timetable(
        rolls=tuple(
            Roll(
                shot_id=one.shot_id,
                changeover_start=one.changeover_start,
                roll_start=one.roll_start,
            )
            for one in rolls
        ),
        meal_start=None if past is None else past.meal_start,
    )
    return plan_as_it_stands(fit_checked(day), timetable, grid_min)


def made_text(planned: Plan, made: Plan) -> str:
    """Say how many shots are made, how late the last one began, and what light they kept."""
    count = f"{len(made.shots)} of {len(made.day.shots)} shots made or rolling"
    then = {one.shot.id: one for one in planned.shots}
    both = [(then[one.shot.id], one) for one in made.shots if one.shot.id in then]
    if not both:
        return count
    last, now = both[-1]
    late = round((now.roll_start - last.roll_start) / _MINUTE)
    when = "as planned"
    if abs(late) >= LEAST_MIN:
        when = f"{duration(abs(late))} {'later' if late > 0 else 'earlier'} than planned"
    weights = sum(one.shot.weight for one, _ in both)
    kept = [
        sum(one.shot.weight * one.fit for one in side) / weights for side in zip(*both, strict=True)
    ]
    light = f"they kept {kept[1]:.0%} of their light, planned were {kept[0]:.0%}"
    return f"{count}; the last, {now.shot.id}, began {when}; {light}"
