"""The file of a saved plan: one form, which is written and read.

A file also holds what `plan --json` prints. That is for other programs; it is not read here.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from pydantic import ConfigDict, Field

from sunsched.day.clock import local_text
from sunsched.day.model import Day
from sunsched.folder.log.log import MAX_EVENTS
from sunsched.folder.store.write import PLANS
from sunsched.plan.plan import Plan
from sunsched.plan.timetable import Roll, Timetable
from sunsched.saved.average import (
    Listed,
    Mark,
    Points,
    SavedAverage,
    SavedKept,
    ShotId,
    average_of,
)
from sunsched.saved.moment import When

# Saved plans are read without all that finds one.
if TYPE_CHECKING:
    from sunsched.average.plan import AveragePlan

STRICT = ConfigDict(strict=True)
_Date = date  # the field of this name would hide the type


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedRoll:
    """One shot of a saved plan."""

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    id: ShotId
    changeover_start: When
    roll_start: When


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedMeal:
    """The meal of a saved plan."""

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    start: When


@dataclass(frozen=True, slots=True, kw_only=True)
class PastRef:
    """What a plan of the rest of a day knew: the moment, the minutes lost, the number of events."""

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    at: When
    late_min: Annotated[int, Field(ge=0, le=10_000)]
    events: Annotated[int, Field(ge=0, le=MAX_EVENTS)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """A saved plan as its file has it, times in UTC.

    `number` is that of the file's name. `facts` is the `facts_mark` of the day that was planned; it
    and `made_at` are None in a file that does not have them. `past` is None for a plan of a whole
    day. A plan for the average day has the points and the bound of that (None where there was no
    time for one), and its `average` says how it goes on from its likely times.
    """

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    number: int = 0
    date: _Date
    status: Literal["proven", "bounded", "average"]
    points: Points
    bound: Points | None
    grid_min: Annotated[int, Field(ge=1, le=60)]
    meal: SavedMeal | None
    shots: Annotated[tuple[SavedRoll, ...], Listed]
    made_at: When | None = None
    facts: Mark | None = None
    past: PastRef | None = None
    average: SavedAverage | None = None
    if_every_minute_holds: SavedKept | None = None
    best_for_planned_minutes: SavedKept | None = None

    @property
    def file(self) -> str:
        """Where in the day folder it stands."""
        return file_of(self.number)

    @property
    def timetable(self) -> Timetable:
        """Its order with times."""
        rolls = tuple(
            Roll(shot_id=one.id, changeover_start=one.changeover_start, roll_start=one.roll_start)
            for one in self.shots
        )
        return Timetable(rolls=rolls, meal_start=None if self.meal is None else self.meal.start)


def file_of(number: int) -> str:
    """Give where in the day folder a revision stands."""
    return f"{PLANS}/{number:04}.json"


def revision_of(
    found: Plan | AveragePlan, number: int, made_at: datetime | None, past: PastRef | None
) -> Revision:
    """Give a plan as it is saved under a number."""
    plan = found if isinstance(found, Plan) else found.likely
    saved = Revision(
        number=number,
        date=plan.day.date,
        status="proven" if plan.status == "proven" else "bounded",
        points=plan.points,
        bound=plan.bound,
        grid_min=plan.grid_min,
        meal=None if plan.meal is None else SavedMeal(start=plan.meal.start),
        shots=tuple(
            SavedRoll(
                id=roll.shot_id, changeover_start=roll.changeover_start, roll_start=roll.roll_start
            )
            for roll in plan.timetable.rolls
        ),
        made_at=made_at,
        facts=facts_mark(plan.day),
        past=past,
    )
    if isinstance(found, Plan):
        return saved
    own, best = found.as_planned, found.best_planned
    return replace(
        saved,
        status="average",
        points=found.points,
        bound=found.bound,
        facts=facts_mark(found.day, on_average=True),
        average=average_of(found),
        if_every_minute_holds=None
        if own is None
        else SavedKept(points=own.points, light_kept=own.light_kept),
        best_for_planned_minutes=None
        if best is None
        else SavedKept(points=best.points, bound=best.bound, light_kept=best.light_kept),
    )


def saved_record(day: Day, revision: Revision) -> dict[str, object]:
    """Give what `parse_revision` reads again, times on the clock of the day's place."""
    past, average = revision.past, revision.average
    record: dict[str, object] = {
        "revision": revision.number,
        "date": revision.date.isoformat(),
        "status": revision.status,
        "points": revision.points,
        "bound": revision.bound,
        "grid_min": revision.grid_min,
        "meal": None if revision.meal is None else {"start": local_text(day, revision.meal.start)},
        "shots": [
            {
                "id": one.id,
                "changeover_start": local_text(day, one.changeover_start),
                "roll_start": local_text(day, one.roll_start),
            }
            for one in revision.shots
        ],
        "made_at": local_text(day, revision.made_at),
        "facts": revision.facts,
        "past": None
        if past is None
        else {"at": local_text(day, past.at), "late_min": past.late_min, "events": past.events},
    }
    if average is None:
        return record
    references = [
        {"match": one.match, "time": local_text(day, one.time)} for one in average.references
    ]
    return record | {
        "average": {"order": list(average.order), "references": references},
        "if_every_minute_holds": _kept_record(revision.if_every_minute_holds),
        "best_for_planned_minutes": _kept_record(revision.best_for_planned_minutes),
    }


def _kept_record(kept: SavedKept | None) -> dict[str, object] | None:
    if kept is None:
        return None
    bound = {} if kept.bound is None else {"bound": kept.bound}
    return {"points": kept.points, "light_kept": kept.light_kept, **bound}


def facts_mark(day: Day, *, on_average: bool = False) -> str:
    """Give a short mark of all in a day that its plans depend on: another mark, another day.

    Parameters
    ----------
    on_average : whether the plans are for the average day, and so depend on overruns too
    """
    told = (
        (day.date, day.place.latitude_deg, day.place.longitude_deg, day.place.elevation_m),
        (day.place.timezone, day.hours, day.meal, day.spots, day.moves, day.cast, day.clouds),
        (day.sizes, day.costs, day.changeover, day.past),
        [replace(shot, description="", scene="", lens_mm=None) for shot in day.shots],
        *([sorted(day.overruns.items())] if on_average else []),
        *([sorted(day.cut_ids)] if day.decisions and day.cut_ids else []),
        *([day.frames, day.rigs] if day.frames else []),
        *[(shot.id, shot.wish.others) for shot in day.shots if shot.wish.others],
    )
    return hashlib.sha256(repr(told).encode()).hexdigest()[:16]
