"""The day as the pages get it."""

from datetime import UTC, datetime

import sunsched
from desk.conftest import copied
from sunsched.day.clock import instant_ms
from sunsched.desk.answers.view import answer
from sunsched.desk.work.worker import Memory


def view(folder):
    """Give the one answer."""
    return next(answer(Memory(), folder=str(folder)))


def test_the_light_is_that_of_the_day(tmp_path):
    """Each value is that of its minute, in per cent."""
    folder = copied("ferry-light", tmp_path)
    found, fit = view(folder), sunsched.fit_day(sunsched.read_day(folder))
    first, step = found["axis"]["from"], found["axis"]["step_min"]
    for shot in found["shots"]:
        for place, value in enumerate(shot["light"]):
            when = datetime.fromtimestamp(first / 1000 + 60 * step * place, UTC)
            light = fit.shots[shot["id"]].fit
            minute = fit.minute_of(when)
            assert value == (round(100 * light[minute]) if 0 <= minute < len(light) else 0)


def test_the_newest_plan_is_shown(tmp_path):
    """With its order, its likely times and its chances."""
    folder = copied("ferry-light", tmp_path)
    assert view(folder)["plan"] is None
    plan = sunsched.average_plan(sunsched.solve_day(sunsched.read_day(folder)))
    sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    found = view(folder)["plan"]
    assert (found["revision"], found["points"]) == (1, plan.points)
    assert [row["id"] for row in found["rows"]] == [one.shot.id for one in plan.likely.shots]
    assert [row["from"] for row in found["rows"]] == [
        instant_ms(one.roll_start) for one in plan.likely.shots
    ]


def test_faults_are_told_in_the_readers_words(tmp_path):
    """All of them, and nothing else."""
    folder = copied("ferry-light", tmp_path)
    shots = folder / "shots.csv"
    shots.write_text(shots.read_text(encoding="utf-8").replace("close-up", "clsoe-up"), "utf-8")
    found = view(folder)
    assert set(found) == {"name", "faults", "text"}
    assert all("clsoe-up" in fault["value"] for fault in found["faults"])


def test_a_view_over_the_wire(asker, clock):
    """The same, with the desk's clock and what the key opens."""
    found = asker.get("/api/ferry-light/view").json()
    assert found["now"] == instant_ms(clock.now)
    assert found["access"] == 3
    assert asker.get("/api/ferry-light/view").json()["version"] == found["version"]


def test_sheets_are_those_of_the_command(asker, desk):
    """Of the saved plan; where none is saved, that is said."""
    assert asker.get("/api/ferry-light/sheet.csv").status_code == 409
    folder = desk.folders.find("ferry-light")
    plan = sunsched.make_plan(sunsched.read_day(folder))
    sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    sheet = asker.get("/api/ferry-light/sheet.csv")
    assert sheet.headers["content-disposition"].startswith("attachment")
    assert sheet.text.count("\n") > len(plan.shots)
    assert asker.get("/api/ferry-light/sheet.exe").status_code == 404
