"""A stretch that went as planned: its events, each at its time, and none that is noted already."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import a_day, a_shot, at

from sunsched.errors import SunschedError
from sunsched.folder.log.course import begin
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.log.log import Log
from sunsched.folder.text.findings import Findings, Where
from sunsched.plan.timetable import Roll, Timetable
from sunsched.underway.as_planned import events_as_planned

DAY = a_day(*(a_shot(one, shoot_min=30) for one in ("1", "2", "3")))
PLANNED = Timetable(
    rolls=tuple(
        Roll(shot_id=one, changeover_start=at(clock), roll_start=at(clock))
        for one, clock in (("1", "7:00"), ("2", "7:30"), ("3", "9:00"))
    ),
    meal_start=at("8:00"),
)
WHOLE = [
    *(("07:00", "rolled 1"), ("07:30", "done 1"), ("07:30", "rolled 2")),
    *(("08:00", "done 2"), ("08:00", "meal"), ("09:00", "rolled 3"), ("09:30", "done 3")),
]


def a_log(*events: tuple[str, Kind, str], day=DAY) -> Log:
    """Give a log of events by time, kind and subject; more minutes are ten."""
    course, findings = begin(day), Findings()
    found = [
        Event(number=number, at=at(clock), since=at(clock), kind=kind, subject=subject, minutes=10)
        for number, (clock, kind, subject) in enumerate(events, 1)
    ]
    for event in found:
        course.take(event, Where(file="log.csv"), findings)
    assert findings.faults == []
    return Log(events=tuple(found), state=course.now, warnings=())


def told(log: Log, until: str, planned: Timetable = PLANNED) -> list[tuple[str, str]]:
    """Give the time and the words of each event."""
    rows = events_as_planned(DAY, log, planned, at(until))
    return [(row["at"][11:16], f"{row['event']} {row['subject']}".strip()) for row in rows]


@pytest.mark.parametrize(
    ("until", "count"),
    [("7:00", 1), ("7:29", 1), ("7:30", 3), ("8:00", 5), ("9:29", 6), ("12:00", 7)],
)
def test_all_that_was_planned_by_then(until, count):
    """At its minute it has happened; an end and a roll of one minute stand in that order."""
    assert told(a_log(), until) == WHOLE[:count]


def test_what_is_noted_is_not_noted_again():
    """Made, cut and running shots, and lunch; it goes on at the minute of the last event."""
    made = a_log(("7:00", Kind.ROLLED, "1"), ("7:30", Kind.DONE, "1"))
    assert told(made, "12:00") == WHOLE[2:]
    running = a_log(("7:00", Kind.ROLLED, "1"))
    assert told(running, "12:00") == WHOLE[1:]
    fed = a_log(("6:30", Kind.CUT, "1"), ("7:00", Kind.MEAL, ""))
    assert told(fed, "12:00") == [*WHOLE[2:4], *WHOLE[5:]]


def test_more_minutes_last_longer():
    """Those of the day that was planned, and those that were added since."""
    assert told(a_log(("6:30", Kind.MORE, "3")), "9:40")[-2:] == [
        ("09:00", "rolled 3"),
        ("09:40", "done 3"),
    ]
    assert told(a_log(("6:30", Kind.MORE, "3")), "9:39")[-1] == ("09:00", "rolled 3")
    longer = replace(DAY, shots=tuple(replace(one, shoot_min=45) for one in DAY.shots))
    assert told(a_log(day=longer), "9:30") == WHOLE


def test_shot_that_is_no_longer_in_the_day_is_only_begun():
    """What reads the events refuses it, and the others go on; one of the log has its own length."""
    other = replace(DAY, shots=(*DAY.shots[1:], a_shot("9", shoot_min=20)))
    assert told(a_log(day=other), "7:30") == [("07:00", "rolled 1"), ("07:30", "rolled 2")]
    nine = Roll(shot_id="9", changeover_start=at("7:00"), roll_start=at("7:00"))
    planned = Timetable(rolls=(nine,))
    assert told(a_log(day=other), "12:00", planned) == [("07:00", "rolled 9"), ("07:20", "done 9")]


@pytest.mark.parametrize(
    ("events", "until", "text"),
    [
        ((), "6:59", "^nothing is planned up to 06:59$"),
        ((("9:30", Kind.NOTE, ""),), "9:29", "`rolled 1` was to be at 07:00, before"),
        ((("8:01", Kind.MEAL, ""),), "9:00", "`rolled 1` was to be at 07:00, before .* 08:01"),
        (
            (("7:00", Kind.ROLLED, "1"), ("7:31", Kind.NOTE, "")),
            "9:00",
            "`done 1` was to be at 07:30, before the last event at 07:31",
        ),
        (
            (("7:00", Kind.CUT, "1"), ("7:00", Kind.CUT, "2"), ("7:00", Kind.CUT, "3")),
            "7:59",
            "^nothing is planned after the last event at 07:00 up to 07:59$",
        ),
    ],
)
def test_a_day_that_went_another_way_says_so(events, until, text):
    """The first thing that was planned and is not noted is named."""
    with pytest.raises(SunschedError, match=text):
        told(a_log(*events), until)


def test_a_day_without_shots_has_nothing_planned():
    """Neither a roll nor a meal."""
    with pytest.raises(SunschedError, match="nothing is planned up to 12:00"):
        told(a_log(), "12:00", Timetable(rolls=()))
