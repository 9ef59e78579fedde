"""The words of the day's picture: its verdict, the flags of its work, and its key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from sunsched.day.clock import clock
from sunsched.light.fit import DayFit
from sunsched.plan.plan import Plan
from sunsched.show.charts.day_rows import day_rows
from sunsched.show.drawing.figure import RULE, VERMILION, Style
from sunsched.show.drawing.hour_bars import HourBar, bars_key
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.drawing.lettering import Words, wrapped_words
from sunsched.show.drawing.strips import BELOW_HALF, LAST, LIKELY, piece_key, shade_key
from sunsched.show.drawing.sun_band import SUN, SUN_EVENT
from sunsched.show.drawing.timeline import Flag, TimeAxis, minutes_of
from sunsched.show.paper_size import Paper
from sunsched.show.pieces import plan_pieces
from sunsched.show.proof import grid_text, proof_text, verdict
from sunsched.show.prospects import LIKELY_MARK
from sunsched.show.second_meal import second_meal

MEAL: Style = {"facecolor": "0.93", "edgecolor": "0.35", "linewidth": 0.7, "hatch": "\\\\\\"}
NOW: Style = {"color": VERMILION, "linewidth": 2.0, "linestyle": "-"}
HOURS: Style = {"color": "0.25", "linewidth": 0.7}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
ROLL_SHARE = 1.25  # share of a strip's height: a roll is a little higher than its strip
LIKELY_SHARE = 0.25  # share of a strip's height: the band of likely starts under it


def _kept_text(plan: Plan) -> str:
    if plan.outlook is not None:
        return verdict(plan)
    kept = f"light kept {plan.light_kept:.1%}, {plan.points} points"
    status = f"not proven: with starts {grid_text(plan)} no order is worth more than {plan.bound}"
    status = proof_text(plan) if plan.status == "proven" else f"{status} points"
    return f"{kept}; {status}"


def verdict_words(plan: Plan, setting: Paper) -> list[Words]:
    """Say what the plan keeps."""
    return wrapped_words(_kept_text(plan), setting.room_in, setting.text_pt)


def beyond_words(
    plan: Plan, axis: TimeAxis, flags: Sequence[Flag], now: datetime | None, setting: Paper
) -> Iterator[Words]:
    """Name the moments that the picture does not reach."""
    if now is not None and not axis.shows(minutes_of(axis.fit, now)):
        local = now.astimezone(plan.day.place.zone)
        text = f"now, {local:%Y-%m-%d %H:%M}, is not on this picture"
        yield from wrapped_words(text, setting.room_in, setting.text_pt)
    beyond = [flag.text for flag in flags if not axis.shows(flag.minute)]
    if beyond:
        text = f"before or after the hours shown: {', '.join(beyond)}"
        yield from wrapped_words(text, setting.room_in, setting.text_pt)


def work_flags(plan: Plan, axis: TimeAxis, now: datetime | None) -> Iterator[Flag]:
    """Name the hours of work, the meals and now."""
    day, hours = plan.day, plan.day.hours
    moments = [("crew call", hours.crew_call), ("wrap", hours.wrap)]
    if hours.hard_wrap > hours.wrap:
        moments.append(("hard wrap", hours.hard_wrap))
    if now is not None:
        moments.append(("now", now))
    for name, when in moments:
        yield Flag(minute=minutes_of(axis.fit, when), text=f"{name} {clock(day, when)}")
    for name, meal in (("meal", plan.meal), ("second meal", second_meal(plan))):
        if meal is not None:
            yield Flag(
                minute=minutes_of(axis.fit, meal.start),
                text=f"{name} {clock(day, meal.start)}–{clock(day, meal.end)}",
            )


def day_key(
    fit: DayFit, plan: Plan, axis: TimeAxis, bars: Sequence[HourBar], now: datetime | None
) -> list[KeyEntry]:
    entries = [*shade_key(), *piece_key(plan_pieces(plan))]
    if any(row.is_below_half for row in day_rows(plan)):
        entries.append(KeyEntry(label="rolls with less than half its light", line=BELOW_HALF))
    if any(planned.last_start is not None for planned in plan.shots):
        entries.append(KeyEntry(label="last start that keeps half its light", line=LAST))
    if plan.outlook is not None:
        entries.append(KeyEntry(label=LIKELY_MARK, box=LIKELY, share=LIKELY_SHARE))
    if plan.meal is not None:
        entries.append(KeyEntry(label="meal", box=MEAL))
    if now is not None and axis.shows(minutes_of(fit, now)):
        entries.append(KeyEntry(label="now", line=NOW))
    entries.append(KeyEntry(label="height of the sun", line=SUN))
    entries += bars_key(fit.day, bars)
    entries.append(KeyEntry(label="dawn, rise, highest, set, dusk", line=SUN_EVENT))
    entries.append(KeyEntry(label="call and wrap", line=HOURS))
    return entries
