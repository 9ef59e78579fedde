"""The file of a saved plan: what must be in it, and what is wrong with one that is damaged."""

from __future__ import annotations

import re
from collections import Counter
from datetime import UTC, date, datetime
from typing import Annotated, Literal

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    ConfigDict,
    Field,
    ValidationError,
)

from sunsched.folder.text.findings import Findings, Where


class _Model(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True)


def _utc(when: datetime) -> datetime:
    try:
        return when.astimezone(UTC)
    except OverflowError:
        raise ValueError("a year that no calendar holds in every zone") from None


_When = Annotated[AwareDatetime, AfterValidator(_utc)]


class _Shot(_Model):
    id: str
    changeover_start: _When
    roll_start: _When


class _Meal(_Model):
    start: _When


class _Past(_Model):
    at: _When
    late_min: Annotated[int, Field(ge=0)]
    events: Annotated[int, Field(ge=0)]


class SavedPlan(_Model):
    """What of a saved plan is read: its times, and what was known of them; times in UTC."""

    date: date
    status: Literal["proven", "bounded"]
    points: int
    bound: int
    grid_min: Annotated[int, Field(ge=1, le=60)]
    meal: _Meal | None
    shots: tuple[_Shot, ...]
    made_at: _When | None = None
    facts: str | None = None
    past: _Past | None = None


# What each kind of misfit that pydantic finds should have been.
EXPECTED = {
    "missing": "a value",
    "string_type": "a text",
    "literal_error": "proven or bounded",
    "int_type": "a whole number",
    "tuple_type": "a list",
    "greater_than_equal": "a larger number",
    "less_than_equal": "a smaller number",
}


def parse_plan(text: str, file: str, findings: Findings) -> SavedPlan | None:
    """Read the text of a saved plan; None, with every fault noted, when it is none."""
    try:
        record = SavedPlan.model_validate_json(text)
    except ValidationError as error:
        for one in error.errors(include_url=False):
            _note(one["type"], one["loc"], one["input"], one["msg"], file, findings)
        return None
    for shot_id, times in Counter(one.id for one in record.shots).items():
        if times > 1:
            where = Where(file=file, column="shots")
            findings.fault(where, "a shot that stands twice", shot_id)
    _check_status(record, file, findings)
    return None if findings.faults else record


def _check_status(record: SavedPlan, file: str, findings: Findings) -> None:
    """Note a status that the plan's own points and bound contradict."""
    if record.bound < record.points:
        expected = f"at least its points, {record.points}"
        where = Where(file=file, column="bound")
        problem = "a bound that the plan is above"
        findings.fault(where, problem, str(record.bound), expected=expected)
    elif (record.status == "proven") != (record.bound == record.points):
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
