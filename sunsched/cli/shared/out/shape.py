"""The shape of a picture, by the file that it is written to and what is asked for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.common import Paper
from sunsched.cli.shared.out.written import kind_of
from sunsched.cli.shared.wrong_use import choice_option

if TYPE_CHECKING:
    from sunsched.show.paper_size import Shape

PicturePaperOption = Annotated[
    Paper | None, choice_option("--paper", Paper, "The shape of --picture.")
]


def shape_of(
    picture: Path | None, paper: Paper | None, screen: Paper = Paper.A4, *, others: bool = False
) -> Shape:
    """Give the shape of a picture; wrong use is told before anything is solved.

    Parameters
    ----------
    screen : the shape of one that is not printed, unless another is asked for
    others : whether `--paper` has another use in the command, such as for a sheet
    """
    from sunsched.show.paper_size import Shape

    if picture is None:
        if paper is not None and not others:
            raise typer.BadParameter("it is for --picture", param_hint="--paper")
        return Shape.A4
    kind = kind_of(picture, "--picture")
    if kind == "pdf" and paper is Paper.PHONE:
        text = "a .pdf is printed on a4 or letter; a phone reads a .png or .svg"
        raise typer.BadParameter(text, param_hint="--paper")
    if paper is None:
        paper = Paper.A4 if kind == "pdf" else screen
    return Shape(paper.value)
