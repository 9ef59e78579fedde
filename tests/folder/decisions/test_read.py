"""A file of decisions is read whole, with every fault at once, or gives the day that obeys it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sunsched.day.decided import decided_day, decision_texts
from sunsched.day.demand import Cut, KeepOrder, RollAt
from sunsched.day.model import Span
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.read import read_day, read_folder
from sunsched.underway.state import day_so_far

CAST = """
[[cast]]
name = "Ana"
here = ["08:00-15:00"]
[[cast]]
name = "Bo"
"""
SHOTS = """\
id,description,size,look,shoot_min,cast,after,pin
1,The pans at dawn,wide,N,30,,,
2,Ana waits,medium,N,30,Ana,,
3,Bo comes,medium,N,30,Bo,,
4,Her hands,insert,N,10,Ana,3,
5,The road,wide,E,20,,,16:00
"""


@pytest.fixture
def decided(make_folder, minimal_day):
    """Give a function that writes a folder with this file of decisions."""

    def make(text):
        return make_folder(minimal_day + CAST, SHOTS, decisions_csv=text)

    return make


def at(day, clock):
    """Give a clock time of a day in UTC; Madrid is two hours ahead in June."""
    hour, minute = (int(part) for part in clock.split(":"))
    return day.hours.crew_call.replace(hour=hour - 2, minute=minute)


def test_every_kind_is_what_the_folder_could_have_said(decided):
    """Each row is the key of `day.toml` or the cell of the list that says the same."""
    folder = decided(
        "decision,subject,time\n"
        "at,2,09:30\nmeal,,12:00\nrelease,ana,14:00\nwrap,,18:30\ncall,,05:30\n"
        "cut,1,\nkeep-order,3 2,\n"
    )
    reading = read_folder(folder)
    asked, day = reading.asked, reading.day
    assert asked.shot("2").pin is None
    assert day.shot("2").pin == at(day, "09:30")
    assert (day.meal.earliest, day.meal.latest) == (at(day, "12:00"),) * 2
    assert day.cast[0].here == (Span(start=at(day, "08:00"), end=at(day, "14:00")),)
    assert (day.hours.wrap, day.hours.hard_wrap) == (at(day, "18:30"),) * 2
    assert (day.hours.crew_call, day.hours.first_roll) == (at(day, "05:30"),) * 2
    assert day.cut_ids == day.over_ids == {"1"}
    assert [shot.id for shot in day.shots] == ["1", "2", "3", "4", "5"]
    assert (day.shot("2").after, day.shot("4").after) == (("3",), ("3",))
    assert decision_texts(day) == (
        *("2 rolls at 09:30", "the meal starts at 12:00", "Ana is released at 14:00"),
        *(
            "nothing rolls past a wrap at 18:30",
            "the call is at 05:30",
            "1 is cut",
            "3, 2 stay in this order",
        ),
    )
    assert asked.decisions == ()
    assert read_folder(folder, decided=False).day == asked
    assert folder / "decisions.csv" in reading.files


def test_a_meal_is_eaten_at_its_time_whatever_the_call(decided):
    """The call moves what counts from it, but not what was decided, in any order of the rows."""
    folder, rows = decided(""), ["meal,,12:00\n", "call,,08:00\n"]
    for some in (rows, rows[::-1]):
        (folder / "decisions.csv").write_text(f"decision,subject,time\n{''.join(some)}")
        day = read_day(folder)
        assert (day.meal.earliest, day.meal.latest) == (at(day, "12:00"),) * 2
        assert day.hours.crew_call == at(day, "08:00")
        # A second meal is due as long after the first as the folder has it.
        assert day.meal.within_min == 360


def test_blank_and_missing_files_decide_nothing(make_folder, minimal_day):
    """A file of comments, or an empty one, as stands there for a moment as one is made."""
    folder = make_folder(minimal_day, decisions_csv="")
    plain = read_folder(folder, decided=False).day
    for text in ("", "\n", "# nothing yet\n", "decision,subject,time\n"):
        (folder / "decisions.csv").write_text(text, encoding="utf-8")
        assert read_day(folder) == plain


def test_lists_of_spreadsheets_and_other_columns_are_read(decided):
    """Semicolons, a mark at the start, other titles and columns that nothing reads."""
    text = "\ufeffDecision;Who;subject;time\nKeep order;AD;3, 2;\nAT;;2;9.30\n"
    day = read_day(decided(text))
    assert day.decisions == (KeepOrder(shots=("3", "2")), RollAt(shot="2", time=at(day, "9:30")))


FAULTY = """\
# what we said
decision,subject,time
att,2,09:00
before,2,09:00
at,22,25:00
at,,
meal,2,12:00
cut,1,12:00
keep-order,2,
release,Anna,15:00
wrap,,
cut,12,
"""


def test_every_fault_is_told_at_once(decided, faults):
    """With its line, its column, the value, what was expected and the nearest known word."""
    kinds = "at, meal, release, wrap, call, cut or keep-order"
    clock = "a clock time from 00:00 to 23:59, such as 06:00"
    assert faults(decided(FAULTY)) == [
        "decisions.csv:3, decision: not a decision: `att`\n  hint: did you mean `at`?",
        f"decisions.csv:4, decision: not a decision that can be kept: `before` (expected {kinds})",
        f"decisions.csv:5, time: not a clock time: `25:00` (expected {clock})",
        "decisions.csv:6, subject: blank (expected a shot of the list, such as 7)",
        "decisions.csv:6, time: blank (expected a time, such as 13:00)",
        (
            "decisions.csv:7, subject: a subject, which `meal` does not have: `2` "
            "(expected a blank cell)"
        ),
        "decisions.csv:8, time: a time, which `cut` does not have: `12:00` (expected a blank cell)",
        "decisions.csv:9, subject: no order: `2` (expected two shots and more, such as 4 7 9)",
        "decisions.csv:11, time: blank (expected a time, such as 13:00)",
    ]


def test_what_the_day_does_not_know_is_told_with_what_it_knows(decided, faults):
    """Once the words of each row can be read."""
    rows = "at,22,09:00\nrelease,Anna,15:00\nrelease,Zoe,15:00\nkeep-order,7 2,\n"
    assert faults(decided(f"decision,subject,time\n{rows}")) == [
        "decisions.csv:2, subject: no such shot: `22` (expected 1, 2, 3, 4 or 5)",
        "decisions.csv:3, subject: no such cast member: `Anna`\n  hint: did you mean `Ana`?",
        "decisions.csv:4, subject: no such cast member: `Zoe` (expected Ana or Bo)",
        "decisions.csv:5, subject: no such shot: `7` (expected 1, 2, 3, 4 or 5)",
    ]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (
            "at,2,09:00\nat,2,10:00\n",
            (
                "3, decision: 2 rolls at 09:00, and yet 2 rolls at 10:00\n"
                "  hint: line 2 says the other: keep one of them"
            ),
        ),
        (
            "cut,2,\nat,2,10:00\n",
            (
                "3, decision: 2 rolls at 10:00, and yet 2 is cut\n"
                "  hint: line 2 says the other: keep one of them"
            ),
        ),
        (
            "wrap,,06:00\n",
            (
                "2, time: wrap at the crew call: `06:00` (expected a later time; a time before the "
                "call is the next day)"
            ),
        ),
        (
            "meal,,20:00\n",
            "2, decision: the meal starts at 20:00, and the hours are from 06:00 to 19:00",
        ),
        (
            "at,2,18:45\n",
            (
                "2, time: a pin outside the day: `18:45` (expected from 06:00 to 18:30, so that 30 "
                "minutes fit before hard wrap)"
            ),
        ),
        (
            "at,5,15:00\n",
            (
                "2, time: 5 is pinned to 16:00 in the shot list: `15:00`\n"
                "  hint: change its `pin` there"
            ),
        ),
        ("wrap,,16:10\n", "2, time: no room for 5, which is pinned to 16:00: `16:10`"),
        (
            "call,,19:30\n",
            "2, decision: the call is at 19:30; it can be from 19:00-1 to before the wrap at 19:00",
        ),
        (
            "call,,08:00\nmeal,,07:00\n",
            "3, time: before the call: `07:00` (expected 08:00 or later)",
        ),
        ("keep-order,4 3,\n", "2, subject: shots that wait for each other: `3 → 4 → 3`"),
        (
            "keep-order,1 2 3,\nkeep-order,3 1,\n",
            "3, subject: shots that wait for each other: `1 → 3 → 1`",
        ),
    ],
)
def test_contradictions_are_told_by_their_lines(decided, faults, rows, told):
    """Those among decisions, and those with the hours, the list's pins and what comes first."""
    found = faults(decided(f"decision,subject,time\n{rows}"))
    assert f"decisions.csv:{told}" in found


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("decision,subjct,time\n", "1: unknown column: `subjct`\n  hint: did you mean `subject`?"),
        ("decision,subject\n", "1: no column `time` (expected decision, subject and time)"),
        (b"decision,subject,time\ncut,\xe9,\n", "2: bytes that are not text"),
        ('decision,subject,time\ncut,"1,\n', "2: a quote that is never closed"),
    ],
)
def test_what_is_no_table_of_decisions_is_told(decided, faults, text, told):
    """As of any other table of the folder."""
    assert any(f"decisions.csv:{told}" in one for one in faults(decided(text)))


