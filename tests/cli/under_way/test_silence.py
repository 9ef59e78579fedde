"""After a silence of the log, what has happened since is assumed only when told."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import cast

import pytest
from builders import a_day, a_shot, at

from sunsched.cli.shared.silence import Assume, note_assumed, silent_events
from sunsched.errors import SunschedError
from sunsched.folder.log.course import begin
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.log.log import Log, read_log
from sunsched.folder.read import read_day
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.plan_file import Revision
from sunsched.saved.silence import _assumed

DATA = Path(__file__).parents[3] / "data"


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """Give a demo day to be planned once."""
    folder = tmp_path_factory.mktemp("silence") / "day"
    shutil.copytree(DATA / "last-lamp", folder, ignore=shutil.ignore_patterns("plans"))
    return folder


@pytest.fixture
def day(planned, tmp_path, run):
    """Give a copy of it with a saved plan for planned minutes, to note things in."""
    if not (planned / "plans").exists():
        assert run("plan", planned, "--save", "--for", "planned")[0] == 0
    folder = tmp_path / "day"
    shutil.copytree(planned, folder)
    return folder


def replan(run, folder, at, *more):
    """Replan for planned minutes."""
    return run("replan", folder, "--at", at, "--for", "planned", "--limit", "3", *more)


def test_after_a_silence_it_has_to_be_told(day, run):
    """Not on a terminal nobody can be asked: what the plan has for that time is named."""
    code, out, err = replan(run, day, "07:50")
    assert (code, out) == (2, "")
    assert "nothing is noted; by the plan" in err
    assert "--assume" in err
    assert not (day / "log.csv").exists()
    assert replan(run, day, "06:40")[0] == 0, "forty minutes are no silence"


def test_what_went_by_the_plan_is_made(day, run):
    """It is not noted unless a choice is taken; then a saved plan and the log agree."""
    code, out, err = replan(run, day, "07:50", "--assume", "plan", "--json")
    assert code == 0, err
    assumed = json.loads(out)["assumed"]
    assert [one["event"] for one in assumed][:2] == ["rolled", "done"]
    assert not (day / "log.csv").exists()
    code, _, err = replan(run, day, "07:50", "--assume", "plan", "--take", "best")
    assert code == 0, err
    noted = read_log(day, read_day(day))
    assert len(noted.events) == len(assumed)
    assert revision_numbers(day)[-1] == 2
    assert "the day left" not in run("plan", day, "--revision", "2")[2]


@pytest.mark.slow
def test_only_what_is_noted_has_happened(day, run):
    """The morning is gone, and no shot is made."""
    code, out, _ = replan(run, day, "07:50", "--assume", "log", "--json")
    assert code == 0
    record = json.loads(out)
    assert record["assumed"] == []
    assert not any(shot.get("made") for shot in record["choices"]["best"]["shots"])


@pytest.mark.slow
def test_a_word_of_the_crew_breaks_the_silence(day, run):
    """Half an hour after the last event nothing is asked, and nothing assumed."""
    run("log", day, "late", "20", "--at", "07:20")
    assert replan(run, day, "07:50")[0] == 0


def test_on_a_terminal_it_is_asked(day, run, monkeypatch):
    """Yes takes the plan, no takes the log."""
    asked = []

    def confirm(text, **options):
        assert options == {"default": True, "err": True}
        asked.append(text)
        return len(asked) == 1

    monkeypatch.setattr("sunsched.cli.shared.silence.sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("sunsched.cli.shared.silence.typer.confirm", confirm)
    yes = json.loads(replan(run, day, "07:50", "--json")[1])
    no = json.loads(replan(run, day, "07:50", "--json")[1])
    assert yes["assumed"]
    assert not no["assumed"]
    assert asked[0].endswith("Did it go so?")


@pytest.mark.parametrize(
    ("events", "text"),
    [
        (["rolled 1"], "1 rolls"),
        (["rolled 1", "done 1"], "1 is made"),
        (["rolled 1", "done 1", "rolled 2"], "1 is made and 2 rolls"),
        (
            ["rolled 1", "done 1", "rolled 2", "done 2", "meal "],
            "1 and 2 are made and lunch has begun",
        ),
    ],
)
def test_what_would_have_happened_is_named(events, text):
    """Shots that were made roll no more; and since when nothing was noted."""
    day = a_day(a_shot("1"), a_shot("2"))
    course = begin(day)
    rows = [dict(zip(("event", "subject"), one.split(" "), strict=True)) for one in events]
    log = Log(events=(), state=course.now, warnings=())
    assert _assumed(day, log, rows) == f"nothing is noted; by the plan {text}"
    noted = Event(number=1, at=at("6:30"), since=at("6:30"), kind=Kind.NOTE)
    log = Log(events=(noted,), state=replace(course.now, last=noted), warnings=())
    assert _assumed(day, log, rows) == f"nothing is noted since 06:30; by the plan {text}"


@pytest.mark.parametrize(
    ("clock", "is_asked"), [("6:44", False), ("6:45", True), ("7:14", True), ("7:15", True)]
)
def test_a_silence_begins_with_the_call(monkeypatch, clock, is_asked):
    """Forty-five minutes of it are one, also where the first roll is later."""
    day = a_day(a_shot("1"))
    day = replace(day, hours=replace(day.hours, first_roll=at("6:30")))
    log = Log(events=(), state=begin(day).now, warnings=())
    rows = [{"event": "rolled", "subject": "1"}]
    monkeypatch.setattr("sunsched.saved.silence.went_as_planned", lambda *_: lambda _: rows)
    saved = cast("Revision", None)  # what went as planned is said above
    assert (silent_events(day, log, saved, at(clock), Assume.PLAN) is not None) == is_asked
    assert silent_events(day, log, saved, at(clock), Assume.LOG) is None


def test_a_day_that_has_left_its_plan_is_not_asked_about(monkeypatch):
    """Nothing can be assumed of it, so only what is noted has happened."""

    def nothing(_):
        raise SunschedError("the day did not go as planned")

    day = a_day(a_shot("1"))
    log = Log(events=(), state=begin(day).now, warnings=())
    monkeypatch.setattr("sunsched.saved.silence.went_as_planned", lambda *_: nothing)
    assert silent_events(day, log, cast("Revision", None), at("9:00"), None) is None


def test_what_was_noted_meanwhile_is_not_passed_over(make_folder):
    """Somebody else wrote to the log after it was read: nothing is assumed."""
    folder = make_folder()
    day = read_day(folder)
    rows = [{"at": "07:00", "event": "rolled", "subject": "1"}]
    with pytest.raises(SunschedError, match="something was noted meanwhile"):
        note_assumed(folder, day, lambda _: rows, known=1)
    assert not (folder / "log.csv").exists()
    note_assumed(folder, day, lambda _: rows, known=0)
    assert len(read_log(folder, day).events) == 1
