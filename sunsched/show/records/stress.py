"""An order under overruns as plain dicts for `--json`."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from sunsched.day.model import Day
from sunsched.show.records.day import Record
from sunsched.show.text.headlines.overruns import overruns_headline
from sunsched.whatif.stress.safest import Candidate, Safest
from sunsched.whatif.stress.stress import TENTH, ShotStress, Stress, moment


def stress_record(found: Stress, revision: int | None = None) -> Record:
    """Give an order under overruns; `revision` is its number if it is a saved plan.

    Chances and light are shares from 0 to 1. `worst_tenth` is what one day in ten stays below, or
    comes later than.
    """
    fit, day = found.fit, found.fit.day
    worst = found.hurts_most
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "revision": revision,
        "headline": overruns_headline(found),
        "days": found.days,
        "seed": found.seed,
        "light_kept": {"planned": round(found.planned_light, 4)} | _light(found),
        "points": {
            "planned": found.planned_points,
            "median": round(float(np.median(found.points))),
            "worst_tenth": round(float(np.quantile(found.points, TENTH))),
        },
        "wrap": {
            "planned": _local(day, found.planned_end),
            "median": _local(day, found.wrap_at(0.5)),
            "worst_tenth": _local(day, found.wrap_at(1.0 - TENTH)),
        },
        "meal": {
            "planned": _local(day, found.timetable.meal_start),
            "median": _local(day, moment(fit, found.meal_min, 0.5)),
            "worst_tenth": _local(day, moment(fit, found.meal_min, 1.0 - TENTH)),
        },
        "overtime_chance": round(found.overtime_chance, 4),
        "all_made_chance": round(found.all_made_chance, 4),
        "hurts_most": None if worst is None else worst.shot.id,
        "shots": [_shot_record(found, one) for one in found.shots],
    }


def safest_record(found: Safest) -> Record:
    """Give the orders that were judged for safety; `safest` is the place of one in `orders`.

    `worst_tenth_mean` is the share of light that the worst tenth of the days keeps in the mean.
    """
    return {
        "orders": [_candidate_record(found, one) for one in found.candidates],
        "safest": found.candidates.index(found.safest),
        "gain": round(found.gain, 4),
        "gain_error": round(found.gain_error, 4),
        "followed": found.followed,
    }


def _candidate_record(found: Safest, one: Candidate) -> Record:
    worst = {"worst_tenth_mean": round(one.worst_mean, 4)}
    return {
        "whose": [each.value for each in one.whose],
        "order": list(one.ids),
        "left_out": one.left_out_ids,
        "rarely_made": [
            {"id": shot.id, "made_chance": round(made, 4)} for shot, made in one.rarely_made
        ],
        "points_lost": round(found.points_lost(one)),
        "light_kept": {"planned": round(one.stress.planned_light, 4)} | _light(one.stress) | worst,
        "all_made_chance": round(one.stress.all_made_chance, 4),
        "overtime_chance": round(one.stress.overtime_chance, 4),
    }


def _shot_record(found: Stress, one: ShotStress) -> Record:
    day = found.fit.day
    return {
        "id": one.shot.id,
        "planned": _local(day, one.planned),
        "roll_start": {
            name: _local(day, moment(found.fit, one.start_min, share))
            for name, share in (("tenth", TENTH), ("median", 0.5), ("nine_tenths", 1.0 - TENTH))
        },
        "made_chance": round(one.made_chance, 4),
        "half_light_chance": round(one.half_chance, 4),
        "light_lost": round(one.light_lost, 4),
    }


def _light(found: Stress) -> Record:
    return {
        "mean": round(float(found.light_kept.mean()), 4),
        "median": round(found.light_at(0.5), 4),
        "worst_tenth": round(found.light_at(TENTH), 4),
    }


def _local(day: Day, when: datetime | None) -> str | None:
    """Write a moment to the second."""
    if when is None:
        return None
    return when.astimezone(day.place.zone).isoformat(timespec="seconds")
