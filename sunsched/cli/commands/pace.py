"""The command that compares past days with their plans: pace."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    JsonOption,
    print_json,
    read_asked,
)


@app.command(epilog="Example: sunsched pace monday tuesday wednesday")
def pace(
    days: Annotated[
        list[Path], typer.Argument(metavar="DAY...", help="Folders of days that have a log.")
    ],
    as_json: JsonOption = False,
) -> None:
    """Say how long changeovers and rolls really took, with figures to paste into the next day."""
    from sunsched.folder.log.log import read_log
    from sunsched.show.text.pace import pace_record, pace_text
    from sunsched.underway.state import day_so_far
    from sunsched.whatif.stress.pace import pace as pace_of

    played = []
    for folder in days:
        asked = read_asked(folder).day
        log = read_log(folder, asked)
        for warning in log.warnings:
            typer.echo(f"warning: {warning}", err=True)
        at = max((event.at for event in log.events), default=asked.hours.crew_call)
        # Without its plan, a changeover starts when what came before it is over.
        past = day_so_far(asked, log.events, at=at, planned=None).past
        if past is None or not past.made:
            typer.echo(f"warning: {folder}: no shot is noted as made in its log", err=True)
        else:
            played.append((asked, past))
    found = pace_of(played)
    if as_json:
        print_json(pace_record(found))
    else:
        typer.echo(pace_text(found, width=terminal_width()))
