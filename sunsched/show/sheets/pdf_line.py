"""The lines of the order on paper beside the shots' own: a move, a wait, a meal, now, the wrap.

Under a shot's own two lines stand its cautions, and what its list says in columns that nothing
reads.
"""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import Line, LineKind, timed_text
from sunsched.show.cautions import shot_cautions
from sunsched.show.drawing.figure import RULE, write
from sunsched.show.drawing.lettering import FAINT, Words, width_in, wrap
from sunsched.show.paper_size import Paper

TEXT_PT = 8.0
SMALL_PT = 7.0
KEPT_IN = 0.12  # height of a line of what a list says besides
GAP_IN = 0.09  # between columns
BAND = "0.90"  # grey of a move and of the meal
STRONG = (LineKind.MOVE, LineKind.MEAL, LineKind.NOW)  # lines in bold
NOW_PT = 1.5  # of the rule over the line that parts what is made from what is planned


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """Height of a shot's row, of any other line of the day, and of a line of notes, inches.

    Where `wait_lines` is false, a wait for a shot's light is told in the shot's own row. What a
    list says besides takes `kept_lines` at most under its shot.
    """

    shot_in: float
    line_in: float
    note_in: float
    wait_lines: bool = True
    kept_lines: int = 2


def between_in(plan: Plan, line: Line, setting: Paper, spacing: Spacing) -> float:
    """Give the height of a line of the day that is no shot's, inches."""
    more = len(_texts(plan, line, setting)) - 1
    return spacing.line_in + more * spacing.note_in


def draw_between(
    figure: Figure,
    top: float,
    spacing: Spacing,
    plan: Plan,
    line: Line,
    setting: Paper,
) -> None:
    """Draw a line of the day that is no shot's."""
    high = between_in(plan, line, setting, spacing)
    if line.kind is LineKind.NOW:
        rule(figure, top, setting, NOW_PT)
    elif line.kind in STRONG:
        band = Rectangle(
            (setting.margin_in, figure.get_figheight() - top - high),
            setting.room_in,
            high,
            facecolor=BAND,
            edgecolor="none",
            transform=figure.dpi_scale_trans,
        )
        figure.add_artist(band)
    start = _start_words(plan, line)
    middle = top + spacing.line_in / 2
    write(figure, setting.margin_in, middle, start)
    for number, text in enumerate(_texts(plan, line, setting)):
        words = bold(text) if start.bold else normal(text)
        left = setting.margin_in + _indent_in(start)
        write(figure, left, middle + number * spacing.note_in, words)


def kept_in(plan: Plan, planned: PlannedShot, room_in: float, spacing: Spacing) -> float:
    """Give the height of a shot's cautions and of what a list says besides of it, inches."""
    return len(_below(plan, planned, room_in, spacing)) * KEPT_IN


def draw_kept(
    figure: Figure,
    left: float,
    top: float,
    plan: Plan,
    planned: PlannedShot,
    room_in: float,
    spacing: Spacing,
) -> None:
    """Write under the shot's own lines its cautions, then what a list says besides."""
    for number, words in enumerate(_below(plan, planned, room_in, spacing)):
        write(figure, left, top + KEPT_IN * (number + 0.3), words)


def _below(plan: Plan, planned: PlannedShot, room_in: float, spacing: Spacing) -> list[Words]:
    cautions = shot_cautions(plan, planned)
    warned = f"caution: {'; '.join(cautions)}" if cautions else ""
    told = "; ".join(f"{title}: {text}" for title, text in planned.shot.kept)
    kept = wrap(told, room_in, SMALL_PT, lines=spacing.kept_lines)
    # No caution is ever cut.
    return [
        *[Words(text=text, size_pt=SMALL_PT) for text in wrap(warned, room_in, SMALL_PT)],
        *[Words(text=text, size_pt=SMALL_PT, color=FAINT) for text in kept],
    ]


def _texts(plan: Plan, line: Line, setting: Paper) -> list[str]:
    """Give the text of a line that is no shot's: a reason may take two lines of letters."""
    start = _start_words(plan, line)
    room = setting.room_in - _indent_in(start)
    return wrap(timed_text(line), room, TEXT_PT, bold=start.bold, lines=2)


def _start_words(plan: Plan, line: Line) -> Words:
    start = clock(plan.day, line.start)
    return bold(start) if line.kind in STRONG else normal(start)


def _indent_in(start: Words) -> float:
    return max(0.6, width_in(start.text, TEXT_PT, bold=start.bold) + GAP_IN)


def rule(figure: Figure, top: float, setting: Paper, width_pt: float) -> None:
    """Draw a line from margin to margin."""
    y = figure.get_figheight() - top
    line = Line2D(
        (setting.margin_in, setting.width_in - setting.margin_in),
        (y, y),
        color="black" if width_pt >= 1 else RULE,
        linewidth=width_pt,
        transform=figure.dpi_scale_trans,
    )
    figure.add_artist(line)


def bold(text: str) -> Words:
    """Give a text in bold."""
    return Words(text=text, size_pt=TEXT_PT, bold=True)


def normal(text: str) -> Words:
    """Give a text as most of the table is written."""
    return Words(text=text, size_pt=TEXT_PT)
