"""A day with its past: how each event of the log is read when the rest is planned anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial

import numpy as np
import pytest

from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import Span
from sunsched.day.past import Made, Past
from sunsched.errors import FolderError
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.read import read_day
from sunsched.plan.timetable import Roll, Timetable
from sunsched.show.text.past import past_texts
from sunsched.underway.state import day_so_far

DAY = """\
title = "Salt pans"
date = 2027-06-09

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Etc/UTC"

[hours]
crew_call = "06:00"
wrap = "19:00"

[meal]
latest_after_call_min = 360
length_min = 60

[[spot]]
name = "pans"

[[spot]]
name = "mill"
open = ["08:00-12:00", "14:00-18:00"]

[[cast]]
name = "Ana"

[[cast]]
name = "Ben"
here = ["08:00-15:00"]
"""
SHOTS = """\
id,description,size,spot,look,shoot_min,setup_min,adjust_min,cast,pin
1,The pans,wide,pans,N,30,20,10,,
2,Ana rakes,medium,pans,N,20,20,10,Ana,
3,Ben waits,close-up,mill,W,15,20,10,Ben,
4,The sky,insert,pans,N,10,20,10,,10:00
"""
NEW = "id=3A description=New size=insert spot=pans look=N shoot_min=5"


def at(clock):
    """Give a clock time of the day, which is kept in UTC."""
    hour, minute = map(int, clock.split(":"))
    return datetime(2027, 6, 9, hour, minute, tzinfo=UTC)


def planned(*rolls, meal=None):
    """Make a plan of `(id, changeover start, roll start)`."""
    return Timetable(
        rolls=tuple(
            Roll(shot_id=shot, changeover_start=at(start), roll_start=at(roll))
            for shot, start, roll in rolls
        ),
        meal_start=None if meal is None else at(meal),
    )


PLAN = planned(("1", "06:10", "06:30"), ("2", "07:00", "07:10"), ("3", "07:30", "08:10"))


def wanting(cells, _):
    """Want one event, whatever is in the log."""
    return [cells]


@pytest.fixture
def so_far(make_folder):
    """Give a function from lines such as `06:40 rolled 1` to the day with its past."""
    folder = make_folder(day=DAY, shots=SHOTS)
    day = read_day(folder)

    def call(now, *lines, late_min=0, plan=PLAN):
        (folder / "log.csv").unlink(missing_ok=True)
        for line in lines:
            when, word, *rest = line.split()
            cells = {"event": word, "at": when}
            named = dict(part.split("=", 1) for part in rest if "=" in part)
            plain = [part for part in rest if "=" not in part]
            if word in ("late", "cloud"):
                cells["value"] = plain[0]
            elif plain:
                cells |= dict(zip(("subject", "value"), plain, strict=False))
            note_events(folder, day, partial(wanting, cells | named))
        events = read_log(folder, day).events
        return day_so_far(day, events, at=at(now), late_min=late_min, planned=plan)

    return call


def test_nothing_happened_and_nothing_begun(so_far):
    """Before the first changeover the day is as it was, free from the call on."""
    day = so_far("05:30")
    assert day.past == Past(at=at("05:30"), free_at=at("06:00"))
    assert so_far("06:05", plan=None).past == Past(at=at("06:05"), free_at=at("06:05"))


def test_made_shot_keeps_its_real_minutes(so_far):
    """A roll of 41 minutes is one of 41 minutes, and its changeover began as it was planned."""
    day = so_far("07:21", "06:40 rolled 1", "07:21 done 1")
    assert day.past is not None
    assert day.past.made == (
        Made(
            shot_id="1",
            changeover_start=at("06:10"),
            roll_start=at("06:40"),
            roll_end=at("07:21"),
        ),
    )
    assert day.shot("1").shoot_min == 41
    assert day.shot("2").shoot_min == 20
    assert (day.past.free_at, day.past.running) == (at("07:21"), None)


@pytest.mark.parametrize(
    ("plan", "began"),
    [
        (PLAN, "07:05"),  # planned at 07:00, while the other still rolled
        (planned(("2", "07:12", "07:25")), "07:12"),  # planned while the crew was free
        (planned(("2", "07:40", "07:50")), "07:05"),  # rolled sooner than that
        (None, "07:05"),
    ],
)
def test_changeover_of_a_made_shot(so_far, plan, began):
    """It began when planned, but not before the roll before it ended nor after its own."""
    day = so_far("07:30", "06:30 rolled 1", "07:05 done 1", "07:20 rolled 2", plan=plan)
    assert day.past is not None
    assert day.past.made[-1].changeover_start == at(began)


@pytest.mark.parametrize(
    ("lines", "now", "end"),
    [
        (["06:40 rolled 1"], "06:50", "07:10"),
        (["06:40 rolled 1"], "07:10", "07:10"),
        (["06:40 rolled 1"], "07:11", "07:11"),
        (["06:40 rolled 1", "06:50 more 1 15"], "06:55", "07:25"),
        (["06:20 more 1 15", "06:40 rolled 1"], "06:55", "07:25"),
        (["06:40 rolled 1", "06:50 late 5"], "06:55", "07:15"),
        (["06:35 late 60", "06:40 rolled 1"], "06:55", "07:10"),
    ],
)
def test_running_roll_ends_when_it_is_expected_to(so_far, lines, now, end):
    """Its planned minutes, more takes and minutes lost meanwhile; never before now."""
    day = so_far(now, *lines)
    past = day.past
    assert past is not None
    assert (past.running, past.made[-1].roll_end, past.free_at) == ("1", at(end), at(end))
    assert day.shot("1").shoot_min == (at(end) - at("06:40")) / timedelta(minutes=1)
    assert past.building is None


def test_roll_of_no_minutes_takes_one(so_far):
    """Noted as begun and done in one minute, twice over, the rolls do not overlap."""
    day = so_far("06:41", "06:40 rolled 1", "06:40 done 1", "06:40 rolled 2", "06:40 done 2")
    assert day.past is not None
    spans = [(one.roll_start, one.roll_end) for one in day.past.made]
    assert spans == [(at("06:40"), at("06:41")), (at("06:41"), at("06:42"))]
    assert [day.shot("1").shoot_min, day.shot("2").shoot_min] == [1, 1]
    assert day.past.free_at == at("06:42")


@pytest.mark.parametrize(
    ("lines", "now", "late_min", "free"),
    [
        (["06:05 late 20"], "06:10", 0, "06:25"),
        (["05:30 late 20"], "05:40", 0, "06:20"),  # from the call on, when work would begin
        (["06:05 late 20", "06:10 late 5"], "06:12", 0, "06:30"),
        (["06:05 late 20"], "06:40", 0, "06:40"),
        ([], "06:10", 15, "06:25"),
        (["06:05 late 20"], "06:10", 15, "06:40"),
        (["06:40 rolled 1"], "06:50", 15, "07:25"),
        (["06:40 rolled 1", "07:00 done 1", "07:00 late 10"], "07:05", 0, "07:10"),
        (["11:00 meal"], "11:20", 0, "12:00"),
        (["11:00 meal", "11:50 late 10"], "11:55", 0, "12:10"),
    ],
)
def test_when_the_crew_is_free(so_far, lines, now, late_min, free):
    """After now, the roll, the meal, and the minutes that are lost."""
    past = so_far(now, *lines, late_min=late_min, plan=None).past
    assert past is not None
    assert past.free_at == at(free)


MADE = ("06:30 rolled 1", "07:05 done 1")
FIRST = ("06:30 rolled 1", "06:50 done 1")


@pytest.mark.parametrize(
    ("lines", "now", "late_min", "building"),
    [
        ((), "06:10", 0, None),  # begun this very minute: nothing is won by it
        ((), "06:11", 0, ("1", "06:10")),
        ((), "06:25", 0, ("1", "06:10")),
        (MADE, "07:10", 0, ("2", "07:05")),  # not before the camera stopped
        (FIRST, "06:55", 0, None),  # planned for 07:00
        (FIRST, "07:05", 0, ("2", "07:00")),
        ((*MADE, "07:08 cut 2"), "07:40", 0, ("3", "07:30")),
        ((*MADE, "07:08 cut 2"), "07:20", 0, None),
        ((*MADE, "07:10 rolled 2"), "07:40", 0, None),
        (("06:30 rolled 2", "06:50 done 2"), "07:05", 0, None),  # the plan is not followed
        ((*MADE, "07:10 late 10"), "07:25", 0, ("2", "07:15")),  # lost while building
        ((*MADE, "07:10 late 10"), "07:12", 0, ("2", "07:15")),
        ((*MADE, "07:10 late 10", "07:12 late 10"), "07:35", 0, ("2", "07:25")),
        ((*FIRST, "06:55 late 10"), "07:10", 0, ("2", "07:05")),  # lost before
        ((*MADE,), "07:10", 10, ("2", "07:15")),
        ((*MADE, "07:06 meal"), "07:40", 0, None),
        ((*MADE, "07:06 meal"), "08:10", 0, ("2", "08:06")),
    ],
)
def test_what_is_being_built(so_far, lines, now, late_min, building):
    """The next shot of the plan once its changeover has begun, and since when."""
    past = so_far(now, *lines, late_min=late_min).past
    assert past is not None
    found = None if past.building is None else (past.building, past.built_since)
    assert found == (building and (building[0], at(building[1])))


def test_nothing_is_built_while_the_planned_meal_is_to_come(so_far):
    """A crew that is at lunch by the plan does not build what comes after it."""
    plan = planned(("1", "06:10", "06:30"), ("2", "08:00", "08:10"), meal="07:00")
    for lines, building in (((), None), (("07:00 meal",), "2")):
        past = so_far("08:05", "06:30 rolled 1", "07:00 done 1", *lines, plan=plan).past
        assert past is not None
        assert past.building == building


def test_meal_whose_time_has_gone_by_is_had_at_once(so_far):
    """Not had by 12:00, it is moved to when the crew is free; had, or in time, it stays."""
    assert so_far("11:59").meal.latest == at("12:00")
    assert so_far("12:10").meal.latest == at("12:10")
    assert so_far("11:50", late_min=20).meal.latest == at("12:10")
    assert so_far("11:50", "11:40 rolled 1").meal.latest == at("12:10")
    had = so_far("13:30", "11:30 meal")
    assert had.meal.latest == at("12:00")
    assert had.past is not None
    assert had.past.meal_start == at("11:30")
    assert had.meal.earliest <= had.meal.latest
    for day, due in (
        (so_far("11:59"), None),
        (so_far("12:10"), at("12:00")),
        (so_far("11:50", late_min=20), at("12:00")),
        (had, None),
    ):
        assert day.past is not None
        assert day.past.meal_due == due
        assert ("lunch was to begin by 12:00" in " ".join(past_texts(day))) is (due is not None)


def test_shots_cut_added_and_longer(so_far):
    """Cut shots stay in the day and lose their pin, new ones stand in order, more is added."""
    day = so_far("07:00", "06:30 cut 4", f"06:35 add {NEW}", "06:40 more 2 15", "06:45 more 2 5")
    assert [shot.id for shot in day.shots] == ["1", "2", "3", "3A", "4"]
    assert day.past is not None
    assert day.past.cut == ("4",)
    assert day.shot("4").pin is None
    assert day.shot("2").shoot_min == 40


@pytest.mark.parametrize(
    ("now", "kept"), [("09:40", True), ("09:50", True), ("09:51", False), ("10:30", False)]
)
def test_pin_that_cannot_be_kept_is_dropped(so_far, now, kept):
    """Pinned at 10:00 with 10 minutes to adjust: 09:50 is in time, a minute later is not."""
    day = so_far(now, "06:30 rolled 1", "07:05 done 1", plan=None)
    assert (day.shot("4").pin is not None) == kept
    assert day.past is not None
    assert day.past.unpinned == (() if kept else ("4",))
    text = "the pin of 4 cannot be kept any more"
    assert (text in " ".join(past_texts(day))) is not kept


def test_a_pin_of_what_is_made_or_cut_is_not_missed(so_far):
    """Rolled at its minute or cut, a shot has no pin any more, and none that went by."""
    for lines in (("10:00 rolled 4",), ("09:00 cut 4",)):
        past = so_far("11:00", *lines, plan=None).past
        assert past is not None
        assert past.unpinned == ()


def test_the_hard_wrap_that_has_gone_by_is_told(so_far):
    """From the hard wrap of 19:00 on, the text says so; a minute before it does not."""
    for now, told in (("18:59", False), ("19:00", True)):
        assert ("the hard wrap was at 19:00" in " ".join(past_texts(so_far(now)))) is told


def test_pin_counts_on_the_build_that_goes_on(so_far):
    """Built since 09:45, the shot can roll at its pin though it is 09:55."""
    plan = planned(("1", "06:10", "06:30"), ("4", "09:45", "10:00"))
    assert so_far("09:55", *MADE, plan=plan).shot("4").pin == at("10:00")


def spans(*clocks):
    """Make spans of `(start, end)` clock times."""
    return tuple(Span(start=at(start), end=at(end)) for start, end in clocks)


@pytest.mark.parametrize(
    ("lines", "ana", "ben"),
    [
        ((), (), (("08:00", "15:00"),)),
        (("09:00 gone Ana",), (("06:00", "09:00"),), (("08:00", "15:00"),)),
        (("09:00 gone Ana from=11:00",), (("06:00", "11:00"),), (("08:00", "15:00"),)),
        (("07:00 gone Ben",), (), (("07:00", "07:00"),)),
        (("07:00 here Ben",), (), (("07:00", "15:00"),)),
        (("16:00 here Ben",), (), (("08:00", "15:00"), ("16:00", "19:00"))),
        (("09:00 gone Ben", "10:00 here Ben"), (), (("08:00", "09:00"), ("10:00", "15:00"))),
        (("09:00 gone Ana", "09:00 here Ana"), (("06:00", "19:00"),), (("08:00", "15:00"),)),
        (
            ("09:00 gone Ana from=15:00", "10:00 here Ana", "10:00 gone Ana from=16:00"),
            (("06:00", "16:00"),),
            (("08:00", "15:00"),),
        ),
    ],
)
def test_who_is_there(so_far, lines, ana, ben):
    """Gone from then on; here until the end of the day's own span, or the hard wrap."""
    day = so_far("17:00", *lines)
    assert [member.here for member in day.cast] == [spans(*ana), spans(*ben)]


