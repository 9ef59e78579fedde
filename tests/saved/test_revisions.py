"""Saved plans: read, refused, made plans again, handed out and put beside each other."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from command_line import Ran

from sunsched.errors import FolderError
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.plan.plan import Plan
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.plan_file import PastRef, facts_mark
from sunsched.saved.restore import plan_of_revision, revision_day
from sunsched.saved.revisions import newest_revision, read_revision
from sunsched.show.records.saved import revision_record
from sunsched.show.text.comparison import comparison_record, comparison_text
from sunsched.solver.solve import make_plan
from sunsched.underway.state import day_so_far
from sunsched.whatif.compare.compare import compare_two
from sunsched.whatif.orders.sides import put_side, read_source

MADE = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
DAY = """\
title = "Salt pans"
date = 2027-06-09

[place]
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Europe/Madrid"

[hours]
crew_call = "06:00"
wrap = "19:00"

[[spot]]
name = "pans"

[[cast]]
name = "Ana"
here = ["08:00-15:00"]
"""
SHOTS = """\
id,description,size,look,sun,setup_min,shoot_min,cast
1,The pans,wide,N,side,25,30,
2,Ana walks,medium,W,back,20,20,Ana
3,Her hands,insert,S,,10,20,Ana
4,The mill,wide,W,side,25,30,
"""


@pytest.fixture(scope="module")
def saved_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a day folder with its proven plan saved as revision 1."""
    folder = tmp_path_factory.mktemp("saved") / "day"
    folder.mkdir()
    (folder / "day.toml").write_text(DAY, encoding="utf-8")
    (folder / "shots.csv").write_text(SHOTS, encoding="utf-8")
    save(folder, make_plan(read_day(folder)))
    return folder


@pytest.fixture
def folder(saved_folder: Path, tmp_path: Path) -> Path:
    """Give a copy of that folder to change."""
    shutil.copytree(saved_folder, tmp_path / "day")
    return tmp_path / "day"


def save(folder: Path, plan: Plan, made_at: datetime | None = MADE) -> int:
    """Save a plan as `plan --save` does."""
    return save_revision(
        folder, lambda own: json.dumps(revision_record(plan, own, made_at), indent=2) + "\n"
    )


def change(folder: Path, name: str, old: str, new: str) -> None:
    """Change one text in one file of a folder."""
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def texts_of(error: pytest.ExceptionInfo[FolderError]) -> list[str]:
    """Give the text of each fault."""
    return [str(fault) for fault in error.value.faults]


def test_numbers_are_those_of_plan_files(folder):
    """Gaps stay, and what no `--save` wrote is not counted."""
    for name in ("0007.json", "12345.json", "12.json", ".0008.json.part", "0003.txt", "old.json"):
        (folder / "plans" / name).write_text("{}")
    assert revision_numbers(folder) == (1, 7, 12345)
    assert revision_numbers(folder / "nowhere") == ()
    assert newest_revision(folder / "nowhere") is None


def test_revision_has_what_was_saved(folder):
    """Times, points, bound and grid come back as they were, in UTC."""
    plan = make_plan(read_day(folder))
    found = read_revision(folder, 1)
    assert found.timetable == plan.timetable
    assert (found.status, found.points, found.bound) == (plan.status, plan.points, plan.bound)
    assert (found.grid_min, found.made_at, found.date) == (5, MADE, plan.day.date)
    assert found.past is None
    assert newest_revision(folder) == found


def test_what_a_replanned_revision_knew_comes_back(folder):
    """The moment, the minutes lost and the number of events are kept."""
    plan = make_plan(read_day(folder))
    past = PastRef(at=MADE + timedelta(hours=17), late_min=20, events=3)
    save_revision(folder, lambda own: json.dumps(revision_record(plan, own, MADE, past)))
    assert read_revision(folder, 2).past == past


def test_unchanged_day_restores_the_plan(folder):
    """A plan read back and judged afresh is the plan, to the last field."""
    day = read_day(folder)
    found = plan_of_revision(day, read_revision(folder, 1))
    assert found.plan == make_plan(day)
    assert found.changes == ()


