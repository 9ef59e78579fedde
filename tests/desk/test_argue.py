"""The argument: another order read, beside ours, priced, and handed out."""

from __future__ import annotations

import base64
import csv
import io
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from openpyxl import Workbook
from starlette.testclient import TestClient

import sunsched
from desk.conftest import DATA, HOST, KEYS, copied
from sunsched.desk.answers.argument import compare, order, ours, price
from sunsched.desk.answers.known import known
from sunsched.desk.app import make_app
from sunsched.desk.routes.argue import DemandAsked, price_words
from sunsched.desk.watched.names import file_name
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.whatif.orders.order import read_pasted

DAY = "/api/ferry-light"
THEIRS = "1 2 3 4 lunch 5 6 7 8 9 10 11 12"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Give a day folder without a saved plan."""
    return copied("ferry-light", tmp_path_factory.mktemp("days"))


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """Give a day folder with a saved plan for planned minutes, which is found in a moment."""
    made = copied("ferry-light", tmp_path_factory.mktemp("days"))
    plan = sunsched.make_plan(sunsched.read_day(made))
    sunsched.save_plan(made, plan, made_at=datetime(2027, 2, 1, tzinfo=UTC))
    return made, plan


@pytest.fixture
def quiet(desk, monkeypatch):
    """Give a client of a desk whose processes are not needed."""
    monkeypatch.setattr(type(desk), "start", lambda _: None)
    with TestClient(make_app(desk), base_url=f"http://{HOST}") as client:
        client.headers["origin"] = f"http://{HOST}"
        client.cookies.set(desk.door.cookie, KEYS.all)
        yield client


@pytest.fixture(scope="module")
def memory():
    """Give what a process remembers from one question to the next."""
    return Memory()


def read(folder, *, name="", text=None, content=None):
    """Read an order as the process does."""
    return next(order.answer(Memory(), folder=str(folder), name=name, text=text, content=content))


def put_beside(memory, folder, asked):
    """Compare as the process does; gives the last answer."""
    given = {"ids": [], "times": [], "meal_after": None, "meal_start": None, "name": ""} | asked
    return list(compare.answer(memory, folder=str(folder), **given))[-1]


def priced(memory, folder, demands):
    """Price as the process does."""
    whole = [{"subject": "", "time": ""} | one for one in demands]
    return list(price.answer(memory, folder=str(folder), demands=whole))


def content(raw):
    """Give bytes as the page sends them."""
    return base64.b64encode(raw).decode()


def test_a_day_that_has_changed_since_is_told(planned, tmp_path):
    """What ours is worth by then is not what it was saved with: that stands above the tables."""
    made, plan = planned
    changed = Path(shutil.copytree(made, tmp_path / "changed"))
    ids = [one.shot.id for one in plan.shots]
    assert not any(
        "changed" in text for text in put_beside(Memory(), changed, _order(ids))["timed"]
    )
    settings = changed / "day.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text + "\n[costs]\nmove = 400\n", encoding="utf-8")
    told = put_beside(Memory(), changed, _order(ids))["timed"]
    assert any("ours is revision 1, and the day has changed since" in text for text in told)


def _order(ids):
    return {"ids": ids, "times": [None] * len(ids)}


def test_an_order_is_read_from_what_is_pasted(folder):
    """Ids in order, the meal among them."""
    found = read(folder, text=THEIRS)
    assert found["order"]["ids"] == [str(number) for number in range(1, 13)]
    assert (found["order"]["meal_after"], found["faults"]) == (4, [])


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_an_order_is_read_from_a_file(folder, ending):
    """As `compare` reads it, whatever its name says of folders."""
    raw = (DATA / "ferry-light" / "ad.csv").read_bytes()
    if ending == "xlsx":
        book, kept = Workbook(), io.BytesIO()
        for row in csv.reader(io.StringIO(raw.decode())):
            book.active.append(row)
        book.save(kept)
        raw = kept.getvalue()
    found = read(folder, name=f"../../a b/monday.{ending}", content=content(raw))
    day = sunsched.read_day(DATA / "ferry-light")
    known = sunsched.read_order(DATA / "ferry-light" / "ad.csv", DATA / "ferry-light", day).order
    assert tuple(found["order"]["ids"]) == known.ids
    assert found["order"]["meal_after"] == known.meal_after


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "nothing is written"),
        ("\n \n", "nothing is written"),
        ("=1+1\n2", "no shot of this id: `=1+1`"),
        ("<script>alert(1)</script>", "no shot of this id"),
        ("1\n\nkite", "line 3: no shot of this id: `kite`"),
        ("1\n1", "stands twice"),
        ("1 25:00", "not a clock time"),
        ("1\n" * 150_000, "too long"),
    ],
)
def test_what_cannot_be_read_is_told_in_the_readers_words(folder, text, told):
    """All faults at once, and no order."""
    found = read(folder, text=text)
    assert told in found["text"]
    assert "order" not in found


@pytest.mark.parametrize("raw", [b"", b"\x00\xff\xfe", b"PK\x03\x04not a workbook"])
def test_files_that_are_none_are_faults(folder, raw):
    """Never anything else."""
    for name in ("x.csv", "x.xlsx", "x.ods"):
        assert read(folder, name=name, content=content(raw))["faults"]


def test_content_that_is_no_base64_is_refused(folder):
    """As a sentence."""
    assert read(folder, name="x.csv", content="%%%")["faults"]


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("monday.csv", "monday.csv"),
        ("../../etc/passwd", "passwd.csv"),
        ("C:\\x\\ad list.XLSX", "ad list.XLSX"),
        ("...", "order.csv"),
        ("a\x00b;rm -rf.ods", "a_b_rm -rf.ods"),
        ("x" * 300 + ".csv", "x" * 76 + ".csv"),
    ],
)
def test_names_of_files_are_made_safe(name, safe):
    """What is left stands in no other folder, and has an ending that is read."""
    assert file_name(name) == safe


def test_the_list_starts_from_the_saved_plan(folder, planned):
    """Without a plan it is the shot list."""
    made, plan = planned
    assert read(made)["order"]["ids"] == [one.shot.id for one in plan.shots]
    listed = read(folder)["order"]
    assert listed["ids"] == [str(number) for number in range(1, 13)]
    assert listed["times"] == [None] * 12


def test_both_are_put_beside_each_other(memory, planned):
    """As the command does, with what would help; each change can be tried."""
    folder, plan = planned
    asked = read(folder, text=THEIRS)["order"]
    found = put_beside(memory, folder, asked)
    theirs = read_pasted(THEIRS, plan.day).order
    known = sunsched.compare(plan.fit, plan, theirs)
    assert [row[0] for row in found["shots"] if row[0]] == [
        one.shot_id for one in known.differences
    ]
    assert [one["id"] for one in found["theirs"]["rows"]] == asked["ids"]
    assert [one["text"] for one in found["hints"]] == [one.text for one in known.hints]
    again = put_beside(memory, folder, found["hints"][0]["order"])
    points = [
        int(row[2]) for record in (found, again) for row in record["counted"] if row[0] == "points"
    ]
    assert points[1] - points[0] == known.hints[0].points_won


def test_without_a_saved_plan_ours_is_found_first(memory, folder):
    """A first comparison with a plan for planned minutes, then one for the average day."""
    asked = read(folder, text=THEIRS)["order"]
    found = list(compare.answer(memory, folder=str(folder), **asked, name="theirs"))
    assert [bool(one["doing"]) for one in found] == [True, False]
    assert found[-1]["timed"][0].startswith("times and light are those of the average day")
    assert found[-1]["header"][3] == "made"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"ids": ["1", "x"], "times": [None, None]}, "not in the shot list as it is now: x"),
        ({"ids": ["1", "1"], "times": [None, None]}, "each of them once"),
        ({"ids": ["1"], "times": []}, "each of them once"),
        ({"ids": ["1"], "times": [None], "meal_after": 7}, "the meal stands nowhere"),
    ],
)
def test_orders_that_no_page_makes_are_refused(memory, planned, change, told):
    """In a sentence."""
    with pytest.raises(SunschedError, match=told):
        put_beside(memory, planned[0], change)


def test_demands_are_priced_as_by_the_command(memory, folder):
    """First a figure, then the whole answer, which is as the command's."""
    found = priced(memory, folder, [{"kind": "cut", "subject": "5"}])
    last = found[-1]
    solved = sunsched.solve_day(sunsched.read_day(folder))
    decision = sunsched.read_decision(solved.fit.day, sunsched.Asked(cuts=["5"]))
    known = sunsched.average_price(solved, sunsched.average_plan(solved), decision)
    assert (last["decision"], last["doing"]) == (["5 is cut"], "")
    assert any(f" {abs(known.points_lost)} points, as found" in text for text in last["said"])
    first = next(one for one in found if one.get("headline"))
    assert first["headline"].startswith(("costs about", "wins about"))


