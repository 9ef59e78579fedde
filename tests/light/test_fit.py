"""The fit, part by part, under a sun that is put where a test wants it."""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sunsched.light.day_sun
import sunsched.light.fit
from sunsched.day.costs import Costs
from sunsched.day.kit.frame import Rig
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import (
    DEFAULT_SIZES,
    Changeover,
    Day,
    Hours,
    Meal,
    Place,
    Shot,
    Size,
    Spot,
)
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import Band, CameraSide, SunSide, Wish
from sunsched.light.angles import HARD_GIVE_DEG, SIDE_BANDS_DEG, SOFT_GIVE_DEG, TAIL
from sunsched.light.fit import SUNLIT_SHADE
from sunsched.light.parts import DAYLIGHT_DEG, TOP_LIGHT_DEG
from sunsched.sky.horizon import SEMIDIAMETER_DEG
from sunsched.sky.track import SunTrack

MIDNIGHT = datetime(2027, 6, 9, tzinfo=UTC)
SIDES = list(SIDE_BANDS_DEG)


def a_day(wish, **changes):
    """Give a day of one shot, the wide 1 that looks north and rolls a minute, weight 3."""
    shot: dict[str, Any] = {
        "size": Size.WIDE,
        "look_deg": 0.0,
        "shoot_min": 1,
        "weight": 3.0,
        "hold": False,
        "control": None,
        "rig": "",
    }
    shot |= {name: changes.pop(name) for name in list(changes) if name in shot}
    call = changes.pop("crew_call", MIDNIGHT + timedelta(hours=6))
    wrap = changes.pop("hard_wrap", MIDNIGHT + timedelta(hours=20))
    zone = changes.pop("timezone", "UTC")
    facts: dict[str, Any] = {
        "title": "A day",
        "date": date(2027, 6, 9),
        "place": Place(
            name="Nowhere", latitude_deg=36, longitude_deg=-6, elevation_m=0, timezone=zone
        ),
        "hours": Hours(crew_call=call, first_roll=call, wrap=wrap, hard_wrap=wrap),
        "meal": Meal(earliest=call, latest=call + timedelta(hours=6), length_min=60),
        "spots": (Spot(name="pans"),),
        "shots": (
            Shot(
                id="1",
                description="a shot",
                spot="pans",
                wish=wish,
                setup_min=20,
                adjust_min=10,
                **shot,
            ),
        ),
    }
    return Day(**(facts | changes))


def fit_under(wish, azimuth=0.0, elevation=30.0, **changes):
    """Give the fit of one shot under suns at these azimuths and elevations, one a minute."""
    azimuths, heights = np.broadcast_arrays(
        np.atleast_1d(np.asarray(azimuth, dtype=float)),
        np.atleast_1d(np.asarray(elevation, dtype=float)),
    )
    if len(azimuths) == 1:  # a sun that stands still, for two minutes
        azimuths, heights = np.repeat(azimuths, 2), np.repeat(heights, 2)

    def placed(_place, start, _end):
        return SunTrack(
            start=start,
            azimuth_deg=azimuths % 360.0,
            elevation_deg=heights,
            apparent_elevation_deg=heights,
        )

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sunsched.light.day_sun, "sun_track", placed)
        return sunsched.light.fit.fit_checked(a_day(wish, **changes)).shots["1"]


def part(name, wish, azimuth=0.0, elevation=30.0, **changes):
    """Give the values of one part of the fit."""
    return fit_under(wish, azimuth, elevation, **changes).parts[name].tolist()


def tail(past, give, far=180.0):
    """Give what is left past the give: 0.02 at its end, nothing at the far end."""
    return 0.02 * (far - past) / (far - give)


