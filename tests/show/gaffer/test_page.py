"""The pages of a plan in words, as JSON and from above; the command on a day folder."""

import json
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from matplotlib.artist import Artist
from matplotlib.patches import Polygon

from show.gaffer.conftest import a_setup
from sunsched.day.skyline import HorizonPoint
from sunsched.show.charts.setups.above import setup_figure
from sunsched.show.gaffer.lines import counted_stops, klx_text, metres_text, stops_text, t_stop_text
from sunsched.show.gaffer.page import asked_page, gaffer_pages
from sunsched.show.paper_size import Shape
from sunsched.show.records.gaffer import gaffer_record
from sunsched.show.text.gaffer import gaffer_text
from sunsched.solver.solve import make_plan


@pytest.mark.parametrize(
    ("stops", "text"),
    [(0, "0"), (1 / 3, "⅓"), (-2 / 3, "−⅔"), (2.34, "2⅓"), (-1.0, "−1"), (0.1, "0"), (3.95, "4")],
)
def test_thirds(stops, text):
    """As rings and meters have them."""
    assert stops_text(stops) == text


def test_figures_in_words():
    """No more digits than a mean sky deserves."""
    assert [klx_text(one) for one in (95.2, 5.44, 0.454, 0.0000005)] == [
        "95 klx", "5.4 klx", "450 lx", "under 1 lx",
    ]  # fmt: skip
    assert [metres_text(one) for one in (3.21, 14.9)] == ["3.2 m", "15 m"]
    assert [t_stop_text(one) for one in (68.2, 5.64)] == ["T68", "T5.6"]
    assert [counted_stops(one) for one in (1, 2 / 3, 1 + 1 / 3)] == ["1 stop", "⅔ stop", "1⅓ stops"]


@pytest.fixture(scope="module")
def plan():
    """Give a plan of the first demo day."""
    from desk.conftest import DATA

    import sunsched

    return make_plan(sunsched.read_day(DATA / "ferry-light"))


def test_every_shot_has_its_page(plan, stops_of):
    """In the plan's order; all of it in words and in JSON, none twice."""
    pages = gaffer_pages(plan, stops_of)
    assert [page.setup.title for page in pages] == [one.shot.id for one in plan.shots]
    record = gaffer_record(plan.day, pages)
    assert json.loads(json.dumps(record))["setups"][0]["id"] == plan.shots[0].shot.id
    text = gaffer_text(plan.day, pages, 80)
    assert max(len(line) for line in text.splitlines()) <= 80
    for page in pages:
        for section in page.sections:
            for line in section.lines:
                assert " ".join(line.text.split()[:3]) in " ".join(text.split())


def test_a_match_is_compared_with_the_first_made(plan, stops_of):
    """Each later shot of a match has the section, the first one and lone shots have not."""
    pages = {page.setup.title: page for page in gaffer_pages(plan, stops_of)}
    seen: set[str] = set()
    for planned in plan.shots:
        titles = [section.title for section in pages[planned.shot.id].sections]
        assert ("match" in titles) == (planned.shot.match in seen and bool(planned.shot.match))
        seen.add(planned.shot.match)


@pytest.mark.parametrize("shape", [Shape.A4, Shape.PHONE])
def test_the_picture_is_to_scale(day, shape):
    """The overhead stands where its line says, the lens looks up, north is where it is."""
    setup = a_setup("07:20")
    page = asked_page(day, "pans", 30.0, setup.start, "tent")
    figure = setup_figure(day, page, shape=shape)
    (axes,) = figure.axes
    patches = {str(one.get_label()): one for one in axes.patches}
    corners = _corners(patches["frame 12 by"])
    over = next(section for section in page.sections if section.title == "frames").lines[0].figures
    offset, toward = over["offset_m"], over["toward_deg"]
    turned = np.radians(float(str(toward)) - 30.0)
    middle = np.array([np.sin(turned), np.cos(turned)]) * float(str(offset))
    assert corners.mean(axis=0) == pytest.approx(middle, abs=0.02)
    assert np.linalg.norm(corners[0] - corners[1]) == pytest.approx(3.6576, abs=1e-6)
    north = next(line for line in axes.lines if line.get_label() == "north")
    along = np.diff(np.array(north.get_data()), axis=1).ravel()
    assert np.degrees(np.arctan2(*along)) == pytest.approx(-30.0)
    tip = _corners(patches["shadow"])[1:3].mean(axis=0)
    assert np.dot(tip, middle) < 0  # it falls away from the sun


def _corners(patch: Artist) -> npt.NDArray[np.float64]:
    assert isinstance(patch, Polygon)
    return np.asarray(patch.get_xy()[:4], dtype=np.float64)


def test_the_picture_of_a_night(day):
    """With the sun down there is no shadow and no frame, and it is said."""
    page = asked_page(day, "pans", 30.0, a_setup("22:00").start, "tent")
    figure = setup_figure(day, page)
    labels = {one.get_label() for one in figure.axes[0].patches}
    assert not {"shadow", "frame 12 by", "sun"} & labels
    assert any("below the horizon" in text.get_text() for text in figure.texts)


def test_the_picture_of_a_hidden_sun_and_of_a_board(day):
    """Behind a skyline nothing throws a shadow; a board stands as far off as told, out of frame."""
    wall = tuple(HorizonPoint(azimuth_deg=a, elevation_deg=80.0) for a in (0.0, 180.0))
    walled = replace(day, spots=(replace(day.spots[0], horizon=wall),))
    start = a_setup("07:20").start
    figure = setup_figure(walled, asked_page(walled, "pans", 30.0, start, "tent"))
    labels = {one.get_label() for one in figure.axes[0].patches}
    assert not {"shadow", "frame 12 by"} & labels
    assert "sun" in labels
    (axes,) = setup_figure(day, gaffer_page_of(day)).axes
    ends = np.array(next(one for one in axes.lines if one.get_label() == "frame board").get_data())
    middle = ends.mean(axis=1)
    assert np.hypot(*middle) == pytest.approx(4.0)
    assert middle[0] < 0  # the sun stands on the right of the lens
    beside = (middle[1] + 4.0) * 24.9 / 2 / 50  # half of the frame there; the lens is 4 m off
    assert abs(ends[0]).min() > beside


def gaffer_page_of(day):
    """Give the page of a setup with a lens and all frames."""
    page = asked_page(day, "pans", 30.0, a_setup("07:20").start, "tent")
    return replace(page, setup=a_setup("07:20"))
