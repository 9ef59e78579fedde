"""The days of a folder, and a new one: made whole, or told what is open."""

from __future__ import annotations

import base64
import io
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from openpyxl import Workbook

import sunsched
from desk.conftest import KEYS, FalseClock, copied, serving
from sunsched.desk.answers.days import listed, made
from sunsched.desk.answers.days.made import folder_name
from sunsched.desk.door.guard import Door
from sunsched.desk.watched.folders import Folders
from sunsched.desk.web.run import Desk
from sunsched.desk.work.worker import Memory

FORM: dict[str, Any] = {
    "title": "Salt pans",
    "place": "Lisbon, Portugal",
    "date": "2027-06-09",
    "call": "",
    "wrap": "",
    "text": None,
    "content": None,
    "list_name": "",
    "answers": [],
}
LIST = "shot,size,description,look,minutes\n1,wide,The boat,W,30\n2,close,A hand,N,20\n"


def make_day(root, **asked):
    """Ask for a new day as the page does."""
    return next(made.answer(Memory(), root=str(root), **(FORM | asked)))


def test_days_are_told_in_a_line(tmp_path):
    """One at fault says so."""
    copied("ferry-light", tmp_path)
    broken = copied("last-lamp", tmp_path)
    (broken / "day.toml").write_text("nothing", "utf-8")
    names = ["ferry-light", "last-lamp"]
    found = next(listed.answer(Memory(), root=str(tmp_path), names=names))["days"]
    assert found[0] == {
        "name": "ferry-light",
        "faults": 0,
        "revision": None,
        "title": "Ferry light",
        "place": "Outer Senja",
        "date": "2027-02-27",
        "weekday": "Saturday",
        "shots": 12,
    }
    assert found[1]["faults"] > 0


def test_a_day_is_made_of_a_form(tmp_path):
    """Its hours lie between sunrise and sunset, its shots are the starter's own."""
    found = make_day(tmp_path)
    day = sunsched.read_day(tmp_path / found["made"])
    assert (found["made"], day.title, day.date.isoformat()) == (
        *("salt-pans", "Salt pans", "2027-06-09"),
    )
    assert day.place.timezone == "Europe/Lisbon"
    assert any("Lisbon" in text for text in found["told"])
    # A point for each thing that is told, however long: the page breaks its lines itself.
    assert [text.split()[0] for text in found["told"][:3]] == ["place", "sun", "hours"]
    assert found["told"][2].endswith("on the page of the day, under decisions")


@pytest.mark.parametrize("kind", ["pasted", "csv", "xlsx"])
def test_a_day_is_made_of_a_list(tmp_path, kind):
    """However it comes."""
    raw = LIST.encode()
    if kind == "xlsx":
        book, held = Workbook(), io.BytesIO()
        for row in LIST.splitlines():
            book.active.append(row.split(","))
        book.save(held)
        raw = held.getvalue()
    asked = {"text": LIST}
    if kind != "pasted":
        asked = {"content": base64.b64encode(raw).decode(), "list_name": f"mine.{kind}"}
    found = make_day(tmp_path, call="06:00", wrap="20:00", **asked)
    shots = sunsched.read_day(tmp_path / found["made"]).shots
    assert [(one.id, one.description) for one in shots] == [("1", "The boat"), ("2", "A hand")]


def test_what_each_column_is_read_as_is_told_before(asker, desk, tmp_path):
    """Those that nobody knows too; nothing is written, and only who decides may ask."""
    text = "Nr.,What happens,Frame,Cam faces,Mood,Who is in shot\n1,The boat,wide,W,calm,Ada\n"
    asked = {"text": text}
    told = asker.post("/api/new/columns", json=asked).json()
    assert (told["fault"], told["shots"]) == ("", 1)
    assert [(one["title"], one["known"], one["first"]) for one in told["columns"]] == [
        *(("Nr.", "id", "1"), ("What happens", "description", "The boat")),
        *(("Frame", "size", "wide"), ("Cam faces", "look", "W")),
        *(("Mood", None, "calm"), ("Who is in shot", "cast", "Ada")),
    ]
    assert told["columns"][3]["said"] == "where the lens points"
    named = dict(told["names"])
    assert named["shoot_min"] == "minutes that it rolls"
    assert "size" not in named
    none = asker.post("/api/new/columns", json={"content": "%%%", "list_name": "x.xlsx"}).json()
    assert "nothing in it looks like shots" in none["fault"]
    assert [one.name for one in tmp_path.iterdir()] == ["ferry-light"]
    asker.cookies.set(desk.door.cookie, KEYS.note)
    assert asker.post("/api/new/columns", json=asked).status_code == 403


def test_no_folder_is_written_over(tmp_path):
    """The next one of the same title has a number."""
    assert [make_day(tmp_path)["made"] for _ in range(3)] == [
        *("salt-pans", "salt-pans-2", "salt-pans-3"),
    ]


def test_all_that_is_open_is_told_at_once(tmp_path):
    """At its field, with the places that are meant; nothing is written."""
    found = make_day(tmp_path, place="Springfield", date="soon", call="25:00")
    assert found["made"] is None
    assert set(found["problems"]) == {"place", "date", "call"}
    assert len(found["candidates"]) > 1
    assert list(tmp_path.iterdir()) == []
    again = make_day(tmp_path, place=found["candidates"][0]["write"])
    assert again["made"] == "salt-pans"


