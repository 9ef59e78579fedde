"""The picture of a skyline: what stands where, words that fit, and frames as wide as they are."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import combinations

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from sunsched.day.kit.camera import Camera
from sunsched.day.model import Place, Spot
from sunsched.day.skyline import HorizonPoint
from sunsched.folder.example import example_day
from sunsched.light.angles import frame_deg
from sunsched.show.charts.spots.skyline import skyline_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.paper_size import Shape
from sunsched.sky.track import sun_at, sun_track

WALL = (
    HorizonPoint(azimuth_deg=10, elevation_deg=0),
    HorizonPoint(azimuth_deg=100, elevation_deg=2),
    HorizonPoint(azimuth_deg=100, elevation_deg=30),
    HorizonPoint(azimuth_deg=150, elevation_deg=30),
    HorizonPoint(azimuth_deg=150, elevation_deg=0),
    HorizonPoint(azimuth_deg=200, elevation_deg=50, under_deg=20, part="bridge"),
    HorizonPoint(azimuth_deg=240, elevation_deg=55, under_deg=22, part="bridge"),
)
PLACES = {
    "north": (38.7, -9.1, "Europe/Lisbon"),
    "south": (-33.9, 18.4, "Africa/Johannesburg"),
    "polar": (69.6, 18.9, "Europe/Oslo"),
    "line": (0.0, 179.9, "Pacific/Auckland"),
}


def asked(place="north", lenses=(35, 50, None, 85, 24), horizon=WALL, **changes):
    """Give a day with these lenses at one spot, and its sun."""
    day = example_day()
    latitude, longitude, zone = PLACES[place]
    where = Place(
        name=place, latitude_deg=latitude, longitude_deg=longitude, elevation_m=0, timezone=zone
    )
    spot = Spot(name="court", horizon=horizon)
    shots = tuple(
        replace(
            day.shots[0],
            id=f"{number}{'ABC'[number % 3]}",
            spot="court",
            lens_mm=lens,
            look_deg=37.0 * number % 360,
        )
        for number, lens in enumerate(lenses, start=1)
    )
    day = replace(
        day, place=where, spots=(spot,), shots=shots, **{"date": date(2027, 6, 9)} | changes
    )
    start = datetime(2027, 6, 9, tzinfo=where.zone)
    return day, spot, sun_track(where, start, start + timedelta(days=1))


def drawn(*arguments, shape=Shape.PHONE, **changes):
    """Give the picture of such a day."""
    return skyline_figure(*asked(*arguments, **changes), shape=shape)


def misplaced(figure):
    """List lettering that overlaps other lettering, or leaves the page."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [
        (text.get_text(), Text.get_window_extent(text, renderer))
        for text in figure.findobj(Text)
        if text.get_visible() and text.get_text().strip()
    ]
    page = figure.bbox
    found = [
        f"`{text}` leaves the page"
        for text, box in boxes
        if box.x0 < 0 or box.y0 < 0 or box.x1 > page.x1 or box.y1 > page.y1
    ]
    for (text, box), (other, beside) in combinations(boxes, 2):
        across = min(box.x1, beside.x1) - max(box.x0, beside.x0)
        up = min(box.y1, beside.y1) - max(box.y0, beside.y0)
        if across > 1 and up > 0.2 * min(box.height, beside.height):
            found.append(f"`{text}` meets `{other}`")
    assert len(boxes) > 15
    return found


@pytest.mark.parametrize("shape", [Shape.PHONE, Shape.A4])
@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("horizon", [(), WALL], ids=["level", "walls"])
def test_no_lettering_overlaps_or_leaves_the_page(place, shape, horizon):
    """In both hemispheres, at the equator, in polar day, on both papers."""
    assert misplaced(drawn(place, horizon=horizon, shape=shape)) == []


def test_many_frames_have_rows_of_their_own():
    """Thirty shots, lenses from 12 to 300 mm: frames side by side where they have room."""
    lenses = [float(one) for one in np.geomspace(12, 300, 30)]
    for shape in (Shape.PHONE, Shape.A4):
        assert misplaced(drawn(lenses=lenses, shape=shape)) == []


def artists(figure, kind, label):
    """Give the artists of a kind whose label begins so."""
    return [one for one in figure.findobj(kind) if str(one.get_label()).startswith(label)]


