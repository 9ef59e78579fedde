"""What is said of a rest planned anew for the average day, against the choices themselves."""

from __future__ import annotations

import re
from datetime import timedelta
from functools import cache

import pytest
from builders import a_day, a_shot, at
from under_way import as_planned

from sunsched.day.model import Meal
from sunsched.folder.log.event import Event, Kind
from sunsched.saved.average import average_of
from sunsched.show.text.average_day.plan import likely_rows
from sunsched.show.text.average_day.replan import replan_average_text
from sunsched.solver.solve import make_plan
from sunsched.whatif.replan.average import AverageReplan, replan_average
from sunsched.whatif.replan.shifts import find_shifts
from whatif.test_replan_average import demo_plan, demo_replan, local


@cache
def late() -> AverageReplan:
    """Give a demo day that is late, on which the order is worth turning round."""
    return demo_replan("last-lamp", "12:10", 25)


@cache
def with_a_cut() -> tuple[AverageReplan, str]:
    """Give the same day with one shot cut that was likely to be made, and its id."""
    plan = demo_plan("last-lamp")
    at = local(plan.day, "12:10")
    events = as_planned(plan, at)
    chances = {one.shot.id: one.made for one in late().push.plan.chances}
    shot = max(chances, key=lambda one: chances[one])
    cut = Event(number=len(events) + 1, at=at, kind=Kind.CUT, since=at, subject=shot)
    found = replan_average(plan.day, [*events, cut], plan.timetable, at=at, limit_s=3)
    return found, shot


def flat(found: AverageReplan, shown: str) -> str:
    """Give the text without its line ends."""
    return " ".join(replan_average_text(found, shown, follows=1).split())


def told(text: str, name: str) -> str:
    """Give the sentence of a choice."""
    after = text.split(f" {name}: ", 1)[1]
    return re.split(r" (?:push|drop|best)(?:: | against )", after)[0]


def test_push_is_worth_less_by_what_both_have_with_turned_pairs_paid():
    """Not by the points of the two plans, as these do not have the pairs."""
    found = late()
    assert found.best.turned > 0
    less = found.best.worth - found.push.worth
    assert less != found.best.plan.points - found.push.plan.points
    said = f"worth {less} points less ({found.best.turned_points} for pairs turned round paid)"
    assert said in told(flat(found, "best"), "push")


def test_what_is_kept_less_stands_before_what_is_kept_more():
    """Of the choice that is spoken of, against the other: a `; but` stands between the two."""
    found = late()
    assert found.drop_one is not None
    pairs = ((found.best, found.push, "push"), (found.push, found.drop_one, "drop"))
    both = 0
    for one, other, name in pairs:
        shifts = {
            shift.shot.id: shift.now.light - shift.before.light
            for shift in find_shifts(one.plan, other.plan)
        }
        sides = told(flat(found, "best"), name).split("; but ")
        named = [re.findall(r"(\w+) (?:is made on|keeps)", side) for side in sides]
        assert named[0]
        if len(named) == 2:
            both += 1
            assert all(shifts[shot] < 0 for shot in named[0])
            assert all(shifts[shot] > 0 for shot in named[1])
    assert both


def test_a_shot_that_is_cut_is_not_said_to_be_hardly_made():
    """It is named as cut, with what it was."""
    found, shot = with_a_cut()
    text = flat(found, "push")
    assert f"- {shot} is cut; it was made on " in text
    hardly = re.search(r"hardly made any more: ([^-]*)", text)
    assert hardly is None or f"{shot} (was" not in hardly[1]


@pytest.mark.parametrize("minutes", [0, 1])
def test_the_rest_begins_with_the_roll_that_goes_on(minutes):
    """A made shot has a line until the minute in which its roll ends."""
    found = late()
    plan = found.push.plan
    made = {one.shot_id: one.roll_end for one in found.planned.past.made}
    shot = list(made)[-1]
    since = made[shot] - timedelta(minutes=minutes)
    rows = [row for row in likely_rows(plan, since) if not isinstance(row, str)]
    shown = {row[1] for row in rows if row[5] == "made"}
    assert shown == ({shot} if minutes else set())


def test_a_pinned_shot_is_not_dropped():
    """It must be made: where nothing else is still to come, nothing can be dropped."""
    shots = (a_shot("1"), a_shot("2", pin=at("16:00")))
    meal = Meal(earliest=at("18:00"), latest=at("18:30"), length_min=30)
    plan = make_plan(a_day(*shots, meal=meal))
    now = at("15:00")
    found = replan_average(plan.day, as_planned(plan, now), plan.timetable, at=now)
    assert found.push.plan.policy.ids == ("2",)
    assert found.drop_one is None


def test_a_saved_rest_begins_with_what_was_made():
    """In the order in which it was made, then all that is still to come."""
    plan = late().push.plan
    made = tuple(one.shot_id for one in late().planned.past.made)
    assert len(made) > 3
    assert average_of(plan).order == (*made, *plan.policy.ids)
