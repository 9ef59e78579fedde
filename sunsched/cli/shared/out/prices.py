"""Prices of all half-hours and of all wraps, worked out and shown."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from sunsched.cli.shared.out.answer import Out, draw_answer, print_answer
from sunsched.cli.terminal.interrupt import counted, ended_by_ctrl_c

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.show.records.day import Record
    from sunsched.show.text.average_day.price import Rules, Wraps
    from sunsched.whatif.price.cells import PriceTable

UNKNOWN = "what is not known has a `?`"
TABLE_SHARE = 0.8  # of a limit is for the half-hours, the rest for the rules


def show_table(
    price_shots: Callable[..., PriceTable],
    price_rules: Callable[..., Rules],
    record_of: Callable[..., Record],
    limit_s: float | None,
    out: Out,
) -> None:
    """Price all half-hours and all rules, and show them; within a limit, what is known by then."""
    from sunsched.show.handouts.tables import price_table_handout
    from sunsched.show.text.average_day.price import rules_text
    from sunsched.show.text.price import table_text
    from sunsched.whatif.price.moments import ended_after

    with ended_by_ctrl_c(UNKNOWN) as is_pressed:
        is_over = ended_after(limit_s, is_pressed)
        with counted("shots priced") as progress:
            is_ended = ended_after(None if limit_s is None else TABLE_SHARE * limit_s, is_pressed)
            found = price_shots(progress=progress, is_ended=is_ended)
        with counted("rules priced") as progress:
            rules = price_rules(progress=progress, is_ended=is_over)
    if out.picture is not None:
        from sunsched.show.charts.prices.half_hours import table_figure

        draw_answer(out, found.day, partial(table_figure, found))
    out.hand_out(partial(price_table_handout, found, rules), out.stamp)
    texts = (partial(table_text, found), partial(rules_text, rules))
    print_answer(out, record_of(found, rules), *texts)


def show_curve(
    day: Day, price_wraps: Callable[..., Wraps], record_of: Callable[..., Record], out: Out
) -> None:
    """Price all wraps, and show them."""
    from sunsched.show.handouts.tables import curve_handout
    from sunsched.show.text.average_day.price import curve_text

    with (
        ended_by_ctrl_c("later wraps are left out") as is_ended,
        counted("wraps priced") as progress,
    ):
        found = price_wraps(progress=progress, is_ended=is_ended)
    if out.picture is not None:
        from sunsched.show.charts.prices.wraps import curve_figure

        draw_answer(out, day, partial(curve_figure, day, found))
    out.hand_out(partial(curve_handout, day, found), out.stamp)
    print_answer(out, record_of(day, found), partial(curve_text, day, found))
