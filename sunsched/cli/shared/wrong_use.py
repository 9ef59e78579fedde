"""Wrong use of the command line, told in our words: what was wrong, where, what to type instead."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from enum import StrEnum
from functools import partial
from typing import Any, NoReturn, TypeVar

import typer

# The base of all wrong use. Its module differs between versions of typer.
UsageError: Any = typer.BadParameter.__bases__[0]
NO_LIMIT = 10**9  # the largest whole number where an option has no limit of its own

# What stands behind an option, by the word that its help has for it.
EXAMPLES = {
    "HH:MM": "09:40",
    "YYYY-MM-DD": "2027-06-09",
    "PLACE": "Lisbon",
    "POINT": '"36.5, -10.2"',
    "SIDE": '"back left"',
    "FILE": "our-file.pdf",
    "ID": "7",
    "NAME": "yard",
    "NAME=HH:MM": "Ana=15:00",
    "A,B,C": "4,7,9",
    "ORDER": "monday.csv",
    "SECONDS": "20",
    "MIN": "30",
    "N": "2",
    "WORDS": '"…"',
    "PAIRS": '"100:15 120:18"',
}
# Options whose word is that of others, but not what stands behind them.
OWN_EXAMPLES = {
    "--wall": '"from 80 to 130, 20 m away, 12 m high"',
    "--roof": '"from 80 to 130, 4 m to 10 m away, 3 m to 5 m high"',
    "--sun": '"cleared ridge at 09:40 on 2026-11-02"',
    "--terrain": "N46E013.hgt",
    "--footprints": "houses.geojson",
    "--photo": "spot.jpg",
    "--days": "1000",
}

Chosen = TypeVar("Chosen", bound=StrEnum)


def refuse(
    option: str, problem: str, value: str | None = None, *, expected: str = "", hint: str = ""
) -> NoReturn:
    """Refuse what was typed for an option or an argument, as faults of a folder are told.

    Parameters
    ----------
    option : its name, several behind commas
    problem : what it is not
    value : what was typed; None where that does not matter
    expected : what to type, with an example
    hint : the nearest known word
    """
    raise typer.BadParameter(_told(problem, value, expected, hint), param_hint=option)


def whole_option(name: str, low: int, high: int, metavar: str, help_text: str) -> Any:
    """Give an option that takes a whole number from `low` to `high`."""
    limits = f"{low:g} to {high:g}" if high < NO_LIMIT else f"{low:g} or more"

    def read(value: object) -> float:  # named, as older versions of typer ask for its name
        return _read_number(value, low=low, high=high, is_whole=True)

    return typer.Option(name, metavar=metavar, parser=read, help=f"{help_text} {limits}.")


def seconds_option(name: str, low: float, help_text: str) -> Any:
    """Give an option that takes seconds."""

    def read(value: object) -> float:
        return _read_number(value, low=low, high=NO_LIMIT, is_whole=False)

    return typer.Option(name, metavar="SECONDS", parser=read, help=help_text)


def choice_option(name: str, choices: type[StrEnum], help_text: str) -> Any:
    """Give an option that takes one of a few words."""
    metavar = f"[{'|'.join(choices)}]"

    def read(value: object) -> StrEnum:
        return _chosen(choices, value)

    return typer.Option(name, metavar=metavar, parser=read, help=help_text)


def wrong_use_text(error: Any, group: Any, typed: Sequence[str]) -> str:
    """Give what is said of wrong use: what was wrong and where, an example, the way to the help.

    Parameters
    ----------
    error : the error of the command line, of any kind
    group : all commands
    typed : the words behind `sunsched`
    """
    if type(error).__name__ == "NoArgsIsHelpError":
        return str(error.message)
    command = group if error.ctx is None else error.ctx.command
    if error.ctx is None:  # not every error knows in which command it was made
        command = next((group.commands[word] for word in typed if word in group.commands), group)
    where, problem = _where(error, command, typed)
    if hasattr(command, "commands"):
        return f"{where}{problem}\n  hint: `sunsched --help` lists the commands"
    example = (command.epilog or "").removeprefix("Example: ")
    hint = f"`sunsched {command.name} --help` explains all"
    return f"{where}{problem}\n  hint: type such as `{example}`; {hint}"


def _where(error: Any, command: Any, typed: Sequence[str]) -> tuple[str, str]:
    """Say which words are wrong, and what is wrong with them."""
    from sunsched.folder.text.words import did_you_mean, listed

    option = getattr(error, "option_name", "")
    kind = type(error).__name__
    if kind == "MissingParameter":
        name = _name(error.param)
        return f"{name}: ", _told("missing", None, _meant(name, error.param), "")
    below = _below_zero(option, typed) if kind == "NoSuchOption" else ""
    if below:
        problem = "a figure below zero, which looks like an option"
        return "", _told(problem, below, "one above zero, such as `20`", "")
    if kind == "NoSuchOption":
        known = [name for one in command.params for name in one.opts if name.startswith("-")]
        near = did_you_mean(option, [*known, "--help"])
        return f"{option}: ", _told("no such option", None, "" if near else listed(known), near)
    if kind == "BadOptionUsage":
        param = next((one for one in command.params if option in one.opts), None)
        if getattr(param, "is_flag", False):
            return f"{option}: ", _told("it takes no value", None, f"`{option}` alone", "")
        expected = _meant(option, param)
        return f"{option}: ", _told("nothing stands behind it", None, expected, "")
    message = str(error.message)
    if isinstance(error, typer.BadParameter):
        named = error.param_hint or ("" if error.param is None else _name(error.param))
        return f"{named}: " if named else "", message
    if hasattr(command, "commands"):
        word = re.search("'(.*?)'", message)
        near = did_you_mean(word[1], command.commands) if word else ""
        every = "" if near else listed(command.commands)
        return "", _told("no such command", word[1] if word else None, every, near)
    extra = re.search(r" \((.*)\)\.?$", message)
    expected = 'a name with spaces in quotes, such as `"our day"`'
    return "", _told("more words than it takes", extra[1] if extra else None, expected, "")


def _below_zero(option: str, typed: Sequence[str]) -> str:
    """Give the figure that was typed where an option of its first signs was looked for."""
    if not re.fullmatch(r"-\d.*", option):
        return ""
    return next((word for word in typed if word.startswith(option)), option)


def _name(param: Any) -> str:
    """Give an option as it is typed, or an argument as the help has it."""
    if param.opts and param.opts[0].startswith("-"):
        return str(param.opts[0])
    return str(param.metavar or param.name).strip("[]")


def _meant(name: str, param: Any) -> str:
    """Say what stands behind an option or for an argument, with an example where one is known."""
    metavar = str(getattr(param, "metavar", "") or "")
    if metavar.startswith("[") and "|" in metavar:
        words = [f"`{name} {one}`" for one in metavar.strip("[]").split("|")]
        return f"{', '.join(words[:-1])} or {words[-1]}"
    example = OWN_EXAMPLES.get(name) or EXAMPLES.get(metavar, metavar)
    if name.startswith("-"):
        return f"a value, such as `{name} {example}`"
    help_text = str(getattr(param, "help", "") or metavar)
    return help_text[:1].lower() + help_text[1:].rstrip(".")


def _told(problem: str, value: str | None, expected: str, hint: str) -> str:
    from sunsched.folder.text.findings import shown

    text = problem if value is None or not shown(value) else f"{problem}: `{shown(value)}`"
    if expected:
        text += f" (expected {expected})"
    return f"{text}\n  hint: {hint}" if hint else text


def _read_number(value: object, *, low: float, high: float, is_whole: bool) -> float:
    """Read the number of an option; its default comes here too."""
    from sunsched.folder.text.words import WordError, number, whole

    read: Callable[[], float] = partial(number, str(value), low, high)
    if is_whole:
        read = partial(whole, str(value), int(low), int(high))
    try:
        return read()
    except WordError as error:
        expected = error.expected
        if high == NO_LIMIT:
            expected = re.sub(r"from (\S+) to [\d.e+]+", r"of at least \1", expected)
        problem = error.problem if str(value).strip() else "blank"
        raise typer.BadParameter(_told(problem, str(value), expected, error.hint)) from None


def _chosen(choices: Iterable[Chosen], value: object) -> Chosen:
    """Read one of a few words, in any case."""
    from sunsched.folder.text.words import did_you_mean, listed

    every = list(choices)
    for one in every:
        if str(value).strip().casefold() == one.value:
            return one
    problem = "not one of the words that it takes" if str(value).strip() else "blank"
    expected = listed(f"`{one}`" for one in every)
    raise typer.BadParameter(_told(problem, str(value), expected, did_you_mean(str(value), every)))
