"""What is argued about as pairs of orders: comparisons, alternatives, the rest of a day."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from matplotlib.figure import Figure

from sunsched.average.likely import likely_timetable
from sunsched.average.plan import AveragePlan
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.show.charts.orders.pair import Pair, pair_figure, shared_out
from sunsched.show.charts.orders.strip import OrderStrip
from sunsched.show.paper_size import Shape
from sunsched.show.text.headlines.arguments import alternatives_headline, comparison_headline
from sunsched.show.text.headlines.rest import planned_rest_headline, rest_headline
from sunsched.show.text.headlines.sides import order_names
from sunsched.show.text.price import alternative_row
from sunsched.whatif.alternatives.alternatives import Alternative
from sunsched.whatif.compare.compare import Comparison
from sunsched.whatif.orders.as_it_stands import plan_as_it_stands
from sunsched.whatif.replan.average import AverageChoice, AverageReplan
from sunsched.whatif.replan.choices import Choice
from sunsched.whatif.replan.replan import Replan

ON_AVERAGE = "of the light on the average day"


def comparison_figure(found: Comparison, *, shape: Shape = Shape.A4) -> Figure:
    """Draw both orders of a comparison."""
    names, sides = order_names(found), (found.first, found.second)
    plans, kept = (found.ours, found.theirs), (found.our_average, found.their_average)
    if found.likely is not None:
        plans = (found.likely[0].plan, found.likely[1].plan)
    tolds = [f"{one.light_kept:.1%} {ON_AVERAGE}" for one in kept]
    if not found.is_beside_ours:
        tolds = [
            f"{told}, {side.source.name}" if side is not None else told
            for told, side in zip(tolds, sides, strict=True)
        ]
    first, second = (
        OrderStrip(name=name, told=told, plan=plan)
        for name, told, plan in zip(names, tolds, plans, strict=True)
    )
    pair = Pair(first=first, second=second)
    subject = "Another order beside ours" if found.is_beside_ours else "Two orders"
    headline = comparison_headline(found)
    return pair_figure(found.theirs.day, subject, headline, [pair], shape=shape)


def alternatives_pages(
    best: Plan | AveragePlan,
    found: Sequence[Alternative],
    *,
    shape: Shape = Shape.A4,
    is_paged: bool = False,
) -> list[partial[Figure]]:
    """Give the makers of the pages with the best plan over each of the others.

    Parameters
    ----------
    is_paged : whether they are shared out over sheets; else one page is as tall as it must be
    """
    told_best, plan, pairs = f"{best.points} points", best, []
    if not isinstance(plan, Plan):
        told_best, plan = f"{best.light_kept:.1%} {ON_AVERAGE}", plan.likely
    for place, one in enumerate(found, start=1):
        lost, light, wrap, differs = alternative_row(one)
        told = f"{lost}, light kept {light}, wrap {wrap}; {differs}"
        first = OrderStrip(name="the best plan", told=told_best, plan=plan)
        second = OrderStrip(name=f"alternative {place}", told=told, plan=one.plan)
        pairs.append(Pair(first=first, second=second))
    headline = alternatives_headline([one.points_lost for one in found])
    subject = "The best plan and the next best"
    sheets = shared_out(pairs) if is_paged else [pairs]
    return [
        partial(pair_figure, plan.day, subject, headline, sheet, shape=shape)
        for sheet in sheets
        if sheet
    ]


def rest_figure(
    found: AverageReplan,
    shown: str,
    choice: AverageChoice,
    follows: int,
    *,
    shape: Shape = Shape.A4,
) -> Figure:
    """Draw a choice for the rest of the day under the plan that was followed, likely times both."""
    fit, timetable = likely_timetable(found.followed)
    likely = choice.plan.likely
    before = plan_as_it_stands(fit, timetable, likely.grid_min)
    told = f"{choice.plan.light_kept:.1%} {ON_AVERAGE}"
    headline = rest_headline(found, shown, choice, follows)
    return _rest(before, likely, (shown, told), headline, follows, shape)


def planned_rest_figure(
    found: Replan, shown: str, choice: Choice, follows: int, *, shape: Shape = Shape.A4
) -> Figure:
    """Draw the same if every minute holds."""
    plan = choice.plan
    before = plan_as_it_stands(fit_checked(found.planned_day), found.planned, plan.grid_min)
    headline = planned_rest_headline(found, shown, choice, follows)
    told = f"{plan.light_kept:.1%} of the light if every minute holds"
    return _rest(before, plan, (shown, told), headline, follows, shape)


def _rest(
    before: Plan, plan: Plan, names: tuple[str, str], headline: str, follows: int, shape: Shape
) -> Figure:
    first = OrderStrip(name=f"revision {follows}", told="as it was planned", plan=before)
    second = OrderStrip(name=names[0], told=names[1], plan=plan)
    subject = f"The rest of the day against revision {follows}"
    pair = Pair(first=first, second=second)
    return pair_figure(plan.day, subject, headline, [pair], shape=shape)
