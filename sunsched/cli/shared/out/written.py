"""What is written beside an answer: a handout, pictures, each of the kind that its name ends in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import typer

from sunsched.cli.shared.common import Paper
from sunsched.cli.terminal.interrupt import unbroken

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.show.handouts.handout import Handout
    from sunsched.show.stamp import Stamp

# Takes the maker of a handout, and what stands on it.
HandOut: TypeAlias = "Callable[[Callable[..., Handout], Stamp], None]"


def kind_of(file: Path, named_by: str) -> str:
    """Give the kind that a file's ending asks for; another ending is wrong use.

    `named_by` is what names the file on the command line: FILE, --picture or --sheet.
    """
    from sunsched.errors import WriteRefused
    from sunsched.show.sheets.sheet import HANDOUT_KINDS, PICTURE_KINDS, SHEET_KINDS, file_kind

    kinds = {"FILE": SHEET_KINDS, "--picture": PICTURE_KINDS, "--sheet": HANDOUT_KINDS}
    try:
        return file_kind(file, kinds[named_by])
    except WriteRefused as error:
        raise typer.BadParameter(str(error), param_hint=named_by) from None


def handing_out(file: Path | None, paper: Paper | None, picture: Path | None = None) -> HandOut:
    """Give the function that writes a handout to the file of `--sheet`, if there is one.

    Wrong use is told here, before anything is solved.
    """
    if file is None:
        if paper is not None and picture is None:
            raise typer.BadParameter("it is for --picture and --sheet", param_hint="--paper")
        return lambda *_: None
    kind_of(file, "--sheet")
    if paper is Paper.PHONE:
        text = "a sheet is printed on a4 or letter; a phone reads its .html"
        raise typer.BadParameter(text, param_hint="--paper")

    def write(make: Callable[..., Handout], stamp: Stamp) -> None:
        from sunsched.show.handouts.write import write_handout
        from sunsched.show.paper_size import Shape

        handout = make(stamp=stamp, paper=Shape(paper or Paper.A4))
        with unbroken():
            write_handout(file, handout)
            typer.echo(f"{file} written", err=True)

    return write


def write_pictures(
    file: Path, figures: list[partial[Any]], option: str, day: Day, stamp: Stamp
) -> None:
    """Write figures with their stamp as the pages of a .pdf; a .png or .svg holds one."""
    from sunsched.folder.store.write import write_whole
    from sunsched.show.drawing.figure import asked_texts, picture_bytes
    from sunsched.show.drawing.lettering import lacking_text
    from sunsched.show.drawing.stamped import put_stamp
    from sunsched.show.stamp import told_by_file

    kind = kind_of(file, "--picture")
    if kind != "pdf" and len(figures) > 1:
        text = f"a .{kind} holds one picture, and there are {len(figures)}"
        raise typer.BadParameter(
            f"{text}; name one with {option}, or write a .pdf", param_hint="--picture"
        )
    made = [make() for make in figures]
    for figure in made:
        put_stamp(figure, day, stamp)
    content = picture_bytes(made, kind, told_by_file(day, stamp))
    with unbroken():
        write_whole(file, content)
        typer.echo(f"{file} written", err=True)
    if text := lacking_text(asked_texts(made), kind):
        typer.echo(text, err=True)
