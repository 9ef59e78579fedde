"""An order as the page shows it, beside the one that it is held against."""

from __future__ import annotations

from typing import Any

from sunsched.average.order.forecast import Chance
from sunsched.average.plan import likely_plan
from sunsched.day.clock import instant_ms
from sunsched.desk.answers.arrange.base import arrangement
from sunsched.desk.answers.plan_view import plan_view
from sunsched.show.text.average_day.price import average_loss_texts
from sunsched.show.text.headlines.arguments import average_price_headline
from sunsched.whatif.price_average.look import Expected
from sunsched.whatif.price_average.price import AveragePrice

Record = dict[str, Any]


def shown(found: AveragePrice) -> Record:
    """Give an order, what it takes to ask for it again, and what it loses."""
    return {
        "plan": plan_view(likely_plan(found.policy, found.bound)),
        "arrangement": arrangement(found.policy, found.bound),
        "price": price_record(found),
    }


def price_record(found: AveragePrice) -> Record:
    """Give what an order loses against another: the sentence first, then all figures."""
    return {
        "headline": average_price_headline(found),
        "texts": list(average_loss_texts(found)),
        "decision": list(found.decision),
        "sets_aside": list(found.sets_aside),
        "points_lost": found.points_lost,
        "least_lost": found.least_lost,
        "most_lost": found.most_lost,
        "later_min": found.later_min,
        "other_lost": found.other_lost,
        "before": _side(found.before),
        "now": _side(found.now),
        "pays": [
            {
                "id": pay.shot.id,
                "points_lost": pay.points_lost,
                "before": _chance(pay.before),
                "now": _chance(pay.now),
            }
            for pay in sorted(found.pays, key=lambda one: -one.points_lost)
        ],
    }


def _side(side: Expected) -> Record:
    return {
        "points": round(side.points),
        "light_kept": round(side.light_kept, 4),
        "stop": instant_ms(side.stop),
        "overtime_min": round(side.overtime_min, 1),
        "overtime_days": round(side.overtime_days, 4),
    }


def _chance(one: Chance | None) -> Record | None:
    if one is None:
        return None
    return {"made": round(one.made, 3), "light": round(one.light, 3)}
