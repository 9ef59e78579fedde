"""The command line as a whole, to which each command adds itself."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperGroup

# As a day goes: written, asked about, planned, argued, shot, and looked back on.
ORDER = (
    *("new", "check", "sun", "windows", "plan", "sheet", "price", "compare"),
    *("log", "replan", "stress", "pace"),
)


class AsTheDayGoes(TyperGroup):
    """The commands in the order in which a day needs them."""

    def list_commands(self, ctx: typer.Context) -> list[str]:  # type: ignore[override]
        """Give the names in that order."""
        return sorted(super().list_commands(ctx), key=ORDER.index)


app = typer.Typer(
    cls=AsTheDayGoes,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="The order of a shooting day outdoors that keeps the most light.",
)


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
