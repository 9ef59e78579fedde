"""What a decision costs: at once between two bounds, then as closely as the command says it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import inf
from pathlib import Path
from typing import Any

from sunsched.average.plan import AveragePlan
from sunsched.day.decided import demand_text
from sunsched.day.demand import Decision, Demand
from sunsched.day.model import Day
from sunsched.desk.answers.argument.ours import (
    best_average,
    day_to_price,
    is_for_planned,
    saved_ours,
    solved_day,
)
from sunsched.desk.answers.known import known
from sunsched.desk.work.worker import Memory
from sunsched.errors import FolderError, SunschedError
from sunsched.show.layout import plain
from sunsched.show.text.average_day.price import (
    PAYS_HEADER,
    PRICE_NOTE,
    SIDES_HEADER,
    average_loss_texts,
    pay_rows,
    side_rows,
)
from sunsched.show.text.crew import crew_rows
from sunsched.show.text.headlines.arguments import average_price_headline, price_headline
from sunsched.show.text.price import (
    CREW_HEADER,
    SHOTS_HEADER,
    loss_texts,
    lost_texts,
    shot_rows,
)
from sunsched.whatif.price.decision import check_decision, set_aside
from sunsched.whatif.price.price import price as planned_price
from sunsched.whatif.price.price import refuse_impossible
from sunsched.whatif.price.request import Asked, read_decision
from sunsched.whatif.price_average.look import policy_under
from sunsched.whatif.price_average.price import average_price

Record = dict[str, Any]


def answer(memory: Memory, *, folder: str, demands: Sequence[dict[str, str]]) -> Iterator[Record]:
    """Price a decision: a first figure from the orders known, then the best order that obeys it.

    Parameters
    ----------
    demands : each with its `kind`, and `subject` and `time` where that has them

    Raises
    ------
    SunschedError
        With all that is wrong with the demands, in words.
    """
    one = known(memory, Path(folder))
    day = day_to_price(memory, one)
    decision = asked_decision(day, demands)
    if is_for_planned(one):
        solved = solved_day(memory, one)
        found = planned_price(solved, decision)
        yield {
            "doing": "",
            "headline": price_headline(solved.plan, found),
            "decision": list(found.decision),
            "said": [*loss_texts(found), *lost_texts(found)],
            "tables": [
                _table(SHOTS_HEADER, shot_rows(day, solved.plan, found)),
                _table(CREW_HEADER, crew_rows(day, found.crew_before, found.crew)),
            ],
            "note": "",
        }
        return
    saved = saved_ours(memory, one)
    if isinstance(saved, AveragePlan):
        yield _first(saved, decision)
    solved = solved_day(memory, one)
    refuse_impossible(solved, decision)
    if not isinstance(saved, AveragePlan):
        yield {"doing": "looking for the best order of the average day, to price against"}
    best = best_average(memory, one)
    if best is not saved:
        yield _first(best, decision)
    dear = average_price(solved, best, decision)
    yield {
        "doing": "",
        "headline": average_price_headline(dear),
        "decision": list(dear.decision),
        "said": list(average_loss_texts(dear)),
        "tables": [
            _table(PAYS_HEADER, pay_rows(dear)),
            _table(SIDES_HEADER, side_rows(day, dear)),
        ],
        "note": PRICE_NOTE,
    }


def asked_decision(day: Day, demands: Sequence[dict[str, str]]) -> Decision:
    """Read what a page demands, each demand as the command reads its options.

    Raises
    ------
    SunschedError
        With all that is wrong with them, in words.
    """
    read: list[Demand] = []
    wrong: list[str] = []
    for one in demands:
        try:
            read += read_decision(day, _asked(one))
        except FolderError as error:
            # Without the name of an option, which nobody typed here.
            wrong += [str(fault).partition(": ")[2] for fault in error.faults]
        except SunschedError as error:
            wrong.append(str(error))
    if wrong:
        raise SunschedError("\n".join(wrong))
    if not read:
        raise SunschedError("nothing is asked")
    check_decision(day, tuple(read))
    return tuple(read)


def _asked(one: dict[str, str]) -> Asked:
    """Give a demand in the words that are read; a blank is told as one."""
    kind, subject, time = one["kind"], one["subject"], one["time"]
    match kind:
        case "at":
            return Asked(shots=[subject], at=[time])
        case "before":
            return Asked(shots=[subject], before=[time])
        case "after":
            return Asked(shots=[subject], after=[time])
        case "release":
            return Asked(releases=[f"{subject}={time}"])
        case "cut":
            return Asked(cuts=[subject])
        case "keep-order":
            return Asked(keep_orders=[subject])
        case "first":
            return Asked(first=subject)
        case "meal":
            return Asked(meal=time)
        case "wrap":
            return Asked(wrap=time)
        case _:
            return Asked(call=time)


def _first(best: AveragePlan, decision: Decision) -> Record:
    """Give what is lost by the best order known, repaired to obey: the first of two figures."""
    day = best.day
    policy = policy_under(best.policy.rest.fit, decision, [best.policy])
    lost = best.policy.worth - policy.worth
    most = inf if best.bound is None else max(best.bound, best.policy.worth) - policy.worth
    is_lifting = bool(set_aside(day, decision))
    text = f"costs about {round(lost)} points" if lost > 0 else f"wins about {round(-lost)} points"
    if not is_lifting and most < inf:
        text += f"; the best crew of all loses from nothing to at most {round(most)}"
    return {
        "doing": "looking for a better order that obeys it, and for bounds",
        "headline": text,
        "decision": [demand_text(day, demand) for demand in decision],
        "said": [f"this sets aside a rule of the day: {rule}" for rule in set_aside(day, decision)],
        "tables": [],
        "note": "",
    }


def _table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> Record:
    return {
        "header": list(header),
        "rows": [[plain(cell).strip() for cell in row] for row in rows],
    }
