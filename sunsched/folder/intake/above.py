"""Cells that say: as in the row above. Blank ones under a spot or a scene, and signs for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sunsched.errors import lines_text
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.tables.table import Line
from sunsched.folder.text import words

# A list names a set once, on the first of its shots. Common practice, no source.
NAMED_ONCE = ("spot", "scene")
# What people write or mean by a pair of ticks under a word. Common practice, no source.
SAME = frozenset({'"', "''", "”", "“", "„", "〃", "ditto", "do.", "dto.", "dito", "idem", "id."})
OWN = ("id", "description")  # each shot has its own


def fill_from_above(rows: Sequence[Line], columns: Sequence[str]) -> Iterator[str]:
    """Give cells that mean the one above what that one has, and say on which lines.

    Parameters
    ----------
    rows : sequence of Line
        The shots in the order of the list; their cells are filled in place.
    columns : sequence of str
        The name of each column; those that nothing reads are left as they are.
    """
    for at, column in enumerate(columns):
        if column not in COLUMNS or column in OWN:
            continue
        above = ""
        blank: list[int] = []
        same: list[int] = []
        for line, cells in rows:
            cell = cells[at] if at < len(cells) else None
            if cell is None:  # it is told to be unreadable
                continue
            text = words.clean(cell)
            if text.casefold() in SAME and above:
                cells[at] = above
                same.append(line)
            elif text:
                above = text
            elif above and column in NAMED_ONCE:
                cells[at] = above
                blank.append(line)
        if blank:
            yield f"blank under {column}, so it is that of the row above: {lines_text(blank)}"
        if same:
            yield f"{column} as in the row above: {lines_text(same)}"
