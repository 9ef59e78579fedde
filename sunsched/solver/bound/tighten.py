"""One turn of the proof: the bound of a part of the day's plans brought down.

Prices get better, cells that no better plan passes are struck out, ends of intervals are cut off,
and a beam of labels looks for better plans. If that earns too little, states remember more or the
interval of the match that pays least is cut in two.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.bound.label_search import Beam, most_room, search_apart, search_together
from sunsched.solver.bound.lagrangian import Sweep, make_sweep, priced, struck_out, swept_value
from sunsched.solver.bound.ng_states import carried_over, make_memory, widened, without_dead
from sunsched.solver.bound.node import Charged, Part, charged
from sunsched.solver.certificate.record import Priced, Remembered, Searched
from sunsched.solver.instance.tables import SCALE
from sunsched.solver.search.incumbent import Incumbent

LENGTH = 0.3  # of the first step in a part
SHORT_LENGTH = 0.02  # and at least, for the day as a whole, which goes on where it was
WHOLE_WORTH = 0.06  # the share of the gap that a round of `MANY` cells must take off, or it halves
WORTH = 0.1  # the same for a part
MANY = 60_000  # cells alive; a round of fewer costs less and may take off less
ENOUGH = 50_000  # cells: the day as a whole is not halved before it has so many
NARROWEST = 4  # references: an interval of fewer is not trimmed
FREE = 0.2  # the share of the gap that prices of suns must be worth to be kept in a half
FEW = 4_000  # cells: a beam over fewer costs no more than a round of prices
AGAIN = 0.9  # of the gap: a beam that promises to leave less is tried again
FEWER = 0.5  # of the cells alive when one was last tried: with fewer it is tried again
DRIFTS = 400_000  # figures in a layer of labels that know the drift at every reference
LARGEST_SET = 9  # shots that a state can remember: its states double with each
CELLS = 40_000_000  # slots, states and ways of building of a memory: more would take gigabytes


def worked_on(part: Part, best: Incumbent, spend: Callable[[int], None], steps: int) -> list[Part]:
    """Bring a part's bound down: give it back, or what is left of it, in one piece or two."""
    problem, tables = best.problem, best.tables
    swept = make_sweep(tables.gain, part)
    work = int(np.count_nonzero(part.alive)) * problem.shots

    def target_of(path: IntArray, bound: int) -> int:
        if part.depth == 0:
            best.bound = min(best.bound, max(bound, best.value))
        spend(work)
        return best.offer_path(path)

    start = part.reached
    part, paths = priced(tables, problem, part, swept, steps, target_of)
    if part.bound <= best.value:
        _note_prices(part, best)
        return []
    earned = charged(tables, problem, part)
    part = _struck(part, best, spend, earned)
    length = LENGTH if part.depth else min(1.0, max(SHORT_LENGTH, 4 * part.length))
    part = replace(part, length=length, rounds=part.rounds + 1)
    swept = make_sweep(tables.gain, part)
    trimmed = _trimmed(part, best, spend, swept)
    if trimmed is not part:
        return [trimmed]
    is_exact = False
    cells = int(np.count_nonzero(part.alive))
    gap = part.bound - best.value
    is_tried = _is_worth_a_beam(part, best, gap, cells)
    if is_tried:
        swept_value(tables, part, earned, swept)
        spend(work)
        part, beam = _beamed(part, best, spend, earned, swept)
        if part.bound <= best.value:
            return []
        is_exact = beam.is_exact
        share = max(0, part.bound - best.value) / max(1, part.reached - best.value)
        part = replace(part, is_solved=is_exact, beam_left=share, tried_cells=cells)
        if is_exact and beam.path is not None:
            paths = [beam.path]
    # States that remember more cost most where few cells are struck out: there halves do better.
    worth = (WORTH if part.depth else WHOLE_WORTH) * cells / MANY
    is_slow = start - part.reached < worth * (part.reached - best.value)
    # Where no price holds the picks of a match together, its halves hardly differ from the whole.
    is_slow &= part.depth > 0 or (part.are_suns_priced and cells > ENOUGH)
    cut = _worst_cut(part, best, paths)
    if not is_exact and not (is_slow and cut is not None):
        sets = widened(tables, part.memory, paths, LARGEST_SET)
        states = sum(1 << len(one) for one in sets)
        if sets != part.memory.sets and states * tables.gain[:, 0].size <= CELLS:
            wider = make_memory(tables, sets)
            alive = carried_over(part.memory, wider, part.alive)
            wider, alive = without_dead(wider, alive)
            if part.node is not None:
                part.node.steps.append(Remembered(sets=sets))
            # Most of what has just come alive dies at once: a sweep here spares all later ones.
            return [_struck(replace(part, memory=wider, alive=alive), best, spend, earned)]
    if cut is None:
        widths = [high - low for low, high in zip(part.low, part.high, strict=True)]
        if max(widths, default=1) == 1:
            room = min(4 * part.room, most_room(problem.shots)) if is_tried else part.room
            return [replace(part, room=room, beam_left=0.0)]
        group = int(np.argmax(widths))
        cut = group, (part.low[group] + part.high[group]) // 2
    halves = _halves(part, best, spend, swept, *cut)
    return [half for half in halves if half.bound > best.value]


def _is_worth_a_beam(part: Part, best: Incumbent, gap: int, cells: int) -> bool:
    """Say whether a beam may do more now than when it was last tried."""
    promised = part.beam_left * (part.reached - best.value)
    has_changed = promised < AGAIN * gap or cells < FEWER * part.tried_cells
    # Without any plan labels alone can tell that there is none.
    return has_changed or cells < FEW or not best.is_plan