@pytest.mark.parametrize(
    ("demands", "told"),
    [
        ([], "nothing is asked"),
        ([{"kind": "at", "subject": "5", "time": "soon"}], "not a clock time: `soon`"),
        ([{"kind": "at", "subject": "55", "time": "12:00"}], "no shot `55`"),
        ([{"kind": "keep-order", "subject": "5"}], "no order: `5`"),
        ([{"kind": "cut", "subject": "5"}, {"kind": "first", "subject": "5"}], "5 is cut"),
    ],
)
def test_wrong_demands_are_told_at_once(memory, folder, demands, told):
    """Without the names of options, which nobody typed."""
    with pytest.raises(SunschedError) as error:
        priced(memory, folder, demands)
    assert told in str(error.value)
    assert "--" not in str(error.value)


def test_of_a_day_under_way_the_rest_is_priced(planned, tmp_path, run):
    """What is made stays as it was; two orders are both counted as whole days, and that is said."""
    folder = Path(shutil.copytree(planned[0], tmp_path / "under-way"))
    run("log", folder, "rolled", "1", "--at", "07:40", "--until", "08:05")
    assert run("replan", folder, "--at", "08:10", "--take", "best").code == 0
    memory = Memory()
    with pytest.raises(SunschedError, match="1 rolled at 07:40"):
        priced(memory, folder, [{"kind": "at", "subject": "1", "time": "12:00"}])
    day = ours.day_to_price(memory, known(memory, folder))
    assert day.past is not None
    assert priced(memory, folder, [{"kind": "cut", "subject": "5"}])[-1]["decision"] == ["5 is cut"]
    found = put_beside(memory, folder, read(folder)["order"])
    assert found["timed"][0].startswith("both are counted as whole days")
    assert found["headline"] == "with theirs no shot keeps much less or more"


