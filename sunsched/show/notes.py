"""What a crew should know beside the order, as lines under it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from sunsched.day.clock import AGAIN, clock
from sunsched.day.decided import decision_texts
from sunsched.day.model import Day, Span
from sunsched.folder.decisions.file import DECISIONS_FILE
from sunsched.light.angles import TAIL
from sunsched.light.fit import HALF
from sunsched.light.stretches import runs
from sunsched.plan.availability import can_roll_at, needs
from sunsched.plan.outlook import SURE
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State, day_lines, state_of
from sunsched.show.cautions import caution_texts, day_caution
from sunsched.show.layout import bearings_note, span_times
from sunsched.show.prospects import chance
from sunsched.show.second_meal import second_meal

IDLE_MIN = 15  # a longer time from the call to the first changeover is told
SEE = " (see `windows`)"
AVERAGE_NOTE = (
    "times are those of a day on which all work takes its median minutes; a crew that is ready "
    "earlier waits where it says not before, and leaves out a shot whose changeover has not begun "
    "by the time it says; the last start is the latest roll that keeps half of the light"
)


def sheet_notes(plan: Plan) -> tuple[str, ...]:
    """Give the notes of a sheet, which says too what the times of a likely day are."""
    return (() if plan.outlook is None else (AVERAGE_NOTE,)) + tuple(_notes(plan, see=""))


def told_notes(plan: Plan) -> tuple[str, ...]:
    """Give the notes of a text without room beside each shot: its cautions stand here."""
    return (*notes(plan), *caution_texts(plan))


def notes(plan: Plan) -> tuple[str, ...]:
    """Give what the crew should know beside the order: overtime, meals, shots in poor light."""
    return tuple(_notes(plan, see=SEE))


def decisions_note(day: Day) -> str:
    """Say which decisions a day obeys; "" where there are none."""
    texts = decision_texts(day)
    return f"decisions of the day: {'; '.join(texts)} ({DECISIONS_FILE})" if texts else ""


def _notes(plan: Plan, see: str) -> Iterator[str]:
    if plan.day.decisions:
        yield decisions_note(plan.day)
    if plan.outlook is not None:
        unsure = [one for one in plan.outlook.prospects if one.made < SURE]
        if unsure:
            told = (f"{one.shot_id} ({chance(one.made)})" for one in unsure)
            yield f"made on fewer than {SURE:.0%} of the days: {', '.join(told)}"
    if any(
        AGAIN in clock(plan.day, line.start) + clock(plan.day, line.end) for line in day_lines(plan)
    ):
        yield f"{AGAIN} after the clocks are put back"
    day = plan.day
    moves = sum(1 for planned in plan.shots if planned.move_min)
    last = plan.shots[-1].roll_end if plan.shots else day.hours.wrap
    over = max(0, round((last - day.hours.wrap) / timedelta(minutes=1)))
    yield f"company moves: {moves}; overtime: {over} min"
    if plan.shots:
        idle = round((plan.shots[0].changeover_start - day.hours.crew_call) / timedelta(minutes=1))
        if idle >= IDLE_MIN and day.past is None:
            yield f"nothing is begun until {idle} min after the call"
            if day.costs.wait:
                later = clock(day, plan.shots[0].changeover_start)
                yield f"a call at {later} would win {day.costs.wait * idle} points of waiting"
    if day.past is not None and day.past.meal_due is not None:
        yield f"the meal was to begin by {clock(day, day.past.meal_due)}"
    yield from first_light_notes(plan)
    yield from light_notes(plan, see)
    yield from filter(None, [day_caution(plan)])
    if bearings_note(day):
        yield bearings_note(day)
    if plan.second_meal_due is not None and second_meal(plan) is None:
        yield f"a second meal is due at {clock(day, plan.second_meal_due)} (common practice)"


def first_light_notes(plan: Plan) -> Iterator[str]:
    """Say when the first light comes that a shot asks for, where the crew is called long before."""
    day = plan.day
    if day.past is not None:
        return
    asking = {shot.id for shot in day.shots if not shot.wish.asks_nothing}
    # From the call on, not from the first roll: light that was there before it is no news.
    call, wrap = plan.fit.minute_of(day.hours.crew_call), plan.fit.minute_of(day.hours.hard_wrap)
    is_useful = {
        shot: own.by_itself[call:wrap] >= HALF
        for shot, own in plan.fit.shots.items()
        if shot in asking
    }
    waits_min = {shot: int(useful.argmax()) for shot, useful in is_useful.items() if useful.any()}
    least_min = min(waits_min.values(), default=0)
    if least_min >= IDLE_MIN:
        whose = ", ".join(shot for shot, wait_min in waits_min.items() if wait_min == least_min)
        first = plan.fit.time_of(call + least_min)
        yield f"the first useful light is {clock(day, first)}, for {whose}"


def light_notes(plan: Plan, see: str = SEE) -> Iterator[str]:
    """Name the shots still to come that roll with none of their light, or less than half of it.

    `see` says where more can be read of what to change; nothing on a sheet, which is handed out.
    """
    coming = [one for one in plan.shots if state_of(plan, one) is State.COMING]
    lost = [one for one in coming if one.fit <= TAIL]
    lit = {one.shot.id: spans for one in lost if (spans := _lit_spans(plan, one))}
    dark = [one.shot.id for one in lost if one.shot.id not in lit]
    if dark:
        yield (
            f"with none of the light they ask for: {', '.join(dark)}; cut them, or change what "
            f"they ask{see}"
        )
    if lit:
        when = ", ".join(f"{one} ({spans})" for one, spans in lit.items())
        yield f"with none of their light, as others take it while it is there: {when}"
    poor = [one for one in coming if TAIL < one.fit < HALF]
    if poor:
        flats = sorted({one.flat for one in poor if one.flat})
        told = [("with less than half their light", poor)]
        told += [(f"flat {flat}", [one for one in poor if one.flat == flat]) for flat in flats]
        yield "; ".join(f"{what}: {', '.join(one.shot.id for one in them)}" for what, them in told)


def _lit_spans(plan: Plan, planned: PlannedShot) -> str:
    """Say from when to when a shot could roll in half its light; "" where it never could."""
    fit, shot = plan.fit, planned.shot
    starts = can_roll_at(fit, shot, needs(fit, shot)) & (fit.shots[shot.id].mean >= HALF)
    spans = [
        Span(start=fit.time_of(first), end=fit.time_of(last - 1 + shot.shoot_min))
        for first, last in runs(starts)
    ]
    return span_times(plan.day, spans)
