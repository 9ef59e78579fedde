"""Decisions kept and lifted: the file is written anew, whole or not at all.

Several people may do so at once: each reads what the others have decided before, and nobody writes
meanwhile.
"""

from __future__ import annotations

import codecs
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sunsched.day.contradiction import contradictions
from sunsched.day.decided import demand_text
from sunsched.day.demand import Demand, subject_of
from sunsched.day.model import Day
from sunsched.errors import DayImpossible, Fault, FolderError, SunschedError
from sunsched.folder.decisions.file import DECISIONS_FILE, Text, read_text
from sunsched.folder.decisions.read import check_held
from sunsched.folder.decisions.row import cells_of, demand_of, read_said
from sunsched.folder.read import added_ids, read_folder
from sunsched.folder.store.shared import rewrite
from sunsched.folder.tables.table import Row
from sunsched.folder.text.findings import Findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What keeping or lifting a decision did.

    `day` obeys what stands now; `gone` are the decisions that no longer stand.
    """

    day: Day
    gone: tuple[Demand, ...] = ()


def keep_decision(folder: Path | str, *demands: Demand) -> Kept:
    """Make demands decisions of the day, in its `decisions.csv`; every command obeys them then.

    One about the same subject, such as another time for the same shot, takes the place of the one
    that stood.

    Parameters
    ----------
    folder : Path or str
        The day folder.
    demands : Demand
        What is decided, as `read_decision` gives it: all of it is kept, or nothing.

    Returns
    -------
    Kept
        The day under its decisions, and those that were replaced.

    Raises
    ------
    FolderError
        When the folder or its decisions are at fault.
    DayImpossible
        When they contradict decisions that stand; the text names both.
    SunschedError
        For a kind of decision that no day can be told: before, after, first.
    WriteRefused
        When the file cannot be written; it is then as it was.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import date, time
    >>> from pathlib import Path
    >>> from sunsched.folder.starter import starter_texts
    >>> folder, place = Path(tempfile.mkdtemp()), sunsched.example_day().place
    >>> texts = starter_texts("A day", place, date(2027, 6, 9), (time(8), time(20)), 80, 260)
    >>> for name, text in texts.items():
    ...     _ = (folder / name).write_text(text, encoding="utf-8")
    >>> asked = sunsched.Asked(meal="12:30")
    >>> (meal,) = sunsched.read_decision(sunsched.read_day(folder), asked)
    >>> sunsched.keep_decision(folder, meal).gone
    ()
    >>> sunsched.read_day(folder).decisions == (meal,)
    True
    """
    folder = Path(folder)
    asked = read_folder(folder, decided=False).asked
    gone: list[Demand] = []

    def change(content: bytes) -> bytes:
        after, gone[:] = _with_all(content, demands, asked, added_ids(folder))
        return after

    rewrite(folder / DECISIONS_FILE, change)
    return Kept(day=read_folder(folder).day, gone=tuple(gone))


def refuse_unkept(folder: Path, *demands: Demand) -> None:
    """Refuse what `keep_decision` would refuse as the decisions stand now, and write nothing."""
    asked = read_folder(folder, decided=False).asked
    path = folder / DECISIONS_FILE
    _with_all(path.read_bytes() if path.is_file() else b"", demands, asked, added_ids(folder))


def lift_decision(folder: Path | str, demand: Demand) -> Kept:
    """Take a decision of the day back; its line goes from `decisions.csv`.

    Parameters
    ----------
    folder : Path or str
        The day folder.
    demand : Demand
        One of the day's `decisions`.

    Returns
    -------
    Kept
        The day under the decisions that are left, and the one that was lifted.

    Raises
    ------
    FolderError
        When the folder or its decisions are at fault.
    SunschedError
        When it does not stand, maybe as somebody else has lifted it.
    WriteRefused
        When the file cannot be written; it is then as it was.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import date, time
    >>> from pathlib import Path
    >>> from sunsched.folder.starter import starter_texts
    >>> folder, place = Path(tempfile.mkdtemp()), sunsched.example_day().place
    >>> texts = starter_texts("A day", place, date(2027, 6, 9), (time(8), time(20)), 80, 260)
    >>> for name, text in texts.items():
    ...     _ = (folder / name).write_text(text, encoding="utf-8")
    >>> asked = sunsched.Asked(meal="12:30")
    >>> (meal,) = sunsched.read_decision(sunsched.read_day(folder), asked)
    >>> _ = sunsched.keep_decision(folder, meal)
    >>> sunsched.lift_decision(folder, meal).day.decisions
    ()
    """
    folder = Path(folder)
    asked = read_folder(folder, decided=False).asked

    def change(content: bytes) -> bytes:
        text, held = _held(content, asked, added_ids(folder))
        rows = [row for row, one in held if one == demand]
        if not rows:
            raise SunschedError(f"no such decision: {demand_text(asked, demand)}")
        return _encoded(text.without(rows[0]), content)

    rewrite(folder / DECISIONS_FILE, change)
    return Kept(day=read_folder(folder).day, gone=(demand,))


def _with_all(
    content: bytes, demands: Sequence[Demand], asked: Day, added: frozenset[str]
) -> tuple[bytes, list[Demand]]:
    """Give the content with some decisions, and those whose places they take."""
    gone: list[Demand] = []
    for demand in demands:
        content, other = _with(content, demand, asked, added)
        gone += other
    return content, gone


def _with(
    content: bytes, demand: Demand, asked: Day, added: frozenset[str]
) -> tuple[bytes, list[Demand]]:
    """Give the content with a decision, and those whose place it takes."""
    cells = cells_of(asked, demand)
    text, held = _held(content, asked, added)
    same = [(row, one) for row, one in held if subject_of(one) == subject_of(demand)]
    if [one for _, one in same] == [demand]:
        return content, []
    first = same[0][0] if same else None
    after = _encoded(text.put(cells, first), content)
    _check(after, demand, asked, added)
    return after, [one for _, one in same]


def _held(
    content: bytes, asked: Day, added: frozenset[str]
) -> tuple[Text, list[tuple[Row, Demand]]]:
    """Read the decisions that stand.

    Raises
    ------
    FolderError
        With every fault of theirs.
    """
    findings = Findings()
    text, held = _read(content, asked, added, findings)
    check_held(held, asked, findings)
    if findings.faults or text is None:
        raise FolderError(tuple(findings.faults))
    return text, held


def _read(
    content: bytes, asked: Day, added: frozenset[str], findings: Findings
) -> tuple[Text | None, list[tuple[Row, Demand]]]:
    text = read_text(content, findings)
    held: list[tuple[Row, Demand]] = []
    for row in () if text is None else text.rows:
        said = read_said(row, findings)
        demand = None if said is None else demand_of(said, asked, added, findings)
        if demand is not None:
            held.append((row, demand))
    return text, held


def _check(after: bytes, demand: Demand, asked: Day, added: frozenset[str]) -> None:
    """Refuse a decision that contradicts one that stands, or the day.

    Raises
    ------
    DayImpossible
        With both in its text.
    """
    findings = Findings()
    _, held = _read(after, asked, added, findings)
    if not findings.faults and demand not in [one for _, one in held]:
        raise SunschedError(f"cannot be written as a clock time: {demand_text(asked, demand)}")
    decision = tuple(one for _, one in held)
    texts = []
    for found in contradictions(asked, decision):
        other = next((held[place] for place in found.places if decision[place] != demand), None)
        hint = "" if other is None else f"\n  hint: {_standing_text(asked, *other)}; lift it first"
        texts.append(found.text + hint)
    if not texts:
        check_held(held, asked, findings)
        texts = [_text(asked, demand, fault) for fault in findings.faults]
    if texts:
        raise DayImpossible("\n".join(texts))


def _text(asked: Day, demand: Demand, fault: Fault) -> str:
    expected = f" (expected {fault.expected})" if fault.expected else ""
    hint = f"\n  hint: {fault.hint}" if fault.hint else ""
    return f"{demand_text(asked, demand)}: {fault.problem}{expected}{hint}"


def _standing_text(day: Day, row: Row, demand: Demand) -> str:
    """Say which decision stands and where, such as `decisions.csv:3 says: 7 is cut`."""
    return f"{row.file}:{row.line} says: {demand_text(day, demand)}"


def _encoded(text: str, content: bytes) -> bytes:
    """Give a text as bytes, with the mark and the line ends of the content that it replaces."""
    mark = codecs.BOM_UTF8 if content.startswith(codecs.BOM_UTF8) else b""
    end = "\r\n" if b"\r\n" in content else "\n"
    return mark + text.replace("\n", end).encode()