def test_figures_of_the_give():
    """Common practice, no source: what a side gives toward the back and toward the front."""
    assert (SOFT_GIVE_DEG, HARD_GIVE_DEG, TAIL, SUNLIT_SHADE) == (30, 15, 0.02, 0.2)


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("sign", [1, -1])
def test_sun_side_is_whole_to_its_edges_then_falls(side, sign):
    """Left and right of the lens: 1 to the edges, 0.5 half a give past, then a little.

    The give is 30°, but 15° where the sun goes on to the front.
    """
    low, high = SIDE_BANDS_DEG[side]
    wish = Wish(side=side)
    assert part("sun side", wish, [sign * low, sign * (low + high) / 2, sign * high]) == [1, 1, 1]
    if low > 0:
        suns = [sign * (low - past) for past in (15, 30)]
        assert part("sun side", wish, suns) == pytest.approx([0.5, 0.02])
    if high < 180:
        give = 15 if side in (SunSide.SIDE, SunSide.THREE_QUARTER_FRONT) else 30
        suns = [sign * (high + past) for past in (give / 2, give, give + 10)]
        left = tail(give + 10, give)
        assert part("sun side", wish, suns) == pytest.approx([0.5, 0.02, left])


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize(("camera_side", "sign"), [(CameraSide.RIGHT, 1), (CameraSide.LEFT, -1)])
def test_sun_side_on_one_camera_side(side, camera_side, sign):
    """The wanted half is met, right positive; the mirrored sun is not, unless within the give."""
    low, high = SIDE_BANDS_DEG[side]
    middle = (low + high) / 2
    wish = Wish(side=side, camera_side=camera_side)
    wanted, mirrored = part("sun side", wish, [sign * middle, -sign * middle])
    assert wanted == 1
    # Across the lens's axis, ahead or behind, the mirrored sun is this far outside the arc.
    ways = [(low + middle, 30.0), ((180 - high) + (180 - middle), 30.0 if high < 110 else 15.0)]
    left = max(max(1 - past / give, min(0.02, tail(past, give))) for past, give in ways)
    assert mirrored == pytest.approx(left)


def test_several_sides_do_as_well_as_each_other():
    """Inside each of them the part is 1, between them it falls and rises again."""
    others = ((SunSide.FRONT, None), (SunSide.BACK, CameraSide.LEFT))
    wish = Wish(side=SunSide.SIDE, others=others)
    assert not wish.asks_nothing
    angles = [90, -90, 180, -20, 127.5, 20]
    found = part("sun side", wish, angles)
    assert found[:4] == [1, 1, 1, 1]
    assert found[4] == pytest.approx(1 - 17.5 / 30)  # before the front, past the side
    assert found[5] == pytest.approx(1 - 20 / 30)  # of the back on the left
    each = ((SunSide.SIDE, None), *others)
    alone = [part("sun side", Wish(side=one, camera_side=half), angles) for one, half in each]
    assert found == np.max(alone, axis=0).tolist()


def test_camera_side_give_crosses_the_axis():
    """Back light at camera right, 0 to 35: 15° left of the axis is half; front light at 7.5°."""
    back = Wish(side=SunSide.BACK, camera_side=CameraSide.RIGHT)
    assert part("sun side", back, [0, -15, -30, 35, 50]) == pytest.approx([1, 0.5, 0.02, 1, 0.5])
    front = Wish(side=SunSide.FRONT, camera_side=CameraSide.LEFT)
    suns = [180, 172.5, 165, 215, 230]  # 215 is −145 from the lens, the far edge
    assert part("sun side", front, suns) == pytest.approx([1, 0.5, 0.02, 1, 0.5])


def test_camera_side_alone_is_half_the_sky():
    """Camera right without a side is 0 to 180; the give reaches over both ends of the axis."""
    right = Wish(camera_side=CameraSide.RIGHT)
    suns = [0, 90, 180, -15, 187.5]
    assert part("sun side", right, suns) == pytest.approx([1, 1, 1, 0.5, 0.5])
    left = Wish(camera_side=CameraSide.LEFT)
    assert part("sun side", left, suns) == pytest.approx([1, tail(90, 30), 1, 1, 1])


def test_of_two_bad_times_the_nearer_is_better():
    """Past the give the side falls all the way to the far end, so no two bad suns are alike."""
    values = part("sun side", Wish(side=SunSide.BACK), list(range(66, 181, 6)))
    assert all(first > second for first, second in pairwise(values))
    assert values[-1] == pytest.approx(tail(145, 30))


def test_sun_side_follows_the_look():
    """A lens that looks at 350° sees a sun at 25° from 35° to the right: back light's edge."""
    wish = Wish(side=SunSide.BACK)
    assert part("sun side", wish, [25, 40, 315, 300], look_deg=350.0) == pytest.approx(
        [1, 0.5, 1, 0.5]
    )


