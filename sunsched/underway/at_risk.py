"""Shots that are at risk within the next hour: their last start comes before it is over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.plan.plan import Plan

SOON = timedelta(minutes=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRisk:
    """A shot that must start soon; `slack_min` is how much later than planned it still can."""

    shot_id: str
    roll_start: datetime
    last_start: datetime
    slack_min: int


def at_risk(plan: Plan, at: datetime) -> tuple[AtRisk, ...]:
    """Give the shots to come whose last start lies within an hour from a moment, in their order."""
    return tuple(
        AtRisk(
            shot_id=one.shot.id,
            roll_start=one.roll_start,
            last_start=one.last_start,
            slack_min=round((one.last_start - one.roll_start) / timedelta(minutes=1)),
        )
        for one in plan.shots
        if one.last_start is not None and one.last_start <= at + SOON
    )
