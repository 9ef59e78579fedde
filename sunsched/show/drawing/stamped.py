"""The stamp on a picture: a bar across the top of one that is out of date, a line of what it is.

On a sheet both stand in its margins. A phone's picture has none, and grows at its top.
"""

from __future__ import annotations

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.model import Day
from sunsched.show.drawing.figure import house_style, write
from sunsched.show.drawing.lettering import FAINT, LINE, POINT_IN, Words, cut, width_in, wrap
from sunsched.show.paper_size import PHONE_WIDTH_IN, Shape, paper
from sunsched.show.stamp import Stamp, behind_text, stamp_text

BAR_IN = (0.0, 0.36)  # where the bar stands on a sheet, from its upper edge
BAR_PT, BAR_SMALL_PT = 12.0, 9.0
LINE_PT, PHONE_LINE_PT = 7.5, paper(Shape.PHONE).small_pt
SIDE_IN = {True: 0.1, False: 0.4}  # beside the words of a phone's picture, and of a sheet
FOOT_IN = 0.22  # of a sheet's line from the lower edge


def put_stamp(figure: Figure, day: Day, stamp: Stamp, *, has_foot: bool = False) -> None:
    """Put a stamp on a picture or a page, in place.

    Parameters
    ----------
    has_foot : whether the page says at its foot already what it is
    """
    wide = float(figure.get_figwidth())
    is_phone = wide <= PHONE_WIDTH_IN
    side = SIDE_IN[is_phone]
    with house_style():
        if not is_phone:
            if stamp.behind:
                _put_bar(figure, behind_text(stamp), *BAR_IN, side)
            if not has_foot:
                text = cut(stamp_text(day, stamp), wide - 2 * side, LINE_PT)
                middle = figure.get_figheight() - FOOT_IN
                write(figure, side, middle, Words(text=text, size_pt=LINE_PT, color=FAINT))
            return
        lines = wrap(stamp_text(day, stamp), wide - 2 * side, PHONE_LINE_PT)
        line_in = LINE * PHONE_LINE_PT * POINT_IN
        told = wrap(behind_text(stamp), wide - 2 * side, BAR_PT, bold=True)
        bar_in = LINE * BAR_PT * POINT_IN * len(told) + 0.1 if told else 0.0
        _grow(figure, bar_in + line_in * len(lines) + 0.04)
        if told:
            _put_bar(figure, behind_text(stamp), 0.0, bar_in, side)
        for number, text in enumerate(lines):
            middle = bar_in + 0.04 + line_in * (number + 0.5)
            write(figure, side, middle, Words(text=text, size_pt=PHONE_LINE_PT, color=FAINT))


def _put_bar(figure: Figure, text: str, top_in: float, bottom_in: float, side_in: float) -> None:
    """Draw a black bar from edge to edge, with white letters as large as it holds."""
    wide, high = figure.get_size_inches()
    bar = Rectangle(
        (0.0, high - bottom_in),
        wide,
        bottom_in - top_in,
        facecolor="black",
        edgecolor="none",
        transform=figure.dpi_scale_trans,
    )
    bar.set_gid("out-of-date")
    figure.add_artist(bar)
    room, is_sheet = wide - 2 * side_in, wide > PHONE_WIDTH_IN
    fits = not is_sheet or width_in(text, BAR_PT, bold=True) <= room
    size_pt = BAR_PT if fits else BAR_SMALL_PT
    lines = wrap(text, room, size_pt, bold=True, lines=2 if is_sheet else None)
    line_in = LINE * size_pt * POINT_IN
    first = (top_in + bottom_in - line_in * (len(lines) - 1)) / 2
    for number, line in enumerate(lines):
        words = Words(text=line, size_pt=size_pt, bold=True, color="white")
        write(figure, side_in, first + number * line_in, words)


def _grow(figure: Figure, more_in: float) -> None:
    """Add room at the top: all that stands by inches stays where it is, and so do axes."""
    wide, high = figure.get_size_inches()
    share = high / (high + more_in)
    places = [(axes, axes.get_position(original=True)) for axes in figure.axes]
    figure.set_size_inches(wide, high + more_in)
    for axes, place in places:
        axes.set_position((place.x0, place.y0 * share, place.width, place.height * share))
