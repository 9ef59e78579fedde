"""The command that says what to build for each setup: gaffer."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    PictureOption,
    print_json,
    read_asked,
    solve_asked,
    this_minute,
)
from sunsched.cli.shared.out.shape import PicturePaperOption, shape_of
from sunsched.cli.shared.out.written import write_pictures
from sunsched.cli.shared.saved_plan import restored, stamp_of
from sunsched.cli.shared.wrong_use import refuse
from sunsched.cli.terminal.interrupt import looking
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sunsched.day.model import Day
    from sunsched.plan.plan import Plan
    from sunsched.show.gaffer.page import GafferPage
    from sunsched.show.paper_size import Shape

GRID_MIN = 5


@app.command(epilog="Example: sunsched gaffer data/last-lamp 7")
def gaffer(
    day: DayArgument,
    shot: Annotated[
        str | None, typer.Argument(metavar="SHOT", help="A shot of the plan; none: all of them.")
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="HH:MM", help="Without a plan: at that time,")
    ] = None,
    spot: Annotated[
        str | None, typer.Option("--spot", metavar="NAME", help="at this spot,")
    ] = None,
    look: Annotated[
        str | None,
        typer.Option("--look", metavar="DEG", help="with the lens that way (degrees, or NNW),"),
    ] = None,
    rig: Annotated[
        str | None, typer.Option("--rig", metavar="NAME", help="with the frames of this rig.")
    ] = None,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what the sun does to each setup, and what to build for it: for gaffer and key grip.

    It reads the newest saved plan, or finds one. It gives figures and cautions, never a go-ahead.
    """
    from sunsched.folder.tables.cloths import read_cloths
    from sunsched.show.records.gaffer import gaffer_record
    from sunsched.show.text.gaffer import gaffer_text

    _refuse_mixed(shot, at, spot, look, rig)
    shape = shape_of(picture, paper)
    asked = read_asked(day, picture).day
    stops_of = read_cloths(day)
    if at is not None:
        pages = [_asked(day, asked, at, spot, look, rig)]
    else:
        pages = _planned(day, asked, shot, stops_of)
    if picture is not None:
        _draw(picture, day, asked, pages, shape)
    if as_json:
        print_json(gaffer_record(asked, pages))
    else:
        typer.echo(gaffer_text(asked, pages, terminal_width()))


def _draw(file: Path, folder: Path, asked: Day, pages: list[GafferPage], shape: Shape) -> None:
    """Draw each setup from above; a .pdf has a page for each, a .png or .svg one alone."""
    from sunsched.saved.revisions import newest_revision
    from sunsched.show.charts.setups.above import setup_figure

    figures = [partial(setup_figure, asked, page, shape=shape) for page in pages]
    stamp = stamp_of(folder, asked, this_minute(), newest_revision(folder))
    write_pictures(file, figures, "SHOT", asked, stamp)


def _refuse_mixed(
    shot: str | None, at: str | None, spot: str | None, look: str | None, rig: str | None
) -> None:
    """Refuse what goes only with a time, or only without."""
    if at is not None and shot is not None:
        raise typer.BadParameter("it goes without a SHOT, whose time is planned", param_hint="--at")
    if at is not None and look is None:
        raise typer.BadParameter("say with --look which way the lens points", param_hint="--at")
    for name, value in (("--spot", spot), ("--look", look), ("--rig", rig)):
        if at is None and value is not None:
            raise typer.BadParameter("it goes with --at", param_hint=name)


def _planned(
    folder: Path, asked: Day, shot: str | None, stops_of: Mapping[str, float]
) -> list[GafferPage]:
    """Give the pages of the newest saved plan, or of a new one where none is saved."""
    from sunsched.folder.text.words import did_you_mean, listed
    from sunsched.show.gaffer.page import shot_page

    plan = _plan(folder, asked)
    made = {planned.shot.id: planned for planned in plan.shots}
    if shot is not None and shot not in made:
        ids = [one.id for one in asked.shots]
        if shot in ids:
            raise SunschedError(f"{shot} is left out of the plan, so it has no time")
        hint = did_you_mean(shot, ids) or f"there is {listed(ids, 'and')}"
        raise SunschedError(f"no shot `{shot}`\n  hint: {hint}")
    wanted = made.values() if shot is None else [made[shot]]
    return [shot_page(plan, planned, stops_of) for planned in wanted]


def _plan(folder: Path, asked: Day) -> Plan:
    from sunsched.average.plan import average_plan
    from sunsched.saved.revisions import newest_revision

    saved = newest_revision(folder)
    if saved is not None:
        return restored(folder, asked, saved).plan
    typer.echo("no plan is saved: this is of a new one, which is not kept", err=True)
    with looking():
        return average_plan(solve_asked(asked, GRID_MIN, None)).likely


def _asked(
    folder: Path,
    asked: Day,
    at: str,
    spot: str | None,
    look: str | None,
    rig: str | None,
) -> GafferPage:
    """Give the page of a spot and a look at a time."""
    from sunsched.cli.shared.spots import find_spot
    from sunsched.folder.log.moments import desk_of, read_moment
    from sunsched.folder.text.bands import bearing
    from sunsched.folder.text.words import WordError, did_you_mean, listed
    from sunsched.show.gaffer.page import asked_page

    moment = read_moment(desk_of(folder, asked), at)
    try:
        look_deg = bearing(look or "")
    except WordError as error:
        text = f"{error.problem} (expected {error.expected})" if error.expected else error.problem
        raise typer.BadParameter(text, param_hint="--look") from None
    if asked.declination_deg is not None:
        look_deg = (look_deg + asked.declination_deg) % 360.0
    rigs = [one.name for one in asked.rigs]
    if rig is not None and rig not in rigs:
        expected = listed(rigs) if rigs else "the name of a `[[rig]]`, such as 12x12 silk"
        refuse("--rig", "no such rig", rig, expected=expected, hint=did_you_mean(rig, rigs))
    if spot is None:
        names = [one.name for one in asked.spots]
        if len(names) > 1:
            text = f"say where with --spot: {listed(names)}"
            raise typer.BadParameter(text, param_hint="--at")
        spot = names[0]
    name = find_spot(asked, spot, "--spot").name
    return asked_page(asked, name, look_deg, moment, rig or "")