@pytest.mark.parametrize(
    ("lines", "mill"),
    [
        (("09:00 closed mill",), (("08:00", "09:00"),)),
        (
            ("09:00 closed mill", "10:00 open mill"),
            (("08:00", "09:00"), ("10:00", "12:00"), ("14:00", "18:00")),
        ),
        (("13:00 open mill",), (("08:00", "12:00"), ("13:00", "18:00"))),
        (("09:00 closed mill from=15:00",), (("08:00", "12:00"), ("14:00", "15:00"))),
    ],
)
def test_which_spots_are_open(so_far, lines, mill):
    """As with people: the day's own hours, changed from then on."""
    assert so_far("17:00", *lines).spot("mill").open == spans(*mill)


def test_cloud_holds_from_then_and_until_then(so_far):
    """Minute by minute: nothing before, the cover that was noted, then what was expected."""
    day = so_far("12:00", "09:00 cloud 80% from=10:00 until=11:00")
    assert day.clouds == (
        CloudHour(time=at("09:59"), cover=0.0),
        CloudHour(time=at("10:00"), cover=0.8),
        CloudHour(time=at("10:59"), cover=0.8),
        CloudHour(time=at("11:00"), cover=0.0),
    )


@pytest.mark.parametrize(
    ("lines", "covers"),
    [
        (("09:00 cloud 0.5",), {"08:59": 0.1, "09:00": 0.5, "18:00": 0.5}),
        (
            ("09:00 cloud 0.5 until=12:00",),
            {"08:00": 0.0, "09:00": 0.5, "11:59": 0.5, "12:00": 0.4, "13:00": 0.5},
        ),
        (
            ("09:00 cloud 0.5", "10:00 cloud 0.9 until=11:00"),
            {"09:30": 0.5, "10:59": 0.9, "11:00": 0.5, "17:00": 0.5},
        ),
    ],
)
def test_cloud_over_a_forecast(make_folder, lines, covers):
    """The forecast rises from 0 at 08:00 to 0.5 at 13:00; what is noted goes over it."""
    folder = make_folder(day=DAY, shots=SHOTS, sky_csv="hour,cloud_cover\n8,0\n13,0.5\n")
    day = read_day(folder)
    for line in lines:
        when, word, value, *rest = line.split()
        cells = {"at": when, "event": word, "value": value} | dict(part.split("=") for part in rest)
        note_events(folder, day, partial(wanting, cells))
    changed = day_so_far(day, read_log(folder, day).events, at=at("18:00"), planned=None)
    times = [(cloud.time - at("00:00")).total_seconds() for cloud in changed.clouds]
    assert times == sorted(set(times))
    for clock, cover in covers.items():
        found = interpolated(changed.clouds, at(clock))
        assert found == pytest.approx(cover, abs=0.001 if clock != "08:59" else 0.01)