def test_words_of_a_day_are_no_facts(folder):
    """A better description, title or lens changes no plan; minutes, weights and hours do."""
    before = read_day(folder)
    change(folder, "shots.csv", "The mill", "The old mill")
    change(folder, "day.toml", "Salt pans", "Salt")
    assert facts_mark(read_day(folder)) == facts_mark(before)
    for shot in before.shots[:1]:
        for facts in ({"shoot_min": 31}, {"weight": 4.5}, {"look_deg": 1.0}, {"hold": True}):
            shots = (replace(shot, **facts), *before.shots[1:])
            assert facts_mark(replace(before, shots=shots)) != facts_mark(before)
    later = replace(before.hours, wrap=before.hours.wrap + timedelta(minutes=1))
    assert facts_mark(replace(before, hours=later)) != facts_mark(before)


def test_day_worth_something_else_is_not_proven(folder):
    """Points are judged afresh; the bound is one that holds whatever the order."""
    change(folder, "shots.csv", "1,The pans,wide,N,side", "1,The pans,full,N,side")
    day, saved = read_day(folder), read_revision(folder, 1)
    found = plan_of_revision(day, saved)
    [told] = found.changes
    assert told == (f"it is worth {found.plan.points} points now, {saved.points} when it was saved")
    assert found.plan.status == "bounded"
    assert found.plan.bound > found.plan.points
    assert found.plan.bound >= make_plan(day).points


def test_day_with_fewer_rules_may_have_a_better_plan(folder):
    """The points are the same, but nothing proves any more that none has more."""
    change(folder, "day.toml", "08:00-15:00", "07:00-18:00")
    found = plan_of_revision(read_day(folder), read_revision(folder, 1))
    assert found.changes == ("a better one may exist now",)
    assert found.plan.status == "bounded"
    assert found.plan.bound > found.plan.points


def test_shot_that_is_gone_is_said(folder):
    """The others stand where they stood."""
    change(folder, "shots.csv", "3,Her hands,insert,S,,10,20,Ana\n", "")
    found = plan_of_revision(read_day(folder), read_revision(folder, 1))
    assert found.changes[0] == "3 is in it and no longer in the day"
    assert {one.shot.id for one in found.plan.shots} == {"1", "2", "4"}


def test_broken_rules_are_faults(folder):
    """Each rule that the plan breaks now is named, with the file and what to do."""
    change(folder, "day.toml", "08:00-15:00", "16:00-18:00")
    with pytest.raises(FolderError) as error:
        plan_of_revision(read_day(folder), read_revision(folder, 1))
    told = texts_of(error)
    assert len(told) == 2
    assert all(
        one.startswith("plans/0001.json: breaks a rule of the day as it is now (cast here): Ana")
        and "\n  hint: `sunsched plan DAY --save` finds and saves a plan" in one
        for one in told
    )


def test_plan_of_another_date_is_a_fault(folder):
    """A shoot that moves to the next day needs a new plan."""
    change(folder, "day.toml", "2027-06-09", "2027-06-10")
    with pytest.raises(FolderError, match="a plan of 2027-06-09, and the day is on 2027-06-10 now"):
        plan_of_revision(read_day(folder), read_revision(folder, 1))


def test_unknown_revision_names_those_there_are(folder):
    """The last eight at most; none at all says how to save one."""
    with pytest.raises(FolderError) as error:
        read_revision(folder, 4)
    assert texts_of(error) == [
        "plans/0004.json: no such revision: `4` (expected one that is saved: there is 1)"
    ]
    for number in range(2, 13):
        (folder / "plans" / f"{number:04}.json").write_text("{}")
    with pytest.raises(FolderError, match="there is 5, 6, 7, 8, 9, 10, 11 and 12"):
        read_revision(folder, 99)
    with pytest.raises(FolderError, match="hint: `sunsched plan DAY --save` saves one"):
        read_revision(folder / "nowhere", 1)


def test_file_cut_off_anywhere_is_a_fault(folder):
    """However little of it is left, and with a bit of something else behind it."""
    path = folder / "plans" / "0001.json"
    raw = path.read_bytes()
    for end in [*range(0, len(raw) - 2, 97), len(raw) - 3]:
        path.write_bytes(raw[:end])
        with pytest.raises(FolderError, match=r"^plans/0001\.json(:\d+)?: not JSON"):
            read_revision(folder, 1)
    path.write_bytes(raw + b"}")
    with pytest.raises(FolderError, match="not JSON"):
        read_revision(folder, 1)


