"""The picture of calls: the points that each of them wins on the average day, and when it ends."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.charts.prices.curve import POINTS, Curve, CurvePoint, Mark, curve_page
from sunsched.show.charts.prices.words import ON_AVERAGE
from sunsched.show.drawing.figure import Style
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.paper_size import Shape
from sunsched.whatif.price_average.call import CallPoint

OWN: Style = {"color": "0.25", "linewidth": 1.0}
MOST: Style = {"color": "0.25", "linewidth": 1.0, "linestyle": (0, (1.0, 2.0))}
LEVELS = 6  # about so many values stand at the left
ROUND = (1, 2, 2.5, 5, 10)  # what they are multiples of, times a power of ten


def call_figure(day: Day, found: Sequence[CallPoint], *, shape: Shape = Shape.A4) -> Figure:
    """Draw the points of the average day against the call; below each, when work ends."""
    return curve_page(calls_as_curve(day, found), shape)


def calls_as_curve(day: Day, found: Sequence[CallPoint]) -> Curve:
    """Give what each call wins as a curve."""
    marks = [Mark(name="the day's own call", at=day.hours.crew_call, look=OWN)]
    best = max(found, key=lambda one: one.kept.points, default=None)
    if best is not None and best.call != day.hours.crew_call:
        marks.append(Mark(name="most points at", at=best.call, look=MOST))
    return Curve(
        day=day,
        title=f"What an earlier or later call is worth{ON_AVERAGE}",
        name=f"points against call{ON_AVERAGE}",
        label="points",
        points=[
            CurvePoint(at=one.call, value=one.kept.points, below=_ends(day, one)) for one in found
        ],
        levels=_rounded([one.kept.points for one in found]),
        told=lambda points: f"{points:.0f}",
        marks=marks,
        key=[
            KeyEntry(label=f"points with all costs{ON_AVERAGE}, by the call", line=POINTS),
            *(KeyEntry(label=f"{one.name} {clock(day, one.at)}", line=one.look) for one in marks),
            KeyEntry(label="below each call: by when work has ended on half of the days"),
            KeyEntry(label="+5′ minutes past the wrap that are expected"),
        ],
    )


def _ends(day: Day, one: CallPoint) -> tuple[str, ...]:
    over = round(one.kept.overtime_min)
    return (clock(day, one.kept.stop)[:5], *((f"+{over}′",) if over else ()))


def _rounded(points: Sequence[float]) -> list[float]:
    """Give round figures around what a curve shows."""
    low, high = min(points, default=0.0), max(points, default=1.0)
    locator = MaxNLocator(nbins=LEVELS, steps=ROUND, integer=True, min_n_ticks=2)
    return [float(level) for level in locator.tick_values(low, max(high, low + 1.0))]
