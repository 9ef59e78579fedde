"""What one reading finds wrong or odd, gathered so that all of it is told at once."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from sunsched.errors import Fault
from sunsched.folder.text.words import WordError

MAX_SHOWN = 60

Value = TypeVar("Value")


def shown(value: str) -> str:
    """Give a value as a message can show it: on one line, not long, with no control characters."""
    line = " ".join(value.split())
    line = "".join("�" if unicodedata.category(mark) == "Cc" else mark for mark in line)
    return line if len(line) <= MAX_SHOWN else line[: MAX_SHOWN - 1] + "…"


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """One place in a day folder: a file, its line from 1, and its column or key."""

    file: str
    line: int | None = None
    column: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """The faults and the warnings of one reading, in the order in which they were found.

    `files` are the names of the files that it read, or tried to.
    """

    faults: list[Fault] = field(default_factory=list)
    warnings: list[Fault] = field(default_factory=list)
    files: list[str] = field(default_factory=list)

    def fault(
        self,
        where: Where,
        problem: str,
        value: str | None = None,
        *,
        expected: str = "",
        hint: str = "",
    ) -> None:
        """Note something that must be put right."""
        self.faults.append(_finding(where, problem, value, expected, hint))

    def warn(
        self,
        where: Where,
        problem: str,
        value: str | None = None,
        *,
        expected: str = "",
        hint: str = "",
    ) -> None:
        """Note something odd that the day can be planned with."""
        self.warnings.append(_finding(where, problem, value, expected, hint))

    def misread(self, where: Where, error: WordError, value: str | None) -> None:
        """Note a text that a reader could not read."""
        self.fault(where, error.problem, value, expected=error.expected, hint=error.hint)

    def read(self, where: Where, text: str, reader: Callable[[str], Value]) -> Value | None:
        """Give what the reader makes of a text; None, with a fault noted, if it cannot."""
        try:
            return reader(text)
        except WordError as error:
            self.misread(where, error, text)
            return None


def by_place(found: list[Fault]) -> tuple[Fault, ...]:
    """Order findings as one would read the files, each from the top."""
    files_met = list(dict.fromkeys(one.file for one in found))
    return tuple(sorted(found, key=lambda one: (files_met.index(one.file), one.line or 0)))


def _finding(where: Where, problem: str, value: str | None, expected: str, hint: str) -> Fault:
    return Fault(
        file=where.file,
        line=where.line,
        column=where.column,
        problem=problem,
        value=shown(value or "") or None,
        expected=expected,
        hint=hint,
    )
