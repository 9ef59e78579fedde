"""Events that were forgotten, put in their place in a log that is only ever added to.

What was noted of the time after them is taken back, and noted again below them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from sunsched.day.model import Day
from sunsched.folder.log.event import Kind, cells_of, standing
from sunsched.folder.log.log import Log


def put_in_place(
    day: Day, log: Log, forgotten: Sequence[tuple[datetime, Mapping[str, str]]]
) -> tuple[Mapping[str, str], ...]:
    """Give the cells of the events to note so that forgotten ones stand in their place.

    Parameters
    ----------
    log : what is noted already
    forgotten : when each happened, and its cells, in their order
    """
    first = min(at for at, _ in forgotten)
    later = [event for event in standing(log.events) if event.at > first]
    if not later:
        return tuple(cells for _, cells in forgotten)
    now = {"at": later[-1].at.isoformat(), "event": Kind.UNDO.value}
    again = [(event.at, cells_of(event, day)) for event in later]
    # Of two at one minute the forgotten one came first: `done` stands before the next `rolled`.
    whole = sorted([*forgotten, *again], key=lambda one: one[0])
    return (*(now for _ in later), *(cells for _, cells in whole))
