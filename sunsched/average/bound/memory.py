"""What a crew that is bound to no order remembers: the states of the bound.

Every state is a place (the shot built last) and some of the shots begun before it: those that the
memories of all shots begun since hold (ng-routes: Baldacci, Mingozzi and Roberti, Operations
Research 59(5), 2011). A shot that is not remembered can be begun again, which keeps a bound a
bound.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.average.model.odds import Odds
from sunsched.light.fit import BoolArray, IntArray
from sunsched.sky.track import FloatArray


class Memory(NamedTuple):
    """M states over n shots; the last one is that in which the rest of the day begins.

    Changeovers to one shot that have one law and one earliest beginning are of one kind. Those of a
    kind that lead to one state are worth the same: they share a pair.

    Attributes
    ----------
    shot : (M,) shot built last, n for none; states of one shot stand next to each other
    state_from : (n+1,) states of shot b are those from state_from[b] to before state_from[b+1]
    pair : (n, M) pair of beginning a shot in a state, P where it must not be begun (again)
    cost : (n, M) points for beginning it: move, rig, and tight before wide as far as remembered
    pair_state, pair_kind : (P,) state after it, and kind of the changeover
    kind_shot, kind_law : (K,) shot and law of each kind of changeover
    kind_from : (K,) its first pair: it has one for each state of the shot, in their order
    kind_begin : (K, O) first slot in which it can begin, by the opening
    """

    shot: IntArray
    state_from: IntArray
    pair: IntArray
    cost: FloatArray
    pair_state: IntArray
    pair_kind: IntArray
    kind_shot: IntArray
    kind_law: IntArray
    kind_from: IntArray
    kind_begin: IntArray


def make_memory(odds: Odds, forbidden: BoolArray, sets: tuple[frozenset[int], ...]) -> Memory:
    """List the states that can be reached.

    Parameters
    ----------
    forbidden : (n, n) True where the first must not be begun before the second; that holds as far
        as the first is remembered
    sets : for each shot those that are remembered once it is begun
    """
    n, openings = odds.build_law.shape[1], odds.begin_from.shape[0]
    states = list_states(forbidden, sets)
    numbers = {state: number for number, state in enumerate(states)}
    shot = np.array([at for at, _ in states], dtype=np.int64)
    state_from = np.searchsorted(shot, np.arange(n + 1)).astype(np.int64)
    kinds: dict[tuple[int, int, tuple[int, ...]], int] = {}
    kind_of = np.zeros((n + 1, n), dtype=np.int64)
    for at in range(n + 1):
        for b in range(n):
            begin = tuple(odds.begin_from[:, at, b].tolist())
            key = (b, int(odds.build_law[at, b]), begin)
            kind_of[at, b] = kinds.setdefault(key, len(kinds))
    kind_shot = np.array([b for b, _, _ in kinds], dtype=np.int64)
    sizes = np.diff(state_from)[kind_shot] if len(kinds) else np.zeros(0, dtype=np.int64)
    kind_from = np.cumsum(sizes) - sizes
    pair = np.full((n, len(states)), sizes.sum(), dtype=np.int64)
    cost = np.zeros((n, len(states)))
    for number, (at, remembered) in enumerate(states):
        known = remembered if at == n else remembered | {at}
        for b in range(n):
            if not _may_begin(forbidden, known, b):
                continue
            to = numbers[b, known & sets[b]] - state_from[b]
            pair[b, number] = kind_from[kind_of[at, b]] + to
            cost[b, number] = odds.arc_cost[at, b] + sum(odds.pair_cost[x, b] for x in known)
    pair_kind = np.repeat(np.arange(len(kinds)), sizes)
    pair_state = np.arange(len(pair_kind)) + (state_from[kind_shot] - kind_from)[pair_kind]
    return Memory(
        shot=shot,
        state_from=state_from,
        pair=pair,
        cost=cost,
        pair_state=pair_state,
        pair_kind=pair_kind,
        kind_shot=kind_shot,
        kind_law=np.array([law for _, law, _ in kinds], dtype=np.int64),
        kind_from=kind_from,
        kind_begin=np.array([b for _, _, b in kinds], dtype=np.int64).reshape(-1, openings),
    )


def _may_begin(forbidden: BoolArray, known: frozenset[int], b: int) -> bool:
    return b not in known and not any(forbidden[x, b] for x in known)


def list_states(
    forbidden: BoolArray, sets: tuple[frozenset[int], ...]
) -> list[tuple[int, frozenset[int]]]:
    """List shot and memory of each state that can be reached, by the shot.

    The last is that of the beginning.
    """
    n = len(sets)
    start = (n, frozenset[int]())
    todo, met = [start], {start}
    for at, remembered in todo:
        known = remembered if at == n else remembered | {at}
        for b in range(n):
            state = (b, known & sets[b])
            if state not in met and _may_begin(forbidden, known, b):
                met.add(state)
                todo.append(state)
    return sorted(todo, key=lambda one: one[0])
