"""An order to argue: ids in sequence, with or without times, read with all its faults at once."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.errors import Fault, FolderError
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where, shown
from sunsched.plan.timetable import Timetable, meal_place
from sunsched.whatif.orders.pasted import MAX_TEXT, MEAL_WORDS, pasted_entries
from sunsched.whatif.orders.rows import Entry, revision_entries, table_entries


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Shots in sequence, for each the moment when it rolls (UTC) where one is given.

    `meal_after` is the number of shots before the meal, None for a meal wherever it is best;
    `meal_start` its time if one is given.
    """

    ids: tuple[str, ...]
    times: tuple[datetime | None, ...]
    meal_after: int | None = None
    meal_start: datetime | None = None

    @property
    def is_timed(self) -> bool:
        """Whether every shot has a time."""
        return all(when is not None for when in self.times)

    @property
    def has_times(self) -> bool:
        """Whether a shot or the meal has a time."""
        return self.meal_start is not None or any(when is not None for when in self.times)


def order_of(timetable: Timetable) -> Order:
    """Give a timetable as an order with all its times."""
    return Order(
        ids=tuple(roll.shot_id for roll in timetable.rolls),
        times=tuple(roll.roll_start for roll in timetable.rolls),
        meal_after=meal_place(timetable),
        meal_start=timetable.meal_start,
    )


def order_without_times(ids: Iterable[str]) -> Order:
    """Give an order of which nothing but the sequence is known."""
    listed = tuple(ids)
    return Order(ids=listed, times=(None,) * len(listed))


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderReading:
    """An order and what is odd about it without being wrong."""

    order: Order
    warnings: tuple[Fault, ...]


def read_order(source: Path | str, folder: Path | str, day: Day) -> OrderReading:
    """Read an order for a day.

    Parameters
    ----------
    source : path of a .csv, .xlsx or .ods file, or the number of a revision saved in the day folder
    folder : the day folder
    day : what the folder says

    Returns
    -------
    OrderReading
        The order, and what is odd about it.

    Raises
    ------
    FolderError
        With every fault: unknown and doubled ids, times that cannot be read or run backwards.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from pathlib import Path
    >>> folder = Path(tempfile.mkdtemp())
    >>> text = "id\\n4\\n5\\n2\\nmeal\\n3\\n1\\n"
    >>> _ = (folder / "ad.csv").write_text(text)
    >>> day = sunsched.example_day()
    >>> order = sunsched.read_order(folder / "ad.csv", folder, day).order
    >>> order.ids, order.meal_after
    (('4', '5', '2', '3', '1'), 3)
    """
    findings, folder = Findings(), Path(folder)
    if re.fullmatch(r"\d{1,9}", str(source), re.ASCII):
        entries: list[Entry] | None = revision_entries(int(str(source)), folder)
    else:
        entries = table_entries(Path(source), day, findings)
    return _reading(entries, Path(source).name, day, findings)


def read_pasted(text: str, day: Day, name: str = "the order") -> OrderReading:
    """Read an order that somebody typed or pasted, with or without a head.

    Parameters
    ----------
    text : a table, or ids one after the other, with or without times
    day : the day
    name : what it is called in faults

    Returns
    -------
    OrderReading
        The order, and what is odd about it.

    Raises
    ------
    FolderError
        As `read_order`.

    Examples
    --------
    >>> import sunsched
    >>> from sunsched.whatif.orders.order import read_pasted
    >>> order = read_pasted("4, 5, 2, lunch, 3, 1", sunsched.example_day()).order
    >>> order.ids, order.meal_after
    (('4', '5', '2', '3', '1'), 3)
    """
    findings = Findings()
    if len(text) > MAX_TEXT:
        findings.fault(
            Where(file=name), "too long", expected=f"at most {MAX_TEXT:,} characters of text"
        )
        return _reading(None, name, day, findings)
    return _reading(pasted_entries(text, name, day, findings), name, day, findings)


def _reading(entries: list[Entry] | None, name: str, day: Day, findings: Findings) -> OrderReading:
    order = None if entries is None else _ordered(entries, name, day, findings)
    if order is None:
        raise FolderError(tuple(sorted(findings.faults, key=lambda fault: fault.line or 0)))
    return OrderReading(order=order, warnings=tuple(findings.warnings))


def _ordered(every: list[Entry], file: str, day: Day, findings: Findings) -> Order | None:
    """Make an order of the rows of a file; note all that is wrong or odd with them."""
    ids = {shot.id.casefold(): shot.id for shot in day.shots}
    seen: dict[str, Entry] = {}
    made: list[tuple[str, datetime | None]] = []
    meal_after: int | None = None
    skipped: list[Entry] = []
    last: datetime | None = None
    for entry in every:
        key = words.plain_hyphens(entry.text).casefold()
        is_meal = key not in ids and (key or entry.kind) in MEAL_WORDS
        if not key and not is_meal:
            skipped.append(entry)
            continue
        name = "the meal" if is_meal else key
        if name in seen:
            first = seen[name].line
            hint = "" if first is None else f"it is also on line {first}"
            problem = "a meal that stands twice" if is_meal else "a shot that stands twice"
            findings.fault(entry.at("id"), problem, entry.text, hint=hint)
            continue
        seen[name] = entry
        if is_meal:
            meal_after = len(made)
        elif key in ids:
            made.append((ids[key], entry.when))
        else:
            hint = words.did_you_mean(entry.text, ids.values()) or _same_number(entry.text, ids)
            findings.fault(entry.at("id"), "no shot of this id", entry.text, hint=hint)
        if entry.when is not None and not _is_of(day, entry.when):
            when = f"{entry.when:%Y-%m-%d}"
            findings.fault(entry.at("time"), f"not a time of {day.date} or the day after", when)
        elif entry.when is not None and last is not None and entry.when < last:
            hint = "the rows stand in shooting order: sort them by time"
            findings.fault(
                entry.at("time"), "earlier than a row above it", clock(day, entry.when), hint=hint
            )
        last = entry.when if last is None else max(last, entry.when or last)
    whole = Where(file=shown(file))
    if not made and not findings.faults:
        findings.fault(whole, "no shots", expected="one row a shot below the header")
    if findings.faults:
        return None
    if skipped:
        many = "a row" if len(skipped) == 1 else f"{len(skipped)} rows, this one first,"
        hint = "lunch is a row with the id `meal`"
        findings.warn(skipped[0].at("id"), f"{many} without an id: not read", hint=hint)
    missing = [shot_id for key, shot_id in ids.items() if key not in seen]
    if missing:
        verb = "is" if len(missing) == 1 else "are"
        left = f"{words.listed(missing, 'and')} {verb} not in the order: counted as left out"
        findings.warn(whole, left)
    return Order(
        ids=tuple(shot_id for shot_id, _ in made),
        times=tuple(when for _, when in made),
        meal_after=meal_after,
        meal_start=None if meal_after is None else seen["the meal"].when,
    )


def _same_number(text: str, ids: dict[str, str]) -> str:
    """Give the hint that names the ids with the same number, for slips such as `07` or `2F`."""
    number = re.search(r"\d{1,9}", text)
    near = [
        f"`{one}`"
        for one in ids.values()
        if number and any(int(own) == int(number[0]) for own in re.findall(r"\d{1,9}", one))
    ]
    return f"did you mean {words.listed(near[:6])}?" if near else ""


def _is_of(day: Day, when: datetime) -> bool:
    """Say whether a moment is on the day's date or on the next, which a day may run into."""
    return 0 <= (when.astimezone(day.place.zone).date() - day.date).days <= 1
