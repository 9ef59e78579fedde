"""The cells of one row of a table, read one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from sunsched.folder.tables.table import Row
from sunsched.folder.text.findings import Findings

Value = TypeVar("Value")
Default = TypeVar("Default")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """The cells of one row, read one by one, with a default for the blank ones.

    A cell at fault is noted and gives its default too: what the row says is then not used.
    """

    row: Row
    findings: Findings

    def get(self, column: str, reader: Callable[[str], Value], default: Default) -> Value | Default:
        """Read a cell that may be blank."""
        text = self.row.cells.get(column)
        if text is None:
            return default
        value = self.findings.read(self.row.at(column), text, reader)
        return default if value is None else value

    def need(
        self, column: str, reader: Callable[[str], Value], default: Default, expected: str
    ) -> Value | Default:
        """Read a cell that may not be blank."""
        self.note_blank(column, expected)
        return self.get(column, reader, default)

    def note_blank(self, column: str, expected: str) -> None:
        """Note a fault if a cell is blank, unless it is already told to be unreadable."""
        if column not in self.row.cells and column not in self.row.unreadable:
            self.findings.fault(self.row.at(column), "blank", expected=expected)