def _struck(part: Part, best: Incumbent, spend: Callable[[int], None], earned: Charged) -> Part:
    """Strike out the cells that no better plan passes, and forget the states that have none."""
    _note_prices(part, best)
    spend(2 * int(np.count_nonzero(part.alive)) * best.problem.shots)
    swept = make_sweep(best.tables.gain, part)
    bound = swept_value(best.tables, part, earned, swept)
    alive = struck_out(best.tables, part, earned, swept, best.value)
    memory, alive = without_dead(part.memory, alive)
    return replace(part, bound=min(part.bound, bound), memory=memory, alive=alive)


def _trimmed(part: Part, best: Incumbent, spend: Callable[[int], None], swept: Sweep) -> Part:
    """Cut off the ends of each match's interval where no better plan has its reference."""
    for group in range(len(part.low)):
        while part.high[group] - part.low[group] >= NARROWEST:
            low, high = part.low[group], part.high[group]
            quarter = (high - low) // 4
            left = _between(part, group, low, low + quarter)
            right = _between(part, group, high - quarter, high)
            if _bound_of(left, best, spend, swept) <= best.value:
                part = _kept(part, best, group, low + quarter, side=1)
            elif _bound_of(right, best, spend, swept) <= best.value:
                part = _kept(part, best, group, high - quarter, side=0)
            else:
                break
    return part


def _kept(part: Part, best: Incumbent, group: int, cut: int, side: int) -> Part:
    """Give the part on one side of a cut of a match's interval; the other side is closed."""
    ends = (part.low[group], cut, part.high[group])
    kept = _between(part, group, ends[side], ends[side + 1])
    if part.node is not None:
        children = part.node.parted(group, ends)
        _note_prices(replace(part, node=children[1 - side]), best)
        kept = replace(kept, node=children[side])
    return kept


def _note_prices(part: Part, best: Incumbent) -> None:
    """Note in the certificate that a part is bounded as it is priced now."""
    if part.node is not None:
        prices = part.prices - best.on_top()
        part.node.steps.append(Priced(prices=prices, sun_prices=part.sun_prices))


def _note_labels(part: Part, best: Incumbent, bound: int, *, is_whole: bool) -> None:
    """Note in the certificate that labels find nothing above a bound."""
    if part.node is not None:
        part.node.steps.append(Searched(bound=bound - best.must_worth, is_whole=is_whole))


def _worst_cut(part: Part, best: Incumbent, paths: Sequence[IntArray]) -> tuple[int, int] | None:
    """Give the match that paths pay for least, next to what one reference costs, and where to cut.

    The cut is half-way between the ends of their picks. None where nothing is paid too little.
    """
    drift, match = best.problem.drift, best.problem.match
    cut, most = None, len(paths) * SCALE  # less than a point on each path is no reason
    for group, (low, high) in enumerate(zip(part.low, part.high, strict=True)):
        prices = part.sun_prices[:, low:high]
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


def _halves(
    part: Part,
    best: Incumbent,
    spend: Callable[[int], None],
    swept: Sweep,
    group: int,
    middle: int,
) -> list[Part]:
    """Cut the interval of a match in two."""
    low, high = part.low[group], part.high[group]
    halves = []
    nodes = part.node.parted(group, (low, middle, high)) if part.node else (None, None)
    for start, end, node in ((low, middle, nodes[0]), (middle, high, nodes[1])):
        half = replace(_between(part, group, start, end), depth=part.depth + 1, node=node)
        # The prices that made the picks agree on the whole may be worse than none on a half.
        unpriced = replace(half, are_suns_priced=False, sun_prices=np.zeros_like(part.sun_prices))
        unpriced = replace(unpriced, bound=_bound_of(unpriced, best, spend, swept))
        half = replace(half, bound=_bound_of(half, best, spend, swept))
        if unpriced.bound <= min(part.bound, half.bound + FREE * (part.bound - best.value)):
            half = unpriced
        _note_prices(half, best)
        halves.append(replace(half, reached=half.bound, bound=min(part.bound, half.bound)))
    return halves


def _bound_of(part: Part, best: Incumbent, spend: Callable[[int], None], swept: Sweep) -> int:
    spend(int(np.count_nonzero(part.alive)) * best.problem.shots)
    return swept_value(best.tables, part, charged(best.tables, best.problem, part), swept)


def _beamed(
    part: Part, best: Incumbent, spend: Callable[[int], None], earned: Charged, swept: Sweep
) -> tuple[Part, Beam]:
    """Look for better plans with a beam of labels; tell whether it left nothing out."""
    _note_prices(part, best)
    beam = search_apart(best.tables, best.problem, part, earned, swept, best.value, spend)
    _note_labels(part, best, beam.bound, is_whole=False)
    if beam.path is not None:
        best.offer_path(beam.path)
    part = replace(part, bound=min(part.bound, beam.bound))
    if beam.is_exact and part.low and part.bound > best.value:
        width = sum(part.high) - sum(part.low)
        roomy = replace(part, room=max(1, DRIFTS // width))
        whole = search_together(best.tables, best.problem, roomy, earned, swept, best.value, spend)
        _note_labels(part, best, whole.bound, is_whole=True)
        if whole.path is not None:
            best.offer_path(whole.path)
        part = replace(part, bound=min(part.bound, whole.bound))
    return part, beam


def _between(part: Part, group: int, low: int, high: int) -> Part:
    """Give the part in which a match has its reference from `low` to below `high`."""
    return replace(
        part,
        low=(*part.low[:group], low, *part.low[group + 1 :]),
        high=(*part.high[:group], high, *part.high[group + 1 :]),
    )
