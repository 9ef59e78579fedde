"""The command that plans the rest of a day anew: replan."""

from __future__ import annotations

from enum import StrEnum
from functools import partial
from typing import Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    PictureOption,
    followed,
    kind_of,
    now_text,
    print_json,
    read_asked,
    solving,
    this_minute,
    warn_of,
    write_pictures,
)
from sunsched.cli.shared.saved_plan import NO_PLAN
from sunsched.errors import SunschedError


class Take(StrEnum):
    """The choices of `replan` by the word that saves them."""

    BEST = "best"
    PUSH = "push"
    DROP = "drop"


@app.command(epilog="Example: sunsched replan data/last-lamp --at 11:40 --late 25")
def replan(
    day: DayArgument,
    at: Annotated[
        str | None, typer.Option("--at", metavar="HH:MM", help="The moment, instead of now.")
    ] = None,
    late: Annotated[
        int, typer.Option("--late", min=0, max=720, metavar="MIN", help="Minutes lost from then.")
    ] = 0,
    take: Annotated[
        Take | None, typer.Option("--take", help="Save this choice as the next revision.")
    ] = None,
    grid: Annotated[
        Grid | None,
        typer.Option("--grid", help="Minutes between two possible starts; else as last planned."),
    ] = None,
    limit: LimitOption = None,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the best rest of the day, near to the last saved plan. Saves only what is taken."""
    from sunsched.folder.log.log import read_log
    from sunsched.folder.log.row import desk_of, read_moment
    from sunsched.saved.plan_file import PastRef
    from sunsched.show.records.replan import replan_record
    from sunsched.show.records.saved import save_plan
    from sunsched.show.text.replan import choices_by_name, replan_text
    from sunsched.whatif.replan.replan import replan as plan_anew

    if picture is not None:
        kind_of(picture, "--picture")
    asked = read_asked(day, picture).day
    noted = read_log(day, asked)
    warn_of(noted.warnings)
    plan = followed(day, asked)
    if plan is None:
        raise SunschedError(NO_PLAN)
    saved, before = plan
    moment = read_moment(desk_of(day, asked), now_text(asked) if at is None else at)
    with solving() as progress:
        found = plan_anew(
            asked,
            noted.events,
            saved.timetable,
            at=moment,
            late_min=late,
            planned_day=before,
            grid_min=saved.grid_min if grid is None else int(grid),
            limit_s=limit,
            progress=progress,
        )
    name, choices = (take or Take.BEST).value, choices_by_name(found)
    if name not in choices:
        hint = f"there is {' and '.join(f'`{one}`' for one in choices)}"
        raise SunschedError(f"`{name}` cannot be had now\n  hint: {hint}")
    shown, number = choices[name], None
    if take is not None:
        past = PastRef(at=moment, late_min=late, events=len(noted.events))
        number = save_plan(day, shown.plan, made_at=this_minute(), past=past, follows=saved.number)
        typer.echo(f"saved as revision {number}", err=True)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        write_pictures(picture, [partial(day_figure, found.fit, shown.plan)], "--picture")
    if as_json:
        print_json(replan_record(found, shown, follows=saved.number, revision=number))
        return
    typer.echo(replan_text(found, name, follows=saved.number))
    if number is None:
        takes = ", ".join(f"`--take {one}`" for one in choices)
        typer.echo(f"nothing is saved; to save one as the next revision: {takes}", err=True)
