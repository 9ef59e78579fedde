"""The form of a saved plan: what is written is what is read, in every zone."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from builders import a_day, a_place
from hypothesis import given, settings
from hypothesis import strategies as st

from sunsched.day.past import Past
from sunsched.errors import FolderError
from sunsched.folder.text.findings import Findings
from sunsched.saved.plan_file import (
    PastRef,
    Revision,
    SavedMeal,
    SavedRoll,
    facts_mark,
    saved_record,
)
from sunsched.saved.reading import parse_revision
from sunsched.saved.restore import checked_timetable

NOON = "2027-10-30T12:00:00+02:00"
# Around the night when clocks in Berlin are put back, so that local times come twice.
MOMENTS = st.integers(0, 2 * 24 * 3600).map(
    lambda seconds: datetime(2027, 10, 30, tzinfo=UTC) + timedelta(seconds=seconds)
)
IDS = st.text(min_size=1, max_size=20)
ROLLS = st.builds(SavedRoll, id=IDS, changeover_start=MOMENTS, roll_start=MOMENTS)
COUNTS = st.integers(0, 10_000)
PASTS = st.builds(PastRef, at=MOMENTS, late_min=COUNTS, events=st.integers(0, 5_000))


@st.composite
def revisions(draw):
    """Draw a saved plan; its status is what its points and its bound say."""
    points, gap = draw(st.integers(-100_000, 100_000)), draw(COUNTS)
    return Revision(
        number=draw(st.integers(1, 99_999)),
        date=draw(st.sampled_from([date(2027, 10, 30), date(2027, 10, 31)])),
        status="bounded" if gap else "proven",
        points=points,
        bound=points + gap,
        grid_min=draw(st.integers(1, 60)),
        meal=draw(st.none() | st.builds(SavedMeal, start=MOMENTS)),
        shots=tuple(draw(st.lists(ROLLS, max_size=5, unique_by=lambda one: one.id))),
        made_at=draw(st.none() | MOMENTS),
        facts=draw(st.none() | st.text(max_size=60)),
        past=draw(st.none() | PASTS),
    )


@settings(deadline=None)  # the first one compiles
@given(revision=revisions(), zone=st.sampled_from(["UTC", "Europe/Berlin", "Asia/Kathmandu"]))
def test_what_is_written_is_read(revision, zone):
    """Every moment, count and text comes back."""
    day = a_day(place=a_place(timezone=zone))
    findings = Findings()
    text = json.dumps(saved_record(day, revision))
    assert parse_revision(text, revision.number, findings) == revision
    assert findings.faults == []


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (
            {"shots": [{"id": "9" * 5000, "changeover_start": NOON, "roll_start": NOON}]},
            "shots[0].id: not what a saved plan has: `99999",
        ),
        ({"points": 10**30}, "points: not what a saved plan has: `1000"),
        ({"meal": {"start": "0001-01-01T00:00:00+14:00"}}, "meal.start: not what a saved plan has"),
        (
            {"meal": {"start": "2027-10-20T12:00:00+02:00"}},
            "meal.start: not of the day: `2027-10-20",
        ),
        ({"past": {"at": NOON, "late_min": 10**12, "events": 1}}, "past.late_min: not what"),
        ({"shots": [7] * 20_000}, "shots[0]: not what a saved plan has: `7` (expected an object)"),
    ],
)
def test_figures_past_all_bounds_are_told(changes, told):
    """Each with its place, its value and what was expected, however many there are."""
    day = a_day()
    revision = Revision(
        date=date(2027, 10, 30),
        status="proven",
        points=1,
        bound=1,
        grid_min=5,
        meal=None,
        shots=(),
    )
    findings = Findings()
    text = json.dumps(saved_record(day, revision) | changes)
    assert parse_revision(text, 1, findings) is None
    assert len(findings.faults) <= 300
    assert f"plans/0001.json, {told}" in "\n".join(map(str, findings.faults))


def test_a_plan_of_another_day_is_refused_with_each_of_its_moments():
    """Its minutes would be those of another sun; a day early they would count from the end."""
    day = a_day()
    early = day.hours.crew_call - timedelta(days=1)
    roll = SavedRoll(id="1", changeover_start=early, roll_start=early)
    revision = Revision(
        number=1,
        date=day.date,
        status="proven",
        points=1,
        bound=1,
        grid_min=5,
        meal=SavedMeal(start=early),
        shots=(roll,),
    )
    with pytest.raises(FolderError) as refused:
        checked_timetable(day, revision)
    columns = [fault.column for fault in refused.value.faults]
    assert columns == ["meal.start", "shots[0].changeover_start", "shots[0].roll_start"]
    fault = refused.value.faults[0]
    assert (fault.value, fault.expected) == ("06:00-1", "from 00:00 to 02:00+1")


def test_what_has_happened_is_a_fact_of_the_day():
    """A plan of the rest is one of that rest alone."""
    day = a_day()
    now = day.hours.crew_call
    begun = replace(day, past=Past(at=now, free_at=now))
    later = replace(day, past=Past(at=now, free_at=now + timedelta(minutes=1)))
    assert len({facts_mark(one) for one in (day, begun, later)}) == 3
