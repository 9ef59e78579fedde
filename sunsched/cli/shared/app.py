"""The command line as a whole, to which each command adds itself."""

from __future__ import annotations

import shutil
from typing import Annotated

import typer

USUAL_WIDTH, LEAST_WIDTH = 80, 60  # of a terminal, in cells

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="The order of a shooting day outdoors that keeps the most light.",
)


def terminal_width() -> int:
    """Give how many cells wide the terminal is; 80 where there is none, as in a pipe."""
    return max(LEAST_WIDTH, shutil.get_terminal_size((USUAL_WIDTH, 24)).columns)


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(version("sunsched"))
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_print_version, is_eager=True, help="Print the version."
        ),
    ] = False,
) -> None:
    """Take the options that stand before any command."""
