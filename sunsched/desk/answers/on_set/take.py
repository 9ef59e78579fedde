"""A choice for the rest of the day, saved as a revision; what it stands on is noted first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sunsched.desk.answers import known as reading
from sunsched.desk.answers.known import newest_saved
from sunsched.desk.answers.on_set.rest import NO_PLAN, ask, found_rest, taken
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.saved.plan_file import PastRef
from sunsched.saved.silence import note_unless_more
from sunsched.show.records.saved import save_plan

Record = dict[str, Any]


def answer(
    memory: Memory,
    *,
    folder: str,
    take: str,
    at: int,
    late_min: int,
    assume: str | None,
    follows: int,
    known: int,
    made_at: int,
) -> Iterator[Record]:
    """Note what is not noted yet and save the choice, unless somebody was quicker.

    Parameters
    ----------
    take, at, late_min, assume : the choice, and what it was asked with
    follows, known : the revision and the number of events that it was planned from
    made_at : the moment now, in milliseconds since 1970
    """
    path = Path(folder)
    one = reading.known(memory, path)
    day, saved = one.reading.day, newest_saved(memory, path)
    if saved is None:
        raise SunschedError(NO_PLAN)
    if saved.number != follows:
        raise SunschedError(f"revision {saved.number} was saved meanwhile: ask once more")
    if len(one.log.events) != known:
        raise SunschedError("something was noted meanwhile: ask once more")
    moment = datetime.fromtimestamp(at / 1000, UTC)
    asked = ask(one, saved, moment, late_min, assume)
    plan = taken(found_rest(memory, asked, late_min, assume), take)
    events = known
    if asked.unnoted(one.log):
        # A saved plan is restored by the log: what it stands on is noted first.
        log, _ = note_unless_more(path, day, asked.unnoted, known)
        events = len(log.events)
    number = save_plan(
        path,
        plan,
        made_at=datetime.fromtimestamp(made_at / 1000, UTC),
        past=PastRef(at=moment, late_min=0, events=events),
        follows=follows,
    )
    yield {"revision": number, "events": events}
