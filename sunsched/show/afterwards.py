"""A day that is over: each shot as it was planned beside what was made of it, in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Shot
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.prospects import light_text

NONE = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A shot as it was planned and as it was made; None for what it was not."""

    shot: Shot
    planned: PlannedShot | None
    made: PlannedShot | None


def pairs(before: Plan, after: Plan) -> tuple[Pair, ...]:
    """Put each shot as it was made beside its plan, in the order of the day; unmade ones last."""
    planned = {one.shot.id: one for one in before.shots}
    found = [Pair(shot=one.shot, planned=planned.get(one.shot.id), made=one) for one in after.shots]
    unmade = {left.shot.id: left.shot for left in after.left_out}
    dropped = [one for one in before.shots if one.shot.id in unmade]
    found += [Pair(shot=unmade.pop(one.shot.id), planned=one, made=None) for one in dropped]
    return (*found, *(Pair(shot=shot, planned=None, made=None) for shot in unmade.values()))


def kept_sentence(before: Plan, after: Plan) -> str:
    """Say what the day kept of its light, against what was planned, and how many shots it made."""
    share = before.light_kept if before.outlook is None else before.outlook.light_kept
    off = round(100 * after.light_kept, 1) - round(100 * share, 1)
    than = f"{abs(off):.1f}% {'more' if off > 0 else 'less'} than planned"
    beside = than if abs(off) >= 0.05 else "as planned"
    made, all_of = len(after.shots), len(after.shots) + len(after.left_out)
    return (
        f"The day kept {after.light_kept:.1%} of its light, {beside} ({share:.1%}); "
        f"{made} of {all_of} shots were made."
    )


def dropped_texts(before: Plan, after: Plan) -> Iterator[str]:
    """Name what was dropped, and what nobody had planned and was not made either."""
    why = {left.shot.id: left.why for left in after.left_out}
    for one in pairs(before, after):
        if one.made is not None:
            continue
        told = f"{one.shot.id} {one.shot.description}: {why[one.shot.id]}"
        if one.planned is None:
            yield f"not planned: {told}"
        else:
            at = clock(after.day, one.planned.roll_start)
            yield f"dropped: {told}, planned {at} with {light_text(before, one.planned)} light"


def difference(planned: datetime | None, real: datetime) -> str:
    """Give how much later than planned something was; with a sign, as `+12 min`."""
    if planned is None:
        return NONE
    minutes = round((real - planned) / timedelta(minutes=1))
    return f"{'−' if minutes < 0 else '+' if minutes else ''}{abs(minutes)} min"
