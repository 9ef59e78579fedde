"""What a plan keeps, and how sure it is that no order is worth more, in words."""

from __future__ import annotations

from sunsched.plan.outlook import Outlook
from sunsched.plan.plan import Plan


def verdict(plan: Plan) -> str:
    """Say how much light the plan keeps, and how sure it is that no order is worth more."""
    if plan.outlook is not None:
        return f"{expected_text(plan.outlook)}; {more_text(plan.outlook)}"
    kept = f"light kept {plan.light_kept:.1%}"
    if plan.status == "proven":
        return f"{kept}; {proof_text(plan)}"
    starts = grid_text(plan)
    return f"{kept}; not proven: with starts {starts} another order may win up to {plan.gap:.1%}"


def expected_text(outlook: Outlook) -> str:
    """Say what is kept on the average day by an order whose likely times are shown."""
    return (
        f"likely times; on the average day {outlook.light_kept:.1%} of the light is kept, "
        f"{outlook.points} points with all costs"
    )


def more_text(outlook: Outlook) -> str:
    """Say how much more any way of shooting the day could be worth."""
    if outlook.bound is None:
        return "it is not known how much more another way of shooting it could be worth"
    if outlook.bound <= outlook.points:
        return "no way of shooting it is worth more"
    more = f", {outlook.gap:.1%} more" if outlook.gap is not None and outlook.points > 0 else ""
    return f"no way of shooting it is worth more than {outlook.bound}{more}"


def proof_text(plan: Plan) -> str:
    """Say what is proven of a plan that is; a rest of a day is near to what was planned before."""
    if plan.day.past is None:
        return f"proven: no order is worth more, with starts {grid_text(plan)}"
    paid = "with the cost of pairs turned round against the last plan"
    return f"proven: no other rest is worth more, {paid}, and starts {grid_text(plan)}"


def grid_text(plan: Plan) -> str:
    """Say on which minutes the starts of a plan may stand."""
    return "on any minute" if plan.grid_min == 1 else f"every {plan.grid_min} minutes"
