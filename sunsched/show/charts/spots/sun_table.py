"""The shots of one spot in words, each with the light that falls in, seen from its lens."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, FancyArrowPatch

from sunsched.day.clock import clock
from sunsched.light.fit import DayFit
from sunsched.plan.plan import PlannedShot
from sunsched.show.drawing.figure import Style, write
from sunsched.show.drawing.lettering import FAINT, LINE, POINT_IN, Words, cut, width_in
from sunsched.show.layout import bearing_text, side
from sunsched.show.paper_size import Paper

HEADER = ("id", "what", "rolls", "look", "sun", "lens")
UNDER_LINE = 1.2  # height of a line of a row whose description stands under it, in letters
MOST_UNDER_IN = 0.36  # of such a row
MOST_ROW_IN = 0.25  # a row of the table, with the small circle that shows the sun from the lens
RING: Style = {"color": "0.35", "linewidth": 0.7}
RAY: Style = {"arrowstyle": "-|>", "shrinkA": 0.0, "shrinkB": 0.0, "color": "black"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotTable:
    """Where the table stands; its rows have the shots' descriptions, or those stand under them."""

    left_in: float
    room_in: float
    has_words: bool


def least_row_in(setting: Paper) -> float:
    """Give the least height of a row."""
    return MOST_ROW_IN if setting.height_in is None else LINE * setting.text_pt * POINT_IN


def row_height_in(setting: Paper, room_in: float, rows: int, most_in: float = MOST_ROW_IN) -> float:
    """Give how high a row can be if so many rows and their header share this height."""
    if setting.height_in is None:
        return MOST_ROW_IN
    return min(most_in, max(least_row_in(setting), room_in / (rows + 1)))


def write_table(
    figure: Figure,
    fit: DayFit,
    shots: Sequence[PlannedShot],
    top_in: float,
    row_in: float,
    setting: Paper,
    table: SpotTable,
) -> None:
    """Write the shots of the spot in shooting order."""
    size = min(setting.text_pt, row_in / POINT_IN / LINE)
    rows = [HEADER, *(_table_row(fit, planned) for planned in shots)]
    shown = [column for column in range(6) if table.has_words or column != 1]
    gap = 0.18 if table.has_words else 0.09
    wide = _widths_in(rows, shown, size)
    if 1 not in wide:
        # Both kinds of bearings are wide; nothing of these columns can be cut, so they are smaller.
        room = table.room_in - gap * len(shown) - 0.8 * min(row_in, MOST_ROW_IN)
        size *= min(1.0, room / sum(wide.values()))
        wide = _widths_in(rows, shown, size)
    else:
        others = sum(wide.values()) - wide[1]
        wide[1] = min(wide[1], table.room_in - others - gap * (len(shown) - 1))
    line_in = UNDER_LINE * setting.text_pt * POINT_IN
    is_under = 1 not in wide and setting.height_in is not None and row_in >= 2 * line_in
    for number, row in enumerate(rows):
        left, middle = table.left_in, top_in + (number + 0.5) * row_in
        if is_under:
            middle -= line_in / 2
            if number:
                text = cut(row[1], table.room_in, setting.small_pt)
                words = Words(text=text, size_pt=setting.small_pt, color=FAINT)
                write(figure, left, middle + line_in, words)
        for column in shown:
            bold = column == 0 or row is HEADER
            text = cut(row[column], wide[column], size, bold=bold)
            write(figure, left, middle, Words(text=text, size_pt=size, bold=bold))
            left += wide[column] + gap
        if number:
            radius = 0.4 * min(row_in, MOST_ROW_IN)
            _draw_from_lens(figure, left, middle, radius, shots[number - 1])


def _widths_in(
    rows: Sequence[tuple[str, ...]], shown: Sequence[int], size_pt: float
) -> dict[int, float]:
    wide = {
        column: max(
            width_in(row[column], size_pt, bold=column == 0 or row is HEADER) for row in rows
        )
        for column in shown
    }
    return wide | {0: min(wide[0], 0.5)}


def _draw_from_lens(
    figure: Figure, left_in: float, middle_in: float, radius_in: float, planned: PlannedShot
) -> None:
    """Draw a circle seen from above, the lens looking up the page, and the light that falls in."""
    middle = (left_in + radius_in, figure.get_figheight() - middle_in)
    page = figure.dpi_scale_trans
    figure.add_artist(Circle(middle, radius_in, fill=False, transform=page, **RING))
    up = [middle[1], middle[1] + 1.25 * radius_in]
    figure.add_artist(Line2D([middle[0]] * 2, up, transform=page, **RING))
    angle = math.radians(planned.sun_from_lens_deg)
    sun = (middle[0] + radius_in * math.sin(angle), middle[1] + radius_in * math.cos(angle))
    ray = FancyArrowPatch(sun, middle, transform=page, mutation_scale=7.0, linewidth=1.4, **RAY)
    ray.set_label(f"light {planned.shot.id}")
    figure.add_artist(ray)


def _table_row(fit: DayFit, planned: PlannedShot) -> tuple[str, ...]:
    day = fit.day
    height = f"{round(planned.sun_elevation_deg)}°"
    return (
        planned.shot.id,
        planned.shot.description,
        f"{clock(day, planned.roll_start)}–{clock(day, planned.roll_end)}",
        bearing_text(day, planned.shot.look_deg),
        f"{bearing_text(day, planned.sun_azimuth_deg)} {height}",
        side(planned.sun_from_lens_deg),
    )
