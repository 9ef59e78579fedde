"""One node tightened: its bound brought down, or the node cut in two.

Subgradient steps, then reduced-cost fixing; ends of intervals are cut off where no better plan has
its reference; a label search closes the node or finds better plans. If all that earns too little,
states remember more, or the node is branched on: the interval of the match whose shots are charged
least is cut in two.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.bound.label_search import Beam, most_room, search_apart, search_together
from sunsched.solver.bound.lagrangian import Sweep, make_sweep, struck_out, subgradient, swept_value
from sunsched.solver.bound.ng_states import carried_over, make_memory, widened, without_dead
from sunsched.solver.bound.node import Charged, Node, charged
from sunsched.solver.certificate.record import Priced, Remembered, Searched
from sunsched.solver.instance.tables import SCALE
from sunsched.solver.search.incumbent import Incumbent

LENGTH = 0.3  # length of the first step in a node
SHORT_LENGTH = 0.02  # the least for the day as a whole, which goes on with the length that it had
WHOLE_WORTH = 0.06  # the share of the gap that a round of `MANY` cells must take off, or it halves
WORTH = 0.1  # the same for a node
MANY = 60_000  # cells alive; a round of fewer costs less and may take off less
ENOUGH = 50_000  # cells: the day as a whole is not halved before it has so many
NARROWEST = 4  # references: an interval of fewer is not trimmed
FREE = 0.2  # the share of the gap that prices of suns must be worth to be kept in a half
FEW = 4_000  # cells: a beam over fewer costs no more than a round of prices
AGAIN = 0.9  # share of the gap: a beam that promises to leave less is tried again
FEWER = 0.5  # share of the cells alive at the last beam: with fewer it is tried again
DRIFTS = 400_000  # figures in a layer of labels that know the drift at every reference
LARGEST_SET = 9  # shots that a state can remember: its states double with each
CELLS = 40_000_000  # slots, states and ways of building of a memory: more would take gigabytes


def tightened(node: Node, best: Incumbent, spend: Callable[[int], None], steps: int) -> list[Node]:
    """Bring a node's bound down: give it back, or what is left of it, as one node or two."""
    problem, tables = best.problem, best.tables
    swept = make_sweep(tables.gain, node)
    work = int(np.count_nonzero(node.alive)) * problem.shots

    def target_of(path: IntArray, bound: int) -> int:
        if node.depth == 0:
            best.bound = min(best.bound, max(bound, best.value))
        spend(work)
        return best.offer_path(path)

    start = node.reached
    node, paths = subgradient(tables, problem, node, swept, steps, target_of)
    if node.bound <= best.value:
        _note_prices(node, best)
        return []
    earned = charged(tables, problem, node)
    node = _struck(node, best, spend, earned)
    length = LENGTH if node.depth else min(1.0, max(SHORT_LENGTH, 4 * node.length))
    node = replace(node, length=length, rounds=node.rounds + 1)
    swept = make_sweep(tables.gain, node)
    trimmed = _trimmed(node, best, spend, swept)
    if trimmed is not node:
        return [trimmed]
    is_exact = False
    cells = int(np.count_nonzero(node.alive))
    gap = node.bound - best.value
    is_tried = _is_worth_a_beam(node, best, gap, cells)
    if is_tried:
        swept_value(tables, node, earned, swept)
        spend(work)
        node, beam = _beamed(node, best, spend, earned, swept)
        if node.bound <= best.value:
            return []
        is_exact = beam.is_exact
        share = max(0, node.bound - best.value) / max(1, node.reached - best.value)
        node = replace(node, is_solved=is_exact, beam_left=share, tried_cells=cells)
        if is_exact and beam.path is not None:
            paths = [beam.path]
    # Where few cells are struck out, states that remember more cost most: there it is better to
    # halve.
    worth = (WORTH if node.depth else WHOLE_WORTH) * cells / MANY
    is_slow = start - node.reached < worth * (node.reached - best.value)
    # Where no price holds the picks of a match together, its halves hardly differ from the whole.
    is_slow &= node.depth > 0 or (node.are_suns_priced and cells > ENOUGH)
    cut = _worst_cut(node, best, paths) if is_slow or is_exact else None
    if cut is None and not is_exact:
        sets = widened(tables, node.memory, paths, LARGEST_SET)
        states = sum(1 << len(one) for one in sets)
        if sets != node.memory.sets and states * tables.gain[:, 0].size <= CELLS:
            wider = make_memory(tables, sets)
            alive = carried_over(node.memory, wider, node.alive)
            wider, alive = without_dead(wider, alive)
            if node.note is not None:
                node.note.steps.append(Remembered(sets=sets))
            # Most cells that have just come alive are struck out at once: one sweep here makes all
            # later ones shorter.
            return [_struck(replace(node, memory=wider, alive=alive), best, spend, earned)]
    cut = cut or _worst_cut(node, best, paths) or _widest_cut(node)
    if cut is None:
        room = min(4 * node.room, most_room(problem.shots)) if is_tried else node.room
        return [replace(node, room=room, beam_left=0.0)]
    halves = _halves(node, best, spend, swept, *cut)
    return [half for half in halves if half.bound > best.value]


