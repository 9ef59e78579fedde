"""An upper bound on every order: a time-indexed relaxation with Lagrangian multipliers.

Forbid a shot to be made twice only as far as a memory goes, and charge a multiplier λ, its price,
each time that it is made. What is left is a longest path through the slots, found by one sweep
backward over the day. For any λ ≥ 0 its value plus Σλ is at least that of the best order;
subgradient steps (Held, Wolfe and Crowder, Mathematical Programming 6, 1974) look for a small one.
A sweep forward then strikes out the cells that no better plan than the incumbent can pass
(reduced-cost fixing). (Such bounds are known to be tight: van den Akker, Hurkens and Savelsbergh,
INFORMS J. Computing 12(2), 2000; fixing as the memory grows: Tanaka and Fujikuma, J. Scheduling 15,
2012.)
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.bound.node import KEPT, Charged, Node, charged, move_suns, push_suns
from sunsched.solver.bound.path_dp import Cells, follow, list_cells, strike, sweep_back
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import LARGEST, NEVER, SCALE, Tables

PATIENCE = 8  # steps without a smaller bound before the step length shrinks
NODE_PATIENCE = 3  # the same in a node, where few steps are taken
SUNS_WEIGHT = 1 / 12  # a shot picks one reference, but a whole stretch of them is priced
FURTHEST = 20_000 * SCALE  # how far off a target may be: with a farther one the steps run away
LAST_PATHS = 15  # steps whose paths are given
NEAR = 1.5  # gaps of the best step that such a step may have
SETTLED = 1e-3  # the size of a push that comes from past steps alone
SHORTEST = 1e-2  # the step length at which the search for prices has settled


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """What a sweep backward finds.

    Attributes
    ----------
    ahead : (T+1, 2, K, M+1) the value of starting a state's shot in a slot or later, the meal taken
        before it (1) or not; row T and column M stand for what cannot be
    rest : (T, 2, M) the value after a state's shot that starts in the slot, of cells alive
    cells : those alive
    """

    cells: Cells
    ahead: IntArray
    rest: IntArray


def make_sweep(gain: IntArray, node: Node) -> Sweep:
    """Make room for sweeps of a node, over gains (K, n, T); all of them sweep the same cells."""
    # A price below zero would make the relaxation charge less than nothing: no bound at all.
    if node.prices.min(initial=0) < 0:
        raise ValueError("a price below zero bounds nothing")
    memory = node.memory
    kinds, _, slots = gain.shape
    ahead = np.empty((slots + 1, 2, kinds, memory.states + 1), dtype=np.int64)
    ahead[slots] = NEVER  # each sweep fills the rows before from this one
    return Sweep(
        cells=list_cells(node.alive, memory.first),
        ahead=ahead,
        rest=np.empty((slots, 2, memory.states), dtype=np.int64),
    )


def swept_value(tables: Tables, node: Node, earned: Charged, swept: Sweep) -> int:
    """Sweep the day from its end and give the bound: the best path's value and all prices.

    Parameters
    ----------
    earned : what each start earns in the node
    swept : filled here; it may hold an earlier sweep of the same cells
    """
    memory = node.memory
    value = sweep_back(
        tables,
        earned.gain,
        node.prices,
        memory.first,
        memory.to,
        memory.cost,
        swept.cells,
        swept.ahead,
        swept.rest,
    )
    return int(value + node.prices.sum() + earned.constant)


def struck_out(tables: Tables, node: Node, earned: Charged, swept: Sweep, value: int) -> BoolArray:
    """Give the cells that a plan worth more than `value` can pass; `swept` is of this node."""
    alive = node.alive.copy()
    _forward(tables, node, earned, swept, alive, value)
    return alive


def start_values(tables: Tables, node: Node, earned: Charged, swept: Sweep) -> IntArray:
    """Give what no plan of the node is worth more than that starts a shot in a slot: (n, T).

    Below LOST where none does. `swept` is of this node.
    """
    return _forward(tables, node, earned, swept, node.alive.copy(), NEVER)


def _forward(
    tables: Tables, node: Node, earned: Charged, swept: Sweep, alive: BoolArray, value: int
) -> IntArray:
    """Sweep forward; strike out, in place, the cells that no plan worth more than `value` passes.

    Gives the most that plans through the cells of each shot and slot that are left can be worth.
    """
    most = np.full(tables.gain.shape[1:], NEVER, dtype=np.int64)
    constant = int(node.prices.sum()) + earned.constant
    strike(
        tables,
        earned.gain,
        node.prices,
        node.memory.first,
        node.memory.to,
        node.memory.cost,
        swept.cells,
        alive,
        swept.rest,
        np.empty_like(swept.ahead),
        most,
        value - constant,
    )
    return most + constant


def subgradient(
    tables: Tables,
    problem: Problem,
    node: Node,
    swept: Sweep,
    steps: int,
    target_of: Callable[[IntArray, int], int],
) -> tuple[Node, list[IntArray]]:
    """Look for prices with a small bound by subgradient steps.

    At the best prices several paths are worth about the same, and no single one tells what keeps
    the bound up: so those of the last steps are given.

    Parameters
    ----------
    swept : scratch space
    target_of : shown each path and its bound, gives the value to beat; at or below it the bound
        has done its work and the search ends

    Returns
    -------
    node : with the best prices and their bound
    paths : of the best step and of the last ones whose bounds were near, each (length, 2) shots
        and slots
    """
    memory = node.memory
    n, slots = problem.shots, problem.slots
    path = np.zeros((slots + n, 2), dtype=np.int64)
    dearest = LARGEST // max(n, 1)  # so that all of them can be added
    now, best, best_bound, best_path, waited, target = node, node, -NEVER, path[:0], 0, 0
    met: deque[tuple[int, IntArray]] = deque(maxlen=LAST_PATHS)
    push, suns_push = np.zeros(n), np.zeros(node.sun_prices.shape)
    length = node.length
    low, high = (np.array(ends, dtype=np.int64) for ends in (node.low, node.high))
    for _ in range(steps):
        bound = swept_value(tables, now, charged(tables, problem, now), swept)
        length_made = follow(tables, memory.first, memory.to, memory.cost, swept.ahead, path)
        made = path[:length_made].copy()
        met.append((bound, made))
        target = target_of(made, bound)
        if bound < best_bound:
            best_bound, best, best_path, waited = bound, now, made, 0
        else:
            waited += 1
        if best_bound <= target or length < SHORTEST:
            break
        if waited >= (PATIENCE if node.depth == 0 else NODE_PATIENCE):
            # Start again from the best prices, more carefully; the next sweep is theirs.
            length, waited, now = 0.5 * length, 0, best
            push, suns_push = np.zeros(n), np.zeros(node.sun_prices.shape)
            continue
        # A push that remembers the last ones zigzags less.
        push = np.bincount(made[:, 0], minlength=n) - 1.0 + KEPT * push
        size = float((push * push).sum())
        if node.are_suns_priced:
            size += SUNS_WEIGHT * push_suns(
                problem.drift, problem.match, low, high, now.sun_prices, made, suns_push
            )
        if size < SETTLED:
            break
        move = length * min(max(bound - target, 1), FURTHEST) / max(size, 1.0)
        now = replace(
            now,
            prices=np.clip(now.prices + np.rint(move * push).astype(np.int64), 0, dearest),
            sun_prices=move_suns(problem.match, now.sun_prices, suns_push, move)
            if node.are_suns_priced
            else now.sun_prices,
        )
    furthest = target + NEAR * (best_bound - target)
    others = [made for bound, made in met if bound <= furthest and made is not best_path]
    bound = min(node.bound, best_bound)
    return replace(best, bound=bound, reached=best_bound, length=length), [best_path, *others]
