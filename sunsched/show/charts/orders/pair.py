"""Two orders as strips under one another, what moved between them joined by a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil

from matplotlib.figure import Figure

from sunsched.day.model import Day
from sunsched.plan.plan import PlannedShot
from sunsched.show.charts.orders.moves import Move, find_moves
from sunsched.show.charts.orders.strip import STRIP_IN, OrderStrip, draw_order, order_key
from sunsched.show.drawing.figure import (
    RULE,
    VERMILION,
    Style,
    write_lines,
)
from sunsched.show.drawing.ids import Lanes, draw_ids, place_ids
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import LINE, POINT_IN, Words, wrapped_words
from sunsched.show.drawing.picture import Picture, alone
from sunsched.show.drawing.timeline import (
    TimeAxis,
    draw_hours,
    draw_uprights,
    local_hours,
    minutes_of,
    time_stage,
)
from sunsched.show.paper_size import Paper, Shape, paper

OUT_OF_LINE: Style = {"color": "black", "linewidth": 2.0}
LATER: Style = {"color": "0.35", "linewidth": 0.8}
ONLY_HERE: Style = {
    "color": "black",
    "linestyle": "",
    "marker": "x",
    "markersize": 5.5,
    "markeredgewidth": 1.4,
}
NOW: Style = {"color": VERMILION, "linewidth": 2.0}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
LEAST_JOIN_IN, MOST_JOIN_IN = 0.55, 2.4  # height between the two strips
MARGIN = timedelta(minutes=10)  # of the day before the first changeover and after the last roll
OVER_PAIR_IN = 0.14
PAIRS_ON_A_SHEET, PAIRS_ACROSS = 4, 2  # of an upright sheet at most; of one on its long edge


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two orders, the first above the second."""

    first: OrderStrip
    second: OrderStrip

    @property
    def both(self) -> tuple[OrderStrip, OrderStrip]:
        """Both orders."""
        return self.first, self.second


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A pair with its words and ids, not yet on the page."""

    pair: Pair
    moves: list[Move]
    words: tuple[list[Words], list[Words]]
    lanes: tuple[Lanes, Lanes]

    @property
    def fixed_in(self) -> float:
        """Height of all but the room between the strips."""
        words = sum(line.height_in for lines in self.words for line in lines)
        ids = sum(lanes.high_in for lanes in self.lanes)
        return OVER_PAIR_IN + words + ids + 2 * STRIP_IN + 0.1


def pair_figure(
    day: Day,
    subject: str,
    headline: str,
    pairs: Sequence[Pair],
    *,
    shape: Shape = Shape.A4,
    is_bare: bool = False,
) -> Figure:
    """Draw pairs of orders under one another, with the hours of the day under each.

    Parameters
    ----------
    subject : what stands over the day's title
    headline : the sentence that says what it comes to
    """
    setting = paper(shape, upright=len(pairs) > PAIRS_ACROSS)
    picture = pair_picture(subject, headline, pairs, setting)
    return alone(day, setting, picture, is_bare=is_bare)


def pair_picture(subject: str, headline: str, pairs: Sequence[Pair], setting: Paper) -> Picture:
    """Give the picture of pairs of orders; on a sheet their strips stand apart as it has room."""
    axis = _axis(pairs, setting)
    laid = [_lay(pair, axis, setting) for pair in pairs]
    told = wrapped_words(headline, setting.room_in, setting.text_pt, bold=True) if headline else []
    key = key_rows(_key(laid), setting)
    over = sum(line.height_in for line in told)
    below = key_height_in(key, setting) + 0.1
    fixed = over + below + sum(one.fixed_in + hours_in(setting) for one in laid)
    most = LEAST_JOIN_IN if setting.height_in is None else MOST_JOIN_IN

    def draw(figure: Figure, top: float, high: float) -> None:
        write_lines(figure, setting.margin_in, top, told)
        top += over
        spare = (high - fixed) / max(1, len(laid))
        join_in = max(LEAST_JOIN_IN, min(most, spare))
        for one in laid:
            top = _draw_pair(figure, axis, one, top + OVER_PAIR_IN, join_in, setting)
        draw_key(figure, top + 0.1, key, setting)

    return Picture(
        name=subject,
        subject=subject,
        least_in=fixed + LEAST_JOIN_IN * len(laid),
        most_in=fixed + most * len(laid),
        draw=draw,
    )


def shared_out(pairs: Sequence[Pair]) -> list[Sequence[Pair]]:
    """Share pairs out evenly over as few sheets as they need."""
    sheets = max(1, ceil(len(pairs) / PAIRS_ON_A_SHEET))
    most = max(1, ceil(len(pairs) / sheets))
    return [pairs[start : start + most] for start in range(0, len(pairs), most)]


def _axis(pairs: Sequence[Pair], setting: Paper) -> TimeAxis:
    """Show the hours in which any of the orders has work."""
    fit = pairs[0].first.plan.fit
    moments = [fit.day.hours.crew_call]
    for plan in (order.plan for pair in pairs for order in pair.both):
        moments += [one.changeover_start for one in plan.shots]
        moments += [one.roll_end for one in plan.shots]
        if plan.meal is not None:
            moments += [plan.meal.start, plan.meal.end]
        if plan.day.past is not None:
            moments.append(plan.day.past.at)
    first, last = min(moments) - MARGIN, max(moments) + MARGIN
    return TimeAxis(
        fit=fit,
        first=int(minutes_of(fit, first)),
        last=int(minutes_of(fit, last)),
        left_in=setting.margin_in,
        wide_in=setting.room_in,
    )


def _lay(pair: Pair, axis: TimeAxis, setting: Paper) -> _Laid:
    words = tuple(_words(order, setting) for order in pair.both)
    lanes = tuple(_lanes(order, axis, setting) for order in pair.both)
    return _Laid(
        pair=pair,
        moves=find_moves(pair.first.plan, pair.second.plan),
        words=(words[0], words[1]),
        lanes=(lanes[0], lanes[1]),
    )


def _words(order: OrderStrip, setting: Paper) -> list[Words]:
    """Give the name of an order with what is told of it, then what it leaves out."""
    size = setting.text_pt
    told = f"{order.name}: {order.told}" if order.told else order.name
    lines = wrapped_words(told, setting.room_in, size, bold=True, lines=3)
    for text in order.missing_texts:
        lines += wrapped_words(text, setting.room_in, size, lines=2)
    return lines


def _lanes(order: OrderStrip, axis: TimeAxis, setting: Paper) -> Lanes:
    marks = [
        (one.shot.id, axis.x_in(_middle(axis, one.roll_start, one.roll_end)))
        for one in order.plan.shots
    ]
    return place_ids(marks, axis.left_in, axis.right_in, setting.text_pt)


def _draw_pair(
    figure: Figure, axis: TimeAxis, laid: _Laid, top: float, join_in: float, setting: Paper
) -> float:
    """Draw a pair from this height down; gives where it ends."""
    pair = laid.pair
    top = write_lines(figure, setting.margin_in, top, laid.words[0])
    top += laid.lanes[0].high_in
    draw_ids(figure, laid.lanes[0], top)
    stage = time_stage(figure, axis, top)
    low, high = STRIP_IN, STRIP_IN + join_in  # foot of the first strip, head of the second
    hours = [float(minute) for minute, _ in local_hours(axis)]
    whole = [(0.0, high + STRIP_IN)]
    draw_uprights(stage, hours, whole, "hours", HOUR | {"zorder": 0.5})
    draw_order(stage, axis, pair.first, STRIP_IN / 2)
    draw_order(stage, axis, pair.second, high + STRIP_IN / 2)
    for move in laid.moves:
        ends = [_middle(axis, one.roll_start, one.roll_end) for one in (move.first, move.second)]
        look, over = (OUT_OF_LINE, 4.0) if move.is_out_of_line else (LATER, 3.0)
        label = f"{'out of line' if move.is_out_of_line else 'later'} {move.first.shot.id}"
        stage.plot(ends, [low, high], label=label, zorder=over, **look)
    for order, other, at in (
        (pair.first, pair.second, low + 0.09),
        (pair.second, pair.first, high - 0.09),
    ):
        for one in only_in(order, other):
            x = _middle(axis, one.roll_start, one.roll_end)
            stage.plot([x], [at], label=f"only here {one.shot.id}", **ONLY_HERE)
    past = pair.second.plan.day.past
    if past is not None:
        now = minutes_of(axis.fit, past.at)
        draw_uprights(stage, [now], whole, "now", NOW | {"zorder": 2.0})
    top += high + STRIP_IN
    draw_ids(figure, laid.lanes[1], top, below=True)
    top += laid.lanes[1].high_in
    line_in = hours_in(setting)
    draw_hours(figure, axis, top + line_in / 2, setting.small_pt)
    top += line_in
    return write_lines(figure, setting.margin_in, top, laid.words[1]) + 0.04


def only_in(order: OrderStrip, other: OrderStrip) -> list[PlannedShot]:
    """Give the shots that another order leaves out, or has cut."""
    made, cut = {one.shot.id for one in other.plan.shots}, other.plan.day.cut_ids
    return [
        one
        for one in order.plan.shots
        if one.shot.id not in made and (other.is_over or one.shot.id in cut)
    ]


def hours_in(setting: Paper) -> float:
    """Give the height of the line of hours."""
    return LINE * setting.small_pt * POINT_IN


def _middle(axis: TimeAxis, start: datetime, end: datetime) -> float:
    return (minutes_of(axis.fit, start) + minutes_of(axis.fit, end)) / 2


def _key(laid: Sequence[_Laid]) -> list[KeyEntry]:
    entries = order_key([order for one in laid for order in one.pair.both])
    moves = [move for one in laid for move in one.moves]
    if any(move.is_out_of_line for move in moves):
        entries.append(KeyEntry(label="another place in the order", line=OUT_OF_LINE))
    if any(not move.is_out_of_line for move in moves):
        entries.append(KeyEntry(label="the same place, another time", line=LATER))
    pairs = [one.pair for one in laid]
    if any(only_in(*pair.both) or only_in(*reversed(pair.both)) for pair in pairs):
        entries.append(KeyEntry(label="not in the other order", line=ONLY_HERE))
    if any(one.pair.second.plan.day.past is not None for one in laid):
        entries.append(KeyEntry(label="now", line=NOW))
    return entries
