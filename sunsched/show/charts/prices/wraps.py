"""The picture of wraps: the light that each of them keeps."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.charts.prices.curve import POINTS, Curve, CurvePoint, Mark, curve_page
from sunsched.show.charts.prices.words import Wraps, curve_key_words, curve_words
from sunsched.show.drawing.figure import Style
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.paper_size import Shape

WRAP: Style = {"color": "0.25", "linewidth": 1.0}
HARD: Style = {"color": "0.25", "linewidth": 1.0, "linestyle": (0, (4.0, 2.0))}


def curve_figure(day: Day, found: Wraps, *, shape: Shape = Shape.A4) -> Figure:
    """Draw the light kept against the wrap, with the day's own wraps and each shot that falls."""
    return curve_page(wraps_as_curve(day, found), shape)


def wraps_as_curve(day: Day, found: Wraps) -> Curve:
    """Give what each wrap keeps as a curve."""
    hours = day.hours
    marks = [Mark(name="wrap", at=hours.wrap, look=WRAP)]
    if hours.hard_wrap > hours.wrap:
        marks.append(Mark(name="hard wrap", at=hours.hard_wrap, look=HARD))
    label, over = curve_key_words(found)
    return Curve(
        day=day,
        title=curve_words(found, "What an earlier or later wrap keeps"),
        name=curve_words(found, "light against wrap"),
        label="light kept",
        points=[
            CurvePoint(
                at=point.wrap,
                value=point.light_kept,
                below=(f"+{point.overtime_min}′",) if point.overtime_min else (),
            )
            for point in found
        ],
        levels=_tenths([point.light_kept for point in found]),
        told=lambda share: f"{share:.0%}",
        marks=marks,
        key=[
            KeyEntry(label=label, line=POINTS),
            *(KeyEntry(label=f"{one.name} {clock(day, one.at)}", line=one.look) for one in marks),
            KeyEntry(label=over),
        ],
    )


def _tenths(shares: Sequence[float]) -> list[float]:
    """Give full tenths around what a curve shows."""
    low = int(min(shares, default=0.0) * 10.0)
    high = max(low + 1, int(-(-max(shares, default=1.0) * 10.0 // 1)))
    return [tenth / 10.0 for tenth in range(low, high + 1)]
