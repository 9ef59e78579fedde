"""`sheet` and `--picture` from the command line: what is written, and what is refused."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
from icalendar import Calendar
from PIL import Image

import sunsched.show.drawing.lettering

DATA = Path(__file__).parents[2] / "data"
MEDIA_BOX = rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+)"
A4_PT = (595, 842)  # 210 mm by 297 mm (ISO 216) in points of 1/72 inch
MAGIC = {".pdf": b"%PDF-", ".png": b"\x89PNG", ".svg": b"<?xml"}


def test_sheet_writes_the_table(run, tmp_path):
    """A `.csv` holds every shot of the day; stdout stays empty and stderr names the file."""
    file = tmp_path / "order.csv"
    code, out, err = run("sheet", DATA / "ferry-light", file, "--for", "planned")
    assert (code, out) == (0, "")
    assert str(file) in err
    assert pd.read_csv(file, dtype=str)["id"].dropna().nunique() == 12


def test_sheet_refuses_before_it_reads_the_day(run, tmp_path):
    """Another ending, or the name of a day's own file, is wrong use; nothing is written."""
    for name in ("order.docx", "order", "shots.csv", "sky.csv"):
        code, out, err = run("sheet", tmp_path / "no such day", tmp_path / name)
        assert (code, out) == (2, "")
        assert name in err
    assert list(tmp_path.iterdir()) == []


def test_nothing_that_was_read_is_written_over(run, make_folder, minimal_day, tmp_path):
    """A skyline under a name of its own, or the AD's order, stays as it is; exit code 1."""
    text = f'{minimal_day}\n[[spot]]\nname = "pans"\nhorizon = "ridge.csv"\n'
    skyline = "azimuth_deg,elevation_deg\n0,3\n180,5\n"
    folder = make_folder(text, ridge_csv=skyline)
    code, _, err = run("sheet", folder, folder / "ridge.csv")
    assert code == 1
    assert "`ridge.csv` is a file that is read here" in err
    assert (folder / "ridge.csv").read_text() == skyline
    order = tmp_path / "ad.csv"
    order.write_text("id\n1\n")
    code, _, err = run("compare", folder, order, "--sheet", order)
    assert code == 1
    assert order.read_text() == "id\n1\n"


def printed_text(file):
    """Give the words of a `.pdf` on one line."""
    found = subprocess.run(["pdftotext", file, "-"], check=True, capture_output=True, text=True)
    return " ".join(found.stdout.split())


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_a_day_that_is_over_is_printed_as_planned_against_made(run, make_folder, tmp_path):
    """Once its only shot is made; before that, and of an older revision, the order is printed."""
    day, file = make_folder(), tmp_path / "x.pdf"
    assert run("plan", "--for", "planned", day, "--save")[0] == 0
    assert run("log", day, "rolled", "1", "--at", "07:11")[0] == 0
    assert run("sheet", day, file)[0] == 0
    assert "rolled at," in printed_text(file)
    assert run("log", day, "done", "1", "--at", "07:40")[0] == 0
    code, _, err = run("sheet", day, file)
    text = printed_text(file)
    assert (code, "warning" in err) == (0, False)
    assert "07:11–07:40" in text
    assert "of its light" in text
    assert "1 of 1 shots were made." in text
    assert "OUT OF DATE" not in text
    assert run("sheet", day, file, "--revision", "1")[0] == 0
    assert "rolled at," in printed_text(file)