def interpolated(clouds, moment):
    """Give the cover at a moment as the fit reads it: straight between two, held outside."""
    seconds = [(cloud.time - moment).total_seconds() for cloud in clouds]
    return float(np.interp(0.0, seconds, [cloud.cover for cloud in clouds]))


def test_undone_events_leave_no_trace(so_far):
    """A day whose events are all taken back is the day without them."""
    plain = so_far("09:00", plan=None)
    undone = so_far(
        "09:00",
        "06:30 cut 1",
        "06:30 gone Ana",
        f"06:35 add {NEW}",
        *["06:40 undo"] * 3,
        plan=None,
    )
    assert undone == plain


def test_day_without_events_plans_as_before(so_far):
    """Everything but the past is the day's own."""
    assert replace(so_far("05:30"), past=None) == replace(so_far("05:30", plan=None), past=None)


def test_moment_before_the_last_event_is_refused(so_far):
    """At the last event is in time, a minute before it is not."""
    so_far("07:05", *MADE)
    with pytest.raises(FolderError) as refused:
        so_far("07:04", *MADE)
    assert str(refused.value) == (
        "log.csv: its last event is later than 07:04: `07:05` (expected 07:05 or later)"
    )


def test_events_that_contradict_the_day_are_all_told(make_folder):
    """A log that belongs to another day's shots and people is refused, event by event."""
    day = read_day(make_folder(day=DAY, shots=SHOTS))
    rows = [(Kind.ROLLED, "9"), (Kind.GONE, "Zoe"), (Kind.ROLLED, "1"), (Kind.MEAL, "")]
    events = [
        Event(number=number, at=at("07:00"), kind=kind, since=at("07:00"), subject=subject)
        for number, (kind, subject) in enumerate(rows, 1)
    ]
    with pytest.raises(FolderError) as refused:
        day_so_far(day, events, at=at("08:00"), planned=None)
    assert str(refused.value).startswith("log.csv, event 1, subject: no such shot: `9`")
    assert [(one.column, one.problem) for one in refused.value.faults] == [
        ("subject", "no such shot"),
        ("subject", "not in the day"),
        ("subject", "9 rolls since 07:00"),
        ("event", "1 rolls since 07:00"),
    ]


def test_minutes_lost_stand_with_the_shot_they_put_off(so_far):
    """In its changeover and in its roll; what was lost before them belongs to neither."""
    events = ("06:12 late 15", "06:55 rolled 1", "07:00 late 5", "07:21 done 1")
    past = so_far("07:30", *events).past
    assert past is not None
    [made] = past.made
    assert made.lost_before_roll == ((at("06:12"), at("06:27")),)
    assert made.lost_in_roll == ((at("07:00"), at("07:05")),)
    # The changeover was planned for 06:10, and its roll cuts short what was told to be lost.
    past = so_far("07:30", "06:05 late 10", "06:12 late 60", "06:40 rolled 1", "07:00 done 1").past
    assert past is not None
    assert past.made[0].lost_before_roll == (
        (at("06:10"), at("06:15")),
        (at("06:15"), at("06:40")),
    )
