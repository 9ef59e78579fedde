"""One row of the decisions: the words that it says, the demand that they mean, and back."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, time

from sunsched.day.demand import (
    CallAt,
    Cut,
    Demand,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAt,
    WrapAt,
)
from sunsched.day.model import Day
from sunsched.errors import SunschedError
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row
from sunsched.folder.text import clock, words
from sunsched.folder.text.clock import Calendar
from sunsched.folder.text.findings import Findings
from sunsched.folder.text.words import WordError

COLUMNS = ("decision", "subject", "time")
SHOT = "a shot of the list, such as 7"
# Each word with what its subject is, "" for one that has none.
SUBJECTS = {
    "at": SHOT,
    "meal": "",
    "release": "the name of a cast member",
    "wrap": "",
    "call": "",
    "cut": SHOT,
    "keep-order": "two shots and more, such as 4 7 9",
}
TIMELESS = ("cut", "keep-order")
# What `price` can say besides; no day can be told it.
UNKEPT = ("before", "after", "first")
A_TIME = "a time, such as 13:00"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a row says, whatever day it is about; `time` is None for a word without one."""

    row: Row
    word: str
    shots: tuple[str, ...] = ()
    cast: str = ""
    time: time | None = None


def read_said(row: Row, findings: Findings) -> Said | None:
    """Read the words of a row; None, with every fault noted, where they say nothing."""
    before = len(findings.faults)
    cells = Cells(row=row, findings=findings)
    word = cells.need("decision", _word, "", words.listed(SUBJECTS))
    if not word:
        return None
    subject, has_time = SUBJECTS[word], word not in TIMELESS
    shots: tuple[str, ...] = ()
    cast = ""
    if word in ("at", "cut"):
        shot = cells.need("subject", words.shot_id, "", subject)
        shots = (shot,)
    elif word == "keep-order":
        shots = cells.need("subject", _order, (), subject)
    elif word == "release":
        cast = cells.need("subject", words.line_of_text, "", subject)
    else:
        _note_needless(row, "subject", word, findings)
    at = cells.need("time", clock.clock_time, None, A_TIME) if has_time else None
    if not has_time:
        _note_needless(row, "time", word, findings)
    if len(findings.faults) > before or row.unreadable:
        return None
    return Said(row=row, word=word, shots=shots, cast=cast, time=at)


def demand_of(said: Said, day: Day, added: Collection[str], findings: Findings) -> Demand | None:
    """Give what a row demands of a day; None, with every fault noted, where the day knows it not.

    Parameters
    ----------
    added : ids of shots that the log adds to those of the list
    """
    row, known = said.row, [*(shot.id for shot in day.shots), *added]
    unknown = [shot for shot in said.shots if shot not in known]
    for shot in unknown:
        hint = words.did_you_mean(shot, known)
        expected = "" if hint else words.choice(known, "shot") or "a shot of the list"
        findings.fault(row.at("subject"), "no such shot", shot, expected=expected, hint=hint)
    if unknown:
        return None
    if said.word == "cut":
        return Cut(shot=said.shots[0])
    if said.word == "keep-order":
        return KeepOrder(shots=said.shots)
    when = _moment(said, day, findings)
    name = _cast_name(said, day, findings) if said.word == "release" else ""
    if when is None or name is None:
        return None
    match said.word:
        case "at":
            return RollAt(shot=said.shots[0], time=when)
        case "release":
            return ReleaseAt(cast=name, time=when)
        case "meal":
            return MealAt(time=when)
        case "wrap":
            return WrapAt(time=when)
        case _:
            return CallAt(time=when)


def cells_of(day: Day, demand: Demand) -> dict[str, str]:
    """Write a demand as the cells of a row.

    Raises
    ------
    SunschedError
        For one that cannot be kept: no day can be told it.
    """

    def local(when: datetime) -> str:
        return f"{when.astimezone(day.place.zone):%H:%M}"

    match demand:
        case RollAt():
            return {"decision": "at", "subject": demand.shot, "time": local(demand.time)}
        case MealAt():
            return {"decision": "meal", "time": local(demand.time)}
        case ReleaseAt():
            return {"decision": "release", "subject": demand.cast, "time": local(demand.time)}
        case WrapAt():
            return {"decision": "wrap", "time": local(demand.time)}
        case CallAt():
            return {"decision": "call", "time": local(demand.time)}
        case Cut():
            return {"decision": "cut", "subject": demand.shot}
        case KeepOrder():
            return {"decision": "keep-order", "subject": " ".join(demand.shots)}
        case _:
            kinds = words.listed(UNKEPT)
            raise SunschedError(
                f"a decision of the kind {kinds} is priced and cannot be kept\n"
                f"  hint: kept can be {words.listed(SUBJECTS)}"
            )


def _word(text: str) -> str:
    word = words.key_of(text)
    if word in SUBJECTS:
        return word
    near = words.did_you_mean(text, SUBJECTS)
    expected = "" if near else words.listed(SUBJECTS)
    if word in UNKEPT:
        raise WordError("not a decision that can be kept", expected=words.listed(SUBJECTS))
    raise WordError("not a decision", expected=expected, hint=near)


def _order(text: str) -> tuple[str, ...]:
    shots = words.id_list(text)
    if len(shots) < 2:
        raise WordError("no order", expected=SUBJECTS["keep-order"])
    return shots


def _note_needless(row: Row, column: str, word: str, findings: Findings) -> None:
    """Note a cell that its decision has no use for: it was meant to say something else."""
    if column in row.cells:
        problem = f"a {column}, which `{word}` does not have"
        findings.fault(row.at(column), problem, row.cells[column], expected="a blank cell")


def _moment(said: Said, day: Day, findings: Findings) -> datetime | None:
    if said.time is None:
        return None
    zone, where = day.place.zone, said.row.at("time")
    if said.word == "call":
        return clock.moment(day.date, said.time, zone, where, findings)
    call = day.hours.crew_call.astimezone(zone).time()
    return Calendar(date=day.date, zone=zone, call=call).at(said.time, where, findings)


def _cast_name(said: Said, day: Day, findings: Findings) -> str | None:
    known = {words.key_of(member.name): member.name for member in day.cast}
    name = known.get(words.key_of(said.cast))
    if name is None:
        hint = words.did_you_mean(said.cast, known.values())
        expected = "" if hint or not known else words.choice(list(known.values()), "cast")
        where = said.row.at("subject")
        findings.fault(where, "no such cast member", said.cast, expected=expected, hint=hint)
    return name
