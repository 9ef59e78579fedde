"""Who is there, which spots are open and what the sky does, as the log has it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise

from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import Day, Hours, Span
from sunsched.folder.log.event import Event, Kind

MINUTE = timedelta(minutes=1)


def with_circumstances(day: Day, events: Iterable[Event]) -> Day:
    """Change cast, spots and clouds of a day for what the log says of them.

    Someone gone, or a spot closed, stays so from then on. Someone here, or a spot open, is so from
    then to the end of the first of the day's own spans that ends later, or to the hard wrap where
    none does; the day's spans after that one stay. A cloud cover is there from then on, or until
    the end that was said; then comes what was expected before.

    Parameters
    ----------
    day : as its folder has it
    events : those that stand, in the order of the log
    """
    here = {member.name: member.here for member in day.cast}
    is_open = {spot.name: spot.open for spot in day.spots}
    clouds = day.clouds
    for event in events:
        name = event.subject
        match event.kind:
            case Kind.GONE:
                here[name] = _ended(here[name], event.since, day.hours)
            case Kind.CLOSED:
                is_open[name] = _ended(is_open[name], event.since, day.hours)
            case Kind.HERE:
                own = next(member.here for member in day.cast if member.name == name)
                here[name] = _begun(here[name], own, event.since, day.hours)
            case Kind.OPEN:
                own = day.spot(name).open
                is_open[name] = _begun(is_open[name], own, event.since, day.hours)
            case Kind.CLOUD:
                clouds = _clouded(clouds, event)
            case _:
                pass  # what the crew did changes nobody's hours
    return replace(
        day,
        cast=tuple(replace(member, here=here[member.name]) for member in day.cast),
        spots=tuple(replace(spot, open=is_open[spot.name]) for spot in day.spots),
        clouds=clouds,
    )


def _ended(spans: Sequence[Span], since: datetime, hours: Hours) -> tuple[Span, ...]:
    """Give what is left of spans before a moment; never none, as no spans mean all day."""
    left = _before(spans, since, hours)
    return tuple(left) or (Span(start=since, end=since),)


def _begun(
    spans: Sequence[Span], own: Sequence[Span], since: datetime, hours: Hours
) -> tuple[Span, ...]:
    """Give the spans before a moment, and from it on what the day's own say."""
    later = [span for span in _whole(own, hours) if span.end > since]
    end = later[0].end if later else max(since, hours.hard_wrap)
    left = _before(spans, since, hours)
    start = since
    if left and left[-1].end == since:
        start = left.pop().start
    return (*left, Span(start=start, end=end), *later[1:])


def _before(spans: Sequence[Span], moment: datetime, hours: Hours) -> list[Span]:
    return [
        Span(start=span.start, end=min(span.end, moment))
        for span in _whole(spans, hours)
        if span.start < moment
    ]


def _whole(spans: Sequence[Span], hours: Hours) -> Sequence[Span]:
    return spans or (Span(start=hours.crew_call, end=hours.hard_wrap),)


def _clouded(clouds: Sequence[CloudHour], event: Event) -> tuple[CloudHour, ...]:
    """Put a cover with steep edges into a forecast, which is linear between its moments."""
    since, until, cover = event.since, event.until, event.cover or 0.0
    covers = {cloud.time: cloud.cover for cloud in clouds if cloud.time < since}
    covers[since - MINUTE] = _cover_at(clouds, since - MINUTE)
    covers[since] = cover
    if until is not None:
        covers[until - MINUTE] = cover
        covers[until] = _cover_at(clouds, until)
        covers |= {cloud.time: cloud.cover for cloud in clouds if cloud.time > until}
    return tuple(CloudHour(time=time, cover=covers[time]) for time in sorted(covers))


def _cover_at(clouds: Sequence[CloudHour], moment: datetime) -> float:
    """Give the cover at a moment: straight between two forecasts, held before and after them."""
    if not clouds:
        return 0.0
    for one, other in pairwise(clouds):
        if one.time <= moment <= other.time:
            share = (moment - one.time) / (other.time - one.time)
            return one.cover + share * (other.cover - one.cover)
    return clouds[0].cover if moment < clouds[0].time else clouds[-1].cover
