"""A day with a rig of three frames under the sun of Cap Bon on 15 June 2027."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from builders import a_day, a_shot, at

from sunsched.day.kit.frame import Frame, FrameKind, Rig
from sunsched.day.kit.weather import Weather
from sunsched.day.model import Day, Place, Spot
from sunsched.folder.tables.cloths import read_cloths
from sunsched.show.gaffer.moment import Setup

JUNE_15 = date(2027, 6, 15)
CAPE = Place(
    name="Cape", latitude_deg=36.9, longitude_deg=11.0, elevation_m=0.0, timezone="Africa/Tunis"
)
FRAMES = (
    Frame(
        name="12 by",
        kind=FrameKind.OVERHEAD,
        side_m=3.6576,
        above_m=2.5,
        cloth="half grid",
        takes_stops=2.0,
    ),
    Frame(name="board", kind=FrameKind.BOUNCE, side_m=2.4384, away_m=4.0),
    Frame(name="black", kind=FrameKind.BLACK, side_m=1.8288, away_m=1.5),
)


@pytest.fixture(scope="session")
def stops_of() -> dict[str, float]:
    """Give the package's table of cloths."""
    return read_cloths(None)


@pytest.fixture
def day() -> Day:
    """Give the day; its spot is `pans`, its rig `tent`."""
    rig = Rig(name="tent", frames=("12 by", "board", "black"))
    shots = (
        a_shot("1", look_deg=30.0, rig="tent", match="a", lens_mm=50.0),
        a_shot("2", look_deg=200.0, match="a"),
    )
    return replace(
        a_day(*shots, on=JUNE_15),
        place=CAPE,
        frames=FRAMES,
        rigs=(rig,),
        weather=Weather(gust_m_s=9.0, air_c=34.0, humidity=45.0),
    )


def a_setup(clock: str, *, minutes: int = 20, **changes: Any) -> Setup:
    """Give a setup at a time of UTC, on an open spot, with the lens north-east."""
    start = at(clock, JUNE_15)
    whole = Setup(
        title="1",
        spot=Spot(name="pans"),
        look_deg=30.0,
        start=start,
        end=start + timedelta(minutes=minutes),
        lens_mm=50.0,
        rig="tent",
    )
    return replace(whole, **changes)
