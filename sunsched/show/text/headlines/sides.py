"""Which orders a comparison is of, and whose times they have, in words."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.whatif.compare.compare import Comparison
from sunsched.whatif.orders.sides import Side


def revision_text(day: Day, number: int, made_at: datetime | None) -> str:
    """Say which saved plan it is and when it was made, on the place's clock."""
    if made_at is None:
        return f"revision {number}"
    return f"revision {number}, made {made_at.astimezone(day.place.zone):%Y-%m-%d %H:%M}"


def order_names(found: Comparison) -> tuple[str, str]:
    """Name both orders over their columns."""
    return ("ours", "theirs") if found.is_beside_ours else ("first", "second")


def names_told(found: Comparison) -> tuple[str, str]:
    """Name both orders in a sentence."""
    return ("ours", "theirs") if found.is_beside_ours else ("the first", "the second")


def revision_number(side: Side) -> int | None:
    return None if side.source.revision is None else side.source.revision.number


def how_timed(found: Comparison) -> Iterator[str]:
    """Say of each order that is not our plan whose times it has, and how good they are."""
    if found.likely is not None:
        yield (
            "times and light are those of the average day, on which each order is followed as is "
            "best"
        )
        yield from _theirs(found)
        return
    if found.first is not None and found.is_beside_ours:
        yield "ours: the order for the average day; its times are the best for planned minutes"
    if found.is_beside_ours:
        name = "" if revision_number(found.second) is None else f"{_source_text(found.second)}: "
        yield f"theirs: {name}{_times_text(found.second)}"
        return
    sides = [side for side in (found.first, found.second) if side is not None]
    for column, side in zip(order_names(found), sides, strict=True):
        yield f"{column}: {_source_text(side)}: {_times_text(side)}"


def _theirs(found: Comparison) -> Iterator[str]:
    """Say what is not kept of an order that has times or a meal of its own, on the likely day."""
    sides = [side for side in (found.first, found.second) if side is not None]
    if not found.is_beside_ours:
        for column, side in zip(order_names(found), sides, strict=True):
            yield f"{column}: {_source_text(side)}"
    elif revision_number(found.second) is not None:
        yield f"theirs: {_source_text(found.second)}"
    if found.second.source.timetable is None:
        own = [
            "its times" if found.order.has_times else "",
            "where its meal stands" if found.order.meal_after is not None else "",
        ]
        if any(own):
            name = names_told(found)[1]
            yield f"{name}: there an order counts, not {' nor '.join(filter(None, own))}"


def _source_text(side: Side) -> str:
    saved = side.source.revision
    if saved is None:
        return side.source.name
    text = revision_text(side.source.day, saved.number, saved.made_at)
    past = saved.past
    return text if past is None else f"{text}, replanned at {clock(side.source.day, past.at)}"


def _times_text(side: Side) -> str:
    order, clocked = side.clocked.order, side.clocked
    if side.source.timetable is not None:
        return "the times are those that were saved"
    if order.is_timed:
        return "the times are those of the order"
    others = "the other times" if order.has_times else "the times"
    if not clocked.is_exact:
        return f"{others} are as early as can be, as the times given leave no room"
    if not clocked.obeys:
        return (
            f"no times of this order obey every rule; {others} are those that break the fewest and "
            "keep the most"
        )
    return f"{others} are the best that this order can have"
