"""The commands: exit codes, what goes to which stream, what is written, and how it reads."""

from __future__ import annotations

import importlib
import json
import re
import subprocess
import sys
from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest
from command_line import Ran
from rich.cells import cell_len

import sunsched
from sunsched.errors import WriteRefused
from sunsched.folder.store.write import save_revision

DATA = Path(__file__).parents[2] / "data"
DEMOS = ("last-lamp", "late-ridge", "ferry-light")
COMMANDS = ("new", "check", "sun", "windows", "plan", "sheet", "compare", "price")
SPRING_DAY = """\
title = "The night that loses an hour"
date = 2027-03-28

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Europe/Madrid"

[hours]
crew_call = "08:00"
wrap = "19:00"
"""


def _snapshot(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_each_command_ends_with_an_example(run, command):
    """The last line shows one way to call it."""
    ran = run(command, "--help")
    assert ran.code == 0
    assert ran.out.strip().splitlines()[-1].strip().startswith(f"Example: sunsched {command} ")


def test_version_is_that_of_the_installed_package(run, monkeypatch):
    """`--version` asks the package's metadata and nothing else."""
    monkeypatch.setattr("importlib.metadata.version", lambda name: f"{name} 9.8.7")
    assert run("--version") == Ran(0, "sunsched 9.8.7\n", "")


def test_help_lists_commands_as_a_day_goes(run):
    """Written and asked about, planned and argued, shot and looked back on."""
    told = run("--help").out.split("Commands:")[1].splitlines()
    names = [line.split()[0] for line in told if line.startswith("  ") and line[2] != " "]
    assert " ".join(names[:9]) == "new import check sun windows look skyline plan sheet"
    assert " ".join(names[9:]) == "price compare log replan stress pace gaffer desk"


def test_help_loads_nothing_heavy():
    """The libraries that take time to load stay out until a command needs them."""
    code = (
        "import sys, sunsched.cli\n"
        "print([m for m in ('numpy', 'pandas', 'pvlib', 'numba', 'pydantic', 'astral')"
        " if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


@pytest.mark.parametrize(
    "words",
    [
        ("plans", "x"),
        ("plan",),
        ("plan", "x", "--grid", "7"),
        ("sun", "x", "--every", "0"),
        ("new", "x"),
        ("new", "x", "--date", "tomorrow"),
    ],
)
def test_wrong_use_exits_2(run, words, tmp_path, monkeypatch):
    """A wrong word, a missing one or a value out of range: a hint on stderr, nothing written."""
    monkeypatch.chdir(tmp_path)
    ran = run(*words)
    assert ran.code == 2
    assert ran.out == ""
    assert "--help" in ran.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", ["check", "sun", "windows", "plan"])
def test_faulty_folder_tells_every_fault_and_writes_nothing(run, make_folder, minimal_day, command):
    """Two faults in two files come out together on stderr, with no traceback."""
    folder = make_folder(
        day=minimal_day.replace('"06:00"', '"26:00"'),
        shots="id,description,size,look,shoot_min\n1,The pans,wid,N,30\n",
    )
    before = _snapshot(folder)
    ran = run(command, folder)
    assert ran.code == 1
    assert ran.out == ""
    assert "day.toml:11" in ran.err
    assert "`26:00`" in ran.err
    assert "shots.csv:2" in ran.err
    assert "did you mean `wide`?" in ran.err
    assert "Traceback" not in ran.err
    assert _snapshot(folder) == before


def test_check_json_of_a_faulty_folder_lists_faults(run, make_folder):
    """Programs get the same faults field by field, and exit code 1 as well."""
    folder = make_folder(shots="id,description,size,look,shoot_min\n1,The pans,wid,N,30\n")
    ran = run("check", folder, "--json")
    assert ran.code == 1
    (fault,) = json.loads(ran.out)["faults"]
    assert (fault["file"], fault["line"], fault["value"]) == ("shots.csv", 2, "wid")


def test_missing_folder_exits_1(run, tmp_path):
    """A folder that is not there is a fault, not a wrong use."""
    ran = run("check", tmp_path / "nowhere")
    assert (ran.code, ran.out) == (1, "")
    assert "no such folder" in ran.err


def test_warnings_go_to_stderr(run, make_folder):
    """What is odd without being wrong stays out of the data."""
    folder = make_folder(horizon_mill_csv="azimuth_deg,elevation_deg\n0,3\n180,3\n")
    ran = run("check", folder, "--json")
    assert ran.code == 0
    assert ran.err.startswith("warning: horizon-mill.csv: not used")
    assert [warning["file"] for warning in json.loads(ran.out)["warnings"]] == ["horizon-mill.csv"]


@pytest.mark.parametrize(
    ("rolls", "need"),
    [
        ((200, 100), "300 min of rolling, 60 of builds: 360 of"),  # over at 12:00, as lunch is due
        ((200, 101), "301 min of rolling, 60 of builds, 60 of meal: 421 of"),
    ],
)
def test_check_says_the_least_work_of_a_day(run, make_folder, rolls, need):
    """The first shot in a spot and rig is set up, 40 minutes, and the next is adjusted, 20."""
    rows = [f"{k},A wide,wide,N,,,,{roll_min},40,20" for k, roll_min in enumerate(rolls, 1)]
    head = "id,description,size,look,sun,elevation,azimuth,shoot_min,setup_min,adjust_min"
    folder = make_folder(shots="\n".join([head, *rows, ""]))
    assert f"work    {need}" in run("check", folder).out


@pytest.mark.parametrize("demo", DEMOS)
def test_check_agrees_with_the_second_opinion(run, demo):
    """astral's sunrise, noon and sunset stand within a minute of ours on every demo day."""
    record = json.loads(run("check", DATA / demo, "--json").out)
    events = record["second_opinion"]
    assert [event["event"] for event in events] == ["sunrise", "solar noon", "sunset"]
    assert all(abs(event["difference_s"]) < 60 for event in events)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize(
    "command", ["check", "sun", "windows", pytest.param("plan", marks=pytest.mark.slow)]
)
def test_no_line_is_wider_than_80_columns(run, command, demo):
    """Every command's text fits the terminal, for days with long names and notes too."""
    ran = run(command, DATA / demo)
    assert ran.code == 0
    assert max(cell_len(line) for line in ran.out.splitlines()) <= 80
    assert "\x1b" not in ran.out


def test_sun_on_the_day_summer_time_begins(run, make_folder):
    """The local day has 23 hours, its clock jumps from 02:00 to 03:00, and noon is in summer time.

    The rule is the EU's directive 2000/84/EC: the last Sunday in March, at 1 h UTC.
    """
    ran = run("sun", make_folder(day=SPRING_DAY), "--every", 60, "--json")
    record = json.loads(ran.out)
    times = [datetime.fromisoformat(row["time"]) for row in record["track"]]
    assert [f"{when:%H:%M%z}" for when in times[:4]] == [
        "00:00+0100",
        "01:00+0100",
        "03:00+0200",
        "04:00+0200",
    ]
    assert len(times) == 24
    assert all((b - a).total_seconds() == 3600 for a, b in pairwise(times))
    # 12 h mean time + 23.6 min for 5.9° west + about 5 min of equation of time, in UTC + 2 h.
    assert record["events"]["solar_noon"].startswith("2027-03-28T14:2")
    assert record["events"]["solar_noon"].endswith("+02:00")


def test_sun_of_one_spot(run):
    """`--spot` takes any spelling of a name and leaves the other spots out."""
    record = json.loads(run("sun", DATA / "late-ridge", "--spot", "BARN", "--json").out)
    assert list(record["direct_sun"]) == ["barn"]
    ran = run("sun", DATA / "late-ridge", "--spot", "bran")
    assert ran.code == 2
    assert "bridge" in ran.err


def test_windows_json_names_what_fails(run, make_folder):
    """A shot without a window has the failing part, its degrees and its minutes."""
    shots = "id,description,size,look,elevation,azimuth,shoot_min\n1,Late,wide,N,2..8,270..320,30\n"
    folder = make_folder(shots=shots)
    (one,) = json.loads(run("windows", folder, "--json").out)["shots"]
    assert (one["windows"], one["fails"]) == ([], "elevation")
    assert one["miss_deg"] > 0
    text = " ".join(run("windows", folder).out.split())
    assert f"never: the sun is {one['miss_deg']:.0f}° too high" in text
    assert f"{one['miss_min']} min past hard wrap" in text


def test_hostile_texts_stay_on_their_line(run, make_folder):
    """Line breaks, 300 characters and wide letters in a cell neither break a line nor widen it."""
    shots = (
        "id,description,size,look,shoot_min\n"
        f'1,"The pans\n\nat dawn {"x" * 300}",wide,N,30\n'
        f"2,{'塩' * 60},insert,N,10\n"
    )
    folder = make_folder(shots=shots)
    for command in ("windows", "plan"):
        lines = run(command, folder).out.splitlines()
        assert max(map(cell_len, lines)) <= 80
        assert sum("The pans" in line for line in lines) == 1
        assert sum("塩" in line for line in lines) == 1


def test_new_day_passes_check_and_plan(run, tmp_path):
    """The starter has no faults or warnings, and every shot of it is made."""
    for name, place, date in (("a", "Oslo", "2027-12-21"), ("b", "Wellington", "2027-06-09")):
        folder = tmp_path / name
        assert run("new", folder, "--at", place, "--date", date).code == 0
        checked = run("check", folder)
        assert (checked.code, checked.err) == (0, "")
        record = json.loads(run("plan", "--for", "planned", folder, "--json").out)
        assert record["left_out"] == []
        assert len(record["shots"]) == 6


def test_new_refuses_a_folder_with_something_in_it(run, tmp_path):
    """Nothing that stands there is touched, and nothing is added."""
    (tmp_path / "notes.txt").write_text("mine")
    ran = run("new", tmp_path, "--date", "2027-06-09")
    assert (ran.code, ran.out) == (1, "")
    assert "not an empty folder" in ran.err
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_new_fills_an_empty_folder(run, tmp_path):
    """A folder just made is filled, and no temporary folder stays behind."""
    folder = tmp_path / 'a "day"'
    folder.mkdir()
    assert run("new", folder, "--date", "2027-06-09").code == 0
    assert sorted(path.name for path in folder.iterdir()) == ["day.toml", "shots.csv"]
    assert list(tmp_path.iterdir()) == [folder]
    assert json.loads(run("check", folder, "--json").out)["title"] == 'a "day"'


def test_new_names_the_nearest_places(run, tmp_path):
    """An unknown place gets the nearest known ones, and no folder is made."""
    ran = run("new", tmp_path / "x", "--at", "Lisbn", "--date", "2027-06-09")
    assert (ran.code, ran.out) == (1, "")
    assert "`Lisbon`" in ran.err
    far = run("new", tmp_path / "x", "--at", "Xyzzyqq", "--date", "2027-06-09")
    assert "did you mean" not in far.err
    for one in (ran, far):
        assert "coordinates such as `36.5, -10.2`" in one.err
    assert list(tmp_path.iterdir()) == []


def test_new_without_a_parent_folder_exits_1(run, tmp_path):
    """A folder that cannot be made is told with the one that is missing."""
    missing = tmp_path / "no"
    ran = run("new", missing / "day", "--date", "2027-06-09")
    assert ran.code == 1
    assert ran.err == (
        f"`day` cannot be written (no such file or directory)\n  hint: its folder is `{missing}`\n"
    )


def test_plan_json_and_text_tell_the_same(run):
    """The text's rows are the record's shots, in its order and at its local times."""
    record = json.loads(run("plan", "--for", "planned", DATA / "last-lamp", "--json").out)
    assert record["timezone"] == "Africa/Tunis"
    assert record["revision"] is None
    assert record["status"] in ("proven", "bounded")
    assert record["bound"] >= record["points"]
    text = run("plan", "--for", "planned", DATA / "last-lamp").out
    places = []
    for shot in record["shots"]:
        start, end = (datetime.fromisoformat(shot[key]) for key in ("roll_start", "roll_end"))
        assert f"{start:%z}" == "+0100"
        places.append(text.index(f"{start:%H:%M}–{end:%H:%M}  {shot['id']} "))
    assert places == sorted(places)
    assert f"light kept {record['light_kept']:.1%}, {record['points']} points" in text
    assert ("proven: no order is worth more" in text) == (record["status"] == "proven")
    assert "optics" in text


def test_plan_shows_moves_and_the_meal_on_lines_of_their_own(run):
    """Each change of spot is a line with its minutes, and so is the meal."""
    record = json.loads(run("plan", "--for", "planned", DATA / "last-lamp", "--json").out)
    lines = run("plan", "--for", "planned", DATA / "last-lamp").out.splitlines()
    spots = [shot["spot"] for shot in record["shots"]]
    moves = [line for line in lines if " min, move to " in line]
    assert [line.split()[-1] for line in moves] == [b for a, b in pairwise(spots) if a != b]
    assert sum(line.endswith("  meal") for line in lines) == 1


def test_plan_names_shots_made_without_their_light(run, make_folder):
    """A dusk that does not come before the wrap is said below the table, not only in it."""
    shots = (
        "id,description,size,look,sun,elevation,shoot_min\n"
        "1,Salt,insert,N,any,,20\n2,Pans,wide,N,dusk,,20\n"
    )
    text = run("plan", "--for", "planned", make_folder(shots=shots)).out
    assert "with none of the light they ask for: 2; cut them," in text


def test_save_twice_keeps_both(run, make_folder):
    """Revisions count up, the first stays as it was, and the file is what `--json` printed."""
    folder = make_folder()
    first = run("plan", "--for", "planned", folder, "--save", "--json")
    saved = folder / "plans" / "0001.json"
    before = saved.read_bytes()
    assert first.err == "saved as revision 1\n"
    assert first.out.encode() == before
    assert json.loads(before)["revision"] == 1
    assert run("plan", "--for", "planned", folder, "--save").err == "saved as revision 2\n"
    assert saved.read_bytes() == before
    assert sorted(path.name for path in saved.parent.iterdir()) == ["0001.json", "0002.json"]


def test_save_never_reuses_a_number(tmp_path):
    """A gap stays a gap, and what a killed run has left of the next number does not block it."""
    plans = tmp_path / "plans"
    plans.mkdir()
    (plans / "0007.json").write_text("old")
    (plans / ".0008.json.part").write_text("half")
    assert save_revision(tmp_path, str) == 8
    assert (plans / "0008.json").read_text() == "8"
    assert (plans / "0007.json").read_text() == "old"
    assert sorted(path.name for path in plans.iterdir()) == ["0007.json", "0008.json"]


def test_save_stays_inside_the_folder(tmp_path):
    """A `plans` that is a link to somewhere else is refused, and nothing is written there."""
    other, day = tmp_path / "other", tmp_path / "day"
    other.mkdir()
    day.mkdir()
    (day / "plans").symlink_to(other)
    with pytest.raises(WriteRefused, match="leads out of the day folder"):
        save_revision(day, str)
    assert list(other.iterdir()) == []


def test_failed_save_leaves_nothing(tmp_path):
    """An error while the text is made leaves no half file behind."""

    def fail(revision: int) -> str:
        raise ZeroDivisionError(revision)

    with pytest.raises(ZeroDivisionError):
        save_revision(tmp_path, fail)
    assert list((tmp_path / "plans").iterdir()) == []


def test_impossible_day_exits_1(run, make_folder, minimal_day):
    """A day in the dark has no plan: the reason on stderr, nothing printed or saved."""
    night = minimal_day.replace('"06:00"', '"00:30"').replace('"19:00"', '"04:00"')
    folder = make_folder(day=night)
    ran = run("plan", "--for", "planned", folder, "--save")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err
    assert "Traceback" not in ran.err
    assert not (folder / "plans").exists()


def test_public_names_are_sorted_and_there():
    """Everything in `__all__` can be had from the package itself."""
    assert sunsched.__all__ == sorted(sunsched.__all__)
    for name in sunsched.__all__:
        assert callable(getattr(sunsched, name))
        assert name in dir(importlib.import_module("sunsched"))


def test_unknown_public_name_is_an_attribute_error():
    """A slip of a name is told as for any module."""
    name = "make_plans"
    with pytest.raises(AttributeError, match="no `make_plans`"):
        getattr(sunsched, name)


def test_a_day_with_every_shot_cut(run, make_folder, tmp_path):
    """Nothing is left to shoot: a plan, its page and its table say so, and stress has no work.

    Nor has an order without shots anything to be put on the clock, in a comparison either.
    """
    day = make_folder()
    assert run("plan", "--for", "planned", day, "--save")[0] == 0
    assert run("log", day, "cut", "1", "--at", "07:00")[0] == 0
    assert run("replan", day, "--at", "07:00", "--take", "best")[0] == 0
    code, out, err = run("stress", day)
    assert (code, out) == (1, "")
    assert "no shots" in err
    assert run("compare", day, "1", "2")[0] == 0
    assert run("sheet", day, tmp_path / "x.html")[0] == 0
    assert "no shot is planned" in (tmp_path / "x.html").read_text()


def test_words_that_are_no_text_are_wrong_use(run, make_folder):
    """Bytes that the terminal's encoding does not have are refused before they reach the log."""
    day = make_folder()
    words = ("id=2", "description=caf\udce9", "size=insert", "look=N", "shoot_min=10")
    code, out, err = run("log", day, "add", *words)
    assert (code, out) == (2, "")
    assert "encoding" in err
    assert not (day / "log.csv").exists()


def test_a_terminal_is_told_a_price_at_first_sight(run, make_folder, monkeypatch):
    """On stderr, before the exact one, which lies within it; where nobody looks it is not told."""
    more = "2,The gate,wide,N,30\n3,The sluice,close,W,40\n"
    day = make_folder(shots=f"id,description,size,look,shoot_min\n1,The pans,wide,S,30\n{more}")
    words = ("price", day, "--for", "planned", "--shot", "1", "--at", "16:00")
    unseen, exact = run(*words), json.loads(run(*words, "--json").out)
    assert (unseen.code, "first sight" in unseen.err) == (0, False)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    seen = run(*words)
    assert (seen.code, seen.out) == (0, unseen.out)
    told = re.search(r"at first sight: (?:(\d+) to )?(\d+) points are lost", seen.err)
    assert told is not None
    assert int(told[1] or told[2]) <= exact["points_lost"] <= int(told[2])
    assert exact["points_lost"] > 0
    refused = run(*words[:-1], "03:00")
    assert (refused.code, refused.out, "first sight" in refused.err) == (1, "", False)
    assert "Traceback" not in refused.err
