"""The proof: a bound for the day as a whole, and for parts of it where matches want a common sun.

While a match's reference sun may stand anywhere, a start is charged the least its drift can cost,
so the bound of the whole stays a bound. A part of the day's plans is given by an interval of
references for each match. Its bound falls as prices get better, as the memory grows and as its
intervals are trimmed and halved; the bound of the day is that of its worst open part.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, replace

import numpy as np

from sunsched.order.beam import Beam, search_labels
from sunsched.order.bound import Sweep, make_sweep, priced, struck_out, swept_value
from sunsched.order.effort import Effort
from sunsched.order.fit import IntArray
from sunsched.order.incumbent import Incumbent
from sunsched.order.memory import Shots, carried_over, make_memory, widened
from sunsched.order.part import Charged, Part, charged, picks
from sunsched.order.tables import LOST, SCALE

FIRST_STEPS = 300  # subgradient steps for a day of which nothing is known
NEAR_STEPS = 60  # for one like another that is known
WHOLE_STEPS = 60  # in a later round of the day as a whole
FRESH_TURNS = 4  # rounds of the proof that begin with a search from nothing
SEARCH_TURNS = 10  # later, how many rounds until the next search from the best plan
SEARCH_ROUNDS = 500  # of such a search
FIRST_SEED = 11  # of its random numbers
STEPS = 15  # in a round of a part
SOLVED_STEPS = 3  # in one whose best order a beam has found already
LENGTH = 0.3  # of the first step in a part
SHORT_LENGTH = 0.02  # and at least, for the day as a whole, which goes on where it was
WHOLE_WORTH = 0.03  # the share of the gap that a round must take off, or the day is halved
WORTH = 0.1  # the same for a part
FREE = 0.2  # the share of the gap that prices of suns must be worth to be kept in a half
NEAR = 0.15  # of the best plan's value: a gap above which a beam finds nothing
LABEL_STEPS = 30  # what extending a label by one shot takes, in steps of a sweep
ROOM = 1_000  # labels in a layer of a beam
WHOLE_ROOM = 1_000  # in one whose labels know the drift at every reference
LARGEST_SET = 9  # shots that a state can remember: its states double with each
CELLS = 40_000_000  # slots times states of a memory: with more it would not fit in a gigabyte


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where a proof starts: prices and what its states remember, from another day like it."""

    prices: IntArray
    sun_prices: IntArray
    sets: tuple[Shots, ...]


def first_start(best: Incumbent) -> Start:
    """Give a start for a day of which nothing is known yet."""
    gain = best.tables.gain.max(axis=0)
    prices = np.maximum(0, gain.max(axis=1)) * 4 // 5
    for shot in np.flatnonzero(best.problem.must):
        starts = gain[shot, gain[shot] > LOST]
        # Its best start would leave it nothing to lose by being left out, and the search at a kink.
        prices[shot] = np.median(starts) if len(starts) else 0
    n, _, suns = best.problem.drift.shape
    return Start(
        prices=prices,
        sun_prices=np.zeros((n, suns), dtype=np.int64),
        sets=((),) * n,
    )


def prove(
    best: Incumbent, start: Start, effort: Effort, steps: int, fresh_turns: int = FRESH_TURNS
) -> Start:
    """Lower the bound of `best`, and find better plans on the way, until they meet.

    Parameters
    ----------
    start : where to start
    effort : stops the search; the bound so far stands in `best`
    steps : subgradient steps for the day as a whole
    fresh_turns : rounds that begin with a search from nothing; 0 for a day like one that is known

    Returns
    -------
    start : for a day like this one
    """
    problem = best.problem
    groups = int(problem.match.max()) + 1
    memory = make_memory(best.tables, start.sets)
    whole = Part(
        low=(0,) * groups,
        high=(problem.drift.shape[2],) * groups,
        bound=best.bound,
        reached=best.bound,
        prices=start.prices,
        sun_prices=start.sun_prices,
        memory=memory,
        alive=np.ones((problem.slots, 2, memory.states), dtype=np.bool_),
        length=1.0,
        rounds=0,
        depth=0,
        is_solved=False,
        room=ROOM,
    )
    open_parts = [(-whole.bound, 0, whole)]
    count, turn, learnt = 0, 0, start
    while open_parts and -open_parts[0][0] > best.value:
        best.bound = min(best.bound, -open_parts[0][0])
        if turn < fresh_turns or (turn and turn % SEARCH_TURNS == 0):
            # A better plan strikes out more than any price, so some of the time goes there.
            known = best.nothing if turn < fresh_turns else best.found
            best.search(SEARCH_ROUNDS, FIRST_SEED + turn, known, effort.spend)
        turn += 1
        part = open_parts[0][2]
        pieces = _worked_on(part, best, effort, steps if part.rounds == 0 else _steps(part))
        if len(open_parts) == len(pieces) == 1:
            learnt = _learnt(pieces[0])
        heapq.heappop(open_parts)
        for piece in pieces:
            count += 1
            heapq.heappush(open_parts, (-piece.bound, count, piece))
    best.bound = best.value
    return learnt


