"""The log of a day: what each event takes, what it refuses, and that it reads back as written."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sunsched.day.model import MatchBy
from sunsched.errors import FolderError
from sunsched.folder.log.event import Event, Kind, cells_of, standing
from sunsched.folder.log.file import split_torn
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.read import read_day

DAY = """\
title = "Salt pans"
date = 2027-06-09

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Europe/Madrid"

[hours]
crew_call = "06:00"
wrap = "19:00"

[[spot]]
name = "pans"

[[spot]]
name = "Old mill"

[[cast]]
name = "Ana"

[[cast]]
name = "Ben"
here = ["08:00-15:00"]
"""
SHOTS = """\
id,description,size,spot,look,shoot_min,rig,match,cast
1,The pans at dawn,wide,pans,N,30,Tent,pans,
2,Ana rakes,medium,pans,N,20,Tent,pans,Ana
7A,Ben waits,close-up,old mill,W,15,,,Ben
"""
NEW = {
    "id": "9",
    "description": "The rake",
    "size": "insert",
    "spot": "pans",
    "look": "N",
    "shoot_min": "10",
}
HEADER = (
    "number,at,event,subject,value,from,until,id,scene,description,size,spot,look,sun,sun_from,"
    "elevation,azimuth,give_deg,setup_min,adjust_min,shoot_min,rig,match,weight,hold,after,cast,"
    "pin,lens_mm,control"
)


@pytest.fixture
def folder(make_folder):
    """Give a day folder with three shots, two spots and two people."""
    return make_folder(day=DAY, shots=SHOTS)


def test_an_event_by_the_plan_stays_one(folder):
    """It is written, read, moved below a forgotten one and told so; another word is a fault."""
    note(folder, "rolled", "06:40", "1", value="plan")
    note(folder, "done", "07:10", "1")
    day = read_day(folder)
    events = read_log(folder, day).events
    assert [one.by_plan for one in events] == [True, False]
    assert [cells_of(one, day).get("value") for one in events] == ["plan", None]
    with pytest.raises(FolderError) as refused:
        note(folder, "rolled", "07:30", "2", value="soon")
    assert "not how an event is known: `soon` (expected `plan`, or nothing)" in str(refused.value)


def note(folder, word, at, subject="", value="", **cells):
    """Note one event and give it."""
    if "since" in cells:
        cells["from"] = cells.pop("since")
    words = {"event": word, "at": at, "subject": subject, "value": value, **cells}
    _, (event,) = note_events(folder, read_day(folder), lambda _: [words])
    return event


def events_of(folder):
    """Read the events of the log."""
    return read_log(folder, read_day(folder)).events


def refusal(folder, *words, **cells):
    """Note one event that is refused; give the text, after seeing that nothing was written."""
    log = folder / "log.csv"
    before = log.read_bytes() if log.exists() else None
    with pytest.raises(FolderError) as refused:
        note(folder, *words, **cells)
    assert (log.read_bytes() if log.exists() else None) == before
    return str(refused.value)


def utc(clock):
    """Give a clock time of the day in UTC; Madrid is two hours ahead in June."""
    hour, minute = map(int, clock.split(":"))
    return datetime(2027, 6, 9, hour, minute, tzinfo=UTC) - timedelta(hours=2)


@pytest.mark.parametrize(
    ("before", "words", "cells", "expected"),
    [
        ([], ("rolled", "06:40", "1"), {}, {"kind": Kind.ROLLED, "subject": "1"}),
        ([], ("rolled", "06:40", "7a"), {}, {"subject": "7A"}),
        ([("rolled", "06:40", "1")], ("done", "07:00", "1"), {}, {"kind": Kind.DONE}),
        ([("rolled", "06:40", "1")], ("cut", "07:00", "2"), {}, {"kind": Kind.CUT}),
        ([], ("more", "07:00", "2", "15"), {}, {"minutes": 15, "subject": "2"}),
        ([("rolled", "06:40", "2")], ("more", "07:00", "2", "15"), {}, {"minutes": 15}),
        ([], ("late", "07:00", "", "20"), {}, {"minutes": 20, "subject": ""}),
        ([], ("gone", "12:00", "ANA"), {}, {"subject": "Ana", "since": utc("12:00")}),
        ([], ("gone", "12:00", "Ana"), {"since": "15:00"}, {"since": utc("15:00")}),
        ([], ("here", "07:30", "Ben"), {}, {"subject": "Ben"}),
        ([("gone", "07:00", "Ana")], ("here", "07:30", "Ana"), {}, {"subject": "Ana"}),
        ([], ("closed", "07:30", "old-mill"), {}, {"subject": "Old mill"}),
        ([], ("open", "07:30", "pans"), {}, {"subject": "pans"}),
        ([], ("cloud", "09:00", "", "0.7"), {}, {"cover": 0.7, "until": None}),
        ([], ("cloud", "09:00", "", "80 %"), {"until": "09:01"}, {"until": utc("09:01")}),
        ([], ("cloud", "09:00", "", "80%"), {}, {"cover": 0.8}),
        ([], ("meal", "12:00"), {}, {"kind": Kind.MEAL, "at": utc("12:00")}),
        ([], ("undo", "12:00"), {}, None),
        ([("late", "07:00", "", "20")], ("undo", "06:00"), {}, {"undone": 1}),
        ([], ("add", "09:00"), NEW, {"subject": "9"}),
        # The clock before the call is this morning's, and after midnight the next day's.
        ([], ("late", "05:00", "", "9"), {}, {"at": utc("05:00")}),
        ([], ("late", "00:10", "", "9"), {}, {"at": utc("00:10") + timedelta(days=1)}),
        ([], ("late", "2027-06-09T05:00Z", "", "9"), {}, {"at": utc("07:00")}),
    ],
)
def test_each_event_is_noted_and_reads_back(folder, before, words, cells, expected):
    """What was noted is what the log then says, its last event as expected."""
    for other in before:
        note(folder, *other)
    if expected is None:
        assert refusal(folder, *words) == "undo: nothing to take back"
        return
    event = note(folder, *words, **cells)
    assert events_of(folder)[-1] == event
    assert event.number == len(before) + 1
    assert {name: getattr(event, name) for name in expected} == expected


SINCE_640 = ("rolled", "06:40", "1")


@pytest.mark.parametrize(
    ("before", "words", "cells", "text"),
    [
        (
            [SINCE_640],
            ("rolled", "06:50", "2"),
            {},
            "rolled: 1 rolls since 06:40: `2` (expected `done 1` first)",
        ),
        (
            [SINCE_640],
            ("rolled", "06:50", "1"),
            {},
            "rolled: 1 rolls since 06:40: `1` (expected `done 1` first)",
        ),
        (
            [SINCE_640, ("done", "06:50", "1")],
            ("rolled", "06:50", "1"),
            {},
            "rolled: made already: `1` (expected a shot still to come)",
        ),
        (
            [("cut", "06:10", "2")],
            ("rolled", "06:50", "2"),
            {},
            "rolled: cut already: `2` (expected a shot still to come)",
        ),
        ([], ("done", "06:50", "1"), {}, "done: nothing rolls: `1` (expected `rolled 1` first)"),
        (
            [SINCE_640],
            ("done", "06:50", "2"),
            {},
            "done: not the shot that rolls: `2` (expected 1)",
        ),
        (
            [SINCE_640],
            ("cut", "06:50", "1"),
            {},
            "cut: 1 rolls since 06:40: `1` (expected `done 1` first)",
        ),
        (
            [("cut", "06:10", "2")],
            ("more", "06:50", "2", "5"),
            {},
            "more: cut already: `2` (expected a shot still to come)",
        ),
        (
            [("more", "06:10", "2", "690")],
            ("more", "06:50", "2", "11"),
            {},
            "more: more than 720 minutes for one shot: `11` (expected at most 10)",
        ),
        (
            [SINCE_640],
            ("done", "06:39", "1"),
            {},
            (
                "done, --at: before the last event: `06:39` (expected 06:40 or later)\n"
                "  hint: if it was forgotten, `--forgotten` puts it in its place; "
                "`undo` takes back event 1, `rolled`"
            ),
        ),
        (
            [],
            ("rolled", "06:40", "7B"),
            {},
            "rolled: no such shot: `7B` (expected 1, 2 or 7A)",
        ),
        (
            [],
            ("gone", "06:40", "Anna"),
            {},
            "gone: no such name: `Anna` (expected Ana or Ben)\n  hint: did you mean `Ana`?",
        ),
        (
            [],
            ("closed", "06:40", "mill"),
            {},
            "closed: no such spot: `mill` (expected pans or Old mill)",
        ),
        ([], ("rolled", "06:40"), {}, "rolled: blank (expected 1, 2 or 7A)"),
        (
            [],
            ("late", "06:40", "", "0"),
            {},
            "late: out of range: `0` (expected a whole number from 1 to 720, such as 20)",
        ),
        (
            [],
            ("cloud", "06:40", "", "180"),
            {},
            "cloud: out of range: `180` (expected a number from 0 to 1, or per cent such as 80%)",
        ),
        (
            [],
            ("cloud", "09:00", "", "1"),
            {"until": "09:00"},
            "cloud, --until: too early: `09:00` (expected from 09:01 to 2027-06-10 01:00)",
        ),
        (
            [],
            ("gone", "09:00", "Ana"),
            {"since": "08:59"},
            "gone, --from: too early: `08:59` (expected from 09:00 to 2027-06-10 01:00)",
        ),
        (
            [],
            ("gone", "09:00", "Ana"),
            {"until": "10:00"},
            "gone, --until: not used by `gone`: `10:00`",
        ),
        (
            [("gone", "09:00", "Ana")],
            ("gone", "09:30", "Ana"),
            {},
            "gone: Ana is gone already (expected `here` first)",
        ),
        (
            [("open", "09:00", "pans")],
            ("open", "09:30", "pans"),
            {},
            "open: pans is open already (expected `closed` first)",
        ),
        (
            [SINCE_640],
            ("meal", "12:00"),
            {},
            "meal: 1 rolls since 06:40 (expected `done 1` first)",
        ),
        (
            [("meal", "11:00")],
            ("meal", "12:00"),
            {},
            "meal: lunch began at 11:00 (expected one meal a day)",
        ),
        (
            [],
            ("late", "2027-06-10T06:40+02:00", "", "5"),
            {},
            (
                "late, --at: outside the day: `2027-06-10T06:40+02:00` "
                "(expected from 2027-06-09 00:00 to 2027-06-10 01:00)"
            ),
        ),
        (
            [],
            ("late", "2027-06-09T06:40", "", "5"),
            {},
            (
                "late, --at: a date without the time and its offset: `2027-06-09T06:40` "
                "(expected a time such as 06:40 or 2027-06-09T06:40+02:00)"
            ),
        ),
        (
            [],
            ("late", "25:00", "", "5"),
            {},
            (
                "late, --at: not a clock time: `25:00` (expected a clock time from 00:00 to "
                "23:59, such as 06:00)"
            ),
        ),
        (
            [],
            ("add", "09:00"),
            {**NEW, "id": "7a", "size": "wid", "after": "2 99", "colour": "red"},
            (
                "add, colour: not used by `add`: `red`\n"
                "add, size: not a size: `wid` (expected wide, full, medium, close-up or insert)\n"
                "  hint: did you mean `wide`?\n"
                "add, id: an id that is taken: `7a` (expected a new one)\n"
                "add, after: no such shot: `99` (expected ids of the list)"
            ),
        ),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(folder, before, words, cells, text):
    """The whole message, and the log as it was."""
    for other in before:
        note(folder, *other)
    assert refusal(folder, *words, **cells) == text


def test_a_refused_first_event_leaves_no_file(folder):
    """Nothing written means no empty log either."""
    refusal(folder, "done", "06:50", "1")
    assert {path.name for path in folder.iterdir()} == {"day.toml", "shots.csv"}


def test_edge_of_the_day_is_six_hours_around_it(folder):
    """Noted from six hours before the call to six after the hard wrap, and not a minute more."""
    note(folder, "late", "2027-06-09T00:00+02:00", "", "5")
    note(folder, "late", "2027-06-10T01:00+02:00", "", "5")
    assert "outside the day" in refusal(folder, "late", "2027-06-10T01:01+02:00", "", "5")


def test_rig_and_match_of_an_added_shot_can_be_described(folder):
    """`day.toml` may name what only a shot of the log has; without that shot nobody has it."""
    note(folder, "add", "09:00", **NEW, rig="Sea crane", match="rakes")
    settings = folder / "day.toml"
    more = '[[rig]]\nname = "sea-crane"\noverhead = true\n[match.RAKES]\nby = "lens"\n'
    settings.write_text(f"{settings.read_text()}\n{more}")
    day = read_day(folder)
    shot = read_log(folder, day).state.shots["9"]
    assert day.is_under_overhead(shot)
    assert day.matched_by(shot.match) is MatchBy.LENS
    log = folder / "log.csv"
    written = log.read_bytes()
    log.write_bytes(b"\xff" + written)
    # What is wrong with the log is told where it is read, not as names that nobody has.
    with pytest.raises(FolderError, match="bytes that are not text"):
        read_log(folder, read_day(folder))
    log.unlink()
    with pytest.raises(FolderError, match="unknown rig: `sea-crane`") as refused:
        read_day(folder)
    assert "unknown match: `RAKES`" in str(refused.value)


def test_added_shot_is_read_as_the_shot_list_is(folder):
    """Defaults by size, spellings of the list, and what comes after what, as in shots.csv."""
    event = note(
        folder, "add", "09:00", **NEW, rig="tent", match="PANS", cast="ben", after="7a", hold="no"
    )
    assert event.shot is not None
    shot = event.shot
    assert (shot.rig, shot.match, shot.cast, shot.after) == ("Tent", "pans", ("Ben",), ("7A",))
    assert (shot.setup_min, shot.adjust_min, shot.weight) == (10, 5, 1)
    assert note(folder, "rolled", "09:10", "9").subject == "9"
    assert "taken" in refusal(folder, "add", "09:30", **NEW)


def test_undo_takes_back_what_stands(folder):
    """One undo after another goes back, and none takes back an undo."""
    note(folder, "add", "06:30", **NEW)
    note(folder, "rolled", "06:40", "9")
    assert note(folder, "undo", "06:41").undone == 2
    assert note(folder, "undo", "06:41").undone == 1
    assert "nothing to take back" in refusal(folder, "undo", "06:41")
    assert standing(events_of(folder)) == ()
    # What is taken back holds nobody up: neither the shot nor the later time.
    assert "no such shot" in refusal(folder, "rolled", "06:20", "9")
    note(folder, "rolled", "06:20", "1")
    assert [event.number for event in standing(events_of(folder))] == [5]


@pytest.mark.parametrize(
    "text",
    [
        "a,b;c\td",
        'she said "run"',
        '"',
        "=1+1",
        "# not a comment",
        "sep=;",
        "two\nlines\r\nand\u2028three",
        "\ufeffmarked\u200b",
        "‏עברית‎ 日本 🎬",
        "'; DROP TABLE shots; --",
        "../../etc/passwd",
        "x" * 500,
    ],
)
def test_hostile_text_stays_in_its_cell(folder, text):
    """A description with anything in it reads back, and the event after it too."""
    event = note(folder, "add", "09:00", **{**NEW, "description": text})
    last = note(folder, "rolled", "09:10", "9")
    assert events_of(folder) == (event, last)
    assert event.shot is not None
    assert event.shot.description == " ".join(
        text.replace("\ufeff", "").replace("\u200b", "").split()
    )


@pytest.mark.parametrize("text", ["\x00", "a\x1bb", "x" * 501])
def test_text_that_no_list_may_hold_is_refused(folder, text):
    """Control characters and endless texts do not reach the file."""
    assert refusal(folder, "add", "09:00", **{**NEW, "description": text})


WORDS = st.fixed_dictionaries(
    {
        "event": st.sampled_from(list(Kind)).map(str),
        "subject": st.sampled_from(["1", "2", "7A", "9", "Ana", "Ben", "pans", "Old mill", ""]),
        "value": st.sampled_from(["5", "0.25", "40%", "1", ""]),
        "from": st.sampled_from(["", "", "18:00"]),
        "until": st.sampled_from(["", "18:30"]),
        "late": st.integers(0, 20),
    },
    optional={"description": st.text(min_size=1, max_size=20)},
)


def wanting(words, _):
    """Want one event, whatever is in the log."""
    return [words]


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(entries=st.lists(WORDS, min_size=8, max_size=20))
def test_what_is_appended_reads_back(folder, entries):
    """Whatever is noted in whatever order: the log says what was accepted, no more and no less."""
    (folder / "log.csv").unlink(missing_ok=True)
    day = read_day(folder)
    at = utc("06:00")
    accepted: list[Event] = []
    for entry in entries:
        at += timedelta(minutes=entry["late"])
        words = {key: text for key, text in entry.items() if key not in ("late", "description")}
        words["at"] = at.isoformat()
        if words["event"] == "add":
            words = {"event": "add", "at": words["at"], **NEW}
            words["description"] = entry.get("description", "The rake")
        # Only the cells that the event knows, so that many are accepted.
        if words["event"] not in ("cloud",):
            words.pop("until", None)
        try:
            log, noted = note_events(folder, day, partial(wanting, words))
        except FolderError:
            continue
        accepted += noted
        assert log.events == tuple(accepted)
    assert read_log(folder, day).events == tuple(accepted)


def test_torn_line_at_every_byte_is_set_aside_and_kept(folder):
    """Cut anywhere, the last line is not counted, is told, and is in a file of its own."""
    log, torn = folder / "log.csv", folder / "log-torn.csv"
    first = note(folder, "late", "06:10", "", "5")
    whole = log.read_bytes()
    note(folder, "add", "06:20", **{**NEW, "description": "Café, 日"})
    last = log.read_bytes().removeprefix(whole)
    day = read_day(folder)
    for length in range(1, len(last)):
        log.write_bytes(whole + last[:length])
        torn.unlink(missing_ok=True)
        found = read_log(folder, day)
        assert found.events == (first,)
        assert [(one.file, one.line) for one in found.warnings] == [("log.csv", 3)]
        assert not torn.exists()  # reading changes nothing
        event = note(folder, "rolled", "06:30", "1")
        assert torn.read_bytes() == last[:length] + b"\n"
        assert events_of(folder) == (first, event)
        assert log.read_bytes().startswith(whole)


def test_torn_header_is_set_aside_too(folder):
    """A log of which only part of the header reached the disk starts anew."""
    (folder / "log.csv").write_text("number,at,ev")
    note(folder, "rolled", "06:30", "1")
    assert (folder / "log.csv").read_text().startswith(HEADER + "\n1,")
    assert (folder / "log-torn.csv").read_text() == "number,at,ev\n"


def test_torn_warning_in_whole(folder):
    """The warning says what was cut, where it goes, and what to do."""
    note(folder, "late", "06:10", "", "5")
    with (folder / "log.csv").open("a") as file:
        file.write("2,2027-06-09T06:40+02:00,rolled,1")
    (warning,) = read_log(folder, read_day(folder)).warnings
    assert str(warning) == (
        "log.csv:3: a line that was cut short: `2,2027-06-09T06:40+02:00,rolled,1`\n"
        "  hint: it is not counted; the next event moves it to `log-torn.csv`. "
        "Note its event again"
    )


def test_file_as_it_is_written(folder):
    """The header once, a row an event, local times with their offset."""
    note(folder, "rolled", "06:40", "1")
    note(folder, "gone", "06:50", "Ana", since="15:00")
    assert (folder / "log.csv").read_text() == (
        f"{HEADER}\n"
        "1,2027-06-09T06:40+02:00,rolled,1\n"
        "2,2027-06-09T06:50+02:00,gone,Ana,,2027-06-09T15:00+02:00\n"
    )


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_log_that_a_spreadsheet_saved_goes_on(folder, separator, turned, mark):
    """Other separators, moved columns, CRLF and a mark in front: the next event still fits."""
    note(folder, "add", "06:20", **{**NEW, "description": "a,b;c\td"})
    with (folder / "log.csv").open(newline="") as file:
        rows = list(csv.reader(file))
    wide = [row + [""] * (len(rows[0]) - len(row)) for row in rows]
    written = io.StringIO()
    csv.writer(written, delimiter=separator, lineterminator="\r\n").writerows(
        [row[::-1] if turned else row for row in wide]
    )
    (folder / "log.csv").write_bytes((mark + written.getvalue()).encode())
    added = events_of(folder)
    event = note(folder, "cloud", "06:40", "", "0.5", until="07:00")
    assert events_of(folder) == (*added, event)


def test_hand_edits_tell_every_fault_at_once(folder):
    """File, line, column, value, what was expected and the nearest word, for each slip."""
    rows = (
        "1,2027-06-09T06:40+02:00,rolled,1",
        "2,6:50 o'clock,dne,1",
        "3,2027-06-09T07:00+02:00,rolled,8",
        "4,2027-06-09T07:00+02:00,late,,soon",
        "5,2027-06-09T07:10+02:00,add,,,,,9,,The rake,insrt,pans,N,,,,,,,,10",
    )
    (folder / "log.csv").write_text("\n".join((HEADER, *rows, "")))
    with pytest.raises(FolderError) as refused:
        events_of(folder)
    assert str(refused.value) == (
        "log.csv:3, event: not an event: `dne` (expected rolled, done, cut, more, late, gone, "
        "here, closed, open, cloud, meal, add, note or undo)\n"
        "  hint: did you mean `done`?\n"
        "log.csv:3, at: not a clock time: `6:50 o'clock` (expected a clock time from 00:00 to "
        "23:59, such as 06:00)\n"
        "log.csv:4, subject: no such shot: `8` (expected 1, 2 or 7A)\n"
        "log.csv:5, value: not a number: `soon` (expected a whole number from 1 to 720, such "
        "as 20)\n"
        "log.csv:6, size: not a size: `insrt` (expected wide, full, medium, close-up or insert)\n"
        "  hint: did you mean `insert`?"
    )
    assert "log.csv:3" in refusal(folder, "late", "08:00", "", "5")


@pytest.mark.parametrize(
    ("rows", "text"),
    [
        (
            ["1,2027-06-09T06:40+02:00,rolled,1", "2,2027-06-09T06:50+02:00,rolled,2"],
            "log.csv:3, subject: 1 rolls since 06:40: `2` (expected `done 1` first)",
        ),
        (
            # The rows below may be right after what the row at fault was meant to say.
            [
                "1,2027-06-09T06:40+02:00,rolled,1",
                "2,2027-06-09T06:50+02:00,doon,1",
                "3,2027-06-09T07:00+02:00,rolled,2",
                "4,2027-06-09T07:10+02:00,done,2",
            ],
            (
                "log.csv:3, event: not an event: `doon` (expected rolled, done, cut, more, late, "
                "gone, here, closed, open, cloud, meal, add, note or undo)\n"
                "  hint: did you mean `done`?"
            ),
        ),
        (
            ["2,2027-06-09T06:40+02:00,rolled,1"],
            "log.csv:2, number: not the next number: `2` (expected 1)",
        ),
        (
            ["1,2027-06-09T06:40+02:00,meal", "2,2027-06-09T06:40+02:00,undo,,7"],
            "log.csv:3, value: out of range: `7` (expected a whole number from 1 to 2, such as 2)",
        ),
        (
            [
                "1,2027-06-09T06:40+02:00,meal",
                "2,2027-06-09T06:40+02:00,late,,5",
                "3,2027-06-09T06:40+02:00,undo,,1",
            ],
            "log.csv:4, value: not the last event that stands: `1` (expected 2)",
        ),
        (
            ["1,2027-06-09T06:40:30+02:00,meal"],
            (
                "log.csv:2, at: a time with seconds: `2027-06-09T06:40:30+02:00` "
                "(expected a time such as 06:40 or 2027-06-09T06:40+02:00)"
            ),
        ),
    ],
)
def test_hand_edit_out_of_order(folder, rows, text):
    """Rows that contradict one another are told with their line."""
    (folder / "log.csv").write_text("\n".join((HEADER, *rows, "")))
    with pytest.raises(FolderError) as refused:
        events_of(folder)
    assert str(refused.value) == text


@pytest.mark.parametrize(
    ("content", "text"),
    [
        (b"number,at\n", "log.csv:1: no column `event` (expected the header as it was written)"),
        (b"\xff\xfen\x00\n\x00", "log.csv:1: bytes that are not text (expected UTF-8)"),
        (b"a\x00b\n", "log.csv: not a text file (it holds NUL bytes) (expected UTF-8)"),
        (b"x" * 5_000_001 + b"\n", "log.csv: 5,000,002 bytes long (expected at most 5,000,000"),
    ],
)
def test_file_that_is_no_log(folder, content, text):
    """Another file under this name is told, and stays as it is."""
    (folder / "log.csv").write_bytes(content)
    with pytest.raises(FolderError) as refused:
        events_of(folder)
    assert text in str(refused.value)
    refusal(folder, "late", "06:10", "", "5")


def test_old_mac_line_ends_are_no_torn_line():
    """A file whose lines end with a bare CR has whole lines."""
    assert split_torn(b"a\rb\rc") == (b"a\rb\r", b"c")
    assert split_torn(b"a\r\nb\r\n") == (b"a\r\nb\r\n", b"")


def test_command_notes_prints_and_takes_back(folder, run):
    """One line for what was noted, the whole log without an event, and what stands."""
    assert run("log", folder, "rolled", "1", "--at", "06:40") == (0, "1  06:40  1 rolls\n", "")
    assert run("log", folder, "done", "1", "--at", "07:05")[0] == 0
    add = ("add", "id=9", "description=The rake", "size=insert", "spot=pans", "look=N")
    code, out, _ = run("log", folder, *add, "shoot_min=10", "--at", "07:05")
    assert (code, out) == (0, "3  07:05  9 added: The rake (insert, pans, 10 min)\n")
    assert run("log", folder, "more", "9", "5", "--at", "07:05")[0] == 0
    assert run("log", folder, "rolled", "9", "--at", "07:10")[0] == 0
    assert run("log", folder, "gone", "Ana", "--from", "15:00", "--at", "07:10")[0] == 0
    code, out, _ = run("log", folder, "undo", "--at", "07:11")
    assert out == "7  07:11  event 6 taken back: Ana gone from 15:00\n"
    code, out, err = run("log", folder)
    assert (code, err) == (0, "")
    assert out == (
        "Salt pans\n"
        "Salt pans, Wednesday 2027-06-09, local time (Europe/Madrid)\n"
        "\n"
        "no.  time   what happened\n"
        "1    06:40  1 rolls\n"
        "2    07:05  1 done\n"
        "3    07:05  9 added: The rake (insert, pans, 10 min)\n"
        "4    07:05  9 takes 5 min more\n"
        "5    07:10  9 rolls\n"
        "6    07:10  (taken back) Ana gone from 15:00\n"
        "7    07:11  event 6 taken back\n"
        "\n"
        "rolling: 9 since 07:10, 15 min expected: The rake\n"
        "made: 1 (1 of 4)\n"
        "to come: 2, 7A (2 of 4)\n"
        "lunch: to begin by 12:00\n"
    )


def test_command_json(folder, run):
    """Programs get what was noted by the log's columns, and the whole log with what stands."""
    code, out, _ = run("log", folder, "cloud", "80%", "--until", "10:00", "--at", "09:00", "--json")
    assert code == 0
    assert json.loads(out)["events"] == [
        {
            "number": 1,
            "at": "2027-06-09T09:00+02:00",
            "event": "cloud",
            "value": "0.8",
            "until": "2027-06-09T10:00+02:00",
        }
    ]
    run("log", folder, "rolled", "1", "--at", "09:05")
    record = json.loads(run("log", folder, "--json")[1])
    assert (record["running"], record["made"], record["to_come"]) == ("1", [], ["2", "7A"])