@pytest.mark.parametrize("place", ["north", "south"])
def test_hours_stand_where_the_sun_is(place):
    """Right of south is west; in the south the middle is north, and west is left of it."""
    day, spot, track = asked(place)
    figure = skyline_figure(day, spot, track)
    [axes] = figure.axes
    wide, high = axes.get_xlim()[1], axes.get_ylim()[1]
    middle = track.azimuth_deg[int(track.elevation_deg.argmax())]
    hours = artists(figure, Line2D, "hour ")
    assert len(hours) > 8
    scale = {}
    for hour in hours:
        clock = str(hour.get_label()).removeprefix("hour ")
        when = datetime.fromisoformat(f"2027-06-09 {clock}").replace(tzinfo=day.place.zone)
        sun = sun_at(day.place, when.astimezone(UTC))
        [x], [y] = (np.asarray(one, dtype=float) for one in (hour.get_xdata(), hour.get_ydata()))
        turned = (sun.azimuth_deg - middle + 180) % 360
        assert x == pytest.approx(turned / 360 * wide, abs=0.01)
        assert 0 < y < high
        scale[sun.apparent_elevation_deg] = y
    heights, places = zip(*sorted(scale.items()), strict=True)
    assert np.corrcoef(heights, places)[0, 1] == pytest.approx(1, abs=1e-9)


def test_the_path_is_whole_where_the_sun_shows_and_dotted_where_it_is_hidden():
    """Two lines that differ in print without colour: one is dashed."""
    figure = drawn()
    [path], [hidden] = (artists(figure, Line2D, name) for name in ("path", "hidden"))
    shown, behind = (~np.isnan(np.asarray(one.get_ydata(), dtype=float)) for one in (path, hidden))
    assert shown.any()
    assert behind.any()
    assert not (shown & behind).any()
    assert path.get_linestyle() != hidden.get_linestyle()


def test_an_overhang_is_open_below():
    """The hatched part begins at its underside, the skyline at the picture's edge."""
    figure = drawn()
    [skyline] = artists(figure, PolyCollection, "skyline")
    [overhang] = artists(figure, PolyCollection, "overhang")
    assert skyline.get_paths()[0].get_extents().y0 == 0
    assert overhang.get_paths()[0].get_extents().y0 > 0.5
    assert overhang.get_hatch() != skyline.get_hatch()
    assert artists(drawn(horizon=()), PolyCollection, "skyline") == []


def test_a_frame_is_as_wide_as_the_lens_sees():
    """2 arctan(w / 2f), in the picture's degrees; cut in two where the picture ends.

    A 50 mm lens before 24.9 mm sees 28.0°, before 36 mm 39.6° (what every table of lenses has for
    full frame; common practice, no source).
    """
    assert frame_deg(36, 50) == pytest.approx(39.6, abs=0.05)
    for sensor in (24.9, 36.0):
        figure = drawn(lenses=(50,), camera=Camera(sensor_width_mm=sensor))
        bars = artists(figure, Rectangle, "frame ")
        wide = sum(bar.get_width() for bar in bars)
        room = figure.axes[0].get_xlim()[1]
        assert wide / room * 360 == pytest.approx(math.degrees(2 * math.atan(sensor / 100)))
    assert artists(drawn(lenses=(None,)), Rectangle, "frame ") == []


def test_the_same_skyline_gives_the_same_bytes():
    """In each kind of file, and small enough to send."""
    for kind, most in (("png", 400_000), ("svg", 300_000), ("pdf", 300_000)):
        first, second = (picture_bytes([drawn()], kind) for _ in range(2))
        assert first == second
        assert len(first) < most


def test_the_name_of_a_narrow_frame_stands_beside_it():
    """A bar that its name would hide is named beside it; none is covered by a name."""
    figure = drawn(lenses=(135, 200, 85, 18))
    renderer = FigureCanvasAgg(figure).get_renderer()
    for bar in artists(figure, Rectangle, "frame "):
        name = str(bar.get_label()).removeprefix("frame ")
        [text] = [one for one in figure.findobj(Text) if one.get_text() == name]
        box, extent = bar.get_window_extent(renderer), Text.get_window_extent(text, renderer)
        covered = min(box.x1, extent.x1) - max(box.x0, extent.x0)
        assert covered < 0.75 * box.width
