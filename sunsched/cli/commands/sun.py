"""The command that prints where the sun stands on a day: sun."""

from __future__ import annotations

from functools import partial
from typing import Annotated

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    Paper,
    PictureOption,
    print_json,
    read_asked,
)
from sunsched.cli.shared.out.shape import PicturePaperOption, shape_of
from sunsched.cli.shared.out.written import write_pictures
from sunsched.cli.shared.saved_plan import newest_plan
from sunsched.cli.shared.spots import day_track, find_spot
from sunsched.cli.shared.wrong_use import whole_option


@app.command(epilog="Example: sunsched sun data/late-ridge --every 15 --spot barn")
def sun(
    day: DayArgument,
    every: Annotated[int, whole_option("--every", 1, 720, "MIN", "Minutes between rows,")] = 30,
    spot: Annotated[
        str | None, typer.Option("--spot", metavar="NAME", help="Only this spot's direct sun.")
    ] = None,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Print the day's events, each spot's direct sun, and the sun every so many minutes."""
    from sunsched.show.records.day import sun_record
    from sunsched.show.text.day import sun_text
    from sunsched.sky.events import day_kind, sun_events
    from sunsched.sky.horizon import direct_spans

    shape = shape_of(picture, paper, Paper.PHONE)
    asked = read_asked(day, picture).day
    place = asked.place
    spots = {one.name: one for one in asked.spots}
    if spot is not None:
        named = find_spot(asked, spot, "--spot")
        spots = {named.name: named}
    track = day_track(asked)
    if picture is not None:
        from sunsched.light.fit import fit_day
        from sunsched.show.charts.spots.sun import sun_figure

        plan, stamp = newest_plan(day, asked)
        fit = fit_day(asked) if plan is None else plan.fit
        figures = [partial(sun_figure, fit, name, plan, shape=shape) for name in spots]
        write_pictures(picture, figures, "--spot", asked, stamp)
    direct = {name: direct_spans(one.horizon, track) for name, one in spots.items()}
    events, kind = sun_events(place, asked.date), day_kind(place, asked.date)
    if as_json:
        print_json(sun_record(asked, events, kind, direct, track, every))
    else:
        typer.echo(sun_text(asked, events, kind, direct, track, every, width=terminal_width()))
