"""The command that plans the rest of a day anew: replan."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sunsched.cli.shared.aim import Aim, AimOption, aim_at
from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    PictureOption,
    followed,
    now_text,
    print_json,
    read_asked,
    solving,
    this_minute,
    warn_of,
)
from sunsched.cli.shared.out.shape import PicturePaperOption, shape_of
from sunsched.cli.shared.out.written import write_pictures
from sunsched.cli.shared.saved_plan import NO_PLAN, stamp_of
from sunsched.cli.shared.silence import AssumeOption, note_assumed, silent_events
from sunsched.cli.shared.wrong_use import choice_option, whole_option
from sunsched.cli.terminal.interrupt import refuse_unasked, unbroken
from sunsched.errors import SunschedError
from sunsched.solver.machine.halt import is_end_asked

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import datetime
    from pathlib import Path

    from sunsched.average.plan import AveragePlan
    from sunsched.day.model import Day
    from sunsched.folder.log.event import Event
    from sunsched.plan.plan import Plan
    from sunsched.saved.plan_file import Revision
    from sunsched.show.paper_size import Shape
    from sunsched.show.records.day import Record


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
    late: Annotated[int, whole_option("--late", 0, 720, "MIN", "Minutes lost from then,")] = 0,
    take: Annotated[
        Take | None, choice_option("--take", Take, "Save this choice as the next revision.")
    ] = None,
    grid: Annotated[
        Grid | None,
        choice_option("--grid", Grid, "Minutes between two possible starts; else as last planned."),
    ] = None,
    assume: AssumeOption = None,
    aim: AimOption = Aim.AVERAGE,
    limit: LimitOption = None,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the best rest of the day, near to the last saved plan. Saves only what is taken."""
    from sunsched.folder.log.log import imagine_events, read_log
    from sunsched.folder.log.moments import desk_of, read_moment
    from sunsched.saved.revisions import read_revision
    from sunsched.show.text.log import event_records

    shape = shape_of(picture, paper)
    asked = read_asked(day, picture).day
    noted = read_log(day, asked)
    warn_of(noted.warnings)
    plan = followed(day, asked)
    if plan is None:
        raise SunschedError(NO_PLAN)
    saved, before = plan
    moment = read_moment(desk_of(day, asked), now_text(asked) if at is None else at)
    silent = silent_events(asked, noted, saved, moment, assume)
    known = len(noted.events)
    assumed: tuple[Event, ...] = ()
    if silent is not None:
        noted, assumed = imagine_events(day, asked, silent)
    under_way = _UnderWay(
        asked=asked,
        events=noted.events,
        saved=saved,
        before=before,
        at=moment,
        late_min=late,
        grid_min=saved.grid_min if grid is None else int(grid),
        limit_s=limit,
    )
    find = _on_average if aim_at(asked, aim) is Aim.AVERAGE else _for_planned_minutes
    found = find(under_way)
    choices = found.choices
    name = (take or Take.BEST).value
    if name not in choices:
        hint = f"there is {' and '.join(f'`{one}`' for one in choices)}"
        raise SunschedError(f"`{name}` cannot be had now\n  hint: {hint}")
    is_taken = take is not None and not is_end_asked()
    if silent is not None and is_taken:
        # A saved plan is restored by the log: what it stands on is noted first.
        note_assumed(day, asked, silent, known)
    number = _save(day, under_way, choices[name]) if is_taken else None
    if picture is not None:
        now = this_minute()
        if number is None:
            stamp = stamp_of(day, asked, now, known=known)
        else:
            stamp = stamp_of(day, asked, now, read_revision(day, number))
        figures = _figures(found, name, shape, is_paged=picture.suffix.casefold() == ".pdf")
        write_pictures(picture, figures, "--picture", asked, stamp)
    if as_json:
        print_json({**found.record(name, number), "assumed": event_records(asked, assumed)})
    else:
        typer.echo(found.text(name))
    if take is not None and not is_taken:
        refuse_unasked("not saved")
    if as_json:
        return
    if number is not None and late:
        when = f"{moment.astimezone(asked.place.zone):%H:%M}"
        text = (
            f"the {late} min of --late are not in the log, so the next replan does not know them: "
            f"`sunsched log {day} late {late} --at {when}` notes them"
        )
        typer.echo(text, err=True)
    if number is None:
        takes = ", ".join(f"`--take {one}`" for one in choices)
        typer.echo(f"nothing is saved; to save one as the next revision: {takes}", err=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class _UnderWay:
    """What a replan starts from."""

    asked: Day
    events: tuple[Event, ...]
    saved: Revision
    before: Day
    at: datetime
    late_min: int
    grid_min: int
    limit_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """The plan of each choice by the word that takes it; the record of one, its text, its picture.

    The picture takes the word and a shape.
    """

    choices: Mapping[str, Plan | AveragePlan]
    record: Callable[[str, int | None], Record]
    text: Callable[[str], str]
    picture: Callable[[str, Shape], Any]


def _for_planned_minutes(under_way: _UnderWay) -> _Found:
    """Replan for planned minutes."""
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
    choices, follows = choices_by_name(found), under_way.saved.number

    def picture(name: str, shape: Shape) -> Any:
        from sunsched.show.charts.orders.arguments import planned_rest_figure

        return planned_rest_figure(found, name, choices[name], follows, shape=shape)

    return _Found(
        choices={name: choice.plan for name, choice in choices.items()},
        record=lambda name, number: replan_record(
            found, choices[name], follows=follows, revision=number
        ),
        text=lambda name: replan_text(found, name, follows=follows, width=terminal_width()),
        picture=picture,
    )


def _on_average(under_way: _UnderWay) -> _Found:
    """Replan for the average day; an order saved for it is followed with its own suns."""
    from sunsched.show.records.replan_average import replan_average_record
    from sunsched.show.text.average_day.replan import average_choices, replan_average_text
    from sunsched.whatif.replan.followed import replan_followed

    saved = under_way.saved
    with solving(is_average=True) as progress:
        found = replan_followed(
            under_way.asked,
            under_way.events,
            saved,
            under_way.before,
            at=under_way.at,
            late_min=under_way.late_min,
            grid_min=under_way.grid_min,
            limit_s=under_way.limit_s,
            progress=progress,
        )
    choices, follows = average_choices(found), saved.number

    def picture(name: str, shape: Shape) -> Any:
        from sunsched.show.charts.orders.arguments import rest_figure

        return rest_figure(found, name, choices[name], follows, shape=shape)

    return _Found(
        choices={name: choice.plan for name, choice in choices.items()},
        record=lambda name, number: replan_average_record(
            found, choices[name], follows=follows, revision=number
        ),
        text=lambda name: replan_average_text(found, name, follows=follows, width=terminal_width()),
        picture=picture,
    )


def _save(folder: Path, under_way: _UnderWay, taken: Plan | AveragePlan) -> int:
    """Save a choice as the next revision, unless another was saved since the day was read."""
    from sunsched.saved.plan_file import PastRef
    from sunsched.show.records.saved import save_plan

    past = PastRef(at=under_way.at, late_min=under_way.late_min, events=len(under_way.events))
    follows = under_way.saved.number
    with unbroken():
        number = save_plan(folder, taken, made_at=this_minute(), past=past, follows=follows)
        typer.echo(f"saved as revision {number}", err=True)
    return number


def _figures(found: _Found, name: str, shape: Shape, *, is_paged: bool) -> list[partial[Any]]:
    """Give a choice under the plan that was followed; a .pdf has the day with it behind that."""
    from sunsched.plan.plan import Plan
    from sunsched.show.charts.day import day_parts

    plan = found.choices[name]
    shown = plan if isinstance(plan, Plan) else plan.likely
    day = day_parts(shown.fit, shown, "pdf", shape) if is_paged else []
    return [partial(found.picture, name, shape), *day]
