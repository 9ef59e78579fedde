"""Our plan and another order side by side: text for a terminal, and plain dicts for `--json`."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.average.solve import Kept
from sunsched.day.clock import clock, local_text
from sunsched.day.model import Day
from sunsched.plan.outlook import SURE
from sunsched.plan.plan import PlannedShot
from sunsched.plan.rules import Breach
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.prospects import KEPT, chance
from sunsched.show.records.day import Record, crew_record, plan_record
from sunsched.show.text.crew import COST_NAMES, NONE, crew_rows
from sunsched.show.text.day import WIDTH
from sunsched.show.text.headlines.arguments import comparison_headline
from sunsched.show.text.headlines.sides import how_timed, names_told, order_names, revision_number
from sunsched.show.text.likely import (
    likely_crew_rows,
    likely_header,
    likely_record,
    likely_rows,
)
from sunsched.whatif.compare.compare import MATCH, Comparison, Difference

LIKELY_NOTE = (
    "ours, theirs: when it is likely to roll, as all work takes its median minutes; made: on how "
    "many days; light: what is kept of it on the average day."
)


def comparison_text(found: Comparison, width: int = WIDTH) -> str:
    """Lay out a comparison: shot by shot in their order, what the crew counts, what would help."""
    lines = [*heading(found.theirs.day, width), ""]
    lines += [*wrapped(comparison_headline(found), width), ""]
    for text in how_timed(found):
        lines += wrapped(text, width)
    lines += ["", *table(shots_header(found), shot_rows(found), width, flexible=1), ""]
    if found.likely is not None:
        lines += [*wrapped(LIKELY_NOTE, width, indent=0), ""]
    header = ("", *order_names(found))
    lines += [*table(header, counted_rows(found), width, flexible=None), ""]
    for text in difference_texts(found):
        lines += wrapped(text, width)
    return "\n".join(lines)


def comparison_record(found: Comparison) -> Record:
    """Give a comparison; `first` and `second` name what ours and theirs come from.

    `difference` has for each shot the points that theirs loses, the part of the fit that loses
    them, and its mean over the roll in both orders.
    """
    first, second = found.first, found.second
    ours = plan_record(found.ours, None if first is None else revision_number(first))
    theirs = plan_record(found.theirs, revision_number(second))
    return {
        "headline": comparison_headline(found),
        "first": "our plan" if first is None else first.source.name,
        "second": second.source.name,
        "ours": ours | {"crew": crew_record(found.ours.day, found.our_crew)},
        "theirs": theirs | {"crew": crew_record(found.theirs.day, found.their_crew)},
        "average_day": {
            "ours": _kept_record(found.ours.day, found.our_average),
            "theirs": _kept_record(found.theirs.day, found.their_average),
        },
        "likely": None
        if found.likely is None
        else dict(zip(("ours", "theirs"), map(likely_record, found.likely), strict=True)),
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
        "our_breaches": [_breach_record(breach) for breach in found.our_breaches],
        "breaches": [_breach_record(breach) for breach in found.breaches],
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
                "on_top_of_new_times": hint.is_on_top,
            }
            for hint in found.hints
        ],
    }


def _kept_record(day: Day, kept: Kept) -> Record:
    return {
        "points": kept.points,
        "light_kept": round(kept.light_kept, 4),
        "stop_median": local_text(day, kept.stop),
    }


def _breach_record(breach: Breach) -> Record:
    return {
        "rule": breach.rule,
        "ids": list(breach.shot_ids),
        "text": breach.text,
        "minutes": breach.minutes,
    }


def shots_header(found: Comparison) -> tuple[str, ...]:
    """Name the columns of the shots in both orders."""
    if found.likely is not None:
        return likely_header(order_names(found))
    one, other = order_names(found)
    return ("id", "what", one, "light", other, "light", "why", "points")


def shot_rows(found: Comparison) -> list[tuple[str, ...]]:
    """Give each shot in both orders, and the meal, as they stand in their order."""
    if found.likely is not None:
        return likely_rows(found.likely)
    rows = [_shot_row(found, one) for one in found.differences]
    if meals := _meal_row(found):
        rows.insert(_before_meal(found), meals)
    return rows


def _shot_row(found: Comparison, one: Difference) -> tuple[str, ...]:
    day, shot = found.theirs.day, found.shot(one.shot_id)
    return (
        shot.id,
        shot.description,
        *_when_and_light(day, one.ours),
        *_when_and_light(day, one.theirs),
        _lost_to(one, names_told(found)[0]),
        f"{-one.points_lost:+6d}" if one.points_lost else "",
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


def _lost_to(one: Difference, ours: str) -> str:
    if one.theirs is None:
        return "left out"
    if one.ours is None:
        return f"{ours} leaves it out"
    if one.lost_to == MATCH:
        return "drift in its match"
    ours, theirs = (f"{mean:.0%}" for mean in one.part or (0.0, 0.0))
    return one.lost_to if ours == theirs else f"{one.lost_to} {ours} to {theirs}"


def counted_rows(found: Comparison) -> list[tuple[str, ...]]:
    """Give what both orders keep, and what an assistant director counts of them."""
    ours, theirs = found.ours, found.theirs
    rows = crew_rows(theirs.day, found.our_crew, found.their_crew)
    both = (found.our_average, found.their_average)
    average = [
        ("average day", *(f"{one.light_kept:.1%}, {one.points} points" for one in both)),
        ("average day, end", *(clock(theirs.day, one.stop) for one in both)),
    ]
    if found.likely is not None:
        holds = (f"{one.light_kept:.1%}, {one.points} points" for one in (ours, theirs))
        return [*average, *likely_crew_rows(found.likely), ("if every minute holds", *holds)]
    return [
        *average,
        ("light kept", f"{ours.light_kept:.1%}", f"{theirs.light_kept:.1%}"),
        ("points", f"{ours.points}", f"{theirs.points}"),
        *(row for row in rows if row[0] != "meal"),  # it stands among the shots
    ]


def difference_texts(found: Comparison) -> Iterator[str]:
    """Say which order is worth more, which rules are broken, and what would help."""
    yield _average_text(found)
    if found.likely is None and found.order.has_times and found.second.source.timetable is None:
        yield "there an order counts, not its times: the crew follows it as is best"
    yield from _chance_texts(found)
    yield _points_text(found)
    if found.is_beside_ours:
        sides = [("", found.breaches)]
    else:
        sides = [*zip(names_told(found), (found.our_breaches, found.breaches), strict=True)]
    for name, every in sides:
        for breach in every:
            yield f"{name} breaks a rule ({breach.rule}): {breach.text}".lstrip()
    their = "their order" if found.is_beside_ours else "the second order"
    if found.hints:
        yield f"changes to {their} that win back most if every minute holds, {_alone(found)}:"
        for hint in found.hints:
            yield f"- {hint.text}"
    elif found.points_lost > 0 and found.theirs.day.past is None:
        yield "no shot moved, no two swapped and no other time for the meal wins light back"


def _alone(found: Comparison) -> str:
    """Say against what each change is counted."""
    is_on_top = any(hint.is_on_top for hint in found.hints)
    return "each later one on top of the first" if is_on_top else "each alone"


def _average_text(found: Comparison) -> str:
    """Say which order is worth more on the average day, where work takes longer and shorter."""
    ours, theirs = names_told(found)
    more = found.their_average.points - found.our_average.points
    if not more:
        return "on the average day both are worth the same"
    better, points = (theirs, more) if more > 0 else (ours, -more)
    return f"on the average day {better} is worth {points} points more"


def _chance_texts(found: Comparison) -> Iterator[str]:
    """Say of both orders how often pins are kept, and which shots nobody can be sure of."""
    for name, kept in zip(names_told(found), (found.our_average, found.their_average), strict=True):
        for one in kept.chances:
            if one.on_pin is not None and one.on_pin < KEPT:
                yield f"{name}: {one.shot.id} rolls at its pin on {chance(one.on_pin)} of the days"
        unsure = [f"{one.shot.id} ({chance(one.made)})" for one in kept.chances if one.made < SURE]
        if unsure:
            yield f"{name}: made on fewer than {SURE:.0%} of the days: {', '.join(unsure)}"


def _points_text(found: Comparison) -> str:
    """Say which order is worth more, and how much of that each cost makes up."""
    lost = {"its shots": sum(one.points_lost for one in found.differences)}
    lost |= {COST_NAMES[name]: points for name, points in found.costs_lost.items()}
    texts = [f"loses {points} on {name}" for name, points in lost.items() if points > 0]
    texts += [f"wins {-points} on {name}" for name, points in lost.items() if points < 0]
    theirs = names_told(found)[1]
    if not found.points_lost:
        each = f": {theirs} {', '.join(texts)}" if texts else ""
        return f"if every minute holds, both are worth the same{each}"
    side = "less" if found.points_lost > 0 else "more"
    points = f"{abs(found.points_lost)} points {side}"
    return f"if every minute holds, {theirs} is worth {points}: it {', '.join(texts)}"
