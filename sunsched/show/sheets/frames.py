"""Results as data frames, for whoever goes on with them in Python."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeAlias

from sunsched.day.model import Day
from sunsched.light.windows import ShotWindows
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.sheets.frames_average import (
    average_price_rows,
    average_rule_rows,
    average_wrap_rows,
)
from sunsched.show.sheets.spreadsheet import columns_of, order_rows
from sunsched.sky.track import SunTrack
from sunsched.whatif.alternatives.alternatives import Alternative
from sunsched.whatif.compare.compare import Comparison
from sunsched.whatif.price.cells import PriceTable
from sunsched.whatif.price.price import Price
from sunsched.whatif.price.rules import RulePrice
from sunsched.whatif.price.wrap import WrapPoint
from sunsched.whatif.price_average.price import AveragePrice
from sunsched.whatif.price_average.rules import AverageRulePrice
from sunsched.whatif.price_average.wrap import AverageWrapPoint
from sunsched.whatif.replan.replan import Replan
from sunsched.whatif.stress.pace import Pace
from sunsched.whatif.stress.safest import Safest
from sunsched.whatif.stress.stress import TENTH, Stress

if TYPE_CHECKING:
    import pandas as pd

Row: TypeAlias = dict[str, Any]
Result: TypeAlias = (
    Plan
    | PriceTable
    | Price
    | AveragePrice
    | Comparison
    | Replan
    | Stress
    | Safest
    | Pace
    | SunTrack
    | Sequence[ShotWindows]
    | Sequence[WrapPoint]
    | Sequence[AverageWrapPoint]
    | Sequence[RulePrice]
    | Sequence[AverageRulePrice]
    | Sequence[Alternative]
)


def to_frame(result: Result) -> pd.DataFrame:
    """Give a result as a data frame.

    Columns whose name ends with `_local` hold naive times of the place's clock, `_utc` aware ones;
    the other endings are units. Shares are percent, as in the sheets.

    Parameters
    ----------
    result : Plan, PriceTable, Price, Comparison, Replan, Stress, Safest, Pace, SunTrack, sequence
        What a function of this package gives; of the sequences those of `windows`, `wrap_curve`,
        `rule_prices` and `alternatives`. An empty sequence gives an empty frame. Prices on the
        average day have frames too.

    Returns
    -------
    pandas.DataFrame
        Of a plan, the columns and rows of the sheet as `.csv`: a row for each shot and meal, then
        what is left out. Of a table of prices a row for each shot and time; of a price and a
        comparison a row for each shot, with both plans; of a replan a row for each choice; of
        windows a row for each stretch; of all others a row for each of their parts.

    Raises
    ------
    TypeError
        For anything else.

    Examples
    --------
    >>> import sunsched
    >>> plan = sunsched.make_plan(sunsched.example_day())
    >>> frame = sunsched.to_frame(plan)
    >>> frame.loc[frame["kind"] == "shot", "id"].tolist() == [one.shot.id for one in plan.shots]
    True
    >>> float(frame["points"].sum()) == sum(one.points for one in plan.shots)
    True
    """
    import pandas as pd  # here because it takes half a second to load

    if isinstance(result, Plan):
        return pd.DataFrame(list(order_rows(result)), columns=list(columns_of(result)))
    if isinstance(result, SunTrack):
        return pd.DataFrame(
            {
                "time_utc": pd.date_range(result.start, periods=len(result), freq="min"),
                "azimuth_deg": result.azimuth_deg,
                "elevation_deg": result.elevation_deg,
                "apparent_elevation_deg": result.apparent_elevation_deg,
            }
        )
    for kind, rows in _ROWS.items():
        if isinstance(result, kind):
            return pd.DataFrame(list(rows(result)))
    if isinstance(result, Sequence):
        kinds = {type(one) for one in result}
        if kinds <= set(_PARTS) and len(kinds) <= 1:
            return pd.DataFrame([row for one in result for row in _PARTS[type(one)](one)])
    raise TypeError(f"no frame is made of {type(result).__name__}")


def _local(day: Day, when: datetime | None) -> datetime | None:
    return None if when is None else when.astimezone(day.place.zone).replace(tzinfo=None)


def _price_table_rows(found: PriceTable) -> Iterator[Row]:
    for row in found.rows:
        for cell in row.cells:
            yield {
                "id": row.shot_id,
                "time_local": _local(found.day, cell.time),
                "known": str(cell.known),
                "least_points": cell.least,
                "most_points": cell.most,
                **({"found_points": cell.found} if found.is_average else {}),
                "planned_local": _local(found.day, row.planned),
                "cut_points": row.cut,
            }


def _price_rows(found: Price) -> Iterator[Row]:
    pays = dict(found.pays)
    for planned in found.plan.shots:
        yield {
            "id": planned.shot.id,
            "description": planned.shot.description,
            **_placed(found.plan.day, planned, ""),
            "points_lost": pays.pop(planned.shot.id, 0),
        }
    for left in found.plan.left_out:
        yield {
            "id": left.shot.id,
            "description": left.shot.description,
            "points_lost": pays.pop(left.shot.id, 0),
        }
    for name, lost in found.shared:
        yield {"description": name, "points_lost": lost}


def _placed(day: Day, planned: PlannedShot | None, prefix: str) -> Row:
    start = None if planned is None else planned.roll_start
    return {
        f"{prefix}roll_start_local": _local(day, start),
        f"{prefix}light_percent": None if planned is None else round(100 * planned.fit, 1),
    }


def _comparison_rows(found: Comparison) -> Iterator[Row]:
    for one in found.differences:
        shot = found.shot(one.shot_id)
        yield {
            "id": shot.id,
            "description": shot.description,
            **_placed(found.ours.day, one.ours, "ours_"),
            **_placed(found.theirs.day, one.theirs, "theirs_"),
            "points_lost": one.points_lost,
            "lost_to": one.lost_to,
        }
    for name, lost in found.costs_lost.items():
        yield {"description": name, "points_lost": lost}


def _replan_rows(found: Replan) -> Iterator[Row]:
    choices = (("best", found.best), ("push", found.push), ("drop", found.drop_one))
    for name, choice in choices:
        if choice is not None:
            yield {
                "choice": name,
                **_plan_row(choice.plan),
                "dropped": "" if choice.dropped is None else choice.dropped.id,
                "turned_round": choice.turned,
            }


def _plan_row(plan: Plan) -> Row:
    last = plan.shots[-1].roll_end if plan.shots else None
    return {
        "status": plan.status,
        "points": plan.points,
        "bound": plan.bound,
        "light_percent": round(100 * plan.light_kept, 1),
        "last_roll_end_local": _local(plan.day, last),
        "order": ", ".join(one.shot.id for one in plan.shots),
    }


def _stress_rows(found: Stress) -> Iterator[Row]:
    for one in found.shots:
        yield {
            "id": one.shot.id,
            "description": one.shot.description,
            "roll_start_local": _local(found.fit.day, one.planned),
            "made_percent": round(100 * one.made_chance, 1),
            "half_light_percent": round(100 * one.half_chance, 1),
            "light_lost_percent": round(100 * one.light_lost, 2),
        }


def _safest_rows(found: Safest) -> Iterator[Row]:
    for one in found.candidates:
        yield {
            "whose": ", ".join(one.whose),
            "order": ", ".join(one.ids),
            "planned_light_percent": round(100 * one.stress.planned_light, 1),
            "mean_light_percent": round(100 * float(one.stress.light_kept.mean()), 1),
            "half_of_days_light_percent": round(100 * one.stress.light_at(0.5), 1),
            "worst_tenth_light_percent": round(100 * one.stress.light_at(TENTH), 1),
            "worst_tenth_mean_light_percent": round(100 * one.worst_mean, 1),
            "overtime_percent": round(100 * one.stress.overtime_chance, 1),
        }


def _pace_rows(found: Pace) -> Iterator[Row]:
    for one in found.paces:
        yield {
            "size": str(one.size),
            "work": str(one.work),
            "count": one.factor.count,
            "median": one.factor.median,
            "median_error": one.factor.median_error,
            "spread": one.factor.spread,
            "spread_error": one.factor.spread_error,
            "shrunk_median": one.factor.shrunk_median,
            "shrunk_spread": one.factor.shrunk_spread,
        }


def _window_rows(found: ShotWindows) -> Iterator[Row]:
    for kind in ("window", "flat", "frames", "held"):
        for span in getattr(found, "spans" if kind == "window" else kind):
            yield {"id": found.shot, "kind": kind, "start_utc": span.start, "end_utc": span.end}
    if not found.spans:
        yield {"id": found.shot, "kind": "none", "fails": found.fails, "miss": found.miss}


def _wrap_rows(found: WrapPoint) -> Iterator[Row]:
    yield {
        "wrap_local": _local(found.plan.day, found.wrap),
        **_plan_row(found.plan),
        "overtime_min": found.overtime_min,
        "overtime_points": found.overtime_points,
    }


def _rule_rows(found: RulePrice) -> Iterator[Row]:
    yield {
        "rule": found.rule,
        "least_points": found.gain,
        "most_points": found.most,
        "light_percent": round(100 * found.light_gain, 1),
    }


def _alternative_rows(found: Alternative) -> Iterator[Row]:
    yield {
        **_plan_row(found.plan),
        "points": (found.on_average or found.plan).points,
        "light_percent": round(100 * found.light_kept, 1),
        "points_lost": found.points_lost,
        "least_lost": found.least_lost,
        "differs": "; ".join(found.differs),
        "shots_moved": found.distance.moved,
        "pairs_turned": found.distance.turned,
        "kendall_tau": found.distance.kendall_tau,
        "is_proven": found.is_proven,
    }


_ROWS: dict[type, Callable[[Any], Iterator[Row]]] = {
    PriceTable: _price_table_rows,
    Price: _price_rows,
    AveragePrice: average_price_rows,
    Comparison: _comparison_rows,
    Replan: _replan_rows,
    Stress: _stress_rows,
    Safest: _safest_rows,
    Pace: _pace_rows,
}
_PARTS: dict[type, Callable[[Any], Iterator[Row]]] = {
    ShotWindows: _window_rows,
    WrapPoint: _wrap_rows,
    AverageWrapPoint: average_wrap_rows,
    RulePrice: _rule_rows,
    AverageRulePrice: average_rule_rows,
    Alternative: _alternative_rows,
}
