"""Clock times and the moments they mean, on ordinary days and on those when the clocks change."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sunsched.day.model import Hours
from sunsched.folder.text import clock
from sunsched.folder.text.clock import Calendar
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

HERE = Where(file="day.toml")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("06:00", time(6)),
        ("6:05", time(6, 5)),
        ("6h30", time(6, 30)),
        ("06:00:00", time(6)),
        ("6:00 pm", time(18)),
        ("12:15 AM", time(0, 15)),
        ("12:15 p.m.", time(12, 15)),
        ("23:59", time(23, 59)),
        ("9.40", time(9, 40)),
        ("0940", time(9, 40)),
        ("940", time(9, 40)),
        ("8", time(8)),
        ("8h", time(8)),
        ("8 am", time(8)),
        ("at 9.40 pm", time(21, 40)),
        ("9.40 Uhr", time(9, 40)),
        ("noon", time(12)),
    ],
)
def test_clock_time_is_read_in_every_common_spelling(text, value):
    """Call sheets and spreadsheets differ."""
    assert clock.clock_time(text) == value


@pytest.mark.parametrize(
    "text", ["6.3", "24:00", "2400", "23:60", "0:00 am", "13:00 pm", "-6:00", "25", "soon"]
)
def test_what_is_no_clock_time_is_refused(text):
    """`6.3` may be half past six, three past or eighteen minutes past."""
    with pytest.raises(WordError, match="not a clock time"):
        clock.clock_time(text)


@pytest.mark.parametrize("text", ["06:00-11:30", "6:00 – 11:30", "06:00 to 11:30"])
def test_span_is_read_with_any_dash(text):
    """Spreadsheets turn hyphens into dashes."""
    assert clock.clock_span(text) == (time(6), time(11, 30))


def hours(calendar: Calendar, length_h: int) -> Hours:
    """Give a day that is called at the calendar's call and lasts so many hours."""
    call = clock.utc(calendar.date, calendar.call, calendar.zone)
    end = call + timedelta(hours=length_h)
    return Hours(crew_call=call, first_roll=call, wrap=end, hard_wrap=end)


def spans(text: str, call: time, length_h: int) -> list[tuple[str, str]]:
    """Give the occurrences of a daily span on 9 June in Kathmandu, by the clock there."""
    zone = ZoneInfo("Asia/Kathmandu")
    calendar = Calendar(date=date(2027, 6, 9), zone=zone, call=call)
    found = calendar.spans([clock.clock_span(text)], hours(calendar, length_h), HERE, Findings())
    return [
        (f"{span.start.astimezone(zone):%d %H:%M}", f"{span.end.astimezone(zone):%d %H:%M}")
        for span in found
    ]


@pytest.mark.parametrize(
    ("text", "call", "length_h", "expected"),
    [
        ("06:00-11:30", time(6), 13, [("09 06:00", "09 11:30")]),
        ("05:00-11:30", time(6), 13, [("09 05:00", "09 11:30")]),
        ("22:00-02:00", time(18), 10, [("09 22:00", "10 02:00")]),
        ("01:00-03:00", time(18), 10, [("10 01:00", "10 03:00")]),
        ("20:00-08:00", time(6), 16, [("08 20:00", "09 08:00"), ("09 20:00", "10 08:00")]),
        ("04:00-06:00", time(6), 13, []),
        ("19:00-20:00", time(6), 13, []),
        ("18:59-20:00", time(6), 13, [("09 18:59", "09 20:00")]),
    ],
)
def test_span_stands_for_every_day_that_touches_the_working_day(text, call, length_h, expected):
    """Opening hours hold daily; what only meets the day at its edge does not touch it."""
    assert spans(text, call, length_h) == expected


def test_quarter_hour_zone_is_exact():
    """Kathmandu is 5 h 45 min ahead of UTC (IANA time zone database)."""
    at = clock.utc(date(2027, 6, 9), time(6), ZoneInfo("Asia/Kathmandu"))
    assert at == datetime(2027, 6, 9, 0, 15, tzinfo=UTC)


def test_skipped_time_is_a_fault_and_its_neighbours_are_not():
    """Clocks in Madrid go from 02:00 to 03:00 on 28 March 2027 (EU rule, from memory)."""
    zone, day = ZoneInfo("Europe/Madrid"), date(2027, 3, 28)
    assert [
        clock.is_skipped(day, time(*at), zone) for at in ((1, 59), (2, 0), (2, 59), (3, 0))
    ] == [
        False,
        True,
        True,
        False,
    ]


def test_doubled_time_means_the_first_with_a_warning():
    """Clocks in Madrid go from 03:00 to 02:00 on 31 October 2027 (EU rule, from memory)."""
    zone, day = ZoneInfo("Europe/Madrid"), date(2027, 10, 31)
    findings = Findings()
    at = clock.moment(day, time(2, 30), zone, HERE, findings)
    assert at == datetime(2027, 10, 31, 0, 30, tzinfo=UTC)
    assert len(findings.warnings) == 1
    assert not clock.is_doubled(day, time(3, 0), zone)


@given(call=st.times(), at=st.times())
def test_every_time_falls_within_a_day_of_the_call(call, at):
    """A time before the call is the next day, so none is ever before it."""
    call, at = (one.replace(second=0, microsecond=0) for one in (call, at))
    zone = ZoneInfo("Asia/Tokyo")
    calendar = Calendar(date=date(2027, 6, 9), zone=zone, call=call)
    found = calendar.at(at, HERE, Findings())
    assert found is not None
    since = found - clock.utc(calendar.date, call, zone)
    assert timedelta(0) <= since < timedelta(days=1)