def test_no_give_is_a_hard_edge():
    """With a give of 0 the edge itself still counts, of the next hundredth of a degree a little."""
    wish = Wish(side=SunSide.BACK, give_deg=0.0)
    assert part("sun side", wish, [35, 35.01]) == pytest.approx([1, 0.02], abs=1e-5)


def test_a_give_of_ones_own_holds_on_both_ends():
    """With `give_deg` 20 a side gives as much toward the front as toward the back."""
    wish = Wish(side=SunSide.SIDE, give_deg=20.0)
    assert part("sun side", wish, [60, 120]) == pytest.approx([0.5, 0.5])


def test_azimuth_band_wraps_at_north():
    """340 to 20 with a give of 20: whole at both edges and north, half 10° out, nothing south."""
    wish = Wish(azimuth=Band(low_deg=340.0, high_deg=20.0, give_deg=20.0))
    suns = [340, 0, 20, 330, 30, 320, 40, 180]
    assert part("azimuth", wish, suns) == pytest.approx(
        [1, 1, 1, 0.5, 0.5, 0.02, 0.02, tail(160, 20)]
    )


def test_azimuth_band_not_wrapped():
    """20 to 340 is the rest of the circle: whole in the south, half 10° into the gap."""
    wish = Wish(azimuth=Band(low_deg=20.0, high_deg=340.0, give_deg=20.0))
    assert part("azimuth", wish, [20, 180, 340, 10, 350, 0]) == pytest.approx(
        [1, 1, 1, 0.5, 0.5, 0.02]
    )


def test_azimuth_band_of_a_circle_and_of_a_point():
    """0 to 360 is met everywhere; 90 to 90 at 90 alone, give aside."""
    circle = Wish(azimuth=Band(low_deg=0.0, high_deg=360.0, give_deg=20.0))
    assert part("azimuth", circle, [0, 123, 359]) == [1, 1, 1]
    point = Wish(azimuth=Band(low_deg=90.0, high_deg=90.0, give_deg=20.0))
    assert part("azimuth", point, [90, 100, 80, 110]) == pytest.approx([1, 0.5, 0.5, 0.02])


def test_elevation_band():
    """5° to 20° with a give of 5: whole at both edges, half 2.5° past, a little from 5° past on."""
    wish = Wish(elevation=Band(low_deg=5.0, high_deg=20.0, give_deg=5.0))
    heights = [5, 12, 20, 2.5, 22.5, 0, 25, 60]
    assert part("elevation", wish, elevation=heights) == pytest.approx(
        [1, 1, 1, 0.5, 0.5, 0.02, 0.02, tail(40, 5, 90)]
    )


def test_parts_not_asked_are_missing():
    """A shot is judged by what it asks: nothing, a side, or both bands."""
    assert set(fit_under(Wish()).parts) == {"daylight"}
    asked = {"direct sun", "clear sky", "top light", "daylight"}
    assert set(fit_under(Wish(side=SunSide.BACK)).parts) == asked | {"sun side"}
    band = Band(low_deg=0.0, high_deg=90.0, give_deg=5.0)
    bands = Wish(azimuth=band, elevation=band)
    assert set(fit_under(bands).parts) == asked | {"azimuth", "elevation"}


def walled(height_deg):
    """Give a spot with the same skyline all around."""
    return (Spot(name="pans", horizon=(HorizonPoint(azimuth_deg=0, elevation_deg=height_deg),)),)


def test_direct_sun_against_the_skyline():
    """Over a skyline of 10°: 1 with the whole disc clear, 0.5 half hidden, 0 behind it."""
    heights = [10 + SEMIDIAMETER_DEG, 11, 10, 10 - SEMIDIAMETER_DEG, 9]
    values = part("direct sun", Wish(side=SunSide.BACK), elevation=heights, spots=walled(10.0))
    assert values == pytest.approx([1, 1, 0.5, 0, 0])


