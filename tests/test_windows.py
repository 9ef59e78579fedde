"""When each shot's sun is right, and how near the miss is where it never is."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from sunsched.change.windows import ShotWindows, windows
from sunsched.day.folder import read_day
from sunsched.order.fit import DayFit, fit_day

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
