"""The picture of half-hours: every shot at each of them, as a grid."""

from __future__ import annotations

from collections.abc import Iterator

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.charts.prices.words import (
    table_key_words,
    table_note,
    table_words,
)
from sunsched.show.drawing.figure import (
    DARK_BLUE,
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
from sunsched.show.drawing.strips import DARK
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.text.past import past_texts
from sunsched.show.text.price import FIGURED, cell_text
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row

# Highest share of all weights of each shade and its grey: the lighter the better, as everywhere.
# Figures stand in the cells, so that nothing is told by its shade alone.
SHADES = ((0.0005, "1.0"), (0.01, "0.93"), (0.03, "0.85"), (0.06, "0.76"), (9.0, "0.66"))
SHADE_LABELS = ("nothing", "up to 1%", "up to 3%", "up to 6%", "more")
FRAME: Style = {"edgecolor": "0.45", "linewidth": 0.4}
WORSE: Style = {"facecolor": "0.5", **FRAME}
SHUT: Style = {"facecolor": DARK, "hatch": "//////", "edgecolor": "0.8", "linewidth": 0.4}
PLAN: Style = {"color": DARK_BLUE, "linewidth": 2.6, "solid_capstyle": "butt"}
LEAST_ROW_IN, MOST_ROW_IN = 0.13, 0.34
PHONE_ROW_IN = 0.22
NAME_SHARE = 0.2  # share of the page's width that the names of the shots take


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
        # Two texts, so that one which runs from right to left does not pull the other over.
        used = min(width_in(shot.id, small) + 0.08, names - 0.08)
        name, what = cut(shot.id, used, small), cut(shot.description, names - used - 0.08, small)
        write(figure, setting.margin_in, middle_in, Words(text=name, size_pt=small))
        if used < names - 0.3:
            words = Words(text=what, size_pt=small)
            write(figure, setting.margin_in + used, middle_in, words)
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
    """Underline the time at which the plan rolls the shot.

    A cell's middle is its time, but on the average day, where the time begins the cell.
    """
    if row.planned is None or len(found.times) < 2:
        return
    middle = 0.0 if found.is_average else 0.5
    place = (row.planned - found.times[0]) / (found.times[1] - found.times[0]) + middle
    if span[0] <= place < span[1]:
        across, foot = [place - 0.2, place + 0.2], [number + 0.93] * 2
        axes.plot(across, foot, label=f"plan {row.shot_id}", zorder=3, **PLAN)


def _table_key(found: PriceTable) -> list[KeyEntry]:
    dark, hatched, planned, sure = table_key_words(found)
    return [
        KeyEntry(label="the day loses:"),
        *(
            KeyEntry(label=label, box={"facecolor": grey, **FRAME})
            for label, (_, grey) in zip(SHADE_LABELS, SHADES, strict=True)
        ),
        KeyEntry(label=dark, box=WORSE),
        KeyEntry(label=hatched, box=SHUT),
        KeyEntry(label=planned, line=PLAN),
        KeyEntry(label=sure),
    ]
