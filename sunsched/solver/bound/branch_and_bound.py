"""The proof: branch and bound over the intervals of reference suns, best bound first.

While a match's reference may stand anywhere in its interval, a start is charged the least that its
drift can cost, so the bound of a node stays a bound. It falls as multipliers get better, as the
memory grows and as intervals are trimmed and halved; the bound of the day is that of its worst open
node. (Land and Doig, Econometrica 28(3), 1960.)
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain, count

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.bound.ng_states import Shots, make_memory
from sunsched.solver.bound.node import Node
from sunsched.solver.bound.tighten import tightened
from sunsched.solver.certificate.record import Note, Remembered
from sunsched.solver.instance.tables import LOST
from sunsched.solver.search.budget import Beside, Effort
from sunsched.solver.search.incumbent import Incumbent
from sunsched.solver.search.recreate import rounds_of

FIRST_STEPS = 300  # subgradient steps for a day of which nothing is known
NEAR_STEPS = 60  # for a day like another whose answer is known
WHOLE_STEPS = 60  # the same in a later round of the day as a whole; fewer where it has many cells
WHOLE_CELLS = 8_000_000  # cells alive times steps, at most, in such a round
MOST = 8  # nodes in a turn, at most: all of a turn wait for the slower lane
TOGETHER = 40_000  # cells of all nodes in a turn, at most
FRESH_TURNS = 4  # searches from nothing beside the proof
SEARCH_TURNS = 10  # later, how many rounds until the next search from the best plan
FIRST_SEED = 11  # the seed of its random numbers
ROOM = 1_000  # labels in a layer of a beam, to begin with
EARNS = 0.85  # prices of suns are kept if with them the gap is below this share of that without
TURN_ROUNDS = 1000  # rounds of a search in one turn; a longer search lasts several turns
STEPS = 15  # subgradient steps in a round of a node
SOLVED_STEPS = 3  # the same where a beam has found the node's best order already

Work = Callable[[Sequence[Node]], tuple[list[Node], list[Node]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where a proof starts: prices and what its states remember, from another day like it.

    `prices` are λ less what making a shot has on top in the tables where it must be made, so that
    they mean the same where it need not be; those may be below zero. `are_suns_priced` is None
    where it is not known yet whether prices of suns earn anything.
    """

    prices: IntArray
    sun_prices: IntArray
    are_suns_priced: bool | None
    sets: tuple[Shots, ...]


def first_start(best: Incumbent) -> Start:
    """Give a start for a day of which nothing is known yet."""
    gain = best.tables.gain.max(axis=0)
    prices = np.maximum(0, gain.max(axis=1)) * 4 // 5
    for shot in np.flatnonzero(best.problem.must):
        starts = gain[shot, gain[shot] > LOST]
        # Priced at its best start, the shot would lose nothing by being left out, and the search
        # for prices would begin at a kink.
        prices[shot] = np.median(starts) if len(starts) else 0
    n, _, suns = best.problem.drift.shape
    return Start(
        prices=prices - best.on_top(),
        sun_prices=np.zeros((n, suns), dtype=np.int64),
        are_suns_priced=None,
        sets=((),) * n,
    )


