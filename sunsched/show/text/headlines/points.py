"""Who pays and who wins, in points: `shot 7: 561 points`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator


def paid_texts(shots: Iterable[tuple[str, int]], costs: Iterable[tuple[str, int]]) -> Iterator[str]:
    """Say which shots and costs lose points, then which win some, the most first.

    Parameters
    ----------
    shots : the id of each with the points that it loses, below 0 where it wins
    costs : the same by the names of costs
    """
    parts = [(f"shot {name}", points) for name, points in shots]
    parts = [*sorted(parts, key=lambda part: -abs(part[1])), *costs]
    paid = [f"{name}: {_points(points)}" for name, points in parts if points > 0]
    won = [f"{name}: {_points(-points)}" for name, points in parts if points < 0]
    if paid:
        yield f"pay: {', '.join(paid)}"
    if won:
        yield f"win: {', '.join(won)}"


def _points(points: int) -> str:
    return f"{points} point{'' if points == 1 else 's'}"