def _is_worth_a_beam(node: Node, best: Incumbent, gap: int, cells: int) -> bool:
    """Say whether a beam may do more now than when it was last tried."""
    promised = node.beam_left * (node.reached - best.value)
    has_changed = promised < AGAIN * gap or cells < FEWER * node.tried_cells
    # Without any plan labels alone can tell that there is none.
    return has_changed or cells < FEW or not best.is_plan


def _struck(node: Node, best: Incumbent, spend: Callable[[int], None], earned: Charged) -> Node:
    """Strike out the cells that no better plan passes, and forget the states that have none."""
    _note_prices(node, best)
    spend(2 * int(np.count_nonzero(node.alive)) * best.problem.shots)
    swept = make_sweep(best.tables.gain, node)
    bound = swept_value(best.tables, node, earned, swept)
    alive = struck_out(best.tables, node, earned, swept, best.value)
    memory, alive = without_dead(node.memory, alive)
    return replace(node, bound=min(node.bound, bound), memory=memory, alive=alive)


def _trimmed(node: Node, best: Incumbent, spend: Callable[[int], None], swept: Sweep) -> Node:
    """Cut off the ends of each match's interval where no better plan has its reference."""
    for group in range(len(node.low)):
        while node.high[group] - node.low[group] >= NARROWEST:
            low, high = node.low[group], node.high[group]
            quarter = (high - low) // 4
            left = _between(node, group, low, low + quarter)
            right = _between(node, group, high - quarter, high)
            if _bound_of(left, best, spend, swept) <= best.value:
                node = _kept(node, best, group, low + quarter, side=1)
            elif _bound_of(right, best, spend, swept) <= best.value:
                node = _kept(node, best, group, high - quarter, side=0)
            else:
                break
    return node


def _kept(node: Node, best: Incumbent, group: int, cut: int, side: int) -> Node:
    """Give the node on one side of a cut of a match's interval; the other side is closed."""
    ends = (node.low[group], cut, node.high[group])
    kept = _between(node, group, ends[side], ends[side + 1])
    if node.note is not None:
        children = node.note.parted(group, ends)
        _note_prices(replace(node, note=children[1 - side]), best)
        kept = replace(kept, note=children[side])
    return kept


def _note_prices(node: Node, best: Incumbent) -> None:
    """Note in the certificate that a node is bounded as it is priced now."""
    if node.note is not None:
        prices = node.prices - best.on_top()
        node.note.steps.append(Priced(prices=prices, sun_prices=node.sun_prices))


def _note_labels(node: Node, best: Incumbent, bound: int, *, is_whole: bool) -> None:
    """Note in the certificate that labels find nothing above a bound."""
    if node.note is not None:
        node.note.steps.append(Searched(bound=bound - best.must_worth, is_whole=is_whole))


