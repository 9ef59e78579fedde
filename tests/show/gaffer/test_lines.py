"""Each section's figures against a second calculation, and what cannot be computed said so."""

from dataclasses import replace
from math import cos, log2, pi, radians, sin, tan

import numpy as np
import pvlib
import pytest

from show.gaffer.conftest import JUNE_15, a_setup
from sunsched.day.kit.camera import Camera
from sunsched.day.kit.frame import Finish, Frame, FrameKind
from sunsched.day.kit.ground import Ground
from sunsched.day.kit.weather import Haze, Weather
from sunsched.day.model import Spot
from sunsched.day.skyline import HorizonPoint
from sunsched.show.gaffer.caution_lines import day_cautions, setup_cautions
from sunsched.show.gaffer.frame_lines import frame_section
from sunsched.show.gaffer.light_lines import exposure_text, light_section
from sunsched.show.gaffer.match_lines import key_of, match_section
from sunsched.show.gaffer.moment import sun_over
from sunsched.show.gaffer.sun_lines import sun_section

MORNING = "07:20"  # UTC; 08:20 there


def figures(section, name):
    """Give all figures of the lines of this name."""
    return {key: value for line in section.lines if line.name == name
            for key, value in line.figures.items()}  # fmt: skip


def spoken(section):
    """Give all that a section says."""
    return "\n".join(f"{line.name}: {line.text}" for line in section.lines)


def own_sun(day, when):
    """Give height and bearing of the sun by pvlib's own front, not ours."""
    place = day.place
    found = pvlib.solarposition.get_solarposition(when, place.latitude_deg, place.longitude_deg)
    return float(found["apparent_elevation"].iloc[0]), float(found["azimuth"].iloc[0])


def test_where_the_sun_stands(day):
    """Height, bearing and side at both ends, and the shadow in the middle."""
    setup = a_setup(MORNING)
    section = sun_section(day, setup, sun_over(day, setup))
    stands = figures(section, "stands")
    for end, when in enumerate((setup.start, setup.end)):
        height, bearing = own_sun(day, when)
        assert stands["elevation_deg"][end] == pytest.approx(height, abs=0.1)
        assert stands["azimuth_deg"][end] == pytest.approx(bearing, abs=0.1)
        assert stands["from_lens_deg"][end] == pytest.approx(bearing - 30.0, abs=0.1)
    middle = own_sun(day, setup.start + (setup.end - setup.start) / 2)
    shadow = figures(section, "shadow")
    assert shadow["shadow_m"] == pytest.approx(1.75 / tan(radians(middle[0])), abs=0.06)
    assert shadow["shadow_azimuth_deg"] == pytest.approx(middle[1] + 180.0, abs=0.1)
    beside = figures(section, "stands at")
    assert beside["clear_at_6_m"] == pytest.approx(6 * 24.9 / 2 / 50, abs=0.01)


def test_light_by_a_second_calculation(day):
    """The IES paper's formulas typed anew for the middle of the roll, a clear sky over grass."""
    setup = a_setup(MORNING)
    section = light_section(day, setup, sun_over(day, setup))
    height, bearing = own_sun(day, setup.start + (setup.end - setup.start) / 2)
    h, number = radians(height), 166
    mass = float(pvlib.atmosphere.get_relative_airmass(90 - height))
    beam = 127.5 * (1 + 0.034 * cos(2 * pi * (number - 2) / 365)) * np.exp(-0.21 * mass)
    sky = 0.8 + 15.5 * sin(h) ** 0.5
    total = beam * sin(h) + sky
    high = 4.0 * h**1.3 + 12.0 * sin(h) ** 0.3 * cos(h) ** 1.3
    lit = beam * cos(h) + high * 1.5 + 0.1 * total
    away = high * 0.25 + 0.1 * total
    turned = radians(180 - abs(bearing - 30.0))
    to_lens = high * (2 + cos(turned)) / (3 - cos(turned)) + 0.1 * total
    to_lens += beam * max(0.0, cos(h) * cos(turned))
    clear = figures(section, "clear, sun out")
    assert clear["total_klx"] == pytest.approx(total, rel=0.005)
    assert clear["face_to_sun_klx"] == pytest.approx(lit, rel=0.005)
    assert clear["face_to_lens_klx"] == pytest.approx(to_lens, rel=0.005)
    assert clear["face_to_sun_ev"] == pytest.approx(log2(1e5 * lit / 340), abs=0.01)
    contrast = figures(section, "contrast")
    assert contrast["contrast_grass_stops"] == pytest.approx(log2(lit / away), abs=0.02)
    assert figures(section, "clouds, sun in")["sun_klx"] == 0.0
    assert figures(section, "colour")["sun_k"] == pytest.approx(5100, abs=100)


