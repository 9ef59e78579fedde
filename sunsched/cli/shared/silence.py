"""A log that has been silent for long: what has happened since is assumed only when told."""

from __future__ import annotations

import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.wrong_use import choice_option
from sunsched.cli.terminal.interrupt import unbroken

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from sunsched.day.model import Day
    from sunsched.folder.log.log import Log
    from sunsched.saved.plan_file import Revision
    from sunsched.saved.silence import Wanted


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
) -> Wanted | None:
    """Give the events that happened by the plan in a silence, for the log; None for none.

    On a terminal the crew is asked, elsewhere it has to be told.
    """
    from sunsched.saved.silence import find_silence

    found = find_silence(asked, log, saved, at)
    if found is None:
        return None
    if assume is None:
        if not sys.stdin.isatty():
            raise typer.BadParameter(
                f"{found.text}. Say `--assume plan` if it went so, or `--assume log` if only what "
                "is noted has happened; `sunsched log DAY as-planned` notes it",
                param_hint="--assume",
            )
        went = typer.confirm(f"{found.text}. Did it go so?", default=True, err=True)
        assume = Assume.PLAN if went else Assume.LOG
    return found.wanted if assume is Assume.PLAN else None


def note_assumed(folder: Path, asked: Day, wanted: Wanted, known: int) -> None:
    """Note what was assumed, unless more has been noted since the log was read.

    Parameters
    ----------
    known : events that the log had then
    """
    from sunsched.saved.silence import note_unless_more

    with unbroken():
        _, events = note_unless_more(folder, asked, wanted, known)
        typer.echo(f"noted as planned: {len(events)} events", err=True)
