"""Labels: beginnings of orders, and how they are extended by one more shot (compiled).

A label says which shots are made, the last of them, its start, whether the meal is taken, its state
of the bound, what it earns, and what each match's drift costs so far at each reference of the node.
It goes when it and the bound of its rest (the completion bound) cannot beat the incumbent, or when
another with the same shots and the same last one is no later and worth no less (`dominance`).
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.bound.dominance import (
    BELOW,
    BEST,
    BOUND,
    COUNT,
    FED,
    FLOOR,
    LAST,
    MADE,
    MORE,
    PARENT,
    SLOT,
    STATE,
    TOP_LABEL,
    TOP_SHOT,
    TOP_SLOT,
    VALUE,
    WORD,
    Fresh,
    Labels,
    Points,
    index,
    plain,
    settle_row,
)
from sunsched.solver.instance.tables import LOST, NEVER, SCALE, Tables
from sunsched.solver.machine.function import compiled


class Suns(NamedTuple):
    """What labels need to know of the references of a node; G matches, n shots, R references.

    `low` and `high` are (G,) intervals, `place` is (G+1,) where each begins in a label's drifts;
    `drift` (n, T, R), `match` (n,) and `prices` (n, R) are those of the problem and the node.
    """

    low: IntArray
    high: IntArray
    place: IntArray
    drift: Points
    match: IntArray
    prices: IntArray


class Frame(NamedTuple):
    """What labels are extended with: the day, the node, and the bound of the rest.

    `gain` is (K, n, T) what starts earn, less what the picks of each alone are charged; `to_make`
    (n,) what a label's bound still gains for each shot left: its price, less its pick. `first`,
    `to`, `alive`, `ahead` and `rest` are those of `Memory`, `Node` and `Sweep`. `picks_alone` says
    whether each shot of a match picks a reference of its own.
    """

    tables: Tables
    gain: IntArray
    prices: IntArray
    to_make: IntArray
    suns: Suns
    first: IntArray
    to: Points
    alive: BoolArray
    picks_alone: bool
    ahead: IntArray
    rest: IntArray


class Step(NamedTuple):
    """One label extended by one shot, before or after the meal, from its first slot on.

    `value` is what the label earns less the changeover, `left` what all shots it has not made may
    still be charged; `charged` and `paid` are the least costs of drift so far, with prices and
    without. `group` is the shot's match, −1 for none.
    """

    label: int
    shot: int
    group: int
    state: Any  # an int in compiled code
    kind: int
    fed: int
    slot: int
    value: int
    left: int
    charged: int
    paid: int


@compiled()
def extend(frame: Frame, layer: Labels, at: int, fresh: Fresh) -> int:
    """Extend labels by every shot left, from label `at` on, until all are done or there is no room.

    Gives the first label that is not extended; what comes of the others stands in `fresh`.
    """
    tables, match, old = frame.tables, frame.suns.match, layer.columns
    _, n, slots = frame.gain.shape
    made = np.zeros(n, dtype=np.bool_)
    picked = np.zeros(frame.suns.prices.shape[1], dtype=np.int64)
    pays = np.zeros(len(frame.suns.low), dtype=np.int64)
    index(fresh, frame.picks_alone)
    for i in range(at, len(old)):
        if fresh.tally[COUNT] + 2 * n * slots > len(fresh.chain):
            return i
        a, t, fed = old[i, LAST], old[i, SLOT], old[i, FED]
        left = unpack(old, i, frame.to_make, made)
        charged = layer.charged[i].sum()
        paid = least_drifts(layer.drifts, i, frame.suns.place, pays)
        for b in range(n):
            if made[b]:
                continue
            value = old[i, VALUE] - cost_of(tables.arc_cost, tables.far, made, a, b)
            state = frame.first[b] if a == n else np.int64(frame.to[old[i, STATE], b])
            if value < LOST or state == frame.first[n]:
                continue
            group: Any = match[b]
            if group >= 0:
                add_prices(frame.suns, made, b, picked)
            kind = tables.kind[a, b]
            then = t + tables.lag[a, b]
            # Most steps end before their first start.
            least = fresh.tally[BEST] + charged - left
            if value + frame.ahead[min(then, slots), fed, kind, state] > least:
                step = Step(i, b, group, state, kind, fed, then, value, left, charged, paid)
                start_each(frame, layer, fresh, step, picked, pays)
            if fed == 0 and t <= tables.eat_by[a]:
                then = max(t + tables.lag_fed[a, b], tables.fed_from[a, b])
                value -= tables.after_meal_cost[b]
                least = fresh.tally[BEST] + charged - left
                if value + frame.ahead[min(then, slots), 1, kind, state] > least:
                    step = Step(i, b, group, state, kind, 1, then, value, left, charged, paid)
                    start_each(frame, layer, fresh, step, picked, pays)
    return len(old)


@plain
def start_each(
    frame: Frame, layer: Labels, fresh: Fresh, step: Step, picked: IntArray, pays: IntArray
) -> None:
    """Start a step's shot in each slot from its first on, while that can beat the best plan.

    Parameters
    ----------
    picked : (R,) prices of the references of the shot's match, added up over what is made and it
    pays : (G,) the least drift of each match so far
    """
    b, group, tally, suns = step.shot, step.group, fresh.tally, frame.suns
    gain = frame.tables.gain[step.kind, b]
    earned = frame.gain[step.kind, b]
    most = step.value - step.charged + step.left
    record = LOST
    for u in range(step.slot, len(gain)):
        if most + frame.ahead[u, step.fed, step.kind, step.state] <= tally[BEST]:
            break
        if not frame.alive[u, step.fed, step.state] or gain[u] <= record:
            continue
        rest = frame.rest[u, step.fed, step.state]
        if most + earned[u] - frame.prices[b] + rest <= tally[BEST]:
            continue
        charged, paid, row = step.charged, step.paid, tally[COUNT]
        if group < 0:
            record = gain[u]  # no later start of this label can do more with less
        else:
            least, lowest = add_drifts(suns, layer.drifts, step, u, picked, fresh.labels, row)
            charged += least - layer.charged[step.label, group]
            paid += lowest - pays[group]
        worth = step.value + gain[u]
        if step.fed or frame.tables.can_skip_meal[b, u]:
            offer(tally, worth - frame.tables.end_cost[b, u] - paid * SCALE, step.label, b, u)
        bound = worth - charged + rest + step.left - frame.to_make[b]
        if bound <= tally[BEST]:
            continue
        if bound < tally[FLOOR]:
            tally[BELOW] = max(tally[BELOW], bound)
            continue
        write(layer, fresh.labels, suns.place, step, u, worth, bound, row)
        if group >= 0:
            fresh.labels.charged[row, group] += charged - step.charged
        settle_row(fresh, suns.place, frame.picks_alone)


@plain
def unpack(columns: IntArray, i: int, to_make: IntArray, made: BoolArray) -> int:
    """Mark, in place, the shots that a label has made; add up what those left may be charged."""
    left = 0
    for b in range(len(made)):
        word = columns[i, MADE] >> b if b < WORD else columns[i, MORE] >> (b - WORD)
        made[b] = word & 1
        if not made[b]:
            left += to_make[b]
    return left


@plain
def cost_of(arc_cost: IntArray, far: IntArray, made: BoolArray, a: int, b: int) -> int:
    """Give what going from shot a to b costs: the changeover, and the pairs with what is made."""
    cost = arc_cost[a, b]
    for x in range(len(made)):
        if made[x]:
            cost += far[x, b]
    return int(cost)


@plain
def least_drifts(drifts: Points, i: int, place: IntArray, pays: IntArray) -> int:
    """Fill what the drift of each match of a label costs at its best reference; give the sum."""
    total = 0
    for g in range(len(pays)):
        pays[g] = drifts[i, place[g]]
        for w in range(place[g], place[g + 1]):
            pays[g] = min(pays[g], drifts[i, w])
        total += pays[g]
    return total


@plain
def add_prices(suns: Suns, made: BoolArray, b: int, picked: IntArray) -> None:
    """Fill the prices of each reference of a shot's match, over the shot and those made."""
    g = suns.match[b]
    for r in range(suns.low[g], suns.high[g]):
        picked[r] = suns.prices[b, r]
    for x in range(len(made)):
        if made[x] and suns.match[x] == g:
            for r in range(suns.low[g], suns.high[g]):
                picked[r] += suns.prices[x, r]


