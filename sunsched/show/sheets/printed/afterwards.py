"""The printed page of a day that is over: what was planned against what was made of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot, Span
from sunsched.light.fit import HALF
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.prospects import light_text
from sunsched.show.sheets.printed.tables import Cell, Table

NONE = "–"
LATE_MIN = 30  # a longer difference is in bold
HEADS = ("shot", "what", "planned", "rolled", "difference", "light planned", "light kept")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A shot as it was planned and as it was made; None for what it was not."""

    shot: Shot
    planned: PlannedShot | None
    made: PlannedShot | None


def pairs(before: Plan, after: Plan) -> tuple[Pair, ...]:
    """Put each shot as it was made beside its plan, in the order of the day; unmade ones last."""
    planned = {one.shot.id: one for one in before.shots}
    found = [Pair(shot=one.shot, planned=planned.get(one.shot.id), made=one) for one in after.shots]
    unmade = {left.shot.id: left.shot for left in after.left_out}
    dropped = [one for one in before.shots if one.shot.id in unmade]
    found += [Pair(shot=unmade.pop(one.shot.id), planned=one, made=None) for one in dropped]
    return (*found, *(Pair(shot=shot, planned=None, made=None) for shot in unmade.values()))


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


def kept_sentence(before: Plan, after: Plan) -> str:
    """Say what the day kept of its light, against what was planned, and how many shots it made."""
    share = before.light_kept if before.outlook is None else before.outlook.light_kept
    off = round(100 * after.light_kept, 1) - round(100 * share, 1)
    than = f"{abs(off):.1f}% {'more' if off > 0 else 'less'} than planned"
    beside = than if abs(off) >= 0.05 else "as planned"
    made, all_of = len(after.shots), len(after.shots) + len(after.left_out)
    return (
        f"The day kept {after.light_kept:.1%} of its light, {beside} ({share:.1%}); "
        f"{made} of {all_of} shots were made."
    )


def dropped_texts(before: Plan, after: Plan) -> Iterator[str]:
    """Name what was dropped, and what nobody had planned and was not made either."""
    why = {left.shot.id: left.why for left in after.left_out}
    for one in pairs(before, after):
        if one.made is not None:
            continue
        told = f"{one.shot.id} {one.shot.description}: {why[one.shot.id]}"
        if one.planned is None:
            yield f"not planned: {told}"
        else:
            at = clock(after.day, one.planned.roll_start)
            yield f"dropped: {told}, planned {at} with {light_text(before, one.planned)} light"


def difference(planned: datetime | None, real: datetime) -> str:
    """Give how much later than planned something was; with a sign, as `+12 min`."""
    if planned is None:
        return NONE
    minutes = round((real - planned) / timedelta(minutes=1))
    return f"{'−' if minutes < 0 else '+' if minutes else ''}{abs(minutes)} min"


def _is_far(planned: datetime | None, real: datetime) -> bool:
    return planned is not None and abs(real - planned) > timedelta(minutes=LATE_MIN)


def _roll(one: PlannedShot) -> Span:
    return Span(start=one.roll_start, end=one.roll_end)


def _span(day: Day, span: Span) -> str:
    return f"{clock(day, span.start)}–{clock(day, span.end)}"
