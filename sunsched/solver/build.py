"""A day posed as a problem: every rule and cost of it as a table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sunsched.day.model import Day, Shot
from sunsched.day.past import made_ids
from sunsched.light.fit import BoolArray, DayFit, IntArray
from sunsched.light.parts import DAYLIGHT_DEG
from sunsched.plan.availability import Need, may_roll_at, needs
from sunsched.plan.changeover import changeover
from sunsched.plan.score import (
    AVOIDED_SIZES,
    drift_costs,
    left_out_cost,
    reference_minutes,
)
from sunsched.solver.build_rest import resumed
from sunsched.solver.instance.problem import FORBIDDEN, Problem


def make_problem(fit: DayFit, grid_min: int = 5) -> Problem:
    """Turn a day and its fit into the solver's tables.

    The cost of waiting adds up simply: from the call to the last roll's end all minutes cost, and a
    roll or a meal earns its minutes back. So it needs no state, and a meal may cost less than
    nothing.

    Parameters
    ----------
    grid_min : minutes between two possible starts, a divisor of 60
    """
    day, shots = fit.day, fit.day.shots
    call = fit.minute_of(day.hours.crew_call)
    # Each shot that is made has a slot of its own, and none that others could start in.
    origin = call - call % grid_min - len(made_ids(day.past)) * grid_min
    slots = (fit.minute_of(day.hours.hard_wrap) - origin) // grid_min + 1
    offset = np.array([_pin_offset(fit, shot, grid_min) for shot in shots], dtype=np.int64)
    starts = origin + np.arange(slots) * grid_min + offset[:, None]  # (n, T) track minutes
    shoot = np.array([shot.shoot_min for shot in shots], dtype=np.int64)
    arcs = _arcs(fit, grid_min, origin, offset)
    ends = starts + shoot[:, None]
    costs, hours = day.costs, day.hours
    allowed = _allowed(fit, starts)
    allowed[:, [shot.id in day.cut_ids for shot in shots]] = False
    left_out = np.array([left_out_cost(day, shot) for shot in shots], dtype=np.int64)
    kept = left_out + costs.wait * shoot  # what a day saves by making a shot, beside its light
    earned = np.zeros_like(starts)
    for s, shot in enumerate(shots):
        inside = allowed[:, s].any(axis=0)
        earned[s, inside] = fit.shots[shot.id].points[starts[s, inside]]
    must = np.array([shot.pin is not None for shot in shots], dtype=np.bool_)
    startable = allowed.any(axis=0)
    is_lit = (earned[startable] > 0).any() or _has_sun_up(fit, starts[startable])
    problem = Problem(
        grid_min=grid_min,
        origin=origin,
        ids=tuple(shot.id for shot in shots),
        offset=offset,
        roll_min=shoot,
        gain=np.where(allowed, earned + kept[:, None], FORBIDDEN),
        kind=arcs.kind if len(allowed) == 3 else np.zeros_like(arcs.kind),
        lag=arcs.lag,
        lag_fed=arcs.lag_fed,
        fed_from=arcs.fed_from,
        eat_by=arcs.eat_by,
        arc_cost=arcs.cost,
        pair_cost=_pair_costs(day),
        forbidden_pair=_forbidden_pairs(shots),
        after_meal_cost=after_meal_costs(day) - costs.wait * day.meal.length_min,
        end_cost=costs.overtime * np.maximum(0, ends - fit.minute_of(hours.wrap))
        + costs.wait * (ends - call),
        can_skip_meal=ends <= fit.minute_of(day.meal.latest),
        must=must,
        match=_match_indices(shots),
        drift=_drift_tables(fit, starts),
        dark=bool(startable.any() and not is_lit),
        base=-int(left_out.sum()),
    )
    return problem if day.past is None else resumed(problem, fit, day.past)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Arcs:
    kind: IntArray
    lag: IntArray
    lag_fed: IntArray
    fed_from: IntArray
    eat_by: IntArray
    cost: IntArray


def _arcs(fit: DayFit, grid_min: int, origin: int, offset: IntArray) -> _Arcs:
    """Tabulate every changeover, without the meal in it and with."""
    day, n = fit.day, len(fit.day.shots)
    kind, lag, lag_fed, fed_from, cost = (np.zeros((n + 1, n), dtype=np.int64) for _ in range(5))
    eat_by = np.zeros(n + 1, dtype=np.int64)
    call_min = fit.minute_of(day.hours.crew_call) - origin
    first_meal_min, last_meal_min = (
        fit.minute_of(when) - origin for when in (day.meal.earliest, day.meal.latest)
    )
    for a, before in enumerate((*day.shots, None)):
        free = call_min if before is None else int(offset[a]) + before.shoot_min
        eat_by[a] = (last_meal_min - free) // grid_min
        for b, shot in enumerate(day.shots):
            parts = changeover(day, before, shot)
            work = parts.total_min - int(offset[b])
            fed = work + day.meal.length_min
            kind[a, b] = 0 if not parts.is_adjust else 2 if parts.turnaround_min else 1
            lag[a, b] = max(0, _slots_up(free + work, grid_min))
            lag_fed[a, b] = max(0, _slots_up(free + fed, grid_min))
            fed_from[a, b] = max(0, _slots_up(first_meal_min + fed, grid_min))
            if before is not None:
                cost[a, b] = day.costs.move * (before.spot != shot.spot)
                cost[a, b] += day.costs.rig_change * (before.rig != shot.rig)
    if day.meal.earliest > day.meal.latest:
        eat_by[:] = -1
    return _Arcs(kind=kind, lag=lag, lag_fed=lag_fed, fed_from=fed_from, eat_by=eat_by, cost=cost)


def _allowed(fit: DayFit, starts: IntArray) -> BoolArray:
    """Mark the starts that no rule forbids whatever comes before: (kinds, n, T)."""
    kinds = 3 if any(spot.open for spot in fit.day.spots) else 1
    rows = [
        starts_allowed(fit, shot, needs(fit, shot), starts[s], kinds)
        for s, shot in enumerate(fit.day.shots)
    ]
    return np.stack(rows, axis=1) if rows else np.zeros((kinds, *starts.shape), dtype=np.bool_)


def starts_allowed(
    fit: DayFit, shot: Shot, needed: Iterable[Need], starts: IntArray, kinds: int
) -> BoolArray:
    """Mark the starts of the grid, (T,), at which a shot has what it needs: (kinds, T).

    Parameters
    ----------
    kinds : of builds: a setup, an adjust, an adjust with a turnaround; 1 where they are all alike
    """
    turned_min = shot.adjust_min + fit.day.changeover.turnaround_min
    builds = (shot.setup_min, shot.adjust_min, turned_min)[:kinds]
    asked = tuple(needed)
    return np.stack([may_roll_at(shot, asked, build_min, starts) for build_min in builds])


def after_meal_costs(day: Day) -> IntArray:
    """Tabulate what each shot costs if it is the first after the meal: (n,)."""
    is_avoided = [shot.size in AVOIDED_SIZES for shot in day.shots]
    return day.costs.after_meal * np.array(is_avoided, dtype=np.int64)


def _has_sun_up(fit: DayFit, starts: IntArray) -> bool:
    """Say whether the sun is up at one of some starts."""
    return bool((fit.track.elevation_deg[starts] > DAYLIGHT_DEG).any())


def _pair_costs(day: Day) -> IntArray:
    """Tabulate the cost of a tighter shot made before a wider one of its match."""
    return np.array(
        [
            [
                day.costs.wide_to_tight
                * bool(a.match and a.match == b.match and a.size.rank > b.size.rank)
                for b in day.shots
            ]
            for a in day.shots
        ],
        dtype=np.int64,
    )


def _forbidden_pairs(shots: tuple[Shot, ...]) -> BoolArray:
    """Mark the pairs whose first must not come before their second."""
    index = {shot.id: k for k, shot in enumerate(shots)}
    forbidden = np.zeros((len(shots), len(shots)), dtype=np.bool_)
    for shot in shots:
        for earlier in shot.after:
            forbidden[index[shot.id], index[earlier]] = True
    return forbidden


def _match_indices(shots: tuple[Shot, ...]) -> IntArray:
    """Number the matches of two shots and more; a lone shot matches itself."""
    names = [shot.match for shot in shots]
    groups = sorted({name for name in names if name and names.count(name) > 1})
    return np.array([groups.index(m) if m in groups else -1 for m in names], dtype=np.int64)


def _drift_tables(fit: DayFit, starts: IntArray) -> npt.NDArray[np.int32]:
    """Tabulate each matched shot's cost for every start and reference sun: (n, T, R)."""
    tables = np.zeros((*starts.shape, len(reference_minutes(fit))), dtype=np.int32)
    for s, shot in enumerate(fit.day.shots):
        if shot.match:
            tables[s] = drift_costs(fit, shot, np.clip(starts[s], 0, len(fit.track) - 1))
    return tables


def _pin_offset(fit: DayFit, shot: Shot, grid_min: int) -> int:
    return 0 if shot.pin is None else fit.minute_of(shot.pin) % grid_min


def _slots_up(minutes: int, grid_min: int) -> int:
    return -(-minutes // grid_min)
