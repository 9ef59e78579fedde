"""The rest of the day planned anew: at first quickly, then as `replan` does it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sunsched.average.plan import AveragePlan
from sunsched.desk.answers.known import Known, known, newest_saved
from sunsched.desk.answers.on_set.choices import choice_records
from sunsched.desk.watched.version import version_of
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError, Undecided
from sunsched.folder.log.event import Kind
from sunsched.folder.log.log import Log, imagine_events
from sunsched.saved.plan_file import Revision
from sunsched.saved.restore import revision_day
from sunsched.saved.silence import Wanted, find_silence
from sunsched.show.text.average_day.replan import average_choices
from sunsched.whatif.replan.average import AverageReplan
from sunsched.whatif.replan.followed import replan_followed

NO_PLAN = "no plan is saved that the day could have gone by: save one on the page of the day"
FIRST_S = 0.5  # for the answer that is shown while the rest is searched
Record = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a rest is planned from.

    `unnoted` gives the events that the log does not have yet and a choice stands on: what went by
    the plan in a silence, and the minutes lost.
    """

    one: Known
    saved: Revision
    at: datetime
    unnoted: Wanted


def answer(
    memory: Memory, *, folder: str, at: int, late_min: int, assume: str | None
) -> Iterator[Record]:
    """Give the choices, twice: as they look at first, and as they are.

    Parameters
    ----------
    at : the moment from which on minutes are lost, in milliseconds since 1970
    late_min : how many
    assume : after a silence of the log, `plan` if all went by the saved plan since, `log` if only
        what is noted has happened; None to be asked
    """
    path = Path(folder)
    one = known(memory, path)
    saved = newest_saved(memory, path)
    if saved is None:
        raise SunschedError(NO_PLAN)
    moment = datetime.fromtimestamp(at / 1000, UTC)
    silence = find_silence(one.reading.day, one.log, saved, moment)
    if silence is not None and assume is None:
        yield {"silence": silence.text}
        return
    asked = ask(one, saved, moment, late_min, assume)
    told = {
        "at": at,
        "late_min": late_min,
        "assume": assume,
        "follows": saved.number,
        "known": len(one.log.events),
    }
    try:
        first = plan_rest(memory, asked, limit_s=FIRST_S)
    except Undecided:
        first = None
    if first is not None:
        yield {**told, "is_final": False, **choice_records(first, saved.number)}
    found = found_rest(memory, asked, late_min, assume)
    yield {**told, "is_final": True, **choice_records(found, saved.number)}


def ask(one: Known, saved: Revision, at: datetime, late_min: int, assume: str | None) -> Asked:
    """Put together what a rest is planned from."""
    silence = find_silence(one.reading.day, one.log, saved, at) if assume == "plan" else None
    lost = {"event": Kind.LATE.value, "value": str(late_min), "at": at.isoformat()}

    def unnoted(log: Log) -> Sequence[dict[str, str]]:
        rows = [] if silence is None else [*silence.wanted(log)]
        return [*rows, lost] if late_min else rows

    return Asked(one=one, saved=saved, at=at, unnoted=unnoted)


def found_rest(memory: Memory, asked: Asked, late_min: int, assume: str | None) -> AverageReplan:
    """Give the rest of the day; the same question has the same answer in every process."""
    folder = asked.one.folder
    key = ("rest", folder, version_of(folder), asked.at, late_min, assume)
    return memory.keep(key, lambda: plan_rest(memory, asked))


def plan_rest(memory: Memory, asked: Asked, limit_s: float | None = None) -> AverageReplan:
    """Plan the rest as if what is lost were noted.

    Raises
    ------
    Left
        When nobody waits for it any more.
    """
    one, saved = asked.one, asked.saved
    day = one.reading.day
    log, _ = imagine_events(one.folder, day, asked.unnoted)
    before = revision_day(one.folder, day, saved)
    found = replan_followed(
        day,
        log.events,
        saved,
        before,
        at=asked.at,
        limit_s=limit_s,
        progress=lambda _: memory.refuse_left(),
        is_ended=memory.is_left,
    )
    memory.refuse_left()
    return found


def taken(found: AverageReplan, name: str) -> AveragePlan:
    """Give the plan of a choice by its word."""
    choices = average_choices(found)
    if name not in choices:
        raise SunschedError(f"`{name}` cannot be had now: there is {' and '.join(choices)}")
    return choices[name].plan
