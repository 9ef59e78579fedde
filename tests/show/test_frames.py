"""Results as data frames: the figures of the results, under the columns of the sheets."""

import csv
import io
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import sunsched
from sunsched.day.past import Past
from sunsched.show.agenda import Sheet
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.spreadsheet import csv_bytes
from sunsched.show.stamp import Stamp

DATA = Path(__file__).parents[2] / "data"


@pytest.fixture(scope="module")
def solved():
    """Give the example day with its plan."""
    return sunsched.solve_day(sunsched.example_day())


def test_a_plan_has_the_columns_and_rows_of_its_sheet():
    """What the .csv sheet of a demo day says stands in the frame, cell by cell."""
    plan = sunsched.make_plan(sunsched.read_day(DATA / "ferry-light"))
    made = datetime(2027, 2, 1, tzinfo=UTC)
    sheet = csv_bytes(Sheet(plan=plan, stamp=Stamp(made_at=made, revision=None), paper=Shape.A4))
    header, *rows = csv.reader(io.StringIO(sheet.decode("utf-8-sig")))
    frame = sunsched.to_frame(plan)
    assert list(frame.columns) == [name for name in header if not name.startswith("sheet_")]
    assert len(frame) == len(rows) == len(plan.shots) + 1
    place = header.index("roll_start_local")
    assert [f"{when:%Y-%m-%d %H:%M}" for when in frame["roll_start_local"]] == [
        row[place] for row in rows
    ]
    assert pd.api.types.is_datetime64_any_dtype(frame["roll_start_local"])
    assert frame["points"].sum() == sum(one.points for one in plan.shots)


def test_prices(solved):
    """A row for each cell; what shots and costs lose adds up to what the decision costs."""
    table = sunsched.price_table(solved, step_min=120)
    frame = sunsched.to_frame(table)
    assert len(frame) == len(table.rows) * len(table.times)
    first = table.times[0].astimezone(table.day.place.zone)
    assert frame["time_local"].min() == first.replace(tzinfo=None)
    decision = sunsched.read_decision(solved.fit.day, sunsched.Asked(shots=["1"], at=["12:00"]))
    found = sunsched.price(solved, decision)
    assert sunsched.to_frame(found)["points_lost"].sum() == found.points_lost > 0
    rules = sunsched.rule_prices(solved)
    assert sunsched.to_frame(rules)["rule"].tolist() == [one.rule for one in rules]
    curve = sunsched.wrap_curve(solved, step_min=120)
    assert sunsched.to_frame(curve)["points"].tolist() == [one.plan.points for one in curve]
    others = sunsched.alternatives(solved, 2)
    assert sunsched.to_frame(others)["points_lost"].tolist() == [one.points_lost for one in others]


def test_a_comparison():
    """What shots and costs lose adds up to what their order loses."""
    folder = DATA / "ferry-light"
    day = sunsched.read_day(folder)
    order = sunsched.read_order(folder / "ad.csv", folder, day).order
    found = sunsched.compare(sunsched.fit_day(day), sunsched.make_plan(day), order)
    frame = sunsched.to_frame(found)
    assert frame["points_lost"].sum() == found.points_lost == 730  # as the README prints
    eilert = frame[frame["id"] == "6"].to_dict("records")[0]
    assert f"{eilert['ours_roll_start_local']:%H:%M}" == "12:15"
    assert f"{eilert['theirs_roll_start_local']:%H:%M}" == "08:45"


def test_what_is_left(solved):
    """Overruns, a replan, windows, the sun's track and paces have a row for each part."""
    fit, plan = solved.fit, solved.plan
    found = sunsched.stress(fit, plan.timetable, days=100)
    assert sunsched.to_frame(found)["id"].tolist() == [one.shot.id for one in plan.shots]
    at = plan.shots[0].roll_start - timedelta(minutes=1)
    again = sunsched.replan(fit.day, (), plan.timetable, at=at, late_min=20)
    first = sunsched.to_frame(again).to_dict("records")[0]
    assert [first["choice"], first["points"]] == [
        "best",
        again.best.plan.points,
    ]
    spans = sunsched.to_frame(sunsched.windows(fit))
    one = sunsched.windows(fit)[0]
    own = spans[(spans["id"] == one.shot) & (spans["kind"] == "window")]
    assert own["start_utc"].tolist() == [span.start for span in one.spans]
    track = sunsched.to_frame(fit.track)
    assert len(track) == len(fit.track)
    assert track["time_utc"].iloc[90] == fit.track.time_of(90)
    past = Past(at=at, free_at=at)
    assert sunsched.to_frame(sunsched.pace([(fit.day, past)])).empty
    safest = sunsched.safest(solved, sunsched.average_plan(solved), days=100)
    rows = sunsched.to_frame(safest).to_dict("records")
    assert [row["order"] for row in rows] == [", ".join(one.ids) for one in safest.candidates]
    assert rows[0]["worst_tenth_mean_light_percent"] == round(100 * safest.average.worst_mean, 1)


def test_nothing_else_has_a_frame(solved):
    """No frame is guessed of a day, a text or a mixed list; an empty list gives an empty frame."""
    things: list[Any] = [solved.fit.day, "plan", [solved.plan, solved.plan]]
    for thing in things:
        with pytest.raises(TypeError, match="no frame is made of"):
            sunsched.to_frame(thing)
    assert sunsched.to_frame(()).empty
