"""Questions on a terminal: which of several places, a date, a clock time."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

import typer

from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from sunsched.folder.place.candidate import Candidate

Value = TypeVar("Value")
MOST_ASKED = 20


def is_terminal() -> bool:
    """Say whether somebody is there to answer: both ends are a terminal."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def ask(question: str, reader: Callable[[str], Value], default: str | None = None) -> Value:
    """Ask until the answer can be read; `default` is what Enter means."""
    from sunsched.folder.text.words import WordError

    while True:
        text = typer.prompt(question, default=default, type=str)
        try:
            return reader(text)
        except WordError as error:
            expected = f" (expected {error.expected})" if error.expected else ""
            hint = f"\n  hint: {error.hint}" if error.hint else ""
            typer.echo(f"{error.problem}: `{text}`{expected}{hint}", err=True)
        except SunschedError as error:
            typer.echo(str(error), err=True)


def choose_of(found: Sequence[Candidate]) -> int:
    """Ask which of several places is meant; gives its number from 0."""
    from functools import partial

    from sunsched.folder.text import words

    shown = found[:MOST_ASKED]
    for number, one in enumerate(shown, start=1):
        typer.echo(f"{number:3}  {one.told}")
    if len(found) > len(shown):
        typer.echo(f"     and {len(found) - len(shown)} more: write region and country as well")
    return ask("Which one?", partial(words.whole, low=1, high=len(shown)), "1") - 1
