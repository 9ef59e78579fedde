"""Formulas and addresses of an .ods workbook, as they read once rows have come in."""

from __future__ import annotations

import re

from sunsched.folder.editing.books.opened import NotMoved, Opened

_SHEET = r"\$?(?:'(?:[^']|'')+'|[^\s.:'$\[\]]+)?\."
_ADDRESS = re.compile(
    rf"(?P<sheet>{_SHEET})(?P<first>\$?[A-Z]{{1,3}}\$?)(?P<top>\d+)"
    rf"(?::(?P<other>{_SHEET})(?P<last>\$?[A-Z]{{1,3}}\$?)(?P<foot>\d+))?"
)
_PARTS = re.compile(r'"(?:[^"]|"")*"|\[(?P<address>[^\]]*)\]')
_MANY = re.compile(rf"(?:{_SHEET}[^\s.']+)+")
_NO_LINE = re.compile(rf"{_SHEET}\$?[A-Z]+(?::{_SHEET}\$?[A-Z]+)?|.*#REF!.*|'[^']*'#.*")


def moved_formula(text: str, opened: Opened, *, is_here: bool) -> str:
    """Give a formula with the cells that it looks at, in brackets, where they then are.

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
    if text.startswith("msoxl:"):
        raise NotMoved(f"a formula in the spelling of another kind of workbook: `{text}`")

    def moved(found: re.Match[str]) -> str:
        address = found["address"]
        if address is None:
            return found[0]
        return f"[{_moved_address(address, text, opened, is_here=is_here)}]"

    return _PARTS.sub(moved, text)


def moved_addresses(text: str, opened: Opened) -> str:
    """Give addresses with their sheets, as names and printed ranges have them."""
    return _MANY.sub(lambda found: _moved_address(found[0], text, opened, is_here=False), text)


def _moved_address(value: str, formula: str, opened: Opened, *, is_here: bool) -> str:
    found = _ADDRESS.fullmatch(value)
    if found is None:
        if _NO_LINE.fullmatch(value):
            return value
        raise NotMoved(f"a formula that is not moved here: `{formula}`")
    name, other = _name(found["sheet"]), _name(found["other"] or ".")
    if other and other != name:
        raise NotMoved(f"a formula over several sheets: `{formula}`")
    if not (name == opened.sheet if name else is_here):
        return value
    moved = f"{found['sheet']}{found['first']}{opened.line(int(found['top']))}"
    if found["foot"] is not None:
        moved += f":{found['other']}{found['last']}{opened.line(int(found['foot']))}"
    return moved


def _name(sheet: str) -> str:
    return sheet.removesuffix(".").removeprefix("$").strip("'").replace("''", "'")