def test_command_takes_the_clock(folder, run, monkeypatch):
    """Without `--at` it is now, in whole minutes; a clock on another day is refused."""
    noon = datetime(2027, 6, 9, 10, 0, 42, tzinfo=UTC).timestamp()
    monkeypatch.setattr("time.time", lambda: noon)
    assert run("log", folder, "meal") == (0, "1  12:00  lunch begins\n", "")
    monkeypatch.setattr("time.time", lambda: noon + 86400)
    code, out, err = run("log", folder, "late", "5")
    assert (code, out) == (1, "")
    assert err == (
        "it is 2027-06-10 12:00 there, and the day is 2027-06-09\n"
        "  hint: say when it was with `--at HH:MM`\n"
    )


@pytest.mark.parametrize(
    "words",
    [
        ("roled", "1"),
        ("rolled",),
        ("rolled", "1", "2"),
        ("more", "1"),
        ("undo", "3"),
        ("add",),
        ("add", "id"),
        ("add", "id=1", "id=2"),
        ("add", "event=rolled"),
        ("as-planned", "--until", "09:00"),
        ("--at", "09:00"),
    ],
)
def test_wrong_words_are_wrong_use(folder, run, words):
    """A word too many, too few or unknown: exit 2, a hint, nothing written."""
    code, out, err = run("log", folder, *words)
    assert (code, out) == (2, "")
    assert "--help" in err
    assert not (folder / "log.csv").exists()


