"""When each shot's sun is right, and how near the miss is where it never is."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from sunsched.folder.read import read_day
from sunsched.light.fit import WHOLE, DayFit, fit_day
from sunsched.light.windows import ShotWindows, taken_by, windows

MADRID = ZoneInfo("Europe/Madrid")
HEADER = "id,description,size,look,sun,elevation,azimuth,shoot_min,hold\n"
LEVEL_RIDGE = "azimuth_deg,elevation_deg\n0,80\n180,80\n"


def _fit(make_folder, row: str, **others: str) -> DayFit:
    folder: Path = make_folder(shots=HEADER + row + "\n", **others)
    return fit_day(read_day(folder))


def _only(fit: DayFit) -> ShotWindows:
    (one,) = windows(fit)
    return one


def _clock(when: datetime) -> str:
    return f"{when.astimezone(MADRID):%H:%M}"


def test_window_edges_are_where_the_fit_passes_one_half(make_folder):
    """Each window holds the minutes at one half and above, and the minutes beside it do not."""
    fit = _fit(make_folder, "1,Pans,wide,N,,10..30,,30,")
    own = fit.shots["1"].fit
    one = _only(fit)
    assert len(one.spans) == 2
    first, last = (fit.minute_of(t) for t in (fit.day.hours.first_roll, fit.day.hours.hard_wrap))
    inside = {
        minute
        for span in one.spans
        for minute in range(fit.minute_of(span.start), fit.minute_of(span.end))
    }
    assert inside == {minute for minute in range(first, last) if own[minute] >= 0.5}
    assert one.fails is None
    assert one.miss_deg is None
    assert one.miss_min is None


def test_window_is_cut_at_the_hours(make_folder):
    """A shot in any light has one window, from the first roll to the hard wrap or sunrise."""
    one = _only(_fit(make_folder, "1,Pans,insert,N,any,,,30,"))
    # The sun rises there a little past 07:05 (our own event finder, tested elsewhere).
    assert [(_clock(span.start), _clock(span.end)) for span in one.spans] == [("07:06", "19:00")]


def test_missed_elevation_names_part_degrees_and_minutes(make_folder):
    """A low evening sun after wrap is missed by its height, and by the minutes past the wrap."""
    fit = _fit(make_folder, "1,Pans,wide,N,,2..8,270..320,30,")
    one = _only(fit)
    assert one.spans == ()
    assert one.fails == "elevation"
    wrap = fit.minute_of(fit.day.hours.hard_wrap)
    # The best minute of the hours is the last, whose sun is still too high by the degrees told.
    assert fit.minute_of(one.best_time) == wrap - 1
    assert one.miss_deg == pytest.approx(fit.track.elevation_deg[wrap - 1] - 8.0)
    assert one.miss_min is not None
    assert fit.shots["1"].fit[wrap + one.miss_min - 1] >= 0.5
    assert fit.shots["1"].fit[wrap + one.miss_min - 2] < 0.5


def test_window_before_the_first_roll_counts_backwards(make_folder):
    """A dawn before the call is missed by a negative number of minutes."""
    day = """\
title = "Late"
date = 2027-06-09
place = {name = "Salt pans", latitude_deg = 36.2, longitude_deg = -5.9, timezone = "Europe/Madrid"}
hours = {crew_call = "11:00", wrap = "15:00"}
"""
    fit = _fit(make_folder, "1,Pans,wide,N,,2..8,60..90,30,", day=day)
    one = _only(fit)
    assert one.miss_min is not None
    assert one.miss_min < 0
    reach = fit.minute_of(fit.day.hours.first_roll + timedelta(minutes=one.miss_min))
    assert fit.shots["1"].fit[reach] >= 0.5
    assert fit.shots["1"].fit[reach + 1] < 0.5


def test_side_never_met_gives_the_nearest_angle(make_folder):
    """The sun never stands behind a lens that looks south at noon: the nearest angle is told."""
    fit = _fit(make_folder, "1,Pans,wide,S,front,5..80,,30,")
    one = _only(fit)
    assert one.fails == "sun side"
    assert one.best_fit < 0.5
    azimuth = fit.track.azimuth_deg[fit.minute_of(one.best_time)]
    from_lens = abs((azimuth - 180.0 + 180.0) % 360.0 - 180.0)
    assert one.miss_deg == pytest.approx(145.0 - from_lens)
    assert one.miss_min is None


def test_hidden_sun_is_told_in_degrees_of_disc(make_folder):
    """Behind a ridge of 80° the direct sun fails, by what the lower limb lacks to clear it."""
    fit = _fit(make_folder, "1,Pans,wide,N,,5..85,,30,", horizon_salt_pans_csv=LEVEL_RIDGE)
    one = _only(fit)
    assert one.fails == "direct sun"
    assert one.miss_deg is not None
    best = fit.track.apparent_elevation_deg[fit.minute_of(one.best_time)]
    assert one.miss_deg == pytest.approx(80.0 + 0.2666 - best)
    assert one.miss_min is None


def test_held_shot_tells_its_stricter_spans(make_folder):
    """A held shot's spans lie inside its window; a shot without a hold has none."""
    held = _only(_fit(make_folder, "1,Pans,wide,N,,10..30,,30,yes"))
    assert len(held.held) == len(held.spans) == 2
    for strict, half in zip(held.held, held.spans, strict=True):
        assert half.start <= strict.start < strict.end <= half.end
    assert held.held != held.spans