def test_direct_sun_below_an_overhang():
    """Under a bridge from 12° to 20° over a skyline of 10°: light below it and above it."""
    bridge = tuple(
        HorizonPoint(azimuth_deg=azimuth, elevation_deg=20, under_deg=12, part="bridge")
        for azimuth in (0, 120, 240, 0)
    )
    spots = (Spot(name="pans", horizon=(*walled(10.0)[0].horizon, *bridge)),)
    heights = [9, 10, 11, 12, 16, 20, 20 + SEMIDIAMETER_DEG, 40]
    values = part("direct sun", Wish(side=SunSide.BACK), elevation=heights, spots=spots)
    assert values == pytest.approx([0, 0.5, 1, 0.5, 0, 0.5, 1, 1])


def clouds(*covers):
    """Give a forecast from (minute, cover)."""
    return tuple(
        CloudHour(time=MIDNIGHT + timedelta(minutes=minute), cover=cover)
        for minute, cover in covers
    )


def test_clear_sky_is_what_the_clouds_leave():
    """1 − cover, on the line between two forecasts; the first and the last are held."""
    sky = clouds((2, 0.0), (6, 1.0))
    values = part("clear sky", Wish(side=SunSide.BACK), elevation=[30] * 9, clouds=sky)
    assert values == pytest.approx([1, 1, 1, 0.75, 0.5, 0.25, 0, 0, 0])
    assert part("clear sky", Wish(side=SunSide.BACK)) == [1, 1]


def test_shade_is_the_reverse():
    """Shade is whole behind the skyline, nothing in clear sun, and as good as the cloud is."""
    shade = Wish(side=SunSide.SHADE)
    behind_to_clear = part("shade", shade, elevation=[9, 10, 11], spots=walled(10.0))
    assert behind_to_clear == pytest.approx([1, 0.5, 0])
    assert part("shade", shade, clouds=clouds((0, 0.25))) == [0.25, 0.25]
    cloudy = clouds((0, 0.25))
    assert part("shade", shade, elevation=9.0, spots=walled(10.0), clouds=cloudy) == [1, 1]


@pytest.mark.parametrize(
    ("size", "floor"),
    [
        (Size.WIDE, 0.4),
        (Size.FULL, 0.5),
        (Size.MEDIUM, 0.6),
        (Size.CLOSE_UP, 0.75),
        (Size.INSERT, 1.0),
    ],
)
def test_top_light_by_size(size, floor):
    """1 up to 45°, half-way to the floor at 57.5°, the floor from 70° on (common practice)."""
    heights = [10, 45, 57.5, 70, 85]
    values = part("top light", Wish(side=SunSide.BACK), elevation=heights, size=size)
    assert values == pytest.approx([1, 1, (1 + floor) / 2, floor, floor])


def test_top_light_is_not_asked_of_all():
    """Shade has no sun overhead, dusk none at all; any light suits a shot that asks nothing."""
    for wish in (Wish(side=SunSide.SHADE), Wish(side=SunSide.DUSK), Wish()):
        assert "top light" not in fit_under(wish, elevation=80.0).parts


def test_a_frame_overhead_takes_the_top_light():
    """Under a rig with a frame over the subject, high noon is as good as any height."""
    rigs = (Rig(name="tent", overhead=True), Rig(name="bare"))
    wish = Wish(side=SunSide.BACK)
    under = fit_under(wish, elevation=80.0, size=Size.MEDIUM, rig="tent", rigs=rigs)
    assert under.fit.tolist() == [1, 1]
    bare = fit_under(wish, elevation=80.0, size=Size.MEDIUM, rig="bare", rigs=rigs)
    assert bare.fit.tolist() == pytest.approx([1 - 0.6 * 0.4] * 2)  # frames make up for 0.4


def test_any_light_suits_a_shot_that_asks_nothing():
    """High or low, in cloud or behind a wall: all of it, from sunrise to sunset."""
    own = fit_under(Wish(), elevation=[5, 45, 90], clouds=clouds((0, 1.0)), spots=walled(50.0))
    assert own.fit.tolist() == [1, 1, 1]


def test_daylight_begins_at_sunrise():
    """The sun's centre must stand higher than 50 minutes of arc below the horizon."""
    heights = [DAYLIGHT_DEG - 0.01, DAYLIGHT_DEG, DAYLIGHT_DEG + 0.01]
    assert part("daylight", Wish(), elevation=heights) == [0, 0, 1]
    assert part("daylight", Wish(side=SunSide.SHADE), elevation=heights) == [0, 0, 1]


