"""An order under overruns as text for a terminal: each shot's chances, the day, safer orders."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sunsched.day.clock import clock
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.prospects import chance
from sunsched.show.text.day import WIDTH
from sunsched.whatif.stress.safest import Candidate, Safest
from sunsched.whatif.stress.stress import TENTH, ShotStress, Stress, moment

SHOTS_HEADER = ("id", "what", "plan", "rolls", "made", "half light", "costs")
NONE = "–"
NOTE = (
    "Each changeover and each roll takes its planned minutes times a factor drawn for it alone, by "
    "size (`[overrun.<size>]`; common practice, no source). Days that are slow as a whole are "
    "drawn if `[overrun.day] spread` is above 0; the crew does not know them beforehand. rolls: of "
    "the days on which it is made, nine in ten have it start after the first time, nine in ten "
    "before the second; half light: it is made and keeps half its light; costs: light that the "
    "mean day loses to this shot's overruns."
)


def stress_text(found: Stress, source: str, width: int = WIDTH) -> str:
    """Lay out an order under overruns.

    Parameters
    ----------
    source : whose order it is, as it stands after "days of"
    """
    day = found.fit.day
    shots: list[tuple[str, ...] | str] = [_shot_row(found, one) for one in found.shots]
    lines = [*heading(day, width), ""]
    lines += wrapped(f"{found.days} drawn days of {source}, seed {found.seed}", width)
    lines += ["", *table(SHOTS_HEADER, shots, width, flexible=1), ""]
    lines += [*table(("", "plan", "median", "worst tenth"), [*_day_rows(found)], width, None), ""]
    for text in _verdict(found):
        lines += wrapped(text, width)
    lines += ["", *wrapped(NOTE, width, indent=0)]
    return "\n".join(lines)


def safest_text(found: Safest, width: int = WIDTH) -> str:
    """Lay out the orders that were tried for safety, and name the best ones."""
    rows: list[tuple[str, ...] | str] = [
        (
            order_name(one),
            f"{one.stress.planned_light:.1%}",
            f"{one.stress.light_kept.mean():.1%}",
            f"{one.stress.light_at(TENTH):.1%}",
            f"{found.points_lost(one)}",
            ", ".join(one.left_out_ids) or NONE,
        )
        for one in found.candidates
    ]
    header = ("the order of", "no overrun", "mean", "worst tenth", "points lost", "left out")
    lines = [*wrapped("Orders found for longer minutes, on the same drawn days:", width)]
    lines += ["", *table(header, rows, width, flexible=5), ""]
    for percent in found.not_found:
        lines.append(f"no order was found for minutes {percent}% longer")
    for best, what in ((found.best_mean, "on the mean day"), (found.best_tenth, "on bad days")):
        lines += wrapped(_best(found, best, what), width)
    return "\n".join(lines)


def order_name(one: Candidate) -> str:
    """Name an order by the days that it is the order of."""
    longer = [f"{percent}%" for percent in one.percents if percent]
    names = ["the plan"] if 0 in one.percents else []
    return " and ".join([*names, *([f"minutes {', '.join(longer)} longer"] if longer else [])])


def _shot_row(found: Stress, one: ShotStress) -> tuple[str, ...]:
    day = found.fit.day
    times = [moment(found.fit, one.start_min, share) for share in (TENTH, 1.0 - TENTH)]
    spread = [clock(day, when) for when in times if when is not None]
    return (
        one.shot.id,
        one.shot.description,
        NONE if one.planned is None else clock(day, one.planned),
        "–".join(spread) or NONE,
        f"{chance(one.made_chance):>4}",
        f"{chance(one.half_chance):>4}",
        f"{one.light_lost:5.1%}",
    )


def _day_rows(found: Stress) -> Iterator[tuple[str, ...]]:
    fit, day, timetable = found.fit, found.fit.day, found.timetable
    light = (found.planned_light, found.light_at(0.5), found.light_at(TENTH))
    yield ("light kept", *(f"{share:.1%}" for share in light))
    ends = (
        found.planned_end,
        found.wrap_at(0.5),
        found.wrap_at(1.0 - TENTH),
    )
    yield ("wrap", *(NONE if when is None else clock(day, when) for when in ends))
    meals = (
        timetable.meal_start,
        moment(fit, found.meal_min, 0.5),
        moment(fit, found.meal_min, 1.0 - TENTH),
    )
    yield ("meal", *(NONE if when is None else clock(day, when) for when in meals))


def _verdict(found: Stress) -> Iterator[str]:
    yield f"overtime in {chance(found.overtime_chance)} of the days"
    yield f"every shot of the order made in {chance(found.all_made_chance)} of the days"
    for one in found.shots:
        if one.shot.pin is None:
            continue
        pin = found.fit.minute_of(one.shot.pin)
        late = float(np.mean(np.nan_to_num(one.start_min) > pin))
        if late:
            yield (
                f"{one.shot.id} is pinned at {clock(found.fit.day, one.shot.pin)} and rolls later "
                f"in {chance(late)} of the days"
            )
    worst = found.hurts_most
    if worst is not None:
        yield (
            f"{worst.shot.id} hurts most: if it alone ran by its plan, the mean day would keep "
            f"{found.light_kept.mean() + worst.light_lost:.1%} of the light, not "
            f"{found.light_kept.mean():.1%}"
        )


def _best(found: Safest, best: Candidate, what: str) -> str:
    if best is found.planned:
        return f"most light {what}: the plan's own order"
    mine, plan = (
        (one.stress.light_kept.mean(), one.stress.light_at(TENTH)) for one in (best, found.planned)
    )
    ids = ", ".join(shot.shot.id for shot in best.stress.shots)
    return (
        f"most light {what}: {ids}. It keeps {mine[0]:.1%} in the mean (the plan {plan[0]:.1%}), "
        f"{mine[1]:.1%} in the worst tenth (the plan {plan[1]:.1%}), and is worth "
        f"{found.points_lost(best)} points less when nothing overruns"
    )
