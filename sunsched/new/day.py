"""A day folder made of what a form asks for, or what is still open of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TypeVar

from sunsched.errors import Fault, FolderError, SunschedError, WriteRefused
from sunsched.folder.intake.file import list_of_bytes, list_of_text
from sunsched.folder.intake.question import Question
from sunsched.folder.intake.settle import Settled
from sunsched.folder.intake.take import Taken
from sunsched.folder.place import take
from sunsched.folder.place.candidate import Candidate
from sunsched.folder.store.write import check_new_folder, write_folder
from sunsched.folder.text.clock import calendar_date, clock_time
from sunsched.folder.text.findings import Findings, shown
from sunsched.folder.text.words import WordError
from sunsched.new.answer import Key, settle_answered
from sunsched.new.filled import new_texts
from sunsched.new.laid import hours_by_sun, laid_texts
from sunsched.sky.events import SunEvents

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedDay:
    """What somebody writes of a new day; blank hours are laid between sun and sun.

    `listed` is a shot list: a text that was pasted, or the bytes of a file of the name `list_name`.
    Without one the day has the starter's own shots. `answers` are those to what the list left open.
    """

    place: str
    date: str
    call: str = ""
    wrap: str = ""
    title: str = ""
    listed: str | bytes | None = None
    list_name: str = ""
    answers: Mapping[Key, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDay:
    """What keeps a new day from being made; nothing was written.

    `problems` has a text for each field of the form at fault: `folder`, `place`, `date`, `call`,
    `wrap`, `listed`. `candidates` are the places that the text may mean: each is written as its
    `write`. `faults` are those of the list and of the day made with it. `questions` are what the
    list leaves open, `refused` why an answer was not taken, by the question's key. `notes` say what
    of the list was taken for what.
    """

    problems: dict[str, str]
    candidates: tuple[Candidate, ...] = ()
    faults: tuple[Fault, ...] = ()
    questions: tuple[Question, ...] = ()
    refused: dict[Key, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeDay:
    """A day folder that was made, and what was taken for its place, its hours and its shots.

    `is_laid` says that the hours were laid between sun and sun; `shots` is how many came from the
    list, None for the starter's own.
    """

    folder: Path
    files: tuple[str, ...]
    place: take.Taken
    events: SunEvents
    hours: tuple[dt.time, dt.time]
    is_laid: bool
    shots: int | None
    notes: tuple[str, ...]


@dataclass(slots=True, kw_only=True)
class _Form:
    """What is found out of a form, and what is wrong with it."""

    problems: dict[str, str] = field(default_factory=dict)
    candidates: tuple[Candidate, ...] = ()
    faults: tuple[Fault, ...] = ()

    def read(self, name: str, text: str, reader: Callable[[str], Value]) -> Value | None:
        try:
            return reader(text)
        except WordError as error:
            value = f": `{shown(text.strip())}`" if text.strip() else ""
            self.problems[name] = _why(error, value)
        except SunschedError as error:
            self.problems[name] = str(error)
        return None


class _SeveralPlaces(Exception):
    def __init__(self, found: Sequence[Candidate]) -> None:
        self.found = tuple(found)


def make_day_folder(folder: Path, asked: AskedDay) -> MadeDay | OpenDay:
    """Make a day folder, all of it or nothing.

    Parameters
    ----------
    folder : Path
        A folder that does not exist yet, or an empty one.
    asked : AskedDay
        What is known of the day. No file is looked for by what it says.

    Returns
    -------
    MadeDay or OpenDay
        The day that was made, or all that is still open, each at its field.
    """
    form = _Form()
    form.read("folder", "", lambda _: check_new_folder(folder))
    taken = _place(form, asked.place)
    on = form.read("date", asked.date, calendar_date)
    call = form.read("call", asked.call, clock_time) if asked.call.strip() else None
    wrap = form.read("wrap", asked.wrap, clock_time) if asked.wrap.strip() else None
    listed = _listed(form, asked)
    settled, refused = (None, {}) if listed is None else settle_answered(listed, asked.answers)
    opened = partial(
        OpenDay,
        questions=settled.questions if settled else (),
        refused={key: _why(error) for key, error in refused.items()},
        notes=_notes(listed, settled),
    )
    if taken is None or on is None or form.problems or (settled and settled.questions):
        return opened(problems=form.problems, candidates=form.candidates, faults=form.faults)
    events, laid = hours_by_sun(taken.place, on)
    hours = call or laid[0], wrap or laid[1]
    if hours[0] == hours[1]:
        return opened(problems={"wrap": "the call and the wrap are one"})
    texts = laid_texts(asked.title.strip() or folder.name, taken.place, on, hours, events)
    try:
        texts = texts if settled is None else new_texts(texts, settled)
        write_folder(folder, texts)
    except FolderError as error:
        return opened(problems={"listed": str(error)}, faults=error.faults)
    except WriteRefused as error:
        return opened(problems={"folder": str(error)})
    return MadeDay(
        folder=folder,
        files=tuple(texts),
        place=taken,
        events=events,
        hours=hours,
        is_laid=call is None or wrap is None,
        shots=None if settled is None else len(settled.rows),
        notes=_notes(listed, settled),
    )


def read_list(listed: str | bytes, name: str = "") -> Taken | None:
    """Read a shot list as it comes.

    Parameters
    ----------
    listed : str or bytes
        A text that was pasted, or the bytes of a file.
    name : str
        The name of the file, for faults.

    Raises
    ------
    FolderError
        With every fault.
    """
    findings = Findings()
    if isinstance(listed, str):
        found = list_of_text(listed, findings)
    else:
        found = list_of_bytes(listed, name, findings)
    if findings.faults:
        raise FolderError(tuple(findings.faults))
    return found


def _place(form: _Form, text: str) -> take.Taken | None:
    def several(found: Sequence[Candidate]) -> int:
        raise _SeveralPlaces(found)

    try:
        return form.read("place", text, partial(take.take_written, choose=several))
    except _SeveralPlaces as error:
        form.candidates = error.found
        form.problems["place"] = f"it may mean {len(error.found)} places"
        return None


def _listed(form: _Form, asked: AskedDay) -> Taken | None:
    if asked.listed is None:
        return None
    try:
        return read_list(asked.listed, asked.list_name)
    except FolderError as error:
        form.faults = error.faults
        form.problems["listed"] = str(error)
        return None


def _notes(listed: Taken | None, settled: Settled | None) -> tuple[str, ...]:
    return (*(listed.notes if listed else ()), *(settled.notes if settled else ()))


def _why(error: WordError, value: str = "") -> str:
    expected = f" (expected {error.expected})" if error.expected else ""
    hint = f"\n  hint: {error.hint}" if error.hint else ""
    return f"{error.problem}{value}{expected}{hint}"
