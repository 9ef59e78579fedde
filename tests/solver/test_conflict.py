"""Days without a plan: the text names the rules that collide, no more and no fewer.

Each test lifts every named rule by itself, on the whole day, and finds that a plan exists then.
"""

from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from itertools import count

import builders
import pytest
from builders import a_place, a_shot, the_hours

from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import (
    CastMember,
    Hours,
    Meal,
    Size,
    Spot,
)
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.errors import DayImpossible, FolderError
from sunsched.solver.conflict import collision_text, hours_liftable, liftables, pins_text
from sunsched.solver.machine.halt import ask_for_end, forget_end
from sunsched.solver.search.budget import until
from sunsched.solver.solve import make_plan

APRIL = date(2027, 4, 20)
at = partial(builders.at, on=APRIL)
span = partial(builders.a_span, on=APRIL)


def a_day(*shots, **changes):
    """Give a day on the prime meridian at 36° north, 07:00 to 17:00, lunch from 11:00 to 12:00."""
    facts = {
        "hours": the_hours("7:00", "17:00", APRIL),
        "meal": Meal(earliest=at("11:00"), latest=at("12:00"), length_min=60),
        "spots": (Spot(name="pans"),),
        "place": a_place(latitude_deg=36),
    }
    return builders.a_day(*shots, on=APRIL, **(facts | changes))


def named(day):
    """Give the rules that the refusal of a day names, one a line."""
    with pytest.raises(DayImpossible) as caught:
        make_plan(day)
    head, *lines = str(caught.value).splitlines()
    assert head.startswith("no plan exists")
    return {line.strip() for line in lines}


def without_pin(day, shot_id):
    """Take a pin away; the shot stays on the list."""
    return replace(
        day, shots=tuple(replace(s, pin=None) if s.id == shot_id else s for s in day.shots)
    )


def without_hold(day, shot_id):
    """Take a hold away; the shot stays on the list."""
    return replace(
        day, shots=tuple(replace(s, hold=False) if s.id == shot_id else s for s in day.shots)
    )


def without_after(day, shot_id):
    """Take away what a shot comes after."""
    return replace(
        day, shots=tuple(replace(s, after=()) if s.id == shot_id else s for s in day.shots)
    )


def without_meal(day):
    """Let the day run without lunch."""
    return replace(day, meal=replace(day.meal, latest=day.hours.hard_wrap))


def longer(day):
    """Give the day three hours more."""
    end = day.hours.hard_wrap + timedelta(hours=3)
    return replace(day, hours=replace(day.hours, wrap=end, hard_wrap=end))


def has_plan(*days):
    """Say whether each of these days has a plan that makes something."""
    return all(make_plan(day).shots for day in days)


def test_two_pins_collide():
    """Two shots of 30 minutes cannot be pinned 20 minutes apart; a third shot has no part in it."""
    day = a_day(a_shot("1", pin=at("9:00")), a_shot("2", pin=at("9:20")), a_shot("3"))
    assert named(day) == {"1 is pinned to 09:00", "2 is pinned to 09:20"}
    assert has_plan(without_pin(day, "1"), without_pin(day, "2"))


def test_two_pins_with_room_for_the_changeover_do_not_collide():
    """Roll 30 and adjust 10: pins 40 minutes apart are fine, 39 minutes collide."""
    first = a_shot("1", pin=at("9:00"))
    assert has_plan(a_day(first, a_shot("2", pin=at("9:40"))))
    assert len(named(a_day(first, a_shot("2", pin=at("9:39"))))) == 2


def test_pin_outside_cast_hours():
    """Ana comes at ten, the pin is at nine: these two, not the other shot with her."""
    ana = CastMember(name="Ana", here=(span("10:00", "15:00"),))
    day = a_day(a_shot("1", pin=at("9:00"), cast=("Ana",)), a_shot("2", cast=("Ana",)), cast=(ana,))
    assert named(day) == {"1 is pinned to 09:00", "the hours of Ana"}
    free = replace(day, cast=(replace(ana, here=()),))
    assert has_plan(without_pin(day, "1"), free)


