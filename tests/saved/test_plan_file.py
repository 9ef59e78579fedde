"""The form of a saved plan: what is written is what is read, in every zone."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from builders import a_day, a_place
from hypothesis import given
from hypothesis import strategies as st

from sunsched.day.past import Past
from sunsched.folder.text.findings import Findings
from sunsched.saved.plan_file import (
    PastRef,
    Revision,
    SavedMeal,
    SavedRoll,
    facts_mark,
    parse_revision,
    saved_record,
)

# Around the night when clocks in Berlin are put back, so that local times come twice.
MOMENTS = st.integers(0, 2 * 24 * 3600).map(
    lambda seconds: datetime(2027, 10, 30, tzinfo=UTC) + timedelta(seconds=seconds)
)
ROLLS = st.builds(SavedRoll, id=st.text(min_size=1), changeover_start=MOMENTS, roll_start=MOMENTS)
COUNTS = st.integers(0, 10_000)
PASTS = st.builds(PastRef, at=MOMENTS, late_min=COUNTS, events=COUNTS)


@st.composite
def revisions(draw):
    """Draw a saved plan; its status is what its points and its bound say."""
    points, gap = draw(st.integers(-100_000, 100_000)), draw(COUNTS)
    return Revision(
        number=draw(st.integers(1, 99_999)),
        date=draw(st.dates()),
        status="bounded" if gap else "proven",
        points=points,
        bound=points + gap,
        grid_min=draw(st.integers(1, 60)),
        meal=draw(st.none() | st.builds(SavedMeal, start=MOMENTS)),
        shots=tuple(draw(st.lists(ROLLS, max_size=5, unique_by=lambda one: one.id))),
        made_at=draw(st.none() | MOMENTS),
        facts=draw(st.none() | st.text()),
        past=draw(st.none() | PASTS),
    )


@given(revision=revisions(), zone=st.sampled_from(["UTC", "Europe/Berlin", "Asia/Kathmandu"]))
def test_what_is_written_is_read(revision, zone):
    """Every moment, count and text comes back."""
    day = a_day(place=a_place(timezone=zone))
    findings = Findings()
    text = json.dumps(saved_record(day, revision))
    assert parse_revision(text, revision.number, findings) == revision
    assert findings.faults == []


def test_what_has_happened_is_a_fact_of_the_day():
    """A plan of the rest is one of that rest alone."""
    day = a_day()
    now = day.hours.crew_call
    begun = replace(day, past=Past(at=now, free_at=now))
    later = replace(day, past=Past(at=now, free_at=now + timedelta(minutes=1)))
    assert len({facts_mark(one) for one in (day, begun, later)}) == 3
