"""A saved plan for a command: its option, its day read again, what stands on its sheets."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.common import this_minute
from sunsched.cli.shared.wrong_use import NO_LIMIT, whole_option
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import datetime

    from sunsched.day.model import Day
    from sunsched.folder.log.event import Event
    from sunsched.plan.plan import Plan
    from sunsched.saved.plan_file import Revision
    from sunsched.saved.restore import Restored
    from sunsched.show.stamp import Stamp

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
    if saved.number == _newest_number(folder):
        events = _log_events(folder, asked) or ()
        left = _left(asked, found.plan, events, known_events(saved))
        if left:
            text = f"the day left revision {saved.number} {left}"
            typer.echo(f"warning: {text}; `sunsched replan` plans the rest anew", err=True)
    return found


def newest_plan(folder: Path, asked: Day) -> tuple[Plan | None, Stamp]:
    """Give the newest saved plan for a picture with its stamp.

    The plan is None where none is saved, or where the day as it is now refuses it.
    """
    from sunsched.saved.revisions import newest_revision

    saved = newest_revision(folder)
    if saved is None:
        return None, stamp_without_plan()
    try:
        again = restored(folder, asked, saved)
    except SunschedError as error:
        problem = str(error).splitlines()[0]
        typer.echo(f"warning: the picture is without the newest plan: {problem}", err=True)
        return None, stamp_without_plan()
    return again.plan, stamp_of(folder, asked, this_minute(), saved, found=again)


def known_events(saved: Revision | None) -> int:
    """Count the events of the log that a saved plan knows; a plan of a whole day knows none."""
    return 0 if saved is None or saved.past is None else saved.past.events


def stamp_of(
    folder: Path,
    asked: Day,
    made_at: datetime,
    saved: Revision | None = None,
    *,
    known: int | None = None,
    found: Restored | None = None,
) -> Stamp:
    """Give what stands on a sheet or picture of a plan: the one place that says what is old.

    Parameters
    ----------
    made_at : the moment at which it is made
    saved : the plan as it is saved; None for a proposal
    known : how many events of the log the plan knows, where that is not what it was saved with
    found : the saved plan as it was made a plan again
    """
    from sunsched.show.stamp import Stamp

    known = known_events(saved) if known is None else known
    events = _log_events(folder, asked)
    told = [_spoken(asked, one) for one in events or ()]
    behind = list(_newer(folder, asked, saved))
    if events is None:
        behind.append("the log cannot be read")
    elif len(events) > known:
        again = None if saved is None else found or _again(folder, asked, saved)
        if again is None:
            news = _counted(len(events) - known)
            behind.append(f"the log has {news} that it does not know, the last {told[-1]}")
        elif left := _left(asked, again.plan, events, known):
            behind.append(f"the day left it {left}")
    if saved is not None and found is not None and found.plan.timetable != saved.timetable:
        behind.append("the day has changed since it was saved, and it cannot be followed as it was")
    return Stamp(
        made_at=made_at,
        revision=None if saved is None else saved.number,
        saved_at=None if saved is None else saved.made_at,
        events=known,
        newest=told[known - 1] if 0 < known <= len(told) else "",
        since=max(0, len(told) - known),
        last=told[-1] if len(told) > known else "",
        behind=tuple(behind),
    )


def _again(folder: Path, asked: Day, saved: Revision) -> Restored | None:
    """Make a saved plan a plan again; None where the day as it is now refuses it."""
    from sunsched.saved.restore import plan_of_revision, revision_day

    with suppress(SunschedError):
        return plan_of_revision(revision_day(folder, asked, saved), saved)
    return None


def _left(asked: Day, plan: Plan, events: Sequence[Event], known: int) -> str:
    """Say when and with what the day left a plan; "" while it goes by it."""
    from sunsched.underway.departure import departure

    if len(events) <= known:
        return ""
    found = departure(plan, asked, events, known)
    if found is None:
        return ""
    if found.event is None:
        return f"as {found.why}"
    return f"with {_spoken(asked, found.event)}: {found.why}"


def _spoken(asked: Day, event: Event) -> str:
    from sunsched.day.clock import clock
    from sunsched.show.text.log import event_text

    return f"{clock(asked, event.at)} {event_text(asked, event)}"


def stamp_without_plan() -> Stamp:
    """Give what stands on a picture that shows no plan of ours: when it was made."""
    from sunsched.show.stamp import Stamp

    return Stamp(made_at=this_minute(), has_plan=False)


def _newer(folder: Path, asked: Day, saved: Revision | None) -> Iterator[str]:
    """Say which newer revision is saved, and of when it is if its file can be read."""
    from sunsched.errors import FolderError
    from sunsched.saved.revisions import newest_revision
    from sunsched.show.stamp import time_text

    number = _newest_number(folder)
    if saved is None or number <= saved.number:
        return
    made_at = None
    with suppress(FolderError):
        newest = newest_revision(folder)
        made_at = None if newest is None else newest.made_at
    when = "" if made_at is None else f" of {time_text(asked, made_at)}"
    yield f"revision {number}{when} is newer"


def _newest_number(folder: Path) -> int:
    from sunsched.saved.numbers import revision_numbers

    return max(revision_numbers(folder), default=0)


def _log_events(folder: Path, asked: Day) -> Sequence[Event] | None:
    """Read the log; None for a damaged one, which is told where it is read for more than this."""
    from sunsched.errors import FolderError
    from sunsched.folder.log.log import read_log

    try:
        return read_log(folder, asked).events
    except FolderError:
        return None


def _counted(news: int) -> str:
    return "an event" if news == 1 else f"{news} events"


def used_options(context: typer.Context, *names: str) -> str:
    """Give the first of these options that was written on the command line, empty for none."""
    options = {one.name: one.opts[0] for one in context.command.params}
    for name in names:
        source = context.get_parameter_source(name)
        if source is not None and source.name == "COMMANDLINE":
            return options[name]
    return ""
