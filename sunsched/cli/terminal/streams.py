"""What reaches the terminal: no sign that would command it, and what to do where it takes none."""

from __future__ import annotations

import errno
import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from rich.console import Console

# Controls (of both kinds) but for line ends and tabs, and signs that turn the reading direction.
_UNSAFE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066\u2067]"
)
_OPEN, _CLOSE = "\u2068", "\u2069"  # isolates, which `show.layout` puts around what it writes


def escaped(text: str) -> str:
    r"""Write each sign that would command a terminal as `\u001b`, which JSON reads as that sign.

    Isolates stay where they come in pairs within a line: such a pair turns nothing around it.
    """
    text = _UNSAFE.sub(lambda sign: _told(sign[0]), text)
    if _OPEN not in text and _CLOSE not in text:
        return text
    return "\n".join(map(_paired, text.split("\n")))


def _told(sign: str) -> str:
    return f"\\u{ord(sign):04x}"


def _paired(line: str) -> str:
    signs, opened = list(line), list[int]()
    for place, sign in enumerate(line):
        if sign == _OPEN:
            opened.append(place)
        elif sign == _CLOSE and opened:
            opened.pop()
        elif sign == _CLOSE:
            signs[place] = _told(sign)
    for place in opened:
        signs[place] = _told(_OPEN)
    return "".join(signs)


class OutputLost(Exception):
    """Nothing more can be printed; `text` says why, "" where nobody reads any more."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


class Plain:
    """A stream whose texts command no terminal, and which says so where it takes no more.

    Parameters
    ----------
    stream : where the texts go
    is_answer : whether the command has failed where they do not arrive; what is only said beside
        an answer may be lost
    """

    # The same signs wherever it goes: nothing looks for another way around it.
    encoding = "utf-8"

    def __init__(self, stream: TextIO, *, is_answer: bool) -> None:
        self.stream, self.is_answer = stream, is_answer

    def write(self, text: str) -> int:
        """Write a text, its unsafe signs escaped."""
        safe = escaped(text)  # of bytes it raises, by which others tell what the stream takes
        if safe:
            with self._losing():
                self.stream.write(safe)
        return len(text)

    def flush(self) -> None:
        """Hand on what was written."""
        with self._losing():
            self.stream.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)

    @contextmanager
    def _losing(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            with suppress(OSError):
                # What is held back would be tried again, and fail, when the process ends.
                os.dup2(os.open(os.devnull, os.O_WRONLY), self.stream.fileno())
            if not self.is_answer:
                return
            if error.errno in (errno.EPIPE, errno.ESHUTDOWN):
                raise OutputLost("") from error
            reason = str(error.strerror or error).lower()
            raise OutputLost(f"the answer cannot be printed ({reason})") from error


@contextmanager
def plain_streams() -> Iterator[None]:
    """Let nothing that is printed command the terminal, wherever its letters came from."""
    before = sys.stdout, sys.stderr
    for stream in before:
        # A sign that the terminal cannot show must not stop a plan.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    streams: Any = [Plain(one, is_answer=one is sys.stdout) for one in before]
    sys.stdout, sys.stderr = streams
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def progress_console() -> Console:
    """Give the console of a progress bar, which does command the terminal."""
    from rich.console import Console

    stream = sys.stderr
    return Console(file=stream.stream if isinstance(stream, Plain) else stream)


@contextmanager
def done_first(what: str) -> Iterator[None]:
    """Print in here what was done: where that cannot be printed, say on stderr that it is done."""
    try:
        yield
    except OutputLost as lost:
        if lost.text:
            sys.stderr.write(f"{what}, and yet:\n")
        raise
