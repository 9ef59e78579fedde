"""Published scheduling instances as problems of the solver, with the optima that are known.

Families:

- travelling salesman with time windows: Dumas, Desrosiers, Gelinas and Solomon, "An optimal
  algorithm for the traveling salesman problem with time windows", Operations Research 43(2), 1995;
  and the instances of Potvin and Bengio (1996) drawn from Solomon's vehicle routes (1987)
- total weighted tardiness on one machine, 40 jobs: OR-Library (Beasley, "OR-Library: distributing
  test problems by electronic mail", J. Operational Research Society 41(11), 1990)
- synthetic shooting days, whose optima two independent methods found
"""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from sunsched.solver.instance.problem import FORBIDDEN, Problem

IntArray = npt.NDArray[np.int64]
TOO_LATE = 100_000  # what a tour that is back too late is charged: more than any tour's cost
LATEST = 2047  # the solver's tie rule counts minutes up to here


@dataclass(frozen=True, slots=True, kw_only=True)
class Tour:
    """A travelling-salesman instance: node 0 is the depot, times in the instance's own unit.

    Attributes
    ----------
    times : (n+1, n+1) travel from node to node, service folded in
    windows : (n+1, 2) earliest and latest arrival
    """

    times: npt.NDArray[np.float64]
    windows: npt.NDArray[np.float64]

    def travel(self, tour: list[int]) -> float:
        """Give the travel time of a tour of customers, waiting left out."""
        return float(sum(self.times[a, b] for a, b in pairwise([0, *tour, 0])))

    def back(self, tour: list[int]) -> float | None:
        """Give when a tour is back at the depot, waits included; None when it misses a window."""
        now = float(self.windows[0, 0])
        for a, b in pairwise([0, *tour, 0]):
            now = max(now + float(self.times[a, b]), float(self.windows[b, 0]) * (b != 0))
            if now > self.windows[b, 1] + 1e-6:
                return None
        return now


def read_tour(path: Path) -> Tour:
    """Read a travelling-salesman instance."""
    lines = path.read_text(encoding="utf-8").splitlines()
    figures = [float(x) for line in lines if not line.startswith("#") for x in line.split()]
    nodes = int(figures[0])
    times = np.array(figures[1 : 1 + nodes**2]).reshape(nodes, nodes)
    windows = np.array(figures[1 + nodes**2 :]).reshape(nodes, 2)
    return Tour(times=times, windows=windows)


def best_known(path: Path) -> dict[str, tuple[float, list[int]]]:
    """Read the best known cost and tour of each travelling-salesman instance."""
    lines = path.read_text(encoding="utf-8").splitlines()
    rows = [line.split() for line in lines if line.strip() and not line.startswith("#")]
    return {
        row[0].removesuffix(".txt"): (float(row[1]), [int(node) for node in row[3:]])
        for row in rows
    }


def shortest_travel(tour: Tour) -> Problem:
    """Turn a tour of whole times into a problem worth minus its travel time."""
    times = _whole(tour.times)
    windows = _whole(tour.windows)
    arcs = np.vstack([times[1:, 1:], times[0, 1:]])
    home = np.repeat(times[1:, 0][:, None], int(windows[1:, 1].max()) + 1, axis=1)
    return _tour_problem(times, windows, arc_cost=arcs, end_cost=home)


def earliest_back(tour: Tour, unit: float) -> Problem:
    """Turn a tour into a problem worth minus the units until it is back.

    All times are rounded in the tour's favour, so that no tour is back before the problem's optimum
    times the unit.
    """
    times = np.floor(tour.times / unit + 1e-9).astype(np.int64)
    windows = np.floor(tour.windows / unit + 1e-9).astype(np.int64)
    back = np.arange(int(windows[1:, 1].max()) + 1) + times[1:, 0][:, None]
    return _tour_problem(times, windows, arc_cost=np.zeros_like(times)[:, 1:], end_cost=back)


def _tour_problem(
    times: IntArray, windows: IntArray, arc_cost: IntArray, end_cost: IntArray
) -> Problem:
    slots = end_cost.shape[1]
    now = np.arange(slots)
    inside = (windows[1:, :1] <= now) & (now <= windows[1:, 1:])
    late = now + times[1:, :1] > windows[0, 1]
    return _problem(
        gain=np.where(inside, 0, FORBIDDEN),
        lag=np.vstack([times[1:, 1:], times[0, 1:]]),
        arc_cost=arc_cost,
        end_cost=end_cost + TOO_LATE * late,
    )


def soonest(problem: Problem, sequence: tuple[int, ...]) -> tuple[int, ...]:
    """Give the slots in which a sequence starts if each shot starts as soon as it may."""
    starts: list[int] = []
    before, now = problem.shots, 0
    for shot in sequence:
        allowed = np.flatnonzero(problem.gain[0, shot] > FORBIDDEN)
        now = int(allowed[allowed >= now + problem.lag[before, shot]][0])
        before = shot
        starts.append(now)
    return tuple(starts)


