"""Where rows come into a sheet, and the lines that others then stand on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

LAST_LINE = 1_048_576  # of a sheet; a range down to it is a whole column


class NotMoved(ValueError):
    """Something in a workbook that cannot be moved along; the text says what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """How many blank rows come in before each of some lines of a sheet; lines are those before.

    `head` is the line of the table's head, whose looks no new row takes.
    """

    sheet: str
    head: int
    counts: Mapping[int, int]

    def line(self, line: int) -> int:
        """Give the line that a line is on afterwards."""
        if line >= LAST_LINE:
            return line
        return line + sum(count for before, count in self.counts.items() if before <= line)

    def is_within(self, first: int, last: int) -> bool:
        """Say whether a row comes in between the first and the last of some lines."""
        return any(first < before <= last for before in self.counts)

    def like(self, before: int) -> int:
        """Give the line whose looks the rows before a line take: that above, if it is no head."""
        return before - 1 if before - 1 > self.head else before
