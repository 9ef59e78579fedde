"""Formulas and ranges of an .xlsx workbook, as they read once rows have come in."""

from __future__ import annotations

import re

from sunsched.folder.editing.books.opened import NotMoved, Opened

_RANGE = re.compile(
    r"(?:(?P<sheet>'(?:[^']|'')+'|[^'!]+)!)?"
    r"(?P<first>\$?[A-Z]{1,3}\$?|\$?)(?P<top>\d+)"
    r"(?::(?P<last>\$?[A-Z]{1,3}\$?|\$?)(?P<foot>\d+))?"
)
# What names no line: a name, whole columns, a column of a table by its title.
_NO_LINE = re.compile(r"(?:.+!)?(?:[^\W\d][\w.?\\]*(?:\[.*\])?|\$?[A-Z]{1,3}:\$?[A-Z]{1,3})|#REF!")


def moved_formula(text: str, opened: Opened, *, is_here: bool) -> str:
    """Give a formula, without `=` before it, with the cells that it looks at where they then are.

    Parameters
    ----------
    text : str
        The formula.
    opened : Opened
        The rows that come in.
    is_here : bool
        Whether the formula stands in the sheet that they come into.

    Raises
    ------
    NotMoved
        For a formula that cannot be read.
    """
    from openpyxl.formula.tokenizer import Token, Tokenizer, TokenizerError

    try:
        read = Tokenizer(f"={text}")
    except TokenizerError:
        raise NotMoved(f"a formula that does not read: `{text}`") from None
    for token in read.items:
        if token.type == Token.OPERAND and token.subtype == Token.RANGE:
            token.value = _moved_range(token.value, text, opened, is_here=is_here)
    return str(read.render()).removeprefix("=")


def moved_ranges(text: str, opened: Opened) -> str:
    """Give ranges of the sheet, with spaces between them, where they then are."""
    return " ".join(_moved_range(one, text, opened, is_here=True) for one in text.split())


def _moved_range(value: str, formula: str, opened: Opened, *, is_here: bool) -> str:
    found = _RANGE.fullmatch(value)
    if found is None or (found["foot"] is None and not found["first"].strip("$")):
        if _NO_LINE.fullmatch(value):
            return value
        raise NotMoved(f"a formula that is not moved here: `{formula}`")
    sheet = found["sheet"]
    if sheet is not None:
        name = sheet.strip("'").replace("''", "'")
        if ":" in name:
            raise NotMoved(f"a formula over several sheets: `{formula}`")
        is_here = name.casefold() == opened.sheet.casefold()
    if not is_here:
        return value
    before = "" if sheet is None else f"{sheet}!"
    moved = f"{before}{found['first']}{opened.line(int(found['top']))}"
    if found["foot"] is not None:
        moved += f":{found['last']}{opened.line(int(found['foot']))}"
    return moved
