"""The printed table of a day that is over: what was planned against what was made of it."""

from __future__ import annotations

from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day, Span
from sunsched.light.fit import HALF
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.afterwards import NONE, difference, pairs
from sunsched.show.prospects import light_text
from sunsched.show.sheets.printed.tables import Cell, Table

LATE_MIN = 30  # a longer difference is in bold
HEADS = ("shot", "what", "planned", "rolled", "difference", "light planned", "light kept")


def after_table(before: Plan, after: Plan) -> Table:
    """Give planned and real time and light of each shot that was made, and of the meal."""
    day = after.day
    rows: list[tuple[datetime, tuple[Cell, ...]]] = []
    for one in pairs(before, after):
        if one.made is None:
            continue
        made, planned = one.made, one.planned
        start = None if planned is None else planned.roll_start
        gap = difference(start, made.roll_start)
        rows.append(
            (
                made.roll_start,
                (
                    Cell(text=one.shot.id, is_bold=True),
                    Cell(text=one.shot.description),
                    Cell(text=NONE if planned is None else _span(day, _roll(planned))),
                    Cell(text=_span(day, _roll(made)), is_bold=True),
                    Cell(text=gap, is_bold=_is_far(start, made.roll_start)),
                    Cell(text=NONE if planned is None else light_text(before, planned)),
                    Cell(text=f"{made.fit:.0%}", is_bold=made.fit < HALF),
                ),
            )
        )
    if after.meal is not None:
        start = None if before.meal is None else before.meal.start
        told = (
            "meal",
            "",
            NONE if before.meal is None else _span(day, before.meal),
            _span(day, after.meal),
            difference(start, after.meal.start),
            "",
            "",
        )
        rows.append((after.meal.start, tuple(Cell(text=text) for text in told)))
    rows.sort(key=lambda row: row[0])
    return Table(heads=HEADS, rows=tuple(cells for _, cells in rows), flexible=1, is_ruled=True)


def _is_far(planned: datetime | None, real: datetime) -> bool:
    return planned is not None and abs(real - planned) > timedelta(minutes=LATE_MIN)


def _roll(one: PlannedShot) -> Span:
    return Span(start=one.roll_start, end=one.roll_end)


def _span(day: Day, span: Span) -> str:
    return f"{clock(day, span.start)}–{clock(day, span.end)}"
