"""Prices on the average day with `--json`: plain dicts, shares from 0 to 1."""

from __future__ import annotations

from collections.abc import Sequence

from sunsched.day.clock import local_text
from sunsched.day.model import Day
from sunsched.show.records.average import chance_record
from sunsched.show.records.day import Record
from sunsched.show.records.past import past_record
from sunsched.show.records.price import table_record
from sunsched.show.text.headlines.arguments import average_price_headline
from sunsched.whatif.price.cells import Cell, Known, PriceTable
from sunsched.whatif.price_average.look import Expected
from sunsched.whatif.price_average.price import AveragePrice
from sunsched.whatif.price_average.rules import AverageRulePrice
from sunsched.whatif.price_average.wrap import AverageWrapPoint

AIM = "average"


def average_price_record(day: Day, found: AveragePrice) -> Record:
    """Give the price of a decision; what shots and other costs lose adds up to what is lost.

    `points_lost` is that of the orders found; the best crew of all loses at least `least_lost` and
    at most `most_lost`, which are null where there was no time for a bound.
    """
    return {
        **past_record(day),
        "aim": AIM,
        "headline": average_price_headline(found),
        "decision": list(found.decision),
        "sets_aside": list(found.sets_aside),
        "points_lost": found.points_lost,
        "least_lost": found.least_lost,
        "most_lost": found.most_lost,
        "light_lost": _share(found.light_lost),
        "later_min": found.later_min,
        "obeyed": [{"demand": text, "days": _share(kept)} for text, kept in found.obeyed],
        "pays": [
            {"id": pay.shot.id, "points_lost": pay.points_lost}
            for pay in sorted(found.pays, key=lambda one: -one.points_lost)
            if pay.points_lost
        ],
        "costs": [{"cost": "other", "points_lost": found.other_lost}],
        "before": _expected_record(day, found.before),
        "now": _expected_record(day, found.now),
    }


def average_table_record(found: PriceTable, rules: Sequence[AverageRulePrice]) -> Record:
    """Give every shot in every half-hour, in points, and what was won without each rule.

    Of a cell `points_lost` is what was found; the best crew of all loses at least `least_lost` and
    at most `most_lost`.
    """
    whole = table_record(found, ())
    shots = [
        {
            "id": row.shot_id,
            "planned": local_text(found.day, row.planned),
            "cut": row.cut,
            "cells": [_cell_record(found.day, cell) for cell in row.cells],
        }
        for row in found.rows
    ]
    return {
        **whole,
        "aim": AIM,
        "open_points": found.open_points,
        "shots": shots,
        "rules": [
            {"rule": one.rule, "gain": one.gain, "light_gain": _share(one.light_gain)}
            for one in rules
        ],
    }


def average_curve_record(day: Day, found: Sequence[AverageWrapPoint]) -> Record:
    """Give what each wrap keeps of the light; points do not count overtime."""
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        **past_record(day),
        "aim": AIM,
        "wraps": [
            {
                "wrap": local_text(day, point.wrap),
                "light_kept": _share(point.light_kept),
                "points": round(point.kept.points),
                "stop_median": local_text(day, point.kept.stop),
                "overtime_min": point.overtime_min,
                "overtime_points": point.overtime_points,
                "left_out": [one.shot.id for one in point.left_out],
            }
            for point in found
        ],
    }


def _expected_record(day: Day, side: Expected) -> Record:
    return {
        "points": round(side.points),
        "light_kept": _share(side.light_kept),
        "stop_median": local_text(day, side.stop),
        "overtime_min": round(side.overtime_min, 1),
        "overtime_days": _share(side.overtime_days),
        "chances": [chance_record(side.fit, one) for one in side.chances],
    }


def _cell_record(day: Day, cell: Cell) -> Record:
    is_priced = cell.known in (Known.FOUND, Known.WORSE_THAN_CUT)
    return {
        "time": local_text(day, cell.time),
        "known": cell.known.value,
        "least_lost": cell.least,
        "points_lost": cell.found if is_priced else None,
        "most_lost": cell.most,
    }


def _share(share: float) -> float:
    return round(share, 4) + 0.0  # no negative zero
