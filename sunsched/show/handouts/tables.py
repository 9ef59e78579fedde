"""The tables of prices as handouts, each with its picture."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from sunsched.day.model import Day
from sunsched.show.charts.prices.words import curve_words, table_words
from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.paper_size import Shape
from sunsched.show.stamp import Stamp
from sunsched.show.text.average_day.price import (
    Rules,
    Wraps,
    any_curve_note,
    any_curve_rows,
    any_rule_rows,
    rules_note,
)
from sunsched.show.text.past import past_texts
from sunsched.show.text.price import (
    COLUMNS,
    CURVE_HEADER,
    RULES_HEADER,
    block_rows,
    table_note,
)
from sunsched.whatif.price.cells import PriceTable

# matplotlib takes a second to load, and tables do without it.
if TYPE_CHECKING:
    from matplotlib.figure import Figure


def price_table_handout(
    found: PriceTable,
    rules: Rules,
    *,
    stamp: Stamp,
    paper: Shape = Shape.A4,
) -> Handout:
    """Give every shot at every half-hour in blocks of shots, what the rules cost, a picture.

    Parameters
    ----------
    found : of `price_table` or `average_price_table`
    rules : of `rule_prices` or `average_rule_prices`
    stamp : what it says of itself: when it was made, at the least
    paper : the shape of its printed pages

    Returns
    -------
    Handout
        What `write_handout` writes.

    Examples
    --------
    >>> import sunsched
    >>> from datetime import UTC, datetime
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> stamp = sunsched.Stamp(made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    >>> table = sunsched.price_table(solved, step_min=240)
    >>> rules = sunsched.rule_prices(solved)
    >>> sunsched.price_table_handout(table, rules, stamp=stamp).subject
    'What it costs to roll a shot then'
    """
    sections = [_block(found, start) for start in range(0, len(found.rows), COLUMNS)]
    sections.append(
        Section(
            heading="Rules",
            header=RULES_HEADER,
            rows=tuple(any_rule_rows(rules)),
            figures=(1, 2),
            paragraphs=(rules_note(rules),),
        )
    )
    return Handout(
        day=found.day,
        subject=table_words(found, "What it costs to roll a shot then"),
        head=(*past_texts(found.day), table_note(found)),
        sections=tuple(sections),
        stamp=stamp,
        cautions=(),
        paper=paper,
        picture=partial(_table_picture, found),
    )


def curve_handout(day: Day, found: Wraps, *, stamp: Stamp, paper: Shape = Shape.A4) -> Handout:
    """Give what each wrap keeps of the light, and its picture.

    Parameters
    ----------
    day : the day
    found : of `wrap_curve` or `average_wrap_curve`
    stamp : what it says of itself: when it was made, at the least
    paper : the shape of its printed pages

    Returns
    -------
    Handout
        What `write_handout` writes.

    Examples
    --------
    >>> import sunsched
    >>> from datetime import UTC, datetime
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> stamp = sunsched.Stamp(made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    >>> curve = sunsched.wrap_curve(solved, step_min=120)
    >>> sunsched.curve_handout(solved.fit.day, curve, stamp=stamp).subject
    'What an earlier or later wrap keeps'
    """
    section = Section(
        heading="Light by the wrap",
        header=CURVE_HEADER,
        rows=tuple(any_curve_rows(day, found)),
        figures=(1, 4),
        paragraphs=(any_curve_note(day, found),),
    )
    return Handout(
        day=day,
        subject=curve_words(found, "What an earlier or later wrap keeps"),
        head=tuple(past_texts(day)),
        sections=(section,),
        stamp=stamp,
        cautions=(),
        paper=paper,
        picture=partial(_curve_picture, day, found),
    )


def _block(found: PriceTable, start: int) -> Section:
    """Give a block of shots at every half-hour."""
    header, *rows = block_rows(found, start)
    return Section(
        heading=f"Half-hours, shots {header[1]} to {header[-1]}",
        header=header,
        rows=tuple(rows),
        figures=tuple(range(1, len(header))),
    )


def _table_picture(found: PriceTable, shape: Shape) -> Figure:
    from sunsched.show.charts.prices.half_hours import table_figure

    return table_figure(found, shape=shape)


def _curve_picture(day: Day, found: Wraps, shape: Shape) -> Figure:
    from sunsched.show.charts.prices.wraps import curve_figure

    return curve_figure(day, found, shape=shape)
