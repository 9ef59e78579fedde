"""An order under overruns as text for a terminal: each shot's chances, the day, safer orders."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sunsched.average.plan import HARDLY
from sunsched.day.clock import clock
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.prospects import chance
from sunsched.show.text.day import WIDTH
from sunsched.show.text.headlines.overruns import overruns_headline, weakest_first
from sunsched.whatif.stress.safest import Candidate, Safest, Whose
from sunsched.whatif.stress.stress import TENTH, ShotStress, Stress, moment

SHOTS_HEADER = ("id", "what", "plan", "rolls", "made", "half light", "costs")
SAFEST_HEADER = ("order of", "mean", "worst tenth", "its mean", "overtime", "points lost")
NONE = "–"
NOTE = (
    "Each changeover and each roll takes its planned minutes times a factor drawn for it alone, by "
    "size (`[overrun.<size>]`; common practice, no source). Days that are slow as a whole are "
    "drawn if `[overrun.day] spread` is above 0; the crew does not know them beforehand. plan: "
    "its own times, of a plan for the average day the likely ones. rolls: of "
    "the days on which it is made, nine in ten have it start after the first time, nine in ten "
    "before the second; half light: it is made and keeps half its light; costs: light that the "
    "mean day loses to this shot's overruns. The weakest shots stand first."
)
SAFEST_NOTE = (
    "worst tenth: one day in ten keeps less light; its mean: what those days keep in the mean, "
    "which is what the search is for; points lost: against the plan for the average day, in the "
    "mean of all days; rarely: on fewer than half of the days. In every order the crew does what "
    "is worth most points on the average day."
)


def stress_text(found: Stress, source: str, width: int = WIDTH) -> str:
    """Lay out an order under overruns.

    Parameters
    ----------
    source : whose order it is, as it stands after "days of"
    """
    day = found.fit.day
    shots: list[tuple[str, ...] | str] = [_shot_row(found, one) for one in weakest_first(found)]
    lines = [*heading(day, width), "", *wrapped(overruns_headline(found), width), ""]
    lines += wrapped(f"{found.days} drawn days of {source}, seed {found.seed}", width)
    lines += ["", *table(SHOTS_HEADER, shots, width, flexible=1), ""]
    lines += [*table(("", "plan", "median", "worst tenth"), [*_day_rows(found)], width, None), ""]
    for text in _verdict(found):
        lines += wrapped(text, width)
    lines += ["", *wrapped(NOTE, width, indent=0)]
    return "\n".join(lines)


def safest_text(found: Safest, source: str, width: int = WIDTH) -> str:
    """Lay out the orders that were judged for safety, and name the safest.

    Parameters
    ----------
    source : whose order was asked for, as for `stress_text`
    """
    rows: list[tuple[str, ...] | str] = [
        (
            _name(one, source),
            f"{one.stress.light_kept.mean():.1%}",
            f"{one.stress.light_at(TENTH):.1%}",
            f"{one.worst_mean:.1%}",
            chance(one.stress.overtime_chance),
            f"{found.points_lost(one):.0f}",
        )
        for one in found.candidates
    ]
    lines = wrapped("Orders on the same drawn days, which the search has not seen:", width)
    lines += ["", *table(SAFEST_HEADER, rows, width, flexible=0), ""]
    for one in found.candidates:
        for text in _gives_up(one, source):
            lines += wrapped(text, width)
    lines += wrapped(_safest(found), width)
    return "\n".join([*lines, "", *wrapped(SAFEST_NOTE, width, indent=0)])


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
        f"{one.light_lost:z5.1%}",
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


def _name(one: Candidate, source: str) -> str:
    """Name an order by the days that it is best for, or by whose it is."""
    names = {
        Whose.AVERAGE: "the average day",
        Whose.PLANNED: "planned minutes",
        Whose.ORDER: source,
        Whose.SAFEST: "bad days",
    }
    return next(names[whose] for whose in one.whose)


def _gives_up(one: Candidate, source: str) -> Iterator[str]:
    """Say which shots an order does without, on all days or on most of them."""
    rarely = [f"{shot.id} ({chance(made)})" for shot, made in one.rarely_made]
    parts = [f"rarely makes {', '.join(rarely)}"] if rarely else []
    parts += [f"leaves out {', '.join(one.left_out_ids)}"] if one.left_out_ids else []
    if parts:
        yield f"the order of {_name(one, source)} {' and '.join(parts)}"


def _safest(found: Safest) -> str:
    best, plan = found.safest, found.average
    if best is plan:
        return (
            f"the safest order is that of the average day: of {found.followed} orders none surely "
            "keeps more on the worst tenth of the days"
        )
    lost = found.points_lost(best)
    # What is hardly ever made stands nowhere.
    ids = [one.shot.id for one in best.stress.shots if one.made_chance >= HARDLY]
    return (
        f"the safest order: {', '.join(ids)}. On the worst tenth of the days it keeps "
        f"{best.worst_mean:.1%} of the light in the mean, the plan for the average day "
        f"{plan.worst_mean:.1%} ({100 * found.gain:.1f} ± {100 * found.gain_error:.1f} more); in "
        f"the mean of all days it is worth {abs(lost):.0f} points {'less' if lost >= 0 else 'more'}"
    )
