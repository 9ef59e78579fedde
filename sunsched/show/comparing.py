"""Our plan and another order side by side: text for a terminal, and plain dicts for `--json`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from sunsched.change.compare import MATCH, Comparison, Difference
from sunsched.change.crew import CastHours, Crew
from sunsched.day.model import Day
from sunsched.order.plan import PlannedShot
from sunsched.show.layout import clock, heading, table, wrapped
from sunsched.show.record import Record, plan_record
from sunsched.show.terminal import WIDTH

SHOTS_HEADER = ("id", "what", "ours", "light", "theirs", "light", "points", "why")
COST_NAMES = {
    "after_meal": "the first shot after the meal",
    "wide_to_tight": "tight before wide",
    "overtime": "overtime",
    "moves": "moves",
    "rig_changes": "rig changes",
}
NONE = "–"


def comparison_text(found: Comparison, width: int = WIDTH) -> str:
    """Lay out a comparison: shot by shot in their order, what the crew counts, what would help."""
    day = found.ours.day
    shots: list[tuple[str, ...] | str] = [_shot_row(day, one) for one in found.differences]
    if meals := _meal_row(found):
        shots.insert(_before_meal(found), meals)
    crew: list[tuple[str, ...] | str] = [*_crew_rows(day, found)]
    lines = [*heading(day, width), ""]
    lines += wrapped(_how_timed(found), width)
    lines += ["", *table(SHOTS_HEADER, shots, width, flexible=1), ""]
    lines += [*table(("", "ours", "theirs"), crew, width, flexible=None), ""]
    for text in _verdict(found):
        lines += wrapped(text, width)
    return "\n".join(lines)


def comparison_record(found: Comparison, revision: int | None = None) -> Record:
    """Give a comparison; `revision` is the number of the saved plan that theirs is, if it is one.

    `difference` has for each shot the points that theirs loses, the part of the fit that loses
    them, and its mean over the roll in both orders.
    """
    day = found.ours.day
    return {
        "ours": plan_record(found.ours) | {"crew": _crew_record(day, found.our_crew)},
        "theirs": plan_record(found.theirs, revision)
        | {"crew": _crew_record(day, found.their_crew)},
        "points_lost": found.points_lost,
        "light_lost": round(found.ours.light_kept - found.theirs.light_kept, 4),
        "costs_lost": found.costs_lost,
        "difference": [
            {
                "id": one.shot_id,
                "points_lost": one.points_lost,
                "lost_to": one.lost_to,
                "part_ours": None if one.part is None else round(one.part[0], 4),
                "part_theirs": None if one.part is None else round(one.part[1], 4),
            }
            for one in found.differences
        ],
        "breaches": [
            {
                "rule": breach.rule,
                "ids": list(breach.shot_ids),
                "text": breach.text,
                "minutes": breach.minutes,
            }
            for breach in found.breaches
        ],
        "hints": [
            {
                "text": hint.text,
                "order": list(hint.order.ids),
                "meal_after": hint.order.meal_after,
                "light_won": round(hint.light_won, 4),
                "points_won": hint.points_won,
                "wrap_later_min": hint.wrap_later_min,
                "moves_more": hint.moves_more,
                "breaches_more": hint.breaches_more,
            }
            for hint in found.hints
        ],
    }


def _how_timed(found: Comparison) -> str:
    """Say whose times theirs are, and how good they are."""
    if found.order.is_timed:
        return "theirs: the times are those of the order"
    others = "the other times" if found.order.has_times else "the times"
    if not found.is_exact:
        return f"theirs: {others} are as early as can be, as the times given leave no room"
    if not found.obeys:
        return (
            f"theirs: no times of this order obey every rule; {others} are those that break the "
            "fewest and keep the most"
        )
    return f"theirs: {others} are the best that this order can have"


def _shot_row(day: Day, one: Difference) -> tuple[str, ...]:
    shot = day.shot(one.shot_id)
    return (
        shot.id,
        shot.description,
        *_when_and_light(day, one.ours),
        *_when_and_light(day, one.theirs),
        f"{-one.points_lost:+6d}" if one.points_lost else "",
        _lost_to(one),
    )


def _meal_row(found: Comparison) -> tuple[str, ...] | None:
    """Give the row of the meal, None where neither order has one."""
    meals = (found.ours.meal, found.theirs.meal)
    if meals == (None, None):
        return None
    ours, theirs = (NONE if one is None else clock(found.ours.day, one.start) for one in meals)
    return ("", "meal", ours, "", theirs, "", "", "")


def _before_meal(found: Comparison) -> int:
    """Count the shots that stand before the meal in their order, or in ours if theirs has none."""
    plan = found.ours if found.theirs.meal is None else found.theirs
    return sum(plan.meal is not None and one.roll_start < plan.meal.start for one in plan.shots)


def _when_and_light(day: Day, made: PlannedShot | None) -> tuple[str, str]:
    return (NONE, NONE) if made is None else (clock(day, made.roll_start), f"{made.fit:4.0%}")


def _lost_to(one: Difference) -> str:
    if one.theirs is None:
        return "left out"
    if one.ours is None:
        return "ours leaves it out"
    if one.lost_to == MATCH:
        return "drift in its match"
    ours, theirs = (f"{mean:.0%}" for mean in one.part or (0.0, 0.0))
    return one.lost_to if ours == theirs else f"{one.lost_to} {ours} to {theirs}"


def _crew_rows(day: Day, found: Comparison) -> Iterator[tuple[str, str, str]]:
    plans, crews = (found.ours, found.theirs), (found.our_crew, found.their_crew)

    def row(name: str, *texts: str) -> tuple[str, str, str]:
        ours, theirs = texts
        return (name, ours, theirs)

    yield row("light kept", *(f"{plan.light_kept:.1%}" for plan in plans))
    yield row("points", *(f"{plan.points}" for plan in plans))
    yield row("wrap", *(_clock(day, crew.wrap) for crew in crews))
    yield row("overtime", *(_duration(crew.overtime_min) for crew in crews))
    yield row("company moves", *(f"{crew.moves}" for crew in crews))
    yield row("rig changes", *(f"{crew.rig_changes}" for crew in crews))
    yield row("built, waiting for light", *(_duration(crew.waiting_min) for crew in crews))
    yield row("idle, nothing to build", *(_duration(crew.idle_min) for crew in crews))
    for member in day.cast:
        hours = [_cast_text(day, crew, member.name) for crew in crews]
        if hours != [NONE, NONE]:
            yield row(member.name, *hours)


def _cast_text(day: Day, crew: Crew, name: str) -> str:
    for member in crew.cast:
        if member.name == name:
            span = f"{clock(day, member.first_call)}–{clock(day, member.last_release)}"
            return f"{span}, waits {_duration(member.waiting_min)}"
    return NONE


def _verdict(found: Comparison) -> Iterator[str]:
    yield _points_text(found)
    for breach in found.breaches:
        yield f"breaks a rule ({breach.rule}): {breach.text}"
    if found.hints:
        yield "changes to their order that win back most, each alone and timed anew:"
        for hint in found.hints:
            yield f"- {hint.text}"
    elif found.points_lost > 0:
        yield "no shot moved, no two swapped and no other time for the meal wins light back"


def _points_text(found: Comparison) -> str:
    """Say which order is worth more, and what each cost has to do with it."""
    lost = {"its shots": sum(one.points_lost for one in found.differences)}
    lost |= {COST_NAMES[name]: points for name, points in found.costs_lost.items()}
    texts = [f"loses {points} on {name}" for name, points in lost.items() if points > 0]
    texts += [f"wins {-points} on {name}" for name, points in lost.items() if points < 0]
    if not found.points_lost:
        return f"both are worth the same{': theirs ' if texts else ''}{', '.join(texts)}"
    side = "less" if found.points_lost > 0 else "more"
    return f"theirs is worth {abs(found.points_lost)} points {side}: it {', '.join(texts)}"


def _crew_record(day: Day, crew: Crew) -> Record:
    return {
        "wrap": _local(day, crew.wrap),
        "overtime_min": crew.overtime_min,
        "moves": crew.moves,
        "rig_changes": crew.rig_changes,
        "waiting_min": crew.waiting_min,
        "idle_min": crew.idle_min,
        "cast_wait_min": crew.cast_wait_min,
        "cast": [_cast_record(day, member) for member in crew.cast],
    }


def _cast_record(day: Day, member: CastHours) -> Record:
    return {
        "name": member.name,
        "first_call": _local(day, member.first_call),
        "last_release": _local(day, member.last_release),
        "waiting_min": member.waiting_min,
    }


def _local(day: Day, when: datetime | None) -> str | None:
    return None if when is None else when.astimezone(day.place.zone).isoformat()


def _clock(day: Day, when: datetime | None) -> str:
    return "none" if when is None else clock(day, when)


def _duration(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02}" if hours else f"{rest} min"
