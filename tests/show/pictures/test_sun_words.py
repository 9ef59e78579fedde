"""The words of the sun's picture: hours beside their own marks, none on the rim of the sky."""

import math
import re

import numpy as np
import pytest
from builders import a_day, a_shot
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from show.pictures.laid import misplaced, straight
from sunsched.day.wish import SunSide, Wish
from sunsched.show.charts.spots.sun import EDGE, HOUR_REACH_IN, sun_figure
from sunsched.show.paper_size import Shape


def looking_round(count):
    """Give the plan of shots that look all round, one every half-hour from 6:30 on."""
    shots = [
        a_shot(f"{number}A", look_deg=37.0 * number % 360, wish=Wish(side=SunSide.BACK))
        for number in range(1, count + 1)
    ]
    return straight(a_day(*shots), step_min=40)


def boxes(figure):
    """Give each text in the sky with its box, in inches from the zenith."""
    (axes,) = figure.axes
    renderer = FigureCanvasAgg(figure).get_renderer()
    back = axes.transData.inverted()
    return [
        (text.get_text(), back.transform(Text.get_window_extent(text, renderer)))
        for text in axes.texts
        if text.get_text()
    ]


@pytest.mark.parametrize("shape", [Shape.PHONE, Shape.A4])
@pytest.mark.parametrize("count", [3, 12])
def test_hours_are_named_beside_their_own_marks(shape, count):
    """A named hour is nearer to its mark than a sixth of an inch; three at least are named."""
    plan = looking_round(count)
    figure = sun_figure(plan.fit, "pans", plan, shape=shape)
    assert misplaced(figure) == []
    marks = {
        int(str(line.get_label())[5:7]): np.mean(np.asarray(line.get_xydata(), dtype=float), axis=0)
        for line in figure.axes[0].lines
        if str(line.get_label()).startswith("hour ")
    }
    named = 0
    for text, box in boxes(figure):
        if found := re.fullmatch(r"(\d+)(?: h|:00)", text):
            low, high = box
            mark = marks[int(found[1])]
            near = np.clip(mark, low, high)
            assert math.dist(near, mark) < HOUR_REACH_IN + 0.03, text
            named += 1
    assert named >= 3


@pytest.mark.parametrize("shape", [Shape.PHONE, Shape.A4])
def test_no_words_stand_on_the_level_horizon(shape):
    """Suns at sunrise and hours near it are named inside the circle or outside, never across it."""
    plan = looking_round(12)
    figure = sun_figure(plan.fit, "pans", plan, shape=shape)
    left, right = figure.axes[0].get_xlim()
    rim = (right - left) / 2 / EDGE
    for text, ((left_in, low_in), (right_in, high_in)) in boxes(figure):
        corners = [math.hypot(x, y) for x in (left_in, right_in) for y in (low_in, high_in)]
        assert min(corners) > rim - 0.03 or max(corners) < rim + 0.03, text
