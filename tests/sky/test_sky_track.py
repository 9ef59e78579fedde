"""The track as an array of minutes, and angles on the sky."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from pvlib import solarposition

from sunsched.day.model import Place
from sunsched.sky.events import crossings
from sunsched.sky.track import (
    DELTA_T_S,
    REFRACTION_AT_RISING_DEG,
    REFRACTION_EDGE_DEG,
    separation_deg,
    spa_values,
    sun_at,
    sun_from_lens_deg,
    sun_track,
)

LISBON = Place(
    name="Lisbon", latitude_deg=38.7, longitude_deg=-9.1, elevation_m=20, timezone="Europe/Lisbon"
)
START = datetime(2027, 6, 9, 4, 0, tzinfo=UTC)
END = START + timedelta(hours=24)


@pytest.fixture(scope="module")
def track():
    """Give a whole day of June over Lisbon."""
    return sun_track(LISBON, START, END)


def test_both_ends_included(track):
    """A day of minutes has 1441 of them, in arrays of one shape."""
    assert len(track) == 24 * 60 + 1
    assert track.azimuth_deg.shape == track.apparent_elevation_deg.shape == (1441,)
    assert track.time_of(1440) == END


def test_minutes_and_times(track):
    """Minutes are floored, and another zone's clock means the same moment."""
    assert track.minute_of(START + timedelta(minutes=7, seconds=59)) == 7
    assert track.minute_of(START - timedelta(seconds=1)) == -1
    assert track.time_of(track.minute_of(END)) == END
    assert track.minute_of(datetime(2027, 6, 9, 6, 0, tzinfo=ZoneInfo("Europe/Lisbon"))) == 60


def test_track_is_sun_at(track):
    """The track and the sun at one moment are the same sun."""
    sun = sun_at(LISBON, track.time_of(500))
    assert sun.azimuth_deg == pytest.approx(track.azimuth_deg[500], abs=1e-9)
    assert sun.elevation_deg == pytest.approx(track.elevation_deg[500], abs=1e-9)
    assert sun.apparent_elevation_deg == pytest.approx(track.apparent_elevation_deg[500], abs=1e-9)


def test_half_minutes_are_those_of_the_sun(track):
    """Between two minutes stands the sun of that half minute, as SPA itself has it."""
    for minute in (0, 333, 720, 721, 1100):
        for half in (0, 1):
            azimuth, elevation, apparent = track.at_halves(2 * minute + half)
            sun = sun_at(LISBON, track.start + timedelta(seconds=60 * minute + 30 * half))
            assert azimuth == pytest.approx(sun.azimuth_deg, abs=2e-4)
            assert elevation == pytest.approx(sun.elevation_deg, abs=2e-4)
            assert apparent == pytest.approx(sun.apparent_elevation_deg, abs=2e-3)
    beyond = track.at_halves([-5, 10**6])[1]
    assert beyond.tolist() == [track.elevation_deg[0], track.elevation_deg[-1]]


def test_track_starts_on_the_minute():
    """Seconds are dropped from the start, and a local start gives the same track."""
    local = (START + timedelta(seconds=40)).astimezone(ZoneInfo("Europe/Lisbon"))
    track = sun_track(LISBON, local, START + timedelta(minutes=2, seconds=59))
    assert (track.start, len(track)) == (START, 3)
    assert track.start.tzinfo is UTC


def test_apparent_elevation_never_jumps(track):
    """From minute to minute the apparent sun moves as far as the true one, give or take 0.1°."""
    true_step = np.diff(track.elevation_deg)
    assert np.abs(np.diff(track.apparent_elevation_deg) - true_step).max() < 0.1
    assert np.all(np.sign(np.diff(track.apparent_elevation_deg)) == np.sign(true_step))


def test_refraction_values(track):
    """Light is bent by half a degree at the horizon, hardly at all high up, and not in the night.

    0.48° at a geometric 0°: SPA's and skyfield's value alike.
    """
    bent = track.apparent_elevation_deg - track.elevation_deg
    at_horizon = np.interp(0.0, track.elevation_deg[:300], bent[:300])
    assert at_horizon == pytest.approx(0.48, abs=0.005)
    assert bent[track.elevation_deg > 60].max() < 0.011
    assert np.all(bent[track.elevation_deg < -3] == 0)
    assert np.all(bent >= 0)


