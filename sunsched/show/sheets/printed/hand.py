"""What is filled in by hand: a box to tick, and a line for the time of a roll."""

from __future__ import annotations

from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from sunsched.show.drawing.lettering import POINT_IN
from sunsched.show.sheets.printed.block import LINE, Letters, box

BOX_EM, HAND_EM = 1.15, 6.2  # the box, and all of the column, in sizes of the letters
BESIDE_EM = 0.5


def draw_hand(
    figure: Figure, left: float, top: float, wide: float, letters: Letters, *, is_made: bool
) -> None:
    """Draw the box and the line; a shot that is made is ticked, its time stands at its roll."""
    em_in = letters.text_pt * POINT_IN
    edge = BOX_EM * em_in
    top += (LINE * em_in - edge) / 2
    box(figure, left, top, edge, edge, fill="white", edge="black")
    if is_made:
        tick = ((0.2, 0.55), (0.42, 0.78), (0.82, 0.22))
        _line(figure, [(left + x * edge, top + y * edge) for x, y in tick], 1.2)
        return
    under = top + edge
    _line(figure, [(left + edge + BESIDE_EM * em_in, under), (left + wide, under)], 0.6)


def _line(figure: Figure, points: list[tuple[float, float]], width_pt: float) -> None:
    high = figure.get_figheight()
    line = Line2D(
        [x for x, _ in points],
        [high - y for _, y in points],
        color="black",
        linewidth=width_pt,
        transform=figure.dpi_scale_trans,
    )
    figure.add_artist(line)
