"""An order as people type or paste it: a table with a head, or ids one after the other.

Without a head a line is a shot, with its id first and maybe a time before or after it; or a line
holds ids alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from sunsched.day.model import Day
from sunsched.folder.intake import source
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.whatif.orders.rows import Entry, is_head, sheet_entries

MEAL_WORDS = ("meal", "lunch")
MAX_TEXT = 200_000  # characters; a list of every shot with its description has far fewer
HEAD: list[str | None] = ["id", "time"]

_TIME = re.compile(
    r"(?<![\w.])\d{1,2}(?:[:h.]\d{2}|(?=\s?[ap]\.?m\b))(?:\s?[ap]\.?m\.?)?"
    r"(?:\s*(?:-|to)\s*\d{1,2}[:h.]\d{2})?(?![\w:])",
    re.IGNORECASE,
)
_BULLET = re.compile(r"(?:[*•·–-]|(\d{1,6})[.)])\s+(?=\S)")
_BETWEEN = re.compile(r"(?:[\s,;|→]|(?<=\s)>(?=\s))+")


def pasted_entries(text: str, name: str, day: Day, findings: Findings) -> list[Entry] | None:
    """Read the rows of a text; None, with the faults noted, where nothing can be read.

    Parameters
    ----------
    text : as it was pasted
    name : what it is called in faults
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    own = Findings()
    sheet = source.text_sheet("\n".join(lines), name, own, is_head=is_head)
    if sheet is None or not any(is_head(cells) for _, cells in sheet.lines):
        own = Findings()
        rows = [*_bare(lines, day)]
        if not rows:
            expected = "a shot a line, such as `7`, or `7 13:00`"
            findings.fault(Where(file=name), "nothing is written", expected=expected)
            return None
        sheet = Sheet(name="", lines=[(0, HEAD), *rows])
    return sheet_entries(sheet, name, own, day, findings)


def _bare(lines: Sequence[str], day: Day) -> Iterable[Line]:
    """Give what stands in lines without a head as rows of an id and a time."""
    known = {shot.id.casefold() for shot in day.shots} | {*MEAL_WORDS}
    counted = [_BULLET.match(line.strip()) for line in lines if line.strip()]
    numbers = [int(found[1]) for found in counted if found and found[1]]
    is_counted = len(counted) > 1 and numbers == list(range(1, len(counted) + 1))
    for number, line in enumerate(lines, 1):
        plain = words.plain_hyphens(line)
        bullet = _BULLET.match(plain)
        if bullet and (is_counted or not bullet[1]):
            plain = plain[bullet.end() :]
        row = [one for one in _BETWEEN.split(plain) if one]
        if len(row) > 1 and sum(one.casefold() in known for one in row) > len(row) / 2:
            yield from ((number, [one, ""]) for one in row)
            continue
        time = _TIME.search(plain)
        rest = plain if time is None else f"{plain[: time.start()]} {plain[time.end() :]}"
        ids = [one for one in _BETWEEN.split(rest) if one]
        if ids or time:
            yield number, [_id(ids[0]) if ids else "", time[0] if time else ""]


def _id(text: str) -> str:
    return text.lstrip("#").rstrip(":.") or text