def test_dusk_is_the_evening_alone():
    """In the band of dusk the rising sun gives nothing and the sinking one everything.

    The sun of the test stands at −7, −3, −2, −3, −7: the last minute is judged by the one before.
    """
    band = Band(low_deg=-6.0, high_deg=-0.833, give_deg=2.0)
    dusk = fit_under(Wish(side=SunSide.DUSK, elevation=band), elevation=[-7, -3, -2, -3, -7])
    assert set(dusk.parts) == {"elevation", "evening"}
    assert dusk.parts["evening"].tolist() == [0, 0, 1, 1, 1]
    assert dusk.fit.tolist() == pytest.approx([0, 0, 1, 1, 0.5])  # 1° past of a give of 2
    assert not dusk.control.any()  # no frame makes a dusk


def test_band_below_the_horizon_needs_no_daylight():
    """A band of twilight without the word dusk is met at dawn too, in cloud and behind a wall."""
    wish = Wish(elevation=Band(low_deg=-6.0, high_deg=-1.0, give_deg=2.0))
    twilight = fit_under(wish, elevation=[-3, -2, -3], spots=walled(20.0), clouds=clouds((0, 1.0)))
    assert twilight.fit.tolist() == [1, 1, 1]
    assert "daylight" not in twilight.parts
    assert wish.is_twilight


def test_golden_light_minds_skyline_and_cloud_while_the_sun_is_up():
    """A band of −4 to 6 wants the sky's glow before sunrise, and the sun itself after it."""
    wish = Wish(elevation=Band(low_deg=-4.0, high_deg=6.0, give_deg=2.0))
    assert not wish.is_twilight
    heights = [-5, -3, 3]
    open_sky = fit_under(wish, elevation=heights)
    assert open_sky.fit.tolist() == [0, 1, 1]  # at −5° it is night for it
    for hidden in ({"spots": walled(20.0)}, {"clouds": clouds((0, 1.0))}):
        assert fit_under(wish, elevation=heights, **hidden).fit.tolist() == [0, 1, 0.25]


def test_light_is_what_sun_and_sky_and_frames_give():
    """Half a side and half an elevation in the sun, a quarter of cloud, a medium with frames.

    Without frames 0.75 · 0.25 + 0.25 · 0.45 = 0.3; frames make up for 0.4 of the 0.7 that is lost.
    """
    wish = Wish(side=SunSide.BACK, elevation=Band(low_deg=5.0, high_deg=20.0, give_deg=5.0))
    sun = {"azimuth": 50.0, "elevation": 22.5, "clouds": clouds((0, 0.25)), "size": Size.MEDIUM}
    own = fit_under(wish, **sun)
    assert own.direct.tolist() == pytest.approx([0.25, 0.25])
    assert own.arrives.tolist() == pytest.approx([0.75, 0.75])
    assert (own.flat, *set(own.control.tolist())) == (0.45, 0.4)
    assert own.fit.tolist() == pytest.approx([1 - 0.6 * 0.7] * 2)
    assert fit_under(wish, **sun, control=0.0).fit.tolist() == pytest.approx([0.3, 0.3])
    assert fit_under(wish, **sun, control=1.0).fit.tolist() == [1, 1]


@pytest.mark.parametrize(
    ("size", "control", "flat"),
    [
        (Size.WIDE, 0.0, 0.25),
        (Size.FULL, 0.15, 0.3),
        (Size.MEDIUM, 0.4, 0.45),
        (Size.CLOSE_UP, 0.65, 0.55),
        (Size.INSERT, 0.9, 0.8),
    ],
)
def test_full_cloud_leaves_flat_light_by_size(size, control, flat):
    """Common practice, no source: tight shots are worth most without the sun."""
    wish = Wish(side=SunSide.BACK)
    own = fit_under(wish, azimuth=180.0, size=size, clouds=clouds((0, 1.0)))
    assert own.fit.tolist() == pytest.approx([1 - (1 - control) * (1 - flat)] * 2)
    hidden = fit_under(wish, azimuth=0.0, elevation=30.0, size=size, spots=walled(85.0))
    assert hidden.fit.tolist() == own.fit.tolist()


