"""The rest of a day planned anew for the average day, with `--json`."""

from __future__ import annotations

from sunsched.day.clock import local_text
from sunsched.show.records.average import average_record
from sunsched.show.records.day import Record, crew_record
from sunsched.show.records.past import past_record
from sunsched.show.text.headlines.rest import rest_headline
from sunsched.whatif.replan.average import AverageChoice, AverageReplan
from sunsched.whatif.replan.shifts import Shift, due_soon, find_shifts


def replan_average_record(
    found: AverageReplan, shown: AverageChoice, *, follows: int, revision: int | None
) -> Record:
    """Give the choices, and what the shown one changes, loses and must begin soon.

    Parameters
    ----------
    found : the rest of the day
    shown : the choice that was taken, or the best
    follows : number of the saved plan that was followed
    revision : number under which the shown choice is saved, None where nothing is saved
    """
    day = found.day

    def record(choice: AverageChoice) -> Record:
        return _choice_record(found, choice, revision if choice is shown else None)

    drop_one = None
    if found.drop_one is not None and found.drop_one.dropped is not None:
        dropped = found.drop_one.dropped.id
        shifts = find_shifts(found.push.plan, found.drop_one.plan)
        gains = [_shift_record(one) for one in shifts if one.points > 0]
        drop_one = record(found.drop_one) | {"dropped": dropped, "gains": gains}
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "aim": "average",
        "collision": found.collision or None,
        **past_record(day),
        "follows": follows,
        "revision": revision,
        "headline": rest_headline(found, _name(found, shown), shown, follows),
        "choices": {
            "best": record(found.best),
            "push": record(found.push),
            "drop_one": drop_one,
        },
        "changes": list(found.changes(shown)),
        "lost": [_shift_record(one) for one in found.lost(shown)],
        "due": [
            {
                "id": one.shot.id,
                "likely": local_text(day, one.likely),
                "begin_by": local_text(day, one.begin_by),
            }
            for one in due_soon(shown.plan, found.at)
        ],
    }


def _name(found: AverageReplan, shown: AverageChoice) -> str:
    """Give the word that takes a choice."""
    if shown is found.best:
        return "best"
    return "push" if shown is found.push else "drop"


def _choice_record(found: AverageReplan, choice: AverageChoice, revision: int | None) -> Record:
    """Give a choice as a plan; `worth` is its points less those for the pairs turned round."""
    likely = choice.plan.likely
    return average_record(choice.plan, revision) | {
        "crew": crew_record(likely.day, choice.crew),
        "later_min": found.later_min(choice),
        "turned_round": choice.turned,
        "turned_round_points": choice.turned_points,
        "worth": choice.worth,
    }


def _shift_record(one: Shift) -> Record:
    return {
        "id": one.shot.id,
        "made_before": round(one.before.made, 4),
        "made": round(one.now.made, 4),
        "light_before": round(one.before.light, 4),
        "light": round(one.now.light, 4),
        "points": one.points,
    }
