"""The pictures without a page: each on one pair of axes, which the caller gives or which are new.

The caller's styles and fonts are kept. Every artist has a label that says what it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from sunsched.light.fit import HALF, DayFit, fit_checked
from sunsched.light.windows import windows
from sunsched.plan.plan import Plan
from sunsched.show.charts.day_words import MEAL, ROLL_SHARE
from sunsched.show.charts.shot import AREA, GROUND, HALF_LINE, NO_WINDOW, WINDOW
from sunsched.show.charts.spots.sun import draw_sky
from sunsched.show.charts.stress import draw_row
from sunsched.show.drawing.lettering import lettering
from sunsched.show.drawing.strips import LAST, ROLL, draw_piece, draw_strip
from sunsched.show.drawing.timeline import TimeAxis, local_hours, minutes_of, work_axis
from sunsched.show.paper_size import Shape, paper
from sunsched.show.pieces import plan_pieces
from sunsched.whatif.stress.stress import Stress

_MINUTE = timedelta(minutes=1)
SIZE_IN = (10.0, 5.0)  # width and height of a new figure
MOST_TICKS = 12
STRIP_SHARE = 0.62  # the strip's share of a row
WINDOW_SHARE = 0.04  # height of a window under the light, which is 1 high


def draw_day(plan: Plan, axes: Axes | None = None) -> Axes:
    """Draw a plan: time across, a row a shot, its light in greys, what is done for it over that.

    Time runs from an hour before the call to half an hour past the hard wrap.

    Parameters
    ----------
    plan : Plan
        The plan; what it leaves out stands in rows of its own below.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x in minutes of the day's sun track, ticks on the local clock; y counts rows.

    Examples
    --------
    >>> import sunsched
    >>> plan = sunsched.make_plan(sunsched.example_day())
    >>> axes = sunsched.draw_day(plan)
    >>> [label.get_text()[:1] for label in axes.get_yticklabels()] == [
    ...     one.shot.id for one in plan.shots
    ... ]
    True
    """
    axes = given_axes(axes)
    fit = fit_checked(plan.day)
    axis = _clocked(axes, fit)
    shots = [*(one.shot for one in plan.shots), *(one.shot for one in plan.left_out)]
    rows = {shot.id: float(row) for row, shot in enumerate(shots)}
    for shot in shots:
        draw_strip(
            axes, axis, fit.shots[shot.id].fit, rows[shot.id], STRIP_SHARE, f"light {shot.id}"
        )
    for piece in plan_pieces(plan):
        draw_piece(axes, fit, piece, rows[piece.shot_id], STRIP_SHARE, ROLL_SHARE)
    for one in plan.shots:
        if one.last_start is not None:
            last = minutes_of(fit, one.last_start)
            axes.plot([last], [rows[one.shot.id]], zorder=6, label=f"last {one.shot.id}", **LAST)
    if plan.meal is not None:
        start, end = minutes_of(fit, plan.meal.start), minutes_of(fit, plan.meal.end)
        axes.axvspan(start, end, zorder=0.3, label="meal", **MEAL)
    name_rows(axes, [f"{shot.id}  {shot.description}" for shot in shots])
    axes.set_title(lettering(f"{plan.day.title}, {plan.day.date}"))
    return axes


def draw_shot(
    fit: DayFit, shot_id: str, plan: Plan | None = None, axes: Axes | None = None
) -> Axes:
    """Draw one shot's light through the day, the windows of its sun, and its roll in a plan.

    Parameters
    ----------
    fit : DayFit
        The day's sun and light, of `fit_day`.
    shot_id : str
        The shot.
    plan : Plan, optional
        A plan of the day.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x in minutes of the sun track, ticks on the local clock; y is light, 0 to 1.

    Raises
    ------
    KeyError
        For a shot that the day does not have.

    Examples
    --------
    >>> import sunsched
    >>> fit = sunsched.fit_day(sunsched.example_day())
    >>> sunsched.draw_shot(fit, "1").get_ylabel()
    'light'
    """
    own = fit.shots[shot_id]
    axes = given_axes(axes)
    axis = _clocked(axes, fit)
    minutes = range(axis.first, axis.last + 1)
    axes.axhspan(0.0, 1.0, label="lost", zorder=0.4, **GROUND)
    ends = (axis.first, axis.last - axis.first)
    axes.broken_barh([ends], (-2 * WINDOW_SHARE, WINDOW_SHARE), label="no window", **NO_WINDOW)
    axes.fill_between(minutes, own.fit[axis.first : axis.last + 1], label="light", **AREA)
    axes.axhline(HALF, label="half light", **HALF_LINE)
    (found,) = windows(replace(fit, shots={shot_id: own}))
    bars = [(minutes_of(fit, one.start), (one.end - one.start) / _MINUTE) for one in found.spans]
    axes.broken_barh(bars, (-2 * WINDOW_SHARE, WINDOW_SHARE), label="window", **WINDOW)
    for one in plan.shots if plan is not None else ():
        if one.shot.id == shot_id:
            start, end = minutes_of(fit, one.roll_start), minutes_of(fit, one.roll_end)
            axes.axvspan(start, end, label="roll", zorder=4, **ROLL)
    axes.set_ylim(-3 * WINDOW_SHARE, 1.0)
    axes.set_ylabel("light")
    axes.set_title(lettering(f"{shot_id}  {own.shot.description}"))
    return axes


def draw_sun(fit: DayFit, spot: str, plan: Plan | None = None, axes: Axes | None = None) -> Axes:
    """Draw the sun over the compass at a spot: north up, the zenith in the middle.

    Parameters
    ----------
    fit : DayFit
        The day's sun and light, of `fit_day`.
    spot : str
        The name of the spot, whose skyline is drawn.
    plan : Plan, optional
        A plan of the day, for the looks of its shots at the spot and their suns at mid-roll.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given. Words keep clear of each other at the size that the
        axes have now, so lay out the figure before.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x and y in inches from the zenith, x to the east.

    Raises
    ------
    StopIteration
        For a spot that the day does not have.

    Examples
    --------
    >>> import sunsched
    >>> fit = sunsched.fit_day(sunsched.example_day())
    >>> axes = sunsched.draw_sun(fit, "pans")
    >>> {"path", "hour 12:00"} <= {line.get_label() for line in axes.lines}
    True
    """
    axes = given_axes(axes, (SIZE_IN[1], SIZE_IN[1]))
    shots = [one for one in plan.shots if one.shot.spot == spot] if plan is not None else []
    window, dots = axes.get_window_extent(), axes.figure.dpi
    sky_in = min(window.width, window.height) / dots
    draw_sky(axes, sky_in, fit, spot, shots, paper(Shape.A4))
    axes.set_aspect("equal")
    axes.set_axis_off()
    return axes


def draw_stress(found: Stress, axes: Axes | None = None) -> Axes:
    """Draw an order under overruns: a row a shot, its planned roll and its drawn starts.

    Parameters
    ----------
    found : Stress
        The order on its drawn days, of `stress`.
    axes : matplotlib.axes.Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    matplotlib.axes.Axes
        The axes: x in minutes of the sun track, ticks on the local clock; y counts rows.

    Examples
    --------
    >>> import sunsched
    >>> plan = sunsched.make_plan(sunsched.example_day())
    >>> found = sunsched.stress(sunsched.fit_day(plan.day), plan.timetable, days=200)
    >>> len(sunsched.draw_stress(found).get_yticks()) == len(plan.shots)
    True
    """
    axes = given_axes(axes)
    axis = _clocked(axes, found.fit)
    for number, row in enumerate(found.shots):
        draw_row(axes, axis, row, float(number), STRIP_SHARE)
    name_rows(axes, [f"{one.shot.id}  {one.shot.description}" for one in found.shots])
    axes.set_title(lettering(f"{found.fit.day.title}: {found.days} drawn days"))
    return axes


def given_axes(axes: Axes | None, size_in: tuple[float, float] = SIZE_IN) -> Axes:
    """Give the caller's axes, or new ones on a figure of their own."""
    return Figure(figsize=size_in, layout="constrained").add_subplot() if axes is None else axes


def _clocked(axes: Axes, fit: DayFit) -> TimeAxis:
    """Let the axes run through the day's work, with full hours of the local clock."""
    axis = work_axis(fit, 0.0, 1.0)
    hours = local_hours(axis)
    step = -(-len(hours) // MOST_TICKS)
    axes.set_xlim(axis.first, axis.last)
    axes.set_xticks([minute for minute, _ in hours[::step]])
    axes.set_xticklabels([f"{local:%H:%M}" for _, local in hours[::step]])
    return axis


def name_rows(axes: Axes, names: Sequence[str], middle: float = 0.0) -> None:
    """Name rows that are 1 high, the first on top; `middle` is where the middle of a row stands."""
    axes.set_yticks([row + middle for row in range(len(names))])
    axes.set_yticklabels([lettering(name) for name in names], parse_math=False)
    axes.set_ylim(len(names) - 0.5 + middle, middle - 0.5)