def test_a_hold_has_no_frames_and_no_flat_light():
    """A held shot is made in its own sun or not: cloud takes all of it."""
    wish = Wish(side=SunSide.BACK)
    own = fit_under(wish, size=Size.CLOSE_UP, hold=True, control=0.5, clouds=clouds((0, 0.75)))
    assert (*set(own.control.tolist()), own.flat) == (0, 0)
    assert own.fit.tolist() == [0.25, 0.25]


def test_a_shot_in_the_shade_is_whole_without_the_sun():
    """In the sun it is worth a fifth, behind the skyline or under cloud all; frames help too."""
    shade = Wish(side=SunSide.SHADE)
    assert fit_under(shade).fit.tolist() == pytest.approx([0.2, 0.2])
    assert fit_under(shade, spots=walled(50.0)).fit.tolist() == [1, 1]
    assert fit_under(shade, clouds=clouds((0, 1.0))).fit.tolist() == [1, 1]
    held = fit_under(shade, hold=True, elevation=[9, 10, 11], spots=walled(10.0))
    assert held.held.tolist() == [True, False, False]
    medium = fit_under(shade, size=Size.MEDIUM)
    assert medium.fit.tolist() == pytest.approx([1 - 0.6 * 0.8] * 2)


def test_mean_over_a_roll():
    """A roll of two minutes over 1, 0.5, 0.02: 0.75, then 0.26, and none past the track."""
    wish = Wish(elevation=Band(low_deg=5.0, high_deg=20.0, give_deg=4.0))
    own = fit_under(wish, elevation=[20, 22, 24], shoot_min=2)
    assert own.fit.tolist() == pytest.approx([1, 0.5, 0.02])
    assert own.mean.tolist() == pytest.approx([0.75, 0.26, 0])
    assert own.points.tolist() == [2250, 780, 0]  # 1000 · weight 3 · mean


def test_roll_longer_than_the_track_earns_nothing():
    """Three minutes fit a track of three, once; four never do."""
    wish = Wish(side=SunSide.BACK)
    assert fit_under(wish, [0, 0, 0], shoot_min=3).points.tolist() == [3000, 0, 0]
    assert fit_under(wish, [0, 0, 0], shoot_min=4).points.tolist() == [0, 0, 0]


@pytest.mark.parametrize(
    ("weight", "points"), [(0.0004, 0), (0.0005, 1), (0.0014, 1), (0.0015, 2), (2.5, 2500)]
)
def test_points_round_halves_up(weight, points):
    """Points are whole, halves go up: 1000 · 0.0005 = 0.5 is 1."""
    assert fit_under(Wish(side=SunSide.BACK), weight=weight).points.tolist() == [points] * 2


def test_hold_is_met_where_geometry_and_skyline_are():
    """Held to the edge of the side and not past it; cloud and top light do not count."""
    wish = Wish(side=SunSide.BACK)
    own = fit_under(wish, [0, 35, 36], elevation=80.0, clouds=clouds((0, 1.0)))
    assert own.held.tolist() == [True, True, False]
    hidden = fit_under(wish, [0, 0, 0], elevation=[9, 10, 11], spots=walled(10.0))
    assert hidden.held.tolist() == [False, False, True]


def test_track_holds_the_whole_local_day():
    """Minute 0 is local midnight: 22:00 UTC the day before in a summer of UTC+2."""
    fit = sunsched.light.fit.fit_checked(a_day(Wish(), timezone="Europe/Madrid"))
    assert fit.track.start == MIDNIGHT - timedelta(hours=2)
    assert len(fit.track) == 24 * 60 + 1
    assert fit.time_of(fit.minute_of(MIDNIGHT)) == MIDNIGHT
    assert fit.minute_of(MIDNIGHT) == 120


def test_track_stretches_to_the_crew_hours():
    """A call before midnight and a hard wrap after the next one are both on the track."""
    call, wrap = MIDNIGHT - timedelta(minutes=30), MIDNIGHT + timedelta(hours=25)
    fit = sunsched.light.fit.fit_checked(a_day(Wish(), crew_call=call, hard_wrap=wrap))
    assert fit.minute_of(call) == 0
    assert fit.minute_of(wrap) == len(fit.track) - 1


