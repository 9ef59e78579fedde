"""Events noted late stand in their place, and the log is still only added to."""

from __future__ import annotations

import shutil
from itertools import pairwise

import numpy as np
import pytest
from seeds import few_first

from folder.log.test_log import DAY, SHOTS, events_of, utc
from sunsched.folder.log.event import Kind, standing
from sunsched.folder.log.log import read_log
from sunsched.folder.read import read_day


@pytest.fixture
def folder(make_folder):
    """Give a day folder with three shots."""
    return make_folder(day=DAY, shots=SHOTS)


def standing_words(folder):
    """Give what stands in the log, by time and words."""
    return [
        (event.at, f"{event.kind} {event.subject}".strip()) for event in standing(events_of(folder))
    ]


def test_a_forgotten_roll_is_put_in_its_place(folder, run):
    """It is told with its end, in one go; what came after it stands as it did."""
    assert run("log", folder, "rolled", "2", "--at", "08:00")[0] == 0
    assert run("log", folder, "done", "2", "--at", "08:20")[0] == 0
    # An event before the last one is a slip of the clock, unless it is said to be forgotten.
    assert run("log", folder, "rolled", "1", "--at", "07:00")[0] == 1
    told = ("rolled", "1", "--at", "07:00", "--until", "07:30", "--forgotten")
    assert run("log", folder, *told)[0] == 0
    assert standing_words(folder) == [
        (utc("07:00"), "rolled 1"),
        (utc("07:30"), "done 1"),
        (utc("08:00"), "rolled 2"),
        (utc("08:20"), "done 2"),
    ]
    log = read_log(folder, read_day(folder))
    assert log.state.made == ("1", "2")
    assert [event.number for event in log.events] == list(range(1, 9))
    # The log tells too when it was taken back: no earlier than what it takes back.
    undone = [event for event in log.events if event.kind is Kind.UNDO]
    assert [event.at for event in undone] == [utc("08:20")] * 2


def test_of_two_at_one_minute_the_end_stands_before_the_roll(folder, run):
    """Whichever of them was forgotten."""
    assert run("log", folder, "rolled", "2", "--at", "07:30")[0] == 0
    assert run("log", folder, "done", "2", "--at", "08:00")[0] == 0
    for told in (("1", "07:00", "07:30"), ("7A", "08:00", "08:10")):
        words = ("rolled", told[0], "--at", told[1], "--until", told[2], "--forgotten")
        assert run("log", folder, *words)[::2] == (0, "")
    assert [words for _, words in standing_words(folder)] == [
        *("rolled 1", "done 1", "rolled 2"),
        *("done 2", "rolled 7A", "done 7A"),
    ]


def test_nothing_is_written_when_it_does_not_fit(folder, run):
    """The forgotten roll would go on when the next one begins, or was made already."""
    run("log", folder, "rolled", "2", "--at", "08:00")
    before = (folder / "log.csv").read_bytes()
    for told in (
        ("rolled", "1", "--at", "07:00", "--forgotten"),
        ("rolled", "1", "--at", "07:50", "--until", "08:10", "--forgotten"),
        ("done", "2", "--at", "07:50", "--forgotten"),
    ):
        assert run("log", folder, *told)[0] == 1
        assert (folder / "log.csv").read_bytes() == before
    assert run("log", folder, "rolled", "1", "--forgotten")[0] == 2
    assert run("log", folder, "undo", "--at", "07:00", "--forgotten")[0] == 2


@pytest.mark.parametrize("seed", few_first(range(12), quick=3))
def test_events_told_in_any_order_stand_as_those_told_in_time(folder, run, tmp_path, seed):
    """What stands does not depend on when it was noted."""
    told = [
        (("rolled", "1", "--until", "07:30"), "07:00"),
        (("cloud", "80"), "07:10"),
        (("note", "the", "tide", "turns"), "07:35"),
        (("rolled", "2", "--until", "08:20"), "08:00"),
        (("late", "1h"), "08:30"),
        (("lunch",), "10:00"),
        (("gone", "ANA"), "11:00"),
    ]
    in_time, mixed = folder, tmp_path / "mixed"
    shutil.copytree(in_time, mixed)
    for words, at in told:
        assert run("log", in_time, *words, "--at", at, "--forgotten")[0] == 0
    for place in np.random.default_rng(seed).permutation(len(told)):
        words, at = told[place]
        assert run("log", mixed, *words, "--at", at, "--forgotten")[::2] == (0, "")
    assert standing_words(mixed) == standing_words(in_time)
    states = [read_log(one, read_day(one)).state for one in (in_time, mixed)]
    assert states[0].made == states[1].made == ("1", "2")
    assert all(one.at <= other.at for one, other in pairwise(standing(events_of(mixed))))


def test_words_of_the_crew_are_known(folder, run):
    """Lunch is the meal, an hour is sixty minutes, 80 is per cent, names have no case."""
    for words in (
        ("ROLLED", "7a"),
        ("more", "7A", "1h15"),
        ("done", "7A"),
        ("lunch",),
        ("late", "0:20"),
        ("cloud", "80"),
        ("gone", "bEN"),
        ("note", "sand", "in", "the", "gate"),
    ):
        assert run("log", folder, *words, "--at", "12:00")[0] == 0
    events = events_of(folder)
    assert [event.kind for event in events] == [
        *(Kind.ROLLED, Kind.MORE, Kind.DONE, Kind.MEAL),
        *(Kind.LATE, Kind.CLOUD, Kind.GONE, Kind.NOTE),
    ]
    assert (events[1].minutes, events[4].minutes, events[5].cover) == (75, 20, 0.8)
    assert (events[6].subject, events[7].subject) == ("Ben", "sand in the gate")
    assert "note: sand in the gate" in run("log", folder)[1]
    assert run("log", folder, "note")[0] == 2


def test_a_time_long_after_the_wrap_is_questioned(folder, run):
    """An hour past it is a long day; more is noted with a warning that says how to take it back."""
    assert "warning" not in run("log", folder, "late", "5", "--at", "20:00")[2]
    code, _, err = run("log", folder, "late", "5", "--at", "20:01")
    assert code == 0
    assert "long after the hard wrap" in err
    assert "undo" in err
