"""Small tables on paper, side by side or across the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from sunsched.show.drawing.lettering import Words, width_in
from sunsched.show.paper_size import Paper
from sunsched.show.sheets.printed.block import (
    GAP_IN,
    Block,
    Letters,
    high_in,
    rule,
    together,
    wrapped,
    write_under,
)

NAME_SHARE = 0.5  # of a table's width, the most that its names take
LEAST_SHARE = 0.15  # what the flexible column is left, if heads can be broken for it


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A text of a small table, in bold or not."""

    text: str
    is_bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A small table: its heads, then rows of as many cells.

    The `flexible` column takes what the others leave, and breaks its texts. Where it
    `is_ruled`, a line stands under each row.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    flexible: int = -1
    is_ruled: bool = False


def cell_words(cell: Cell, letters: Letters) -> Words:
    """Give the letters of a cell."""
    return letters.bold(cell.text) if cell.is_bold else letters.normal(cell.text)


def side_by_side(tables: Sequence[Table], setting: Paper, letters: Letters) -> Iterator[Block]:
    """Give tables side by side; their heads stay with the first row."""
    shown = [table for table in tables if table.rows]
    aside = 2.5 * GAP_IN
    room = setting.room_in - aside * (len(shown) - 1)
    needs = [_need_in(table, letters) for table in shown]
    rows: list[list[Block]] = []
    left = setting.margin_in
    for table, need in zip(shown, needs, strict=True):
        wide = room * need / sum(needs)
        for place, block in enumerate(table_rows(table, setting, left, wide, letters)):
            if place == len(rows):
                rows.append([])
            rows[place].append(block)
        left += wide + aside
    level = [_beside(blocks) for blocks in rows]
    if level:
        yield together(level[:2])
        yield from level[2:]


def table_rows(
    table: Table, setting: Paper, left: float, wide: float, letters: Letters
) -> Iterator[Block]:
    """Give a table of a width row by row, the heads first."""
    heads = tuple(letters.head(text) for text in table.heads)
    rows = [tuple(cell_words(cell, letters) for cell in row) for row in table.rows]
    # A head of several words stands in several lines where one is too long.
    whole = [[head] for head in heads]
    apart = [[letters.head(word) for word in head.text.split()] for head in heads]
    rooms = _rooms(table, whole, rows, wide)
    if rooms[table.flexible] < LEAST_SHARE * wide:
        rooms = _rooms(table, apart, rows, wide)
    pad = letters.pad_in if table.is_ruled else 0.0
    for row in (heads, *rows):
        cells = [wrapped(words, room) for words, room in zip(row, rooms, strict=True)]
        high = max(high_in(cell) for cell in cells) + pad

        def draw(
            figure: Figure, top: float, cells: list[list[Words]] = cells, high: float = high
        ) -> None:
            at = left
            for cell, room in zip(cells, rooms, strict=True):
                write_under(figure, at, top + pad / 2, cell)
                at += room + GAP_IN
            if table.is_ruled:
                rule(figure, top + high, setting, 0.5)

        yield Block(high_in=high, draw=draw)


def _need_in(table: Table, letters: Letters) -> float:
    """Give the width with which no text of a table is broken."""
    columns = zip(
        ([letters.head(text)] for text in table.heads),
        zip(*([cell_words(cell, letters) for cell in row] for row in table.rows), strict=True),
        strict=True,
    )
    widest = (
        max(width_in(one.text, one.size_pt, bold=one.bold) for one in (*head, *cells))
        for head, cells in columns
    )
    return sum(widest) + GAP_IN * (len(table.heads) - 1)


def _rooms(
    table: Table, heads: list[list[Words]], rows: list[tuple[Words, ...]], wide: float
) -> list[float]:
    """Give the widths of the columns: each what it needs, the flexible one what is left."""
    rooms = [
        max(width_in(one.text, one.size_pt, bold=one.bold) for one in (*head, *cells))
        for head, cells in zip(heads, zip(*rows, strict=True), strict=True)
    ]
    rooms[0] = min(rooms[0], NAME_SHARE * wide)
    rooms[table.flexible] = 0.0
    rooms[table.flexible] = wide - sum(rooms) - GAP_IN * (len(rooms) - 1)
    return rooms


def _beside(blocks: Sequence[Block]) -> Block:
    def draw(figure: Figure, top: float) -> None:
        for block in blocks:
            block.draw(figure, top)

    return Block(high_in=max(block.high_in for block in blocks), draw=draw)
