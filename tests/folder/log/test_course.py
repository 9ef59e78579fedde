"""The course of a day at its limits: how many shots it takes, and how long one of them lasts."""

from __future__ import annotations

import pytest
from builders import a_day, a_shot, at

from sunsched.day.model import CastMember
from sunsched.folder.log.course import begin, objections
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.shot_list.columns import MAX_SHOOT
from sunsched.folder.shot_list.shots import MAX_SHOTS
from sunsched.folder.text.findings import Findings, Where


def an_event(number: int, kind: Kind, subject: str = "", **facts) -> Event:
    """Give an event at seven."""
    when = at("7:00")
    return Event(number=number, at=when, since=when, kind=kind, subject=subject, **facts)


def test_a_day_takes_so_many_shots_and_no_more():
    """Those of the list and those that were added."""
    day = a_day(*(a_shot(str(number)) for number in range(MAX_SHOTS - 1)))
    course, findings = begin(day), Findings()
    for number in (1, 2):
        added = an_event(number, Kind.ADD, f"new {number}", shot=a_shot(f"new {number}"))
        course.take(added, Where(file="log.csv"), findings)
        assert len(findings.faults) == number - 1
    (fault,) = findings.faults
    assert f"{MAX_SHOTS + 1} shots (expected at most {MAX_SHOTS})" in str(fault)


@pytest.mark.parametrize(
    ("minutes", "room"),
    [
        ((MAX_SHOOT - 30,), None),
        ((MAX_SHOOT - 29,), MAX_SHOOT - 30),
        ((300, 300, 100), MAX_SHOOT - 630),
        ((900, 5), 0),
    ],
)
def test_a_shot_lasts_so_long_and_no_longer(minutes, room):
    """With all that was added to it; where a slip of the log is too long, nothing more has room."""
    day, found = a_day(a_shot("1", shoot_min=30)), []
    course = begin(day)
    for number, more in enumerate(minutes, 1):
        event = an_event(number, Kind.MORE, "1", minutes=more)
        found = list(objections(day, course.now, event))
        course.take(event, Where(file="log.csv"), Findings())
    assert [one.expected for one in found] == ([] if room is None else [f"at most {room}"])


def test_who_is_gone_stays_gone_whoever_else_goes():
    """Each of the cast and each spot is told apart."""
    day = a_day(a_shot("1"), cast=tuple(CastMember(name=name) for name in ("Ana", "Ben")))
    course, findings = begin(day), Findings()
    for number, name in enumerate(("Ana", "Ben"), 1):
        course.take(an_event(number, Kind.GONE, name), Where(file="log.csv"), findings)
    course.take(an_event(3, Kind.CLOSED, "pans"), Where(file="log.csv"), findings)
    assert findings.faults == []
    (found,) = objections(day, course.now, an_event(4, Kind.GONE, "Ana"))
    assert (found.problem, found.expected) == ("Ana is gone already", "`here` first")
    assert list(objections(day, course.now, an_event(4, Kind.HERE, "Ben"))) == []


def test_nothing_is_taken_back_from_a_day_that_has_not_begun():
    """And the day goes on from there."""
    course = begin(a_day(a_shot("1")))
    findings = Findings()
    course.take(an_event(1, Kind.UNDO, undone=1), Where(file="log.csv"), findings)
    assert len(findings.faults) == 1
    course.take(an_event(2, Kind.ROLLED, "1"), Where(file="log.csv"), findings)
    assert course.now.running is not None
    course.take(an_event(3, Kind.UNDO, undone=2), Where(file="log.csv"), findings)
    assert course.now.last is None
    assert len(findings.faults) == 1
