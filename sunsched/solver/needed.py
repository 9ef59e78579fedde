"""The compiled functions that a plan for planned minutes calls, with the types it calls them by."""

from __future__ import annotations

import numpy as np

from sunsched.solver.bound.dominance import Fresh, Labels
from sunsched.solver.bound.labels import Frame, Suns, extend
from sunsched.solver.bound.node import charge, move_suns, push_suns
from sunsched.solver.bound.path_dp import Cells, follow, list_cells, strike, sweep_back
from sunsched.solver.instance.tables import Tables
from sunsched.solver.machine.early import Group, Need, real, whole, yes_no
from sunsched.solver.search.recreate import Walk, search_on
from sunsched.solver.timing.ties import settle_ties

_ONE, _TWO, _THREE, _FOUR = (whole(dimensions) for dimensions in (1, 2, 3, 4))
_STATES = whole(2, np.int32)
_DRIFT = whole(3, np.int32)
_TABLES = Tables(
    gain=_THREE,
    kind=_TWO,
    lag=_TWO,
    lag_fed=_TWO,
    fed_from=_TWO,
    eat_by=_ONE,
    arc_cost=_TWO,
    near=_TWO,
    far=_TWO,
    after_meal_cost=_ONE,
    end_cost=_TWO,
    can_skip_meal=yes_no(2),
    walk=_ONE,
    must_worth=0,
)
_WALK = Walk(sequences=_TWO, lengths=_ONE, references=_TWO, values=_ONE, draws=_ONE)
_CELLS = Cells(begin=_DRIFT, state=whole(1, np.int32))
_LABELS = Labels(columns=_TWO, charged=_TWO, drifts=_STATES)
_SUNS = Suns(low=_ONE, high=_ONE, place=_ONE, drift=_DRIFT, match=_ONE, prices=_TWO)
_FRAME = Frame(
    tables=_TABLES,
    gain=_THREE,
    prices=_ONE,
    to_make=_ONE,
    suns=_SUNS,
    first=_ONE,
    to=_STATES,
    alive=yes_no(3),
    picks_alone=True,
    ahead=_FOUR,
    rest=_THREE,
)
_FRESH = Fresh(labels=_LABELS, heads=_ONE, chain=_ONE, tally=_ONE)
_SWEPT = (_TABLES, _THREE, _ONE, _ONE, _STATES, _TWO, _CELLS)

NEEDED: tuple[Group, ...] = (
    (
        Need(
            function=search_on,
            examples=(_TABLES, _TABLES, _DRIFT, _ONE, _TWO, 0, 0, 0, 0, _WALK),
        ),
        Need(function=settle_ties, examples=(_TABLES, _ONE, 0)),
    ),
    (Need(function=extend, examples=(_FRAME, _LABELS, 0, _FRESH)),),
    (
        Need(function=sweep_back, examples=(*_SWEPT, _FOUR, _THREE)),
        Need(function=strike, examples=(*_SWEPT, yes_no(3), _THREE, _FOUR, _TWO, 0)),
        Need(function=list_cells, examples=(yes_no(3), _ONE)),
        Need(function=follow, examples=(_TABLES, _ONE, _STATES, _TWO, _FOUR, _TWO)),
    ),
    (
        Need(function=charge, examples=(_THREE, _DRIFT, _ONE, _ONE, _ONE, _TWO)),
        Need(function=push_suns, examples=(_DRIFT, _ONE, _ONE, _ONE, _TWO, _TWO, real(2))),
        Need(function=move_suns, examples=(_ONE, _TWO, real(2), 0.0)),
    ),
)