def test_facts_of_the_trade():
    """Common practice, no source: the sides, top light, and figures by size."""
    assert list(SIDE_BANDS_DEG.values()) == [(0, 35), (35, 70), (70, 110), (110, 145), (145, 180)]
    assert tuple(TOP_LIGHT_DEG) == pytest.approx((45, 70))
    figures = {
        size.value: (facts.weight, facts.setup_min, facts.adjust_min, facts.top_light)
        for size, facts in DEFAULT_SIZES.items()
    }
    assert figures == {
        "wide": (5, 25, 15, 0.4),
        "full": (4, 20, 10, 0.5),
        "medium": (3, 20, 10, 0.6),
        "close-up": (3, 15, 5, 0.75),
        "insert": (1, 10, 5, 1.0),
    }
    assert Wish().give_deg is None
    assert Changeover() == Changeover(move_min=20, turnaround_min=10)
    assert Costs() == Costs(
        left_out=1000,
        wait=10,
        match=1000,
        match_free_deg=15,
        match_span_deg=45,
        after_meal=300,
        wide_to_tight=200,
        overtime=20,
        move=500,
        rig_change=100,
    )


def test_daylight_has_a_source():
    """−50′: Explanatory Supplement to the Astronomical Almanac (2013), section 12.3.1."""
    assert pytest.approx(-0.8333, abs=5e-5) == DAYLIGHT_DEG


angles = st.floats(min_value=0, max_value=359)
gives = st.floats(min_value=1, max_value=40)  # no day folder asks for less than 1°
elevation_bands = st.builds(
    lambda low, width, give: Band(low_deg=low, high_deg=low + width, give_deg=give),
    st.floats(min_value=-10, max_value=60),
    st.floats(min_value=0, max_value=30),
    gives,
)
azimuth_bands = st.builds(
    lambda low, width, give: Band(low_deg=low, high_deg=(low + width) % 360, give_deg=give),
    angles,
    st.floats(min_value=0, max_value=300),
    gives,
)
SUNS_DEG = np.arange(0.0, 360.0, 7.0)
HEIGHTS_DEG = np.linspace(-20.0, 89.0, len(SUNS_DEG))


@settings(max_examples=25, deadline=None)
@given(
    side=st.sampled_from(SunSide),
    camera_side=st.sampled_from([None, *CameraSide]),
    azimuth=st.none() | azimuth_bands,
    elevation=st.none() | elevation_bands,
    give=gives,
    cover=st.floats(min_value=0, max_value=1),
)
def test_fit_stays_between_0_and_1(side, camera_side, azimuth, elevation, give, cover):
    """Whatever a shot asks, each part, the fit and its mean are 0 to 1, under any sun."""
    wish = Wish(
        side=side, camera_side=camera_side, give_deg=give, azimuth=azimuth, elevation=elevation
    )
    own = fit_under(wish, SUNS_DEG, HEIGHTS_DEG, clouds=clouds((0, cover)), shoot_min=5)
    for values in (*own.parts.values(), own.fit, own.mean):
        assert values.min() >= 0
        assert values.max() <= 1


@settings(max_examples=25, deadline=None)
@given(
    azimuth=azimuth_bands,
    elevation=elevation_bands,
    wider=st.floats(min_value=0, max_value=25),
    softer=st.floats(min_value=0, max_value=10),
)
def test_asking_for_less_never_lowers_the_fit(azimuth, elevation, wider, softer):
    """A wider band or a larger give is at least as good at every minute, each for itself."""
    # A band that starts below the horizon asks for less of the sun, so it is another kind of wish.
    low = max(elevation.low_deg, 0.0)
    narrow = Band(low_deg=low + wider, high_deg=low + wider + 10, give_deg=elevation.give_deg)
    wide = Band(low_deg=low, high_deg=low + 2 * wider + 10, give_deg=elevation.give_deg + softer)
    around = Band(
        low_deg=(azimuth.low_deg - wider) % 360,
        high_deg=(azimuth.high_deg + wider) % 360,
        give_deg=azimuth.give_deg + softer,
    )
    strict = fit_under(Wish(azimuth=azimuth, elevation=narrow), SUNS_DEG, HEIGHTS_DEG).fit
    for easier in (Wish(azimuth=azimuth, elevation=wide), Wish(azimuth=around, elevation=narrow)):
        assert (fit_under(easier, SUNS_DEG, HEIGHTS_DEG).fit >= strict - 1e-9).all()
