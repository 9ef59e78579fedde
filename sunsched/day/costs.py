"""What a plan pays for, in points."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """Points that a plan loses; 0 switches a cost off. Common practice, no source.

    `left_out` and `match` are points per unit of weight, `wait` points a minute in which the crew
    neither rolls nor eats, `overtime` points a minute past wrap, the others points
    each time; `turned_round` is for a pair made in another order than last planned.
    """

    left_out: int = 1000
    wait: int = 10
    match: int = 1000
    match_free_deg: float = 15.0
    match_span_deg: float = 45.0
    after_meal: int = 300
    wide_to_tight: int = 200
    overtime: int = 20
    move: int = 500
    rig_change: int = 100
    turned_round: int = 50
