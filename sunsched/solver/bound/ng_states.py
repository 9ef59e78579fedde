"""The states of the relaxation: which shots made before must not be made again (ng-memory).

A path through the day that remembers nothing makes good shots twice; one that remembers everything
is an order. Each shot has an ng-set, a few others that are remembered while it is the last one
made, and these sets grow where paths go in circles (ng-routes: Baldacci, Mingozzi and Roberti,
Operations Research 59(5), 2011, and INFORMS J. Computing 24(3), 2012; growing them from little is
decremental state space relaxation: Righini and Salani, Networks 51(3), 2008).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.instance.tables import LOST, Tables

Shots = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """The states of a bound: a last shot with those of its set that were made before it.

    Attributes
    ----------
    sets : for each shot, the others it can remember, in order
    first : (n+1,) the first state of each shot, in which nothing is remembered; first[n] is the
        number M of states
    choices : (n+1,) where what each shot may remember begins among all such choices, one bit a
        shot of its set, F in all
    state_of : (F,) the state of each choice, M where no better plan has it
    owner : (M,) the shot of each state
    remembered : (M, n) whether it remembers a shot
    to : (M, n) the state that making a shot next leads to, M where it must not be made
    cost : (M, n) points of going there: move, rig change, and the pairs that are remembered
    """

    sets: tuple[Shots, ...]
    first: IntArray
    choices: IntArray
    state_of: IntArray
    owner: IntArray
    remembered: BoolArray
    to: npt.NDArray[np.int32]
    cost: IntArray

    @property
    def states(self) -> int:
        """Number of states, M."""
        return int(self.first[-1])


def make_memory(tables: Tables, sets: tuple[Shots, ...]) -> Memory:
    """Number the states of these sets, and tabulate where each next shot leads."""
    n = len(sets)
    first = np.concatenate(([0], np.cumsum([1 << len(one) for one in sets]))).astype(np.int64)
    owner = np.repeat(np.arange(n), np.diff(first))
    chosen = np.arange(first[-1]) - first[owner]
    remembered = np.zeros((len(owner), n), dtype=np.bool_)
    for place, (shots, rows) in enumerate(_by_place(sets, owner)):
        remembered[rows, shots] = (chosen[rows] >> place) & 1
    is_made = remembered.astype(np.int64)
    is_made[np.arange(len(owner)), owner] = 1
    is_forbidden = tables.far > -LOST
    cost = tables.arc_cost[:n][owner] + is_made @ np.where(is_forbidden, 0, tables.far)
    to = np.empty((len(owner), n), dtype=np.int32)
    closed = (is_made == 1) | (is_made @ is_forbidden.astype(np.int64) > 0)
    for b, one in enumerate(sets):
        bits = np.zeros(len(owner), dtype=np.int64)
        for place, shot in enumerate(one):
            bits |= is_made[:, shot] << place
        to[:, b] = np.where(closed[:, b], first[-1], first[b] + bits)
    return Memory(
        sets=sets,
        first=first,
        choices=first,
        state_of=np.arange(first[-1]),
        owner=owner,
        remembered=remembered,
        to=to,
        cost=cost,
    )


def without_dead(memory: Memory, alive: BoolArray) -> tuple[Memory, BoolArray]:
    """Leave out the states of which no cell is alive; a shot's first one stays.

    Parameters
    ----------
    alive : (T, 2, M) cells that a better plan can pass; given back for the states that stay
    """
    is_live: BoolArray = np.any(alive, axis=(0, 1))
    is_live[memory.first[:-1]] = True
    live = np.flatnonzero(is_live)
    now = np.full(memory.states + 1, len(live), dtype=np.int64)
    now[live] = np.arange(len(live))
    owner = memory.owner[live]
    smaller = Memory(
        sets=memory.sets,
        first=np.searchsorted(owner, np.arange(len(memory.sets) + 1)).astype(np.int64),
        choices=memory.choices,
        state_of=now[memory.state_of],
        owner=owner,
        remembered=memory.remembered[live],
        to=now[memory.to[live]].astype(np.int32),
        cost=memory.cost[live],
    )
    return smaller, np.ascontiguousarray(alive[:, :, live])


def widened(
    tables: Tables, memory: Memory, paths: Sequence[IntArray], largest: int
) -> tuple[Shots, ...]:
    """Give sets that remember what paths forgot: when they make a shot again, or a pair that costs.

    What is forgotten soonest comes first, then what most paths forget, until there are about twice
    as many states.

    Parameters
    ----------
    paths : of near-best value, each (length, 2) shots and slots
    largest : how many shots a set may hold
    """
    lapses = Counter(one for path in paths for one in _forgotten(tables, path[:, 0].tolist()))
    sets = [set(one) for one in memory.sets]
    states = known = len(memory.state_of)
    for shot, between in sorted(lapses, key=lambda one: (len(one[1]), -lapses[one], one)):
        for last in between:
            if shot in sets[last] or shot == last:
                continue
            if len(sets[last]) < largest:
                states += 1 << len(sets[last])
                sets[last].add(shot)
        if states > 2 * known:
            break
    return tuple(tuple(sorted(one)) for one in sets)


def _forgotten(tables: Tables, shots: Sequence[int]) -> set[tuple[int, Shots]]:
    """Give the shots that a path forgets at a cost, each with those made until it matters."""
    forgotten = set()
    for place, shot in enumerate(shots):
        for start in range(place - 1, -1, -1):
            before = shots[start]
            if before == shot or tables.far[before, shot] > 0:
                forgotten.add((before, tuple(shots[start + 1 : place])))
            if before == shot:
                break
    return forgotten


def carried_over(old: Memory, new: Memory, alive: BoolArray) -> BoolArray:
    """Tell which cells of a wider memory may still hold a better plan, from those of the old one.

    A path that a wider memory describes by what it remembers was described before by a part of
    that, since the old memory could forget on the way what the wider one keeps: so all parts count.

    Parameters
    ----------
    alive : (T, 2, M) cells of the old memory
    """
    choices = np.arange(len(old.state_of)) - np.repeat(old.choices[:-1], np.diff(old.choices))
    none = np.zeros((*alive.shape[:2], 1), dtype=np.bool_)
    spread: BoolArray = np.take(np.concatenate((alive, none), axis=2), old.state_of, axis=2)
    for place in range(max((len(one) for one in old.sets), default=0)):
        more = np.flatnonzero((choices >> place) & 1)
        spread[:, :, more] |= spread[:, :, more - (1 << place)]
    bits = np.zeros(new.states, dtype=np.int64)
    for place, (shots, rows) in enumerate(_by_place(old.sets, new.owner)):
        bits[rows] |= new.remembered[rows, shots].astype(np.int64) << place
    carried: BoolArray = np.ascontiguousarray(spread[:, :, old.choices[new.owner] + bits])
    return carried


def _by_place(sets: tuple[Shots, ...], owner: IntArray) -> Iterator[tuple[IntArray, IntArray]]:
    """Yield, for each place in the sets, the shots there and the states of which they are."""
    for place in range(max((len(one) for one in sets), default=0)):
        shots = np.array([one[place] if place < len(one) else -1 for one in sets])[owner]
        rows = np.flatnonzero(shots >= 0)
        yield shots[rows], rows
