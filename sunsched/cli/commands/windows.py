"""The command that tells when each shot's sun is right: windows."""

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
from sunsched.cli.shared.wrong_use import refuse


@app.command(epilog="Example: sunsched windows data/ferry-light")
def windows(
    day: DayArgument,
    shot: Annotated[
        str | None, typer.Option("--shot", metavar="ID", help="Only this shot.")
    ] = None,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say when each shot's sun is right, and why not where it never is."""
    from sunsched.folder.text import words
    from sunsched.light.fit import fit_day
    from sunsched.light.windows import windows as find_windows
    from sunsched.show.records.day import windows_record
    from sunsched.show.text.day import windows_text

    shape = shape_of(picture, paper, Paper.PHONE)
    asked = read_asked(day, picture).day
    ids = [one.id for one in asked.shots]
    if shot is not None and shot not in ids:
        hint = words.did_you_mean(shot, ids)
        refuse("--shot", "no such shot", shot, expected=words.choice(ids, "shot"), hint=hint)
    fit = fit_day(asked)
    found = tuple(one for one in find_windows(fit) if shot in (None, one.shot))
    if picture is not None:
        from sunsched.show.charts.shot import shot_figure
        from sunsched.show.charts.windows import windows_figure

        plan, stamp = newest_plan(day, asked)
        drawn = fit if plan is None else plan.fit
        figures = [partial(shot_figure, drawn, one.shot, plan, shape=shape) for one in found]
        if shot is None:
            # All on one page; a .pdf has each alone behind it.
            pages = figures if picture.suffix.casefold() == ".pdf" else []
            figures = [partial(windows_figure, drawn, plan, shape=shape), *pages]
        write_pictures(picture, figures, "--shot", asked, stamp)
    if as_json:
        print_json(windows_record(asked, found))
    else:
        typer.echo(windows_text(asked, found, width=terminal_width()))