def test_free_shot_has_no_held_spans(make_folder):
    """Without a hold there is nothing stricter than the window."""
    assert _only(_fit(make_folder, "1,Pans,wide,N,,10..30,,30,")).held == ()


def test_frames_do_where_the_sun_is_wrong(make_folder):
    """A face with the sun behind it in the morning keeps 0.65 all afternoon, by frames alone."""
    fit = _fit(make_folder, "1,A face,close-up,E,back,,,30,")
    clear = _only(fit)
    (window,), (framed,) = clear.spans, clear.frames
    assert framed.start == window.end
    assert framed.end == fit.day.hours.hard_wrap
    by_frames = fit.shots["1"].fit[fit.minute_of(framed.end) - 60]
    assert by_frames == pytest.approx(0.65, abs=0.01)


@pytest.mark.parametrize(
    ("size", "does", "most_light"),
    [
        ("close-up", "flat", 1 - 0.35 * 0.45),  # 0.55 in flat light, by itself over a half
        ("medium", "frames", 1 - 0.6 * 0.55),  # 0.45 in flat light, and frames
        ("wide", "", 0.25),
    ],
)
def test_flat_light_does_or_frames_do_under_full_cloud(make_folder, size, does, most_light):
    """No sun is right then, cloud hides it, and each size has what its light makes of it."""
    row = f"1,A face,{size},E,back,,,30,"
    one = _only(_fit(make_folder, row, sky_csv="hour,cloud_cover\n5,1\n20,1\n"))
    assert one.spans == ()
    assert (one.fails, one.miss) == ("clear sky", "cloud hides the sun (100% cover)")
    assert (len(one.flat), len(one.frames)) == (int(does == "flat"), int(does == "frames"))
    assert one.most_light == pytest.approx(most_light)


def test_hold_has_no_stretch_but_its_sun(make_folder):
    """Neither flat light nor a frame makes a hold."""
    one = _only(_fit(make_folder, "1,A face,close-up,E,back,,,30,yes"))
    assert (one.flat, one.frames) == ((), ())


@pytest.mark.parametrize(
    ("row", "miss"),
    [
        ("1,Pans,wide,S,front,5..80,,30,", r"the sun is \d+° too far round"),
        ("1,Pans,wide,N,,2..8,270..320,30,", r"the sun is \d+° too high"),
        ("1,Pans,wide,N,,85..90,,30,", r"the sun is \d+° too low"),
        ("1,Pans,wide,N,,,350..10,30,", r"the sun is \d+° past its azimuths"),
        ("1,Pans,wide,N,dusk,,,30,", r"the sun is \d+° too high"),
    ],
)
def test_miss_is_said_as_people_say_it(make_folder, row, miss):
    """How the sun is off where it comes nearest, by the part of the light that fails."""
    assert re.fullmatch(miss, _only(_fit(make_folder, row)).miss)


def test_miss_behind_a_ridge_is_the_skylines(make_folder):
    """The sun stands well and does not arrive."""
    fit = _fit(make_folder, "1,Pans,wide,N,,5..85,,30,", horizon_salt_pans_csv=LEVEL_RIDGE)
    one = _only(fit)
    assert one.miss == f"the skyline hides the sun, {one.miss_deg:.0f}° too low"


@pytest.mark.parametrize("sun", ["back", "shade", "dusk"])
def test_what_a_part_takes_is_what_it_leaves_when_whole(make_folder, sun):
    """With every other part as it is, no more is taken than the light lacks; all parts tell."""
    fit = _fit(make_folder, f"1,A face,medium,W,{sun},,,30,")
    own = fit.shots["1"]
    for name in own.parts:
        taken = taken_by(own, name)
        assert (own.fit + taken <= 1.0 + 1e-9).all()
        is_whole = own.parts[name] >= WHOLE
        assert np.abs(taken[is_whole]).max(initial=0.0) == pytest.approx(0.0, abs=1e-9)
