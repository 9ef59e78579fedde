"""Another order beside ours: the headline, each shot in both, what is counted, what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sunsched.average.plan import AveragePlan
from sunsched.day.clock import instant_ms
from sunsched.day.model import Day
from sunsched.desk.answers.argument.order import order_record
from sunsched.desk.answers.argument.ours import (
    best_average,
    changed_since,
    is_for_planned,
    saved_ours,
    solved_day,
)
from sunsched.desk.answers.known import Known, known
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.folder.text.words import some
from sunsched.plan.plan import Plan
from sunsched.show.agenda import moved_at, ready_at
from sunsched.show.charts.orders.moves import find_moves
from sunsched.show.layout import plain
from sunsched.show.text.comparison import (
    counted_rows,
    difference_texts,
    shot_rows,
    shots_header,
)
from sunsched.show.text.headlines.arguments import comparison_headline
from sunsched.show.text.headlines.sides import how_timed, order_names
from sunsched.whatif.compare.compare import Comparison, compare_source, compare_two
from sunsched.whatif.orders.order import Order, order_of, order_without_times
from sunsched.whatif.orders.sides import Source, put_side, source_of

GRID_MIN = 5
FEW = 8  # ids that a sentence can hold
WHOLE = "both are counted as whole days, as if nothing were made yet"
Record = dict[str, Any]


def answer(
    memory: Memory,
    *,
    folder: str,
    ids: Sequence[str],
    times: Sequence[int | None],
    meal_after: int | None,
    meal_start: int | None,
    name: str,
) -> Iterator[Record]:
    """Put an order beside the saved plan; without one, first beside a plan for planned minutes.

    Parameters
    ----------
    ids, times, meal_after, meal_start : of the order, as `order_record` gives them
    name : what theirs is called
    """
    one = known(memory, Path(folder))
    order = asked_order(one.reading.day, ids, times, meal_after, meal_start)
    theirs = Source(name=plain(name) or "theirs", day=one.reading.day, order=order)
    saved = saved_ours(memory, one)
    if saved is not None:
        is_under_way = saved.day.past is not None
        found = compared(_whole(one, saved) if is_under_way else saved, theirs)
        told = (WHOLE if is_under_way else "", changed_since(memory, one))
        yield _record(found, "; ".join(filter(None, told)))
        return
    solved = solved_day(memory, one)
    is_last = is_for_planned(one)
    record = _record(compared(solved.plan, theirs))
    yield record | {"doing": "" if is_last else "looking for the best order on the average day"}
    if not is_last:
        yield _record(compared(best_average(memory, one), theirs))


def asked_order(
    day: Day,
    ids: Sequence[str],
    times: Sequence[int | None],
    meal_after: int | None,
    meal_start: int | None,
) -> Order:
    """Make an order of what a page sent.

    Raises
    ------
    SunschedError
        When it names what the day does not have, or anything twice.
    """
    known_ids = {shot.id for shot in day.shots}
    gone = [one for one in dict.fromkeys(ids) if one not in known_ids]
    if gone:
        raise SunschedError(f"not in the shot list as it is now: {some(gone, FEW)}")
    if not ids or len(set(ids)) < len(ids) or len(times) != len(ids):
        raise SunschedError("an order names shots, each of them once")
    if meal_after is not None and not 0 <= meal_after <= len(ids):
        raise SunschedError("the meal stands nowhere in this order")
    return Order(
        ids=tuple(ids),
        times=tuple(_moment(when) for when in times),
        meal_after=meal_after,
        meal_start=None if meal_after is None else _moment(meal_start),
    )


def compared(ours: Plan | AveragePlan | Source, theirs: Source) -> Comparison:
    """Put an order beside our plan, as the command does."""
    if isinstance(ours, Plan):
        return compare_source(ours.fit, ours, theirs)
    first = source_of(ours) if isinstance(ours, AveragePlan) else ours
    sides = put_side(first, GRID_MIN), put_side(theirs, GRID_MIN)
    return compare_two(*sides, GRID_MIN, on_average=True)


def _whole(one: Known, ours: Plan | AveragePlan) -> Source:
    """Give the order of a plan of a day under way as one of the whole day, as theirs is."""
    order = source_of(ours).order if isinstance(ours, AveragePlan) else order_of(ours.timetable)
    return Source(
        name="our plan",
        day=one.reading.day,
        order=order_without_times(order.ids),
        is_ours=True,
    )


def _record(found: Comparison, note: str = "") -> Record:
    plans = found.ours, found.theirs
    if found.likely is not None:
        plans = found.likely[0].plan, found.likely[1].plan
    moves = find_moves(*plans)
    said = list(difference_texts(found))
    # The last lines are the hints, under one that says what they are counted against.
    rest = len(said) - len(found.hints) - 1 if found.hints else len(said)
    return {
        "doing": "",
        "headline": comparison_headline(found),
        "timed": [*([note] if note else []), *how_timed(found)],
        "names": list(order_names(found)),
        "ours": _side(plans[0]),
        "theirs": _side(plans[1]),
        "moved": [{"id": one.first.shot.id, "out_of_line": one.is_out_of_line} for one in moves],
        "header": list(shots_header(found)),
        "shots": [_cells(row) for row in shot_rows(found)],
        "counted": [_cells(row) for row in counted_rows(found)],
        "said": said[:rest],
        "help": said[rest] if found.hints else "",
        "broken": len(found.breaches),
        "hints": [{"text": hint.text, "order": order_record(hint.order)} for hint in found.hints],
    }


def _side(plan: Plan) -> Record:
    meal = plan.meal
    return {
        "meal": None
        if meal is None
        else {"from": instant_ms(meal.start), "to": instant_ms(meal.end)},
        "rows": [
            {
                "id": one.shot.id,
                "change_from": instant_ms(one.changeover_start),
                "moved": instant_ms(moved_at(one)),
                "ready": instant_ms(ready_at(plan, one)),
                "from": instant_ms(one.roll_start),
                "to": instant_ms(one.roll_end),
                "fit": round(one.fit, 3),
            }
            for one in plan.shots
        ],
        "left_out": [left.shot.id for left in plan.left_out],
    }


def _cells(row: Sequence[str]) -> list[str]:
    return [plain(cell).strip() for cell in row]


def _moment(ms: int | None) -> datetime | None:
    return None if ms is None else datetime.fromtimestamp(ms / 1000, UTC)