def test_pin_inside_closed_hours():
    """The pans open at ten and the pin is at nine."""
    pans = Spot(name="pans", open=(span("10:00", "15:00"),))
    day = a_day(a_shot("1", pin=at("9:00")), a_shot("2"), spots=(pans,))
    assert named(day) == {"1 is pinned to 09:00", "the opening hours of pans"}
    assert has_plan(without_pin(day, "1"), replace(day, spots=(Spot(name="pans"),)))


def test_setup_inside_closed_hours():
    """A spot must be open from the setup on: 20 minutes before the pin are enough, 19 are not."""
    shot = a_shot("1", pin=at("9:00"))
    soon, late = (Spot(name="pans", open=(span(t, "15:00"),)) for t in ("8:40", "8:41"))
    assert has_plan(a_day(shot, spots=(soon,)))
    assert named(a_day(shot, spots=(late,))) == {
        "1 is pinned to 09:00",
        "the opening hours of pans",
    }


def test_pin_against_a_hold_that_never_comes():
    """No sun above 80° stands over 36° north in April; the pin makes the shot a must."""
    never = Wish(elevation=Band(low_deg=80.0, high_deg=90.0, give_deg=5.0))
    day = a_day(a_shot("1", pin=at("9:00"), hold=True, wish=never), a_shot("2"))
    assert named(day) == {"1 is pinned to 09:00", "1 is held for its sun"}
    assert has_plan(without_pin(day, "1"), without_hold(day, "1"))


def test_pins_against_their_order():
    """A shot pinned before the one that it comes after: either pin or the order must go."""
    day = a_day(a_shot("1", pin=at("10:00")), a_shot("2", pin=at("9:00"), after=("1",)))
    assert named(day) == {"1 is pinned to 10:00", "2 is pinned to 09:00", "2 comes after 1"}
    assert has_plan(without_pin(day, "1"), without_pin(day, "2"), without_after(day, "2"))


def test_meal_squeezed_out_by_pins():
    """One pin rolls from 10:50 to 11:50, the next is at 12:30: lunch cannot start by noon."""
    day = a_day(
        a_shot("1", pin=at("10:50"), shoot_min=60), a_shot("2", pin=at("12:30")), a_shot("3")
    )
    assert named(day) == {
        "1 is pinned to 10:50",
        "2 is pinned to 12:30",
        "the meal and its latest start",
    }
    assert has_plan(without_pin(day, "1"), without_pin(day, "2"), without_meal(day))


def test_day_too_short_for_anything():
    """A day of 40 minutes has no room for a setup of 20 and a roll of 30: the hours alone."""
    hours = Hours(
        crew_call=at("7:00"), first_roll=at("7:00"), wrap=at("7:40"), hard_wrap=at("7:40")
    )
    day = a_day(a_shot("1"), a_shot("2"), hours=hours)
    assert named(day) == {"the hours from 07:00 to 07:40"}
    assert has_plan(longer(day))


def test_pin_past_the_end_of_the_day():
    """A pin at 16:45 ends its roll 15 minutes past the hard wrap: the day is at fault."""
    with pytest.raises(FolderError, match="a pin outside the day: `16:45`"):
        make_plan(a_day(a_shot("1", pin=at("16:45")), a_shot("2")))


def test_meal_that_no_slot_of_the_grid_can_start_is_never_planned():
    """Lunch at 11:02 exactly stands between two slots of five minutes: no plan runs past it."""
    meal = Meal(earliest=at("11:02"), latest=at("11:02"), length_min=60)
    plan = make_plan(a_day(a_shot("1"), a_shot("2"), meal=meal))
    assert plan.meal is None
    assert plan.shots[-1].roll_end <= at("11:02")


def test_empty_list_is_refused():
    """Without shots there is no plan, and the text says so."""
    with pytest.raises(FolderError, match="no shots"):
        make_plan(a_day())


def test_every_named_rule_is_a_demand_of_the_day():
    """What is named is always one of the day's own rules."""
    day = a_day(a_shot("1", pin=at("9:00")), a_shot("2", pin=at("9:20")))
    assert named(day) <= {one.text for one in (*liftables(day), hours_liftable(day))}


