"""The choices for the rest of a day as pictures and sentences: data for the page to draw."""

from __future__ import annotations

from typing import Any

from sunsched.average.likely import likely_timetable
from sunsched.day.clock import instant_ms
from sunsched.plan.plan import Plan
from sunsched.show.agenda import State, state_of
from sunsched.show.charts.orders.moves import find_moves
from sunsched.show.pieces import plan_pieces
from sunsched.show.text.average_day.replan import average_choices
from sunsched.show.text.headlines.rest import rest_headline
from sunsched.whatif.orders.as_it_stands import plan_as_it_stands
from sunsched.whatif.replan.average import AverageChoice, AverageReplan

Record = dict[str, Any]


def choice_records(found: AverageReplan, follows: int) -> Record:
    """Give the order that was followed, and each choice with what moved against it.

    Parameters
    ----------
    follows : number of the revision that was followed
    """
    choices = average_choices(found)
    fit, timetable = likely_timetable(found.followed)
    before = plan_as_it_stands(fit, timetable, found.best.plan.likely.grid_min)
    return {
        "nothing_left": not found.planned.coming,
        "collision": found.collision,
        "before": _strip(before),
        "choices": [
            {
                **_choice(found, name, one, follows, before),
                "same_as": "best" if name != "best" and one is found.best else "",
            }
            for name, one in choices.items()
        ],
    }


def _choice(
    found: AverageReplan, name: str, choice: AverageChoice, follows: int, before: Plan
) -> Record:
    likely = choice.plan.likely
    cut = () if likely.day.past is None else likely.day.past.cut
    ends = choice.crew.wrap
    return {
        "name": name,
        "headline": rest_headline(found, name, choice, follows),
        "points": choice.plan.points,
        "worth": choice.worth,
        "light_kept": choice.plan.light_kept,
        "ends": None if ends is None else instant_ms(ends),
        "later_min": found.later_min(choice),
        "overtime_min": choice.crew.overtime_min,
        "turned": choice.turned,
        "dropped": None if choice.dropped is None else choice.dropped.id,
        "left_out": [one.shot.id for one in likely.left_out if one.shot.id not in cut],
        "strip": _strip(likely),
        "moves": [
            {
                "id": one.first.shot.id,
                "from": instant_ms(one.first.roll_start),
                "to": instant_ms(one.second.roll_start),
                "is_out_of_line": one.is_out_of_line,
            }
            for one in find_moves(before, likely)
            if state_of(likely, one.second) is State.COMING
        ],
    }


def _strip(plan: Plan) -> Record:
    """Give what the crew does piece by piece; rolls with the light that they keep."""
    light = {one.shot.id: one.fit for one in plan.shots}
    return {
        "pieces": [
            {
                "shot": piece.shot_id,
                "state": str(piece.state),
                "doing": str(piece.doing),
                "from": instant_ms(piece.start),
                "to": instant_ms(piece.end),
                "light": round(light[piece.shot_id], 3),
            }
            for piece in plan_pieces(plan)
        ],
        "meal": None
        if plan.meal is None
        else {"from": instant_ms(plan.meal.start), "to": instant_ms(plan.meal.end)},
    }
