"""How an answer is shown: as text or JSON, in a picture, in a handout, each with its stamp."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from sunsched.cli.shared.app import terminal_width
from sunsched.cli.shared.common import print_json
from sunsched.cli.shared.out.written import HandOut, write_pictures

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.show.paper_size import Shape
    from sunsched.show.records.day import Record
    from sunsched.show.stamp import Stamp


@dataclass(frozen=True, slots=True, kw_only=True)
class Out:
    """What was asked for beside the text of an answer, and what stands on it."""

    picture: Path | None
    shape: Shape
    hand_out: HandOut
    as_json: bool
    stamp: Stamp


def draw_answer(out: Out, day: Day, make: Callable[..., Any]) -> None:
    """Write the figure that a maker gives for a shape, if a picture was asked for."""
    if out.picture is not None:
        figures = [partial(make, shape=out.shape)]
        write_pictures(out.picture, figures, "--picture", day, out.stamp)


def print_answer(out: Out, record: Record, *texts: Callable[[int], str]) -> None:
    """Print an answer as it was asked for: JSON, or texts as wide as the terminal."""
    width = terminal_width()
    print_json(record) if out.as_json else typer.echo("\n\n".join(one(width) for one in texts))