def test_a_folder_at_fault_tells_its_decisions_words_too(make_folder, minimal_day, faults):
    """What contradicts a day can be said only once there is one."""
    day = minimal_day.replace('crew_call = "06:00"', 'crew_call = "6 o"')
    found = faults(make_folder(day, decisions_csv="decision,subject,time\ncutt,1,\ncut,9,\n"))
    assert [one.split(",")[0] for one in found] == ["day.toml:11", "decisions.csv:2"]


def test_a_shot_that_the_log_adds_can_be_decided(decided):
    """It is pinned from when it is added on, and cut where that was decided."""
    folder = decided("decision,subject,time\n")
    day = read_day(folder)
    cells = {"event": "add", "at": "09:00", "description": "A gull", "size": "insert"}
    cells |= {"look": "N", "shoot_min": "10"}
    wanted = [cells | {"id": "6"}, cells | {"id": "7"}]
    note_events(folder, day, lambda _: wanted)
    text = "decision,subject,time\nat,6,11:00\ncut,7,\nkeep-order,6 2,\n"
    (folder / "decisions.csv").write_text(text, encoding="utf-8")
    day = read_day(folder)
    assert day.cut_ids == frozenset()
    assert day.shot("2").after == ()
    now = at(day, "09:00")
    rest = day_so_far(day, read_log(folder, day).events, at=now, planned=None)
    assert rest.shot("6").pin == at(day, "11:00")
    assert rest.cut_ids == {"7"}
    assert rest.shot("2").after == ("6",)


def test_a_shot_that_was_made_all_the_same_is_made(decided):
    """What really happened stands: a decision cuts only what is still to come."""
    folder = decided("decision,subject,time\ncut,1,\n")
    day = read_day(folder)
    words = [{"event": "rolled", "subject": "1", "at": "07:00"}]
    words += [{"event": "done", "subject": "1", "at": "07:30"}]
    log, _ = note_events(folder, day, lambda _: words)
    rest = day_so_far(day, log.events, at=at(day, "07:30"), planned=None)
    assert rest.cut_ids == frozenset()
    assert rest.over_ids == {"1"}


def test_one_decision_lifted_leaves_the_others(decided):
    """For the price of each: the best day without it against the best with it."""
    reading = read_folder(decided("decision,subject,time\nat,2,09:30\ncut,1,\n"))
    pin, cut = reading.day.decisions
    assert reading.lifted(pin) == decided_day(reading.asked, (Cut(shot="1"),))
    assert reading.lifted(cut) == decided_day(reading.asked, (pin,))
    assert replace(reading.lifted(cut), decisions=()).shot("2").pin == at(reading.day, "09:30")