def prove(
    best: Incumbent,
    start: Start,
    effort: Effort,
    steps: int,
    fresh_turns: int = FRESH_TURNS,
    roots: list[Note] | None = None,
) -> Start:
    """Lower the bound of `best`, and find better plans on the way, until they meet.

    Parameters
    ----------
    start : where to start
    effort : stops the search; the bound so far stands in `best`
    steps : subgradient steps for the day as a whole
    fresh_turns : searches from nothing beside it; 0 for a day like one that is known
    roots : where the certificate of the proof is put, one note; None for no certificate

    Returns
    -------
    start : for a day like this one
    """
    rounds = rounds_of(best.problem.shots)
    lasts = max(1, rounds // TURN_ROUNDS)
    whole = whole_day(best, start)
    if roots is not None:
        roots.append(_root(whole))
        whole = replace(whole, note=roots[0])
    open_nodes, tickets = [(-whole.bound, 0, whole)], count(1)
    turn, learnt = 0, start
    is_undecided = len(whole.low) > 0 and start.are_suns_priced is None
    lanes = (best, best.twin())
    with ThreadPoolExecutor(1) as pool:
        work = partial(_side_by_side, lanes=lanes, pool=pool, effort=effort, steps=steps)
        while open_nodes:
            seeds = _seeds(turn, fresh_turns * lasts)
            known = best.nothing if turn < fresh_turns * lasts else best.found
            # A better plan strikes out more than any price, so the other core looks for one.
            with best.searching(rounds, seeds, known, effort):
                for _ in range(lasts if seeds else 1):
                    best.bound = min(best.bound, -open_nodes[0][0])
                    nodes = _worst([one for _, _, one in heapq.nsmallest(MOST, open_nodes)])
                    if turn == 0 and is_undecided:
                        pieces = _both_ways(work, whole, best.value, roots)
                    else:
                        pieces = list(chain(*work(nodes)))
                    turn += 1
                    if len(open_nodes) == len(pieces) == 1:
                        learnt = _learnt(best, pieces[0])
                    for _ in nodes:
                        heapq.heappop(open_nodes)
                    for piece in pieces:
                        heapq.heappush(open_nodes, (-piece.bound, next(tickets), piece))
                    if not open_nodes or -open_nodes[0][0] <= best.value:
                        # When the threads see these, they end too.
                        open_nodes, best.bound = [], best.value
                        break
    return learnt


def whole_day(best: Incumbent, start: Start) -> Node:
    """Give all plans of the day as one node."""
    problem = best.problem
    groups = int(problem.match.max()) + 1
    memory = make_memory(best.tables, start.sets)
    # What comes from another day may be below zero here, or above what any start earns.
    dearest = best.tables.gain.max(axis=(0, 2)).clip(min=0)
    return Node(
        low=(0,) * groups,
        high=(problem.drift.shape[2],) * groups,
        bound=best.bound,
        reached=best.bound,
        prices=np.clip(start.prices + best.on_top(), 0, dearest),
        sun_prices=start.sun_prices,
        memory=memory,
        alive=np.ones((problem.slots, 2, memory.states), dtype=np.bool_),
        are_suns_priced=bool(start.are_suns_priced),
        length=1.0,
        rounds=0,
        depth=0,
        is_solved=False,
        room=ROOM,
        beam_left=0.0,
        tried_cells=0,
    )


def _worst(nodes: Sequence[Node]) -> Sequence[Node]:
    """Give the first of these nodes, one for each lane, and more as long as all have few cells."""
    cells = np.cumsum([np.count_nonzero(node.alive) for node in nodes])
    return nodes[: max(2, int(np.searchsorted(cells, TOGETHER)))]


def _root(whole: Node) -> Note:
    """Begin a certificate: all references, and what states remember from the start."""
    root = Note(low=whole.low, high=whole.high)
    root.steps.append(Remembered(sets=whole.memory.sets))
    return root


def _both_ways(work: Work, whole: Node, value: int, roots: list[Note] | None) -> list[Node]:
    """Work on the day as a whole with prices of suns here, without them there; keep one."""
    priced = replace(whole, are_suns_priced=True, note=None if roots is None else _root(whole))
    lots = work([priced, whole])
    way = _better(*lots, value)
    if roots is not None and priced.note is not None and way == 0:
        roots[0] = priced.note
    return lots[way]


def _better(priced: list[Node], plain: list[Node], value: int) -> int:
    """Choose between the day with prices of suns (0) and without (1), by what is left of it.

    Where few shots are left out, prices make a match agree. Where many are, paths that make some
    shots twice and others not at all agree as they are, and prices of suns only hold up the others.
    """
    if not priced or not plain:
        return int(bool(priced))
    gaps = [max(piece.reached for piece in pieces) - value for pieces in (priced, plain)]
    return int(gaps[0] >= EARNS * gaps[1])


def _side_by_side(
    nodes: Sequence[Node],
    lanes: tuple[Incumbent, Incumbent],
    pool: Executor,
    effort: Effort,
    steps: int,
) -> tuple[list[Node], list[Node]]:
    """Work on some nodes here and on others in a thread; give what is left of each lot.

    What one lane finds helps the other from the next turn on, whichever is faster, so that the same
    problem gives the same plan.
    """
    best, other = lanes
    other.found = best.found
    beside = Beside(effort)
    here, there = _halved(nodes)
    job = pool.submit(_all_tightened, there, other, beside.spend, steps)
    pieces = _all_tightened(here, best, effort.spend, steps)
    others = job.result()
    best.offer(other.found)
    effort.spend(beside.steps)
    return pieces, others


def _halved(nodes: Sequence[Node]) -> tuple[list[Node], list[Node]]:
    """Deal nodes to two lanes so that both have about as many cells."""
    lanes: tuple[list[Node], list[Node]] = ([], [])
    loads = [0, 0]
    for node in nodes:
        lane = int(loads[1] < loads[0])
        lanes[lane].append(node)
        loads[lane] += int(np.count_nonzero(node.alive))
    return lanes


def _all_tightened(
    nodes: Sequence[Node], best: Incumbent, spend: Callable[[int], None], steps: int
) -> list[Node]:
    pieces = []
    for node in nodes:
        pieces += tightened(node, best, spend, _steps(node, steps))
    return pieces


def _seeds(turn: int, fresh_turns: int) -> tuple[int, ...]:
    """Give the seed of the search beside a round of the proof; none where there is no search."""
    is_due = turn < fresh_turns or (turn > 0 and turn % SEARCH_TURNS == 0)
    return (FIRST_SEED + turn,) if is_due else ()


def _steps(node: Node, first: int) -> int:
    if node.rounds == 0:
        return first
    if node.is_solved:
        return SOLVED_STEPS
    if node.depth:
        return STEPS
    return min(WHOLE_STEPS, max(STEPS, WHOLE_CELLS // int(np.count_nonzero(node.alive))))


def _learnt(best: Incumbent, node: Node) -> Start:
    return Start(
        prices=node.prices - best.on_top(),
        sun_prices=node.sun_prices,
        are_suns_priced=node.are_suns_priced,
        sets=node.memory.sets,
    )
