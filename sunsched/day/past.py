"""What has happened on a shooting day when the rest of it is planned anew: frozen, in UTC."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

Lost = tuple[datetime, datetime]  # from when to when nothing was done


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A shot that has rolled, or rolls now; of one that rolls now, `roll_end` is expected.

    `lost` are the minutes that were told to be lost from the start of its changeover on;
    `starts_by_plan` and `ends_by_plan` say which of its times nobody looked at a clock for.
    """

    shot_id: str
    changeover_start: datetime
    roll_start: datetime
    roll_end: datetime
    # Saved plans know a past without lost minutes by its repr.
    lost: tuple[Lost, ...] = field(default=(), repr=False)
    starts_by_plan: bool = field(default=False, repr=False)
    ends_by_plan: bool = field(default=False, repr=False)

    @property
    def lost_before_roll(self) -> tuple[Lost, ...]:
        """Give those of its changeover."""
        return _within(self.lost, self.changeover_start, self.roll_start)

    @property
    def lost_in_roll(self) -> tuple[Lost, ...]:
        """Give those of its roll."""
        return _within(self.lost, self.roll_start, self.roll_end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What has happened by a moment of the day.

    Attributes
    ----------
    at : the moment
    free_at : when the crew can begin something new: not before `at`, the end of the roll or the
        meal that goes on, and the minutes known to be lost
    made : in shooting order; in the day, each of them has its real minutes as its `shoot_min`
    running : id of the last of `made` while it still rolls
    building, built_since : id of the shot whose changeover has begun, and when; None for none
    cut : ids of shots that will not be made
    meal_start : when the meal began, None while it is still to come
    meal_due : the latest start of a meal still to come that has gone by; None for none
    unpinned : ids of shots still to come whose pins cannot be kept any more
    """

    at: datetime
    free_at: datetime
    made: tuple[Made, ...] = ()
    running: str | None = None
    building: str | None = None
    built_since: datetime | None = None
    cut: tuple[str, ...] = ()
    meal_start: datetime | None = None
    meal_due: datetime | None = None
    unpinned: tuple[str, ...] = ()


def _within(spans: tuple[Lost, ...], start: datetime, end: datetime) -> tuple[Lost, ...]:
    """Give what of spans lies in a stretch."""
    cut = ((max(since, start), min(until, end)) for since, until in spans)
    return tuple(one for one in cut if one[0] < one[1])


def made_ids(past: Past | None) -> frozenset[str]:
    """Give the ids of the shots that have rolled, or roll now."""
    return frozenset() if past is None else frozenset(one.shot_id for one in past.made)


def over_ids(past: Past | None) -> frozenset[str]:
    """Give the ids of the shots of which nothing is to be decided any more: made, or cut."""
    return made_ids(past) | frozenset(() if past is None else past.cut)
