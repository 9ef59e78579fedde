"""Longest paths over the time-indexed day: backward, forward, and along the best one (compiled).

A cell is a slot, whether the meal is taken (1) or not (0), and a state of the memory. Arrays over
cells have a row more than there are slots and a column more than there are states, for what cannot
be: so the innermost loops need no tests. Shots of one slot are looked at in the order in which they
can follow one another there (`Tables.walk`), backward from its end.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.instance.tables import LOST, NEVER, Tables
from sunsched.solver.machine.function import compiled


class Cells(NamedTuple):
    """The cells alive: most are not, so a sweep that asked each would mostly ask.

    `state` (N,) holds their states, slot by slot, those without the meal first, a last shot's
    together; `begin` (T, 2, n+1) says where those of a slot, meal and last shot begin.
    """

    begin: npt.NDArray[np.int32]
    state: npt.NDArray[np.int32]


@compiled()
def list_cells(alive: BoolArray, first: IntArray) -> Cells:
    """List the cells alive: (T, 2, M)."""
    slots = len(alive)
    n = len(first) - 1
    begin = np.empty((slots, 2, n + 1), dtype=np.int32)
    count = 0
    for cell in alive.reshape(-1):
        count += int(cell)
    state = np.empty(count, dtype=np.int32)
    count = 0
    for t in range(slots):
        for m in range(2):
            for a in range(n):
                begin[t, m, a] = count
                for s in range(first[a], first[a + 1]):
                    if alive[t, m, s]:
                        state[count] = s
                        count += 1
            begin[t, m, n] = count
    return Cells(begin, state)


@compiled()
def sweep_back(
    tables: Tables,
    gain: IntArray,
    prices: IntArray,
    first: IntArray,
    to: npt.NDArray[np.int32],
    cost: IntArray,
    cells: Cells,
    ahead: IntArray,
    rest: IntArray,
) -> int:
    """Fill `ahead` and `rest` from the day's end and give the value of the best path."""
    kinds, n, slots = gain.shape
    kind, lag, lag_fed, fed_from = tables.kind, tables.lag, tables.lag_fed, tables.fed_from
    toll, eat_by = tables.after_meal_cost, tables.eat_by
    width = first[n] + 1
    flat = ahead.reshape(-1)
    fed = kinds * width  # from a cell without the meal to the one with it
    hop = np.empty(n, dtype=np.int64)
    meal_hop = np.empty(n, dtype=np.int64)
    for t in range(slots - 1, -1, -1):
        now = flat[t * 2 * fed : (t + 1) * 2 * fed]
        later = flat[(t + 1) * 2 * fed : (t + 2) * 2 * fed]
        for i in range(2 * fed):
            now[i] = later[i]
        for place in range(n - 1, -1, -1):
            a = tables.walk[place]
            alive = cells.begin[t, 0, a + 1] - cells.begin[t, 0, a]
            alive += cells.begin[t, 1, a + 1] - cells.begin[t, 1, a]
            if alive == 0:
                continue
            for b in range(n):
                then = min(t + lag[a, b], slots)
                hop[b] = then * 2 * fed + kind[a, b] * width
                then = min(max(t + lag_fed[a, b], fed_from[a, b]), slots)
                meal_hop[b] = then * 2 * fed + fed + kind[a, b] * width
            for m in range(2):
                can_end = m == 1 or tables.can_skip_meal[a, t]
                can_eat = m == 0 and t <= eat_by[a]
                for i in range(cells.begin[t, m, a], cells.begin[t, m, a + 1]):
                    s = cells.state[i]
                    best = -tables.end_cost[a, t] if can_end else NEVER
                    if can_eat:
                        for b in range(n):
                            straight = flat[hop[b] + to[s, b]]
                            fed_first = flat[meal_hop[b] + to[s, b]] - toll[b]
                            best = max(best, max(straight, fed_first) - cost[s, b])
                    elif can_end:
                        for b in range(n):
                            best = max(best, flat[hop[b] + m * fed + to[s, b]] - cost[s, b])
                    rest[t, m, s] = best
                    for k in range(kinds):
                        if gain[k, a, t] > LOST:
                            value = gain[k, a, t] - prices[a] + best
                            ahead[t, m, k, s] = max(ahead[t, m, k, s], value)
    whole = NEVER
    for b in range(n):
        k = kind[n, b]
        then = min(lag[n, b], slots)
        whole = max(whole, ahead[then, 0, k, first[b]] - tables.near[n, b])
        if eat_by[n] >= 0:
            then = min(max(lag_fed[n, b], fed_from[n, b]), slots)
            whole = max(whole, ahead[then, 1, k, first[b]] - tables.near[n, b] - toll[b])
    return whole