def test_refraction_fades_over_two_degrees():
    """It is one curve with SPA's at the edge; half of it is left 1° below, and nothing 2° below."""
    edge = REFRACTION_EDGE_DEG
    passages = crossings(LISBON, START, END, edge)
    assert [one.rising for one in passages] == [True, False]
    for passage in passages:
        near = [sun_at(LISBON, passage.time + timedelta(seconds=s)) for s in (-0.05, 0.05)]
        bent = [one.apparent_elevation_deg - one.elevation_deg for one in near]
        assert sorted(one.elevation_deg < edge for one in near) == [False, True]
        assert bent[0] == pytest.approx(bent[1], abs=2e-4)
        for below_deg, share in ((1.0, 0.5), (1.99, 0.005), (2.0, 0.0)):
            [when] = [
                one.time
                for one in crossings(LISBON, START, END, edge - below_deg)
                if one.rising == passage.rising
            ]
            low = sun_at(LISBON, when)
            left = low.apparent_elevation_deg - low.elevation_deg
            assert left == pytest.approx(share * bent[0], abs=2e-4)


def test_a_track_of_one_minute():
    """A start that is its own end is a minute."""
    assert len(sun_track(LISBON, START, START)) == 1


def test_naive_times_refused():
    """A time without a zone, or an end before the start, is refused."""
    naive = START.replace(tzinfo=None)
    with pytest.raises(ValueError, match="has no zone"):
        sun_track(LISBON, naive, END)
    with pytest.raises(ValueError, match="has no zone"):
        sun_at(LISBON, naive)
    with pytest.raises(ValueError, match="before it starts"):
        sun_track(LISBON, END, START)


@pytest.mark.parametrize(
    ("a", "b", "apart_deg"),
    [
        ((0, 0), (90, 0), 90),
        ((10, 0), (190, 0), 180),
        ((359, 0), (1, 0), 2),
        ((0, 60), (180, 60), 60),
        ((123, 90), (5, 90), 0),
        # One step of longitude at 60° is half as long.
        ((20, 60), (20.0002, 60), 0.0001),
        ((20, 30), (20, 30.0000001), 0.0000001),
    ],
)
def test_separation(a, b, apart_deg):
    """Angles on the sphere that can be told without a formula, tiny ones included."""
    assert separation_deg(*a, *b) == pytest.approx(apart_deg, rel=1e-6, abs=1e-12)


def test_separation_broadcasts():
    """One sun against many gives one angle each."""
    apart = separation_deg(np.array([[0.0], [90.0]]), 0.0, np.array([0.0, 90.0, 180.0]), 0.0)
    assert apart == pytest.approx(np.array([[0.0, 90.0, 180.0], [90.0, 0.0, 90.0]]))


@pytest.mark.parametrize(
    ("azimuth_deg", "look_deg", "expected_deg"),
    [
        (90, 90, 0),
        (100, 90, 10),
        (80, 90, -10),
        (10, 350, 20),
        (350, 10, -20),
        (270, 90, 180),
        (90, 270, 180),
    ],
)
def test_sun_from_lens(azimuth_deg, look_deg, expected_deg):
    """Right of the lens is positive, the turn through north is no seam, and behind is 180."""
    assert sun_from_lens_deg(azimuth_deg, look_deg) == expected_deg


def test_sun_from_lens_broadcasts():
    """Azimuths of a track against looks of many shots: (shots, minutes)."""
    assert sun_from_lens_deg(np.zeros(4), np.array([[0.0], [90.0]])).tolist() == [
        [0.0] * 4,
        [-90.0] * 4,
    ]


def test_pvlib_gives_the_same_through_its_front_door():
    """The values are those of `pvlib.solarposition.spa_python`, bit for bit."""
    unix_s = START.timestamp() + 3600.0 * np.arange(0, 24, 0.5)
    frame = solarposition.spa_python(
        pd.to_datetime(unix_s, unit="s", utc=True),
        LISBON.latitude_deg,
        LISBON.longitude_deg,
        altitude=LISBON.elevation_m,
        pressure=101325.0,
        temperature=12.0,
        delta_t=DELTA_T_S,
        atmos_refract=REFRACTION_AT_RISING_DEG,
        how="numpy",
    )
    spa = spa_values(LISBON, unix_s)
    assert (spa.azimuth_deg == frame["azimuth"]).all()
    assert (spa.elevation_deg == frame["elevation"]).all()
    assert (spa.apparent_elevation_deg == frame["apparent_elevation"]).all()
    assert (spa.equation_of_time_min == frame["equation_of_time"]).all()
