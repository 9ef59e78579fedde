"""The smallest changes to an order that win back most: one shot moved, two swapped, the meal moved.

Every such change is tried. An upper limit on the worth of each says which to try first, and when to
stop.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from sunsched.light.fit import DayFit
from sunsched.plan.crew import crew_figures
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable, meal_place
from sunsched.solver.instance.tables import LOST
from sunsched.whatif.orders.best_times import Ground, Looks, best_timing, first_look
from sunsched.whatif.orders.order import Order
from sunsched.whatif.orders.put_on_clock import (
    Clocked,
    Desk,
    case_of,
    ground_for,
    put_on_clock,
    timetable_of,
)

HINTS = 3
LOOKS_EACH, ALL_LOOKS = 200, 6000  # timings tried for one change, and for all: 2 s at the most
LEAST_LIGHT = 0.0005  # the least that is printed as 0.1%
MEAL = None  # stands in a row of shots where the meal does


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """One change to an order, and what it wins when the changed order is timed at its best.

    `light_won` is a share of all weights; minutes and counts are those of the changed order less
    those of the order as it stands, or of that order with new times where `is_on_top` says so: what
    new times alone win is no gain of another change. `order` is the changed one, to compare again.
    """

    text: str
    order: Order
    light_won: float
    points_won: int
    wrap_later_min: int
    moves_more: int
    breaches_more: int
    is_on_top: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Change:
    """A change in words, what it touches, and the order that it makes."""

    text: str
    touched: frozenset[str | None]
    order: Order


@dataclass(frozen=True, slots=True, kw_only=True)
class _Worth:
    """An order on the clock in the terms of a hint."""

    light: float
    points: int
    wrap_min: int
    moves: int
    breaches: int


def find_hints(desk: Desk, clocked: Clocked) -> tuple[Hint, ...]:
    """Find the three changes of an order that win most, no two of them of the same shot.

    A hint wins light and points and breaks no more rules, or it breaks fewer. Times that the order
    has are given up; where that alone wins, it is the first hint, and the others count what they
    win on top of it. What a hint says is exact; on the fullest days the search for the best ones
    ends after a fixed amount of work.
    """
    now = _worth(desk.fit, clocked.timetable)
    order, found = clocked.order, list[tuple[int, _Change]]()
    anew, has_times = None, order.has_times
    if has_times:
        order = replace(order, times=(None,) * len(order.ids), meal_start=None)
        change = _Change(text="same order, timed anew", touched=frozenset(), order=order)
        anew = _hint(desk, now, change)
        clocked = put_on_clock(desk, order)
    first = [] if anew is None else [anew]
    if anew is not None:
        now = _worth(desk.fit, clocked.timetable)
    most = HINTS - len(first)
    ground, floor = ground_for(desk, order, lenient=not clocked.obeys), clocked.value
    left = ALL_LOOKS
    for _, limit, change in _by_first_look(ground, order):
        chosen = _chosen(found, most)
        to_beat = max(floor, chosen[-1][0]) if len(chosen) == most else floor
        if limit <= to_beat or left <= 0:
            continue
        looks = Looks(left=min(left, LOOKS_EACH))
        left -= looks.left
        times = best_timing(case_of(ground, change.order), more_than=to_beat, looks=looks)
        left += max(0, looks.left)
        if times is not None:
            timetable = timetable_of(desk.fit, ground.problem, change.order, times)
            if _wins(now, _worth(desk.fit, timetable)):
                found.append((times.value, change))
    told = [_hint(desk, now, change) for _, change in _chosen(found, most)]
    others = [hint for hint in told if hint is not None]
    if first:
        others = [replace(hint, text=f"then {hint.text}", is_on_top=True) for hint in others]
    elif has_times:
        others = [replace(hint, text=f"timed anew, {hint.text}") for hint in others]
    return (*first, *others)


def _by_first_look(ground: Ground, order: Order) -> list[tuple[int, int, _Change]]:
    """List the changes that can be timed, the most promising first, with a limit on their value."""
    looked = []
    for change in _changes(order):
        limit, value = first_look(case_of(ground, change.order))
        if limit > LOST:
            looked.append((value, limit, change))
    return sorted(looked, key=lambda one: -one[0])


def _chosen(found: list[tuple[int, _Change]], most: int) -> list[tuple[int, _Change]]:
    """Take the best that touch nothing that a better one touches."""
    chosen: list[tuple[int, _Change]] = []
    for value, change in sorted(found, key=lambda one: -one[0]):
        if not any(change.touched & better.touched for _, better in chosen):
            chosen.append((value, change))
    return chosen[:most]


def _changes(order: Order) -> Iterator[_Change]:
    """Yield every swap of two shots, and every move of one shot or of the meal."""
    row: list[str | None] = [*order.ids]
    if order.meal_after is not None:
        row.insert(order.meal_after, MEAL)
    seen = {tuple(row)}
    for a, b in combinations(range(len(row)), 2):
        one, other = row[a], row[b]
        if one is not MEAL and other is not MEAL:
            swapped = [*row]
            swapped[a], swapped[b] = other, one
            seen.add(tuple(swapped))
            yield _change(f"swap {one} and {other}", (one, other), swapped)
    shots = [place for place, one in enumerate(row) if one is not MEAL]
    meals = [place for place, one in enumerate(row) if one is MEAL]
    for place in (*shots, *meals):
        for to in range(len(row)):
            moved = [*row[:place], *row[place + 1 :]]
            moved.insert(to, row[place])
            if tuple(moved) not in seen:
                seen.add(tuple(moved))
                name = "the meal" if row[place] is MEAL else row[place]
                yield _change(f"move {name} {_whereto(moved, to)}", (row[place],), moved)


def _change(text: str, touched: tuple[str | None, ...], row: list[str | None]) -> _Change:
    ids = tuple(one for one in row if one is not MEAL)
    order = Order(
        ids=ids,
        times=(None,) * len(ids),
        meal_after=row.index(MEAL) if MEAL in row else None,
    )
    return _Change(text=text, touched=frozenset(touched), order=order)


def _whereto(row: list[str | None], place: int) -> str:
    """Say where in a row something stands, by the meal if that is next to it."""
    if place > 0 and row[place - 1] is MEAL:
        return "after the meal"
    if place + 1 < len(row) and row[place + 1] is MEAL:
        return "before the meal"
    if place == 0:
        return "to the start of the day"
    return f"after {row[place - 1]}" if place + 1 < len(row) else "to the end of the day"


def _wins(now: _Worth, then: _Worth) -> bool:
    """Say whether a change breaks fewer rules, or wins light and points and breaks no more."""
    if then.breaches != now.breaches:
        return then.breaches < now.breaches
    return then.light - now.light >= LEAST_LIGHT and then.points > now.points


def _hint(desk: Desk, now: _Worth, change: _Change) -> Hint | None:
    """Give the hint that a change is at its best times, None if it then wins nothing."""
    clocked = put_on_clock(desk, change.order)
    then = _worth(desk.fit, clocked.timetable)
    if not _wins(now, then):
        return None
    return Hint(
        text=f"{change.text}{_by_meal(change, clocked)}: {_won(now, then)}",
        order=change.order,
        light_won=then.light - now.light,
        points_won=then.points - now.points,
        wrap_later_min=then.wrap_min - now.wrap_min,
        moves_more=then.moves - now.moves,
        breaches_more=then.breaches - now.breaches,
    )


def _by_meal(change: _Change, clocked: Clocked) -> str:
    """Say that a moved shot comes first after a meal that no row of the order stands for."""
    ids = change.order.ids
    before = meal_place(clocked.timetable)
    if change.order.meal_after is not None or before is None or before == len(ids):
        return ""
    return ", first after the meal" if change.touched == {ids[before]} else ""


def _won(now: _Worth, then: _Worth) -> str:
    """Say what a change wins, and what it changes for the crew."""
    later, moves = then.wrap_min - now.wrap_min, then.moves - now.moves
    wrap = f"wrap {abs(later)} min {'later' if later > 0 else 'earlier'}"
    texts = [
        f"{then.light - now.light:+.1%} light",
        f"{then.points - now.points:+d} points",
        wrap if later else "wrap unchanged",
    ]
    if moves:
        noun = "move" if abs(moves) == 1 else "moves"
        texts.append(f"{abs(moves)} company {noun} {'more' if moves > 0 else 'fewer'}")
    if then.breaches < now.breaches:
        noun = "rules" if then.breaches > 1 else "rule"
        texts.append(f"{then.breaches or 'no'} {noun} broken, not {now.breaches}")
    return ", ".join(texts)


def _worth(fit: DayFit, timetable: Timetable) -> _Worth:
    worth, crew = score(fit, timetable), crew_figures(fit.day, timetable)
    weights = sum(shot.weight for shot in fit.day.shots)
    return _Worth(
        light=sum(worth.light.values()) / (1000.0 * weights),
        points=worth.total,
        wrap_min=fit.minute_of(crew.wrap or fit.day.hours.crew_call),
        moves=crew.moves,
        breaches=len(breaches(fit, timetable)),
    )
