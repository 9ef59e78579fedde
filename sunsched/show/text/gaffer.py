"""The gaffer's page as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.gaffer.caution_lines import day_cautions
from sunsched.show.gaffer.page import GafferPage
from sunsched.show.layout import bearing_text, bearings_note, heading, wrapped

WIDTH = 80
NOTE = (
    "Light is that of mean skies (IES 1984): a single day has up to a stop more or less. Exposure: "
    "incident, ISO 2720, C = 340. Stops are rounded to thirds. A face is upright; what it faces is "
    "said with it."
)


def gaffer_text(day: Day, pages: Sequence[GafferPage], width: int = WIDTH) -> str:
    """Lay out the pages of a day, one below the other."""
    lines = [*heading(day, width), ""]
    for page in pages:
        lines += [*page_lines(day, page, width), ""]
    lines.append("cautions for all of them")
    for line in day_cautions(day):
        lines += [f"  {piece}" for piece in wrapped(f"{line.name}: {line.text}", width - 2)]
    lines.append("")
    camera = day.camera
    told = (
        f"camera: ISO {camera.iso:g}, {camera.shutter_deg:g}° at {camera.frames_s:g} a second, "
        f"T{camera.stop:g} wanted (`[camera]` of day.toml)"
    )
    note = bearings_note(day)
    for text in (told, NOTE, *([note] if note else [])):
        lines += wrapped(text, width)
    return "\n".join(lines)


def page_lines(day: Day, page: GafferPage, width: int) -> Iterator[str]:
    """Give the lines of one page."""
    setup = page.setup
    lens = "" if setup.lens_mm is None else f", {setup.lens_mm:g} mm"
    rig = f", {setup.rig}" if setup.rig else ""
    spot = "" if setup.title == setup.spot.name else f"{setup.spot.name}, "
    yield from wrapped(
        f"{setup.title}  {clock(day, setup.start)}–{clock(day, setup.end)}  {spot}"
        f"look {bearing_text(day, setup.look_deg)}{lens}{rig}",
        width,
    )
    for section in page.sections:
        yield f"  {section.title}"
        for line in section.lines:
            for piece in wrapped(f"{line.name}: {line.text}", width - 4):
                yield f"    {piece}"