def saved_plan(folder: Path) -> None:
    """Save a plan of two shots with lunch after them."""
    rolls = {"1": "07:00", "2": "08:00"}
    record = {
        "date": "2027-06-09",
        "status": "proven",
        "points": 1,
        "bound": 1,
        "grid_min": 5,
        "meal": {"start": "2027-06-09T08:20+02:00"},
        "shots": [
            {
                "id": shot,
                "changeover_start": f"2027-06-09T{start}+02:00",
                "roll_start": f"2027-06-09T{start}+02:00",
            }
            for shot, start in rolls.items()
        ],
    }
    (folder / "plans").mkdir()
    (folder / "plans" / "0001.json").write_text(json.dumps(record))


@pytest.mark.parametrize(
    ("at", "kinds"),
    [
        ("07:00", ["rolled 1"]),
        ("07:29", ["rolled 1"]),
        ("07:30", ["rolled 1", "done 1"]),
        ("08:19", ["rolled 1", "done 1", "rolled 2"]),
        ("12:00", ["rolled 1", "done 1", "rolled 2", "done 2", "meal "]),
    ],
)
def test_as_planned_notes_what_the_plan_has_by_then(folder, run, at, kinds):
    """Each roll, each end and the meal at their planned times, and in two goes as in one."""
    saved_plan(folder)
    assert run("log", folder, "as-planned", "--at", at)[0] == 0
    events = events_of(folder)
    assert [f"{event.kind} {event.subject}" for event in events] == kinds
    assert events[0].at == utc("07:00")
    assert all(event.at <= utc(at) for event in events)
    if at != "12:00":
        assert run("log", folder, "as-planned", "--at", "12:00")[0] == 0
        assert len(events_of(folder)) == 5


