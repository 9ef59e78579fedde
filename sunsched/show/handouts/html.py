"""A handout as one page of HTML that needs nothing else and runs nothing."""

from __future__ import annotations

from dataclasses import dataclass

from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.layout import plain
from sunsched.show.sheets.template import own_markup, own_text, template
from sunsched.show.stamp import behind_text, stamp_text

SHORT = 24  # signs of a cell up to which it stays on one line
# No request may leave the page, and nothing may run.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSection:
    """A section as the page shows it; `kinds` says how each column is set."""

    heading: str
    header: tuple[str, ...]
    kinds: tuple[str, ...]
    rows: tuple[tuple[str, ...] | str, ...]
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
        header=tuple(plain(head) for head in section.header),
        kinds=tuple(_kind(section, place) for place in range(len(section.header))),
        rows=tuple(
            plain(row).strip()
            if isinstance(row, str)
            else tuple(plain(cell).strip() for cell in row)
            for row in section.rows
        ),
        paragraphs=tuple(plain(text) for text in section.paragraphs),
    )


def _kind(section: Section, place: int) -> str:
    if place in section.figures:
        return "figure"
    longest = max((len(row[place]) for row in section.cells), default=0)
    return "short" if longest <= SHORT else "long"