def test_a_ground_of_ones_own(day):
    """Half of what 30 % throw back comes between what sand and grass do."""
    spot = Spot(name="pans", ground=Ground(name="a ground of 30%", share=0.3))
    setup = a_setup(MORNING, spot=spot)
    section = light_section(day, setup, sun_over(day, setup))
    found = figures(section, "contrast")
    sand, own, grass = (found[f"contrast_{one}stops"] for one in ("sand_", "", "grass_"))
    assert sand < own < grass
    assert "over a ground of 30% under a clear sky" in spoken(section)


def test_exposure_in_words():
    """ND where there is too much, the lack where there is too little, to a third of a stop."""
    camera = Camera(iso=800, stop=4.0)
    assert exposure_text(camera, 95.0) == "EV 14⅔, T68; for T4 ND 2.5 (8⅓ stops)"
    assert exposure_text(camera, 0.03265) == "EV 9⅓, T10" or "short" in exposure_text(camera, 0.03)
    level = 16.0 / (camera.time_s * 8) * 340 / 100 / 1000  # what T4 wants
    assert exposure_text(camera, level).endswith("T4, as wanted")
    assert exposure_text(camera, level / 4).endswith("2 stops short of T4")


def test_dusk_has_its_level_at_both_ends(day):
    """Explanatory Supplement, table 12.8; no colour is computed, and night is said."""
    dusk = a_setup("18:50", minutes=15)
    section = light_section(day, dusk, sun_over(day, dusk))
    start, end = (figures(section, f"at the {one}")["total_klx"] for one in ("start", "end"))
    assert start > end > 0
    assert "not computed" in spoken(section)
    night = a_setup("22:30")
    assert "it is night" in spoken(light_section(day, night, sun_over(day, night)))


def test_a_skyline_takes_the_sun(day):
    """Behind it there is no beam, and nothing is said of a sun that is out."""
    wall = tuple(HorizonPoint(azimuth_deg=a, elevation_deg=80.0) for a in (0.0, 180.0))
    setup = a_setup(MORNING, spot=Spot(name="pans", horizon=wall))
    sun = sun_over(day, setup)
    assert "the skyline hides it" in spoken(sun_section(day, setup, sun))
    text = spoken(light_section(day, setup, sun))
    assert "in the shade" in text
    assert "sun out" not in text
    frames = spoken(frame_section(day, setup, sun))
    assert "board: no sun reaches it" in frames
    assert "12 by: no direct sun comes to it" in frames
    assert "covers" not in frames
    assert "none: the skyline hides the sun" in spoken(sun_section(day, setup, sun))


def test_frames_by_a_second_calculation(day):
    """Offset and cover of 12 by 12 at 08:20 (3.21 m, 59 min; worked out elsewhere), wind, black."""
    setup = a_setup(MORNING)
    section = frame_section(day, setup, sun_over(day, setup))
    over = figures(section, "12 by")
    assert over["offset_m"] == pytest.approx(3.21, abs=0.01)
    assert over["covers_centred_min"] == 59
    assert over["wind_n"] == pytest.approx(0.5 * 1.225 * 81 * 1.2 * 3.6576**2, abs=1)
    height, _ = own_sun(day, setup.start)
    assert over["toward_deg"] == pytest.approx(own_sun(day, setup.start)[1], abs=0.1)
    assert over["along_m"] == pytest.approx(
        3.4576 - 0.0093 * 2.5 / sin(radians(height)) ** 2, abs=0.01
    )
    middle_deg = own_sun(day, setup.start + (setup.end - setup.start) / 2)[0]
    mass = float(pvlib.atmosphere.get_relative_airmass(90 - middle_deg))
    beam = 127.5 * (1 + 0.034 * cos(2 * pi * 164 / 365)) * np.exp(-0.21 * mass)
    assert over["key_klx"] == pytest.approx(beam / 4, rel=0.005)  # two stops of half grid
    light = light_section(day, setup, sun_over(day, setup))
    behind = figures(light, "clear, sun out")["face_to_lens_klx"]
    assert over["background_over_key_stops"] == pytest.approx(log2(behind / beam * 4), abs=0.02)
    black = figures(section, "black")
    x = 0.9144 / 1.5
    s = x / (1 + x * x) ** 0.5
    assert black["takes_stops"] == pytest.approx(-log2(1 - 4 / pi * s * np.arctan(s)), abs=0.01)
    board = figures(section, "board")
    assert board["under_sun_stops"] == pytest.approx(log2(beam / board["gives_klx"]), abs=0.01)
    middle = own_sun(day, setup.start + (setup.end - setup.start) / 2)
    # Half-way between the sun and the face, as vectors.
    ray = [sin(radians(middle[1])) * cos(radians(middle[0])),
           cos(radians(middle[1])) * cos(radians(middle[0])), sin(radians(middle[0]))]  # fmt: skip
    half = np.array(ray) + np.array([sin(radians(30)), cos(radians(30)), 0.0])
    assert board["aim_deg"] == pytest.approx(np.degrees(np.arctan2(half[0], half[1])), abs=0.2)
    assert board["tilt_deg"] == pytest.approx(
        np.degrees(np.arcsin(half[2] / np.linalg.norm(half))), abs=0.2
    )


