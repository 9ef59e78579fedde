"""The order of a shooting day outdoors that keeps the most light: proven, priced and replanned.

Everything that the commands do, returning data. Names are loaded when they are first used, so that
`import sunsched` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sunsched.change.alternatives import alternatives
    from sunsched.change.asked import Asked, read_decision
    from sunsched.change.compare import compare, compare_two
    from sunsched.change.orders import read_order
    from sunsched.change.pace import pace
    from sunsched.change.price import price
    from sunsched.change.price_table import price_table
    from sunsched.change.replan import replan
    from sunsched.change.restored import plan_of_revision, revision_day
    from sunsched.change.revisions import newest_revision, read_revision, revision_numbers
    from sunsched.change.rule_prices import rule_prices
    from sunsched.change.safest import safest
    from sunsched.change.sides import put_side, read_source
    from sunsched.change.so_far import day_so_far
    from sunsched.change.solved import solve_day
    from sunsched.change.stress import stress
    from sunsched.change.windows import windows
    from sunsched.change.wrap_curve import wrap_curve
    from sunsched.day.folder import read_day
    from sunsched.day.log import read_log
    from sunsched.order.fit import fit_day
    from sunsched.order.solve import make_plan
    from sunsched.show.arguments import (
        alternatives_handout,
        comparison_handout,
        curve_handout,
        price_handout,
        price_table_handout,
    )
    from sunsched.show.handout_file import write_handout
    from sunsched.sky.events import sun_events
    from sunsched.sky.track import sun_track

__all__ = [
    "Asked",
    "alternatives",
    "alternatives_handout",
    "compare",
    "compare_two",
    "comparison_handout",
    "curve_handout",
    "day_so_far",
    "fit_day",
    "make_plan",
    "newest_revision",
    "pace",
    "plan_of_revision",
    "price",
    "price_handout",
    "price_table",
    "price_table_handout",
    "put_side",
    "read_day",
    "read_decision",
    "read_log",
    "read_order",
    "read_revision",
    "read_source",
    "replan",
    "revision_day",
    "revision_numbers",
    "rule_prices",
    "safest",
    "solve_day",
    "stress",
    "sun_events",
    "sun_track",
    "windows",
    "wrap_curve",
    "write_handout",
]

_HOMES = {
    "Asked": "sunsched.change.asked",
    "alternatives": "sunsched.change.alternatives",
    "alternatives_handout": "sunsched.show.arguments",
    "compare": "sunsched.change.compare",
    "compare_two": "sunsched.change.compare",
    "comparison_handout": "sunsched.show.arguments",
    "curve_handout": "sunsched.show.arguments",
    "day_so_far": "sunsched.change.so_far",
    "fit_day": "sunsched.order.fit",
    "make_plan": "sunsched.order.solve",
    "newest_revision": "sunsched.change.revisions",
    "pace": "sunsched.change.pace",
    "plan_of_revision": "sunsched.change.restored",
    "price": "sunsched.change.price",
    "price_handout": "sunsched.show.arguments",
    "price_table": "sunsched.change.price_table",
    "price_table_handout": "sunsched.show.arguments",
    "put_side": "sunsched.change.sides",
    "read_day": "sunsched.day.folder",
    "read_decision": "sunsched.change.asked",
    "read_log": "sunsched.day.log",
    "read_order": "sunsched.change.orders",
    "read_revision": "sunsched.change.revisions",
    "read_source": "sunsched.change.sides",
    "replan": "sunsched.change.replan",
    "revision_day": "sunsched.change.restored",
    "revision_numbers": "sunsched.change.revisions",
    "rule_prices": "sunsched.change.rule_prices",
    "safest": "sunsched.change.safest",
    "solve_day": "sunsched.change.solved",
    "stress": "sunsched.change.stress",
    "sun_events": "sunsched.sky.events",
    "sun_track": "sunsched.sky.track",
    "windows": "sunsched.change.windows",
    "wrap_curve": "sunsched.change.wrap_curve",
    "write_handout": "sunsched.show.handout_file",
}


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module `sunsched` has no `{name}`")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
