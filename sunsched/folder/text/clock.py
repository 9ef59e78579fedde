"""Clock times and dates of a day folder, and the moments in UTC that they mean.

A clock time before the crew call belongs to the next day, since a day may run past midnight. Spans
of opening hours are different: they hold every day, so each stands for all its occurrences that
touch the working day. `05:00-11:30` with a call at 06:00 is this morning from 05:00, and
`20:00-08:00` is both the end of last night and the coming one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, available_timezones

from sunsched.day.model import Hours, Span
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

MIN_YEAR, MAX_YEAR = 1900, 2100

_CLOCK = re.compile(
    r"(?:at |@ ?|um |à |a las |alle )?(\d{1,2}) ?(?:[:h.] ?(\d{2})(?::(\d{2}))?|h)?"
    r" ?(?:([ap])\.?m\.?|h|hrs|uhr)?",
    re.ASCII | re.IGNORECASE,
)
_DIGITS = re.compile(r"(\d{1,2})(\d{2})(?: ?(?:h|hrs))?", re.ASCII | re.IGNORECASE)
_NAMED = {"noon": time(12), "midday": time(12), "mittag": time(12), "midi": time(12)}


def clock_time(text: str) -> time:
    """Read a clock time such as `06:00`, `9.40`, `0940`, `8`, `6:00 pm` or `noon`."""
    expected = "a clock time from 00:00 to 23:59, such as 06:00"
    word = words.clean(text)
    if word.casefold() in _NAMED:
        return _NAMED[word.casefold()]
    found = _CLOCK.fullmatch(word)
    if found is None:
        digits = _DIGITS.fullmatch(word)
        hour, minute, second = (int(digits[1]), int(digits[2]), 0) if digits else (24, 1, 0)
    else:
        hour, minute, second = (int(part or 0) for part in found.groups()[:3])
    if found is not None and found[4]:
        if not 1 <= hour <= 12:
            raise WordError("not a clock time", expected=expected)
        hour = hour % 12 + (12 if found[4].lower() == "p" else 0)
    if hour > 23 or minute > 59:
        is_midnight = (hour, minute) == (24, 0) or word.casefold() == "midnight"
        hint = "write midnight as `00:00`" if is_midnight else ""
        raise WordError("not a clock time", expected=expected, hint=hint)
    if second:
        raise WordError("a clock time with seconds", expected="whole minutes, such as 06:00")
    return time(hour, minute)


def clock_span(text: str) -> tuple[time, time]:
    """Read a span of clock times such as `06:00-11:30`."""
    expected = "two clock times such as 06:00-11:30"
    parts = words.plain_hyphens(text).replace(" to ", "-").split("-")
    if len(parts) != 2:
        raise WordError("not a span of time", expected=expected)
    try:
        start, end = clock_time(parts[0]), clock_time(parts[1])
    except WordError as error:
        raise WordError("not a span of time", expected=expected, hint=error.hint) from None
    if start == end:
        raise WordError(
            "a span that ends where it starts",
            expected=expected,
            hint="leave it out for the whole day",
        )
    return start, end


def calendar_date(text: str) -> date:
    """Read a date written year-month-day."""
    expected = f"a date such as 2027-06-09, from {MIN_YEAR} to {MAX_YEAR}"
    word = words.plain_hyphens(text)
    try:
        if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", word, re.ASCII):
            raise ValueError
        found = date.fromisoformat(word)
    except ValueError:
        raise WordError("not a date", expected=expected) from None
    if not MIN_YEAR <= found.year <= MAX_YEAR:
        raise WordError("out of range", expected=expected)
    return found


def timezone(text: str) -> str:
    """Read the IANA name of a time zone; the city alone gets the full name as a hint."""
    name = words.clean(text)
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        names = sorted(available_timezones())
        city = {words.key_of(zone.rpartition("/")[2]): zone for zone in names}.get(
            words.key_of(name.rpartition("/")[2])
        )
        raise WordError(
            "not a time zone",
            expected="an IANA name such as Europe/Madrid",
            hint=f"did you mean `{city}`?" if city else words.did_you_mean(name, names),
        ) from None
    return name


def utc(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """Give the moment in UTC at which the local clock first shows this time on this date."""
    return datetime.combine(day, clock, zone).astimezone(UTC)


def is_skipped(day: date, clock: time, zone: ZoneInfo) -> bool:
    """True when the local clock jumps over this time, as when summer time begins."""
    return utc(day, clock, zone).astimezone(zone).time() != clock


def is_doubled(day: date, clock: time, zone: ZoneInfo) -> bool:
    """True when the local clock shows this time twice, as when summer time ends."""
    first = datetime.combine(day, clock, zone)
    return not is_skipped(day, clock, zone) and first.utcoffset() != (
        first.replace(fold=1).utcoffset()
    )


def moment(
    day: date, clock: time, zone: ZoneInfo, where: Where, findings: Findings
) -> datetime | None:
    """Give a local time as UTC.

    A time that does not exist is a fault and gives None. One that comes twice means the first, with
    a warning.
    """
    value = f"{clock:%H:%M}"
    if is_skipped(day, clock, zone):
        findings.fault(
            where,
            f"a time that does not exist on {day} in {zone.key}",
            value,
            hint="the clocks are put forward over it; choose a time before or after the change",
        )
        return None
    if is_doubled(day, clock, zone):
        findings.warn(
            where,
            f"a time that comes twice on {day} in {zone.key}",
            value,
            hint="the clocks are put back over it; the first of the two is meant",
        )
    return utc(day, clock, zone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """The date, the zone and the time of the crew call: what turns clock times into moments."""

    date: date
    zone: ZoneInfo
    call: time

    def at(self, clock: time, where: Where, findings: Findings) -> datetime | None:
        """Give the first moment from the call on at which the clock shows this time."""
        day = self.date + timedelta(days=1) if clock < self.call else self.date
        return moment(day, clock, self.zone, where, findings)

    def nearest(
        self, clock: time, hours: Hours, where: Where, findings: Findings
    ) -> datetime | None:
        """Give the moment nearest to the working day at which the clock shows this time.

        A forecast for 06:00 belongs to the morning of a day called at 06:30, not to the next one.
        """
        days = (self.date, self.date + timedelta(days=1))

        def gap(day: date) -> timedelta:
            at = utc(day, clock, self.zone)
            return max(hours.crew_call - at, at - hours.hard_wrap, timedelta(0))

        return moment(min(days, key=gap), clock, self.zone, where, findings)

    def spans(
        self, clocks: Iterable[tuple[time, time]], hours: Hours, where: Where, findings: Findings
    ) -> tuple[Span, ...]:
        """Give every occurrence of daily spans that touches the working day, overlaps joined.

        None touching it is a fault, as no span at all would mean the whole day.
        """
        every = list(clocks)
        found: list[Span] = []
        idle: list[str] = []
        for start, end in every:
            touching = self._occurrences(start, end, hours, where, findings)
            found += touching
            if not touching:
                idle.append(f"{start:%H:%M}-{end:%H:%M}")
        expected = "a span that touches the hours from crew call to hard wrap"
        for value in idle:
            note = findings.fault if len(idle) == len(every) else findings.warn
            note(where, "outside the working day", value, expected=expected)
        return _joined(found)

    def _occurrences(
        self, start: time, end: time, hours: Hours, where: Where, findings: Findings
    ) -> list[Span]:
        found = []
        for days in (-1, 0, 1):
            first = self.date + timedelta(days=days)
            last = first + timedelta(days=1) if end <= start else first
            if (
                utc(first, start, self.zone) >= hours.hard_wrap
                or utc(last, end, self.zone) <= hours.crew_call
            ):
                continue
            begins = moment(first, start, self.zone, where, findings)
            ends = moment(last, end, self.zone, where, findings)
            found.append(
                Span(start=begins or hours.crew_call, end=ends or hours.hard_wrap),
            )
        return found


def _joined(spans: list[Span]) -> tuple[Span, ...]:
    joined: list[Span] = []
    for span in sorted(spans, key=lambda span: span.start):
        if joined and span.start <= joined[-1].end:
            last = joined.pop()
            joined.append(Span(start=last.start, end=max(last.end, span.end)))
        else:
            joined.append(span)
    return tuple(joined)
