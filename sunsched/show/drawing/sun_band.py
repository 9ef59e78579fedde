"""The sun's height through the day, and the moments that it passes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.model import Place
from sunsched.show.drawing.figure import RULE, Style, write
from sunsched.show.drawing.lettering import FAINT, Words, width_in
from sunsched.show.drawing.timeline import Flag, TimeAxis, minutes_of
from sunsched.show.paper_size import Paper
from sunsched.sky.events import SunEvents, sun_events

SUN: Style = {"color": "black", "linewidth": 1.5}
SUN_AWAY_IN = 0.04  # between the sun's curve and a word
SUN_EVENT: Style = {"color": "0.25", "linewidth": 0.7, "linestyle": (0, (1, 2))}


@lru_cache(8)
def _events(place: Place, on: date) -> SunEvents:
    """Keep the events of a date: a page is laid out many times over before it fits."""
    return sun_events(place, on)


def sun_flags(axis: TimeAxis) -> Iterator[Flag]:
    """Name the moments of the sun that happen on the day, and those of the nights around it.

    Those of the day come wherever they are, the others where the axis reaches them.
    """
    day = axis.fit.day
    for apart in (-1, 0, 1):
        events = _events(day.place, day.date + timedelta(days=apart))
        for name, when in (
            ("civil dawn", events.civil_dawn),
            ("sunrise", events.sunrise),
            ("sun highest", events.solar_noon),
            ("sunset", events.sunset),
            ("civil dusk", events.civil_dusk),
        ):
            if when is None:
                continue
            minute = minutes_of(axis.fit, when)
            if apart == 0 or axis.shows(minute):
                yield Flag(minute=minute, text=f"{name} {clock(day, when)}")


def draw_sun(
    figure: Figure, axes: Axes, axis: TimeAxis, top_in: float, high_in: float, setting: Paper
) -> None:
    """Draw the sun's height over a level horizon."""
    track = axis.fit.track
    minutes = np.arange(axis.first, axis.last + 1, 2)
    height = track.apparent_elevation_deg[minutes]
    ceiling = max(20.0, float(height.max()) * 1.08)
    floor = -6.0
    axes.set_ylim(floor, ceiling)
    axes.axhspan(floor, 0.0, color="0.86", linewidth=0.0, zorder=0.4)
    axes.plot(minutes, height, zorder=3, label="sun", **SUN)
    step = 30 if ceiling > 45 else 10
    for degrees in range(0, int(ceiling), step):
        axes.axhline(degrees, color=RULE, linewidth=0.4, zorder=0.6)
        middle = top_in + high_in * (ceiling - degrees) / (ceiling - floor)
        words = Words(text=f"{degrees}°", size_pt=setting.small_pt, color=FAINT)
        if setting.height_in is not None:
            write(figure, axis.left_in - 0.05, middle, words, align="right")
            continue
        # Over its line, unless that is so near the top that it would stand in the flags; at the
        # end where the sun is not.
        middle -= words.height_in / 2
        lowest = degrees - SUN_AWAY_IN * (ceiling - floor) / high_in
        highest = degrees + (words.height_in + SUN_AWAY_IN) * (ceiling - floor) / high_in
        wide = round(len(minutes) * (width_in(words.text, words.size_pt) + 0.1) / axis.wide_in)
        is_free = [
            not ((lowest < ends) & (ends < highest)).any()
            for ends in (height[:wide], height[-wide:])
        ]
        if middle - words.height_in / 2 < top_in or not any(is_free):
            continue
        back = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}
        at, align = (axis.left_in + 0.03, "left") if is_free[0] else (axis.right_in - 0.03, "right")
        write(figure, at, middle, words, align=align, bbox=back)
