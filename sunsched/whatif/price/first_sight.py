"""What a decision costs at first sight: a good plan that obeys it, and a bracket for its price."""

from __future__ import annotations

from functools import partial

from sunsched.day.demand import Decision
from sunsched.errors import DayImpossible, Undecided
from sunsched.solver.solved import Solved, short_answer
from sunsched.whatif.price.decision import check_decision
from sunsched.whatif.price.price import Price, decided, judged_plan, priced, probe
from sunsched.whatif.price.refusal import refusal_text
from sunsched.whatif.starts import is_shut


def quick_price(solved: Solved, decision: Decision) -> Price:
    """Say in some hundredths of a second within what the price of a decision lies.

    Parameters
    ----------
    solved, decision : as for `price`, which says what is raised too

    Returns
    -------
    Price
        A good plan that obeys; `points_lost` is the most that is lost, `least_lost` the least.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> asked = sunsched.Asked(shots=["1"], at=["12:00"])
    >>> decision = sunsched.read_decision(solved.fit.day, asked)
    >>> first, exact = sunsched.quick_price(solved, decision), sunsched.price(solved, decision)
    >>> first.least_lost <= exact.points_lost <= first.points_lost
    True
    """
    day = solved.fit.day
    check_decision(day, decision)
    fit, problem = decided(day, decision, solved.problem.grid_min)
    look = partial(probe, solved)
    try:
        answer = None if is_shut(problem) else short_answer(solved, problem, looks=1)
    except Undecided:
        raise DayImpossible(refusal_text(day, decision, look, is_certain=False)) from None
    if answer is None:
        raise DayImpossible(refusal_text(day, decision, look, is_certain=True))
    return priced(solved, decision, judged_plan(solved, decision, fit, problem, answer))
