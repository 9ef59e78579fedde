"""Small marks of pictures: degrees clear of the sun, keys as thick as their bars, letters in place.

Boxes of texts are those of matplotlib's own layout; what is drawn is counted from pixels.
"""

import re

import numpy as np
import pytest
from builders import a_day, a_shot
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from show.pictures.laid import placed
from show.test_day_picture import HARD
from sunsched.show.charts.day import day_figure
from sunsched.show.charts.orders.pair import Pair, pair_figure
from sunsched.show.charts.orders.strip import OrderStrip
from sunsched.show.drawing.figure import house_style, new_figure, write
from sunsched.show.drawing.lettering import Words
from sunsched.show.drawing.strips import MOVE
from sunsched.show.paper_size import Shape, paper


@pytest.mark.parametrize("name", ["one shot", "night", "polar day", "southern", "past midnight"])
def test_no_degrees_stand_on_the_sun(name):
    """On a phone, where the degrees stand within the band, its curve runs through none of them."""
    fit, plan = HARD[name]()
    figure = day_figure(fit, plan, shape=Shape.PHONE)
    renderer = FigureCanvasAgg(figure).get_renderer()
    lines = [line for axes in figure.axes for line in axes.lines if line.get_label() == "sun"]
    curve = max(lines, key=lambda line: line.get_linewidth())
    x, y = curve.get_transform().transform(curve.get_xydata()).T
    for text in figure.findobj(Text):
        if re.fullmatch(r"\d+°", text.get_text()):
            box = text.get_window_extent(renderer)
            inside = (box.x0 < x) & (x < box.x1) & (box.y0 < y) & (y < box.y1)
            assert not inside.any()


def moves_in(figure):
    """Give the heights of the bars of company moves, and of the one in the key, in dots."""
    bars: list[float] = []
    keys: list[float] = []
    for box in figure.findobj(Rectangle):
        if box.get_facecolor()[:3] == (0.0, 0.0, 0.0) and box.get_linewidth() == MOVE["linewidth"]:
            high = box.get_window_extent().height
            (bars if str(box.get_label()).startswith("move ") else keys).append(high)
    return bars, keys


@pytest.mark.parametrize("shape", [Shape.A4, Shape.PHONE])
def test_the_key_of_a_move_is_as_thick_as_its_bar(shape):
    """Within a fifth, in the picture of the day and in that of two orders."""
    day = a_day(a_shot("A"), a_shot("B", spot="mill"))
    plan = placed(day, "A@6:30 B@8:00")
    strip = OrderStrip(name="one", told="", plan=plan)
    pair = pair_figure(day, "Two", "", [Pair(first=strip, second=strip)], shape=shape)
    for figure in (day_figure(plan.fit, plan, shape=shape), pair):
        bars, keys = moves_in(figure)
        assert bars
        assert len(keys) == 1
        assert keys[0] == pytest.approx(bars[0], rel=0.2)


@pytest.mark.parametrize("align", ["left", "center", "right"])
def test_a_line_stands_where_its_layout_says(align):
    """The ink of a line lies within the box that matplotlib's layout gives the same text."""
    setting = paper(Shape.A4)
    with house_style():
        figure = new_figure(setting, 0.0, "")
        for row, words in enumerate(("Shot 12A, quay", "Äpfel, ĝis, Ågot", "1", "minimum")):
            for column, bold in enumerate((False, True)):
                words_of = Words(text=words, size_pt=20.0, bold=bold)
                write(figure, 2.5 + 5 * column, 1.0 + row, words_of, align=align)
        canvas = FigureCanvasAgg(figure)
        canvas.draw()
        ink = np.asarray(canvas.buffer_rgba())[:, :, 0] < 128
        for text in figure.texts:
            box = text.get_window_extent(canvas.get_renderer())
            low, high = ink.shape[0] - box.y1, ink.shape[0] - box.y0
            part = ink[int(low) - 20 : int(high) + 20, int(box.x0) - 40 : int(box.x1) + 40]
            rows, columns = np.flatnonzero(part.any(axis=1)), np.flatnonzero(part.any(axis=0))
            assert rows[0] >= 18
            assert rows[-1] <= 20 + box.height + 2
            # As measured without hinting, so that a line may come out a little wider.
            assert columns[0] == pytest.approx(40, abs=0.03 * box.width + 8)
            assert columns[-1] == pytest.approx(40 + box.width, abs=0.03 * box.width + 8)