@plain
def add_drifts(
    suns: Suns,
    before: Points,
    step: Step,
    u: int,
    picked: IntArray,
    into: Labels,
    row: int,
) -> tuple[int, int]:
    """Fill a new label's drifts of the match of a step's shot, which starts in slot u.

    Gives the least of drift and price over the references, scaled, and the least drift in points.
    """
    g = step.group
    least, lowest = -NEVER, -NEVER
    for r in range(suns.low[g], suns.high[g]):
        w = suns.place[g] + r - suns.low[g]
        drift = before[step.label, w] + suns.drift[step.shot, u, r]
        into.drifts[row, w] = drift
        lowest = min(lowest, drift)
        least = min(least, drift * SCALE + picked[r])
    return least, lowest


@plain
def offer(tally: IntArray, value: int, label: int, b: int, u: int) -> None:
    """Keep a complete order if it beats the best one."""
    if value > tally[BEST]:
        tally[BEST] = value
        tally[TOP_LABEL], tally[TOP_SHOT], tally[TOP_SLOT] = label, b, u


@plain
def write(
    layer: Labels,
    into: Labels,
    place: IntArray,
    step: Step,
    u: int,
    worth: int,
    bound: int,
    row: int,
) -> None:
    """Write the label that comes of a step, but for what its shot's own match costs."""
    old, new, i, b = layer.columns, into.columns, step.label, step.shot
    new[row, MADE] = old[i, MADE] | (1 << b if b < WORD else 0)
    new[row, MORE] = old[i, MORE] | (1 << (b - WORD) if b >= WORD else 0)
    new[row, LAST] = b
    new[row, SLOT] = u
    new[row, FED] = step.fed
    new[row, VALUE] = worth
    new[row, BOUND] = bound
    new[row, PARENT] = i
    new[row, STATE] = step.state
    for g in range(len(place) - 1):
        into.charged[row, g] = layer.charged[i, g]
        if g != step.group:
            for w in range(place[g], place[g + 1]):
                into.drifts[row, w] = layer.drifts[i, w]
