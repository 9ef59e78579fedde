"""Time across a picture: the hours of the local clock, and flags at moments that need a name.

Across, every picture counts minutes of the fit's track, so that `DayFit.time_of` turns a place on
the axis into a moment.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.transforms import Affine2D

from sunsched.light.fit import DayFit, fit_checked
from sunsched.show.drawing.figure import Stage, Style, add_axes, write
from sunsched.show.drawing.lettering import FAINT, LINE, POINT_IN, Words, width_in
from sunsched.sky.track import FloatArray

_HOUR_STEPS = (1, 2, 3, 4, 6, 12)
TOLERANCE = 0.004  # how far a drawn curve may be off, so that it needs few corners: 0.2 mm on paper
BEFORE_CALL, AFTER_WRAP = timedelta(hours=1), timedelta(minutes=30)
_APART_IN = 0.06  # between two letterings on one line


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A moment to be named over a time axis."""

    minute: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedFlag:
    """A flag beside its staff: where its lettering stands, and in which lane; 0 is the lowest."""

    flag: Flag
    lane: int
    staff_in: float
    left_in: float
    right_in: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeAxis:
    """The minutes of the track that are shown, and where they stand on the page."""

    fit: DayFit
    first: int
    last: int
    left_in: float
    wide_in: float

    @property
    def right_in(self) -> float:
        """Right end on the page."""
        return self.left_in + self.wide_in

    def x_in(self, minute: float) -> float:
        """Give the place of a minute on the page."""
        return self.left_in + self.wide_in * (minute - self.first) / (self.last - self.first)

    def shows(self, minute: float) -> bool:
        """Tell whether a minute is on the picture."""
        return self.first <= minute <= self.last


def minutes_of(fit: DayFit, when: datetime) -> float:
    """Give a moment in minutes of the track, to the second."""
    return (when - fit.track.start) / timedelta(minutes=1)


def reaching(fit: DayFit) -> DayFit:
    """Give a fit whose track has the whole of `work_axis`; minutes are those of its own track."""
    hours = fit.day.hours
    call, hard_wrap = hours.crew_call - BEFORE_CALL, hours.hard_wrap + AFTER_WRAP
    if minutes_of(fit, call) >= 0 and minutes_of(fit, hard_wrap) <= len(fit.track) - 1:
        return fit
    longer = replace(fit.day, hours=replace(hours, crew_call=call, hard_wrap=hard_wrap))
    return replace(fit_checked(longer), day=fit.day)


def work_axis(fit: DayFit, left_in: float, wide_in: float) -> TimeAxis:
    """Show from an hour before the call to half an hour past the hard wrap."""
    hours = fit.day.hours
    return TimeAxis(
        fit=fit,
        first=max(0, fit.minute_of(hours.crew_call - BEFORE_CALL)),
        last=min(len(fit.track) - 1, fit.minute_of(hours.hard_wrap + AFTER_WRAP)),
        left_in=left_in,
        wide_in=wide_in,
    )


def local_hours(axis: TimeAxis) -> list[tuple[int, datetime]]:
    """List the minutes at which the local clock stands on a full hour, with their local time."""
    zone = axis.fit.day.place.zone
    found: list[tuple[int, datetime]] = []
    minute = axis.first
    while minute <= axis.last:
        local = axis.fit.time_of(minute).astimezone(zone)
        if local.minute == 0:
            found.append((minute, local))
        # Clocks are changed by quarters of an hour, at a full quarter.
        minute += 15 - local.minute % 15
    return found


def hour_labels(axis: TimeAxis, size_pt: float) -> list[tuple[int, str]]:
    """Give the full hours that are named, as many as fit side by side within the axis."""
    wide = width_in("00:00", size_pt) + _APART_IN
    hour_in = 60.0 * axis.wide_in / (axis.last - axis.first)
    step = next((step for step in _HOUR_STEPS if step * hour_in >= wide), _HOUR_STEPS[-1])
    named: list[tuple[int, str]] = []
    free_from = axis.left_in
    for minute, local in local_hours(axis):
        left = axis.x_in(minute) - wide / 2
        if local.hour % step == 0 and left >= free_from and left + wide <= axis.right_in:
            named.append((minute, f"{local:%H:%M}"))
            free_from = left + wide
    return named


def clock_flags(axis: TimeAxis) -> Iterator[Flag]:
    """Name midnight and the change of the clocks, where the picture shows them."""
    hours = local_hours(axis)
    for (_, before), (minute, local) in pairwise(hours):
        if local.date() != before.date():
            yield Flag(minute=minute, text=f"{local:%A}")
        later = _offset(local) - _offset(before)
        if later:
            way = "forward" if later > timedelta() else "back"
            yield Flag(minute=minute, text=f"clocks go {way}")


def _offset(local: datetime) -> timedelta:
    return local.utcoffset() or timedelta()