@pytest.mark.parametrize(
    ("frame", "told"),
    [
        (Frame(name="small", kind=FrameKind.OVERHEAD, side_m=1.2), "smaller than the subject"),
        (Frame(name="solid", kind=FrameKind.OVERHEAD, side_m=3.6), "solid: no sun comes through"),
        (
            Frame(name="glass", kind=FrameKind.BOUNCE, side_m=1.2, finish=Finish.MIRROR),
            "nobody looks into it",
        ),
    ],
)
def test_what_frames_cannot_do(day, frame, told):
    """It is said on its line, and the rest of the page stands."""
    rig = replace(day.rigs[0], frames=(frame.name, "board"))
    with_it = replace(day, frames=(*day.frames, frame), rigs=(rig,), weather=Weather())
    setup = a_setup(MORNING)
    text = spoken(frame_section(with_it, setup, sun_over(day, setup)))
    assert told in text
    assert "board: matt bounce" in text
    assert "no gust is given" in text


def test_a_low_sun(day):
    """An offset that nobody can build is said to be so; below 2° nothing is computed."""
    low = a_setup("17:15")
    assert "not practical" in spoken(frame_section(day, low, sun_over(day, low)))
    down = a_setup("19:30")
    assert "12 by: not computed" in spoken(frame_section(day, down, sun_over(day, down)))


def test_shadows_and_the_sun_in_frame(day):
    """Right behind the lens a low sun throws shadows in; right before it, it is in frame."""
    for clock, is_behind in (("17:00", True), ("17:20", False)):
        height, bearing = own_sun(day, a_setup(clock).start)
        assert 8 < height < 20
        look = (bearing + (180.0 if is_behind else 0.0)) % 360.0
        setup = a_setup(clock, minutes=1, look_deg=look, lens_mm=18.0)
        section = sun_section(day, setup, sun_over(day, setup))
        assert figures(section, "camera side")["falls_into_frame"] == is_behind
        seen = figures(section, "frame")["sun"]
        assert seen == ("clear of the frame" if is_behind else "in frame")


def test_no_lens_is_said(day):
    """The sun's place stands all the same."""
    setup = a_setup(MORNING, lens_mm=None)
    text = spoken(sun_section(day, setup, sun_over(day, setup)))
    assert "lens: not computed: no lens is given" in text
    assert "a person of 1.75 m" in text


def test_match_brings_back(day, stops_of):
    """A key that is higher is brought down by cloths, with what is left."""
    first, later = a_setup("04:20"), a_setup("07:00")
    was, own = (key_of(one, sun_over(day, one), Haze.CLEAR) for one in (first, later))
    assert was is not None
    assert own is not None
    section = match_section(("1", was), own, stops_of)
    found = figures(section, "to 1")
    assert found["height_deg"] == pytest.approx(own.height_deg - was.height_deg, abs=0.1)
    assert found["side_deg"] == pytest.approx(own.from_lens_deg - was.from_lens_deg, abs=0.1)
    assert found["contrast_stops"] == pytest.approx(
        log2(own.lit_klx / own.shadow_klx) - log2(was.lit_klx / was.shadow_klx), abs=0.01
    )
    assert found["key_stops"] == pytest.approx(log2(own.lit_klx / was.lit_klx), abs=0.01)
    assert abs(found["left_stops"]) <= 0.13
    assert found["mired_shift"] > 0  # a higher sun is bluer, so it is warmed
    assert "warmer" in spoken(section)
    same = match_section(("1", was), was, stops_of)
    assert "key at the same level" in spoken(same)
    assert "too low" in spoken(match_section(("1", None), own, stops_of))


def test_cautions_defer(day):
    """What is decided by whom; heat with its sources; nothing is allowed."""
    told = "\n".join(line.text for line in day_cautions(day))
    assert "nothing here is a go-ahead" in told
    assert "US National Weather Service" in told
    index = next(line.figures["heat_index_c"] for line in day_cautions(day) if line.figures)
    # NWS equation at 93.2 °F and 45%, typed from its published form.
    t, r = 93.2, 45.0
    fahrenheit = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 0.00683783 * t * t
        - 0.05481717 * r * r + 0.00122874 * t * t * r + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r
    )  # fmt: skip
    assert index == pytest.approx((fahrenheit - 32) / 1.8, abs=0.1)
    cold = replace(day, weather=Weather(gust_m_s=10.0, air_c=-10.0))
    assert "wind chill" in "\n".join(line.text for line in day_cautions(cold))
    unknown = replace(day, weather=Weather())
    assert "no temperature is given" in "\n".join(line.text for line in day_cautions(unknown))
    setup = a_setup(MORNING)
    own = spoken(setup_cautions(day, setup, sun_over(day, setup)))
    assert "never look at the sun" in own
    assert "frames come down" in own
    bare = a_setup(MORNING, rig="", look_deg=270.0)
    assert not setup_cautions(day, bare, sun_over(day, bare)).lines
    assert setup.start.date() == JUNE_15
