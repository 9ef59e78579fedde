"""Days from data frames: the same day and the same faults as from a folder with these tables."""

import tomllib
from dataclasses import replace
from datetime import time
from pathlib import Path

import pandas as pd
import pytest

import sunsched
from sunsched.errors import FolderError

DATA = Path(__file__).parents[2] / "data"


def settings_of(folder):
    """Give the keys of a folder's `day.toml`, but for the names of its other files."""
    settings = tomllib.loads((folder / "day.toml").read_text(encoding="utf-8"))
    for spot in settings["spot"]:
        spot.pop("horizon", None)
    return settings


def bare(day):
    """Give a day without what its folder has in files of their own."""
    spots = tuple(replace(spot, horizon=()) for spot in day.spots)
    return replace(day, spots=spots, clouds=())


@pytest.mark.parametrize("name", ["last-lamp", "ferry-light", "late-ridge"])
@pytest.mark.parametrize("dtype", [str, None], ids=["texts", "values"])
def test_a_frame_gives_the_day_of_its_folder(name, dtype):
    """Read by pandas as texts or with types of its own, a shot list is the same list."""
    folder = DATA / name
    frame = pd.read_csv(folder / "shots.csv", dtype=dtype)
    assert sunsched.day_from_frame(frame, settings_of(folder)) == bare(sunsched.read_day(folder))


def test_values_of_python_are_read_as_people_mean_them():
    """Tuples, truths, times, blanks of several kinds and an index of one's own."""
    frame = pd.DataFrame(
        {
            "id": ["a", 2],
            "description": ["One", "Two"],
            "size": ["wide", "insert"],
            "spot": ["yard", "road"],
            "look": [90.0, "W"],
            "shoot_min": [30, 20],
            "hold": [False, True],
            "sun": [None, "back"],
            "after": [(), ("a",)],
            "cast": [None, ["Salma", "Younes"]],
            "pin": [time(9, 30), pd.NaT],
            "weight": [float("nan"), 2.5],
            "rig": ["", "doorway"],  # the day tells of this one
        },
        index=[70, 80],
    )
    day = sunsched.day_from_frame(frame, settings_of(DATA / "last-lamp"))
    two, one = day.shots
    assert (two.id, two.hold, two.after, two.cast) == ("2", True, ("a",), ("Salma", "Younes"))
    assert (two.weight, two.pin) == (2.5, None)
    assert one.pin is not None
    assert f"{one.pin.astimezone(day.place.zone):%H:%M}" == "09:30"


def test_every_fault_is_told_with_row_and_column():
    """The line is that of the frame written as CSV; settings have the name of their key."""
    folder = DATA / "last-lamp"
    frame = pd.read_csv(folder / "shots.csv", dtype=object)
    frame.loc[0, "look"] = "up"
    frame.loc[2, "after"] = pd.Timestamp("2027-01-02")
    settings = settings_of(folder) | {"titel": "x"}
    settings["place"] = settings["place"] | {"latitude_deg": 200}
    settings["spot"] = [one | {"horizon": "far.csv"} for one in settings["spot"][:1]] + settings[
        "spot"
    ][1:]
    with pytest.raises(FolderError) as caught:
        sunsched.day_from_frame(frame.assign(shoot_mins=1, elevaton=1), settings)
    places = {(fault.file, fault.line, fault.column) for fault in caught.value.faults}
    assert places >= {
        ("settings", None, "titel"),
        ("settings", None, "place.latitude_deg"),
        ("settings", None, "spot.horizon"),
        ("shots", 1, ""),
        ("shots", 2, "look"),
        ("shots", 4, "after"),
    }


def test_an_empty_frame_is_refused():
    """Neither columns nor rows are taken for a list."""
    with pytest.raises(FolderError, match="no column `look`"):
        sunsched.day_from_frame(pd.DataFrame({"id": ["1"]}), settings_of(DATA / "last-lamp"))
    with pytest.raises(FolderError, match="shots: empty"):
        sunsched.day_from_frame(pd.DataFrame(), settings_of(DATA / "last-lamp"))