def place_flags(flags: Iterable[Flag], axis: TimeAxis, size_pt: float) -> list[PlacedFlag]:
    """Stack flags in lanes so that no lettering meets another, nor the staff of one above it."""
    middle = (axis.left_in + axis.right_in) / 2
    seen = [flag for flag in flags if axis.shows(flag.minute)]
    # From the middle outwards, so that the outer flags stand higher, clear of the inner ones.
    seen.sort(key=lambda flag: abs(axis.x_in(flag.minute) - middle))
    placed: list[PlacedFlag] = []
    for number, flag in enumerate(seen):
        choices = list(_choices(flag, axis, size_pt, lanes=len(seen) + 1))
        # A flag yet to come may have to stand higher, so its staff is left free.
        coming = [axis.x_in(later.minute) for later in seen[number + 1 :]]
        free = (
            one
            for one in choices
            if not any(_meet(one, other) for other in placed)
            and not any(one.left_in < staff < one.right_in for staff in coming)
        )
        # Past all lanes nothing is met but staffs, which pass behind the letters.
        placed.append(next(free, replace(choices[0], lane=len(seen) + len(placed))))
    return placed


def _choices(flag: Flag, axis: TimeAxis, size_pt: float, lanes: int) -> Iterator[PlacedFlag]:
    staff = axis.x_in(flag.minute)
    wide = width_in(flag.text, size_pt) + _APART_IN
    outwards = [staff, staff - wide]
    if staff >= (axis.left_in + axis.right_in) / 2:
        outwards.reverse()
    inside = [left for left in outwards if axis.left_in <= left and left + wide <= axis.right_in]
    for lane in range(lanes):
        for left in inside or [min(max(staff, axis.left_in), axis.right_in - wide)]:
            yield PlacedFlag(
                flag=flag, lane=lane, staff_in=staff, left_in=left, right_in=left + wide
            )


def _meet(one: PlacedFlag, other: PlacedFlag) -> bool:
    if one.lane == other.lane:
        return one.left_in < other.right_in and other.left_in < one.right_in
    low, high = sorted((one, other), key=lambda flag: flag.lane)
    return low.left_in < high.staff_in < low.right_in


def draw_flags(
    figure: Figure, placed: Sequence[PlacedFlag], foot_in: float, size_pt: float
) -> None:
    """Write flags over a line of the page, each on a staff that stands on it."""
    lane_in = LINE * size_pt * POINT_IN
    for one in placed:
        middle = foot_in - (one.lane + 0.5) * lane_in
        write(
            figure,
            one.left_in + _APART_IN / 2,
            middle,
            Words(text=one.flag.text, size_pt=size_pt),
        )
        height = figure.get_figheight()
        figure.add_artist(
            Line2D(
                [one.staff_in, one.staff_in],
                [height - middle - lane_in / 2, height - foot_in],
                transform=figure.dpi_scale_trans,
                color="0.45",
                linewidth=0.7,
            )
        )


def flags_height_in(placed: Sequence[PlacedFlag], size_pt: float) -> float:
    """Give the height that all lanes of flags take."""
    return (1 + max((one.lane for one in placed), default=-1)) * LINE * size_pt * POINT_IN


def draw_hours(figure: Figure, axis: TimeAxis, middle_in: float, size_pt: float) -> None:
    """Write the hours of the local clock across the page, at this height."""
    for minute, text in hour_labels(axis, size_pt):
        words = Words(text=text, size_pt=size_pt, color=FAINT)
        write(figure, axis.x_in(minute), middle_in, words, align="center")


def draw_uprights(
    axes: Axes | Stage,
    minutes: Sequence[float],
    spans: Sequence[tuple[float, float]],
    label: str,
    look: Style,
) -> None:
    """Draw a line at each of these minutes, in these spans of the axes' height, as one artist."""
    x = [place for minute in minutes for _ in spans for place in (minute, minute, np.nan)]
    y = [place for _ in minutes for low, high in spans for place in (low, high, np.nan)]
    axes.plot(x, y, label=label, **look)


def time_axes(figure: Figure, axis: TimeAxis, top_in: float, high_in: float) -> Axes:
    """Add axes whose x counts minutes of the track."""
    axes = add_axes(figure, axis.left_in, top_in, axis.wide_in, high_in)
    axes.set_xlim(axis.first, axis.last)
    return axes


def time_stage(figure: Figure, axis: TimeAxis, top_in: float) -> Stage:
    """Give a stage whose x counts minutes of the track, and y inches from this height down."""
    inches = Affine2D().translate(-axis.first, 0.0)
    inches.scale(axis.wide_in / (axis.last - axis.first), -1.0)
    inches.translate(axis.left_in, figure.get_figheight() - top_in)
    return Stage(figure=figure, units=inches + figure.dpi_scale_trans)


def corners(values: FloatArray, axis: TimeAxis) -> list[int]:
    """Give the minutes between which a curve is straight, to within a tolerance.

    The usual way: the chord's farthest minute parts it in two (D. Douglas and T. Peucker,
    Cartographica 10:112-122, 1973), here by the vertical distance.
    """
    kept = {axis.first, axis.last}
    open_chords = [(axis.first, axis.last)]
    while open_chords:
        first, last = open_chords.pop()
        chord = np.linspace(values[first], values[last], last - first + 1)
        off = np.abs(values[first : last + 1] - chord)
        farthest = first + int(off.argmax())
        if off.max() > TOLERANCE:
            kept.add(farthest)
            open_chords += [(first, farthest), (farthest, last)]
    return sorted(kept)
