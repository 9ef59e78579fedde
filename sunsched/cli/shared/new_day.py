"""A new day at a place on a date, for the commands that make one: asked for, laid and told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from sunsched.cli.shared.app import terminal_width
from sunsched.cli.shared.asking import ask, choose_of, is_terminal
from sunsched.cli.shared.wrong_use import refuse
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from sunsched.folder.place.take import Taken

DEFAULT_PLACE = "Lisbon"
Value = TypeVar("Value")


def new_day_texts(
    title: str,
    at: str | None,
    date: str | None,
    call: str | None = None,
    wrap: str | None = None,
    *,
    asks_hours: bool = True,
) -> tuple[dict[str, str], str]:
    """Give the texts of a starter day's files by name, and what was taken for its place in words.

    What is not given is asked for on a terminal; without one, the hours lie between sunrise and
    sunset. What is asked for wrongly is told.

    Parameters
    ----------
    title : of the day
    at, date, call, wrap : as written, None where they are not
    asks_hours : bool
        False lays the hours without a question.
    """
    from sunsched.folder.starter import hard_wrap_of
    from sunsched.new.laid import hours_by_sun, laid_texts
    from sunsched.show.text.place.taken import place_text

    # Wrong use is told before anything is asked.
    hours = [_read(text, _clock, name) for text, name in ((call, "--call"), (wrap, "--wrap"))]
    on = _date(date)
    taken = _place(at)
    events, between = hours_by_sun(taken.place, on)
    asks = asks_hours and is_terminal()
    laid = _hours(hours, between, asks=asks)
    texts = laid_texts(title, taken.place, on, laid, events)
    is_laid = None in hours and not asks
    return texts, place_text(
        taken, events, (*laid, hard_wrap_of(*laid)), is_laid=is_laid, width=terminal_width()
    )


def _date(text: str | None) -> dt.date:
    from sunsched.folder.text.clock import calendar_date

    if text is None and is_terminal():
        return ask("Which date is the day? (such as 2027-06-09)", calendar_date)
    found = _read(text, calendar_date, "--date")
    if found is None:
        refuse("--date", "missing", expected="the day's date, such as `--date 2027-06-09`")
    return found


def _place(text: str | None) -> Taken:
    from sunsched.folder.place.take import WAYS, take_place

    chosen = choose_of if is_terminal() else None
    if text is not None:
        return place_at(partial(take_place, choose=chosen), text, "--at")
    if chosen is None:
        return take_place(DEFAULT_PLACE)
    return ask(f"Where is it shot? {WAYS}", partial(take_place, choose=chosen), DEFAULT_PLACE)


def place_at(take: Callable[[str], Value], text: str, option: str) -> Value:
    """Take the place that an option names; what is wrong with it is told with the option."""
    try:
        return take(text)
    except SunschedError as error:
        raise SunschedError(f"{option}: {error}") from None


def _hours(
    given: list[dt.time | None], laid: tuple[dt.time, dt.time], *, asks: bool
) -> tuple[dt.time, dt.time]:
    """Give call and wrap: as given, else asked for on a terminal, else between sun and sun."""
    questions = ("When is the crew called?", "When is wrap?")
    found = list(given)
    for number, question in enumerate(questions):
        if found[number] is None:
            default = laid[number]
            read = partial(_other_clock, other=found[1 - number])
            found[number] = ask(question, read, f"{default:%H:%M}") if asks else default
    first, last = found
    if first is None or last is None or first == last:
        refuse("--wrap", "it stands at the call", expected="a later time, such as 19:00")
    return first, last


def _other_clock(text: str, other: dt.time | None) -> dt.time:
    """Read a clock time that is not another one, as wrap is not the call."""
    from sunsched.folder.text.words import WordError

    found = _clock(text)
    if found == other:
        raise WordError("the call and the wrap are one", expected="another time, such as 19:00")
    return found


def _clock(text: str) -> dt.time:
    from sunsched.folder.text.clock import clock_time

    return clock_time(text)


def _read(text: str | None, reader: Callable[[str], Value], option: str) -> Value | None:
    """Read the words of an option; None where it is not written."""
    from sunsched.folder.text.words import WordError

    if text is None:
        return None
    try:
        return reader(text)
    except WordError as error:
        refuse(option, error.problem, text, expected=error.expected, hint=error.hint)
