"""A handout as one page of HTML that needs nothing else and runs nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.layout import plain
from sunsched.show.sheets.template import own_markup, own_text, template
from sunsched.show.stamp import behind_text, stamp_text

SHORT = 24  # signs of a cell up to which it stays on one line
MOST_FIGURES = 5  # columns of figures that stand side by side on a phone 360 px wide
# No request may leave the page, and nothing may run.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


@dataclass(frozen=True, slots=True, kw_only=True)
class PageTable:
    """A table as the page shows it; `kinds` says how each column is set."""

    header: tuple[str, ...]
    kinds: tuple[str, ...]
    rows: tuple[tuple[str, ...] | str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSection:
    """A section as the page shows it; one with many figures has several tables under each other."""

    heading: str
    tables: tuple[PageTable, ...]
    paragraphs: tuple[str, ...]


def handout_page_bytes(handout: Handout) -> bytes:
    """Give the page; all that people typed is escaped. Wide tables scroll in a box of their own."""
    day = handout.day
    html = template("handouts/handout.html.j2").render(
        policy=POLICY,
        style=own_markup(f"{own_text('sheets/page.css')}\n{own_text('handouts/handout.css')}"),
        subject=handout.subject,
        title=plain(day.title),
        place=plain(day.place.name),
        date=f"{day.date:%A} {day.date.isoformat()}",
        zone=day.place.timezone,
        made=stamp_text(day, handout.stamp),
        behind=behind_text(handout.stamp),
        head=[plain(text) for text in handout.head],
        sections=[_page_section(section) for section in handout.sections],
        cautions=handout.cautions,
    )
    return html.encode()


def _page_section(section: Section) -> PageSection:
    return PageSection(
        heading=plain(section.heading),
        tables=tuple(_page_table(section, shown) for shown in _shared_out(section)),
        paragraphs=tuple(plain(text) for text in section.paragraphs),
    )


def _shared_out(section: Section) -> Iterator[tuple[int, ...]]:
    """Give the columns of each table: of figures alone as many as stand side by side on a phone."""
    columns = tuple(range(len(section.header)))
    if not columns:
        return
    if set(section.figures) != set(columns[1:]) or len(section.figures) <= MOST_FIGURES:
        yield columns
        return
    size = ceil(len(columns[1:]) / ceil(len(columns[1:]) / MOST_FIGURES))
    for first in range(1, len(columns), size):
        yield (0, *columns[first : first + size])


def _page_table(section: Section, shown: tuple[int, ...]) -> PageTable:
    return PageTable(
        header=tuple(plain(section.header[place]) for place in shown),
        kinds=tuple(_kind(section, place) for place in shown),
        rows=tuple(
            plain(row).strip()
            if isinstance(row, str)
            else tuple(plain(row[place]).strip() for place in shown)
            for row in section.rows
        ),
    )


def _kind(section: Section, place: int) -> str:
    if place in section.figures:
        return "figure"
    longest = max((len(row[place]) for row in section.cells), default=0)
    return "short" if longest <= SHORT else "long"
