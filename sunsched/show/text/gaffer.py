"""The gaffer's page as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.gaffer.caution_lines import day_cautions
from sunsched.show.gaffer.light_lines import camera_text
from sunsched.show.gaffer.page import NOTE, GafferPage, setup_text
from sunsched.show.layout import bearings_note, heading, wrapped

WIDTH = 80


def gaffer_text(day: Day, pages: Sequence[GafferPage], width: int = WIDTH) -> str:
    """Lay out the pages of a day, one below the other."""
    lines = [*heading(day, width), ""]
    for page in pages:
        lines += [*page_lines(day, page, width), ""]
    lines.append("cautions for all of them")
    for line in day_cautions(day):
        lines += [f"  {piece}" for piece in wrapped(f"{line.name}: {line.text}", width - 2)]
    lines.append("")
    note = bearings_note(day)
    told = f"{camera_text(day)} (`[camera]` of day.toml; where it does not say, common practice)"
    for text in (told, NOTE, *([note] if note else [])):
        lines += wrapped(text, width)
    return "\n".join(lines)


def page_lines(day: Day, page: GafferPage, width: int) -> Iterator[str]:
    """Give the lines of one page."""
    setup = page.setup
    when = f"{clock(day, setup.start)}–{clock(day, setup.end)}"
    yield from wrapped(f"{setup.title}  {when}  {setup_text(day, setup)}", width)
    for section in page.sections:
        yield f"  {section.title}"
        for line in section.lines:
            for piece in wrapped(f"{line.name}: {line.text}", width - 4):
                yield f"    {piece}"
