"""Where all of the day's picture stands, in letters as large as the page has room for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from sunsched.light.fit import DayFit
from sunsched.plan.plan import Plan
from sunsched.show.charts.day_rows import (
    SHEET_LINE,
    Columns,
    Row,
    measure_columns,
    phone_lines,
    row_lines,
    why_lines,
)
from sunsched.show.charts.day_words import (
    LIKELY_SHARE,
    ROLL_SHARE,
    beyond_words,
    day_key,
    verdict_words,
    work_flags,
)
from sunsched.show.drawing.figure import heading
from sunsched.show.drawing.hour_bars import HourBar, hour_bars
from sunsched.show.drawing.key import KeyEntry, key_height_in, key_rows
from sunsched.show.drawing.lettering import LINE, POINT_IN, Words
from sunsched.show.drawing.sun_band import sun_flags
from sunsched.show.drawing.timeline import (
    PlacedFlag,
    TimeAxis,
    clock_flags,
    flags_height_in,
    place_flags,
    work_axis,
)
from sunsched.show.paper_size import Paper, Shape, paper

# Letters of the rows and most lines of a description, best first: lying, then upright.
SIZES = (
    *((False, size, lines) for size in (8.5, 8.0, 7.5) for lines in (2, 1)),
    *((True, size, lines) for size in (8.5, 8.0, 7.5, 7.0, 6.5) for lines in (2, 1)),
)
BAND_IN = {Shape.A4: 0.95, Shape.LETTER: 0.95, Shape.PHONE: 1.0}
PHONE_STRIP_IN, PHONE_BAR_IN = 0.2, 0.11
MOST_PAD_IN = 0.14  # between two rows


@dataclass(frozen=True, slots=True, kw_only=True)
class RowPlace:
    """Where a row stands, inches down from the first: its words, its strip and what is below.

    `lane_in` is the middle of the band of likely starts, `below_in` the top of the words under the
    strip; lines through the whole picture are drawn from `open_in[0]` to `open_in[1]`.
    """

    row: Row
    top_in: float
    high_in: float
    strip_in: float
    strip_high_in: float
    lane_in: float
    below_in: float
    open_in: tuple[float, float]
    over: tuple[tuple[Words, ...], ...] = ()  # on a phone, the lines over the strip
    below: tuple[Words, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where everything stands, inches down from the top of the page."""

    setting: Paper
    size_pt: float
    lines: int
    columns: Columns | None
    axis: TimeAxis
    head: list[Words]
    sky: list[PlacedFlag]
    work: list[PlacedFlag]
    bars: list[HourBar]
    key: list[list[KeyEntry]]
    places: list[RowPlace]
    band_in: float
    band_top_in: float
    bar_in: float
    bars_top_in: float
    rows_top_in: float
    key_top_in: float
    high_in: float

    @property
    def hours_in(self) -> float:
        """Height of a line of small letters."""
        return LINE * self.setting.small_pt * POINT_IN

    @property
    def rows_in(self) -> float:
        """Height of all rows."""
        return sum(place.high_in for place in self.places)


def lay_out(
    fit: DayFit,
    plan: Plan,
    rows: Sequence[Row],
    now: datetime | None,
    shape: Shape,
    *,
    is_bare: bool = False,
) -> Layout:
    """Set rows of a day in the largest letters that a page has room for; else the page grows."""
    if shape is Shape.PHONE:
        setting = paper(shape)
        return _laid_out(fit, plan, rows, now, setting, shape, setting.text_pt, 1, is_bare=is_bare)
    for is_upright, size, lines in SIZES[:-1]:
        setting = paper(shape, upright=is_upright)
        found = _laid_out(fit, plan, rows, now, setting, shape, size, lines)
        if setting.height_in is not None and found.high_in <= setting.height_in:
            return found
    is_upright, size, lines = SIZES[-1]
    setting = paper(shape, upright=is_upright)
    return _laid_out(fit, plan, rows, now, setting, shape, size, lines)