@compiled()
def strike(
    tables: Tables,
    gain: IntArray,
    prices: IntArray,
    first: IntArray,
    to: npt.NDArray[np.int32],
    cost: IntArray,
    cells: Cells,
    alive: BoolArray,
    rest: IntArray,
    into: IntArray,
    most: IntArray,
    need: int,
) -> int:
    """Sweep forward and strike out, in place, the cells that no path worth over `need` passes.

    Parameters
    ----------
    into : (T+1, 2, K, M+1) scratch space
    most : (n, T) raised here to the value of the best path, of those, that starts a shot in a slot
    need : value of the best plan known, less all prices

    Returns
    -------
    left : how many cells stay alive
    """
    kinds, n, slots = gain.shape
    kind, lag, lag_fed, fed_from = tables.kind, tables.lag, tables.lag_fed, tables.fed_from
    toll, eat_by = tables.after_meal_cost, tables.eat_by
    width = first[n] + 1
    fed = kinds * width
    flat = into.reshape(-1)
    for i in range(len(flat)):
        flat[i] = NEVER
    for b in range(n):
        k = kind[n, b]
        into[min(lag[n, b], slots), 0, k, first[b]] = -tables.near[n, b]
        if eat_by[n] >= 0:
            then = min(max(lag_fed[n, b], fed_from[n, b]), slots)
            into[then, 1, k, first[b]] = -tables.near[n, b] - toll[b]
    left = 0
    for t in range(slots):
        if t > 0:
            for i in range(t * 2 * fed, (t + 1) * 2 * fed):
                flat[i] = max(flat[i], flat[i - 2 * fed])
        for place in range(n):
            a = tables.walk[place]
            for m in range(2):
                for j in range(cells.begin[t, m, a], cells.begin[t, m, a + 1]):
                    s = cells.state[j]
                    here = NEVER
                    for k in range(kinds):
                        if gain[k, a, t] > LOST:
                            here = max(here, into[t, m, k, s] + gain[k, a, t] - prices[a])
                    if here < LOST or here + rest[t, m, s] <= need:
                        alive[t, m, s] = False
                        continue
                    left += 1
                    most[a, t] = max(most[a, t], here + rest[t, m, s])
                    for b in range(n):
                        value = here - cost[s, b]
                        then = min(t + lag[a, b], slots)
                        i = then * 2 * fed + m * fed + kind[a, b] * width + to[s, b]
                        flat[i] = max(flat[i], value)
                        if m == 0 and t <= eat_by[a]:
                            then = min(max(t + lag_fed[a, b], fed_from[a, b]), slots)
                            i = then * 2 * fed + fed + kind[a, b] * width + to[s, b]
                            flat[i] = max(flat[i], value - toll[b])
    return left


@compiled()
def follow(
    tables: Tables,
    first: IntArray,
    to: npt.NDArray[np.int32],
    cost: IntArray,
    ahead: IntArray,
    path: IntArray,
) -> int:
    """Follow the best path of a sweep, note its (shot, slot) pairs, and give its length.

    Parameters
    ----------
    path : (T + n, 2) filled here; a path that is longer is cut off
    """
    n = len(first) - 1
    slots = len(ahead) - 1
    a: Any = n
    s: Any = 0
    t, fed, length = 0, 0, 0
    while length < len(path):
        best: Any = NEVER
        if a < n and (fed == 1 or tables.can_skip_meal[a, t]):
            best = -tables.end_cost[a, t]
        to_shot, start, to_fed = -1, 0, fed
        to_state: Any = 0
        for b in range(n):
            k = tables.kind[a, b]
            state = first[b] if a == n else np.int64(to[s, b])
            toll = tables.near[n, b] if a == n else cost[s, b]
            then = min(t + tables.lag[a, b], slots)
            value = ahead[then, fed, k, state] - toll
            if value > best:
                best, to_shot, start, to_fed, to_state = value, b, then, fed, state
            if fed == 0 and t <= tables.eat_by[a]:
                then = min(max(t + tables.lag_fed[a, b], tables.fed_from[a, b]), slots)
                value = ahead[then, 1, k, state] - toll - tables.after_meal_cost[b]
                if value > best:
                    best, to_shot, start, to_fed, to_state = value, b, then, 1, state
        if to_shot < 0 or best < LOST:
            break
        k = tables.kind[a, to_shot]
        a, s, t, fed = to_shot, to_state, start, to_fed
        # The value stands from the slot where it is earned back to every earlier one.
        while ahead[t + 1, fed, k, s] == ahead[start, fed, k, s]:
            t += 1
        path[length, 0] = a
        path[length, 1] = t
        length += 1
    return length
