"""What the average day would win without each of its rules, as far as a short search finds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sunsched.average.ground import Ground
from sunsched.average.order.forecast import light_share
from sunsched.average.plan import AveragePlan
from sunsched.light.fit import fit_checked
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.underway.rest import made_scores
from sunsched.whatif.price.rules import Lifted, lifted_days
from sunsched.whatif.price_average.ground import order_from_policy
from sunsched.whatif.price_average.look import improved


@dataclass(frozen=True, slots=True, kw_only=True)
class AverageRulePrice:
    """One rule of a day and the points that were found to be won without it on the average day.

    `gain` is None where that was not looked at, as the work was ended early. `light_gain` is what
    is kept more, as a share of all weights; it can be below 0 where less light saves more in costs.
    """

    rule: str
    gain: int | None
    light_gain: float


def average_rule_prices(
    best: AveragePlan,
    *,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[AverageRulePrice, ...]:
    """Lift each rule of the day on its own and see what the average day wins, the most first.

    Parameters
    ----------
    best : the plan for the average day, of `average_plan`
    progress : called with the rules done and all rules
    is_ended : asked between two rules; the work ends when it says so

    Returns
    -------
    tuple[AverageRulePrice, ...]
        Each rule with what was found to be won without it; a longer search may find more.

    Examples
    --------
    >>> import sunsched
    >>> best = sunsched.average_plan(sunsched.solve_day(sunsched.example_day()))
    >>> rules = sunsched.average_rule_prices(best)
    >>> all(one.gain >= 0 for one in rules)
    True
    """
    rules = lifted_days(best.policy.rest.fit.day)
    found = []
    for done, lifted in enumerate(rules):
        if is_ended():
            found.append(AverageRulePrice(rule=lifted.rule, gain=None, light_gain=0.0))
        else:
            found.append(_rule_price(best, lifted))
        if progress is not None:
            progress(Counted(done=done + 1, whole=len(rules)))
    return tuple(sorted(found, key=lambda one: -(one.gain or 0)))


def _rule_price(best: AveragePlan, lifted: Lifted) -> AverageRulePrice:
    """Improve the best order on the day without a rule."""
    ground = Ground(fit_checked(lifted.day))
    policy = ground.policy(improved(ground, [order_from_policy(ground, best.policy)]))
    # What is made already is worth more or less without the rule, and that is not won.
    made, made_free = made_scores(best.policy.rest.fit, ground.fit)
    gain = round(policy.worth) - best.points - (made_free.total - made.total)
    if gain <= 0:
        return AverageRulePrice(rule=lifted.rule, gain=0, light_gain=0.0)
    more = light_share(policy) - best.light_kept
    return AverageRulePrice(rule=lifted.rule, gain=gain, light_gain=more)
