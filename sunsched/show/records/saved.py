"""A plan saved as the next revision of its day folder."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sunsched.errors import WriteRefused
from sunsched.folder.store.write import save_revision
from sunsched.plan.plan import Plan
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.plan_file import PastRef, revision_of, saved_record
from sunsched.show.records.day import Record, plan_record, record_text

if TYPE_CHECKING:
    from sunsched.average.plan import AveragePlan


def save_plan(
    folder: Path | str,
    found: Plan | AveragePlan,
    *,
    made_at: datetime,
    past: PastRef | None = None,
    follows: int | None = None,
) -> int:
    """Save a plan as the next revision in a day folder's `plans`; none is ever overwritten.

    Parameters
    ----------
    folder : the day folder
    found : the plan, of planned minutes or for the average day
    made_at : the moment it was made, aware
    past : what it knew of a day under way
    follows : the revision that it was planned from, which must still be the newest; 0 where there
        was none

    Returns
    -------
    int
        Its number: one more than the highest there is, from 1 on.

    Raises
    ------
    WriteRefused
        When the file cannot be written, or another revision was saved meanwhile.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import UTC, datetime
    >>> folder, plan = tempfile.mkdtemp(), sunsched.make_plan(sunsched.example_day())
    >>> sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    1
    >>> sunsched.read_revision(folder, 1).points == plan.points
    True
    """
    folder = Path(folder)

    def text_of(number: int) -> str:
        newest = max(revision_numbers(folder), default=0)
        if follows is not None and newest != follows:
            hint = "`replan` again, from that one on"
            raise WriteRefused(f"revision {newest} was saved meanwhile\n  hint: {hint}")
        return record_text(revision_record(found, number, made_at, past)) + "\n"

    return save_revision(folder, text_of)


def revision_record(
    found: Plan | AveragePlan, revision: int, made_at: datetime | None, past: PastRef | None = None
) -> Record:
    """Give a plan as its file has it: what `--json` prints, and what it takes to restore it."""
    saved = saved_record(found.day, revision_of(found, revision, made_at, past))
    if isinstance(found, Plan):
        return _told_with(plan_record(found, revision), saved)
    from sunsched.show.records.average import average_record

    return _told_with(average_record(found, revision), saved)


def _told_with(told: Record, saved: Record) -> Record:
    """Put the values that a saved plan is read from over those that are printed, key by key."""
    whole = dict(told)
    for key, value in saved.items():
        more = whole.get(key)
        if isinstance(value, dict) and isinstance(more, dict):
            whole[key] = _told_with(more, value)
        elif isinstance(value, list) and isinstance(more, list):
            whole[key] = [_told_with(a, b) for a, b in zip(more, value, strict=True)]
        else:
            whole[key] = value
    return whole
