"""Lenses against rays, weather against the published equations' examples, cloths by counting."""

from itertools import product
from math import degrees

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sunsched.sky.grip.bounce import direction
from sunsched.sky.grip.cloth import distance_stops, nearer_stops, through, to_take
from sunsched.sky.grip.lens import (
    InFrame,
    Lens,
    clear_m,
    in_frame,
    least_tilt_deg,
    off_axis_deg,
    shadow_in_frame,
)
from sunsched.sky.grip.weather import heat_index_f, heat_limit_wbgt_c, wind_chill_f, wind_force_n

FOOT_M = 0.3048
LONG = Lens(length_mm=135, sensor_mm=(24.89, 18.66))


def test_the_sun_in_a_long_lens():
    """135 mm on 24.89 × 18.66 mm: 5.3° and 3.9°; a sun 6° high, 3° to the right, is 6.7° off."""
    assert LONG.half_width_deg == pytest.approx(5.3, abs=0.05)
    assert LONG.half_height_deg == pytest.approx(3.95, abs=0.05)
    assert off_axis_deg(6, 3) == pytest.approx(6.7, abs=0.05)
    assert in_frame(LONG, 6, 3) is InFrame.NEAR
    assert least_tilt_deg(LONG, 6, 3) == pytest.approx(2.1, abs=0.05)
    assert in_frame(LONG, 6, 3, 2.2) is InFrame.IN


@settings(max_examples=100)
@given(st.floats(-5, 80), st.floats(-180, 180), st.floats(0, 60), st.sampled_from([1.0, 2.0]))
def test_in_frame_by_rays(height_deg, from_lens_deg, tilt_deg, squeeze):
    """Against the picture's plane: right and up of the axis, in focal lengths."""
    lens = Lens(length_mm=35, sensor_mm=(24.89, 18.66), squeeze=squeeze)
    axis, right = direction(0, tilt_deg), np.array([1.0, 0.0, 0.0])
    up, ray = np.cross(right, axis), direction(from_lens_deg, height_deg)
    assert off_axis_deg(height_deg, from_lens_deg, tilt_deg) == pytest.approx(
        degrees(np.arccos(np.clip(ray @ axis, -1, 1))), abs=1e-5
    )
    ahead = ray @ axis
    if ahead <= 1e-6:
        assert in_frame(lens, height_deg, from_lens_deg, tilt_deg) is InFrame.CLEAR
        return
    x, y = 35 * (ray @ right) / ahead, 35 * (ray @ up) / ahead
    edges = (squeeze * 24.89 / 2, 18.66 / 2)
    if min(abs(abs(x) - edges[0]), abs(abs(y) - edges[1])) > 1e-6:
        is_in = abs(x) < edges[0] and abs(y) < edges[1]
        assert (in_frame(lens, height_deg, from_lens_deg, tilt_deg) is InFrame.IN) == is_in


def test_a_level_lens_is_the_rule():
    """A sun straight ahead is as far off as it is high; one behind, low by as much, is opposite."""
    assert off_axis_deg(6, 0) == pytest.approx(6, abs=1e-6)
    edge = LONG.half_height_deg
    assert in_frame(LONG, edge - 0.001, 0) is InFrame.IN
    assert in_frame(LONG, edge + 0.001, 0) is InFrame.NEAR
    assert in_frame(LONG, 0.001 - edge, 0) is InFrame.IN
    for height_deg in range(91):
        assert off_axis_deg(height_deg, 180, -height_deg) == pytest.approx(180, abs=1e-5)


def test_near_is_five_degrees_from_the_edge():
    """To either side and above, on the level and straight ahead; common practice, no source."""
    wide, high = LONG.half_width_deg, LONG.half_height_deg
    for side in (-1, 1):
        assert in_frame(LONG, 0, side * (wide + 4.99)) is InFrame.NEAR
        assert in_frame(LONG, 0, side * (wide + 5.01)) is InFrame.CLEAR
        assert in_frame(LONG, side * (high + 4.99), 0) is InFrame.NEAR
        assert in_frame(LONG, side * (high + 5.01), 0) is InFrame.CLEAR


def test_a_stand_beside_the_axis():
    """At 10 m a lens of 25 mm on 25 mm of sensor sees 5 m to either side."""
    assert clear_m(Lens(length_mm=25, sensor_mm=(25, 14)), 10) == pytest.approx(5.0)
    assert clear_m(Lens(length_mm=25, sensor_mm=(25, 14), squeeze=2), 10) == pytest.approx(10.0)


@settings(max_examples=60)
@given(st.floats(3, 80), st.floats(-180, 180))
def test_the_shadow_of_the_camera_side(height_deg, from_lens_deg):
    """The tip of a shadow that begins under the lens, put through the lens."""
    lens = Lens(length_mm=25, sensor_mm=(24.89, 14.0))
    tip = -direction(from_lens_deg, 0)[:2] * 1.8 / np.tan(np.radians(height_deg))
    is_in = False
    for part in np.linspace(0.001, 1, 400):
        east, north = tip * part
        if north > 0:
            x, y = 25 * east / north, 25 * 1.5 / north
            is_in |= abs(x) <= 24.89 / 2 and y <= 14.0 / 2
    assert shadow_in_frame(lens, 1.5, 1.8, height_deg, from_lens_deg) == is_in


