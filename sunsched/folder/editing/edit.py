"""What somebody changes in the table of a shot list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sunsched.errors import WriteRefused

RowKey = str
"""The line of a row as text, such as `"7"`; of a row that is new, any other text."""

ColumnKey = str
"""A column of ours by its name, such as `look`; one that is only kept by its place: `#5`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetCell:
    """Write a text into a cell; a blank one empties it.

    A column of ours that the list does not have yet is added behind its last one.
    """

    row: RowKey
    column: ColumnKey
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AddRow:
    """Put in a row below another one, directly below the head where `after` is None.

    `row` is how the edits that follow call it. A row that stays blank is not written.
    """

    row: RowKey
    after: RowKey | None
    cells: Mapping[ColumnKey, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeleteRow:
    """Take a row out."""

    row: RowKey


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveRow:
    """Put a row below another one, directly below the head where `after` is None."""

    row: RowKey
    after: RowKey | None


Edit = SetCell | AddRow | DeleteRow | MoveRow


class EditRefused(WriteRefused):
    """An edit that the file cannot take as it stands; `row` and `column` say where, if anywhere."""

    def __init__(
        self,
        problem: str,
        *,
        row: RowKey | None = None,
        column: ColumnKey | None = None,
        value: str | None = None,
        expected: str = "",
        hint: str = "",
    ) -> None:
        super().__init__(problem)
        self.problem, self.value, self.expected, self.hint = problem, value, expected, hint
        self.row, self.column = row, column

    def __str__(self) -> str:
        text = self.problem if self.value is None else f"{self.problem}: `{self.value}`"
        text += f" (expected {self.expected})" if self.expected else ""
        return f"{text}\n  hint: {self.hint}" if self.hint else text
