"""When a shot's light is good, in words that people use; no picture is needed for them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot, Span
from sunsched.day.wish import SunSide
from sunsched.light.windows import ShotWindows
from sunsched.plan.reasons import NOTHING
from sunsched.show.layout import span_times


def right_texts(day: Day, found: ShotWindows) -> Iterator[str]:
    """Say when a shot's sun is right, or what is wrong with it, and what light can replace it."""
    if found.spans:
        yield f"{_right(day.shot(found.shot))} {span_times(day, found.spans)}"
    else:
        near = f"nearest at {clock(day, found.best_time)} with {found.best_fit:.0%}"
        texts = [found.miss, *([near] if found.best_fit >= NOTHING else [])]
        yield f"its sun is never right within the hours: {', '.join(texts)}"
    yield from without_sun_texts(day, found)


def without_sun_texts(day: Day, found: ShotWindows) -> Iterator[str]:
    """Say when flat light or frames keep half of a shot's light, or else how much they keep."""
    flat, frames = (_for_a_roll(day, found, spans) for spans in (found.flat, found.frames))
    if flat:
        yield f"flat light does {span_times(day, flat)}"
    if frames:
        yield f"made with frames {span_times(day, frames)}"
    is_lit = found.spans or flat or frames
    if not is_lit and found.most_light >= found.best_fit + NOTHING:
        yield f"in other light it keeps {found.most_light:.0%} at most"


def _for_a_roll(day: Day, found: ShotWindows, spans: tuple[Span, ...]) -> tuple[Span, ...]:
    """Leave out the stretches that are over before the shot could roll in them."""
    least = timedelta(minutes=day.shot(found.shot).shoot_min)
    return tuple(span for span in spans if span.end - span.start >= least)


def _right(shot: Shot) -> str:
    """Say what is right of a shot's light in its windows."""
    wish = shot.wish
    if wish.asks_nothing:
        return "any daylight does"
    if wish.side is SunSide.SHADE:
        return "in shade or flat light"
    if wish.is_twilight:
        return "its dusk is" if wish.side is SunSide.DUSK else "its twilight is"
    return "its sun is right"