def read_tardiness(folder: Path, number: int) -> tuple[Problem, int]:
    """Read the OR-Library instance of this number, from 1, and its optimum."""
    figures = np.array((folder / "wt40.txt").read_text(encoding="utf-8").split(), dtype=np.int64)
    duration, weight, due = figures.reshape(-1, 3, 40)[number - 1]
    ends = np.arange(int(duration.sum() - duration.min()) + 1) + duration[:, None]
    optima = (folder / "wtopt40.txt").read_text(encoding="utf-8").split()
    problem = _problem(
        gain=np.where(
            ends <= duration.sum(), -weight[:, None] * np.maximum(0, ends - due[:, None]), FORBIDDEN
        ),
        lag=np.vstack([np.repeat(duration[:, None], 40, axis=1), np.zeros((1, 40))]),
    )
    return problem, int(optima[number - 1])


def read_synthetic(folder: Path, name: str) -> tuple[Problem, int]:
    """Read a synthetic day and its optimum."""
    day: dict[str, Any] = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
    with (folder / "optima.csv").open(encoding="utf-8", newline="") as lines:
        optima = {row["instance"]: round(float(row["value"])) for row in csv.DictReader(lines)}
    duration, change = np.array(day["duration"]), np.array(day["changeover"])
    slots = int(day["slots"])
    now = np.arange(slots)
    earliest, latest = (np.array(day[f"{end}_start"])[:, None] for end in ("earliest", "latest"))
    inside = (earliest <= now) & (now <= latest) & (now + duration[:, None] <= slots)
    optional = np.array(day["optional"], dtype=np.bool_)
    drop = np.where(optional, day["drop_penalty"], 0)
    value = np.zeros((len(duration), slots), dtype=np.int64)
    for s, row in enumerate(day["value"]):
        value[s, : len(row)] = row[:slots]
    before_first = np.zeros(len(duration), dtype=np.int64)
    forbidden = np.zeros(change.shape, dtype=np.bool_)
    for before, after in day["precedence"]:
        forbidden[after, before] = True
    first, last = day["meal_start_window"]
    problem = _problem(
        gain=np.where(inside, value + drop[:, None], FORBIDDEN),
        lag=np.vstack([duration[:, None] + change, before_first]),
        arc_cost=day["changeover_cost_per_slot"] * np.vstack([change, before_first]),
        grid_min=int(day["slot_minutes"]),
        duration=duration,
        meal=(int(first), int(last), int(day["meal_duration"])),
        must=~optional,
        forbidden_pair=forbidden,
        base=-int(drop.sum()),
    )
    return problem, optima[name]


def _problem(
    *,
    gain: IntArray,
    lag: IntArray,
    arc_cost: IntArray | None = None,
    end_cost: IntArray | None = None,
    grid_min: int = 1,
    duration: IntArray | None = None,
    meal: tuple[int, int, int] | None = None,
    must: npt.NDArray[np.bool_] | None = None,
    forbidden_pair: npt.NDArray[np.bool_] | None = None,
    base: int = 0,
) -> Problem:
    """Make a problem of gains (n, T) and lags (n+1, n); what is not given costs and asks nothing.

    Parameters
    ----------
    duration : (n,) slots of each job
    meal : its first and last slot, and how many it takes

    Raises
    ------
    ValueError
        When it has more minutes than a day can have.
    """
    n, slots = gain.shape
    if slots * grid_min > LATEST:
        raise ValueError(
            f"{slots} slots of {grid_min} min are more than the solver's tie rule counts"
        )
    arcs = np.zeros((n + 1, n), dtype=np.int64)
    none = np.zeros(n, dtype=np.int64)
    duration = none if duration is None else duration.astype(np.int64)
    lag = lag.astype(np.int64)
    worked = np.append(duration, 0)
    first, last, length = meal or (slots, -1, 0)
    return Problem(
        grid_min=grid_min,
        origin=0,
        ids=tuple(str(s) for s in range(n)),
        offset=none,
        roll_min=duration * grid_min,
        gain=gain[None].astype(np.int64),
        kind=arcs,
        lag=lag,
        lag_fed=lag + length,
        fed_from=lag - worked[:, None] + first + length,
        eat_by=last - worked,
        arc_cost=arcs if arc_cost is None else arc_cost.astype(np.int64),
        pair_cost=np.zeros((n, n), dtype=np.int64),
        forbidden_pair=np.zeros((n, n), dtype=np.bool_)
        if forbidden_pair is None
        else forbidden_pair,
        after_meal_cost=none,
        end_cost=np.zeros((n, slots), dtype=np.int64) if end_cost is None else end_cost,
        can_skip_meal=np.full((n, slots), meal is None),
        must=np.ones(n, dtype=np.bool_) if must is None else must,
        match=np.full(n, -1, dtype=np.int64),
        drift=np.zeros((n, slots, 1), dtype=np.int32),
        dark=False,
        base=base,
    )


def _whole(times: npt.NDArray[np.float64]) -> IntArray:
    """Take times as whole numbers.

    Raises
    ------
    ValueError
        When they are not.
    """
    whole = np.rint(times).astype(np.int64)
    if not np.array_equal(whole, times):
        raise ValueError("the times of the tour are not whole")
    return whole
