"""What a list says beside our columns goes along to what is handed out; orders are lists too."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest

import sunsched
from sunsched.folder.read import read_day
from sunsched.show.agenda import Sheet
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.html import page_bytes
from sunsched.show.sheets.spreadsheet import csv_bytes
from sunsched.show.stamp import Stamp
from sunsched.whatif.orders.order import read_order

LIST = (
    "Shot;Action;Size;Looking;Sun;Mins;VFX;Time\n"
    "1;The pans;OTS;W;back;30;sky <replaced>;9:00\n2;Salt;CU;N;;20;;9:45\n"
)


@pytest.fixture
def sheet(make_folder):
    """Give the sheet of a plan of such a list."""
    plan = sunsched.make_plan(read_day(make_folder(shots=LIST)))
    return Sheet(
        plan=plan,
        stamp=Stamp(made_at=datetime(2027, 6, 8, tzinfo=UTC), revision=None),
        paper=Shape.A4,
    )


def test_kept_columns_stand_in_the_tables(sheet):
    """Under a title that no column of the plan has, so that no program takes one for another."""
    rows = list(csv.DictReader(io.StringIO(csv_bytes(sheet).decode("utf-8-sig"))))
    one = next(row for row in rows if row["id"] == "1")
    assert (one["VFX (list)"], one["Time (list)"]) == ("sky <replaced>", "9:00")
    assert one["size as listed (list)"] == "OTS"


def test_kept_columns_stand_on_the_phone_page(sheet):
    """As text, whatever was typed."""
    page = page_bytes(sheet).decode()
    assert "VFX: sky &lt;replaced&gt;" in page
    assert "size as listed: OTS" in page


def test_kept_columns_stand_in_the_json(run, make_folder):
    """By their titles; `check` says what was taken."""
    folder = make_folder(shots=LIST)
    shots = json.loads(run("plan", folder, "--for", "planned", "--json").out)["shots"]
    assert {shot["id"]: shot.get("list", {}).get("VFX") for shot in shots} == {
        "1": "sky <replaced>",
        "2": None,
    }
    taken = json.loads(run("check", folder, "--json").out)["taken"]
    assert "columns kept as they are: VFX, Time" in taken


def test_kept_columns_change_no_saved_plan(run, make_folder):
    """A note that is changed makes no other day of it."""
    folder = make_folder(shots=LIST)
    assert run("plan", folder, "--for", "planned", "--save").code == 0
    (folder / "shots.csv").write_text(LIST.replace("sky", "sea"))
    shown = run("plan", folder, "--revision", "1")
    assert (shown.code, "changed" in shown.err) == (0, False)


def test_other_sides_make_another_day(make_folder):
    """A plan for `side` is none for `side or front`."""
    from sunsched.day.wish import SunSide
    from sunsched.saved.plan_file import facts_mark

    day = read_day(make_folder(shots=LIST))
    wish = replace(day.shots[0].wish, others=((SunSide.FRONT, None),))
    other = replace(day, shots=(replace(day.shots[0], wish=wish), *day.shots[1:]))
    assert facts_mark(other) != facts_mark(day)


@pytest.mark.parametrize(
    "text",
    [
        "Monday's order\n\nShot no.;Start;What\n2;9.40;x\nlunch;12.30;\n1;1400;y\n",
        "| Nr. | Uhrzeit |\n|---|---|\n| 2 | 9:40 |\n| meal | 12:30 |\n| 1 | 14 |\n",
        "#\tWhen\n2\t09:40\nmeal\t12:30\n1\t2 pm\n",
    ],
)
def test_order_is_read_as_lists_are(text, make_folder, tmp_path):
    """Its head is found, and its titles are those that people use."""
    folder = make_folder(shots=LIST)
    (tmp_path / "order.csv").write_text(text, encoding="cp1252")
    order = read_order(tmp_path / "order.csv", folder, read_day(folder)).order
    assert (order.ids, order.meal_after) == (("2", "1"), 1)
    assert order.is_timed