def test_as_planned_says_why_it_cannot(folder, run):
    """No plan, nothing planned by then, or a day that went another way: nothing is written."""
    assert "no plan is saved" in run("log", folder, "as-planned", "--at", "12:00")[2]
    saved_plan(folder)
    assert run("log", folder, "as-planned", "--at", "06:59") == (
        1,
        "",
        "nothing is planned up to 06:59\n",
    )
    assert not (folder / "log.csv").exists()
    run("log", folder, "late", "5", "--at", "07:10")
    before = (folder / "log.csv").read_bytes()
    code, _, err = run("log", folder, "as-planned", "--at", "12:00")
    assert code == 1
    assert err == (
        "the day did not go as planned: `rolled 1` was to be at 07:00, before the last event at "
        "07:10\n  hint: note what happened one by one, or take a new plan with `replan`\n"
    )
    assert (folder / "log.csv").read_bytes() == before
    assert run("log", folder, "as-planned", "--at", "tomorrow")[2].startswith("--at: not a clock")


def test_times_of_a_night_with_the_clocks_put_back(make_folder):
    """An hour that comes twice means the first; with its offset, either."""
    night = DAY.replace("2027-06-09", "2027-10-30").replace('"06:00"', '"20:00"')
    night = night.replace('wrap = "19:00"', 'wrap = "05:00"').replace("08:00-15:00", "20:00-05:00")
    folder = make_folder(day=night, shots=SHOTS)
    first = note(folder, "late", "02:30", "", "5")
    second = note(folder, "late", "2027-10-31T02:30+01:00", "", "5")
    assert second.at - first.at == timedelta(hours=1)
    assert events_of(folder) == (first, second)
    # A star tells the second hour from the first, or the message would contradict itself.
    assert refusal(folder, "late", "02:40", "", "5").startswith(
        "late, --at: before the last event: `2027-10-31 02:40` (expected 2027-10-31 02:30* or l"
    )


def test_a_log_of_an_earlier_version_reads_on(folder):
    """Its header has no `control`: what stands is read, and more is noted under it."""
    old = HEADER.removesuffix(",control")
    path = folder / "log.csv"
    note(folder, "rolled", "07:40", "1")
    path.write_text(path.read_text(encoding="utf-8").replace(HEADER, old), encoding="utf-8")
    note(folder, "done", "08:00", "1")
    assert [str(event.kind) for event in read_log(folder, read_day(folder)).events] == [
        "rolled",
        "done",
    ]
    with pytest.raises(FolderError, match="no column `control`"):
        note(folder, "add", "08:05", **(NEW | {"control": "0.5"}))
