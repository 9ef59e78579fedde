"""The orders that are put beside each other: a table of ids, or a saved plan with its own times."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from sunsched.average.plan import AveragePlan, counted_ids
from sunsched.day.model import Day
from sunsched.errors import Fault
from sunsched.folder.check import check_day
from sunsched.folder.text.findings import shown
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.plan import Plan
from sunsched.plan.rules import breaches
from sunsched.plan.timetable import Timetable
from sunsched.saved.average import SavedAverage, average_of
from sunsched.saved.plan_file import Revision
from sunsched.saved.restore import checked_timetable, revision_day
from sunsched.saved.restore_average import policy_again
from sunsched.saved.revisions import read_revision
from sunsched.solver.instance.tables import LOST
from sunsched.whatif.orders.order import Order, order_of, order_without_times, read_order
from sunsched.whatif.orders.put_on_clock import Clocked, Desk, put_on_clock

NUMBER = r"\d{1,9}"  # a text like this is the number of a revision, not the name of a file


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """An order as it was read, with the day that it is about.

    `revision` and `timetable` are those of a saved plan, None for a table. A plan for the average
    day has an order and no times, and `average` says how it is followed. `is_ours` marks the plan
    that the other order is put beside.
    """

    name: str
    day: Day
    order: Order
    revision: Revision | None = None
    timetable: Timetable | None = None
    average: SavedAverage | None = None
    is_ours: bool = False
    warnings: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """A source on its clock."""

    source: Source
    fit: DayFit
    clocked: Clocked


def read_source(text: Path | str, folder: Path | str, day: Day) -> Source:
    """Read an order for a day.

    Parameters
    ----------
    text : path of a .csv, .xlsx or .ods file, or the number of a revision saved in the day folder
    folder : the day folder
    day : what the folder says

    Returns
    -------
    Source
        The order with its name and its day, for `put_side`.

    Raises
    ------
    FolderError
        With every fault of the table or of the saved plan.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from pathlib import Path
    >>> folder = Path(tempfile.mkdtemp())
    >>> text = "id\\n4\\n5\\n2\\nmeal\\n3\\n1\\n"
    >>> _ = (folder / "ad.csv").write_text(text)
    >>> day = sunsched.example_day()
    >>> sunsched.read_source(folder / "ad.csv", folder, day).name
    'ad.csv'
    """
    folder = Path(folder)
    if re.fullmatch(NUMBER, str(text), re.ASCII):
        return _saved(read_revision(folder, int(str(text))), folder, day)
    reading = read_order(text, folder, day)
    name = shown(Path(text).name)
    return Source(name=name, day=day, order=reading.order, warnings=reading.warnings)


def source_of(found: AveragePlan) -> Source:
    """Give our own plan for the average day as an order to be put beside another."""
    return Source(
        name="our plan",
        day=found.day,
        order=order_without_times(counted_ids(found.policy)),
        average=average_of(found),
        is_ours=True,
    )


def put_side(source: Source, grid_min: int, known: Plan | None = None) -> Side:
    """Put a source on the clock: a saved plan as it is, a table as well as its order can be.

    Parameters
    ----------
    source : of `read_source`
    grid_min : minutes between two possible starts
    known : a plan whose times are kept for its own order where no others are worth more

    Returns
    -------
    Side
        The order with times, as good as they can be.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from pathlib import Path
    >>> folder = Path(tempfile.mkdtemp())
    >>> text = "id\\n4\\n5\\n2\\nmeal\\n3\\n1\\n"
    >>> _ = (folder / "ad.csv").write_text(text)
    >>> day = sunsched.example_day()
    >>> source = sunsched.read_source(folder / "ad.csv", folder, day)
    >>> sunsched.put_side(source, 5).clocked.is_exact
    True
    """
    check_day(source.day, grid_min=grid_min)
    fit = fit_checked(source.day)
    if source.timetable is None:
        desk = Desk(fit=fit, grid_min=grid_min, known=known)
        return Side(source=source, fit=fit, clocked=put_on_clock(desk, source.order))
    clocked = Clocked(
        order=source.order,
        timetable=source.timetable,
        obeys=not breaches(fit, source.timetable),
        is_exact=False,
        value=LOST,
    )
    return Side(source=source, fit=fit, clocked=clocked)


def _saved(revision: Revision, folder: Path, day: Day) -> Source:
    day = revision_day(folder, day, revision)
    timetable, gone = checked_timetable(day, revision)
    order, average = order_of(timetable), revision.average
    if average is not None:
        order = order_without_times(counted_ids(policy_again(fit_checked(day), average)))
    problem = "is in it and no longer in the day: not compared"
    return Source(
        name=f"revision {revision.number}",
        day=day,
        order=order,
        revision=revision,
        timetable=timetable if average is None else None,
        average=average,
        warnings=tuple(Fault(file=revision.file, problem=f"{one} {problem}") for one in gone),
    )
