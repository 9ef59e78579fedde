"""An argument on paper: what a comparison or a price says, to hand to an assistant director."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sunsched.day.model import Day
from sunsched.plan.plan import Plan
from sunsched.show.agenda import CAUTIONS
from sunsched.show.cautions import caution_texts
from sunsched.show.paper_size import Shape
from sunsched.show.stamp import Stamp

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One table with what is said of it, or words alone.

    A row that is a single text stands across all columns. `figures` are the places of the columns
    that hold figures, never what people typed.
    """

    heading: str
    header: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...] | str, ...] = ()
    figures: tuple[int, ...] = ()
    paragraphs: tuple[str, ...] = ()

    @property
    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The rows that have a cell in each column, without the spaces that align a terminal."""
        rows = (row for row in self.rows if isinstance(row, tuple))
        return tuple(tuple(cell.strip() for cell in row) for row in rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handout:
    """What is handed out: its subject, lines under the day's name, and its sections.

    `stamp` is written on the handout, so the same argument at the same minute gives the same bytes.
    `paper` is the shape of printed pages, and `picture` makes the last of them.
    """

    day: Day
    subject: str
    sections: tuple[Section, ...]
    stamp: Stamp
    head: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS
    paper: Shape = Shape.A4
    picture: Callable[[Shape], Figure] | None = None


def cautions_of(*plans: Plan) -> tuple[str, ...]:
    """Give the cautions of the shots of these plans, each once, and those of every sheet."""
    return (*caution_texts(*plans), *CAUTIONS)
