"""One shot's light in words: what it asks, when that is right, and what its place keeps."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.day.wish import CameraSide, SunSide
from sunsched.folder.text.words import listed
from sunsched.light.fit import WHOLE, DayFit, ShotFit
from sunsched.light.windows import ShotWindows
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State, lens_text, state_of, sun_text
from sunsched.show.drawing.timeline import TimeAxis, work_axis
from sunsched.show.layout import bearing_text, span_times
from sunsched.show.text.windows import right_texts
from sunsched.sky.track import FloatArray


def light_texts(fit: DayFit, found: ShotWindows) -> Iterator[str]:
    """Say what a shot asks of the sun, when that is right, and which parts need no curve."""
    day, own = fit.day, fit.shots[found.shot]
    yield _asked(day, own.shot)
    yield from right_texts(day, found)
    if found.held:
        yield f"held only {span_times(day, found.held)}"
    elif own.shot.hold:
        yield "never fully met, as its hold asks"
    yield from _made_up(own)
    axis = work_axis(fit, 0.0, 1.0)
    met = [name for name, part in own.parts.items() if is_always_met(part, axis)]
    if met:
        yield f"met all day: {', '.join(met)}"


def place_texts(plan: Plan, planned: PlannedShot) -> Iterator[str]:
    """Say when a shot rolls, what that keeps, and how late it can start."""
    day, state = plan.day, state_of(plan, planned)
    verb = "made" if state is State.MADE else "rolls"
    start, end = clock(day, planned.roll_start), clock(day, planned.roll_end)
    yield f"{verb} {start}–{end}, keeps {planned.fit:.0%}: {planned.why}"
    yield f"sun then at {sun_text(day, planned)}, {lens_text(planned)} of the lens"
    if state is State.COMING:
        yield (
            "no last start: less than half its light is left where it stands"
            if planned.last_start is None
            else f"last start {clock(day, planned.last_start)}"
        )


def is_always_met(part: FloatArray, axis: TimeAxis) -> bool:
    """Tell whether a part takes no light at any minute that is shown; it needs no curve."""
    return bool(part[axis.first : axis.last + 1].min() >= WHOLE)


def _asked(day: Day, shot: Shot) -> str:
    """Say what a shot asks of the sun."""
    wish = shot.wish
    if wish.asks_nothing:
        return "asks nothing of the sun"
    asked = []
    sides = [_side(*one) for one in wish.sides]
    if any(sides):
        asked.append(listed(sides))
    if wish.azimuth is not None:
        low, high = (_end(day, end) for end in (wish.azimuth.low_deg, wish.azimuth.high_deg))
        asked.append(f"azimuth {low} to {high}")
    if wish.elevation is not None:
        asked.append(f"height {wish.elevation.low_deg:g}° to {wish.elevation.high_deg:g}°")
    return f"asks for {', '.join(asked)}{'; held' if shot.hold else ''}"


def _side(side: SunSide, camera_side: CameraSide | None) -> str:
    named = [] if side is SunSide.ANY else [str(side)]
    return ", ".join([*named, *([] if camera_side is None else [f"camera {camera_side}"])])


def _end(day: Day, azimuth_deg: float) -> str:
    """Write an end of a band as it was asked for, and as the compass has it."""
    return f"{azimuth_deg:g}°" if day.declination_deg is None else bearing_text(day, azimuth_deg)


def _made_up(own: ShotFit) -> Iterator[str]:
    """Say what a shot that wants the sun keeps without it, and what frames do for it."""
    wish = own.shot.wish
    if wish.asks_nothing or wish.is_twilight:
        return
    texts = [f"flat light is worth {own.flat:.0%} to it"] if 0.0 < own.flat < 1.0 else []
    most = float(own.control.max())
    if most > 0.0:
        texts.append(f"frames make up for {most:.0%} of what it loses")
    if texts:
        yield ", ".join(texts)
