"""Pictures of prices: every shot at every half-hour as a grid, and light against the wrap."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.charts.price_words import (
    Wraps,
    curve_key_words,
    curve_words,
    table_key_words,
    table_note,
    table_words,
)
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
from sunsched.show.drawing.lettering import (
    FAINT,
    LINE,
    POINT_IN,
    Words,
    cut,
    width_in,
    wrapped_words,
)
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.text.past import past_texts
from sunsched.show.text.price import FIGURED, cell_text
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row

# Highest share of all weights of each shade and its grey; dark is expensive. Figures stand in the
# cells, so that nothing is told by its shade alone.
SHADES = ((0.0005, "1.0"), (0.01, "0.93"), (0.03, "0.85"), (0.06, "0.76"), (9.0, "0.66"))
SHADE_LABELS = ("nothing", "up to 1%", "up to 3%", "up to 6%", "more")
FRAME: Style = {"edgecolor": "0.45", "linewidth": 0.4}
WORSE: Style = {"facecolor": "0.5", **FRAME}
SHUT: Style = {"facecolor": "white", "hatch": "//////", "edgecolor": "0.6", "linewidth": 0.4}
PLAN: Style = {"color": DARK_BLUE, "linewidth": 2.6, "solid_capstyle": "butt"}
LIGHT: Style = {"color": DARK_BLUE, "linewidth": 2.0, "marker": "o", "markersize": 3.5}
WRAP: Style = {"color": "0.25", "linewidth": 1.0}
HARD: Style = {"color": "0.25", "linewidth": 1.0, "linestyle": (0, (4.0, 2.0))}
LEAST_ROW_IN, MOST_ROW_IN = 0.13, 0.34
PHONE_ROW_IN = 0.22
NAME_SHARE = 0.2  # share of the page's width that the names of the shots take
CURVE_IN = 3.6


def table_figure(found: PriceTable, *, shape: Shape = Shape.A4) -> Figure:
    """Draw every shot at every half-hour: time across, a row a shot, dark where it costs much."""
    with house_style():
        setting = paper(shape)
        title = table_words(found, "What it costs to roll a shot then")
        head = [*heading(found.day, setting, title)]
        head += _past_words(found.day, setting)
        head += wrapped_words(table_note(found), setting.room_in, setting.text_pt)
        key = key_rows(_table_key(found), setting)
        blocks = _blocks(found, setting)
        clock_in = LINE * setting.small_pt * POINT_IN
        top = setting.margin_in + sum(line.height_in for line in head) + 0.1
        foot = 0.1 + key_height_in(key, setting) + setting.margin_in
        taken = top + foot + len(blocks) * (clock_in + 0.08)
        row_in = PHONE_ROW_IN
        if setting.height_in is not None:
            room = (setting.height_in - taken) / max(1, len(found.rows) * len(blocks))
            row_in = min(MOST_ROW_IN, max(LEAST_ROW_IN, room))
        high = taken + row_in * len(found.rows) * len(blocks)
        figure = new_figure(setting, high, f"{found.day.title}: {title[0].lower()}{title[1:]}")
        write_lines(figure, setting.margin_in, setting.margin_in, head)
        for first, last in blocks:
            _draw_block(figure, found, (first, last), top, row_in, setting)
            top += clock_in + row_in * len(found.rows) + 0.08
        draw_key(figure, top + 0.02, key, setting)
    return figure


def curve_figure(day: Day, found: Wraps, *, shape: Shape = Shape.A4) -> Figure:
    """Draw the light kept against the wrap, with the day's own wraps and each shot that falls."""
    with house_style():
        setting = paper(shape)
        head = [*heading(day, setting, curve_words(found, "What an earlier or later wrap keeps"))]
        head += _past_words(day, setting)
        key = key_rows(_curve_key(day, found), setting)
        line_in = LINE * setting.small_pt * POINT_IN
        left = setting.margin_in + width_in("100%", setting.small_pt) + 0.1
        wide = setting.width_in - left - setting.margin_in - 0.15
        top = setting.margin_in + sum(line.height_in for line in head) + 0.15
        foot = 2.5 * line_in + 0.1 + key_height_in(key, setting) + setting.margin_in
        high = CURVE_IN if setting.height_in is None else setting.height_in - top - foot
        name = curve_words(found, "light against wrap")
        figure = new_figure(setting, top + high + foot, f"{day.title}: {name}")
        write_lines(figure, setting.margin_in, setting.margin_in, head)
        axes = add_axes(figure, left, top, wide, high)
        if found:
            draw_curve(axes, day, found)
            _write_scales(figure, axes, day, found, (left, top, wide, high), setting)
        draw_key(figure, top + high + 2.5 * line_in + 0.1, key, setting)
    return figure