def test_tables_and_the_calendar_of_a_day_that_is_over(run, make_folder, tmp_path):
    """Planned times beside made ones; a shot that was not made is taken back in the calendar."""
    shots = "id,description,size,look,shoot_min\n1,Dawn,wide,N,30\n2,Salt,insert,N,20\n"
    day = make_folder(shots=shots)
    assert run("plan", "--for", "planned", day, "--save")[0] == 0
    planned = pd.read_csv(io.StringIO(written(run, day, tmp_path / "a.csv").decode("utf-8-sig")))
    starts = dict(zip(planned["id"].astype(str), planned["roll_start_local"], strict=True))
    first = next(one for one in starts if starts[one] == min(starts.values()))
    other = "2" if first == "1" else "1"
    rolled = pd.Timestamp(starts[first]) + pd.Timedelta(minutes=12)
    for words in (
        ("rolled", first, "--at", f"{rolled:%H:%M}", "--until", "09:00"),
        ("cut", other, "--at", "09:05"),
    ):
        assert run("log", day, *words)[0] == 0
    text = written(run, day, tmp_path / "b.csv").decode("utf-8-sig")
    made: Any = pd.read_csv(io.StringIO(text), dtype={"id": str}).set_index("id")
    assert made.loc[first, "planned_start_local"] == starts[first]
    assert made.loc[first, "later_than_planned_min"] == 12
    assert made.loc[other, "planned_start_local"] == starts[other]
    assert pd.isna(made.loc[other, "later_than_planned_min"])
    written(run, day, tmp_path / "b.xlsx")
    book: Any = openpyxl.load_workbook(tmp_path / "b.xlsx")
    rows = list(book["order"].values)
    heads = list(rows[1])
    there = {row[heads.index("shot")]: row for row in rows[2:]}
    assert there[first][heads.index("later by min")] == 12
    assert there[first][heads.index("rolled from")] == rolled.to_pydatetime()
    assert f"{there[other][heads.index('planned from')]:%H:%M}" == starts[other][11:16]
    events: Any = Calendar.from_ical(written(run, day, tmp_path / "b.ics")).walk("VEVENT")
    ids: dict[str, Any] = {str(one["SUMMARY"])[0]: one for one in events}
    assert ids[first]["DTSTART"].dt.strftime("%H:%M") == f"{rolled:%H:%M}"
    assert f"planned {starts[first][11:16]}–" in ids[first]["DESCRIPTION"]
    assert "+12 min" in ids[first]["DESCRIPTION"]
    # RFC 5545, 3.8.1.11: an event that was cancelled.
    assert [ids[one]["STATUS"] for one in (first, other)] == ["CONFIRMED", "CANCELLED"]
    assert f"{other} " in ids[other]["SUMMARY"]
    assert ", cut: " in ids[other]["SUMMARY"]
    again: Any = Calendar.from_ical(written(run, day, tmp_path / "c.ics", "--revision", "1"))
    assert {str(one.get("STATUS")) for one in again.walk("VEVENT")} == {"None"}


def written(run, day, file, *words):
    """Give the bytes of a sheet."""
    assert run("sheet", day, file, *words)[0] == 0
    return file.read_bytes()


def test_a_plan_that_does_not_know_the_log_says_so(run, make_folder, tmp_path):
    """A sheet of the newest plan tells of events since; a new plan, that it looks at none."""
    day, file = make_folder(), tmp_path / "x.csv"
    assert run("plan", "--for", "planned", day, "--save")[0] == 0
    assert "log" not in run("sheet", day, file).err
    for minute, event in (("07:00", "rolled"), ("07:30", "done")):
        assert run("log", day, event, "1", "--at", minute)[0] == 0
    left = "with 07:00 1 rolls: it has 1 rolling at 07:10"
    older = ("sheet", day, file, "--revision", "1")
    assert f"the day left revision 1 {left}; `sunsched replan`" in run(*older).err
    said = f"OUT OF DATE: the day left it {left}"
    run("sheet", day, tmp_path / "x.html", "--revision", "1")
    assert said in (tmp_path / "x.html").read_text(encoding="utf-8")
    # All is made: the newest page is of the day as it was.
    run("sheet", day, tmp_path / "x.html")
    assert "OUT OF DATE" not in (tmp_path / "x.html").read_text(encoding="utf-8")
    for words in (("plan", day), ("compare", day, "1"), ("price", day, "--first", "1")):
        assert "does not look at its log" in run(*words).err
    assert run("replan", day, "--at", "07:30", "--take", "best")[0] == 0
    assert "log" not in run("sheet", day, file).err
    assert run("log", day, "late", "5", "--at", "07:40")[0] == 0
    assert "the day left" not in run("sheet", day, file).err, "nothing is to come any more"
    assert "log" not in run("plan", day, "--revision", "1").err


def test_paper_that_serves_nothing_is_wrong_use(run, tmp_path):
    """A .pdf is not printed on a phone, and a table has no paper: told before anything is read."""
    for file, paper in (("x.pdf", "phone"), ("x.csv", "letter"), ("x.html", "a4")):
        code, out, err = run("sheet", tmp_path / "none", tmp_path / file, "--paper", paper)
        assert (code, out) == (2, "")
        assert "--paper" in err
    assert list(tmp_path.iterdir()) == []


def test_a_sheet_that_cannot_be_written_says_so(run, tmp_path):
    """A folder in the file's place is left as it is; exit code 1."""
    (tmp_path / "order.csv").mkdir()
    sheet = ("sheet", "--for", "planned", DATA / "ferry-light")
    code, _, err = run(*sheet, tmp_path / "order.csv")
    assert code == 1
    assert "order.csv" in err
    code, _, err = run(*sheet, tmp_path / f"{'x' * 300}.csv")
    assert code == 1
    assert "cannot be written (file name too long)" in err
    assert [path.name for path in tmp_path.iterdir()] == ["order.csv"]


@pytest.mark.parametrize(
    "words",
    [("plan", "--for", "planned"), ("sun", "--spot", "mole"), ("windows", "--shot", "3")],
    ids=lambda words: words[0],
)
def test_pictures_are_of_the_kind_that_their_names_say(run, tmp_path, words):
    """`plan`, `sun` and `windows` write a picture and print what they print without one."""
    command, *more = words
    without = run(command, DATA / "ferry-light", *more).out
    for ending in MAGIC if command == "plan" else (".svg",):
        file = tmp_path / f"picture{ending}"
        code, out, _ = run(command, DATA / "ferry-light", *more, "--picture", file)
        assert code == 0
        assert file.read_bytes().startswith(MAGIC[ending])
        assert out == without


