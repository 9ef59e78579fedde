"""From somebody's list to a plan: import, and plan with a list."""

from __future__ import annotations

import sys
from typing import Any

import openpyxl
import pytest
import typer

from sunsched.cli.shared.import_file import is_list
from sunsched.folder.read import read_folder

MAIL = """\
Hello,
1. WS the boats, looking W, backlit, 30 min
2. MS Ana, looking N, side, 20 min
3. CU her hands, 10 min
"""
OPEN = "Shot,Action,Size,Looking,Sun,Mins\n1,Boats,Hero,to the pier,back,30\n2,Ana,MS,N,side,20\n"
PLACE = ("--at", "Lisbon", "--date", "2027-05-20")


def test_list_becomes_a_day_and_its_plan_in_one_line(run, tmp_path, monkeypatch):
    """The folder is named as the file; what was taken for what is told beside the plan."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "our list.txt").write_text(MAIL)
    done = run("plan", "our list.txt", *PLACE)
    assert done.code == 0
    assert "of the light is kept" in done.out
    assert "our-list: day.toml, shots.csv, 3 shots from our list.txt" in done.err
    assert [shot.id for shot in read_folder(tmp_path / "our-list").day.shots] == ["1", "2", "3"]
    again = run("plan", "our list.txt", *PLACE)
    assert again.code == 2
    assert "has its place and date; they stand in its day.toml" in again.err


def test_faults_and_hours_of_a_list(run, tmp_path, monkeypatch):
    """A fault stands where the list has it; the hard wrap, which nobody gave, is told."""
    monkeypatch.chdir(tmp_path)
    text = (
        "The boat\n\nid,description,size,look,minutes,after\n"
        "1,Dawn,wide,N,30,\n2,Salt,insert,N,20,9\n"
    )
    (tmp_path / "our.csv").write_text(text, encoding="utf-8")
    words = ("import", "our.csv", "day", "--at", "Lisbon", "--date", "2027-05-20")
    ran = run(*words)
    assert ran.code == 1
    assert "our.csv:5, after: no such shot: `9`" in ran.err
    assert "shots.csv" not in ran.err
    book = openpyxl.Workbook()
    sheet: Any = book.active
    sheet.title = "Monday"
    for line in text.splitlines():
        sheet.append(line.split(","))
    book.save(tmp_path / "our.xlsx")
    ran = run("import", "our.xlsx", *words[2:])
    assert "our.xlsx, sheet Monday:5, after: no such shot: `9`" in ran.err
    (tmp_path / "our.csv").write_text(text.replace(",9\n", ",\n"), encoding="utf-8")
    ran = run(*words)
    assert ran.code == 0, ran.err
    told = " ".join((ran.out + ran.err).split())
    assert (
        "call 05:45, wrap 17:45, laid by the sun; nothing rolls past the hard wrap, 18:15" in told
    )


def test_open_things_are_told_and_nothing_is_written(run, tmp_path):
    """Without a terminal nobody can be asked."""
    (tmp_path / "list.csv").write_text(OPEN)
    done = run("import", tmp_path / "list.csv", tmp_path / "day", *PLACE)
    assert done.code == 1
    assert done.err == (
        "list.csv: 2 things are not clear, and nothing was written\n"
        "shot 1, size: `Hero` is not a size (expected wide, full, medium, close-up or insert)\n"
        "shot 1, look: `to the pier` is not a bearing (expected degrees or a compass point such as "
        "NNW)\n"
        "  hint: put it into the list, or run this on a terminal and answer\n"
    )
    assert not (tmp_path / "day").exists()


def test_open_things_are_asked_on_a_terminal(run, tmp_path, monkeypatch):
    """An answer that does not read is asked again."""
    (tmp_path / "list.csv").write_text(OPEN)
    answers = iter(["big", "wide", "SW"])
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(typer, "prompt", lambda *_, **__: next(answers))
    done = run("import", tmp_path / "list.csv", tmp_path / "day", *PLACE)
    assert done.code == 0
    assert "`big` is not a size" in done.err
    shot = read_folder(tmp_path / "day").day.shot("1")
    assert (shot.size, shot.look_deg) == ("wide", 225)


def test_list_goes_into_a_day_that_there_is(run, make_folder, minimal_day, tmp_path):
    """Only if it may replace the list there; spots that the day lacks are added."""
    folder = make_folder(minimal_day + '[[spot]]\nname = "Pans"\n[[cast]]\nname = "Ana"\n')
    text = "Shot,Set,Action,Size,Looking,Mins,Cast\n1,Pans,A,WS,W,30,Ana\n2,Mill,B,MS,N,20,Rui\n"
    (tmp_path / "list.csv").write_text(text)
    before = (folder / "shots.csv").read_text()
    refused = run("import", tmp_path / "list.csv", folder)
    assert refused.code == 1
    assert refused.err == (
        "`shots.csv` stands in the folder already, and nothing was written\n"
        "  hint: `import --replace` puts the new list in its place\n"
    )
    assert (folder / "shots.csv").read_text() == before
    done = run("import", tmp_path / "list.csv", folder, "--replace")
    assert done.code == 0
    assert "- new in day.toml: spot Mill, cast Rui" in done.out
    day = read_folder(folder).day
    assert [spot.name for spot in day.spots] == ["Pans", "Mill"]
    assert [member.name for member in day.cast] == ["Ana", "Rui"]


def test_name_that_is_nearly_known_is_a_fault(run, make_folder, minimal_day, tmp_path):
    """A slip makes no new spot, and nothing is written."""
    folder = make_folder(minimal_day + '[[spot]]\nname = "Old mill"\n[[spot]]\nname = "Pans"\n')
    (tmp_path / "list.csv").write_text("Shot,Set,Action,Size,Looking,Mins\n1,Old mil,A,WS,W,30\n")
    before = (folder / "day.toml").read_text()
    done = run("import", tmp_path / "list.csv", folder, "--replace")
    assert done.code == 1
    assert "no such spot: `Old mil`" in done.err
    assert "did you mean `Old mill`?" in done.err
    assert (folder / "day.toml").read_text() == before


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("list.txt", "Dear all,\nsee you at six.\n", "nothing in it looks like shots"),
        ("list.csv", "name,phone\nAna,123\n", "nothing in it looks like shots"),
        ("list.csv", "shot,action,size,looking,mins\n", "no shots below its head"),
        ("list.pages", "x", "a file of the kind `.pages`"),
        ("list.xlsx", "PK\x03\x04", "not a workbook that can be read"),
        ("list.ods", "PK\x03\x04", "not a workbook that can be read"),
    ],
)
def test_file_that_is_no_list_is_told_in_a_line(run, tmp_path, name, text, message):
    """With what would help; nothing is written."""
    (tmp_path / name).write_text(text)
    done = run("import", tmp_path / name, tmp_path / "day", *PLACE)
    assert done.code == 1
    assert f"{name}: {message}" in done.err
    assert not (tmp_path / "day").exists()


@pytest.mark.parametrize("ending", [".ods", ".ODS", ".xlsx", ".xlsm", ".csv", ".tsv", ".txt"])
def test_plan_knows_a_list_by_its_ending(ending, tmp_path):
    """A folder of such a name is a day folder."""
    path = tmp_path / f"list{ending}"
    path.mkdir()
    assert not is_list(path)
    path.rmdir()
    path.write_bytes(b"")
    assert is_list(path)


def test_no_list_stands_beside_another(run, tmp_path):
    """A workbook in the folder is its list, of whichever kind."""
    (tmp_path / "list.txt").write_text(MAIL)
    assert run("import", tmp_path / "list.txt", tmp_path / "day", *PLACE).code == 0
    (tmp_path / "day" / "shots.csv").rename(tmp_path / "day" / "shots.ods")
    done = run("import", tmp_path / "list.txt", tmp_path / "day", "--replace")
    assert done.code == 1
    assert "`shots.ods` stands in the folder, and there is one shot list" in done.err


def test_new_day_needs_a_place_and_a_date(run, tmp_path):
    """What to type is said."""
    (tmp_path / "list.txt").write_text(MAIL)
    done = run("import", tmp_path / "list.txt", tmp_path / "day", "--at", "Lisbon")
    assert done.code == 2
    assert "say where and when with --at PLACE --date YYYY-MM-DD" in done.err
    wrong = run("plan", tmp_path, "--at", "Lisbon")
    assert wrong.code == 2


def test_list_takes_the_place_of_the_starters_shots(run, tmp_path):
    """With their spots, cast, rig and match, which no shot of the list has."""
    folder = tmp_path / "day"
    assert run("new", folder, *PLACE).code == 0
    (tmp_path / "list.txt").write_text(f"HARBOUR\n{MAIL.partition(chr(10))[2]}")
    done = run("import", tmp_path / "list.txt", folder, "--replace")
    assert (done.code, "for those of the starter's shots" in " ".join(done.out.split())) == (
        0,
        True,
    )
    day = read_folder(folder).day
    assert ([spot.name for spot in day.spots], day.rigs, day.matches) == (["Harbour"], (), {})


def test_fault_of_the_day_is_told_and_nothing_is_written(run, make_folder, minimal_day, tmp_path):
    """A rig that only day.toml names would be a fault of the day."""
    folder = make_folder(minimal_day + '[[rig]]\nname = "Tent"\n')
    (tmp_path / "list.txt").write_text(MAIL)
    before = (folder / "shots.csv").read_text()
    done = run("import", tmp_path / "list.txt", folder, "--replace")
    assert done.code == 1
    assert "unknown rig: `Tent`" in done.err
    assert "nothing was written: put it right in the list or in day.toml, or import" in done.err
    assert (folder / "shots.csv").read_text() == before


def test_words_for_sizes_of_the_day_count(run, make_folder, minimal_day, tmp_path):
    """What `[words.size]` says is not asked."""
    folder = make_folder(minimal_day + '[words.size]\nhero = "wide"\n')
    (tmp_path / "list.csv").write_text("Shot,Action,Size,Looking,Mins\n1,Boats,Hero,W,30\n")
    assert run("import", tmp_path / "list.csv", folder, "--replace").code == 0
    shot = read_folder(folder).day.shot("1")
    assert (shot.size, shot.kept) == ("wide", (("size as listed", "Hero"),))
