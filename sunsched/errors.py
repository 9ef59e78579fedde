"""What can go wrong, as one small tree.

SunschedError                anything that the package raises on purpose
├── FolderError              a folder, a file, or a day made by hand is at fault: has every `Fault`
├── DayImpossible            the day is well formed, yet no plan obeys its rules
└── WriteRefused             a file cannot be written without losing something

The command line turns each into text and exit code 1 in one place. Anything else is a defect and
keeps its traceback.
"""

from __future__ import annotations

from dataclasses import dataclass


class SunschedError(Exception):
    """Base of every error that the package raises on purpose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in one place of a day folder, or of a day made by hand.

    `line` counts from 1 as an editor does; `column` is a table's column name or a TOML key path.
    `value` is what stands there, `expected` what should; `hint` is advice such as the nearest
    known word. Empty strings and None mean "does not apply".
    """

    file: str
    problem: str
    line: int | None = None
    column: str = ""
    value: str | None = None
    expected: str = ""
    hint: str = ""

    def __str__(self) -> str:
        place = self.file
        if self.line is not None:
            place += f":{self.line}"
        if self.column:
            place += f", {self.column}"
        text = f"{place}: {self.problem}"
        if self.value is not None:
            text += f": `{self.value}`"
        if self.expected:
            text += f" (expected {self.expected})"
        if self.hint:
            text += f"\n  hint: {self.hint}"
        return text


class FolderError(SunschedError):
    """A day folder, or a day made by hand, is at fault; `faults` holds all that was found."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


class DayImpossible(SunschedError):
    """No plan obeys the rules of this day; the text says which rules collide."""


class WriteRefused(SunschedError):
    """A file was not written, because doing so would lose something or is not possible."""


class Undecided(SunschedError):
    """Time ran out before a plan was found or it was proven that there is none."""