def test_questions_of_the_list_are_answered_in_the_form(tmp_path):
    """An answer that does not read is asked for again; then the day is made."""
    text = "shot,size,description,look,sun\n1,wide,<b>Boat</b>,W,back\n2,clsoe,A hand,N,=1+1\n"
    found = make_day(tmp_path, text=text)
    asked = {(one["column"], one["value"]): one for one in found["questions"]}
    assert set(asked) == {("size", "clsoe"), ("sun", "=1+1")}
    answers = [["size", "clsoe", "nonsense"], ["sun", "=1+1", ""]]
    again = make_day(tmp_path, text=text, answers=answers)
    assert [one["column"] for one in again["questions"]] == ["size"]
    assert again["questions"][0]["refused"]
    assert list(tmp_path.iterdir()) == []
    answers[0][2] = "close-up"
    last = make_day(tmp_path, text=text, answers=answers)
    day = sunsched.read_day(tmp_path / last["made"])
    assert day.shot("1").description == "<b>Boat</b>"
    assert str(day.shot("2").size) == "close-up"


@pytest.mark.parametrize(
    "asked",
    [
        {"text": ""},
        {"text": "nothing that is a list"},
        {"content": "%%%", "list_name": "x.csv"},
        {"content": base64.b64encode(b"\x00\xff" * 50).decode(), "list_name": "x.xlsx"},
    ],
    ids=["empty", "prose", "no base64", "no workbook"],
)
def test_lists_that_are_none_make_nothing(tmp_path, asked):
    """They are told at their field."""
    found = make_day(tmp_path, **asked)
    assert "listed" in found["problems"]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Salt pans", "salt-pans"),
        ("../../etc", "etc"),
        ("Día 3: la última luz!", "día-3-la-última-luz"),
        ("光の日", "光の日"),
        ("...", "my-day"),
        ("a" * 200, "a" * 60),
    ],
)
def test_a_folder_is_called_as_its_day(title, name):
    """In letters that no system takes for anything else."""
    assert folder_name(title) == name


def test_who_makes_days(asker, desk, tmp_path):
    """Those who decide, where the desk shows all days of a folder."""
    page = asker.get("/")
    assert "a new day" in page.text
    told = asker.post("/api/days", json={"names": ["ferry-light", "..", "nowhere"]}).json()
    assert [one["title"] for one in told["days"]] == ["Ferry light"]
    new = asker.post("/api/new", json={**FORM, "text": LIST}).json()
    assert new["made"] == "salt-pans"
    assert asker.get("/api/salt-pans/view").json()["title"] == "Salt pans"
    asker.cookies.set(desk.door.cookie, KEYS.note)
    assert asker.post("/api/new", json=FORM).status_code == 403
    assert asker.get("/new").status_code == 403
    assert "a new day" not in asker.get("/").text
    asker.cookies.set(desk.door.cookie, KEYS.all)
    desk.folders = Folders(root=tmp_path, only=tmp_path / "ferry-light")
    assert asker.post("/api/new", json=FORM).status_code == 404


@pytest.fixture
def open_home(tmp_path, browser):
    """Give a function that opens the list of days at a size."""
    copied("ferry-light", tmp_path)
    (copied("last-lamp", tmp_path) / "shots.csv").write_text("id\n", "utf-8")
    door = Door(hosts=[], keys=KEYS, port=0)
    opened = []
    with serving(Desk(folders=Folders(root=tmp_path), door=door, clock=FalseClock())) as address:

        def open_at(width, height, scheme):
            viewport = {"width": width, "height": height}
            opened.append(browser.new_context(viewport=viewport, color_scheme=scheme))
            page = opened[-1].new_page()
            page.set_default_timeout(60_000)
            page.goto(f"{address}/?key={KEYS.all}")
            return page

        yield open_at
        for context in opened:
            context.close()


@pytest.mark.parametrize(
    ("width", "height", "scheme"), [(1280, 800, "light"), (360, 740, "dark")], ids=["desk", "phone"]
)
def test_a_day_is_made_in_a_browser(open_home, tmp_path, width, height, scheme):
    """From the list of days to files on disk: places and questions are chosen and answered."""
    page = open_home(width, height, scheme)
    page.get_by_text("Saturday 2027-02-27, Outer Senja; 12 shots, no plan saved").wait_for()
    page.get_by_text("in its files: open it to read them").wait_for()
    assert Axe().run(page).response["violations"] == []
    page.get_by_role("link", name="a new day").click()
    page.get_by_role("button", name="make the day").click()
    page.get_by_text("a day has a name").wait_for()
    page.get_by_label("what it is called").fill("<b>Salt</b> pans")
    page.get_by_label("where it is shot").fill("Springfield")
    page.get_by_label("its date").fill("2027-06-09")
    page.get_by_label("pasted").check()
    page.get_by_label("the list, from").fill(LIST.replace("close", "clsoe"))
    page.get_by_label("the list, from").press("Tab")
    page.get_by_role("cell", name="minutes that it rolls").wait_for()
    page.get_by_text("2 shots; every title is known").wait_for()
    page.get_by_role("button", name="make the day").click()
    page.get_by_text("it may mean").wait_for()
    assert Axe().run(page).response["violations"] == []
    wide, room = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide <= room
    page.get_by_label("Springfield, Oregon").check()
    page.get_by_label("size of 2").fill("close-up")
    page.get_by_role("button", name="make the day").click()
    page.get_by_text("The day is made, in the folder b-salt-b-pans").wait_for()
    day = sunsched.read_day(tmp_path / "b-salt-b-pans")
    assert (day.title, day.place.timezone) == ("<b>Salt</b> pans", "America/Los_Angeles")
    assert [str(shot.size) for shot in day.shots] == ["wide", "close-up"]
    page.get_by_role("link", name="the shots").click()
    page.locator("#table svg.light").first.wait_for()
