"""The order of a shooting day outdoors that keeps the most light: proven, priced and replanned.

Everything that the commands do, returning data. Names are loaded when they are first used, so that
`import sunsched` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sunsched.show.charts.axes import draw_sun as draw_sun
    from sunsched.show.charts.axes import draw_stress as draw_stress
    from sunsched.show.charts.axes import draw_wrap_curve as draw_wrap_curve
    from sunsched.show.charts.axes import draw_price_table as draw_price_table
    from sunsched.show.charts.axes import draw_shot as draw_shot
    from sunsched.show.charts.axes import draw_day as draw_day
    from sunsched.show.frames import to_frame as to_frame
    from sunsched.solver.search.progress import Counted as Counted
    from sunsched.solver.search.progress import Progress as Progress
    from sunsched.day.model import Day as Day
    from sunsched.day.model import Shot as Shot
    from sunsched.errors import DayImpossible as DayImpossible
    from sunsched.errors import Fault as Fault
    from sunsched.errors import FolderError as FolderError
    from sunsched.errors import SunschedError as SunschedError
    from sunsched.errors import Undecided as Undecided
    from sunsched.errors import WriteRefused as WriteRefused
    from sunsched.folder.check import check_day
    from sunsched.folder.example import example_day
    from sunsched.folder.frame import day_from_frame
    from sunsched.folder.log.log import read_log
    from sunsched.folder.read import read_day
    from sunsched.light.fit import fit_day
    from sunsched.light.windows import windows
    from sunsched.plan.plan import Plan as Plan
    from sunsched.saved.restore import plan_of_revision, revision_day
    from sunsched.saved.revisions import newest_revision, read_revision, revision_numbers
    from sunsched.show.handouts.arguments import (
        alternatives_handout,
        comparison_handout,
        curve_handout,
        price_handout,
        price_table_handout,
    )
    from sunsched.show.handouts.write import write_handout
    from sunsched.sky.events import sun_events
    from sunsched.sky.track import sun_track
    from sunsched.solver.solve import make_plan
    from sunsched.underway.state import day_so_far
    from sunsched.whatif.compare.compare import compare, compare_two
    from sunsched.whatif.orders.order import read_order
    from sunsched.whatif.orders.sides import put_side, read_source
    from sunsched.whatif.price.alternatives import alternatives
    from sunsched.whatif.price.half_hours import price_table
    from sunsched.whatif.price.price import price
    from sunsched.whatif.price.request import Asked, read_decision
    from sunsched.whatif.price.rules import rule_prices
    from sunsched.whatif.price.wrap import wrap_curve
    from sunsched.whatif.replan.replan import replan
    from sunsched.whatif.solved import solve_day
    from sunsched.whatif.stress.pace import pace
    from sunsched.whatif.stress.safest import safest
    from sunsched.whatif.stress.stress import stress

__all__ = [
    "draw_sun",
    "draw_stress",
    "draw_wrap_curve",
    "draw_price_table",
    "draw_shot",
    "draw_day",
    "to_frame",
    "Counted",
    "Progress",
    "Asked",
    "Day",
    "DayImpossible",
    "Fault",
    "FolderError",
    "Plan",
    "Shot",
    "SunschedError",
    "Undecided",
    "WriteRefused",
    "alternatives",
    "alternatives_handout",
    "check_day",
    "compare",
    "compare_two",
    "comparison_handout",
    "curve_handout",
    "day_from_frame",
    "day_so_far",
    "example_day",
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
    "draw_sun": "sunsched.show.charts.axes",
    "draw_stress": "sunsched.show.charts.axes",
    "draw_wrap_curve": "sunsched.show.charts.axes",
    "draw_price_table": "sunsched.show.charts.axes",
    "draw_shot": "sunsched.show.charts.axes",
    "draw_day": "sunsched.show.charts.axes",
    "to_frame": "sunsched.show.frames",
    "Counted": "sunsched.solver.search.progress",
    "Progress": "sunsched.solver.search.progress",
    "example_day": "sunsched.folder.example",
    "day_from_frame": "sunsched.folder.frame",
    "check_day": "sunsched.folder.check",
    "Day": "sunsched.day.model",
    "Shot": "sunsched.day.model",
    "Plan": "sunsched.plan.plan",
    "DayImpossible": "sunsched.errors",
    "Fault": "sunsched.errors",
    "FolderError": "sunsched.errors",
    "SunschedError": "sunsched.errors",
    "Undecided": "sunsched.errors",
    "WriteRefused": "sunsched.errors",
    "Asked": "sunsched.whatif.price.request",
    "alternatives": "sunsched.whatif.price.alternatives",
    "alternatives_handout": "sunsched.show.handouts.arguments",
    "compare": "sunsched.whatif.compare.compare",
    "compare_two": "sunsched.whatif.compare.compare",
    "comparison_handout": "sunsched.show.handouts.arguments",
    "curve_handout": "sunsched.show.handouts.arguments",
    "day_so_far": "sunsched.underway.state",
    "fit_day": "sunsched.light.fit",
    "make_plan": "sunsched.solver.solve",
    "newest_revision": "sunsched.saved.revisions",
    "pace": "sunsched.whatif.stress.pace",
    "plan_of_revision": "sunsched.saved.restore",
    "price": "sunsched.whatif.price.price",
    "price_handout": "sunsched.show.handouts.arguments",
    "price_table": "sunsched.whatif.price.half_hours",
    "price_table_handout": "sunsched.show.handouts.arguments",
    "put_side": "sunsched.whatif.orders.sides",
    "read_day": "sunsched.folder.read",
    "read_decision": "sunsched.whatif.price.request",
    "read_log": "sunsched.folder.log.log",
    "read_order": "sunsched.whatif.orders.order",
    "read_revision": "sunsched.saved.revisions",
    "read_source": "sunsched.whatif.orders.sides",
    "replan": "sunsched.whatif.replan.replan",
    "revision_day": "sunsched.saved.restore",
    "revision_numbers": "sunsched.saved.revisions",
    "rule_prices": "sunsched.whatif.price.rules",
    "safest": "sunsched.whatif.stress.safest",
    "solve_day": "sunsched.whatif.solved",
    "stress": "sunsched.whatif.stress.stress",
    "sun_events": "sunsched.sky.events",
    "sun_track": "sunsched.sky.track",
    "windows": "sunsched.light.windows",
    "wrap_curve": "sunsched.whatif.price.wrap",
    "write_handout": "sunsched.show.handouts.write",
}


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module `sunsched` has no `{name}`")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
