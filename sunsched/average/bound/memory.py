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
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray


class Memory(NamedTuple):
    """M states over n shots; the last one is that in which the rest of the day begins.

    Changeovers to one state that have one law and one earliest beginning are worth the same: they
    share a pair.

    Attributes
    ----------
    shot : (M,) shot built last, n for none
    pair : (M, n) pair of beginning a shot, −1 where it is remembered
    cost : (M, n) points for beginning it: move, rig, and tight before wide as far as remembered
    pair_state, pair_law : (P,) state after it, and law of the changeover
    pair_begin : (P, O) first slot in which it can begin, by the opening
    """

    shot: IntArray
    pair: IntArray
    cost: FloatArray
    pair_state: IntArray
    pair_law: IntArray
    pair_begin: IntArray


def make_memory(odds: Odds, sets: tuple[frozenset[int], ...]) -> Memory:
    """List the states that can be reached.

    Parameters
    ----------
    sets : for each shot those that are remembered once it is begun
    """
    n = odds.build_law.shape[1]
    start = (n, frozenset[int]())
    numbers = {start: 0}
    todo, after = [start], []
    for at, remembered in todo:
        known = remembered if at == n else remembered | {at}
        steps: list[tuple[int, int, float]] = []
        for shot in range(n):
            if shot in known:
                continue
            state = (shot, known & sets[shot])
            if state not in numbers:
                numbers[state] = len(todo)
                todo.append(state)
            cost = odds.arc_cost[at, shot] + sum(odds.pair_cost[x, shot] for x in known)
            steps.append((shot, numbers[state], float(cost)))
        after.append(steps)
    states = len(todo)
    # The state of the beginning is the last one.
    pairs: dict[tuple[int, int, tuple[int, ...]], int] = {}
    pair = np.full((states, n), -1, dtype=np.int64)
    cost = np.zeros((states, n))
    for number, (place, _) in enumerate(todo):
        row = states - 1 if number == 0 else number - 1
        for shot, to, points in after[number]:
            begin = tuple(odds.begin_from[:, place, shot].tolist())
            key = (to - 1, int(odds.build_law[place, shot]), begin)
            pair[row, shot] = pairs.setdefault(key, len(pairs))
            cost[row, shot] = points
    openings = odds.begin_from.shape[0]
    return Memory(
        shot=np.array([at for at, _ in (*todo[1:], start)], dtype=np.int64),
        pair=pair,
        cost=cost,
        pair_state=np.array([to for to, _, _ in pairs], dtype=np.int64),
        pair_law=np.array([law for _, law, _ in pairs], dtype=np.int64),
        pair_begin=np.array([b for _, _, b in pairs], dtype=np.int64).reshape(-1, openings),
    )
