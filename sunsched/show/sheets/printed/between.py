"""The lines of the order on paper beside the shots' own: a move, a wait, a meal, now, the wrap."""

from __future__ import annotations

from datetime import timedelta

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.plan.plan import Plan
from sunsched.show.agenda import Line, LineKind, timed_text
from sunsched.show.drawing.lettering import Words, width_in
from sunsched.show.paper_size import Paper
from sunsched.show.sheets.printed.block import (
    BAND,
    GAP_IN,
    Block,
    Letters,
    box,
    high_in,
    rule,
    wrapped,
    write_under,
)

BANDS = (LineKind.MOVE, LineKind.MEAL, LineKind.NOW)  # lines on a band, in bold
LONG_WAIT_MIN = 30  # a longer wait is in bold
NOW_PT = 1.5  # of the rule over the line that parts what is made from what is planned


def between_block(plan: Plan, line: Line, setting: Paper, letters: Letters) -> Block:
    """Give a line of the day that is no shot's: a reason takes as many lines as it needs."""
    is_bold = is_strong(plan, line)
    start = letters.bold if is_bold else letters.normal
    time = start(clock(plan.day, line.start))
    indent = max(0.6, width_in(time.text, time.size_pt, bold=time.bold) + GAP_IN)
    words = Words(text=timed_text(line), size_pt=letters.text_pt, bold=is_bold)
    lines = wrapped(words, setting.room_in - indent)
    high = high_in(lines) + letters.pad_in

    def draw(figure: Figure, top: float) -> None:
        if line.kind is LineKind.NOW:
            rule(figure, top, setting, NOW_PT)
        elif line.kind in BANDS:
            box(figure, setting.margin_in, top, setting.room_in, high, fill=BAND, edge="none")
        write_under(figure, setting.margin_in, top + letters.pad_in / 2, [time])
        write_under(figure, setting.margin_in + indent, top + letters.pad_in / 2, lines)
        rule(figure, top + high, setting, 0.5)

    return Block(high_in=high, draw=draw)


def is_strong(plan: Plan, line: Line) -> bool:
    """Say whether a line is in bold: what all take part in, long waits and overtime."""
    if line.kind is LineKind.WAIT:
        return line.end - line.start > timedelta(minutes=LONG_WAIT_MIN)
    if line.kind is LineKind.WRAP:
        return line.start > plan.day.hours.wrap
    return line.kind in BANDS
