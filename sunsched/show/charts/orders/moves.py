"""What moved between two orders: which shots changed their place, and which only their time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from sunsched.plan.plan import Plan, PlannedShot

LEAST = timedelta(minutes=1)  # of two times that are told apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A shot of both orders that rolls at another time; `is_out_of_line` says of another place."""

    first: PlannedShot
    second: PlannedShot
    is_out_of_line: bool


def find_moves(first: Plan, second: Plan) -> list[Move]:
    """List the shots of both orders that roll at another time, in the first one's order.

    The longest row of shots that follow each other in both orders keeps its place; all others
    changed theirs.
    """
    then = {one.shot.id: one for one in second.shots}
    both = [one for one in first.shots if one.shot.id in then]
    ids = [one.shot.id for one in both]
    kept = longest_common(ids, [one.shot.id for one in second.shots if one.shot.id in set(ids)])
    return [
        Move(first=one, second=then[one.shot.id], is_out_of_line=one.shot.id not in kept)
        for one in both
        if one.shot.id not in kept or abs(then[one.shot.id].roll_start - one.roll_start) >= LEAST
    ]


def longest_common(first: Sequence[str], second: Sequence[str]) -> frozenset[str]:
    """Give the ids of a longest row that stands in both orders, which have the same ids."""
    place = {one: number for number, one in enumerate(second)}
    rows: list[list[str]] = [[]]  # the longest row that ends with each id of the first order
    for one in first:
        before = [row for row in rows if not row or place[row[-1]] < place[one]]
        rows.append([*_longest(before), one])
    return frozenset(_longest(rows))


def _longest(rows: Sequence[list[str]]) -> list[str]:
    found: list[str] = max(rows, key=len)
    return found
