"""Prices on the average day as text: a decision, rules, wraps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import TypeAlias

from sunsched.average.order.forecast import Chance
from sunsched.average.plan import HARDLY
from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.prospects import chance as percent
from sunsched.show.text.crew import NONE
from sunsched.show.text.day import WIDTH
from sunsched.show.text.headlines.arguments import average_price_headline
from sunsched.show.text.headlines.points import paid_texts
from sunsched.show.text.past import past_texts
from sunsched.show.text.price import (
    CURVE_HEADER,
    RULES_HEADER,
    RULES_NOTE,
    curve_note,
    curve_rows,
    rule_rows,
)
from sunsched.whatif.price.rules import RulePrice
from sunsched.whatif.price.wrap import WrapPoint
from sunsched.whatif.price_average.look import Expected
from sunsched.whatif.price_average.pays import Pay
from sunsched.whatif.price_average.price import AveragePrice
from sunsched.whatif.price_average.rules import AverageRulePrice
from sunsched.whatif.price_average.wrap import AverageWrapPoint

Rules: TypeAlias = Sequence[RulePrice] | Sequence[AverageRulePrice]
Wraps: TypeAlias = Sequence[WrapPoint] | Sequence[AverageWrapPoint]

PAYS_HEADER = ("id", "what", "made", "so", "light", "so", "points")
SIDES_HEADER = ("", "best", "so")
PRICE_NOTE = (
    "best: the order found for the day; so: the order found that obeys the decision; made: the "
    "chance that the shot is made; light: what is kept of its light on the average day; points: of "
    "its light and of leaving it out. Shots that are not named are worth the same in both."
)
AVERAGE_RULES_NOTE = (
    "What the average day would win without a rule, every shot placed anew, as far as a short "
    "search finds; more may be won. ? not looked at."
)
AVERAGE_CURVE_NOTE = (
    "The average day if nothing rolls past a wrap, in the best order found for it; a better one "
    "may exist. Points do not count overtime, whose expected minutes stand beside them; left out: "
    "shots that are not made on most of the days;"
)
LEAST_SHARE = 0.0005  # of all light; less is not told
OTHER_COSTS = "other costs (waiting, moves, rigs, matches, the order of sizes)"
TOLD_FROM = timedelta(minutes=15)  # a shot that rolls nearer to its time is not told
MOST_MOVED = 6
LEAST_KEPT = 0.005  # of the days; a pin that is kept less often by less is not told


def average_price_text(day: Day, found: AveragePrice, width: int = WIDTH) -> str:
    """Lay out the price of a decision on the average day."""
    lines = [*heading(day, width), ""]
    for text in past_texts(day):
        lines += wrapped(text, width)
    lines += [""] if day.past is not None else []
    for text in found.decision:
        lines += wrapped(f"if {text}:", width)
    lines += wrapped(average_price_headline(found), width)
    for text in average_loss_texts(found):
        lines += wrapped(text, width)
    rows = [*pay_rows(found)]
    if rows:
        lines += ["", *table(PAYS_HEADER, rows, width, flexible=1)]
    lines += ["", *table(SIDES_HEADER, [*side_rows(day, found)], width, flexible=None)]
    lines += ["", *wrapped(PRICE_NOTE, width, indent=0)]
    return "\n".join(lines)


def average_loss_texts(found: AveragePrice) -> Iterator[str]:
    """Say what a decision loses or wins: light and minutes first, then points and their bounds."""
    for rule in found.sets_aside:
        yield f"this sets aside a rule of the day: {rule}"
    yield _light_text(found)
    yield f"{_points_text(found)}; {_bounds_text(found)}"
    for text, kept in found.obeyed:
        yield f"{text} on {percent(kept)} of the days"
    yield from _pins(found)
    yield from _payers(found)


def pay_rows(found: AveragePrice) -> Iterator[tuple[str, ...]]:
    """Yield the shots that lose or win, those that lose most first."""
    for pay in sorted(found.pays, key=lambda one: -one.points_lost):
        if pay.points_lost:
            yield (
                pay.shot.id,
                pay.shot.description,
                *_both(pay, "made"),
                *_both(pay, "light"),
                f"{-pay.points_lost:+6d}",
            )


def side_rows(day: Day, found: AveragePrice) -> Iterator[tuple[str, str, str]]:
    """Yield what is counted of both orders, and the orders themselves."""
    sides = (found.before, found.now)

    def row(name: str, *texts: str) -> tuple[str, str, str]:
        one, other = texts
        return (name, one, other)

    yield row("light kept", *(f"{side.light_kept:.1%}" for side in sides))
    yield row("points", *(f"{round(side.points)}" for side in sides))
    yield row("work has ended, half of the days", *(clock(day, side.stop) for side in sides))
    yield row("overtime, expected", *(f"{round(side.overtime_min)} min" for side in sides))
    yield row("days with overtime", *(percent(side.overtime_days) for side in sides))


def order_text(side: Expected) -> str:
    """Give the ids of an order, without the shots that nobody counts on."""
    return ", ".join(one.shot.id for one in side.chances if one.made >= HARDLY)


def rules_text(found: Rules, width: int = WIDTH) -> str:
    """Lay out what each rule of the day costs, the highest cost first."""
    rows = table(RULES_HEADER, any_rule_rows(found), width, flexible=0)
    return "\n".join([*rows, "", *wrapped(rules_note(found), width)])


def any_rule_rows(found: Rules) -> list[tuple[str, ...]]:
    """Give each rule and what would be won without it, of planned minutes or the average day."""
    planned = [one for one in found if isinstance(one, RulePrice)]
    rows = rule_rows(planned)
    for one in found:
        if isinstance(one, AverageRulePrice):
            light = f"{one.light_gain:+.1%}" if abs(one.light_gain) >= LEAST_SHARE else ""
            gain = "?" if one.gain is None else f"{one.gain}"
            rows.append((one.rule, light, f"{gain:>6}"))
    return rows


def rules_note(found: Rules) -> str:
    """Say what the prices of rules mean."""
    is_average = any(isinstance(one, AverageRulePrice) for one in found)
    return AVERAGE_RULES_NOTE if is_average else RULES_NOTE


def curve_text(day: Day, found: Wraps, width: int = WIDTH) -> str:
    """Lay out what each wrap keeps of the light."""
    lines = [*heading(day, width), ""]
    for text in past_texts(day):
        lines += wrapped(text, width)
    lines += [""] if day.past is not None else []
    rows = table(CURVE_HEADER, any_curve_rows(day, found), width, flexible=3)
    return "\n".join([*lines, *rows, "", *wrapped(any_curve_note(day, found), width)])


def any_curve_rows(day: Day, found: Wraps) -> list[tuple[str, ...]]:
    """Give each wrap and what it keeps, of planned minutes or on the average day."""
    rows = curve_rows(day, [one for one in found if isinstance(one, WrapPoint)])
    for one in found:
        if isinstance(one, AverageWrapPoint):
            over = f"{one.overtime_min} min, −{one.overtime_points}" if one.overtime_min else ""
            left = ", ".join(chance.shot.id for chance in one.left_out)
            light = f"{one.light_kept:6.1%}"
            rows.append((clock(day, one.wrap), light, over, left, f"{round(one.kept.points)}"))
    return rows


def any_curve_note(day: Day, found: Wraps) -> str:
    """Say what a curve of wraps shows."""
    is_average = any(isinstance(one, AverageWrapPoint) for one in found)
    return curve_note(day, AVERAGE_CURVE_NOTE) if is_average else curve_note(day)


def _light_text(found: AveragePrice) -> str:
    """Say what is kept of the light, and when the crew stops."""
    lost = found.light_lost
    light = f"on the average day {found.now.light_kept:.1%} of the light is kept"
    if abs(lost) >= LEAST_SHARE:
        light += f", {abs(lost):.1%} {'less' if lost > 0 else 'more'}"
    else:
        light += ", as without it"
    day = found.now.fit.day
    work = f"on half of the days work has ended by {clock(day, found.now.stop)}"
    later = found.later_min
    if later:
        return f"{light}; {work}, {abs(later)} min {'later' if later > 0 else 'earlier'}"
    return f"{light}; {work}, as without it"


def _points_text(found: AveragePrice) -> str:
    if found.points_lost > 0:
        return f"costs {found.points_lost} points, as found"
    if found.points_lost < 0:
        return f"wins {-found.points_lost} points, as found"
    return "costs nothing, as found"


def _bounds_text(found: AveragePrice) -> str:
    """Say between which bounds the best crew of all loses."""
    least, most = found.least_lost, found.most_lost
    if least is None or most is None:
        return "there was no time to say what the best crew of all would lose by it"
    crew = "the best crew of all"
    if most <= 0 and least < 0:
        return f"{crew} wins at least {-most} and at most {-least}"
    if least < 0:
        return f"{crew} wins at most {-least} and loses at most {most}"
    if least == most:
        return f"{crew} loses exactly that" if most else f"{crew} loses nothing either"
    if least == 0:
        return f"{crew} loses at most {most}"
    return f"{crew} loses at least {least} and at most {most}"


def _pins(found: AveragePrice) -> Iterator[str]:
    """Name the pins that are kept less often than without the decision."""
    before = {pay.shot.id: pay.before for pay in found.pays}
    for one in found.now.chances:
        was = before.get(one.shot.id)
        if one.on_pin is None or was is None or was.on_pin is None or one.shot.pin is None:
            continue
        if one.on_pin < was.on_pin - LEAST_KEPT:
            pin = clock(found.now.fit.day, one.shot.pin)
            yield (
                f"{one.shot.id} rolls at its pin, {pin}, on {percent(one.on_pin)} of the days, "
                f"not {percent(was.on_pin)}"
            )


def _payers(found: AveragePrice) -> Iterator[str]:
    shots = [(pay.shot.id, pay.points_lost) for pay in found.pays]
    over = found.now.overtime_min - found.before.overtime_min
    overtime = round(found.now.fit.day.costs.overtime * over)
    costs = [("overtime", overtime), (OTHER_COSTS, found.other_lost - overtime)]
    yield from paid_texts(shots, costs)
    if order_text(found.now) != order_text(found.before):
        yield f"in this order: {order_text(found.now)}"
    yield from _moved(found)


def _moved(found: AveragePrice) -> Iterator[str]:
    """Say when shots are likely to roll that did so at quite another time."""
    day, before = found.now.fit.day, {one.shot.id: one for one in found.before.chances}
    told: list[str] = []
    for one in found.now.chances:
        was = before.get(one.shot.id)
        if was is None or was.roll_min is None or one.roll_min is None or one.made < HARDLY:
            continue
        then = found.before.fit.time_of(was.roll_min[1])
        now = found.now.fit.time_of(one.roll_min[1])
        if abs(now - then) >= TOLD_FROM:
            rolls = "" if told else " rolls"
            told.append(f"{one.shot.id}{rolls} at {clock(day, now)}, not {clock(day, then)}")
    if told:
        more = len(told) - MOST_MOVED
        rest = f" and {more} {'other' if more == 1 else 'others'}" if more > 0 else ""
        yield f"likely: {'; '.join(told[:MOST_MOVED])}{rest}"


def _both(pay: Pay, name: str) -> tuple[str, str]:
    """Write a chance without and with the decision."""

    def one(chance: Chance | None) -> str:
        return NONE if chance is None else percent(getattr(chance, name))

    return one(pay.before), one(pay.now)
