"""A decision as a page words it, read as the commands read theirs."""

from __future__ import annotations

from typing import Any

from sunsched.day.demand import Decision
from sunsched.day.model import Day
from sunsched.whatif.price.request import Asked, read_decision

Record = dict[str, Any]


def decision_of(day: Day, said: Record) -> Decision:
    """Read a decision; nothing said is an empty one.

    Parameters
    ----------
    said : fields of `Asked`, times on the local clock

    Raises
    ------
    FolderError, SunschedError, DayImpossible
        As `read_decision` does.
    """
    return read_decision(day, Asked(**{name: value for name, value in said.items() if value}))