def test_day_without_any_light_says_so():
    """Two shots that want the day get nothing at night; the text names both and what fails."""
    call, wrap = at("21:00"), at("23:30")
    night = {
        "hours": Hours(crew_call=call, first_roll=call, wrap=wrap, hard_wrap=wrap),
        "meal": Meal(earliest=call, latest=wrap, length_min=60),
    }
    back = Wish(side=SunSide.BACK)
    with pytest.raises(DayImpossible) as caught:
        make_plan(a_day(a_shot("1", wish=back), a_shot("2"), **night))
    head, *lines = str(caught.value).splitlines()
    assert head == "no shot gets any of its light within the hours"
    assert [line.split(":")[0].strip() for line in lines] == ["1", "2"]
    assert all("daylight" in line for line in lines)


def test_no_day_is_refused_for_want_of_sun():
    """Full cloud, or a sun that never stands right, is a day all the same: it has a plan."""
    never = Wish(elevation=Band(low_deg=80.0, high_deg=90.0, give_deg=5.0))
    held = a_shot("2", wish=Wish(side=SunSide.BACK), size=Size.WIDE)
    cloud = (CloudHour(time=at("06:00"), cover=1.0),)
    assert make_plan(a_day(a_shot("1", wish=never), a_shot("2", wish=never))).shots
    plan = make_plan(a_day(a_shot("1", wish=never), held, clouds=cloud))
    assert {one.shot.id for one in plan.shots} == {"1", "2"}


def test_pins_that_cannot_stand_together_are_told_without_a_search(monkeypatch):
    """One roll within another, or the wrong way round: named before anything is solved."""
    monkeypatch.setattr("sunsched.solver.solve.solve", None)
    monkeypatch.setattr("sunsched.solver.solve.possible_timetable", None)
    within = a_day(a_shot("1", pin=at("9:00")), a_shot("2", pin=at("9:29")))
    assert named(within) == {"1 is pinned to 09:00", "2 is pinned to 09:29"}
    first, second = a_shot("1", pin=at("10:00")), a_shot("2", pin=at("9:00"), after=("1",))
    turned = a_day(first, second)
    assert named(turned) == {"1 is pinned to 10:00", "2 is pinned to 09:00", "2 comes after 1"}
    touching = a_day(a_shot("1", pin=at("9:00")), a_shot("2", pin=at("9:30")))
    assert pins_text(touching) == ""


def test_an_impossible_day_is_told_before_it_is_solved(monkeypatch):
    """Where a check on the minute grid finds no plan, no solve looks for one until its limit."""
    monkeypatch.setattr("sunsched.solver.solve.solve", None)
    day = a_day(a_shot("1", pin=at("9:00")), a_shot("2", pin=at("9:39")), a_shot("3"))
    assert named(day) == {"1 is pinned to 09:00", "2 is pinned to 09:39"}


def test_rules_that_there_was_no_time_to_decide_are_named_apart():
    """Asked so often, the time is over: what is known then is told, and no rule is lost."""
    cast = (CastMember(name="Ana", here=(span("10:00", "15:00"),)),)
    day = a_day(a_shot("1", pin=at("9:00"), cast=("Ana",)), a_shot("2", cast=("Ana",)), cast=cast)

    def told(most):
        asks = count(1)
        head, *lines = collision_text(day, lambda: next(asks) <= most).splitlines()
        return head, lines, next(asks) - 1

    every = [f"  {one.text}" for one in (*liftables(day), hours_liftable(day))]
    head, lines, _ = told(0)
    assert head == "no plan exists; the reasons are among these, there was no time for more:"
    assert lines == every
    _, collide, asked = told(10_000)
    head, lines, _ = told(asked - 1)
    assert head == (
        "no plan exists; among the reasons, each of which makes one possible if it is lifted:"
    )
    open_rules = "there was no time to tell which of these have a part in it:"
    assert lines == [*collide, open_rules, every[-1]]


def test_an_end_that_is_asked_for_ends_the_naming_too():
    """Ctrl-C, or a limit: it is told as far as it is known, and not as undecided."""
    day = a_day(a_shot("1", pin=at("9:00")), a_shot("2", pin=at("9:39")))
    assert collision_text(day, until(0.0)).startswith("no plan exists; the reasons are among these")
    ask_for_end()
    try:
        assert collision_text(day).startswith("no plan exists; the reasons are among these")
    finally:
        forget_end()