def _laid_out(
    fit: DayFit,
    plan: Plan,
    rows: Sequence[Row],
    now: datetime | None,
    setting: Paper,
    shape: Shape,
    size: float,
    lines: int,
    *,
    is_bare: bool = False,
) -> Layout:
    columns = None if shape is Shape.PHONE else measure_columns(rows, setting, size)
    left = setting.margin_in + (columns.left_in if columns else 0.0)
    right = setting.margin_in + (columns.right_in if columns else 0.0)
    axis = work_axis(fit, left, setting.width_in - left - right)
    bars = hour_bars(fit)
    flags = [*sun_flags(axis), *clock_flags(axis)]
    head = [*beyond_words(plan, axis, flags, now, setting)]
    if not is_bare:
        head = [*heading(fit.day, setting), *verdict_words(plan, setting), *head]
    sky = place_flags(flags, axis, setting.small_pt)
    work = place_flags(work_flags(plan, axis, now), axis, setting.small_pt)
    key = key_rows(day_key(fit, plan, axis, bars, now), setting)
    line_in = LINE * setting.small_pt * POINT_IN
    band_top = (
        setting.margin_in
        + sum(one.height_in for one in head)
        + 0.06
        + flags_height_in(sky, setting.small_pt)
    )
    bars_top = band_top + BAND_IN[shape] + line_in + 0.03
    bar_in = line_in if columns else line_in + PHONE_BAR_IN + 0.06
    rows_top = bars_top + bar_in * len(bars) + flags_height_in(work, setting.small_pt) + 0.06
    foot = line_in + 0.08 + key_height_in(key, setting) + setting.margin_in
    places = [*_places(rows, columns, axis, setting, size, lines, plan)]
    high = rows_top + sum(place.high_in for place in places) + foot
    if setting.height_in is not None and high < setting.height_in and places:
        pad = min(MOST_PAD_IN, (setting.height_in - high) / len(places))
        places = [*_places(rows, columns, axis, setting, size, lines, plan, pad)]
    bottom = rows_top + sum(place.high_in for place in places)
    return Layout(
        setting=setting,
        size_pt=size,
        lines=lines,
        columns=columns,
        axis=axis,
        head=head,
        sky=sky,
        work=work,
        bars=bars,
        key=key,
        places=places,
        band_in=BAND_IN[shape],
        band_top_in=band_top,
        bar_in=bar_in,
        bars_top_in=bars_top,
        rows_top_in=rows_top,
        key_top_in=bottom + line_in + 0.08,
        high_in=bottom + foot,
    )


def _places(
    rows: Sequence[Row],
    columns: Columns | None,
    axis: TimeAxis,
    setting: Paper,
    size: float,
    lines: int,
    plan: Plan,
    pad: float = 0.0,
) -> Iterator[RowPlace]:
    top, line_in = 0.0, (LINE if columns is None else SHEET_LINE) * size * POINT_IN
    for row in rows:
        below: list[Words] = []
        over: list[list[Words]] = []
        if columns is None:
            over = phone_lines(row, setting, has_spots=len(plan.day.spots) > 1)
            strip_high, gap = PHONE_STRIP_IN, line_in * len(over) + 0.03
            below = why_lines(row, setting.room_in, setting, size)
            after = 0.1 + line_in * len(below)
        else:
            strip_high, gap, after = 1.15 * line_in, 0.015, 0.0
            below = why_lines(row, axis.wide_in, setting, size)
        reach = strip_high * ROLL_SHARE / 2
        strip = top + gap + reach
        lane = strip + reach + 0.02 + strip_high * LIKELY_SHARE / 2
        # A shot that is left out on the likely day may be made on others.
        is_likely = row.planned is not None or row.made
        lowest = strip + reach
        if plan.outlook is not None and is_likely:
            lowest = lane + strip_high * LIKELY_SHARE / 2
        if row.shot is None:
            high = line_in
        elif columns is None:
            high = lowest + 0.02 + after - top
        else:
            ids, what = row_lines(row, columns, size, lines)
            high = max(line_in * max(2, len(ids) + len(what)), lowest - top) + 0.02
            if below:
                high = max(high, lowest + line_in - top)
        yield RowPlace(
            row=row,
            top_in=top,
            high_in=high + pad,
            strip_in=strip,
            strip_high_in=strip_high,
            lane_in=lane,
            below_in=lowest,
            open_in=_open_in(row, columns, top, high + pad, strip - reach, lowest, bool(below)),
            over=tuple(tuple(line) for line in over),
            below=tuple(below),
        )
        top += high + pad


def _open_in(
    row: Row,
    columns: Columns | None,
    top: float,
    high: float,
    highest: float,
    lowest: float,
    has_words_below: bool,
) -> tuple[float, float]:
    """Give where lines may stand: all along a sheet, but not through words under or over strips."""
    if columns is None and row.shot is None:
        return top, top
    first = highest if columns is None else top
    return first, lowest if columns is None or has_words_below else top + high
