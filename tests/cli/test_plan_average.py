"""Guards what people read of the plan for the average day."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sunsched.cli.shared.app import app

DATA = Path(__file__).parents[2] / "data"
RUN = CliRunner()


@pytest.fixture(scope="module")
def told():
    """Give the text and the record of a demo day, made once."""
    day = str(DATA / "ferry-light")
    text = RUN.invoke(app, ["plan", day, "--for", "average"])
    record = RUN.invoke(app, ["plan", day, "--for", "average", "--json"])
    assert (text.exit_code, record.exit_code) == (0, 0)
    return text.stdout, json.loads(record.stdout)


def test_text_says_what_is_kept_and_what_no_way_keeps(told):
    """Points and bound as in the record; no line is wider than a terminal."""
    text, record = told
    flat = " ".join(text.split())
    assert f"{record['points']} points with all costs" in flat
    assert f"no way of shooting this day is worth more than {record['bound']} points" in flat
    own, best = record["if_every_minute_holds"], record["best_for_planned_minutes"]
    assert f"{own['points']} points, and the best order for that" in flat
    assert f"{best['points']} points (proven)" in flat
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "Never look at the sun" in text


def test_record_holds_chances_and_the_likely_day(told):
    """Every shot has its chance; likely rolls stand between the tenth and the last tenth."""
    _, record = told
    chances = {one["id"]: one for one in record["chances"]}
    assert len(chances) == 12
    assert all(0.0 <= one["light"] <= one["made"] <= 1.0 for one in chances.values())
    rolls = {one["id"]: one["roll_start"] for one in record["shots"]}
    between = [
        one["roll_start"]["tenth"] <= rolls[name] <= one["roll_start"]["nine_tenths"]
        for name, one in chances.items()
        if name in rolls and one["made"] > 0.9
    ]
    assert len(between) >= 8
    assert all(between)
    assert record["points"] <= record["bound"]
    assert record["if_every_minute_holds"]["points"] <= record["best_for_planned_minutes"]["points"]


def test_a_weighty_shot_in_danger_is_named_with_what_would_help(told):
    """Those of weight 4 and more below 85%, and no other, above the table."""
    text, record = told
    named = {one["id"] for one in record["at_risk"]}
    made = {one["id"]: one["made"] for one in record["chances"]}
    assert named == {"10"}
    assert made["10"] < 0.85
    above = text.split("likely")[0]
    assert "10 (full) is made on" in above
    (risk,) = record["at_risk"]
    assert risk["with_earlier_call"] >= made["10"] + 0.05
    assert risk["without"]["made"] >= made["10"] + 0.05


def test_what_is_for_planned_minutes_is_refused():
    """Wrong use, said before any work."""
    result = RUN.invoke(app, ["plan", str(DATA / "ferry-light"), "--for", "average", "--certify"])
    assert result.exit_code == 2
    assert "is for planned minutes" in " ".join(result.stderr.split())


@pytest.fixture
def starter(run, tmp_path):
    """Give a starter day, which is planned in a second."""
    folder = tmp_path / "day"
    assert run("new", folder, "--at", "Lisbon", "--date", "2027-05-20").code == 0
    return folder


def test_the_picture_is_that_of_the_likely_day(run, starter, tmp_path):
    """It is written where it is asked for."""
    target = tmp_path / "day.png"
    words = ("plan", starter, "--for", "average", "--limit", "1", "--picture", target)
    assert run(*words).code == 0
    assert target.stat().st_size > 20_000


def test_it_is_the_default_and_can_be_saved_and_shown_again(run, starter, tmp_path):
    """`plan --save` keeps it, `--revision` shows it, and a sheet is made of it."""
    saved = run("plan", starter, "--save")
    assert (saved.code, saved.err) == (0, "saved as revision 1\n")
    assert saved.out == run("plan", starter, "--for", "average").out
    again = run("plan", starter, "--revision", 1)
    assert again.out.startswith(saved.out)
    assert "revision 1, made" in again.out.removeprefix(saved.out)
    record = json.loads(run("plan", starter, "--revision", 1, "--json").out)
    assert record == json.loads((starter / "plans" / "0001.json").read_text(encoding="utf-8"))
    sheet = tmp_path / "order.csv"
    assert run("sheet", starter, sheet).code == 0
    assert "begin_by_local" in sheet.read_text(encoding="utf-8-sig").splitlines()[0]


def test_work_that_is_certain_is_planned_to_the_minute(run, starter):
    """Spreads of 0 and medians of 1: the plan for planned minutes and its proof, and why."""
    day = starter
    sizes = ("wide", "full", "medium", "close-up", "insert")
    certain = "".join(
        f"[overrun.{size}]\nchangeover_median = 1\nchangeover_spread = 0\nroll_median = 1\n"
        "roll_spread = 0\n"
        for size in sizes
    )
    with (day / "day.toml").open("a", encoding="utf-8") as file:
        file.write(f"\n{certain}")
    ran = run("plan", day)
    assert ran.err == (
        "note: by `[overrun.<size>]` all work takes its planned minutes, so this is for those\n"
    )
    assert ran.out == run("plan", day, "--for", "planned").out


def test_a_day_goes_as_its_likely_day_did(run, starter):
    """`log as-planned` ends each roll after its likely minutes, not its planned ones."""
    day = starter
    record = json.loads(run("plan", day, "--save", "--json").out)
    first = record["shots"][0]
    end = first["roll_end"][11:16]
    ran = run("log", day, "as-planned", "--at", end)
    assert ran.code == 0
    assert f"{end}  {first['id']} done" in ran.out


@pytest.mark.slow
def test_ours_is_the_plan_for_the_average_day(run, starter, tmp_path):
    """A comparison gives it what it was found to keep there, and says who is unsure of what."""
    day, theirs = starter, tmp_path / "ad.csv"
    theirs.write_text("id\n1\n2\n5\n3\n4\n6\n", encoding="utf-8")
    plan = json.loads(run("plan", day, "--json").out)
    record = json.loads(run("compare", day, theirs, "--json").out)
    assert record["first"] == "our plan"
    assert record["average_day"]["ours"]["points"] == plan["points"]
    assert record["average_day"]["theirs"]["points"] <= plan["bound"]
    text = run("compare", day, theirs).out
    assert "times and light are those of the average day" in text
    assert "theirs: there an order counts" not in text, "it has neither times nor a meal"
    # Rows are those of the likely day: the order's own plan tells the same.
    for one in plan["shots"]:
        told = next(line for line in text.splitlines() if line.startswith(f"{one['id']} "))
        assert one["roll_start"][11:16] in told
    likely = record["likely"]["ours"]
    assert {one["id"]: one["roll_start"] for one in likely if one["roll_start"]} == {
        one["id"]: one["roll_start"] for one in plan["shots"]
    }
    assert (
        json.loads(run("compare", day, theirs, "--for", "planned", "--json").out)["likely"] is None
    )
    theirs.write_text("id,time\n1,07:00\nmeal,\n2,\n5,\n3,\n4,\n6,\n", encoding="utf-8")
    text = run("compare", day, theirs).out
    assert "theirs: there an order counts, not its times nor where its meal stands" in text
    assert "on the average day ours is worth" in text


@pytest.mark.parametrize(("place", "date"), [("Lisbon", "2027-05-20"), ("Oslo", "2027-12-21")])
def test_a_starter_day_has_a_close_bound(run, tmp_path, place, date):
    """Long waits make doing nothing as good as anything at the prices of the bound.

    What the relaxed crew owes is then met only at lower prices; without that the bound stood a
    fifth above the order.
    """
    assert run("new", tmp_path / "day", "--at", place, "--date", date).code == 0
    record = json.loads(run("plan", tmp_path / "day", "--json").out)
    assert record["points"] <= record["bound"] <= 1.02 * record["points"]


def test_a_shot_in_poor_light_is_named(run, tmp_path):
    """It is made on every day, so no chance tells that its sun is never right."""
    day = tmp_path / "day"
    assert run("new", day, "--at", "Lisbon", "--date", "2027-05-20").code == 0
    shots = (day / "shots.csv").read_text(encoding="utf-8")
    turned = shots.replace("full,gate,347,side left", "full,gate,180,front")
    assert turned != shots
    (day / "shots.csv").write_text(turned, encoding="utf-8")
    text = " ".join(run("plan", day).out.split())
    assert "company moves: 1; overtime: 0 min" in text
    assert re.search(r"(less than half|none of) the(ir)? light[^:]*: [0-9, ]*5", text)
