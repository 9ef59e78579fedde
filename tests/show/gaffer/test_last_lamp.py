"""Every number on every page of the first demo day, worked out a second time.

Its silks are given sizes here, as the day itself leaves them to its grip: so each kind of frame
stands under a real shot. What the pages say is taken apart into its numbers, and each one is held
to the second calculation, to the last digit that is written; a number that nobody expects, or one
that is missing, fails.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from math import cos, log2, log10, radians, sin, tan

import numpy as np
import pvlib
import pytest
from desk.conftest import DATA

from show.gaffer import second
from sunsched import gaffer_pages, make_plan, read_cloths, read_day
from sunsched.day.kit.frame import Frame, FrameKind, Rig
from sunsched.show.gaffer.caution_lines import day_cautions

THIRD, TWO_FIGURES, DEGREE = 1 / 6 + 0.02, 0.051, 0.53  # half of what is written, and a little
GROUNDS = {
    name: pvlib.albedo.SURFACE_ALBEDOS[known]
    for name, known in (
        ("asphalt", "asphalt"),
        ("grass", "grass"),
        ("sand", "sand"),
        ("snow", "fresh snow"),
        ("water", "sea"),
    )
}
FRAMES = (
    Frame(name="12 by silk", kind=FrameKind.OVERHEAD, side_m=3.6576, above_m=2.5,
          cloth="quarter grid", takes_stops=1.0),
    Frame(name="8 by silk", kind=FrameKind.OVERHEAD, side_m=2.4384, above_m=1.5,
          cloth="quarter silk", takes_stops=2 / 3),
)  # fmt: skip
SILKS = {
    "12x12 silk": ("12 by silk", "4 by board"),
    "8x8 silk": ("8 by silk", "4 by board"),
    "road frame": ("8 by silk", "4 by black"),
}
Expected = list[tuple[float, float]]  # numbers in the order in which they are written, give or take


@pytest.fixture(scope="module")
def plan():
    """Give the day's best plan, its silks with sizes."""
    day = read_day(DATA / "last-lamp")
    rigs = tuple(Rig(name=name, frames=frames) for name, frames in SILKS.items())
    return make_plan(replace(day, frames=(*day.frames, *FRAMES), rigs=(*day.rigs, *rigs)))


def numbers(text: str) -> list[float]:
    """Give the numbers of a line: thirds as such, clock times in minutes, lux in kilolux."""
    found = []
    for match in re.finditer(r"(\d\d):(\d\d)|(−?)(\d+(?:\.\d+)?|(?=[⅓⅔]))([⅓⅔]?)( lx)?", text):
        hour, minute, sign, whole, third, is_lux = match.groups()
        if hour:
            found.append(60.0 * int(hour) + int(minute))
            continue
        value = float(whole or 0) + {"": 0.0, "⅓": 1 / 3, "⅔": 2 / 3}[third]
        found.append((-value if sign else value) / (1000.0 if is_lux else 1.0))
    return found


