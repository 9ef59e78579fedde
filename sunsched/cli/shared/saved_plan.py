"""A saved plan for a command: its option, its day read again, events it does not know."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.wrong_use import NO_LIMIT, whole_option
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from sunsched.day.model import Day
    from sunsched.folder.log.log import Log
    from sunsched.plan.plan import Plan
    from sunsched.saved.plan_file import Revision
    from sunsched.saved.restore import Restored

RevisionOption = Annotated[
    int | None,
    whole_option("--revision", 1, NO_LIMIT, "N", "A saved plan instead of a new one;"),
]
NO_PLAN = (
    "no plan is saved that the day could have gone by\n  hint: `sunsched plan DAY --save` saves one"
)


def restored(folder: Path, asked: Day, saved: Revision) -> Restored:
    """Make a saved plan a plan again, and say on stderr what is not as it was saved."""
    from sunsched.saved.restore import plan_of_revision, revision_day

    found = plan_of_revision(revision_day(folder, asked, saved), saved)
    for change in found.changes:
        text = f"the day has changed since revision {saved.number} was saved: {change}"
        typer.echo(f"warning: {text}", err=True)
    news = unknown_events(folder, asked, saved)
    if news:
        events = "an event" if news == 1 else f"{news} events"
        text = f"the log has {events} that revision {saved.number} does not know"
        typer.echo(f"warning: {text}; `sunsched replan` plans the rest anew", err=True)
    return found


def newest_plan(folder: Path, asked: Day) -> Plan | None:
    """Give the newest saved plan for a picture, None where none is saved or the day refuses it."""
    from sunsched.saved.revisions import newest_revision

    saved = newest_revision(folder)
    if saved is None:
        return None
    try:
        return restored(folder, asked, saved).plan
    except SunschedError as error:
        problem = str(error).splitlines()[0]
        typer.echo(f"warning: the picture is without the newest plan: {problem}", err=True)
        return None


def went_as_planned(
    asked: Day, saved: Revision, until: datetime
) -> Callable[[Log], Sequence[dict[str, str]]]:
    """Give the events by which a day went by a saved plan up to a moment, for its log."""
    from sunsched.underway.as_planned import events_as_planned

    planned_day = asked
    if saved.average is not None:
        from sunsched.average.likely import likely_day

        planned_day = likely_day(asked)

    def wanted(log: Log) -> Sequence[dict[str, str]]:
        return events_as_planned(planned_day, log, saved.timetable, until)

    return wanted


def unknown_events(folder: Path, asked: Day, saved: Revision) -> int:
    """Count the events of the log that a plan does not know, if it is the newest."""
    from sunsched.errors import FolderError
    from sunsched.folder.log.log import read_log
    from sunsched.saved.revisions import revision_numbers

    # A damaged log is told where it is read for more than this.
    with suppress(FolderError):
        if saved.number == revision_numbers(folder)[-1]:
            known = 0 if saved.past is None else saved.past.events
            return len(read_log(folder, asked).events) - known
    return 0


def used_options(context: typer.Context, *names: str) -> str:
    """Give the first of these options that was written on the command line, empty for none."""
    options = {one.name: one.opts[0] for one in context.command.params}
    for name in names:
        source = context.get_parameter_source(name)
        if source is not None and source.name == "COMMANDLINE":
            return options[name]
    return ""
