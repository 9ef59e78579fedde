"""The command that tells when each shot's sun is right: windows."""

from __future__ import annotations

from functools import partial
from typing import Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    PictureOption,
    kind_of,
    print_json,
    read_asked,
    write_pictures,
)
from sunsched.cli.shared.saved_plan import stamp_without_plan
from sunsched.cli.shared.wrong_use import refuse


@app.command(epilog="Example: sunsched windows data/ferry-light")
def windows(
    day: DayArgument,
    shot: Annotated[
        str | None, typer.Option("--shot", metavar="ID", help="Only this shot.")
    ] = None,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say when each shot's sun is right, and why not where it never is."""
    from sunsched.folder.text import words
    from sunsched.light.fit import fit_day
    from sunsched.light.windows import windows as find_windows
    from sunsched.show.records.day import windows_record
    from sunsched.show.text.day import windows_text

    asked = read_asked(day, picture).day
    ids = [one.id for one in asked.shots]
    if shot is not None and shot not in ids:
        hint = words.did_you_mean(shot, ids)
        refuse("--shot", "no such shot", shot, expected=words.choice(ids, "shot"), hint=hint)
    fit = fit_day(asked)
    found = tuple(one for one in find_windows(fit) if shot in (None, one.shot))
    if picture is not None:
        from sunsched.show.charts.shot import shot_figure
        from sunsched.show.paper_size import Shape

        shape = Shape.A4 if kind_of(picture, "--picture") == "pdf" else Shape.PHONE
        figures = [partial(shot_figure, fit, one.shot, shape=shape) for one in found]
        write_pictures(picture, figures, "--shot", asked, stamp_without_plan())
    if as_json:
        print_json(windows_record(asked, found))
    else:
        typer.echo(windows_text(asked, found))