def _past_words(day: Day, setting: Paper) -> Iterator[Words]:
    """Say how far a day under way has come."""
    for text in past_texts(day):
        yield from wrapped_words(text, setting.room_in, setting.text_pt)


def shade(points: int, whole: int) -> str:
    """Give the grey of a price."""
    share = points / max(1, whole)
    return next(grey for highest, grey in SHADES if share <= highest or highest > 1.0)


def _blocks(found: PriceTable, setting: Paper) -> list[tuple[int, int]]:
    """Cut the times into as few blocks as leave a cell room for its figure."""
    count = len(found.times)
    wide = setting.room_in * (1.0 - NAME_SHARE)
    least = width_in("≤88.8", setting.small_pt) + 0.04
    per = max(1, int(wide / least))
    number = -(-count // per) if count else 0
    size = -(-count // max(1, number))
    return [(first, min(count, first + size)) for first in range(0, count, max(1, size))]


def _draw_block(
    figure: Figure,
    found: PriceTable,
    span: tuple[int, int],
    top: float,
    row_in: float,
    setting: Paper,
) -> None:
    first, last = span
    day, small = found.day, setting.small_pt
    names = setting.room_in * NAME_SHARE
    left, wide = setting.margin_in + names, setting.room_in - names
    clock_in = LINE * small * POINT_IN
    cell_in = wide / (last - first)
    step = 1 if width_in("00:00", small) + 0.04 <= cell_in else 2
    for place in range(first, last, step):
        words = Words(text=clock(day, found.times[place])[:5], size_pt=small, color=FAINT)
        middle = left + (place - first + 0.5) * cell_in
        write(figure, middle, top + clock_in / 2, words, align="center")
    axes = add_axes(figure, left, top + clock_in, wide, row_in * len(found.rows))
    axes.set_xlim(first, last)
    axes.set_ylim(len(found.rows), 0)
    for number, row in enumerate(found.rows):
        shot = day.shot(row.shot_id)
        middle_in = top + clock_in + (number + 0.5) * row_in
        text = cut(f"{shot.id}  {shot.description}", names - 0.08, small)
        write(figure, setting.margin_in, middle_in, Words(text=text, size_pt=small))
        for place in range(first, last):
            draw_cell(axes, row.cells[place], number, place, found.points, row.shot_id)
            if row.cells[place].known in FIGURED:
                middle = left + (place - first + 0.5) * cell_in
                figures = Words(text=cell_text(row.cells[place], found.points), size_pt=small)
                write(figure, middle, middle_in, figures, align="center")
        mark_plan(axes, found, row, number, span)


def draw_cell(axes: Axes, cell: Cell, number: int, place: int, whole: int, shot_id: str) -> None:
    """Draw one price as a shade or a hatch in the unit square of its row and place."""
    look: Style
    if cell.known is Known.IMPOSSIBLE:
        look = SHUT
    elif cell.known is Known.WORSE_THAN_CUT:
        look = WORSE
    else:
        look = {"facecolor": shade(cell.shown, whole), **FRAME}
    label = f"{cell.known.value} {shot_id} {place}"
    axes.add_artist(Rectangle((place, number), 1.0, 1.0, label=label, **look))


def mark_plan(axes: Axes, found: PriceTable, row: Row, number: int, span: tuple[int, int]) -> None:
    """Underline the time at which the plan rolls the shot; a cell's middle is its time."""
    if row.planned is None or len(found.times) < 2:
        return
    place = (row.planned - found.times[0]) / (found.times[1] - found.times[0]) + 0.5
    if span[0] <= place < span[1]:
        across, foot = [place - 0.2, place + 0.2], [number + 0.93] * 2
        axes.plot(across, foot, label=f"plan {row.shot_id}", zorder=3, **PLAN)


def _table_key(found: PriceTable) -> list[KeyEntry]:
    planned, sure = table_key_words(found)
    return [
        KeyEntry(label="the day loses:"),
        *(
            KeyEntry(label=label, box={"facecolor": grey, **FRAME})
            for label, (_, grey) in zip(SHADE_LABELS, SHADES, strict=True)
        ),
        KeyEntry(label="more than cutting the shot", box=WORSE),
        KeyEntry(label="no plan rolls it then", box=SHUT),
        KeyEntry(label=planned, line=PLAN),
        KeyEntry(label=sure),
    ]


def _curve_key(day: Day, found: Wraps) -> list[KeyEntry]:
    label, over = curve_key_words(found)
    entries = [
        KeyEntry(label=label, line=LIGHT),
        KeyEntry(label=f"wrap {clock(day, day.hours.wrap)}", line=WRAP),
    ]
    if day.hours.hard_wrap > day.hours.wrap:
        entries.append(KeyEntry(label=f"hard wrap {clock(day, day.hours.hard_wrap)}", line=HARD))
    entries.append(KeyEntry(label=over))
    return entries


def draw_curve(axes: Axes, day: Day, found: Wraps) -> None:
    """Draw the light kept against the wrap, in minutes from the first one."""
    start = found[0].wrap
    x = [_minutes(start, point.wrap) for point in found]
    y = [point.light_kept for point in found]
    low, high = _scale(found)
    axes.set_xlim(-5, max(x[-1], 1) + 5)
    axes.set_ylim(low, high)
    for level in _levels(low, high):
        axes.plot(axes.get_xlim(), [level, level], color=RULE, linewidth=0.4, zorder=0.5)
    for name, when, look in (
        ("wrap", day.hours.wrap, WRAP),
        ("hard wrap", day.hours.hard_wrap, HARD),
    ):
        minute = _minutes(start, when)
        if -5 <= minute <= x[-1] + 5 and (name == "wrap" or when > day.hours.wrap):
            axes.plot([minute, minute], [low, high], label=name, zorder=1, **look)
    axes.plot(x, y, label="light kept", zorder=2, **LIGHT)


def _write_scales(
    figure: Figure,
    axes: Axes,
    day: Day,
    found: Wraps,
    box: tuple[float, float, float, float],
    setting: Paper,
) -> None:
    """Write shares at the left, times below, and under them the overtime where there is any."""
    left, top, wide, high = box
    small, line_in = setting.small_pt, LINE * setting.small_pt * POINT_IN
    first, last = axes.get_xlim()
    low, above = axes.get_ylim()
    for level in _levels(low, above):
        y = top + high * (above - level) / (above - low)
        words = Words(text=f"{level:.0%}", size_pt=small, color=FAINT)
        write(figure, left - 0.06, y, words, align="right")
    free_from = 0.0
    for point in found:
        minute = _minutes(found[0].wrap, point.wrap)
        x = left + wide * (minute - first) / (last - first)
        half = width_in("00:00", small) / 2 + 0.05
        if x - half < free_from:
            continue
        free_from = x + half
        words = Words(text=clock(day, point.wrap)[:5], size_pt=small, color=FAINT)
        write(figure, x, top + high + 0.7 * line_in, words, align="center")
        if point.overtime_min:
            over = Words(text=f"+{point.overtime_min}′", size_pt=small)
            write(figure, x, top + high + 1.7 * line_in, over, align="center")


def _scale(found: Wraps) -> tuple[float, float]:
    """Give the shares at the foot and the head of the curve: full tenths around what it shows."""
    shares = [point.light_kept for point in found]
    low = max(0.0, int(min(shares) * 10.0) / 10.0)
    return low, max(low + 0.1, -(-max(shares) * 10.0 // 1) / 10.0)


def _levels(low: float, high: float) -> Iterator[float]:
    for tenth in range(round(low * 10), round(high * 10) + 1):
        yield tenth / 10.0


def _minutes(start: datetime, when: datetime) -> float:
    return (when - start) / timedelta(minutes=1)