def test_the_command_is_told_the_same_demands():
    """Each in its own option."""
    asked = [
        DemandAsked(kind="at", subject="7", time="13:00"),
        DemandAsked(kind="release", subject="Ana", time="15:00"),
        DemandAsked(kind="keep-order", subject="4,7"),
        DemandAsked(kind="wrap", time="18:00"),
    ]
    assert price_words(asked) == [
        *("--shot=7", "--at=13:00", "--release=Ana=15:00", "--keep-order=4,7", "--wrap=18:00")
    ]


def test_a_comparison_is_handed_out(asker):
    """By the command, from the same order; the order itself is read over the wire."""
    asked = asker.post(f"{DAY}/quick/argument.order", json={"text": THEIRS}).json()["order"]
    wire = {**asked, "name": "monday.xlsx"}
    sheet = asker.post(f"{DAY}/argue/compare.csv", json=wire)
    assert sheet.headers["content-disposition"].startswith("attachment")
    assert "Another order beside ours" in sheet.text
    assert "The mole and the whole sea" in sheet.text
    assert asker.post(f"{DAY}/argue/compare.exe", json=wire).status_code == 404


def test_a_sheet_has_times_of_one_kind(quiet):
    """The command pairs shots and times."""
    demands = [{"kind": kind, "subject": "5", "time": "12:00"} for kind in ("at", "before")]
    answer = quiet.post(f"{DAY}/argue/price.csv", json={"demands": demands})
    assert (answer.status_code, answer.json()["error"][:7]) == (409, "a sheet")


@pytest.mark.slow
def test_a_price_is_handed_out(quiet):
    """By the command."""
    demands = [{"kind": "cut", "subject": "5"}]
    sheet = quiet.post(f"{DAY}/argue/price.html", json={"demands": demands})
    assert "5 is cut" in sheet.text


def test_who_may_not_decide_does_not_argue(quiet, desk):
    """Neither questions nor sheets."""
    quiet.cookies.set(desk.door.cookie, KEYS.note)
    assert quiet.post(f"{DAY}/quick/argument.order", json={}).status_code == 403
    assert quiet.post(f"{DAY}/argue/compare.csv", json={}).status_code == 403
