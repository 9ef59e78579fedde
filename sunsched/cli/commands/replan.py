"""The command that plans the rest of a day anew: replan."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    PictureOption,
    followed,
    json_text,
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
from sunsched.errors import SunschedError, WriteRefused

if TYPE_CHECKING:
    from sunsched.saved.plan_file import PastRef, Revision
    from sunsched.whatif.replan.choices import Choice


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
    aim: AimOption = Aim.AVERAGE,
    limit: LimitOption = None,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the best rest of the day, near to the last saved plan. Saves only what is taken."""
    from sunsched.folder.log.log import read_log
    from sunsched.folder.log.row import desk_of, read_moment

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
    under_way = _UnderWay(
        folder=day,
        asked=asked,
        events=noted.events,
        saved=saved,
        before=before,
        at=moment,
        late_min=late,
        grid_min=saved.grid_min if grid is None else int(grid),
        limit_s=limit,
    )
    if aim_at(asked, aim) is Aim.AVERAGE:
        _show_average(under_way, take, picture, as_json)
    else:
        _show_planned(under_way, take, picture, as_json)


@dataclass(frozen=True, slots=True, kw_only=True)
class _UnderWay:
    """What a replan starts from."""

    folder: Path
    asked: Day
    events: tuple[Event, ...]
    saved: Revision
    before: Day
    at: datetime
    late_min: int
    grid_min: int
    limit_s: float | None


def _show_planned(
    under_way: _UnderWay, take: Take | None, picture: Path | None, as_json: bool
) -> None:
    """Replan for planned minutes, and show the choices."""
    from sunsched.show.records.replan import replan_record
    from sunsched.show.text.replan import choices_by_name, replan_text
    from sunsched.whatif.replan.replan import replan as plan_anew

    with solving() as progress:
        found = plan_anew(
            under_way.asked,
            under_way.events,
            under_way.saved.timetable,
            at=under_way.at,
            late_min=under_way.late_min,
            planned_day=under_way.before,
            grid_min=under_way.grid_min,
            limit_s=under_way.limit_s,
            progress=progress,
        )
    name, choices = _shown(take, choices_by_name(found))
    shown, follows = choices[name], under_way.saved.number
    number = None if take is None else _save(under_way, shown.plan)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        write_pictures(picture, [partial(day_figure, found.fit, shown.plan)], "--picture")
    if as_json:
        print_json(replan_record(found, shown, follows=follows, revision=number))
        return
    typer.echo(replan_text(found, name, follows=follows))
    _say_what_is_saved(number, choices)


def _show_average(
    under_way: _UnderWay, take: Take | None, picture: Path | None, as_json: bool
) -> None:
    """Replan for the average day, and show the choices."""
    from sunsched.show.records.replan_average import replan_average_record
    from sunsched.show.text.average import picture_text
    from sunsched.show.text.replan_average import average_choices, replan_average_text
    from sunsched.whatif.replan.average import replan_average

    with solving() as progress:
        found = replan_average(
            under_way.asked,
            under_way.events,
            under_way.saved.timetable,
            at=under_way.at,
            late_min=under_way.late_min,
            planned_day=under_way.before,
            grid_min=under_way.grid_min,
            limit_s=under_way.limit_s,
            progress=progress,
        )
    name, choices = _shown(take, average_choices(found))
    shown, follows = choices[name], under_way.saved.number
    number = None if take is None else _save(under_way, shown.plan)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        likely, verdict = shown.plan.likely, picture_text(shown.plan)
        drawn = partial(day_figure, likely.fit, likely, verdict=verdict)
        write_pictures(picture, [drawn], "--picture")
    if as_json:
        print_json(replan_average_record(found, shown, follows=follows, revision=number))
        return
    typer.echo(replan_average_text(found, name, follows=follows))
    _say_what_is_saved(number, choices)


def _shown(take: Take | None, choices: dict[str, _Choice]) -> tuple[str, dict[str, _Choice]]:
    """Give the name of the choice that is shown; one that cannot be had is refused."""
    name = (take or Take.BEST).value
    if name not in choices:
        hint = f"there is {' and '.join(f'`{one}`' for one in choices)}"
        raise SunschedError(f"`{name}` cannot be had now\n  hint: {hint}")
    return name, choices


def _say_what_is_saved(number: int | None, choices: Iterable[str]) -> None:
    if number is None:
        takes = ", ".join(f"`--take {one}`" for one in choices)
        typer.echo(f"nothing is saved; to save one as the next revision: {takes}", err=True)


def _save(folder: Path, follows: Revision, taken: Choice, past: PastRef) -> int:
    """Save a choice as the next revision, unless another was saved since the day was read."""
    from sunsched.folder.store.write import save_revision
    from sunsched.saved.revisions import revision_numbers
    from sunsched.show.records.day import revision_record

    made_at = this_minute()

    def text_of(number: int) -> str:
        newest = revision_numbers(folder)[-1:]
        if newest != (follows.number,):
            hint = "`replan` again, from that one on"
            raise WriteRefused(f"revision {newest[0]} was saved meanwhile\n  hint: {hint}")
        return json_text(revision_record(taken.plan, number, made_at, past)) + "\n"

    number = save_revision(folder, text_of)
    typer.echo(f"saved as revision {number}", err=True)
    return number
