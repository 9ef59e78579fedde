"""Notes at cells of an .xlsx workbook, which move along with their cells.

Their texts are one part, and where they are drawn another, in the older markup for drawings that
Office Open XML (ECMA-376, part 4) keeps for them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from sunsched.folder.editing.books import packed
from sunsched.folder.editing.books.office_parts import linked
from sunsched.folder.editing.books.office_words import moved_ranges
from sunsched.folder.editing.books.opened import NotMoved, Opened

TEXTS = ("comments", "threadedComment")
DRAWN = "vmlDrawing"
# Other parts that a sheet may lead to, and that stand at no line.
STILL = ("printerSettings", "hyperlink", "customProperty")
_ROW = re.compile(rb"(<(?:\w+:)?Row>\s*)(\d+)(\s*</)")
_ANCHOR = re.compile(rb"(<(?:\w+:)?Anchor>)([^<]*)(</)")


def moved_notes(parts: Mapping[str, bytes], sheet: str, opened: Opened) -> dict[str, bytes]:
    """Give the parts of a sheet's notes with these where their cells then are.

    Parameters
    ----------
    parts : mapping of str to bytes
        The parts of the workbook.
    sheet : str
        The part of the sheet.
    opened : Opened
        The rows that come in.

    Raises
    ------
    NotMoved
        For a part of another kind, which may stand at some line.
    """
    found: dict[str, bytes] = {}
    for _, kind, name in linked(parts, sheet):
        if kind in TEXTS:
            tree = packed.tree(parts[name])
            for one in tree.iter():
                if one.get("ref") is not None:
                    one.set("ref", moved_ranges(one.get("ref"), opened))
            found[name] = packed.part(tree)
        elif kind == DRAWN:
            found[name] = _moved_drawn(parts[name], opened)
        elif kind not in STILL and kind not in ("drawing", "table"):  # the sheet itself names these
            raise NotMoved(f"a part of the sheet called `{kind}`")
    return found


def _moved_drawn(part: bytes, opened: Opened) -> bytes:
    def line(from_0: bytes) -> bytes:
        return str(opened.line(int(from_0) + 1) - 1).encode()

    def anchor(found: re.Match[bytes]) -> bytes:
        held = found[2].split(b",")
        if len(held) == 8:
            held[2], held[6] = line(held[2]), line(held[6])
        return found[1] + b",".join(held) + found[3]

    part = _ROW.sub(lambda found: found[1] + line(found[2]) + found[3], part)
    return _ANCHOR.sub(anchor, part)
