"""A decision as somebody writes it: times, shots and names, read with every fault at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from sunsched.day.demand import (
    CallAt,
    Cut,
    Decision,
    Demand,
    First,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    WrapAt,
)
from sunsched.day.model import Day
from sunsched.errors import FolderError
from sunsched.folder.text.clock import Calendar, clock_time
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError, clean, id_list, key_of
from sunsched.whatif.price.decision import check_decision


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A decision in words. Times are on the local clock; one before the call is the next day's.

    `at`, `before` and `after` are about the shot of the same place in `shots`; `releases` are such
    as `Ana=15:00`, `keep_orders` such as `4,7,9`.
    """

    shots: Sequence[str] = ()
    at: Sequence[str] = ()
    before: Sequence[str] = ()
    after: Sequence[str] = ()
    meal: str | None = None
    releases: Sequence[str] = ()
    wrap: str | None = None
    call: str | None = None
    cuts: Sequence[str] = ()
    first: str | None = None
    keep_orders: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reader:
    day: Day
    findings: Findings = field(default_factory=Findings)
    demands: list[Demand] = field(default_factory=list)

    def time(self, text: str, option: str, *, is_nearest: bool = False) -> datetime | None:
        """Read a clock time of this day, or note what is wrong with it.

        One before the call is the next day's, or if `is_nearest` this day's, as a call may be.
        """
        where = Where(file="decision", column=option)
        call = self.day.hours.crew_call.astimezone(self.day.place.zone).time()
        calendar = Calendar(date=self.day.date, zone=self.day.place.zone, call=call)
        try:
            clock = clock_time(text)
        except WordError as error:
            self.findings.fault(
                where, error.problem, text, expected=error.expected, hint=error.hint
            )
            return None
        if is_nearest:
            return calendar.nearest(clock, self.day.hours, where, self.findings)
        return calendar.at(clock, where, self.findings)

    def is_written(self, shot: str, option: str) -> bool:
        """Say whether a shot is named, or note that it is not."""
        if not clean(shot):
            self.fault(option, "blank", None, "a shot of the list, such as 7")
        return bool(clean(shot))

    def fault(self, option: str, problem: str, value: str | None, expected: str) -> None:
        """Note something else that is wrong."""
        self.findings.fault(
            Where(file="decision", column=option), problem, value, expected=expected
        )


def read_decision(day: Day, asked: Asked) -> Decision:
    """Read a decision about a day; nothing asked gives an empty one.

    Parameters
    ----------
    day : the day
    asked : the decision in words

    Returns
    -------
    Decision
        Demands, to be priced by `price`.

    Raises
    ------
    FolderError
        With everything that cannot be read.
    SunschedError, DayImpossible
        As `check_decision`.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> len(sunsched.read_decision(day, sunsched.Asked(meal="12:00", cuts=["3"])))
    2
    """
    reader = _Reader(day=day)
    _read_rolls(reader, asked)
    if asked.meal is not None:
        time = reader.time(asked.meal, "--meal")
        if time is not None:
            reader.demands.append(MealAt(time=time))
    for text in asked.releases:
        name, sign, clock = text.rpartition("=")
        if not sign:
            reader.fault(
                "--release", "no name and time", text, "a name and a time, such as Ana=15:00"
            )
            continue
        time = reader.time(clock, "--release")
        if time is not None:
            reader.demands.append(ReleaseAt(cast=_cast_name(day, name), time=time))
    if asked.wrap is not None:
        time = reader.time(asked.wrap, "--wrap")
        if time is not None:
            reader.demands.append(WrapAt(time=time))
    if asked.call is not None:
        time = reader.time(asked.call, "--call", is_nearest=True)
        if time is not None:
            reader.demands.append(CallAt(time=time))
    for shot in asked.cuts:
        if reader.is_written(shot, "--cut"):
            reader.demands.append(Cut(shot=clean(shot)))
    if asked.first is not None and reader.is_written(asked.first, "--first"):
        reader.demands.append(First(shot=clean(asked.first)))
    for text in asked.keep_orders:
        _read_order(reader, text)
    if reader.findings.faults:
        raise FolderError(tuple(reader.findings.faults))
    decision = tuple(reader.demands)
    check_decision(day, decision)
    return decision


def _read_rolls(reader: _Reader, asked: Asked) -> None:
    kinds: tuple[tuple[str, Sequence[str], type[RollAt | RollBefore | RollAfter]], ...] = (
        ("--at", asked.at, RollAt),
        ("--before", asked.before, RollBefore),
        ("--after", asked.after, RollAfter),
    )
    given = [(option, texts, kind) for option, texts, kind in kinds if texts]
    if asked.shots and not given:
        reader.fault("--shot", "no time", asked.shots[0], "--at, --before or --after with it")
    for option, texts, kind in given:
        if len(texts) != len(asked.shots):
            expected = f"as many times as shots with --shot, {len(asked.shots)}"
            reader.fault(option, f"{len(texts)} of them", None, expected)
            continue
        for shot, text in zip(asked.shots, texts, strict=True):
            time = reader.time(text, option)
            if reader.is_written(shot, "--shot") and time is not None:
                reader.demands.append(kind(shot=clean(shot), time=time))


def _read_order(reader: _Reader, text: str) -> None:
    try:
        shots = id_list(text)
    except WordError as error:
        reader.fault("--keep-order", error.problem, text, error.expected)
        return
    if len(shots) < 2:
        reader.fault("--keep-order", "no order", text, "two shots and more, such as 4,7,9")
        return
    reader.demands.append(KeepOrder(shots=shots))


def _cast_name(day: Day, text: str) -> str:
    """Give a name as the day writes it, whatever its capitals."""
    known = {key_of(member.name): member.name for member in day.cast}
    return known.get(key_of(text), clean(text))
