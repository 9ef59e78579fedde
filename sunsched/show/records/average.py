"""The plan for the average day as plain dicts for `--json`."""

from __future__ import annotations

from sunsched.average.order.forecast import Chance
from sunsched.average.plan import AveragePlan
from sunsched.average.risk import Risk
from sunsched.day.clock import local_text
from sunsched.light.fit import DayFit
from sunsched.show.records.day import Record, plan_record


def average_record(found: AveragePlan, revision: int | None = None) -> Record:
    """Give the plan of the likely day, with what is known of the average one.

    `revision` is the number under which it is saved.
    Chances and light are shares from 0 to 1; `bound` is null where there was no time for one.
    """
    fit, best = found.policy.rest.fit, found.best_planned
    own = found.as_planned
    return {
        **plan_record(found.likely, revision),
        "status": "average",
        "points": found.points,
        "bound": found.bound,
        "light_kept": round(found.light_kept, 4),
        "if_every_minute_holds": None
        if own is None
        else {"points": own.points, "light_kept": round(own.light_kept, 4)},
        "best_for_planned_minutes": None
        if best is None
        else {
            "points": best.points,
            "bound": best.bound,
            "status": "proven" if best.is_proven else "bounded",
            "light_kept": round(best.light_kept, 4),
        },
        "chances": [chance_record(fit, one) for one in found.chances],
        "at_risk": [_risk(one) for one in found.risks],
    }


def chance_record(fit: DayFit, one: Chance) -> Record:
    """Give the chances of a shot, and when it is likely to roll."""
    return {
        "id": one.shot.id,
        "made": round(one.made, 4),
        "half_light": round(one.half, 4),
        "light": round(one.light, 4),
        "on_pin": None if one.on_pin is None else round(one.on_pin, 4),
        "roll_start": None
        if one.roll_min is None
        else dict(
            zip(
                ("tenth", "median", "nine_tenths"),
                (_local(fit, minute) for minute in one.roll_min),
                strict=True,
            )
        ),
        "not_before": _local(fit, one.not_before_min),
        "begin_by": _local(fit, one.begin_by_min),
    }


def _risk(one: Risk) -> Record:
    without = None
    if one.without is not None:
        without = {"id": one.without[0].id, "made": round(one.without[1], 4)}
    return {
        "id": one.shot.id,
        "made": round(one.made, 4),
        "with_earlier_call": None if one.earlier is None else round(one.earlier, 4),
        "with_later_hard_wrap": None if one.later is None else round(one.later, 4),
        "without": without,
    }


def _local(fit: DayFit, minute: int | None) -> str | None:
    return None if minute is None else local_text(fit.day, fit.time_of(minute))
