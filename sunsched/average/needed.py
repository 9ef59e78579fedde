"""The compiled functions that a plan for the average day calls besides, and by which types."""

from __future__ import annotations

import numpy as np

from sunsched.average.bound.adaptive import Worths, sweep
from sunsched.average.bound.memory import Memory
from sunsched.average.bound.visits import drawn_path, visits
from sunsched.average.model.odds import Odds
from sunsched.average.order.decisions import Decisions, decide, follow
from sunsched.average.order.local_search import best_reference, improve, repair, set_reference
from sunsched.average.order.policy import fill_policy, first_worth
from sunsched.average.order.recreate import recreate
from sunsched.solver.machine.early import Group, Need, real, whole, yes_no

_ONE, _TWO, _THREE, _FOUR = (whole(dimensions) for dimensions in (1, 2, 3, 4))
_ODDS = Odds(
    law_first=_ONE,
    law_from=_ONE,
    law_chance=real(1),
    build_law=_TWO,
    roll_law=_ONE,
    begin_from=_THREE,
    arc_cost=real(2),
    pair_cost=real(2),
    room_from=_ONE,
    room_first=_ONE,
    room_last=_ONE,
    room_opening=_ONE,
    gain=real(2),
    hungry_by=_ONE,
    toll=real(1),
    end=real(1),
    meal_first=0,
    meal_slots=0,
    meal_points=0.0,
)
_MEMORY = Memory(
    shot=_ONE,
    state_from=_ONE,
    pair=_TWO,
    cost=real(2),
    pair_state=_ONE,
    pair_kind=_ONE,
    kind_shot=_ONE,
    kind_law=_ONE,
    kind_from=_ONE,
    kind_begin=_TWO,
)
_WORTHS = Worths(free=real(3), fed=real(2), ready=real(4), begun=real(3))
_DECISIONS = Decisions(step=_THREE, opening=_FOUR, roll=_FOUR)
_DRIFT = real(3, np.float32)
_ROOM = (real(3), real(2), real(4))  # worths of one order: free, fed, ready
_SWEPT = (_ODDS, _MEMORY, real(1), _WORTHS)

NEEDED: tuple[Group, ...] = (
    (
        Need(function=sweep, examples=_SWEPT),
        Need(function=visits, examples=(*_SWEPT, 0, real(2))),
        Need(function=drawn_path, examples=(*_SWEPT, 0, real(1))),
    ),
    (
        Need(function=fill_policy, examples=(_ODDS, _ONE, 0, *_ROOM)),
        Need(function=improve, examples=(_ODDS, yes_no(2), 0, _ONE, *_ROOM)),
        Need(function=recreate, examples=(_ODDS, yes_no(2), 0, _ONE, 0, *_ROOM)),
        Need(
            function=best_reference,
            examples=(_ODDS, real(2), _DRIFT, _ONE, real(1), 0, _ONE, 0, 0, *_ROOM),
        ),
        Need(function=set_reference, examples=(_ODDS, real(2), _DRIFT, _ONE, 0)),
        Need(function=repair, examples=(_ONE, yes_no(2), 0)),
        Need(function=first_worth, examples=(real(3), real(2), 0)),
        Need(function=decide, examples=(_ODDS, _ONE, *_ROOM)),
        Need(function=follow, examples=(_ODDS, _ONE, _DECISIONS, 0)),
    ),
)