class Second:
    """The second calculation for one setup of a day."""

    def __init__(self, day, setup):
        self.day, self.setup, self.camera = day, setup, day.camera
        self.roll_min = round((setup.end - setup.start) / timedelta(minutes=1))
        self.suns = [second.sun_at(day.place, one) for one in second.minutes(setup.start, 361)]
        self.middle = self.suns[self.roll_min // 2]
        self.turned = [second.turned_deg(bearing, setup.look_deg) for _, bearing in self.suns]
        self.number = setup.start.timetuple().tm_yday
        self.from_lens = self.turned[self.roll_min // 2]
        self.ground = GROUNDS[setup.spot.ground.name]

    def light(self, kind, *, sun=True):
        return second.light(kind, self.middle[0], self.number, sun=sun)

    def contrast(self, ground):
        face = self.light("clear")["face"]
        return log2(face(0.0, ground) / face(180.0, ground))

    @property
    def mired(self):
        return second.colour_mired(round(self.middle[0], 3), 0.10)

    def seen(self, minute):
        """Say where the sun is for the level lens."""
        height, _ = self.suns[minute]
        lens = self.setup.lens_mm
        return second.in_picture(lens, self.camera, height, self.turned[minute], 0.0)

    def clears_skyline(self, minute):
        """Say whether all of the disc stands over the skyline of the spot."""
        height, bearing = self.suns[minute]
        points = self.setup.spot.horizon
        if not points:
            return height > 0.27
        bearings = [one.azimuth_deg for one in points]
        heights = [one.elevation_deg for one in points]
        return height - 0.27 > np.interp(bearing, bearings, heights, period=360.0)

    def shadow_is_seen(self, minute):
        """Cast the shadow of a head at the camera on the ground, and look for it on the sensor."""
        height, turned = self.suns[minute][0], radians(self.turned[minute])
        reach = 1.75 / tan(radians(height))
        right, ahead = -reach * sin(turned), -reach * cos(turned)
        if ahead <= 0.0:
            return False
        wide = self.camera.sensor_width_mm * self.camera.squeeze / 2.0
        high = self.camera.sensor_width_mm / self.camera.aspect / 2.0
        x, y = (self.setup.lens_mm * one / ahead for one in (right, self.camera.height_m))
        return abs(x) <= wide and y <= high

    def sun_lines(self) -> Iterator[tuple[str, Expected]]:
        last = self.roll_min
        (h0, a0), (h1, a1) = self.suns[0], self.suns[last]
        moves = second.apart_deg(second.toward(h0, a0), second.toward(h1, a1))
        sides = [abs(self.turned[k]) for k in (0, last)]
        yield "stands", [(one, DEGREE) for one in (a0, a1, h0, h1, *sides, moves)]
        yield "direct", []
        height, bearing = self.middle
        length = 1.75 / tan(radians(height))
        yield "shadow", [(1.75, 0.0), (length, 0.06 if length < 9.95 else 0.55),
                         ((bearing + 180.0) % 360.0, DEGREE)]  # fmt: skip
        yield "camera side", []
        camera, lens = self.camera, self.setup.lens_mm
        size = [(camera.sensor_width_mm, 0.05), (camera.sensor_width_mm / camera.aspect, 0.05)]
        where = {self.seen(minute) for minute in range(last)}
        tilted = (k / 10 for k in range(901))
        seen = {one: second.in_picture(lens, camera, height, self.from_lens, one) for one in tilted}
        tilts = [(one, 0.65) for one, where_then in seen.items() if where_then == "in frame"]
        yield "frame", size + ([] if "in frame" in where else tilts[:1])
        half = camera.sensor_width_mm / 2.0 / lens
        yield "stands at", [pair for far in (3, 6, 12) for pair in ((far * half, 0.06), (far, 0.0))]

    def light_lines(self) -> Iterator[tuple[str, Expected]]:
        kinds = (("clear, sun out", "clear", True), ("clouds, sun out", "partly", True),
                 ("clouds, sun in", "partly", False), ("overcast", "cloudy", False))  # fmt: skip
        for name, kind, is_out in kinds:
            found = self.light(kind, sun=is_out)
            levels = [found[one] for one in ("level", "sky", "total")[0 if is_out else 1 :]]
            yield (
                name,
                [(one, TWO_FIGURES * one) for one in levels]
                + [
                    pair
                    for turned in (0.0, 180.0 - abs(self.from_lens))
                    for pair in self.exposure(found["face"](turned, self.ground))
                ],
            )
        own = self.setup.spot.ground.name
        others = [share for name, share in GROUNDS.items() if name != own]
        yield "contrast", [(self.contrast(one), THIRD) for one in (self.ground, *others)]
        colours = [1e6 / self.mired[one] for one in ("sun", "sky", "both")]
        yield (
            "colour",
            [
                pair
                for kelvin in (*colours, 6500.0)
                for pair in ((kelvin, 26.0 + 0.01 * kelvin), (1e6 / kelvin, 1.1))
            ],
        )

    def exposure(self, klx) -> Expected:
        ev, stop, wanted, density, over = second.exposure(klx, self.camera)
        return [(ev, THIRD), (stop, TWO_FIGURES * stop), (wanted, 0.0), (density, 0.055),
                (over, THIRD)]  # fmt: skip

    def frame_lines(self) -> Iterator[tuple[str, Expected]]:
        for frame in self.day.frames_of(self.setup.rig):
            kinds = {FrameKind.OVERHEAD: self.overhead, FrameKind.BOUNCE: self.bounce}
            yield from ((frame.name, one) for one in kinds.get(frame.kind, self.black)(frame))
            gust = self.day.weather.gust_m_s
            force = 0.5 * 1.225 * gust**2 * 1.2 * frame.side_m**2
            yield frame.name, [(gust, 0.0), (force, 0.51), (force / 9.81, 0.51)]

    def overhead(self, frame) -> Iterator[Expected]:
        height, bearing = self.suns[0]
        offset = frame.above_m / tan(radians(height))
        yield [(frame.side_m, 0.06), (frame.above_m, 0.06), (offset, 0.06), (bearing, DEGREE)]
        along, across = second.full_shadow(frame, self.suns[0])
        # The shadow's place of one minute and of the next, by rays through the frame's middle.
        (place, _, _), (_, least, most) = (
            second.shadow_boxes(frame, 0.0, self.suns[:count]) for count in (1, 2)
        )
        walked = 1000.0 * np.abs((least[1] + most[1]) / 2.0 - (least[0] + most[0]) / 2.0)
        assert place == pytest.approx((least[0] + most[0]) / 2.0, abs=0.01)
        subject = self.day.rig(self.setup.rig).subject_m
        holds = [second.covered(frame, subject, self.suns, led=led) for led in (False, True)]
        start = self.setup.start.astimezone(self.day.place.zone)
        since = 60.0 * start.hour + start.minute
        walks = [(float(one), 0.5 + 0.03 * float(one)) for one in walked]
        yield [(along, 0.06), (across, 0.06), *walks, (subject, 0.0), (holds[0], 1.0),
               (since + holds[0], 1.0), (holds[1], 2.0), (since + holds[1], 2.0)]  # fmt: skip
        up = np.array([0.0, 0.0, 1.0])
        far = -log2(second.summed_share(frame.side_m, frame.above_m * up, -up))
        key = self.light("clear")["beam"] * 2.0**-frame.takes_stops
        behind = self.light("clear")["face"](180.0 - abs(self.from_lens), self.ground)
        yield [(frame.takes_stops, THIRD), (far, THIRD), (key, TWO_FIGURES * key),
               (abs(log2(behind / key)), THIRD)]  # fmt: skip

    def bounce(self, frame) -> Iterator[Expected]:
        ray, face = second.toward(*self.middle), second.toward(0.0, self.setup.look_deg)
        normal = (ray + face) / np.linalg.norm(ray + face)
        aim, tilt = np.degrees([np.arctan2(normal[0], normal[1]), np.arcsin(normal[2])])
        clear = self.light("clear")

        def level(away_m):
            share = second.summed_share(frame.side_m, -away_m * face, normal)
            return frame.reflectance * clear["beam"] * float(normal @ ray) * share

        gives = level(frame.away_m)
        bare = clear["face"](180.0 - abs(self.from_lens), self.ground)
        yield [(frame.side_m, 0.06), (frame.away_m, 0.06), (aim % 360.0, DEGREE), (tilt, DEGREE),
               (gives, TWO_FIGURES * gives), (log2(clear["beam"] / gives), THIRD),
               (log2((bare + gives) / bare), THIRD)]  # fmt: skip
        up = np.cos(radians(self.middle[0]))
        tipped = log2((1.0 + up) / (2.0 * up))
        if tipped >= 1 / 6:
            yield [(tipped, THIRD)]

    def black(self, frame) -> Iterator[Expected]:
        away = np.array([0.0, -frame.away_m, 0.0])
        share = second.summed_share(frame.side_m, away, np.array([0.0, 1.0, 0.0]))
        yield [(frame.side_m, 0.06), (frame.away_m, 0.06), (-log2(1.0 - share), THIRD)]

    def match_lines(self, first) -> Iterator[tuple[str, Expected]]:
        name = f"to {first.setup.title}"
        farther = abs(abs(self.from_lens) - abs(first.from_lens))
        higher = abs(self.middle[0] - first.middle[0])
        yield name, [(farther, DEGREE), (higher, DEGREE)]
        lit, was = (one.light("clear")["face"](0.0, one.ground) for one in (self, first))
        apart = log2(lit / was)
        yield name, [] if abs(apart) < 1 / 6 else [(abs(apart), THIRD)] + [
            (apart, 0.13), (0.0, 0.13)] * (apart > 0)  # fmt: skip
        more = self.contrast(self.ground) - first.contrast(first.ground)
        yield name, [] if abs(more) < 1 / 6 else [(abs(more), THIRD)] * 2
        shift = abs(first.mired["sun"] - self.mired["sun"])
        yield name, [] if shift < 10 else [(shift, 1.6)]


def expected_of(second_of, first) -> dict[str, list[tuple[str, Expected]]]:
    """Give what each section of a page must say, line by line."""
    told = {"sun": [*second_of.sun_lines()], "light": [*second_of.light_lines()]}
    if second_of.day.frames_of(second_of.setup.rig):
        told["frames"] = [*second_of.frame_lines()]
    if first is not None:
        told["match"] = [*second_of.match_lines(first)]
    return told


@pytest.fixture(scope="module")
def read(plan):
    """Give each page with its second calculation, and that of the first shot of its match."""
    firsts: dict[str, Second] = {}
    found = []
    for planned, page in zip(plan.shots, gaffer_pages(plan, read_cloths(None)), strict=True):
        again = Second(plan.day, page.setup)
        match = planned.shot.match
        found.append((page, again, firsts.get(match)))
        if match:
            firsts.setdefault(match, again)
    return found


def test_every_number_of_every_page(plan, read):
    """All lines of sun, light, frames and match of all sixteen shots."""
    assert [page.setup.title for page, _, _ in read] == [one.shot.id for one in plan.shots]
    assert len(read) == 16
    checked = 0
    for page, again, first in read:
        wanted = expected_of(again, first)
        said = {one.title: one.lines for one in page.sections if one.title != "cautions"}
        assert list(said) == list(wanted)
        for title, lines in said.items():
            assert [line.name for line in lines] == [name for name, _ in wanted[title]]
            for line, (_, expected) in zip(lines, wanted[title], strict=True):
                found = numbers(line.text)
                told = f"{page.setup.title}: {line.name}: {line.text}\n{expected}"
                assert len(found) == len(expected), told
                for value, (again_value, give) in zip(found, expected, strict=True):
                    assert abs(value - again_value) <= give + 1e-9, told
                checked += len(found)
    assert checked > 1000


def test_every_word_that_follows_from_the_sun(read):
    """Sides, skyline, shadows into frame, the sun in it, what covers the roll, ways of a match."""
    for page, again, first in read:
        last = again.roll_min
        said = "\n".join(
            f"{one.title} {line.name}: {line.text}" for one in page.sections for line in one.lines
        )
        sides = [
            f"{abs(turned):.0f}°" + (" R" if turned > 0 else " L") * (round(abs(turned)) > 0)
            for turned in (again.turned[0], again.turned[last])
        ]
        assert f"from the lens {' to '.join(sides)}" in said
        assert "direct: through the whole roll" in said
        assert all(again.clears_skyline(minute) for minute in range(last))
        falls = any(again.shadow_is_seen(minute) for minute in range(last))
        assert ("shadows from the camera side fall into frame" in said) is falls
        seen = [again.seen(minute) for minute in range(last)]
        order = ("in frame", "near frame", "clear of the frame")
        assert f"the sun is {next(one for one in order if one in seen)}" in said
        for frame in again.day.frames_of(page.setup.rig):
            if frame.kind is FrameKind.OVERHEAD:
                subject = again.day.rig(page.setup.rig).subject_m
                covers = second.covered(frame, subject, again.suns, led=True) >= last
                assert ("): the whole roll" in said) is covers
                assert ("): not the whole roll" in said) is not covers
                is_far = 1.0 / tan(radians(again.suns[0][0])) > 3.0
                assert ("not practical" in said) is is_far
        if first is not None:
            is_higher = again.middle[0] > first.middle[0]
            assert ("° higher" if is_higher else "° lower") in said
            is_farther = abs(again.from_lens) > abs(first.from_lens)
            assert ("farther round" if is_farther else "nearer to its axis") in said
            warmer = again.mired["sun"] < first.mired["sun"]
            assert ("cooler by" if warmer else "warmer by") not in said


def test_the_heat_of_the_day(plan):
    """NWS regression of 1990 and NIOSH 2016-106, typed from their published forms."""
    line = next(one for one in day_cautions(plan.day) if one.name == "heat")
    t, r = 32.0 + 1.8 * 29.0, 55.0
    index = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 0.00683783 * t * t
        - 0.05481717 * r * r + 0.00122874 * t * t * r + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r
    )  # fmt: skip
    found = numbers(line.text.replace("2016-106", ""))
    assert found == [round((index - 32.0) / 1.8), 2024.0, round(59.9 - 14.1 * log10(415.0))]
