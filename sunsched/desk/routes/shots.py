"""What the page of the shots asks: the list, whether edits read, and to keep them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from sunsched.desk.web.request import Asked

MOST_EDITS, MOST_ROWS, MOST_COLUMNS = 20_000, 2_000, 200
Key = Annotated[str, Field(max_length=120)]
Cell = Annotated[str, Field(max_length=20_000)]


class TableAsked(Asked):
    """The list as it is."""


class EditAsked(Asked):
    """One change; what its kind does not need is left out."""

    kind: Literal["set", "add", "delete", "move"]
    row: Key
    column: Key | None = None
    text: Cell = ""
    after: Key | None = None
    cells: dict[Key, Cell] = Field(default={})


class CheckAsked(Asked):
    """Edits of a version of the list."""

    version: Key
    edits: list[EditAsked] = Field(max_length=MOST_EDITS)


class ColumnAsked(Asked):
    """A column as the page shows it."""

    key: Key
    title: Cell
    known: Key | None
    at: int


class RowAsked(Asked):
    """A row as the page shows it."""

    key: Key
    kind: Literal["shot", "section", "head", "other"]
    cells: dict[Key, Cell]


class KeepAsked(CheckAsked):
    """Edits to be kept, with the table that they make."""

    file: Key
    columns: list[ColumnAsked] = Field(max_length=MOST_COLUMNS)
    rows: list[RowAsked] = Field(max_length=MOST_ROWS)
    is_kept: bool
