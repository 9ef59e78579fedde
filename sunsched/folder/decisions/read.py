"""The decisions of a day, read with every fault at once, and the day that obeys them."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sunsched.day.clock import clock
from sunsched.day.contradiction import contradictions
from sunsched.day.decided import decided_day
from sunsched.day.demand import CallAt, Demand, KeepOrder, MealAt, RollAt, WrapAt
from sunsched.day.model import Day
from sunsched.folder.decisions.file import read_text
from sunsched.folder.decisions.row import Said, demand_of, read_said
from sunsched.folder.settings.hours import check_hours
from sunsched.folder.shot_list.circles import check_circles
from sunsched.folder.shot_list.shots import check_pin
from sunsched.folder.tables.table import Row
from sunsched.folder.text.findings import Findings, Where


def read_words(content: bytes, findings: Findings) -> tuple[Said, ...]:
    """Read what the file says, whatever day it is about; every fault is noted."""
    text = read_text(content, findings)
    said = [read_said(row, findings) for row in (() if text is None else text.rows)]
    return tuple(one for one in said if one is not None)


def decisions_of(
    said: Sequence[Said], asked: Day, added: Collection[str], findings: Findings
) -> Day:
    """Give the day under its decisions; what is wrong with them is noted.

    Parameters
    ----------
    said : the rows
    asked : the day without them
    added : ids of shots that the log adds to those of the list
    """
    named = [(one.row, demand_of(one, asked, added, findings)) for one in said]
    held = [(row, demand) for row, demand in named if demand is not None]
    before = len(findings.faults)
    check_held(held, asked, findings)
    if len(held) < len(named) or len(findings.faults) > before:
        return asked
    return decided_day(asked, tuple(demand for _, demand in held))


def check_held(held: Sequence[tuple[Row, Demand]], asked: Day, findings: Findings) -> None:
    """Note which decisions contradict each other, or the day."""
    decision = tuple(demand for _, demand in held)
    for found in contradictions(asked, decision):
        *others, last = (held[place][0] for place in found.places)
        hint = f"line {others[0].line} says the other: keep one of them" if others else ""
        findings.fault(last.at("decision"), found.text, hint=hint)
    day = decided_day(asked, decision)
    rows = {type(demand): row for row, demand in held}
    moved = rows.get(WrapAt) or rows.get(CallAt)
    if moved is not None:
        _check_hours(day, rows.get(CallAt), moved, findings)
    if CallAt in rows and MealAt in rows and day.meal.latest < day.hours.crew_call:
        at = rows[MealAt].at("time")
        expected = f"{clock(day, day.hours.crew_call)} or later"
        findings.fault(at, "before the call", clock(day, day.meal.latest), expected=expected)
    _check_pins(held, asked, day, moved, findings)
    _check_orders(held, day, findings)


def _check_hours(day: Day, called: Row | None, moved: Row, findings: Findings) -> None:
    """Look at hours that were decided, as at those of `day.toml`."""
    zone, hours = day.place.zone, day.hours
    if called is not None and hours.crew_call.astimezone(zone).date() != day.date:
        findings.fault(called.at("time"), "on another date", called.cells.get("time"))
        return
    shown = {key: clock(day, getattr(hours, key)) for key in ("wrap", "hard_wrap", "first_roll")}
    check_hours(hours, lambda _: moved.at("time"), shown, findings)


def _check_pins(
    held: Sequence[tuple[Row, Demand]],
    asked: Day,
    day: Day,
    moved: Row | None,
    findings: Findings,
) -> None:
    """See that every pin has room in the hours, and that none of the list stands elsewhere."""
    pins = {demand.shot: (row, demand) for row, demand in held if isinstance(demand, RollAt)}
    listed = {shot.id: shot.pin for shot in asked.shots}
    for shot in day.shots:
        if shot.pin is None:
            continue
        if shot.id in pins:
            row, demand = pins[shot.id]
            pin = listed[shot.id]
            if pin is not None and pin != demand.time:
                problem = f"{shot.id} is pinned to {clock(day, pin)} in the shot list"
                hint = "change its `pin` there"
                where = row.at("time")
                findings.fault(where, problem, row.cells.get("time"), hint=hint)
                continue
            where = row.at("time")
            check_pin(shot.pin, shot.shoot_min, day.hours, day.place.zone, where, findings)
        elif moved is not None:
            notes = Findings()
            check_pin(shot.pin, shot.shoot_min, day.hours, day.place.zone, Where(file=""), notes)
            if notes.faults:
                problem = f"no room for {shot.id}, which is pinned to {clock(day, shot.pin)}"
                findings.fault(moved.at("time"), problem, moved.cells.get("time"))


def _check_orders(held: Sequence[tuple[Row, Demand]], day: Day, findings: Findings) -> None:
    """Note orders that let shots wait for each other, with what the list says comes first."""
    orders = [(row, demand) for row, demand in held if isinstance(demand, KeepOrder)]
    if not orders:
        return
    lines = {shot.id: orders[0][0].at("subject") for shot in day.shots}
    for row, demand in orders:
        lines |= dict.fromkeys(demand.shots, row.at("subject"))
    check_circles({shot.id: shot.after for shot in day.shots}, lines, findings)
