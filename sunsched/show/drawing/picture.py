"""A picture that has no place yet: it is put alone on its paper, or on a page with others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from typing import TypeVar

from matplotlib.figure import Figure

from sunsched.day.model import Day
from sunsched.show.drawing.figure import heading, house_style, new_figure, write_lines
from sunsched.show.drawing.lettering import Words, wrapped_words
from sunsched.show.paper_size import Paper

FOOT_IN = 0.4  # of a page with several pictures, for what it is of
OVER_IN = 0.22  # between two pictures of a page
SUBJECT_PT = 12.0
MOST_STRETCH = 1.5  # room that is left goes to pictures until each is so many times as high

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture of a width: what it is of, how high it is, and how it is drawn.

    Attributes
    ----------
    name : what it is of in its file, after the title of the day
    subject : what stands over it
    least_in : the height that it needs
    most_in : the most height that it makes use of
    draw : draws it on a page from a height down, so many inches high
    """

    name: str
    subject: str
    least_in: float
    most_in: float
    draw: Callable[[Figure, float, float], None]


def alone(day: Day, setting: Paper, picture: Picture, *, is_bare: bool = False) -> Figure:
    """Draw a picture on paper of its own, which grows if it must.

    One that is bare leaves its heading to what it stands in.
    """
    with house_style():
        head = [] if is_bare else heading(day, setting, picture.subject)
        top = setting.margin_in + sum(line.height_in for line in head)
        high = picture.least_in
        if setting.height_in is not None:
            room = setting.height_in - top - setting.margin_in
            high = max(picture.least_in, min(picture.most_in, room))
        figure = new_figure(setting, top + high + setting.margin_in, f"{day.title}: {picture.name}")
        write_lines(figure, setting.margin_in, setting.margin_in, head)
        picture.draw(figure, top, high)
    return figure


def page_figures(day: Day, setting: Paper, pictures: Sequence[Picture]) -> list[Figure]:
    """Share pictures out over pages in their order, several to a page where they have room.

    What room is left on a page makes its pictures higher.
    """
    with house_style():
        head = wrapped_words(
            f"{day.title}, {day.date.isoformat()}",
            setting.room_in,
            setting.text_pt,
            bold=True,
            lines=1,
        )
        top = setting.margin_in + sum(line.height_in for line in head) + OVER_IN / 2
        room = (setting.height_in or 0.0) - top - FOOT_IN
        pages: list[list[Picture]] = []
        left = 0.0
        for picture in pictures:
            high = OVER_IN + _over_in() + picture.least_in
            if not pages or high - OVER_IN > left:
                pages.append([])
                left = room + OVER_IN
            pages[-1].append(picture)
            left -= high
        return [_page(day, setting, head, top, room, page) for page in pages]


def _page(
    day: Day,
    setting: Paper,
    head: Sequence[Words],
    top: float,
    room: float,
    pictures: Sequence[Picture],
) -> Figure:
    over = len(pictures) * (OVER_IN + _over_in()) - OVER_IN
    spare = room - over - sum(one.least_in for one in pictures)
    wants = [min(one.most_in, MOST_STRETCH * one.least_in) - one.least_in for one in pictures]
    share = min(1.0, max(0.0, spare) / (sum(wants) or 1.0))
    need = top + over + sum(one.least_in for one in pictures) + FOOT_IN
    names = ", ".join(one.name for one in pictures)
    figure = new_figure(setting, need, f"{day.title}: {names}")
    write_lines(figure, setting.margin_in, setting.margin_in, head)
    for picture, want in zip(pictures, wants, strict=True):
        line = Words(text=picture.subject, size_pt=SUBJECT_PT, bold=True)
        lines = wrapped_words(line.text, setting.room_in, SUBJECT_PT, bold=True, lines=1)
        write_lines(figure, setting.margin_in, top, lines)
        high = picture.least_in + share * want
        picture.draw(figure, top + _over_in(), high)
        top += _over_in() + high + OVER_IN
    return figure


def _over_in() -> float:
    """Give the height of what stands over each picture of a page."""
    return Words(text="", size_pt=SUBJECT_PT).height_in


def share_out(rows: Sequence[Row], most: int | None) -> list[Sequence[Row]]:
    """Share rows out evenly over as few pictures as hold no more than so many each."""
    count = 1 if most is None else max(1, ceil(len(rows) / most))
    size = max(1, ceil(len(rows) / count))
    return [rows[first : first + size] for first in range(0, len(rows), size)] or [rows]
