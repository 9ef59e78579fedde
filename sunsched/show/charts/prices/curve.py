"""A curve over moments of the day: one line of points, what stands below each, and its scales."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.drawing.figure import (
    DARK_BLUE,
    RULE,
    Style,
    add_axes,
    heading,
    house_style,
    new_figure,
    write,
    write_lines,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import FAINT, LINE, POINT_IN, Words, width_in, wrapped_words
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.text.past import past_texts

POINTS: Style = {"color": DARK_BLUE, "linewidth": 2.0, "marker": "o", "markersize": 3.5}
CURVE_IN = 3.6
EDGE_MIN = 5.0  # of the axes beyond the first and the last point


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """One point of a curve, and what stands below its time, line by line."""

    at: datetime
    value: float
    below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A moment of the day that stands in a curve as an upright line."""

    name: str
    at: datetime
    look: Style


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A curve over moments: its points in order, its scale, its marks, and what its key says.

    `label` names the line of the points. `levels` are the values that stand at the left, the
    lowest and the highest of them the foot and the head of the axes, and `told` writes them.
    """

    day: Day
    title: str
    name: str
    label: str
    points: Sequence[CurvePoint]
    levels: Sequence[float]
    told: Callable[[float], str]
    marks: Sequence[Mark]
    key: Sequence[KeyEntry] = field(default_factory=tuple)


def curve_page(curve: Curve, shape: Shape) -> Figure:
    """Draw a curve on a page with its heading and its key."""
    with house_style():
        setting = paper(shape)
        head = [*heading(curve.day, setting, curve.title)]
        for text in past_texts(curve.day):
            head += wrapped_words(text, setting.room_in, setting.text_pt)
        key = key_rows(curve.key, setting)
        small, line_in = setting.small_pt, LINE * setting.small_pt * POINT_IN
        told = [curve.told(level) for level in curve.levels]
        left = setting.margin_in + max(width_in(text, small) for text in (*told, "100%")) + 0.1
        wide = setting.width_in - left - setting.margin_in - 0.15
        top = setting.margin_in + sum(line.height_in for line in head) + 0.15
        rows = max((len(point.below) for point in curve.points), default=1)
        below = (1.5 + max(1, rows)) * line_in + 0.1
        foot = below + key_height_in(key, setting) + setting.margin_in
        high = CURVE_IN if setting.height_in is None else setting.height_in - top - foot
        figure = new_figure(setting, top + high + foot, f"{curve.day.title}: {curve.name}")
        write_lines(figure, setting.margin_in, setting.margin_in, head)
        axes = add_axes(figure, left, top, wide, high)
        if curve.points:
            draw_points(axes, curve)
            _write_scales(figure, axes, curve, (left, top, wide, high), setting)
        draw_key(figure, top + high + below, key, setting)
    return figure


def draw_points(axes: Axes, curve: Curve) -> None:
    """Draw the points of a curve, in minutes from the first one, with its marks."""
    x = [minutes_to(curve, point.at) for point in curve.points]
    y = [point.value for point in curve.points]
    low, high = curve.levels[0], curve.levels[-1]
    first, last = -EDGE_MIN, max(x[-1], 1) + EDGE_MIN
    axes.set_xlim(first, last)
    axes.set_ylim(low, high)
    for level in curve.levels:
        axes.plot([first, last], [level, level], color=RULE, linewidth=0.4, zorder=0.5)
    for mark in curve.marks:
        minute = minutes_to(curve, mark.at)
        if first <= minute <= last:
            axes.plot([minute, minute], [low, high], label=mark.name, zorder=1, **mark.look)
    axes.plot(x, y, label=curve.label, zorder=2, **POINTS)


def minutes_to(curve: Curve, when: datetime) -> float:
    """Give where a moment stands across: minutes from the first point."""
    return (when - curve.points[0].at) / timedelta(minutes=1)


def _write_scales(
    figure: Figure,
    axes: Axes,
    curve: Curve,
    box: tuple[float, float, float, float],
    setting: Paper,
) -> None:
    """Write values at the left, times below, and under each time what its point says."""
    left, top, wide, high = box
    small, line_in = setting.small_pt, LINE * setting.small_pt * POINT_IN
    first, last = axes.get_xlim()
    low, above = axes.get_ylim()
    for level in curve.levels:
        y = top + high * (above - level) / (above - low)
        # The lowest stands a little higher, clear of the first time below it.
        y -= 0.4 * line_in if level == low else 0.0
        words = Words(text=curve.told(level), size_pt=small, color=FAINT)
        write(figure, left - 0.06, y, words, align="right")
    free_from = 0.0
    for point in curve.points:
        x = left + wide * (minutes_to(curve, point.at) - first) / (last - first)
        half = width_in("00:00", small) / 2 + 0.05
        if x - half < free_from:
            continue
        free_from = x + half
        words = Words(text=clock(curve.day, point.at)[:5], size_pt=small, color=FAINT)
        write(figure, x, top + high + 0.7 * line_in, words, align="center")
        for number, text in enumerate(point.below):
            under = Words(text=text, size_pt=small)
            write(figure, x, top + high + (1.7 + number) * line_in, under, align="center")
