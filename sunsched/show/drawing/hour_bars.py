"""Bars of hours over a day: the direct sun and the hours of each spot, and the hours of people."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from sunsched.day.model import Day, Span
from sunsched.light.fit import BoolArray, DayFit
from sunsched.show.drawing.figure import Style
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.drawing.strips import DARK, FRAME, HALF_EDGE, LIGHT, LOW_SHARE, draw_strip, runs
from sunsched.show.drawing.timeline import TimeAxis
from sunsched.sky.horizon import direct_share
from sunsched.sky.track import FloatArray

HERE: Style = {"facecolor": "white", "edgecolor": "black", "linewidth": 0.9}
AWAY: Style = {"color": "0.3", "linewidth": 0.8}


@dataclass(frozen=True, slots=True, kw_only=True)
class HourBar:
    """A bar through the day.

    `sun` is the share of the sun's disc that reaches a spot, None for people; `there` says when the
    spot is open or the person here, both by minute of the track.
    """

    name: str
    sun: FloatArray | None
    there: BoolArray


def hour_bars(fit: DayFit) -> list[HourBar]:
    """Give a bar for each spot, like ones in one, and for each of the cast who has hours."""
    groups: dict[tuple[bytes, tuple[Span, ...]], list[str]] = {}
    suns: dict[bytes, FloatArray] = {}
    used = {shot.spot for shot in fit.day.shots}
    for spot in fit.day.spots:
        if spot.name not in used:
            continue
        sun = direct_share(spot.horizon, fit.track)
        suns[sun.tobytes()] = sun
        groups.setdefault((sun.tobytes(), spot.open), []).append(spot.name)
    bars = [
        HourBar(name=f"sun at {', '.join(names)}", sun=suns[sun], there=_within(fit, spans))
        for (sun, spans), names in groups.items()
    ]
    return bars + [
        HourBar(name=f"{one.name} is here", sun=None, there=_within(fit, one.here))
        for one in fit.day.cast
        if one.here
    ]


def there_for(fit: DayFit, shot_id: str) -> BoolArray | None:
    """Mark the minutes at which a shot's spot is open and its cast here; None where all are."""
    day = fit.day
    shot = day.shot(shot_id)
    spans = [day.spot(shot.spot).open]
    spans += [one.here for one in day.cast if one.name in shot.cast]
    there = np.ones(len(fit.track), dtype=np.bool_)
    for some in spans:
        there &= _within(fit, some)
    return None if there.all() else there


def draw_bar(axes: Axes, axis: TimeAxis, bar: HourBar, middle: float, high: float) -> None:
    """Draw a bar: of a spot as a strip of its sun, of a person as boxes on a line."""
    if bar.sun is not None:
        draw_strip(axes, axis, bar.sun, middle, high, bar.name, bar.there)
        return
    axes.plot([axis.first, axis.last], [middle] * 2, label=f"away {bar.name}", zorder=1, **AWAY)
    for first, last in runs(bar.there, axis):
        corner = (first, middle - high / 2)
        box = Rectangle(corner, last - first, high, label=bar.name, zorder=1.2, **HERE)
        axes.add_artist(box)


def bars_key(day: Day, bars: Sequence[HourBar]) -> list[KeyEntry]:
    """Explain the bars, and why strips are low."""
    entries = [
        KeyEntry(label="direct sun", box=HALF_EDGE | {"facecolor": LIGHT}),
        KeyEntry(label="behind the skyline or down", box=FRAME | {"facecolor": DARK}),
    ]
    if any(not bar.there.all() for bar in bars):
        low = FRAME | {"facecolor": DARK}
        entries.append(KeyEntry(label="low: spot shut or cast away", box=low, share=LOW_SHARE))
    if any(one.here for one in day.cast):
        entries.append(KeyEntry(label="is here", box=HERE, share=0.7))
    return entries


def _within(fit: DayFit, spans: Sequence[Span]) -> BoolArray:
    """Mark the minutes in these spans; no spans mean the whole day."""
    marked = np.full(len(fit.track), not spans)
    for span in spans:
        first = max(0, fit.minute_of(span.start))
        marked[first : max(first, fit.minute_of(span.end))] = True
    return marked