@pytest.mark.parametrize(("gust", "newtons"), [(5, 246), (8, 629), (10.8, 1147), (12.5, 1537)])
def test_force_of_wind(gust, newtons):
    """Solid 12 by 12 feet: ½ ρ v² C A, worked out elsewhere."""
    assert wind_force_n(12 * FOOT_M, gust) == pytest.approx(newtons, abs=1)


@pytest.mark.parametrize(("air", "humidity", "index"), [(90, 70, 105.9), (96, 50, 107.6)])
def test_heat_index(air, humidity, index):
    """US National Weather Service, Weather Prediction Center: the equation's own examples."""
    assert heat_index_f(air, humidity) == pytest.approx(index, abs=0.05)


def test_heat_index_of_the_chart():
    """NWS heat index chart: 80 °F, 40% is 80; 100 °F, 40% is 109; mild air has the simple form."""
    assert heat_index_f(80, 40) == pytest.approx(80, abs=0.5)
    assert heat_index_f(100, 40) == pytest.approx(109, abs=0.6)
    assert heat_index_f(70, 50) == pytest.approx(69.1, abs=0.5)


@pytest.mark.parametrize(
    ("air", "humidity", "around", "adjustment"),
    [
        (95, 10, (14, 20, 30), -0.75),
        (103.5, 9, (14, 20, 30), -1 / 2**0.5),
        (112, 5, (14, 20, 30), 0.0),
        (113, 5, (14, 20, 30), 0.0),
        (82, 95, (70, 80, 85), 1.0),
        (85, 90, (70, 80, 85), 0.2),
        (87, 100, (70, 80, 85), 0.0),
        (88, 100, (70, 80, 85), 0.0),
    ],
)
def test_heat_index_in_dry_and_in_damp_air(air, humidity, around, adjustment):
    """NWS: (13 - RH)/4 √((17 - |T - 95|)/17) less, (RH - 85)/10 (87 - T)/5 more, by hand.

    The equation without them is a parabola in the humidity, which three others of them fix.
    """
    parabola = np.polyfit(around, [heat_index_f(air, one) for one in around], 2)
    without = np.polyval(parabola, humidity)
    assert heat_index_f(air, humidity) - without == pytest.approx(adjustment, abs=1e-6)


def test_wind_chill():
    """NWS wind chill chart (2001): 0 °F and 15 mph are −19; not defined for warm or still air."""
    assert wind_chill_f(0, 15) == pytest.approx(-19, abs=0.5)
    assert wind_chill_f(30, 20) == pytest.approx(17, abs=0.5)
    assert wind_chill_f(51, 20) is None
    assert wind_chill_f(30, 2) is None


@pytest.mark.parametrize(
    ("work", "alert", "limit"), [(180, 28.1, 30.8), (300, 25.0, 28.2), (415, 23.0, 26.6)]
)
def test_limits_of_heat(work, alert, limit):
    """NIOSH 2016-106, chapter 8: alert and exposure limits, °C WBGT."""
    assert heat_limit_wbgt_c(work, is_used_to_heat=False) == pytest.approx(alert, abs=0.06)
    assert heat_limit_wbgt_c(work, is_used_to_heat=True) == pytest.approx(limit, abs=0.06)


STOPS = {"quarter grid": 1.0, "single net": 0.5, "half diffusion": 0.75}


def test_cloths_add_up():
    """A quarter grid and a single net take a stop and a half; what is left is told."""
    assert through(STOPS, ["quarter grid", "single net"]) == 1.5
    found = to_take(STOPS, 1.3)
    assert (found.cloths, found.stops) == (("single net", "half diffusion"), 1.25)
    assert found.residual_stops == pytest.approx(0.05)


@given(st.floats(-2, 5))
def test_no_stack_comes_nearer(wanted):
    """Against every stack of up to three."""
    found = to_take(STOPS, wanted)
    every = [()] + [stack for n in (1, 2, 3) for stack in product(STOPS, repeat=n)]
    nearest = min(abs(wanted - through(STOPS, stack)) for stack in every)
    assert abs(found.residual_stops) == pytest.approx(nearest, abs=1e-9)
    assert found.residual_stops == pytest.approx(wanted - found.stops)


@pytest.mark.parametrize(
    ("feet", "stops"),
    [(8, (0.63, 1.65, 2.53, 3.25)), (12, (0.31, 0.97, 1.65, 2.26)), (20, (0.12, 0.43, 0.83, 1.25))],
)
def test_cloth_farther_up(feet, stops):
    """An even square 1 to 4 m over the subject: its configuration factor, worked out elsewhere."""
    found = [distance_stops(feet * FOOT_M, metres) for metres in (1, 2, 3, 4)]
    assert found == pytest.approx(stops, abs=0.01)


def test_moving_closer():
    """Half the way is two stops, for a source that is small beside it (inverse square)."""
    assert nearer_stops(4, 2) == 2.0
    assert nearer_stops(8, 2) == 4.0
    assert nearer_stops(2, 8) == -4.0
