"""What is expected of a plan whose work takes the minutes that chance gives it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sunsched.day.model import Span

SURE = 0.85  # the chance below which a shot is named as one that nobody can be sure of


@dataclass(frozen=True, slots=True, kw_only=True)
class Prospect:
    """What is expected of one shot of the order. Times are UTC.

    Attributes
    ----------
    made, half : chance that it is made; that it is made and keeps half its light
    light : expected share of its light, 0 where it is not made
    on_pin : chance that it is made at its pin; None for a shot without
    rolls : from the tenth to the last tenth of its roll starts on the days on which it rolls; None
        where it never does
    not_before : a crew that is ready earlier waits for it; None where it rolls at once
    begin_by : if its changeover has not begun by then, it is left out; None where that hardly is so
    """

    shot_id: str
    made: float
    half: float
    light: float
    on_pin: float | None
    rolls: Span | None
    not_before: datetime | None
    begin_by: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What is expected of an order on the average day.

    Attributes
    ----------
    points : expected, as the judge counts
    bound : what no way of shooting the day is worth more than; None where there was no time for one
    light_kept : expected share of all light, 0 to 1
    prospects : of each shot still to come, in order
    """

    points: int
    bound: int | None
    light_kept: float
    prospects: tuple[Prospect, ...]

    @property
    def gap(self) -> float | None:
        """Give what the bound has over the points, as a share of them."""
        if self.bound is None:
            return None
        return (self.bound - self.points) / max(1, abs(self.points))

    def of(self, shot_id: str) -> Prospect | None:
        """Give what is expected of a shot; None for one that is over or not in the order."""
        return next((one for one in self.prospects if one.shot_id == shot_id), None)
