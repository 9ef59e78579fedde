"""One order as a strip of its day: rolls as light as what they keep, and all work between them."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.patches import Rectangle

from sunsched.plan.plan import Plan
from sunsched.show.agenda import State, state_of
from sunsched.show.charts.day_words import MEAL
from sunsched.show.drawing.figure import Stage
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.drawing.strips import MOVE_SHARE, ROLL, SHADES, draw_piece, piece_key
from sunsched.show.drawing.timeline import TimeAxis, minutes_of
from sunsched.show.pieces import Doing, plan_pieces

STRIP_IN = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderStrip:
    """An order that is drawn: its name, what is told beside it, and its plan.

    Of one that is not over yet, what it does not hold is still to come, and not left out.
    """

    name: str
    told: str
    plan: Plan
    is_over: bool = True

    @property
    def missing_texts(self) -> list[str]:
        """Name the shots that it does not make; nothing where it makes all."""
        ids = [one.shot.id for one in self.plan.left_out]
        cut = [one for one in ids if one in self.plan.day.cut_ids]
        rest = [one for one in ids if one not in cut]
        named = ((cut, "cut"), (rest, "left out" if self.is_over else "still to come"))
        return [f"{name}: {', '.join(some)}" for some, name in named if some]


def draw_order(stage: Stage, axis: TimeAxis, order: OrderStrip, middle: float) -> None:
    """Draw an order around this height of a stage whose y is inches."""
    plan, fit, name = order.plan, axis.fit, order.name
    if plan.meal is not None:
        start, end = minutes_of(fit, plan.meal.start), minutes_of(fit, plan.meal.end)
        corner = (start, middle - STRIP_IN / 2)
        meal = Rectangle(corner, end - start, STRIP_IN, label=f"meal {name}", **MEAL)
        stage.add_artist(meal)
    light = {one.shot.id: one.fit for one in plan.shots}
    for piece in plan_pieces(plan):
        if piece.doing is not Doing.ROLL or piece.state is not State.COMING:
            draw_piece(stage, fit, piece, middle, STRIP_IN, 1.0)
            continue
        start, end = minutes_of(fit, piece.start), minutes_of(fit, piece.end)
        look = ROLL | {"facecolor": shade(light[piece.shot_id])}
        corner = (start, middle - STRIP_IN / 2)
        box = Rectangle(corner, end - start, STRIP_IN, label=f"roll {piece.shot_id}", **look)
        box.set_zorder(5)
        stage.add_artist(box)


def shade(light: float) -> str:
    """Give the grey of a share of light, as strips have it."""
    return next(grey for least, grey in reversed(SHADES) if light >= least)


def order_key(orders: list[OrderStrip]) -> list[KeyEntry]:
    """Explain what is drawn of orders."""
    plans = [one.plan for one in orders]
    pieces = [piece for plan in plans for piece in plan_pieces(plan)]
    coming = any(state_of(plan, one) is State.COMING for plan in plans for one in plan.shots)
    entries: list[KeyEntry] = []
    if coming:
        entries.append(KeyEntry(label="roll, the lighter the more of its light it keeps:"))
        shades = {shade(one.fit) for plan in plans for one in plan.shots}
        names = ("none", "some", "from 50%", "from 75%", "from 95%")
        entries += [
            KeyEntry(label=label, box=ROLL | {"facecolor": grey})
            for label, (_, grey) in zip(names, SHADES, strict=True)
            if grey in shades
        ]
    entries += [
        entry for entry in piece_key(pieces, MOVE_SHARE * STRIP_IN) if entry.label != "roll"
    ]
    if any(plan.meal is not None for plan in plans):
        entries.append(KeyEntry(label="meal", box=MEAL))
    return entries
