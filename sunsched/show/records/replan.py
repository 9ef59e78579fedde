"""The rest of a day planned anew with `--json`."""

from __future__ import annotations

from sunsched.show.records.day import Record, crew_record, plan_record
from sunsched.show.records.past import past_record
from sunsched.show.text.headlines.rest import planned_rest_headline
from sunsched.whatif.replan.choices import Choice
from sunsched.whatif.replan.losses import Loss, find_gains
from sunsched.whatif.replan.replan import Replan


def replan_record(found: Replan, shown: Choice, *, follows: int, revision: int | None) -> Record:
    """Give the choices, and what the shown one changes, loses and puts at risk.

    Parameters
    ----------
    found : the rest of the day
    shown : the choice that was taken, or the best
    follows : number of the saved plan that was followed
    revision : number under which the shown choice is saved, None where nothing is saved
    """
    day = found.day
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        **past_record(day),
        "follows": follows,
        "revision": revision,
        "headline": planned_rest_headline(found, _name(found, shown), shown, follows),
        "choices": {
            "best": _choice_record(found.best, revision if shown is found.best else None),
            "push": found.push
            and _choice_record(found.push, revision if shown is found.push else None),
            "drop_one": found.drop_one
            and _drop_record(found, found.drop_one, revision if shown is found.drop_one else None),
        },
        "changes": list(found.changes(shown)),
        "lost": [_loss_record(one) for one in found.lost(shown)],
        "at_risk": [one.shot_id for one in found.at_risk(shown)],
    }


def _name(found: Replan, shown: Choice) -> str:
    """Give the word that takes a choice."""
    if shown is found.best:
        return "best"
    return "push" if shown is found.push else "drop"


def _choice_record(choice: Choice, revision: int | None) -> Record:
    """Give a choice as a plan; `worth` is its points less those for the pairs turned round."""
    plan = choice.plan
    return plan_record(plan, revision) | {
        "crew": crew_record(plan.day, choice.crew),
        "turned_round": choice.turned,
        "turned_round_points": choice.turned_points,
        "worth": choice.worth,
    }


def _drop_record(found: Replan, choice: Choice, revision: int | None) -> Record:
    gains = () if found.push is None else find_gains(found.push, choice)
    return _choice_record(choice, revision) | {
        "dropped": None if choice.dropped is None else choice.dropped.id,
        "gains": [
            {
                "id": one.shot_id,
                "before": round(one.before, 4),
                "now": round(one.now, 4),
                "points": one.points,
            }
            for one in gains
        ],
    }


def _loss_record(one: Loss) -> Record:
    return {
        "id": one.shot_id,
        "before": None if one.before is None else round(one.before, 4),
        "now": None if one.now is None else round(one.now, 4),
        "points_lost": one.points,
        "lost_to": one.lost_to,
        "why": one.why,
    }
