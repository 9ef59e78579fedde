"""What several answers start from: the day, its light and its newest plan, read once a version."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sunsched.average.order.forecast import Policy
from sunsched.average.solve import policy_of
from sunsched.desk.watched.version import day_version, plans_version, version_of
from sunsched.desk.work.worker import Memory
from sunsched.folder.log.log import Log, read_log
from sunsched.folder.read import Reading, read_folder
from sunsched.light.fit import DayFit, fit_checked
from sunsched.saved.plan_file import Revision
from sunsched.saved.restore import Restored, plan_of_revision, revision_day
from sunsched.saved.revisions import newest_revision


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A day folder as it was read.

    `folder` is where, `fit` the light of the whole day as it is asked.
    """

    folder: Path
    reading: Reading
    fit: DayFit
    log: Log


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPlan:
    """The newest saved plan as a plan again, and the way its order is best followed."""

    revision: Revision
    restored: Restored
    policy: Policy


def known(memory: Memory, folder: Path) -> Known:
    """Read a day folder, or give it as it was read if no file has changed.

    Raises
    ------
    FolderError
        With every fault of the folder.
    """

    def read() -> tuple[Reading, DayFit]:
        reading = read_folder(folder)
        return reading, fit_checked(reading.day)

    def with_log() -> Known:
        # Most of what changes while a day goes on is its log.
        reading, fit = memory.keep(("day", folder, day_version(folder)), read)
        log = read_log(folder, reading.day)
        return Known(folder=folder, reading=reading, fit=fit, log=log)

    return memory.keep(("known", folder, version_of(folder)), with_log)


def newest_saved(memory: Memory, folder: Path) -> Revision | None:
    """Give the file of the newest saved plan; None where none is saved.

    Raises
    ------
    FolderError
        When it is damaged.
    """
    return memory.keep(("saved", folder, plans_version(folder)), lambda: newest_revision(folder))


def known_plan(memory: Memory, one: Known) -> KnownPlan | None:
    """Give the newest saved plan; None where none is saved.

    Raises
    ------
    FolderError
        When its file is damaged, or it is not one of this day any more.
    """
    saved = newest_saved(memory, one.folder)
    if saved is None:
        return None

    def restore() -> KnownPlan:
        restored = plan_of_revision(revision_day(one.folder, one.reading.day, saved), saved)
        if restored.average is not None:
            policy = restored.average.policy
        else:
            policy = policy_of(restored.plan.fit, restored.plan.timetable)
        return KnownPlan(revision=saved, restored=restored, policy=policy)

    # What was noted after it was saved does not change it.
    events = one.log.events[: 0 if saved.past is None else saved.past.events]
    marks = (day_version(one.folder), plans_version(one.folder), repr(events))
    return memory.keep(("plan", one.folder, *marks), restore)
