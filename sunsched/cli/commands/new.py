"""The command that writes a starter day: new."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.new_day import new_day_texts
from sunsched.cli.terminal.interrupt import unbroken
from sunsched.cli.terminal.streams import done_first


@app.command(epilog="Example: sunsched new salt-pans --at Lisbon --date 2027-06-09")
def new(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that does not exist yet.")
    ],
    date: Annotated[
        str | None, typer.Option("--date", metavar="YYYY-MM-DD", help="The day's date.")
    ] = None,
    at: Annotated[
        str | None,
        typer.Option(
            "--at",
            metavar="PLACE",
            help="A town, `town, region`, coordinates, a geo: link, a GPX file or a photo.",
        ),
    ] = None,
    call: Annotated[
        str | None, typer.Option("--call", metavar="HH:MM", help="When the crew is called.")
    ] = None,
    wrap: Annotated[
        str | None, typer.Option("--wrap", metavar="HH:MM", help="When the day is to end.")
    ] = None,
    as_book: Annotated[
        bool, typer.Option("--xlsx", help="Write the shot list as a workbook, with every column.")
    ] = False,
) -> None:
    """Write a starter day to edit: its place, its hours and a few shots under its sun.

    Asks for what is not given, on a terminal; without one, the hours lie between sunrise and
    sunset.
    """
    from sunsched.folder.store.write import write_folder

    texts, told = new_day_texts(folder.absolute().name, at, date, call, wrap)
    files: dict[str, str | bytes] = {**texts}
    if as_book:
        from sunsched.folder.starter import SPOTS
        from sunsched.folder.starter_book import starter_book

        files["shots.xlsx"] = starter_book(str(files.pop("shots.csv")), SPOTS)
    with unbroken():
        write_folder(folder, files)
        with done_first(f"{folder} is written"):
            typer.echo(told)
            typer.echo(f"{folder}: {', '.join(files)}")
    typer.echo(f"next: sunsched check {folder}", err=True)