def _worst_cut(node: Node, best: Incumbent, paths: Sequence[IntArray]) -> tuple[int, int] | None:
    """Give the match that paths pay for least, next to what one reference costs, and where to cut.

    The cut is half-way between the ends of their picks. None where nothing is paid too little.
    """
    drift, match = best.problem.drift, best.problem.match
    cut, most = None, len(paths) * SCALE  # less than a point on each path is no reason
    for group, (low, high) in enumerate(zip(node.low, node.high, strict=True)):
        prices = node.sun_prices[:, low:high]
        short, first, last = 0, high, low
        for path in paths:
            on_path = path[match[path[:, 0]] == group]
            left = np.setdiff1d(np.flatnonzero(match == group), on_path[:, 0])
            rows = drift[on_path[:, 0], on_path[:, 1], low:high].astype(np.int64) * SCALE
            costs = rows + prices[on_path[:, 0]]
            paid = costs.min(axis=1).sum() + prices[left].min(axis=1).sum()
            short += int(rows.sum(axis=0).min() - paid)
            picks = low + costs.argmin(axis=1)
            first, last = min([first, *picks.tolist()]), max([last, *picks.tolist()])
        if high - low > 1 and short > most:
            middle = (first + last + 1) // 2 if first < last else (low + high) // 2
            cut, most = (group, middle), short
    return cut


def _widest_cut(node: Node) -> tuple[int, int] | None:
    """Give the match with the widest interval, and its middle; None where all are single."""
    widths = [high - low for low, high in zip(node.low, node.high, strict=True)]
    if max(widths, default=1) == 1:
        return None
    group = int(np.argmax(widths))
    return group, (node.low[group] + node.high[group]) // 2


def _halves(
    node: Node,
    best: Incumbent,
    spend: Callable[[int], None],
    swept: Sweep,
    group: int,
    middle: int,
) -> list[Node]:
    """Cut the interval of a match in two."""
    low, high = node.low[group], node.high[group]
    halves = []
    notes = node.note.parted(group, (low, middle, high)) if node.note else (None, None)
    for start, end, note in ((low, middle, notes[0]), (middle, high, notes[1])):
        half = replace(_between(node, group, start, end), depth=node.depth + 1, note=note)
        # The prices that made the picks agree on the whole may be worse than none on a half.
        unpriced = replace(half, are_suns_priced=False, sun_prices=np.zeros_like(node.sun_prices))
        unpriced = replace(unpriced, bound=_bound_of(unpriced, best, spend, swept))
        half = replace(half, bound=_bound_of(half, best, spend, swept))
        if unpriced.bound <= min(node.bound, half.bound + FREE * (node.bound - best.value)):
            half = unpriced
        _note_prices(half, best)
        halves.append(replace(half, reached=half.bound, bound=min(node.bound, half.bound)))
    return halves


def _bound_of(node: Node, best: Incumbent, spend: Callable[[int], None], swept: Sweep) -> int:
    spend(int(np.count_nonzero(node.alive)) * best.problem.shots)
    return swept_value(best.tables, node, charged(best.tables, best.problem, node), swept)


def _beamed(
    node: Node, best: Incumbent, spend: Callable[[int], None], earned: Charged, swept: Sweep
) -> tuple[Node, Beam]:
    """Look for better plans with a beam of labels; tell whether it left nothing out."""
    _note_prices(node, best)
    beam = search_apart(best.tables, best.problem, node, earned, swept, best.value, spend)
    _note_labels(node, best, beam.bound, is_whole=False)
    if beam.path is not None:
        best.offer_path(beam.path)
    node = replace(node, bound=min(node.bound, beam.bound))
    if beam.is_exact and node.low and node.bound > best.value:
        width = sum(node.high) - sum(node.low)
        roomy = replace(node, room=max(1, DRIFTS // width))
        whole = search_together(best.tables, best.problem, roomy, earned, swept, best.value, spend)
        _note_labels(node, best, whole.bound, is_whole=True)
        if whole.path is not None:
            best.offer_path(whole.path)
        node = replace(node, bound=min(node.bound, whole.bound))
    return node, beam


def _between(node: Node, group: int, low: int, high: int) -> Node:
    """Give the node in which a match has its reference from `low` to below `high`."""
    return replace(
        node,
        low=(*node.low[:group], low, *node.low[group + 1 :]),
        high=(*node.high[:group], high, *node.high[group + 1 :]),
    )