@pytest.mark.parametrize("words", [["sun", "--spot", "mole"], ["windows", "--shot", "1"]])
def test_pictures_of_one_spot_or_shot_are_as_wide_as_a_phone(words, run, tmp_path):
    """A .png is looked at on a phone: 4 inches of 270 dots; the pages of a .pdf are A4."""
    command, *more = words
    file = tmp_path / "picture.png"
    assert run(command, DATA / "ferry-light", *more, "--picture", file).code == 0
    with Image.open(file) as image:
        assert image.width == 1080


def test_one_picture_holds_one_spot_or_shot(run, tmp_path):
    """A `.png` of all spots is refused with the option that helps; a `.pdf` has a page for each."""
    code, out, err = run("sun", DATA / "ferry-light", "--picture", tmp_path / "all.png")
    assert (code, out) == (2, "")
    assert "--spot" in err
    for command, pages in (("sun", 2), ("windows", 13)):  # all shots on one, then twelve
        assert run(command, DATA / "ferry-light", "--picture", tmp_path / "all.pdf")[0] == 0
        boxes = re.findall(MEDIA_BOX, (tmp_path / "all.pdf").read_bytes())
        assert len(boxes) == pages
        assert {tuple(sorted(round(float(edge)) for edge in box)) for box in boxes} == {A4_PT}
    assert [path.name for path in tmp_path.iterdir()] == ["all.pdf"]


def test_unknown_shot_is_wrong_use(run):
    """`windows --shot` names the nearest id."""
    code, out, err = run("windows", DATA / "ferry-light", "--shot", "111")
    assert (code, out) == (2, "")
    assert "`111`" in err


def test_sheet_keeps_a_day_folder_as_it_is(run, tmp_path):
    """A sheet written into the day folder adds one file, and the day reads as before."""
    day = tmp_path / "day"
    shutil.copytree(DATA / "ferry-light", day)
    before = {path.name: path.read_bytes() for path in day.iterdir()}
    assert run("sheet", day, day / "order.ics", "--for", "planned")[0] == 0
    after = {path.name: path.read_bytes() for path in day.iterdir()}
    assert after.pop("order.ics").startswith(b"BEGIN:VCALENDAR")
    assert after == before
    assert run("check", day)[0] == 0


def test_a_limit_must_be_a_time(run):
    """A limit of nothing is wrong use; a short one still gives a plan."""
    assert run("plan", "--for", "planned", DATA / "ferry-light", "--limit", "0")[0] == 2
    code, out, _ = run("plan", "--for", "planned", DATA / "ferry-light", "--limit", "0.1")
    assert code == 0
    assert "light kept" in out


def test_signs_that_the_font_lacks_are_told(run, make_folder, tmp_path, monkeypatch):
    """Boxes are told of with what keeps the text; an `.svg` and the phone page keep it."""
    # On a machine that has no fonts but ours.
    monkeypatch.setattr(sunsched.show.drawing.lettering, "_font_of", lambda _: "")
    shots = "id,description,size,look,shoot_min\n海1,Boat सूर्य,wide,90,10\n"
    folder = make_folder(shots=shots)
    lacks = r"the font of pictures lacks \d signs \(CJK, DEVANAGARI\): 海स\S*; "
    for words in (
        ("plan", folder, "--for", "planned", "--picture"),
        ("sheet", "--for", "planned", folder),
    ):
        for ending, does in (
            (".png", "□ stands for each\n  hint: an .svg"),
            (".svg", "they are kept as text"),
        ):
            file = tmp_path / f"picture{ending}"
            code, _, err = run(*words, file)
            assert code == 0
            assert re.search(lacks + re.escape(does), err), err
        assert "海1" in (tmp_path / "picture.svg").read_text(encoding="utf-8")
    for ending, does in ((".html", "they are kept"), (".pdf", "□ stands"), (".csv", "")):
        file = tmp_path / f"sheet{ending}"
        err = run("sheet", "--for", "planned", folder, file).err
        assert bool(re.search(lacks, err)) == bool(does)
        assert does in err


def test_signs_that_the_font_has_are_not_told(run, make_folder, tmp_path):
    """Accents, Greek, Cyrillic, Hebrew and Arabic are drawn."""
    shots = "id,description,size,look,shoot_min\nא1,Béchir Ωω Жж قارب,wide,90,10\n"
    file = tmp_path / "picture.png"
    code, _, err = run("plan", make_folder(shots=shots), "--for", "planned", "--picture", file)
    assert code == 0
    assert "lacks" not in err