@pytest.mark.parametrize(
    ("path", "value", "text"),
    [
        (("points",), "many", "points: not what a saved plan has: `many` (expected a whole number"),
        (("points",), None, "points: not what a saved plan has: `None` (expected a whole number"),
        (("grid_min",), 0, "grid_min: not what a saved plan has: `0` (expected a larger number"),
        (("grid_min",), 90, "grid_min: not what a saved plan has: `90` (expected a smaller number"),
        (("shots",), 3, "shots: not what a saved plan has: `3` (expected a list"),
        (("shots", 1), 3, "shots[1]: not what a saved plan has: `3` (expected an object"),
        (("shots", 0, "id"), 1, "shots[0].id: not what a saved plan has: `1` (expected a text"),
        (
            ("shots", 1, "roll_start"),
            "2027-06-09T08:00:00",
            "shots[1].roll_start: not what a saved plan has: `2027-06-09T08:00:00` (expected a mom",
        ),
        (("meal",), {"start": "noon"}, "meal.start: not what a saved plan has: `noon` (expected a"),
        (
            ("shots", 0, "roll_start"),
            "9999-12-31T23:00:00-02:00",
            "shots[0].roll_start: not what a saved plan has: `9999-12-31T23:00:00-02:00` (expected",
        ),
        (("date",), "2027-06-31", "date: not what a saved plan has: `2027-06-31` (expected a date"),
        (("past",), {"at": 3}, "past.late_min: missing in a saved plan (expected a value)"),
    ],
)
def test_damaged_field_is_named(folder, path, value, text):
    """The fault says where in the file, what stands there and what should."""
    file = folder / "plans" / "0001.json"
    record = json.loads(file.read_text())
    inner = record
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = value
    file.write_text(json.dumps(record))
    with pytest.raises(FolderError) as error:
        read_revision(folder, 1)
    assert any(f"plans/0001.json, {text}" in told for told in texts_of(error))


def test_everything_missing_is_told_at_once(folder):
    """An object that is no plan names all that it lacks; a shot twice is one fault."""
    file = folder / "plans" / "0001.json"
    record = json.loads(file.read_text())
    record["shots"].append(record["shots"][0])
    file.write_text(json.dumps(record))
    with pytest.raises(FolderError, match="shots: a shot that stands twice: `"):
        read_revision(folder, 1)
    file.write_text('{"shots": []}')
    with pytest.raises(FolderError) as error:
        read_revision(folder, 1)
    names = ("date", "status", "points", "bound", "grid_min", "meal")
    assert texts_of(error) == [
        f"plans/0001.json, {name}: missing in a saved plan (expected a value)" for name in names
    ]


@pytest.mark.parametrize("content", [b"\x00\x01", b"\xff\xfe{}", b"[]", b"1e999", b"[" * 9999])
def test_hostile_files_are_faults(folder, content):
    """Bytes that are no text, other JSON and bottomless nesting end in words."""
    (folder / "plans" / "0001.json").write_bytes(content)
    with pytest.raises(FolderError, match=r"^plans/0001\.json"):
        read_revision(folder, 1)


def test_link_out_of_the_folder_is_refused(folder, tmp_path):
    """A plan that is a link to a file elsewhere is not read."""
    file = folder / "plans" / "0001.json"
    file.rename(tmp_path / "elsewhere.json")
    file.symlink_to(tmp_path / "elsewhere.json")
    with pytest.raises(FolderError, match="a link that leads out of the day folder"):
        read_revision(folder, 1)


def test_plan_shows_a_revision(run, folder):
    """Its JSON is the saved file; its text is that of the plan with the number below it."""
    first = run("plan", "--for", "planned", folder)
    ran = run("plan", folder, "--revision", 1)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == f"{first.out}\nrevision 1, made 2027-06-08 20:02\n"
    saved = (folder / "plans" / "0001.json").read_text(encoding="utf-8")
    assert json.loads(run("plan", folder, "--revision", 1, "--json").out) == json.loads(saved)
    assert run("plan", folder, "--revision", 1, "--picture", folder / "day.svg").code == 0
    assert (folder / "day.svg").read_bytes().startswith(b"<?xml")


@pytest.mark.parametrize(
    "words", [("--save",), ("--limit", 3), ("--alternatives", 2), ("--grid", 1), ("--grid", 5)]
)
def test_revision_is_not_solved_again(run, folder, words):
    """Options of a new plan beside `--revision` are wrong use."""
    ran = run("plan", folder, "--revision", 1, *words)
    assert (ran.code, ran.out) == (2, "")
    assert f"{words[0]} is for a new plan" in ran.err
    assert revision_numbers(folder) == (1,)


