"""What was taken for a place, and what its sun makes of the day, in words."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time

from sunsched.folder.place.take import Taken
from sunsched.show.layout import position, wrapped
from sunsched.sky.events import SunEvents

WIDTH = 80
INDENT = 7


def place_text(
    taken: Taken,
    events: SunEvents,
    hours: tuple[time, time, time],
    *,
    is_laid: bool,
    width: int = WIDTH,
) -> str:
    """Say which place was taken, when its sun rises and sets, and the hours: call, wrap, hard wrap.

    `is_laid` says that the first two were laid by the sun, as nobody gave them.
    """
    return "\n".join(
        line
        for text in place_lines(
            taken, events, hours, is_laid=is_laid, changed="`[hours]` in day.toml changes them"
        )
        for line in wrapped(text, width, indent=INDENT)
    )


def place_lines(
    taken: Taken,
    events: SunEvents,
    hours: tuple[time, time, time],
    *,
    is_laid: bool,
    changed: str,
) -> Iterator[str]:
    """Give the same, line by line, for whoever breaks lines otherwise.

    `changed` says what changes the hours.
    """
    place = taken.place
    yield f"place  {taken.told}: {position(place)}, {place.timezone}"
    for note in taken.notes:
        yield f"{'':{INDENT}}{note}"

    def local(when: datetime | None) -> str:
        return "never" if when is None else f"{when.astimezone(place.zone):%H:%M}"

    yield (
        f"sun    rises {local(events.sunrise)}, is highest {local(events.solar_noon)}, "
        f"sets {local(events.sunset)}"
    )
    call, wrap, hard_wrap = hours
    why = ", laid by the sun" if is_laid else ""
    yield (
        f"hours  call {call:%H:%M}, wrap {wrap:%H:%M}{why}; nothing rolls past the hard wrap, "
        f"{hard_wrap:%H:%M}: {changed}"
    )
