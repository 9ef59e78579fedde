"""The gaffer's page as plain dicts for `--json`."""

from __future__ import annotations

from collections.abc import Sequence

from sunsched.day.clock import local_text
from sunsched.day.model import Day
from sunsched.show.gaffer.caution_lines import day_cautions
from sunsched.show.gaffer.page import GafferPage
from sunsched.show.records.day import Record


def gaffer_record(day: Day, pages: Sequence[GafferPage]) -> Record:
    """Give the pages, each line with its words and its figures."""
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "cautions": [
            {"name": one.name, "text": one.text, **one.figures} for one in day_cautions(day)
        ],
        "setups": [
            {
                "id": page.setup.title,
                "spot": page.setup.spot.name,
                "look_deg": round(page.setup.look_deg, 1),
                "roll_start": local_text(day, page.setup.start),
                "roll_end": local_text(day, page.setup.end),
                "sections": [
                    {
                        "title": section.title,
                        "lines": [
                            {"name": line.name, "text": line.text, **line.figures}
                            for line in section.lines
                        ],
                    }
                    for section in page.sections
                ],
            }
            for page in pages
        ],
    }
