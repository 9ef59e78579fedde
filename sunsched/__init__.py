"""The order of a shooting day outdoors that keeps the most light: proven, priced and replanned.

Everything that the commands do, returning data. Names are loaded when they are first used, so that
`import sunsched` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sunsched.average.plan import AveragePlan as AveragePlan
    from sunsched.average.plan import average_plan as average_plan
    from sunsched.day.model import Day as Day
    from sunsched.day.model import Shot as Shot
    from sunsched.errors import DayImpossible as DayImpossible
    from sunsched.errors import Fault as Fault
    from sunsched.errors import FolderError as FolderError
    from sunsched.errors import SunschedError as SunschedError
    from sunsched.errors import Undecided as Undecided
    from sunsched.errors import WriteRefused as WriteRefused
    from sunsched.folder.check import check_day as check_day
    from sunsched.folder.example import example_day as example_day
    from sunsched.folder.frame import day_from_frame as day_from_frame
    from sunsched.folder.keep import keep_decision as keep_decision
    from sunsched.folder.keep import lift_decision as lift_decision
    from sunsched.folder.log.log import read_log as read_log
    from sunsched.folder.read import read_day as read_day
    from sunsched.folder.tables.cloths import read_cloths as read_cloths
    from sunsched.light.fit import fit_day as fit_day
    from sunsched.light.windows import windows as windows
    from sunsched.plan.plan import Plan as Plan
    from sunsched.saved.numbers import revision_numbers as revision_numbers
    from sunsched.saved.restore import plan_of_revision as plan_of_revision
    from sunsched.saved.restore import revision_day as revision_day
    from sunsched.saved.revisions import newest_revision as newest_revision
    from sunsched.saved.revisions import read_revision as read_revision
    from sunsched.show.charts.axes import draw_day as draw_day
    from sunsched.show.charts.axes import draw_shot as draw_shot
    from sunsched.show.charts.axes import draw_stress as draw_stress
    from sunsched.show.charts.axes import draw_sun as draw_sun
    from sunsched.show.charts.prices.axes import draw_call_curve as draw_call_curve
    from sunsched.show.charts.prices.axes import draw_price_table as draw_price_table
    from sunsched.show.charts.prices.axes import draw_wrap_curve as draw_wrap_curve
    from sunsched.show.gaffer.page import gaffer_pages as gaffer_pages
    from sunsched.show.handouts.alternatives import alternatives_handout as alternatives_handout
    from sunsched.show.handouts.arguments import average_price_handout as average_price_handout
    from sunsched.show.handouts.arguments import comparison_handout as comparison_handout
    from sunsched.show.handouts.arguments import price_handout as price_handout
    from sunsched.show.handouts.tables import curve_handout as curve_handout
    from sunsched.show.handouts.tables import price_table_handout as price_table_handout
    from sunsched.show.handouts.write import write_handout as write_handout
    from sunsched.show.records.saved import save_plan as save_plan
    from sunsched.show.sheets.frames import to_frame as to_frame
    from sunsched.show.stamp import Stamp as Stamp
    from sunsched.sky.events import sun_events as sun_events
    from sunsched.sky.skyline.told import told_skyline as told_skyline
    from sunsched.sky.track import sun_track as sun_track
    from sunsched.solver.search.progress import Counted as Counted
    from sunsched.solver.search.progress import Progress as Progress
    from sunsched.solver.solve import make_plan as make_plan
    from sunsched.solver.solved import solve_day as solve_day
    from sunsched.underway.state import day_so_far as day_so_far
    from sunsched.whatif.alternatives.alternatives import alternatives as alternatives
    from sunsched.whatif.alternatives.average import average_alternatives as average_alternatives
    from sunsched.whatif.compare.compare import compare as compare
    from sunsched.whatif.compare.compare import compare_two as compare_two
    from sunsched.whatif.orders.order import read_order as read_order
    from sunsched.whatif.orders.sides import put_side as put_side
    from sunsched.whatif.orders.sides import read_source as read_source
    from sunsched.whatif.price.first_sight import quick_price as quick_price
    from sunsched.whatif.price.half_hours import price_table as price_table
    from sunsched.whatif.price.price import price as price
    from sunsched.whatif.price.request import Asked as Asked
    from sunsched.whatif.price.request import read_decision as read_decision
    from sunsched.whatif.price.rules import rule_prices as rule_prices
    from sunsched.whatif.price.wrap import wrap_curve as wrap_curve
    from sunsched.whatif.price_average.call import average_call_curve as average_call_curve
    from sunsched.whatif.price_average.half_hours import average_price_table as average_price_table
    from sunsched.whatif.price_average.price import average_price as average_price
    from sunsched.whatif.price_average.rules import average_rule_prices as average_rule_prices
    from sunsched.whatif.price_average.wrap import average_wrap_curve as average_wrap_curve
    from sunsched.whatif.replan.average import replan_average as replan_average
    from sunsched.whatif.replan.replan import replan as replan
    from sunsched.whatif.stress.pace import pace as pace
    from sunsched.whatif.stress.safest import safest as safest
    from sunsched.whatif.stress.stress import stress as stress
    from sunsched.whatif.stress.stress import stress_average as stress_average

# The module of each name. A test compares it with the imports above, which type checkers read.
_HOMES = {
    "Asked": "sunsched.whatif.price.request",
    "AveragePlan": "sunsched.average.plan",
    "Counted": "sunsched.solver.search.progress",
    "Day": "sunsched.day.model",
    "DayImpossible": "sunsched.errors",
    "Fault": "sunsched.errors",
    "FolderError": "sunsched.errors",
    "Plan": "sunsched.plan.plan",
    "Progress": "sunsched.solver.search.progress",
    "Shot": "sunsched.day.model",
    "Stamp": "sunsched.show.stamp",
    "SunschedError": "sunsched.errors",
    "Undecided": "sunsched.errors",
    "WriteRefused": "sunsched.errors",
    "alternatives": "sunsched.whatif.alternatives.alternatives",
    "alternatives_handout": "sunsched.show.handouts.alternatives",
    "average_alternatives": "sunsched.whatif.alternatives.average",
    "average_call_curve": "sunsched.whatif.price_average.call",
    "average_plan": "sunsched.average.plan",
    "average_price": "sunsched.whatif.price_average.price",
    "average_price_handout": "sunsched.show.handouts.arguments",
    "average_price_table": "sunsched.whatif.price_average.half_hours",
    "average_rule_prices": "sunsched.whatif.price_average.rules",
    "average_wrap_curve": "sunsched.whatif.price_average.wrap",
    "check_day": "sunsched.folder.check",
    "compare": "sunsched.whatif.compare.compare",
    "compare_two": "sunsched.whatif.compare.compare",
    "comparison_handout": "sunsched.show.handouts.arguments",
    "curve_handout": "sunsched.show.handouts.tables",
    "day_from_frame": "sunsched.folder.frame",
    "day_so_far": "sunsched.underway.state",
    "draw_call_curve": "sunsched.show.charts.prices.axes",
    "draw_day": "sunsched.show.charts.axes",
    "draw_price_table": "sunsched.show.charts.prices.axes",
    "draw_shot": "sunsched.show.charts.axes",
    "draw_stress": "sunsched.show.charts.axes",
    "draw_sun": "sunsched.show.charts.axes",
    "draw_wrap_curve": "sunsched.show.charts.prices.axes",
    "example_day": "sunsched.folder.example",
    "fit_day": "sunsched.light.fit",
    "gaffer_pages": "sunsched.show.gaffer.page",
    "keep_decision": "sunsched.folder.keep",
    "lift_decision": "sunsched.folder.keep",
    "make_plan": "sunsched.solver.solve",
    "newest_revision": "sunsched.saved.revisions",
    "pace": "sunsched.whatif.stress.pace",
    "plan_of_revision": "sunsched.saved.restore",
    "price": "sunsched.whatif.price.price",
    "price_handout": "sunsched.show.handouts.arguments",
    "price_table": "sunsched.whatif.price.half_hours",
    "price_table_handout": "sunsched.show.handouts.tables",
    "put_side": "sunsched.whatif.orders.sides",
    "quick_price": "sunsched.whatif.price.first_sight",
    "read_cloths": "sunsched.folder.tables.cloths",
    "read_day": "sunsched.folder.read",
    "read_decision": "sunsched.whatif.price.request",
    "read_log": "sunsched.folder.log.log",
    "read_order": "sunsched.whatif.orders.order",
    "read_revision": "sunsched.saved.revisions",
    "read_source": "sunsched.whatif.orders.sides",
    "replan": "sunsched.whatif.replan.replan",
    "replan_average": "sunsched.whatif.replan.average",
    "revision_day": "sunsched.saved.restore",
    "revision_numbers": "sunsched.saved.numbers",
    "rule_prices": "sunsched.whatif.price.rules",
    "safest": "sunsched.whatif.stress.safest",
    "save_plan": "sunsched.show.records.saved",
    "solve_day": "sunsched.solver.solved",
    "stress": "sunsched.whatif.stress.stress",
    "stress_average": "sunsched.whatif.stress.stress",
    "sun_events": "sunsched.sky.events",
    "sun_track": "sunsched.sky.track",
    "to_frame": "sunsched.show.sheets.frames",
    "told_skyline": "sunsched.sky.skyline.told",
    "windows": "sunsched.light.windows",
    "wrap_curve": "sunsched.whatif.price.wrap",
    "write_handout": "sunsched.show.handouts.write",
}
__all__ = [*_HOMES]


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module `sunsched` has no `{name}`")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
