"""The plan for the average day as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from sunsched.average.order.forecast import Chance
from sunsched.average.plan import HARDLY, AveragePlan
from sunsched.average.risk import EARLIER_MIN, LATER_MIN, Risk
from sunsched.day.clock import clock
from sunsched.plan.reasons import why_left_out
from sunsched.show.agenda import CAUTIONS, Line, LineKind, day_lines, timed_text
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.notes import told_notes
from sunsched.show.prospects import KEPT
from sunsched.show.prospects import chance as percent
from sunsched.show.text.day import WIDTH

HEADER = ("likely", "id", "what", "size", "spot", "made", "light", "not before", "begin by")
NEVER = "–"
SHORT_WAIT = timedelta(minutes=5)  # a shorter one is no line: nobody counts on likely minutes
NOTE = (
    "likely: all work takes its median minutes; made: on how many days; light: what is kept of it "
    "on the average day; not before: a crew that is ready earlier waits; begin by: else it is left "
    "out, as what follows is worth more; –: not made on the likely day. Work takes its planned "
    "minutes times a factor, by size (`[overrun.<size>]`; common practice, no source)."
)


def average_text(found: AveragePlan, width: int = WIDTH) -> str:
    """Lay out the plan for the average day."""
    day = found.likely.day
    lines = [*heading(day, width), ""]
    for risk in found.risks:
        lines += wrapped(risk_text(risk), width)
    lines += [""] if found.risks else []
    lines += [*table(HEADER, [*likely_rows(found)], width, flexible=2), ""]
    for text in (*verdicts(found), *told_notes(found.likely)):
        lines += wrapped(text, width)
    lines += ["", *wrapped(NOTE, width, indent=0), ""]
    for text in CAUTIONS:
        lines += wrapped(text, width)
    return "\n".join(lines)


def risk_text(risk: Risk) -> str:
    """Say how often a weighty shot is made, and what would help."""
    changes = (
        (f"with the call {EARLIER_MIN} min earlier", risk.earlier),
        (f"with the hard wrap {LATER_MIN} min later", risk.later),
        *([] if risk.without is None else [(f"without {risk.without[0].id}", risk.without[1])]),
    )
    helps = [f"{percent(made)} {name}" for name, made in changes if made is not None]
    said = f"{risk.shot.id} ({risk.shot.size}) is made on {percent(risk.made)} of the days"
    if not helps:
        return f"{said}; in this order no earlier call, later wrap or single cut would help much"
    return f"{said}; {', '.join(helps)}"


def verdicts(found: AveragePlan) -> Iterator[str]:
    """Say what the order keeps on the average day, what any other way could, and if all holds."""
    yield from doubts(found)
    yield (
        f"on the average day {found.light_kept:.1%} of the light is kept: {found.points} points "
        "with all costs"
    )
    if found.bound is None:
        yield "there was no time to say how much more another way of shooting could be worth"
    elif found.bound <= found.points:
        yield "no way of shooting this day is worth more"
    else:
        more = f" ({found.gap:.1%} more)" if found.gap is not None and found.points > 0 else ""
        yield (
            f"no way of shooting this day is worth more than {found.bound} points{more}, not even "
            "one that decides anew at every moment"
        )
    yield from _if_all_holds(found)


def _if_all_holds(found: AveragePlan) -> Iterator[str]:
    """Say what is kept if every minute holds, as far as it is known."""
    mine, best = found.as_planned, found.best_planned
    own = "" if mine is None else f"{mine.light_kept:.1%}, {mine.points} points"
    if best is None:
        if own:
            yield f"if every minute holds, this order keeps {own}"
        return
    proof, name = "proven", "the best order"
    if not best.is_proven:
        proof = f"no order more than {best.bound}; `sunsched plan --for planned` looks longer"
        name = "the best order found"
    planned = f"{best.light_kept:.1%}, {best.points} points ({proof})"
    if own:
        yield f"if every minute holds, this order keeps {own}, and {name} for that {planned}"
    else:
        yield f"{name} for planned minutes keeps {planned}, if every minute holds"


def doubts(found: AveragePlan) -> Iterator[str]:
    """Say which pins may not be kept, and whether anything is likely to be made."""
    day = found.policy.rest.fit.day
    for chance in found.chances:
        pin = chance.shot.pin
        if pin is not None and chance.on_pin is not None and chance.on_pin < KEPT:
            share = percent(chance.on_pin)
            yield f"{chance.shot.id} rolls at its pin, {clock(day, pin)}, on {share} of the days"
    if all(chance.made < HARDLY for chance in found.chances):
        yield "nothing that is still to come is likely to be made"


def likely_rows(
    found: AveragePlan, since: datetime | None = None
) -> Iterator[tuple[str, ...] | str]:
    """Give the lines of the likely day; a shot that it does not make stands where it would be.

    What is hardly ever made stands below them all.

    Parameters
    ----------
    since : a moment from which the day goes on; what ends before it has no line. None for all
    """
    chances = {chance.shot.id: chance for chance in found.chances}
    likely = {planned.shot.id for planned in found.likely.shots}
    hardly = [one for one in found.chances if one.made < HARDLY and one.shot.id not in likely]
    waiting = [one for one in found.chances if one not in hardly]
    for line in day_lines(found.likely):
        shot_id = "" if line.planned is None else line.planned.shot.id
        if line.kind is LineKind.SHOT and shot_id in chances:
            while waiting and waiting[0].shot.id != shot_id:
                one = waiting.pop(0)
                if one.shot.id not in likely:
                    yield from _unlikely(found, one)
            waiting = waiting[1:]
        if _is_told(line, since):
            yield _row(found, line, chances)
    for one in (*waiting, *hardly):
        yield from _unlikely(found, one)


def _unlikely(found: AveragePlan, one: Chance) -> Iterator[tuple[str, ...] | str]:
    """Give the row of a shot that the likely day does not make, and under it why."""
    plan = found.likely
    yield (NEVER, *_cells(found, one))
    if one.shot.id in {left.shot.id for left in plan.left_out}:
        why = why_left_out(plan.fit, one.shot, plan.timetable, is_proven=False, grid_min=1)
        yield f"{NEVER}  {one.shot.id} is not made on the likely day: {why}"


def _is_told(line: Line, since: datetime | None) -> bool:
    if line.kind is LineKind.WAIT and line.end - line.start < SHORT_WAIT:
        return False
    if since is None:
        return True
    return line.end > since and line.kind not in (LineKind.CALL, LineKind.NOW)


def _row(found: AveragePlan, line: Line, chances: dict[str, Chance]) -> tuple[str, ...] | str:
    day = found.likely.day
    start, end = clock(day, line.start), clock(day, line.end)
    if line.kind is LineKind.MEAL:
        return f"{start}–{end}  {line.text}"
    if line.kind is not LineKind.SHOT or line.planned is None:
        return f"{start}  {timed_text(line)}"
    shot = line.planned.shot
    if shot.id not in chances:
        return (
            f"{start}–{end}",
            shot.id,
            shot.description,
            shot.size,
            shot.spot,
            "made",
            "",
            "",
            "",
        )
    return (f"{start}–{end}", *_cells(found, chances[shot.id]))


def _cells(found: AveragePlan, one: Chance) -> tuple[str, ...]:
    fit = found.policy.rest.fit
    clocks = [
        "" if minute is None else clock(fit.day, fit.time_of(minute))
        for minute in (one.not_before_min, one.begin_by_min)
    ]
    shot = one.shot
    return (
        shot.id,
        shot.description,
        shot.size,
        shot.spot,
        percent(one.made),
        percent(one.light),
        *clocks,
    )