def test_saving_notes_when(run, folder):
    """`--save` writes the minute, which a sheet then shows."""
    assert run("plan", "--for", "planned", folder, "--save").err == "saved as revision 2\n"
    made_at = read_revision(folder, 2).made_at
    assert made_at is not None
    assert made_at.second == 0
    assert run("plan", folder, "--revision", 9).code == 1


def test_changed_day_is_said_on_stderr(run, folder):
    """The plan is shown as it stands now, with a warning."""
    change(folder, "day.toml", "08:00-15:00", "07:00-18:00")
    ran = run("plan", folder, "--revision", 1)
    assert ran.code == 0
    assert ran.err == (
        "warning: the day has changed since revision 1 was saved: a better one may exist now\n"
    )
    assert "not proven" in ran.out


def test_sheet_is_of_the_newest_revision(run, folder, monkeypatch):
    """At one minute it gives the same bytes, names the revision, and another one on demand."""
    now = MADE + timedelta(hours=2)
    monkeypatch.setattr("sunsched.cli.commands.sheet.this_minute", lambda: now)
    save(folder, make_plan(read_day(folder), grid_min=60), MADE + timedelta(hours=1))
    for name, words in (("a", ()), ("b", ()), ("c", ("--revision", 2)), ("d", ("--revision", 1))):
        assert run("sheet", folder, folder / f"{name}.xlsx", *words).code == 0
    raw = {name: (folder / f"{name}.xlsx").read_bytes() for name in "abcd"}
    assert raw["a"] == raw["b"] == raw["c"] != raw["d"]
    assert run("sheet", folder, folder / "a.html").code == 0
    page = (folder / "a.html").read_text(encoding="utf-8")
    assert "revision 2 of 2027-06-08 21:02, made 2027-06-08 22:02 " in page
    ran = run("sheet", folder, folder / "e.html", "--limit", 3)
    assert ran.code == 2
    assert "--limit: it is for a new plan, and the sheet is of revision 2" in ran.err


def test_sheet_without_a_saved_plan_says_so(run, folder):
    """It finds the plan, and `not saved` stands on it."""
    shutil.rmtree(folder / "plans")
    assert run("sheet", folder, folder / "a.html", "--limit", 30).code == 0
    assert "not saved" in (folder / "a.html").read_text(encoding="utf-8")
    assert run("sheet", folder, folder / "a.html", "--revision", 1).code == 1


def test_two_revisions_side_by_side(run, folder):
    """Both are worth what they were saved with, without a solve; the first is `ours`."""
    save(folder, make_plan(read_day(folder), grid_min=60))
    day = read_day(folder)
    first, second = (put_side(read_source(text, folder, day), 5) for text in ("1", "2"))
    found = compare_two(first, second)
    assert found.ours.points == read_revision(folder, 1).points
    assert found.theirs.points == read_revision(folder, 2).points < found.ours.points
    lost = sum(one.points_lost for one in found.differences) + sum(found.costs_lost.values())
    assert lost == found.points_lost == found.ours.points - found.theirs.points
    text = comparison_text(found)
    assert (
        "first: revision 1, made 2027-06-08 20:02: the times are those that were saved"
        in " ".join(text.split())
    )
    assert f"the second is worth {found.points_lost} points less" in text
    record = comparison_record(found)
    assert (record["first"], record["second"]) == ("revision 1", "revision 2")
    ran = run("compare", folder, 1, 2, "--for", "planned")
    assert ran == Ran(0, f"{text}\n", "")
    assert run("compare", folder, 1, 2, "--limit", 3).code == 2


def test_table_beside_a_revision(run, folder):
    """An order without times is timed; both sides' broken rules are named by their side."""
    (folder / "ad.csv").write_text("id\n3\n1\n2\n4\n")
    change(folder, "shots.csv", "20,20,Ana", "20,25,Ana")
    ran = run("compare", folder, folder / "ad.csv", 1, "--for", "planned")
    assert ran.code == 0
    assert "first: ad.csv: the times are the best that this order can have" in ran.out
    assert "the second breaks a rule (one camera): the changeover to" in ran.out
    ran = run("compare", folder, 1, folder / "ad.csv", "--for", "planned")
    assert "the first breaks a rule (one camera): the changeover to" in ran.out
    assert "the second breaks" not in ran.out


