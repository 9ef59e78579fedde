"""The command that shows days on a screen: desk."""

from __future__ import annotations

import webbrowser
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import this_moment
from sunsched.cli.shared.wrong_use import refuse, whole_option

if TYPE_CHECKING:
    from sunsched.desk.web.run import Desk

LAST_PORT = 65_535


@app.command(epilog="Example: sunsched desk data/last-lamp")
def desk(
    day: Annotated[
        Path | None,
        typer.Argument(metavar="DAY", help="The day folder; none: all that stand here."),
    ] = None,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let phones on the set's own network in, with a key.")
    ] = False,
    port: Annotated[
        int | None, whole_option("--port", 1, LAST_PORT, "N", "Of the server, if not the usual;")
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")
    ] = True,
) -> None:
    """Show the day on a screen: a page that runs on this machine alone, until Ctrl-C.

    With --lan others on the same network see it too, each by a link with a key: to see, to note
    what happens, or to do everything. Trust that network: what goes over it is not hidden. It is no
    service for the internet.
    """
    if day is not None and not day.is_dir():
        refuse("DAY", "no such folder", str(day), expected="a day folder")
    from sunsched.desk.work.child import Child

    # What works out the first page loads beside what serves it.
    begun = Child()
    from sunsched.desk.serve import serve
    from sunsched.desk.watched.folders import folders_of

    folders = folders_of(day, Path.cwd())

    def tell(opened: Desk, address: str) -> None:
        typer.echo(f"the desk is at {address}")
        if lan:
            _tell_others(opened)
        typer.echo("Ctrl-C ends it; the files of the day stay as they are", err=True)
        if browser:
            webbrowser.open(address)

    try:
        serve(folders, clock=this_moment, lan=lan, port=port, begun=begun, tell=tell)
    finally:
        begun.end()


def _tell_others(opened: Desk) -> None:
    """Print the links for others, and a code that a phone reads."""
    from sunsched.desk.door.access import Access
    from sunsched.desk.door.addresses import code_text, link

    if not opened.addresses:
        typer.echo("this machine is on no network, so nobody else reaches it", err=True)
        return
    address, keys = opened.addresses[0], opened.door.keys
    says = ((Access.SEE, "to see"), (Access.NOTE, "to note what happens"), (Access.ALL, "for all"))
    for access, what in says:
        typer.echo(f"{what}: {link(address, keys, access)}")
    for other in opened.addresses[1:]:
        typer.echo(f"or, on another network of this machine: {link(other, keys, Access.SEE)}")
    typer.echo("to note what happens, read by a phone:")
    typer.echo(code_text(link(address, keys, Access.NOTE)))
    text = "whoever has a link has what it opens; the network is trusted not to listen"
    typer.echo(text, err=True)
