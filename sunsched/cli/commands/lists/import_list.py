"""The command that takes somebody's list into a day folder: import."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.import_file import import_file


@app.command(
    "import", epilog="Example: sunsched import list.xlsx salt-pans --at Lisbon --date 2027-06-09"
)
def import_list(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="A list: .xlsx, .ods, .csv, or a mail's text as .txt."),
    ],
    day: Annotated[
        Path | None,
        typer.Argument(metavar="[DAY]", help="The day folder; a new one, named as the file."),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="PLACE", help="Where a new day is.")
    ] = None,
    date: Annotated[
        str | None, typer.Option("--date", metavar="YYYY-MM-DD", help="When a new day is.")
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Put the list in the place of shots.csv.")
    ] = False,
) -> None:
    """Take a shot list as people keep it into a day folder, and say what was taken for what.

    What the list leaves open is asked on a terminal. Without one it is told, and nothing is
    written.
    """
    folder = import_file(file, day, at, date, replace=replace)
    typer.echo(f"next: sunsched plan {folder}", err=True)
