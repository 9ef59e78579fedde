"""What a sheet or a picture is of: its revision, when it was made, what it knows, in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sunsched.day.clock import local_text
from sunsched.day.model import Day

OUT_OF_DATE = "OUT OF DATE"
PROPOSAL = "proposal, not saved"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """What stands on everything that is handed out, so that nobody goes by an old one.

    Attributes
    ----------
    made_at : the moment at which the sheet or picture was made, aware
    revision : the number under which its plan is saved; None for a proposal
    saved_at : when that revision was saved; None where nobody knows
    events : how many events of the log the plan knows
    newest : the last of them in words; "" where it knows none
    since, last : how many events were noted after those, and the last of these in words
    behind : each reason for which it was out of date as it was made, in words
    has_plan : False for what shows no plan, such as the sun's path
    """

    made_at: datetime
    revision: int | None = None
    saved_at: datetime | None = None
    events: int = 0
    newest: str = ""
    since: int = 0
    last: str = ""
    behind: tuple[str, ...] = ()
    has_plan: bool = True


def stamp_text(day: Day, stamp: Stamp) -> str:
    """Say what it is of, when it was made on the place's clock, and the newest event it knows."""
    made = f"made {moment_text(day, stamp.made_at)} {day.place.timezone} time"
    if not stamp.has_plan:
        return made
    return f"{revision_text(day, stamp)}, {made}, {known_text(stamp)}"


def revision_text(day: Day, stamp: Stamp) -> str:
    """Say which revision it is of, and when that was saved, if that was not just now."""
    if stamp.revision is None:
        return PROPOSAL
    is_old = stamp.saved_at is not None and stamp.saved_at != stamp.made_at
    saved = f" of {moment_text(day, stamp.saved_at)}" if is_old and stamp.saved_at else ""
    return f"revision {stamp.revision}{saved}"


def known_text(stamp: Stamp) -> str:
    """Say up to which event the plan knows the log, and what was noted since."""
    known = "knows no event of the log"
    if stamp.events:
        known = f"knows the log up to event {stamp.events}: {stamp.newest}"
    if not stamp.since:
        return known
    return f"{known}; {stamp.since} since{'' if stamp.behind else ', as planned'}: {stamp.last}"


def behind_text(stamp: Stamp) -> str:
    """Say that it is out of date and why; "" where it is not."""
    return f"{OUT_OF_DATE}: {'; '.join(stamp.behind)}" if stamp.behind else ""


def stamp_cells(day: Day, stamp: Stamp) -> dict[str, str | int | None]:
    """Give the stamp as columns for programs; an empty cell for what there is none of."""
    return {
        "sheet_revision": PROPOSAL if stamp.revision is None else stamp.revision,
        "sheet_made_at": local_text(day, stamp.made_at),
        "sheet_log_events": stamp.events,
        "sheet_log_newest": stamp.newest,
    }


def moment_text(day: Day, when: datetime) -> str:
    """Write a date and a time on the place's clock."""
    return f"{when.astimezone(day.place.zone):%Y-%m-%d %H:%M}"


def time_text(day: Day, when: datetime) -> str:
    """Write a time on the place's clock, with its date unless that is the day's."""
    local = when.astimezone(day.place.zone)
    return f"{local:%H:%M}" if local.date() == day.date else moment_text(day, when)


def told_by_file(day: Day, stamp: Stamp) -> dict[str, str]:
    """Give what a picture's file says of itself to programs, for `picture_bytes`."""
    return {
        "made": local_text(day, stamp.made_at) or "",
        "about": stamp_text(day, stamp),
        "warning": behind_text(stamp),
    }
