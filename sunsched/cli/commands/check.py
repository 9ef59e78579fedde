"""The command that reads everything and tells every fault: check."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    print_json,
    read_asked,
)
from sunsched.errors import FolderError

if TYPE_CHECKING:
    from sunsched.day.model import Day


@app.command(epilog="Example: sunsched check data/last-lamp")
def check(day: DayArgument, as_json: JsonOption = False) -> None:
    """Read everything, list every fault, and ask for a second opinion on the sun."""
    from sunsched.plan.changeover import least_builds_min
    from sunsched.show.records.day import check_record, fault_record
    from sunsched.show.text.day import check_text
    from sunsched.sky.opinion import moon_phase, second_opinion

    try:
        reading = read_asked(day)
    except FolderError as error:
        if as_json:
            print_json({"faults": [fault_record(fault) for fault in error.faults]})
        raise
    asked = reading.day
    opinion, moon = second_opinion(asked.place, asked.date), moon_phase(asked.date)
    if as_json:
        print_json(check_record(reading, opinion, moon) | _minutes(asked))
    else:
        typer.echo(
            check_text(
                asked, opinion, moon, least_builds_min(asked), reading.taken, width=terminal_width()
            )
        )
        typer.echo(_minutes_text(asked))


def _minutes(day: Day) -> dict[str, dict[str, int]]:
    """Count the shots whose setup and adjust are those of their size, and those with their own."""
    sizes, total = day.sizes, len(day.shots)
    setup = sum(shot.setup_min == sizes[shot.size].setup_min for shot in day.shots)
    # A blank adjust never takes longer than the shot's setup: that too comes from the size.
    adjust = sum(
        shot.adjust_min == min(sizes[shot.size].adjust_min, shot.setup_min) for shot in day.shots
    )
    return {
        "setup": {"by_size": setup, "own": total - setup},
        "adjust": {"by_size": adjust, "own": total - adjust},
    }


def _minutes_text(day: Day) -> str:
    """Say how many shots take the minutes of their size, and when adjust stands for setup."""
    from sunsched.show.layout import wrapped

    setup, adjust = _minutes(day).values()
    shots = "shot" if setup["by_size"] == 1 else "shots"
    text = (
        f"setup: {setup['by_size']} {shots} by size, {setup['own']} with their own minutes; "
        f"adjust: {adjust['by_size']} by size, {adjust['own']} own (used instead of setup when the "
        "shot before stands in the same spot and rig)"
    )
    return "\n".join(wrapped(text, terminal_width()))
