"""The picture of calls shows what was found, on paper and on a phone, and moments come in turn."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

import sunsched
from sunsched.day.clock import clock
from sunsched.show.charts.prices.calls import call_figure, calls_as_curve
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.paper_size import Shape
from sunsched.solver.search.progress import Counted
from sunsched.whatif.price.moments import each_moment

LAMP = Path(__file__).parents[3] / "data" / "last-lamp"


@pytest.fixture(scope="module")
def day():
    """Give a small day."""
    return sunsched.example_day()


@pytest.fixture(scope="module")
def found(day):
    """Give what its calls keep on the average day."""
    return sunsched.average_call_curve(sunsched.average_plan(sunsched.solve_day(day)), step_min=60)


@pytest.mark.parametrize("shape", [Shape.A4, Shape.LETTER, Shape.PHONE])
def test_the_line_passes_through_the_points_of_each_call(day, found, shape):
    """By the minutes from the first call; the day's own call and the best one stand in it."""
    axes = call_figure(day, found, shape=shape).axes[0]
    lines = {line.get_label(): line for line in axes.lines}
    minutes = [(one.call - found[0].call) / timedelta(minutes=1) for one in found]
    assert np.asarray(lines["points"].get_xdata()) == pytest.approx(minutes)
    points = [one.kept.points for one in found]
    assert np.asarray(lines["points"].get_ydata()) == pytest.approx(points)
    low, high = axes.get_ylim()
    assert low <= min(points) < max(points) <= high
    own = minutes[[one.call for one in found].index(day.hours.crew_call)]
    assert np.asarray(lines["the day's own call"].get_xdata()).tolist() == [own, own]
    best = minutes[points.index(max(points))]
    assert best != own
    assert np.asarray(lines["most points at"].get_xdata()).tolist() == [best, best]


def test_the_best_call_is_marked_once(day, found):
    """Where it is the day's own, that mark is enough."""
    own = [one for one in found if one.call == day.hours.crew_call]
    assert [mark.name for mark in calls_as_curve(day, own).marks] == ["the day's own call"]


def test_under_each_call_stands_when_work_ends(day, found):
    """And the minutes past the wrap that are expected, where there are any."""
    late = replace(found[1], kept=replace(found[1].kept, overtime_min=7.4))
    curve = calls_as_curve(day, (found[0], late, *found[2:]))
    assert curve.points[1].below == (clock(day, late.kept.stop), "+7′")
    assert curve.points[0].below[0] == clock(day, found[0].kept.stop)
    figure = call_figure(day, (found[0], late, *found[2:]))
    texts = [text.get_text() for text in figure.texts]
    assert clock(day, late.call) in texts
    assert "+7′" in texts
    assert f"the day's own call {clock(day, day.hours.crew_call)}" in texts
    assert any("on the average day" in text for text in texts)


@pytest.mark.parametrize("shape", [Shape.A4, Shape.LETTER, Shape.PHONE])
def test_no_words_cover_others_or_leave_the_page(day, found, shape):
    """Half-hours of a long day too, of which a phone names every other."""
    half = timedelta(minutes=30)
    first = found[0]
    many = [
        replace(first, call=first.call + n * half, kept=replace(first.kept, overtime_min=9.0 * n))
        for n in range(13)
    ]
    figure = call_figure(day, many, shape=shape)
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [
        (text.get_text(), Text.get_window_extent(text, renderer).padded(-1.0))
        for text in figure.findobj(Text)
        if text.get_visible() and text.get_text().strip()
    ]
    for (one, box), (other, beside) in combinations(boxes, 2):
        assert not box.overlaps(beside), (one, other)
    page = figure.bbox
    assert all(box.x0 >= 0 and box.x1 <= page.x1 and box.y0 >= 0 for _, box in boxes)


def test_one_call_is_a_picture_too(day, found):
    """After Ctrl-C there may be no more, or none; the same calls give the same bytes."""
    for some in (found[:1], ()):
        assert picture_bytes([call_figure(day, some)], "svg") == picture_bytes(
            [call_figure(day, some)], "svg"
        )


def test_the_command_draws_calls(run, tmp_path, monkeypatch, found):
    """With --picture, beside the text; a table and planned minutes are refused."""
    monkeypatch.setattr(
        "sunsched.whatif.price_average.call.average_call_curve", lambda *_, **__: found
    )
    monkeypatch.setattr("sunsched.average.plan.average_plan", lambda *_, **__: None)
    picture = tmp_path / "calls.png"
    folder = tmp_path / "day"
    made = ("--at", "Lisbon", "--date", "2027-06-09")
    assert run("new", folder, *made).code == 0
    done = run("price", folder, "--call-curve", "--picture", picture)
    assert done.code == 0, done.err
    assert picture.read_bytes().startswith(b"\x89PNG")
    for more in (("--sheet", tmp_path / "calls.csv"), ("--for", "planned"), ("--wrap-curve",)):
        refused = run("price", folder, "--call-curve", *more)
        assert refused.code == 2
        assert "it goes alone, for the average day; with --picture and --json" in " ".join(
            refused.err.replace("│", " ").split()
        )


def test_moments_are_told_as_done_one_by_one(found):
    """Until somebody has enough."""
    moments = [one.call for one in found]
    told: list[Counted] = []
    seen = list(each_moment(moments, told.append, lambda: len(told) == 2))
    assert seen == moments[:2]
    assert told == [Counted(done=n, whole=len(moments)) for n in (1, 2)]
    assert list(each_moment(moments, None, lambda: False)) == moments
