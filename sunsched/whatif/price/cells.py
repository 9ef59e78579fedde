"""What a table of half-hours consists of: a row of cells for each shot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from sunsched.day.model import Day


class Known(StrEnum):
    """How much is known of what a cell costs."""

    EXACT = "exact"
    BOUNDED = "bounded"
    WORSE_THAN_CUT = "worse than cut"
    IMPOSSIBLE = "impossible"
    UNDECIDED = "undecided"
    FOUND = "found"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What it costs to roll a shot at one moment, in points.

    At least `least` are lost, at most `most`: the same if the cell is exact, None where that is
    not known, and both None if no plan rolls the shot then or none was found (undecided). On the
    average day the moment begins a stretch, `found` is what the best order loses that was found,
    and the two are of the best crew of all.
    """

    time: datetime
    known: Known
    least: int | None = None
    most: int | None = None
    found: int | None = None

    @property
    def shown(self) -> int:
        """Give the points that stand for the cell in a table."""
        return (self.most if self.found is None else self.found) or 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One shot's cells in order of time, when the plan rolls it, and what a cut costs at most.

    `cut` is None where the table ended before that was known.
    """

    shot_id: str
    planned: datetime | None
    cut: int | None
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceTable:
    """Every shot of a day at every half-hour; `points` is what all shots' weights are worth.

    `is_complete` is False for a table that was ended early: what is then undecided was not tried.
    `is_average` says that the prices are of the average day; a best crew of all may then be worth
    `open_points` more than the best order, None where that is not known.
    """

    day: Day
    times: tuple[datetime, ...]
    rows: tuple[Row, ...]
    points: int
    is_complete: bool
    is_average: bool = False
    open_points: int | None = None
