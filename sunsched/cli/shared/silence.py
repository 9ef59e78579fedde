"""A log that has been silent for long: what has happened since is assumed only when told."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.saved_plan import went_as_planned
from sunsched.cli.shared.wrong_use import choice_option
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from sunsched.day.model import Day
    from sunsched.folder.log.log import Log
    from sunsched.saved.plan_file import Revision

SILENT = timedelta(minutes=45)  # without a word of the crew's work


class Assume(StrEnum):
    """What has happened since the last event of the log."""

    PLAN = "plan"
    LOG = "log"


AssumeOption = Annotated[
    Assume | None,
    choice_option(
        "--assume",
        Assume,
        "After 45 minutes without an event: all went by the saved plan, or only what is "
        "noted has happened.",
    ),
]


def silent_events(
    asked: Day, log: Log, saved: Revision, at: datetime, assume: Assume | None
) -> Callable[[Log], Sequence[dict[str, str]]] | None:
    """Give the events that happened by the plan in a silence, for the log; None for none.

    On a terminal the crew is asked, elsewhere it has to be told.
    """
    last = asked.hours.crew_call if log.state.last is None else log.state.last.at
    if at - last < SILENT:
        return None
    wanted = went_as_planned(asked, saved, at)
    try:
        rows = wanted(log)
    except SunschedError:
        return None  # the plan has nothing for that time, or the day has left it: no question
    if assume is None:
        text = _assumed(asked, log, rows)
        if not sys.stdin.isatty():
            raise typer.BadParameter(
                f"{text}. Say `--assume plan` if it went so, or `--assume log` if only what is "
                "noted has happened; `sunsched log DAY as-planned` notes it",
                param_hint="--assume",
            )
        went = typer.confirm(f"{text}. Did it go so?", default=True, err=True)
        assume = Assume.PLAN if went else Assume.LOG
    return wanted if assume is Assume.PLAN else None


def note_assumed(
    folder: Path, asked: Day, wanted: Callable[[Log], Sequence[dict[str, str]]], known: int
) -> None:
    """Note what was assumed, unless more has been noted since the log was read.

    Parameters
    ----------
    known : events that the log had then
    """
    from sunsched.folder.log.log import note_events

    def still(log: Log) -> Sequence[dict[str, str]]:
        if len(log.events) != known:
            raise SunschedError("something was noted meanwhile\n  hint: replan once more")
        return wanted(log)

    _, events = note_events(folder, asked, still)
    typer.echo(f"noted as planned: {len(events)} events", err=True)


def _assumed(asked: Day, log: Log, rows: Sequence[dict[str, str]]) -> str:
    """Say what would have happened by the plan."""
    from sunsched.day.clock import clock
    from sunsched.folder.text.words import listed

    done = [row["subject"] for row in rows if row["event"] == "done"]
    rolls = [
        row["subject"] for row in rows if row["event"] == "rolled" and row["subject"] not in done
    ]
    parts = []
    if done:
        parts.append(f"{listed(done, 'and')} {'is' if len(done) == 1 else 'are'} made")
    if rolls:
        parts.append(f"{rolls[0]} rolls")
    if any(row["event"] == "meal" for row in rows):
        parts.append("lunch has begun")
    last = log.state.last
    since = "is noted" if last is None else f"is noted since {clock(asked, last.at)}"
    return f"nothing {since}; by the plan {listed(parts, 'and')}"
