"""What each rule of a day costs: the points that the day would win without it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from sunsched.day.clock import clock
from sunsched.day.costs import Costs
from sunsched.day.model import Day
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.solver.build import make_problem
from sunsched.solver.conflict import LONGEST, liftables
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.solver.solve import plan_of
from sunsched.solver.solved import Solved, short_answer
from sunsched.underway.rest import made_scores
from sunsched.whatif.starts import is_shut

LOOKS = 1000  # how often a solve looks at its best plan and bound before it ends
COST_TEXTS = {
    "wait": "each minute without a roll or a meal costs {} points",
    "overtime": "overtime costs {} points a minute",
    "move": "a company move costs {} points",
    "rig_change": "a rig change costs {} points",
    "match": "drift in a match costs points",
    "after_meal": "a close-up or a wide straight after the meal costs {} points",
    "wide_to_tight": "tight before wide costs {} points",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RulePrice:
    """One rule of a day and what would be won without it: at least `gain` points, at most `most`.

    `most` is None where that was not looked at, as the work was ended early. `light_gain` is what
    the better plan keeps more, as a share of all weights; it can be below 0 where less light saves
    more in costs. `plan` is that plan, None where the rule is free.
    """

    rule: str
    gain: int
    most: int | None
    light_gain: float
    plan: Plan | None

    @property
    def is_proven(self) -> bool:
        """Whether exactly this is won."""
        return self.gain == self.most


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifted:
    """A rule in words and the day without it."""

    rule: str
    day: Day


def rule_prices(
    solved: Solved,
    *,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[RulePrice, ...]:
    """Lift each rule of the day on its own and see what is won, the most first.

    Parameters
    ----------
    solved : the day with its plan, of `solve_day`
    progress : called with the rules done and all rules
    is_ended : asked all along; the work ends when it says so

    Returns
    -------
    tuple[RulePrice, ...]
        Each rule with what the day would win without it.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> rules = sunsched.rule_prices(solved)
    >>> all(one.gain >= 0 for one in rules)
    True
    """
    rules = lifted_days(solved.fit.day)
    found = []
    for done, lifted in enumerate(rules):
        if is_ended():
            found.append(_rule_free(lifted, None))
        else:
            found.append(_rule_price(solved, lifted, is_ended))
        if progress is not None:
            progress(Counted(done=done + 1, whole=len(rules)))
    return tuple(sorted(found, key=lambda one: -one.gain))


def lifted_days(day: Day) -> list[Lifted]:
    """List every rule that binds the day, each with the day as it would be without it."""
    found = [Lifted(rule=rule.text, day=rule.lift(day)) for rule in liftables(day)]
    hours, meal, past = day.hours, day.meal, day.past
    begins = hours.crew_call if past is None else past.free_at
    if meal.earliest > begins and (past is None or past.meal_start is None):
        text = f"the meal starts at {clock(day, meal.earliest)} or later"
        open_meal = replace(meal, earliest=hours.crew_call)
        found.append(Lifted(rule=text, day=replace(day, meal=open_meal)))
    if hours.first_roll > begins:
        text = f"nothing rolls before {clock(day, hours.first_roll)}"
        early = replace(hours, first_roll=hours.crew_call)
        found.append(Lifted(rule=text, day=replace(day, hours=early)))
    end = max(hours.hard_wrap, hours.crew_call + LONGEST)
    text = f"nothing rolls past {clock(day, hours.hard_wrap)}"
    found.append(Lifted(rule=text, day=replace(day, hours=replace(hours, hard_wrap=end))))
    for move in day.moves:
        others = tuple(replace(m, minutes=0) if m == move else m for m in day.moves)
        text = f"the move from {move.between[0]} to {move.between[1]} takes {move.minutes} min"
        if move.minutes:
            found.append(Lifted(rule=text, day=replace(day, moves=others)))
    return found + _free_costs(day)


def _free_costs(day: Day) -> list[Lifted]:
    points = {field.name: getattr(day.costs, field.name) for field in fields(Costs)}
    if day.hours.hard_wrap <= day.hours.wrap:
        points["overtime"] = 0
    return [
        Lifted(
            rule=text.format(points[name]),
            day=replace(day, costs=replace(day.costs, **{name: 0})),
        )
        for name, text in COST_TEXTS.items()
        if points[name]
    ]


def _rule_free(lifted: Lifted, most: int | None) -> RulePrice:
    """Say that no plan is known that wins without a rule."""
    return RulePrice(rule=lifted.rule, gain=0, most=most, light_gain=0.0, plan=None)


def _rule_price(solved: Solved, lifted: Lifted, is_ended: Callable[[], bool]) -> RulePrice:
    """Solve the day without a rule; the plan as it is obeys fewer rules too, so nothing is lost."""
    fit = fit_checked(lifted.day)
    problem = make_problem(fit, solved.problem.grid_min)
    answer = None
    if not is_shut(problem):
        answer = short_answer(solved, problem, looks=LOOKS, is_ended=is_ended)
    made, made_free = made_scores(solved.fit, fit)
    now = solved.plan.points + made_free.total - made.total
    if answer is None:
        return _rule_free(lifted, 0)
    plan = plan_of(fit, problem, answer)
    most = max(0, whole_points(problem, answer.bound) - now)
    if plan.points <= now:
        return _rule_free(lifted, most)
    return RulePrice(
        rule=lifted.rule,
        gain=plan.points - now,
        most=max(most, plan.points - now),
        light_gain=plan.light_kept - solved.plan.light_kept,
        plan=plan,
    )
