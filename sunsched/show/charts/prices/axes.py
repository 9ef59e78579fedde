"""The pictures of prices without their page: each on one pair of axes."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.axes import Axes

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.charts.axes import MOST_TICKS, given_axes, name_rows
from sunsched.show.charts.prices.calls import calls_as_curve
from sunsched.show.charts.prices.curve import Curve, draw_points, minutes_to
from sunsched.show.charts.prices.half_hours import draw_cell, mark_plan
from sunsched.show.charts.prices.words import ON_AVERAGE, Wraps, curve_words, table_words
from sunsched.show.charts.prices.wraps import wraps_as_curve
from sunsched.show.drawing.lettering import lettering
from sunsched.show.text.price import FIGURED, cell_text
from sunsched.whatif.price.cells import PriceTable
from sunsched.whatif.price_average.call import CallPoint


def draw_price_table(found: PriceTable, axes: Axes | None = None) -> Axes:
    """Draw what it costs to roll each shot at each time: a row a shot, dark where it costs much.

    Parameters
    ----------
    found : PriceTable
        The prices, of `price_table` or `average_price_table`.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x counts times, y rows. Figures are percent of what all shots weigh.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> axes = sunsched.draw_price_table(sunsched.price_table(solved, step_min=120))
    >>> [label.get_text() for label in axes.get_xticklabels()]
    ['10:00', '12:00', '14:00', '16:00', '18:00']
    """
    axes = given_axes(axes)
    count = len(found.times)
    axes.set_xlim(0, max(1, count))
    for number, row in enumerate(found.rows):
        for place, cell in enumerate(row.cells):
            draw_cell(axes, cell, number, place, found.points, row.shot_id)
            if cell.known in FIGURED:
                text = cell_text(cell, found.points)
                axes.text(place + 0.5, number + 0.5, text, ha="center", va="center", size="small")
        mark_plan(axes, found, row, number, (0, count))
    step = -(-count // MOST_TICKS) or 1
    places = range(0, count, step)
    axes.set_xticks([place + 0.5 for place in places])
    axes.set_xticklabels([clock(found.day, found.times[place]) for place in places])
    shots = [found.day.shot(row.shot_id) for row in found.rows]
    name_rows(axes, [f"{shot.id}  {shot.description}" for shot in shots], middle=0.5)
    name = table_words(found, "what it costs to roll a shot then")
    axes.set_title(lettering(f"{found.day.title}: {name}, %"))
    return axes


def draw_wrap_curve(day: Day, found: Wraps, axes: Axes | None = None) -> Axes:
    """Draw the light kept against the wrap, with the day's own wraps.

    Parameters
    ----------
    day : Day
        The day.
    found : sequence of WrapPoint or AverageWrapPoint
        What each wrap keeps, of `wrap_curve` or `average_wrap_curve`; one at least.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x in minutes from the first wrap, ticks on the local clock; y is light kept.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> curve = sunsched.wrap_curve(sunsched.solve_day(day), step_min=60)
    >>> sunsched.draw_wrap_curve(day, curve).get_ylabel()
    'light kept'
    """
    axes = _on_axes(wraps_as_curve(day, found), axes)
    axes.set_xlabel("wrap")
    axes.set_ylabel(curve_words(found, "light kept"))
    return axes


def draw_call_curve(day: Day, found: Sequence[CallPoint], axes: Axes | None = None) -> Axes:
    """Draw the points of the average day against the call, with the day's own and the best one.

    Parameters
    ----------
    day : Day
        The day.
    found : sequence of CallPoint
        What each call keeps, of `average_call_curve`; one at least.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x in minutes from the first call, ticks on the local clock; y in points.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> best = sunsched.average_plan(sunsched.solve_day(day))
    >>> curve = sunsched.average_call_curve(best, step_min=120)
    >>> sunsched.draw_call_curve(day, curve).get_ylabel()
    'points on the average day'
    """
    axes = _on_axes(calls_as_curve(day, found), axes)
    axes.set_xlabel("call")
    axes.set_ylabel(f"points{ON_AVERAGE}")
    return axes


def _on_axes(curve: Curve, axes: Axes | None) -> Axes:
    axes = given_axes(axes)
    draw_points(axes, curve)
    named = curve.points[:: -(-len(curve.points) // MOST_TICKS) or 1]
    axes.set_xticks([minutes_to(curve, one.at) for one in named])
    axes.set_xticklabels([clock(curve.day, one.at) for one in named])
    axes.yaxis.set_major_formatter(lambda value, _place: curve.told(value))
    return axes
