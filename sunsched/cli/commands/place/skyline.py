"""The command that makes a spot's horizon file of what people know of it: skyline."""

from __future__ import annotations

import dataclasses
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    Paper,
    PictureOption,
    print_json,
    read_asked,
    refuse_loss,
    warn_of,
)
from sunsched.cli.shared.out.shape import PicturePaperOption, shape_of
from sunsched.cli.shared.out.written import write_pictures
from sunsched.cli.shared.saved_plan import stamp_without_plan
from sunsched.cli.shared.spots import day_track, find_spot
from sunsched.cli.terminal.interrupt import unbroken

if TYPE_CHECKING:
    from sunsched.day.model import Day, Spot
    from sunsched.folder.skyline.told import Line
    from sunsched.sky.skyline.skyline import Skyline


def _told(name: str, example: str, help_text: str) -> typer.models.OptionInfo:
    told: typer.models.OptionInfo = typer.Option(
        name, metavar=example, help=help_text, show_default=False
    )
    return told


@app.command(epilog="Example: sunsched skyline data/last-lamp yard --note 100:15")
def skyline(
    day: DayArgument,
    spot: Annotated[
        str | None, typer.Argument(metavar="SPOT", help="Its spot, if the day has several.")
    ] = None,
    wall: Annotated[
        list[str] | None,
        _told(
            "--wall",
            "WORDS",
            "A straight wall, clockwise: `from 80 to 130, 20 m away, 12 m high`, or its corners: "
            "`80 at 25 m, 130 at 31 m, 12 m high`, or `80 at 25°, 130 at 31°`.",
        ),
    ] = None,
    roof: Annotated[
        list[str] | None,
        _told(
            "--roof",
            "WORDS",
            "A slab above the ground: `from 80 to 130, 4 m to 10 m away, 3 m to 5 m high`.",
        ),
    ] = None,
    note: Annotated[
        list[str] | None,
        _told("--note", "PAIRS", "Bearings and angles: `100:15 120:18`, or level `200..260:15`."),
    ] = None,
    sun: Annotated[
        list[str] | None,
        _told("--sun", "WORDS", "`cleared ridge at 09:40 on 2026-11-02`, or `met ridge at …`."),
    ] = None,
    terrain: Annotated[
        list[Path] | None,
        _told("--terrain", "FILE", "A tile: .hgt, .asc, or .tif (needs rasterio)."),
    ] = None,
    footprints: Annotated[
        list[Path] | None, _told("--footprints", "FILE", "Houses with heights, as GeoJSON.")
    ] = None,
    add: Annotated[
        bool, typer.Option("--add", help="Add to what the file there was made of.")
    ] = False,
    replace: Annotated[
        bool, typer.Option("--replace", help="Put the new skyline in place of the old one.")
    ] = False,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Make a spot's skyline of walls, ridges, terrain and houses, or look at the one it has."""
    from sunsched.folder.skyline.told import line_of, path_text
    from sunsched.show.records.skyline import skyline_record
    from sunsched.show.text.place.skyline import skyline_text
    from sunsched.sky.horizon import direct_spans

    shape = shape_of(picture, paper, Paper.PHONE)
    if add and replace:
        raise typer.BadParameter("--add keeps what --replace throws away", param_hint="--add")
    asked = read_asked(day, picture).day
    if spot is None and len(asked.spots) > 1:
        names = ", ".join(one.name for one in asked.spots)
        raise typer.BadParameter(f"name one of its spots: {names}", param_hint="SPOT")
    named = asked.spots[0] if spot is None else find_spot(asked, spot, "SPOT")
    files = [("terrain", path) for path in terrain or ()]
    files += [("footprints", path) for path in footprints or ()]
    refuse_loss([picture], [path for _, path in files])
    lines = [
        *(line_of("wall", text) for text in wall or ()),
        *(line_of("roof", text) for text in roof or ()),
        *(line_of("note", text) for text in note or ()),
        *(line_of("sun", text) for text in sun or ()),
        *(line_of(kind, path_text(path, day)) for kind, path in files),
    ]
    if replace and not lines:
        raise typer.BadParameter("it needs something to be told", param_hint="--replace")
    made, written = None, None
    if lines or add:
        made, written = _make(day, asked, named, lines, add, replace)
        named = dataclasses.replace(named, horizon=made.points)
    track = day_track(asked)
    if picture is not None:
        from sunsched.show.charts.spots.skyline import skyline_figure

        figure = partial(skyline_figure, asked, named, track, shape=shape)
        write_pictures(picture, [figure], "SPOT", asked, stamp_without_plan())
    direct = direct_spans(named.horizon, track)
    if as_json:
        print_json(skyline_record(asked, named, made, direct, written))
    else:
        level = direct_spans((), track)
        typer.echo(skyline_text(asked, named, made, direct, level, written, width=terminal_width()))


def _make(
    folder: Path, asked: Day, spot: Spot, lines: list[Line], add: bool, replace: bool
) -> tuple[Skyline, Path]:
    """Make a skyline and write its file; nothing is written where anything is at fault."""
    from sunsched.errors import FolderError, WriteRefused
    from sunsched.folder.skyline.file import horizon_path, horizon_text
    from sunsched.folder.skyline.told import kept_lines, read_lines
    from sunsched.folder.store.write import write_whole
    from sunsched.folder.tables.skylines import MAX_POINTS
    from sunsched.folder.text.findings import Findings, by_place
    from sunsched.show.text.place.skyline import seen_from
    from sunsched.sky.skyline.skyline import make_skyline

    path, sharing = horizon_path(folder, spot.name)
    if path.exists() and add:
        kept = kept_lines(path)
        told = {(line.kind, line.text) for line in kept}
        lines = [*kept, *(line for line in lines if (line.kind, line.text) not in told)]
    elif path.exists() and not replace and path.stat().st_size:
        raise WriteRefused(
            f"`{path.name}` is there already, and nothing was written\n"
            "  hint: `--add` adds to what it was made of, `--replace` puts the new one in its place"
        )
    findings = Findings()
    turn_deg = asked.declination_deg or 0.0
    told_parts = read_lines(lines, folder, asked.date, asked.place.zone, turn_deg, findings)
    made = None
    if told_parts:
        made = make_skyline(asked.place, spot, told_parts, turn_deg, findings)
    if made is None and not findings.faults:
        raise WriteRefused(f"`{path.name}` says of nothing that it was made of it")
    if made is None or findings.faults:
        raise FolderError(by_place(findings.faults))
    warn_of(findings.warnings)
    if len(made.points) > MAX_POINTS:
        raise WriteRefused(
            f"{len(made.points):,} points, and a horizon file has {MAX_POINTS:,} at most\n"
            "  hint: nothing was written; take out footprints that hide no sun"
        )
    lines = list(dict.fromkeys(one.line for one in told_parts))
    text = horizon_text(lines, made.points, turn_deg, [seen_from(asked, spot)])
    with unbroken():
        write_whole(path, text.encode())
    if sharing:
        typer.echo(f"warning: {path.name} is also the skyline of {', '.join(sharing)}", err=True)
    return made, path