def _steps(part: Part) -> int:
    if part.is_solved:
        return SOLVED_STEPS
    return STEPS if part.depth else WHOLE_STEPS


def _learnt(part: Part) -> Start:
    return Start(prices=part.prices, sun_prices=part.sun_prices, sets=part.memory.sets)


def _worked_on(part: Part, best: Incumbent, effort: Effort, steps: int) -> list[Part]:
    """Bring a part's bound down: give it back, or what is left of it, in one piece or two."""
    problem, tables = best.problem, best.tables
    swept = make_sweep(tables.gain, part.memory)
    work = int(np.count_nonzero(part.alive)) * problem.shots

    def target_of(path: IntArray, bound: int) -> int:
        if part.depth == 0:
            best.bound = min(best.bound, max(bound, best.value))
        effort.spend(work)
        return best.offer_path(path)

    start = part.reached
    part, path = priced(tables, problem, part, swept, steps, target_of)
    if part.bound <= best.value:
        return []
    earned = charged(tables, problem, part)
    swept_value(tables, part, earned, swept)
    alive = struck_out(tables, part, earned, swept, best.value)
    length = LENGTH if part.depth else min(1.0, max(SHORT_LENGTH, 4 * part.length))
    part = replace(part, alive=alive, length=length, rounds=part.rounds + 1)
    trimmed = _trimmed(part, best, effort, swept)
    if trimmed is not part:
        return [trimmed]
    is_exact = False
    is_near = part.bound - best.value < NEAR * abs(best.value)
    if is_near or part.room > ROOM:
        part, beam = _beamed(part, best, earned, swept)
        effort.spend(work + LABEL_STEPS * beam.labels * problem.shots)
        if part.bound <= best.value:
            return []
        is_exact = beam.is_exact
        part = replace(part, is_solved=is_exact)
        if is_exact and beam.path is not None:
            path = beam.path
    worth = WORTH if part.depth else WHOLE_WORTH
    is_slow = start - part.reached < worth * (part.reached - best.value)
    group = _worst_match(part, best, path)
    if not is_exact and not (is_slow and group is not None):
        sets = widened(tables, part.memory, path, LARGEST_SET)
        states = sum(1 << len(one) for one in sets)
        if sets != part.memory.sets and states * problem.slots <= CELLS:
            wider = make_memory(tables, sets)
            alive = carried_over(part.memory, wider, alive)
            return [replace(part, memory=wider, alive=alive)]
    if group is None:
        widths = [high - low for low, high in zip(part.low, part.high, strict=True)]
        if max(widths, default=1) == 1:
            return [replace(part, room=4 * part.room)]
        group = int(np.argmax(widths))
    halves = _halves(part, best, effort, swept, group, path)
    return [half for half in halves if half.bound > best.value]


def _trimmed(part: Part, best: Incumbent, effort: Effort, swept: Sweep) -> Part:
    """Cut off the ends of each match's interval where no better plan has its reference."""
    for group in range(len(part.low)):
        while part.high[group] - part.low[group] >= 4:
            low, high = part.low[group], part.high[group]
            quarter = (high - low) // 4
            left = _between(part, group, low, low + quarter)
            right = _between(part, group, high - quarter, high)
            if _bound_of(left, best, effort, swept) <= best.value:
                part = _between(part, group, low + quarter, high)
            elif _bound_of(right, best, effort, swept) <= best.value:
                part = _between(part, group, low, high - quarter)
            else:
                break
    return part


