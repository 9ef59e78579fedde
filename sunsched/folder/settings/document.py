"""A TOML file with the line of every key: tomllib reads the values, a scan finds the lines."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sunsched.folder.text.findings import Findings, Where

KeyPath = tuple[str | int, ...]
"""Keys from the outside in; a number is the place in an array of tables, from 0."""

MAX_CHARACTERS = 300_000  # a day with 64 spots and all moves between them has half of that
MAX_PARTS = 8  # of a dotted key; reading one of thousands takes minutes

# The start of tomllib's own message, and what to say instead.
SYNTAX: dict[str, tuple[str, str]] = {
    "Cannot declare": ("the same table stands twice", ""),
    "Cannot overwrite": ("the same key stands twice", ""),
    "Cannot mutate": ("the same table stands twice", ""),
    "Duplicate inline table key": ("the same key stands twice", ""),
    "Expected '=' after": ("a key without `=`", "write `key = value`"),
    "Expected newline or end of document": (
        "more on the line than one value",
        'write texts and clock times in quotes: crew_call = "06:00"',
    ),
    "Invalid value": ("not a value", 'write texts in quotes: title = "Salt pans"'),
    "Invalid statement": ("neither a key nor a table", "write `key = value`"),
    "Invalid date or datetime": ("a date that does not exist", ""),
    "Unterminated string": ("a quote that is never closed", ""),
    "Expected \"'": ("a quote that is never closed", ""),
    "Illegal character": ("a character that may not stand here", "close every quote on its line"),
    "Found invalid character": ("a character that may not stand here", ""),
    "Invalid initial character for a key": ("not a key", "write `key = value`"),
    "Cannot redefine": ("the same table stands twice", ""),
    "Unclosed array": ("a `[` that is never closed", ""),
    "Unclosed inline table": ("a `{` that is never closed", ""),
    "Unescaped '\\'": ("a lone backslash in a text", "write `/`, or two backslashes"),
    "Expected ']": ("a `[` that is never closed", ""),
    "Exceeds the limit": ("a number of thousands of digits", ""),
}

_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_KEY = r"""(?:"(?:\\.|[^"\\\n])*"|'[^'\n]*'|[A-Za-z0-9_-]+)"""
_KEYS = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*"
_HEADER = re.compile(rf"(\[\[?)[ \t]*({_KEYS})[ \t]*\]")
_STATEMENT = re.compile(rf"({_KEYS})[ \t]*=")
_MANY_PARTS = re.compile(rf"^[ \t\[]*{_KEY}(?:[ \t]*\.[ \t]*{_KEY}){{{MAX_PARTS}}}", re.MULTILINE)
_DECIMAL_COMMA = re.compile(r"=\s*([+-]?\d+),(\d+)\s*(?:#.*)?$")
_MANY_DIGITS = re.compile(r"\d{4000}")
_PART = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*"
    r"|[\[{]|[\]}]|\n|[^\"'#\[\]{}\n]+",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """The values of one TOML file and where each key stands."""

    file: str
    data: dict[str, Any]
    lines: Mapping[KeyPath, int]

    def at(self, *path: str | int) -> Where:
        """Say where a key stands, or the nearest table around it when it is not written."""
        column = ".".join(part for part in path if isinstance(part, str))
        line = None
        for length in range(len(path), 0, -1):
            line = self.lines.get(path[:length])
            if line is not None:
                break
        return Where(file=self.file, line=line, column=column)


def parse(text: str, file: str, findings: Findings) -> Document | None:
    """Parse TOML; None, with the fault noted, when it is not TOML or too much of it."""
    if _is_too_much(text, file, findings):
        return None
    try:
        data = tomllib.loads(text)
    except RecursionError:
        findings.fault(Where(file=file), "not valid TOML: nested too deeply")
        return None
    except ValueError as error:
        _note_syntax(str(error), text, file, findings)
        return None
    return Document(file=file, data=data, lines=key_lines(text))


def _is_too_much(text: str, file: str, findings: Findings) -> bool:
    """Note a text that would take long to parse, whatever it says."""
    if len(text) > MAX_CHARACTERS:
        expected = f"at most {MAX_CHARACTERS:,}"
        findings.fault(Where(file=file), f"{len(text):,} characters", expected=expected)
        return True
    found = _MANY_PARTS.search(text)
    if found is not None:
        at = Where(file=file, line=_line_of(text, found.start()))
        expected = f"at most {MAX_PARTS} parts"
        findings.fault(at, "a key of too many parts", found[0].strip(), expected=expected)
    return found is not None


def _line_of(text: str, place: int) -> int:
    return text.count("\n", 0, place) + 1


def key_lines(text: str) -> dict[KeyPath, int]:
    """Find the line, from 1, of every table and key of a valid TOML text.

    Keys inside an inline table or an array have no line of their own: they share that of the key
    before the `=`.
    """
    lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    place, line = 0, 1
    while place < len(text):
        start = place
        while text[place : place + 1] in (" ", "\t"):
            place += 1
        header = _HEADER.match(text, place)
        statement = _STATEMENT.match(text, place)
        if header:
            table = _resolved(_keys(header[2]), counts)
            if header[1] == "[[":
                counts[table] = counts.get(table, -1) + 1
                lines.setdefault(table, line)
                table = (*table, counts[table])
            for length in range(1, len(table) + 1):
                lines.setdefault(table[:length], line)
            place = header.end()
        elif statement:
            path = table
            for key in _keys(statement[1]):
                path = (*path, key)
                lines.setdefault(path, line)
            place = statement.end()
        place = _after_line(text, place)
        line += text.count("\n", start, place)
    return lines


def _keys(dotted: str) -> list[str]:
    return [_key(part) for part in re.findall(_KEY, dotted, re.DOTALL)]


def _key(part: str) -> str:
    """Give a key as it is meant: without its quotes, its escapes read."""
    if part[0] == '"' and "\\" in part:
        return next(iter(tomllib.loads(f"{part} = 0")))
    return part[1:-1] if part[0] in "\"'" else part


def _after_line(text: str, place: int) -> int:
    """Give the start of the next statement: past strings, comments and open brackets."""
    depth = 0
    for part in _PART.finditer(text, place):
        if part[0] in ("[", "{"):
            depth += 1
        elif part[0] in ("]", "}"):
            depth -= 1
        elif part[0] == "\n" and depth <= 0:
            return part.end()
    return len(text)


def _resolved(keys: list[str], counts: Mapping[KeyPath, int]) -> KeyPath:
    path: KeyPath = ()
    for position, key in enumerate(keys):
        path = (*path, key)
        if position < len(keys) - 1 and path in counts:
            path = (*path, counts[path])
    return path


def _note_syntax(message: str, text: str, file: str, findings: Findings) -> None:
    """Say in our own words what tomllib could not read, and on which line."""
    place = _PLACE.search(message)
    line = None
    if place:
        line = int(place[1]) if place[1] else text.rstrip("\n").count("\n") + 1
    elif digits := _MANY_DIGITS.search(text):
        line = _line_of(text, digits.start())
    problem, hint = next(
        (words for start, words in SYNTAX.items() if message.startswith(start)),
        ("not understood", ""),
    )
    written = text.split("\n")[line - 1].strip() if line else None
    if figure := _DECIMAL_COMMA.search(written or ""):
        problem, hint = "a decimal comma", f"write `{figure[1]}.{figure[2]}`"
    findings.fault(Where(file=file, line=line), f"not valid TOML: {problem}", written, hint=hint)
