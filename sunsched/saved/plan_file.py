"""The file of a saved plan: one form, written and read, and what is wrong with a damaged one.

A file also holds what `plan --json` prints. That is for other programs; it is not read here.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError

from sunsched.day.clock import local_text
from sunsched.day.model import Day
from sunsched.folder.log.log import MAX_EVENTS
from sunsched.folder.store.write import PLANS
from sunsched.folder.text.findings import Findings, Where
from sunsched.plan.plan import Plan
from sunsched.plan.timetable import Roll, Timetable
from sunsched.saved.average import (
    MOST,
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
FAR = timedelta(days=2)  # a day runs into the next, and zones are less than a day apart
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


# What each kind of misfit that pydantic finds should have been.
EXPECTED = {
    "missing": "a value",
    "string_type": "a text",
    "literal_error": "proven, bounded or average",
    "int_type": "a whole number",
    "int_parsing_size": "a whole number",
    "string_too_short": "a text of at least one letter",
    "string_too_long": "a shorter text",
    "too_long": f"at most {MOST} of them",
    "float_type": "a number",
    "finite_number": "a number",
    "tuple_type": "a list",
    "greater_than_equal": "a larger number",
    "less_than_equal": "a smaller number",
}


def parse_revision(text: str, number: int, findings: Findings) -> Revision | None:
    """Read the text of a saved plan; None, with every fault noted, when it is none."""
    file = file_of(number)
    try:
        read = TypeAdapter(Revision).validate_json(text)
    except ValidationError as error:
        for one in error.errors(include_url=False):
            _note(one["type"], one["loc"], one["input"], one["msg"], file, findings)
        return None
    ids = {"shots": [one.id for one in read.shots]}
    if read.average is not None:
        ids["average.order"] = list(read.average.order)
    for column, listed in ids.items():
        for shot_id, times in Counter(listed).items():
            if times > 1:
                findings.fault(Where(file=file, column=column), "a shot that stands twice", shot_id)
    _check_moments(read, file, findings)
    _check_status(read, file, findings)
    return None if findings.faults else replace(read, number=number)


def moments(revision: Revision) -> Iterator[tuple[str, datetime]]:
    """Give every moment of a saved plan that is one of its day, with where it stands."""
    if revision.meal is not None:
        yield "meal.start", revision.meal.start
    for place, one in enumerate(revision.shots):
        yield f"shots[{place}].changeover_start", one.changeover_start
        yield f"shots[{place}].roll_start", one.roll_start
    if revision.past is not None:
        yield "past.at", revision.past.at
    if revision.average is not None:
        for place, reference in enumerate(revision.average.references):
            yield f"average.references[{place}].time", reference.time


def _check_moments(read: Revision, file: str, findings: Findings) -> None:
    """Note moments that are of another day, in whatever zone the day may be."""
    for column, when in moments(read):
        if abs(when.date() - read.date) > FAR:
            where = Where(file=file, column=column)
            expected = f"a moment of {read.date} or of the day after"
            findings.fault(where, "not of the day", when.isoformat(), expected=expected)


def _check_status(record: Revision, file: str, findings: Findings) -> None:
    """Note a status that the plan's own points and bound contradict."""
    if (record.status == "average") != (record.average is not None):
        where = Where(file=file, column="status")
        expected = "average where the file has one, else proven or bounded"
        findings.fault(where, "not what its figures say", record.status, expected=expected)
    elif record.bound is None:
        if record.average is None:
            where = Where(file=file, column="bound")
            findings.fault(where, "missing in a saved plan", expected="a whole number")
    elif record.bound < record.points:
        expected = f"at least its points, {record.points}"
        where = Where(file=file, column="bound")
        problem = "a bound that the plan is above"
        findings.fault(where, problem, str(record.bound), expected=expected)
    elif record.average is None and (record.status == "proven") != (record.bound == record.points):
        expected = "proven if points and bound are the same, else bounded"
        where = Where(file=file, column="status")
        findings.fault(where, "not what its figures say", record.status, expected=expected)


def _note(
    kind: str,
    path: tuple[int | str, ...],
    value: object,
    message: str,
    file: str,
    findings: Findings,
) -> None:
    """Say in our own words what one place of a saved plan should have been."""
    if kind == "json_invalid":
        place = re.search(r"at line (\d+)", message)
        where = Where(file=file, line=int(place[1]) if place else None)
        hint = "the file is damaged or cut off; the other revisions are not touched by that"
        findings.fault(where, "not JSON", hint=hint)
        return
    column = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path)
    where = Where(file=file, column=column.removeprefix("."))
    expected = "a date" if kind.startswith("date_") else EXPECTED.get(kind, "an object")
    if kind.startswith(("datetime", "timezone", "value_error")):
        expected = "a moment with its offset"
    shown = None if kind == "missing" else str(value)
    problem = "missing in a saved plan" if kind == "missing" else "not what a saved plan has"
    findings.fault(where, problem, shown, expected=expected)
