"""A saved plan read from its file, with all that is wrong with a damaged one at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from pydantic import TypeAdapter, ValidationError

from sunsched.folder.text.findings import Findings, Where
from sunsched.saved.average import MOST
from sunsched.saved.plan_file import Revision, file_of

MAX_MEMBERS = 30_000  # of a file; that of a day of 120 shots has a fifth
MAX_FAULTS = 300
FAR = timedelta(days=2)  # a day runs into the next, and zones are less than a day apart

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
    if text.count(",") > MAX_MEMBERS:
        expected = f"at most {MAX_MEMBERS:,} members"
        findings.fault(Where(file=file), "too long for a saved plan", expected=expected)
        return None
    try:
        read = TypeAdapter(Revision).validate_json(text)
    except ValidationError as error:
        for one in error.errors(include_url=False)[:MAX_FAULTS]:
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
