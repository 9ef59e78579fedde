"""Prices and alternatives with `--json`: plain dicts, times in ISO 8601 with the local offset."""

from __future__ import annotations

from collections.abc import Sequence

from sunsched.day.clock import local_text
from sunsched.day.model import Day
from sunsched.plan.plan import Plan
from sunsched.show.records.average import average_record
from sunsched.show.records.day import Record, crew_record, plan_record
from sunsched.show.records.past import past_record
from sunsched.show.text.headlines.arguments import price_headline
from sunsched.whatif.alternatives.alternatives import Alternative
from sunsched.whatif.price.cells import Cell, PriceTable, Row
from sunsched.whatif.price.price import Price
from sunsched.whatif.price.rules import RulePrice
from sunsched.whatif.price.wrap import WrapPoint


def price_record(day: Day, best: Plan, found: Price) -> Record:
    """Give the price of a decision; the sum of what shots and costs lose is what is lost."""
    return {
        **past_record(day),
        "headline": price_headline(best, found),
        "decision": list(found.decision),
        "sets_aside": list(found.sets_aside),
        "points_lost": found.points_lost,
        "least_lost": found.least_lost,
        "light_lost": _share(found.light_lost),
        "pays": [{"id": shot, "points_lost": points} for shot, points in found.pays],
        "costs": [{"cost": name, "points_lost": points} for name, points in found.shared],
        "crew_before": crew_record(day, found.crew_before),
        "crew": crew_record(day, found.crew),
        "plan": plan_record(found.plan),
    }


def table_record(found: PriceTable, rules: Sequence[RulePrice]) -> Record:
    """Give every shot at every half-hour, in points, and what each rule of the day costs."""
    day = found.day
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        **past_record(day),
        "points": found.points,
        "complete": found.is_complete,
        "times": [local_text(day, when) for when in found.times],
        "shots": [_row_record(day, row) for row in found.rows],
        "rules": [
            {
                "rule": one.rule,
                "gain": one.gain,
                "most": one.most,
                "light_gain": _share(one.light_gain),
            }
            for one in rules
        ],
    }


def curve_record(day: Day, found: Sequence[WrapPoint]) -> Record:
    """Give what each wrap keeps of the light; points do not count overtime."""
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        **past_record(day),
        "wraps": [
            {
                "wrap": local_text(day, point.wrap),
                "light_kept": _share(point.plan.light_kept),
                "points": point.plan.points,
                "bound": point.plan.bound,
                "overtime_min": point.overtime_min,
                "overtime_points": point.overtime_points,
                "left_out": [left.shot.id for left in point.plan.left_out],
            }
            for point in found
        ],
    }


def alternative_records(found: Sequence[Alternative]) -> list[Record]:
    """Give other plans that differ, each with what it loses, what differs and how far it is."""
    return [
        {
            "points_lost": one.points_lost,
            "least_lost": one.least_lost,
            "light_lost": _share(one.light_lost),
            "trait": {"kind": one.trait.kind.value, "of": one.trait.subject, "to": one.trait.other},
            "differs": list(one.differs),
            "distance": {
                "shots": one.distance.shots,
                "shots_moved": one.distance.moved,
                "pairs": one.distance.pairs,
                "pairs_turned": one.distance.turned,
                "kendall_tau": _share(one.distance.kendall_tau),
            },
            "proven": one.is_proven,
            "plan": plan_record(one.plan)
            if one.on_average is None
            else average_record(one.on_average),
        }
        for one in found
    ]


def _row_record(day: Day, row: Row) -> Record:
    return {
        "id": row.shot_id,
        "planned": local_text(day, row.planned),
        "cut": row.cut,
        "cells": [_cell_record(day, cell) for cell in row.cells],
    }


def _cell_record(day: Day, cell: Cell) -> Record:
    return {
        "time": local_text(day, cell.time),
        "known": cell.known.value,
        "least_lost": cell.least,
        "points_lost": cell.most,
    }


def _share(share: float) -> float:
    return round(share, 4) + 0.0  # no negative zero
