"""What can go wrong, as one small tree.

SunschedError                anything that the package raises on purpose
├── FolderError              a folder, a file, or a day made by hand is at fault: has every `Fault`
├── DayImpossible            the day is well formed, yet no plan obeys its rules
└── WriteRefused             a file cannot be written without losing something

The command line turns each into text and exit code 1 in one place. Anything else is a defect and
keeps its traceback.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice

MAX_TOLD = 100  # faults in a text


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
    """A day folder, or a day made by hand, is at fault; `faults` holds all that was found.

    Its text tells what stands on many lines alike once, with all of the lines, and a hundred faults
    at most: nobody mends more before reading the day again.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        alike: dict[Fault, list[Fault]] = {}
        for fault in self.faults:
            alike.setdefault(replace(fault, line=None), []).append(fault)
        told = [_text(same) for same in islice(alike.values(), MAX_TOLD)]
        rest = list(islice(alike.values(), MAX_TOLD, None))
        if rest:
            told.append(f"and {sum(map(len, rest)):,} more")
        return "\n".join(told)


def _text(same: list[Fault]) -> str:
    others = [fault.line for fault in same[1:] if fault.line is not None]
    return f"{same[0]}\n  the same on {lines_text(others)}" if others else str(same[0])


def lines_text(lines: Sequence[int]) -> str:
    """Name lines as a sentence does, three and more in a row by their ends: `lines 3, 5 to 9`."""
    runs: list[list[int]] = []
    for line in sorted(set(lines)):
        if runs and line == runs[-1][-1] + 1:
            runs[-1].append(line)
        else:
            runs.append([line])
    named = [
        text
        for run in runs
        for text in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))
    ]
    many = "" if len(runs) == len(runs[0]) == 1 else "s"
    before = f"{', '.join(named[:-1])} and " if len(named) > 1 else ""
    return f"line{many} {before}{named[-1]}"


class DayImpossible(SunschedError):
    """No plan obeys the rules of this day; the text says which rules collide."""


class WriteRefused(SunschedError):
    """A file was not written, because doing so would lose something or is not possible."""


class Undecided(SunschedError):
    """Time ran out before a plan was found or it was proven that there is none."""
