"""Cells that say: as in another row. Blank ones under a spot or a scene, signs, and `as 14A`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from sunsched.errors import lines_text
from sunsched.folder.intake.question import NOTHING
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.tables.table import Line
from sunsched.folder.text import words

# A list names a set once, on the first of its shots. Common practice, no source.
NAMED_ONCE = ("spot", "scene")
# What people write or mean by a pair of ticks under a word. Common practice, no source.
SAME = frozenset(
    {'"', "''", "”", "“", "„", "〃", "ditto", "do.", "dto.", "dito", "idem", "id."}
    | {"same", "as above", "same as above", "wie oben", "come sopra", "comme au-dessus"}
)
_AS_SHOT = re.compile(
    r"(?:same as|as|wie|comme|come|como)\s+(?:shot\s+)?#?([\w.-]+)", re.IGNORECASE
)
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
    shots = _by_id(rows, columns)
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
            named = _AS_SHOT.fullmatch(text)
            other = shots.get(named[1].casefold(), ()) if named else ()
            if at < len(other) and words.clean(other[at] or ""):
                text = cells[at] = words.clean(other[at] or "")
                yield f"{column} of {lines_text([line])} is that of the shot it names"
            if text.casefold() in SAME and above:
                cells[at] = above
                same.append(line)
            elif text and not (column in NAMED_ONCE and text.casefold() in NOTHING):
                above = text
            elif above and column in NAMED_ONCE:
                cells[at] = above
                blank.append(line)
        if blank:
            yield f"blank under {column}, so it is that of the row above: {lines_text(blank)}"
        if same:
            yield f"{column} as in the row above: {lines_text(same)}"


def _by_id(rows: Sequence[Line], columns: Sequence[str]) -> dict[str, list[str | None]]:
    """Give the cells of each shot by its id; those of the first, where one stands twice."""
    at = columns.index("id") if "id" in columns else len(columns)
    found: dict[str, list[str | None]] = {}
    for _, cells in rows:
        if at < len(cells):
            found.setdefault(words.clean(cells[at] or "").casefold(), cells)
    return found