def _worst_match(part: Part, best: Incumbent, path: IntArray) -> int | None:
    """Give the match that a path pays for least, next to what one reference costs; None if none."""
    drift, match = best.problem.drift, best.problem.match
    short = np.zeros(len(part.low), dtype=np.int64)
    for group, (low, high) in enumerate(zip(part.low, part.high, strict=True)):
        on_path = path[match[path[:, 0]] == group]
        prices = part.sun_prices[:, low:high]
        rows = drift[on_path[:, 0], on_path[:, 1], low:high].astype(np.int64) * SCALE
        paid = (rows + prices[on_path[:, 0]]).min(axis=1).sum()
        left = np.setdiff1d(np.flatnonzero(match == group), on_path[:, 0])
        paid += prices[left].min(axis=1).sum()
        if high - low > 1:
            short[group] = rows.sum(axis=0).min() - paid
    return int(np.argmax(short)) if (short > 0).any() else None


def _halves(
    part: Part, best: Incumbent, effort: Effort, swept: Sweep, group: int, path: IntArray
) -> list[Part]:
    """Cut the interval of a match in two, between the picks on a path."""
    low, high = part.low[group], part.high[group]
    picked = picks(best.problem, part, path)[best.problem.match[path[:, 0]] == group]
    middle = (low + high) // 2
    if len(picked) and picked.min() < picked.max():
        middle = int(picked.min() + picked.max() + 1) // 2
    halves = []
    for start, end in ((low, middle), (middle, high)):
        half = replace(_between(part, group, start, end), depth=part.depth + 1)
        # The prices that made the picks agree on the whole may be worse than none on a half.
        unpriced = replace(half, sun_prices=np.zeros_like(part.sun_prices))
        unpriced = replace(unpriced, bound=_bound_of(unpriced, best, effort, swept))
        half = replace(half, bound=_bound_of(half, best, effort, swept))
        if unpriced.bound <= min(part.bound, half.bound + FREE * (part.bound - best.value)):
            half = unpriced
        halves.append(replace(half, reached=half.bound, bound=min(part.bound, half.bound)))
    return halves


def _bound_of(part: Part, best: Incumbent, effort: Effort, swept: Sweep) -> int:
    effort.spend(int(np.count_nonzero(part.alive)) * best.problem.shots)
    return swept_value(best.tables, part, charged(best.tables, best.problem, part), swept)


def _beamed(part: Part, best: Incumbent, earned: Charged, swept: Sweep) -> tuple[Part, Beam]:
    """Look for better plans with a beam of labels; tell whether it left nothing out.

    Labels know all that was made, more than their state remembers: a start is open to them when any
    state may make it.
    """
    memory = part.memory
    is_open = np.logical_or.reduceat(part.alive, memory.first[:-1], axis=2)
    everything = replace(part, alive=np.ascontiguousarray(is_open[:, :, memory.owner]))
    swept_value(best.tables, everything, earned, swept)
    beam = search_labels(
        best.tables, best.problem, part, earned, swept, is_open, best.value, is_whole=False
    )
    labels = beam.labels
    if beam.path is not None:
        best.offer_path(beam.path)
    part = replace(part, bound=min(part.bound, beam.bound))
    if beam.is_exact and part.low and part.bound > best.value:
        whole = search_labels(
            best.tables,
            best.problem,
            replace(part, room=WHOLE_ROOM),
            earned,
            swept,
            is_open,
            best.value,
            is_whole=True,
        )
        labels += whole.labels
        if whole.path is not None:
            best.offer_path(whole.path)
        part = replace(part, bound=min(part.bound, whole.bound))
    return part, replace(beam, labels=labels)


def _between(part: Part, group: int, low: int, high: int) -> Part:
    """Give the part in which a match has its reference from `low` to below `high`."""
    return replace(
        part,
        low=(*part.low[:group], low, *part.low[group + 1 :]),
        high=(*part.high[:group], high, *part.high[group + 1 :]),
    )
