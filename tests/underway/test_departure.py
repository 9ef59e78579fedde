"""A day that goes by its plan, and the event with which it leaves it.

Minutes of tolerance are common practice, no source; both sides of them are looked at.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import a_day, a_shot, a_span, at

from sunsched.day.model import CastMember, Span
from sunsched.day.past import Made, Past
from sunsched.day.wish import Band, Wish
from sunsched.folder.log.event import Event, Kind
from sunsched.light.fit import fit_day
from sunsched.plan.outlook import Outlook, Prospect
from sunsched.plan.plan import describe_plan
from sunsched.plan.timetable import Roll, Timetable
from sunsched.underway.departure import departure

NORA = CastMember(name="Nora", here=(a_span("6:00", "18:00"),))
DAY = a_day(
    *(a_shot(one) for one in ("1", "2")),
    a_shot("3", cast=("Nora",), spot="mill"),
    a_shot("4"),
    cast=(NORA,),
)
# Changeovers: 20 min, 10 min of adjusting, a move of 20 with 20 of setup, the same back.
PLANNED = Timetable(
    rolls=tuple(
        Roll(shot_id=one, changeover_start=at(begun), roll_start=at(clock))
        for one, begun, clock in (
            ("1", "6:00", "6:20"),
            ("2", "6:50", "7:00"),
            ("3", "7:30", "8:30"),
        )
    ),
    meal_start=at("9:00"),
)


def a_plan(day=DAY, timetable=PLANNED, **changes):
    """Give a plan without shot 4; 3 has waited for 20 minutes."""
    return replace(describe_plan(fit_day(day), timetable, 10**6), **changes)


PLAN = a_plan()


def events(*told: tuple[str, Kind, str | int]):
    """Give events by time, kind, subject or minutes."""
    found = []
    for number, (clock, kind, what) in enumerate(told, 1):
        moment = at(clock)
        words = {"minutes": what} if isinstance(what, int) else {"subject": what}
        found.append(Event(number=number, at=moment, since=moment, kind=kind, **words))
    return tuple(found)


def left(*told: tuple[str, Kind, str | int], plan=PLAN, known=0):
    """Give the time and the reason of leaving the plan; "" for a day that goes by it."""
    found = departure(plan, DAY, events(*told), known)
    if found is None:
        return ""
    return found.why if found.event is None else f"{found.event.at:%H:%M} {found.why}"


R, D = Kind.ROLLED, Kind.DONE
WHOLE = (
    *(("6:20", R, "1"), ("6:50", D, "1"), ("7:00", R, "2"), ("7:30", D, "2")),
    *(("8:30", R, "3"), ("9:00", D, "3"), ("9:00", Kind.MEAL, "")),
)


def test_a_day_that_goes_by_its_plan():
    """The whole of it, and all that stands in between: notes, and what was left out being cut."""
    assert left(*WHOLE) == ""
    told = (*WHOLE[:3], ("7:05", Kind.NOTE, "two takes"), ("7:06", Kind.CUT, "4"), *WHOLE[3:])
    assert left(*told) == ""


@pytest.mark.parametrize(
    ("clock", "said"),
    [
        ("6:14", "06:14 it has 1 rolling at 06:20"),
        ("6:15", ""),
        ("6:25", ""),
        ("6:26", "06:26 it has 1 rolling at 06:20"),
    ],
)
def test_a_roll_in_its_time(clock, said):
    """Five minutes to either side of a planned roll."""
    assert left((clock, R, "1")) == said


def test_a_roll_in_the_time_of_its_likely_starts():
    """Those of the average day, from the tenth to the last tenth, and five minutes around them."""
    prospects = tuple(
        Prospect(
            shot_id=one,
            made=1.0,
            half=1.0,
            light=1.0,
            on_pin=None,
            rolls=Span(start=at(first), end=at(last)),
            not_before=None,
            begin_by=None,
        )
        for one, first, last in (
            ("1", "6:10", "6:40"),
            ("2", "6:50", "7:30"),
            ("3", "8:20", "9:00"),
            ("4", "12:00", "13:00"),
        )
    )
    plan = a_plan(outlook=Outlook(points=1, bound=None, light_kept=1.0, prospects=prospects))
    for clock, said in (
        ("6:04", "06:04 it has 1 rolling between 06:10 and 06:40"),
        ("6:05", ""),
        ("6:45", ""),
        ("6:46", "06:46 it has 1 rolling between 06:10 and 06:40"),
    ):
        assert left((clock, R, "1"), plan=plan) == said, clock
    long = (("6:40", R, "1"), ("7:25", D, "1"))
    assert left(*long, plan=plan) == ""
    longer = (("6:40", R, "1"), ("7:26", D, "1"))
    assert left(*longer, plan=plan) == "07:26 2 can roll at 07:36 at the soonest"
    # The meal may begin where the roll before it is likely to end.
    assert left(*WHOLE[:6], ("9:35", Kind.MEAL, ""), plan=plan) == ""
    late = left(*WHOLE[:6], ("9:36", Kind.MEAL, ""), plan=plan)
    assert late == "09:36 it has the meal beginning between 08:50 and 09:30"


def test_another_order_leaves_it():
    """Shots, the meal, one that it leaves out, and one that it does not have."""
    assert left(("6:30", R, "2")) == "06:30 it has 1 before 2"
    assert left(("6:20", R, "4")) == "06:20 it leaves 4 out"
    assert left(*WHOLE[:4], ("7:35", Kind.MEAL, "")) == "07:35 it has 3 before the meal"
    assert left(("6:00", Kind.ADD, "5")) == "06:00 it does not have this shot"
    eats = replace(PLANNED, meal_start=at("7:30"), rolls=PLANNED.rolls[:2])
    early = replace(DAY, meal=replace(DAY.meal, earliest=at("7:00")))
    third = Roll(shot_id="3", changeover_start=at("8:30"), roll_start=at("9:10"))
    plan = a_plan(day=early, timetable=replace(eats, rolls=(*eats.rolls, third)))
    assert left(*WHOLE[:4], ("9:10", R, "3"), plan=plan) == "09:10 it has the meal before 3"


def test_a_roll_that_ends_late_leaves_it_where_the_next_cannot_be_in_time():
    """The next has five minutes; the one after it has a wait of 20 minutes to take up the rest."""
    assert left(WHOLE[0], ("6:55", D, "1")) == ""
    assert left(WHOLE[0], ("6:56", D, "1")) == "06:56 2 can roll at 07:06 at the soonest"
    assert left(*WHOLE[:3], ("7:55", D, "2")) == ""
    assert left(*WHOLE[:3], ("7:56", D, "2")) == "07:56 3 can roll at 08:36 at the soonest"
    assert left(*WHOLE[:3], ("7:05", Kind.MORE, 10)) == ""


def test_minutes_lost():
    """What a wait takes up is lost without harm; the same before, in and after a changeover."""
    late = Kind.LATE
    assert left(("6:05", late, 5)) == ""
    assert left(("6:05", late, 6)) == "06:05 1 can roll at 06:26 at the soonest"
    assert left(*WHOLE[:4], ("7:35", late, 25)) == ""
    assert left(*WHOLE[:4], ("7:35", late, 26)) == "07:35 3 can roll at 08:36 at the soonest"
    assert left(*WHOLE[:3], ("7:10", late, 25)) == ""
    assert left(*WHOLE[:3], ("7:10", late, 26)) == "07:10 3 can roll at 08:36 at the soonest"
    # In the wait, when all is built.
    assert left(*WHOLE[:4], ("8:15", late, 20)) == ""
    assert left(*WHOLE[:4], ("8:15", late, 21)) == "08:15 3 can roll at 08:36 at the soonest"


def test_more_minutes():
    """Of the shot that rolls and of one to come; they count on top of its own."""
    told = [replace(one, minutes=5) for one in events(("6:25", Kind.MORE, "1"))]
    more = [*events(WHOLE[0]), replace(told[0], number=2)]
    assert departure(PLAN, DAY, more, 0) is None
    later = [replace(told[0], subject="2", minutes=25)]
    assert departure(PLAN, DAY, later, 0) is None
    for told, said in (
        ([more[0], replace(more[1], minutes=6)], "2 can roll at 07:06 at the soonest"),
        ([replace(later[0], minutes=26)], "3 can roll at 08:36 at the soonest"),
    ):
        found = departure(PLAN, DAY, told, 0)
        assert found is not None
        assert found.why == said


def test_the_meal():
    """Five minutes; and a meal that can no longer begin in time."""
    assert left(*WHOLE[:6], ("9:05", Kind.MEAL, "")) == ""
    late = left(*WHOLE[:6], ("9:06", Kind.MEAL, ""))
    assert late == "09:06 it has the meal beginning at 09:00"
    latest = replace(DAY, meal=replace(DAY.meal, earliest=at("9:00"), latest=at("9:00")))
    fourth = Roll(shot_id="4", changeover_start=at("10:00"), roll_start=at("12:00"))
    timed = replace(PLANNED, rolls=(*PLANNED.rolls, fourth))
    plan = a_plan(day=latest, timetable=timed)
    assert left(*WHOLE[:5], ("9:01", D, "3"), plan=plan) == (
        "09:01 the meal can begin at 09:01 at the soonest"
    )
    assert left(*WHOLE[:6], ("9:00", Kind.LATE, 30), plan=a_plan(timetable=timed)) == ""
    none = a_plan(timetable=Timetable(rolls=PLANNED.rolls[:2]))
    assert left(*WHOLE[:4], ("7:30", Kind.MEAL, ""), plan=none) == "07:30 it has no meal"


def test_cut_shots_leave_it_where_it_has_them():
    """One that it leaves out anyway does not."""
    assert left(("6:10", Kind.CUT, "3")) == "06:10 it has 3"
    assert left(("6:10", Kind.CUT, "4")) == ""


def test_people_and_spots():
    """Someone who goes after their last shot, or comes back before, leaves it as it is."""
    assert left(("6:10", Kind.GONE, "Nora")) == "06:10 3 cannot roll at 08:30 any more"
    assert left(*WHOLE[:6], ("9:00", Kind.GONE, "Nora")) == ""
    assert left(("6:10", Kind.CLOSED, "mill")) == "06:10 3 cannot roll at 08:30 any more"
    assert left(("6:10", Kind.OPEN, "mill")) == ""
    soon = replace(events(("6:10", Kind.GONE, "Nora"))[0], since=at("9:10"))
    found = departure(PLAN, DAY, [soon], 0)
    assert found is not None
    assert found.why == "the last start of 3 is 08:40"


def test_clouds_leave_it_where_a_last_start_goes():
    """A shot that wants the sun loses it; one that asks nothing has its light all the same."""
    cloud = replace(events(("6:10", Kind.CLOUD, ""))[0], cover=1.0)
    assert departure(PLAN, DAY, [cloud], 0) is None
    sunny = replace(
        DAY,
        shots=tuple(
            replace(one, wish=Wish(elevation=Band(low_deg=0.0, high_deg=90.0, give_deg=5.0)))
            if one.id == "3"
            else one
            for one in DAY.shots
        ),
        sizes={size: replace(facts, flat=0.0, control=0.0) for size, facts in DAY.sizes.items()},
    )
    plan = a_plan(day=sunny)
    found = departure(plan, sunny, [cloud], 0)
    assert found is not None
    assert found.why == "3 has less than half of its light"
    over = replace(cloud, until=at("7:00"))
    assert departure(plan, sunny, [over], 0) is None


def test_what_a_plan_knows_is_not_held_against_it():
    """A plan of the rest goes on from there; an event that it knows may be taken back."""
    late = (("6:05", Kind.LATE, 30), ("6:50", R, "1"))
    assert left(*late, known=2) == ""
    undo = Event(number=2, at=at("6:10"), since=at("6:10"), kind=Kind.UNDO, undone=1)
    both = (*events(("6:05", Kind.LATE, 30)), undo)
    assert departure(PLAN, DAY, both, 0) is None
    found = departure(PLAN, DAY, both, 1)
    assert found is not None
    assert (found.event, found.why) == (None, "an event that it knows was taken back")


def test_a_plan_of_the_rest():
    """It begins where its crew is free, in the middle of a build."""
    past = Past(
        at=at("6:55"),
        free_at=at("6:55"),
        made=(
            Made(
                shot_id="1",
                changeover_start=at("6:00"),
                roll_start=at("6:20"),
                roll_end=at("6:50"),
            ),
        ),
        building="2",
        built_since=at("6:50"),
    )
    plan = a_plan(day=replace(DAY, past=past))
    known = WHOLE[:2]
    assert left(*known, *WHOLE[2:], plan=plan, known=2) == ""
    assert left(*known, ("6:56", Kind.LATE, 5), plan=plan, known=2) == ""
    said = left(*known, ("6:56", Kind.LATE, 6), plan=plan, known=2)
    assert said == "06:56 2 can roll at 07:06 at the soonest"