def test_each_side_is_judged_by_its_own_day(folder):
    """Ana is there on the first day and not on the second: only the second breaks that rule."""
    day = read_day(folder)
    change(folder, "day.toml", "08:00-15:00", "16:00-18:00")
    without = read_day(folder)
    first = put_side(read_source("1", folder, day), 5)
    second = put_side(read_source("1", folder, without), 5)
    found = compare_two(first, second)
    assert found.our_breaches == ()
    assert {one.rule for one in found.breaches} == {"cast here"}
    assert not found.second.clocked.obeys
    back = compare_two(second, first)
    assert {one.rule for one in back.our_breaches} == {"cast here"}
    assert back.breaches == ()


def test_gone_shot_is_not_compared(run, folder):
    """A saved plan with a shot that the day no longer has is compared without it."""
    change(folder, "shots.csv", "3,Her hands,insert,S,,10,20,Ana\n", "")
    ran = run("compare", folder, 1)
    assert ran.code == 0
    assert ran.err == (
        "warning: plans/0001.json: 3 is in it and no longer in the day: not compared\n"
    )


def test_day_that_grew_is_compared_shot_by_shot(folder):
    """A shot that only the second day lists counts with what it is worth there."""
    day = read_day(folder)
    extra = replace(day.shots[2], id="5")
    grown = replace(day, shots=(*day.shots, extra))
    first = put_side(read_source("1", folder, day), 5)
    second = put_side(read_source("1", folder, grown), 5)
    found = compare_two(first, second)
    last = found.differences[-1]
    assert (last.shot_id, last.ours, last.theirs) == ("5", None, None)
    assert last.points_lost == found.points_lost == 1000
    assert found.shot("5") == extra
    assert "left out" in comparison_text(found)


def replanned(folder: Path, first: Plan, knew: int = 2, grid_min: int = 5) -> Plan:
    """Note that the first shot of a plan was made ten minutes late, and save a plan of the rest."""
    day = read_day(folder)
    shot, late = first.shots[0], timedelta(minutes=10)
    times = {"rolled": shot.roll_start + late, "done": shot.roll_end + late}
    cells = [
        {"event": word, "at": when.isoformat(), "subject": shot.shot.id}
        for word, when in times.items()
    ]
    note_events(folder, day, lambda _: cells)
    at = shot.roll_end + late
    events = read_log(folder, day).events
    then = day_so_far(day, events, at=at, late_min=30, planned=first.timetable)
    plan = make_plan(then, grid_min=grid_min)
    past = PastRef(at=at, late_min=30, events=knew)
    save_revision(folder, lambda own: json.dumps(revision_record(plan, own, MADE, past)))
    return plan


def test_replanned_revision_is_restored_with_what_it_knew(folder):
    """What the log has learnt since changes nothing; the shots say what is made and what comes."""
    first = make_plan(read_day(folder))
    plan = replanned(folder, first)
    day, saved = read_day(folder), read_revision(folder, 2)
    assert plan.day.past is not None
    later = {
        "event": "rolled",
        "at": (plan.shots[1].roll_start + timedelta(minutes=5)).isoformat(),
        "subject": plan.shots[1].shot.id,
    }
    note_events(folder, day, lambda _: [later])
    found = plan_of_revision(revision_day(folder, day, saved), saved)
    assert (found.plan, found.changes) == (plan, ())
    whole, rest = (json.loads((folder / "plans" / f"000{n}.json").read_text()) for n in (1, 2))
    states = [one["state"] for one in rest["shots"]]
    assert states == ["made"] + ["coming"] * (len(states) - 1)
    assert all("state" not in one for one in whole["shots"])


def test_log_that_lost_events_is_told(folder):
    """A plan that knew more than the log has now cannot be judged."""
    replanned(folder, make_plan(read_day(folder)), knew=5)
    with pytest.raises(FolderError, match="it knew 5 events of the log, which has 2 now"):
        revision_day(folder, read_day(folder), read_revision(folder, 2))


def test_first_plan_and_the_replanned_one(run, folder):
    """Each is worth what its own day made of it; no hint moves what is made already."""
    plan = replanned(folder, make_plan(read_day(folder)), grid_min=60)
    ran = run("compare", folder, 1, 2)
    assert (ran.code, ran.err) == (0, "")
    assert "second: revision 2, made 2027-06-08 20:02, replanned at" in ran.out
    assert "breaks a rule" not in ran.out
    record = json.loads(run("compare", folder, 1, 2, "--json").out)
    assert record["theirs"]["points"] == plan.points
    assert record["theirs"]["shots"][0]["state"] == "made"
    assert record["hints"] == []
    assert run("sheet", folder, folder / "a.html").code == 0
