"""One shot through the day: its light, the parts that it is made of, its windows and its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from sunsched.change.windows import ShotWindows, windows
from sunsched.day.model import Day, Shot, SunSide
from sunsched.order.fit import WHOLE, DayFit
from sunsched.order.plan import HALF, Plan, PlannedShot
from sunsched.show.drawing import (
    RULE,
    Paper,
    Shape,
    Style,
    heading,
    house_style,
    new_figure,
    paper,
    write,
    write_lines,
)
from sunsched.show.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.layout import bearing, clock, side, span_times
from sunsched.show.lettering import LINE, POINT_IN, Words, wrapped_words
from sunsched.show.strips import LAST, ROLL, Doing, Piece, draw_piece, piece_key, plan_pieces
from sunsched.show.timeline import (
    Flag,
    TimeAxis,
    clock_flags,
    corners,
    draw_flags,
    draw_hours,
    draw_uprights,
    flags_height_in,
    local_hours,
    minutes_of,
    place_flags,
    time_axes,
    time_axis,
)
from sunsched.sky.track import FloatArray

AREA: Style = {"facecolor": "0.78", "edgecolor": "black", "linewidth": 0.9}
WINDOW: Style = {"facecolor": "0.2", "edgecolor": "black", "linewidth": 0.5}
HALF_LINE: Style = {"color": "0.2", "linewidth": 0.8, "linestyle": (0, (3, 2))}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
HOURS: Style = {"color": "0.25", "linewidth": 0.7}

# Heights of the whole light, of the windows under it and of each part, inches on a phone.
WHOLE_IN, WINDOWS_IN, PART_IN = 1.0, 0.16, 0.34
MOST_STRETCH = 2.2  # on a sheet, up to so many times higher
PART_GAP_IN = 0.05
PIECE_SHARE = 0.4  # height of a changeover over the light


def shot_figure(
    fit: DayFit, shot_id: str, plan: Plan | None = None, *, shape: Shape = Shape.PHONE
) -> Figure:
    """Draw one shot's light at each minute, its windows, and each part of its light.

    With a plan, the shot's changeover, roll and last start stand over it, and in words above.

    Raises
    ------
    KeyError
        For a shot that the day does not have.
    """
    own, day = fit.shots[shot_id], fit.day
    (found,) = windows(replace(fit, shots={shot_id: own}))
    planned = next((one for one in plan.shots if one.shot.id == shot_id), None) if plan else None
    with house_style():
        setting = paper(shape)
        head = heading(day, setting, f"Shot {shot_id}")
        axis = time_axis(fit, setting.margin_in, setting.room_in)
        head += _facts(axis, plan, planned, found, setting)
        moments = [*_flags(day, axis, planned), *clock_flags(axis)]
        flags = place_flags(moments, axis, setting.small_pt)
        pieces = [one for one in plan_pieces(plan) if one.shot_id == shot_id] if plan else []
        key = key_rows(_key(planned, pieces), setting)

        line_in = LINE * setting.small_pt * POINT_IN
        top = setting.margin_in + sum(line.height_in for line in head) + 0.08
        names = [name for name, part in own.parts.items() if not _always_met(part, axis)]
        fixed = (
            flags_height_in(flags, setting.small_pt)
            + line_in * (1 + len(names))
            + PART_GAP_IN * len(names)
            + 0.06
            + WINDOWS_IN
            + key_height_in(key, setting)
            + setting.margin_in
        )
        curves = WHOLE_IN + PART_IN * len(names)
        stretch = 1.0
        if setting.height_in is not None:
            stretch = (setting.height_in - top - fixed) / curves
            stretch = max(0.5, min(MOST_STRETCH, stretch))
        figure = new_figure(setting, top + fixed + stretch * curves, f"{day.title}: shot {shot_id}")
        write_lines(figure, setting.margin_in, setting.margin_in, head)

        top += flags_height_in(flags, setting.small_pt)
        draw_flags(figure, flags, top, setting.small_pt)
        # One pair of axes for all curves, because axes are slow to make; y is inches from the top.
        start, whole, part = top, stretch * WHOLE_IN, stretch * PART_IN
        high = whole + WINDOWS_IN + line_in + len(names) * (line_in + part + PART_GAP_IN)
        axes = time_axes(figure, axis, top, high)
        axes.set_ylim(high, 0.0)
        _draw_curve(axes, axis, own.fit, "light", whole, whole)
        axes.plot([axis.first, axis.last], [whole * (1.0 - HALF)] * 2, zorder=2.4, **HALF_LINE)
        _draw_place(axes, fit, planned, pieces, whole)
        _draw_windows(axes, axis, found, whole + WINDOWS_IN / 2)
        draw_hours(figure, axis, top + whole + WINDOWS_IN + line_in / 2, setting.small_pt)
        spans = [(0.0, whole)]
        top += whole + WINDOWS_IN + line_in
        for name in names:
            words = Words(
                text=_part_words(fit, name, own.parts[name], planned),
                size_pt=setting.small_pt,
                bold=True,
            )
            write(figure, setting.margin_in, top + line_in / 2, words)
            top += line_in + part
            _draw_curve(axes, axis, own.parts[name], name, top - start, part)
            spans.append((top - start - part, top - start))
            top += PART_GAP_IN
        _draw_uprights(axes, axis, planned, spans)
        draw_key(figure, top + 0.06, key, setting)
    return figure


def _facts(
    axis: TimeAxis,
    plan: Plan | None,
    planned: PlannedShot | None,
    found: ShotWindows,
    setting: Paper,
) -> Iterator[Words]:
    """Say in words what is asked, when it is right, where it stands and what its last start is."""
    day, own = axis.fit.day, axis.fit.shots[found.shot]
    shot = own.shot
    room, size = setting.room_in, setting.text_pt
    yield from wrapped_words(shot.description, room, size, bold=True, lines=4)
    texts = [
        f"{shot.size} at {shot.spot}, look {bearing(shot.look_deg).strip()}; {_asked(shot)}",
        f"its sun is right {span_times(day, found.spans)}" if found.spans else _miss(day, found),
    ]
    if found.held:
        texts.append(f"held only {span_times(day, found.held)}")
    if planned is not None:
        azimuth, lens = bearing(planned.sun_azimuth_deg).strip(), side(planned.sun_from_lens_deg)
        start, end = clock(day, planned.roll_start), clock(day, planned.roll_end)
        texts += [
            f"rolls {start}–{end}, keeps {planned.fit:.0%}: {planned.why}",
            f"sun then at {azimuth}, {round(planned.sun_elevation_deg)}° high, {lens} of the lens",
            "no last start: less than half its light is left where it stands"
            if planned.last_start is None
            else f"last start {clock(day, planned.last_start)}",
        ]
    elif plan is not None:
        texts += [f"left out: {one.why}" for one in plan.left_out if one.shot.id == shot.id]
    met = [name for name, part in own.parts.items() if _always_met(part, axis)]
    if met:
        texts.append(f"met all day: {', '.join(met)}")
    for text in texts:
        yield from wrapped_words(text, room, size, lines=5)


def _asked(shot: Shot) -> str:
    """Say what a shot asks of the sun."""
    wish = shot.wish
    if wish.asks_nothing:
        return "asks nothing of the sun"
    asked = []
    if wish.side is not SunSide.ANY:
        asked.append(str(wish.side))
    if wish.camera_side is not None:
        asked.append(f"camera {wish.camera_side}")
    if wish.azimuth is not None:
        asked.append(f"azimuth {wish.azimuth.low_deg:g}° to {wish.azimuth.high_deg:g}°")
    if wish.elevation is not None:
        asked.append(f"height {wish.elevation.low_deg:g}° to {wish.elevation.high_deg:g}°")
    return f"asks for {', '.join(asked)}{'; held' if shot.hold else ''}"


def _miss(day: Day, found: ShotWindows) -> str:
    off = "" if found.miss_deg is None else f" by {found.miss_deg:.1f}°"
    nearest = f"nearest at {clock(day, found.best_time)} with {found.best_fit:.0%}"
    return f"its sun is never right within the hours: {found.fails} fails{off}, {nearest}"


def _flags(day: Day, axis: TimeAxis, planned: PlannedShot | None) -> Iterator[Flag]:
    moments = [("call", day.hours.crew_call), ("wrap", day.hours.wrap)]
    if planned is not None:
        moments.append(("rolls", planned.roll_start))
        if planned.last_start is not None and planned.last_start != planned.roll_start:
            moments.append(("last", planned.last_start))
    for name, when in moments:
        yield Flag(minute=minutes_of(axis.fit, when), text=f"{name} {clock(day, when)}")


def _key(planned: PlannedShot | None, pieces: Sequence[Piece]) -> list[KeyEntry]:
    entries = [
        KeyEntry(label="light, 0 to 100%", box=AREA),
        KeyEntry(label="50%", line=HALF_LINE),
        KeyEntry(label="window: 50% or more", box=WINDOW, share=0.6),
        KeyEntry(label="call and wrap", line=HOURS),
    ]
    entries += piece_key(pieces)
    if planned is not None and planned.last_start is not None:
        entries.append(KeyEntry(label="last start", line=LAST))
    return entries


def _draw_curve(
    axes: Axes, axis: TimeAxis, values: FloatArray, label: str, foot: float, high: float
) -> None:
    """Draw values of 0 to 1 as a framed area through the day that stands on its foot."""
    minutes = corners(values, axis)
    top = [(minute, foot - high * values[minute]) for minute in minutes]
    outline = [(axis.first, foot), *top, (axis.last, foot)]
    axes.add_artist(Polygon(outline, zorder=2, label=label, clip_on=False, **AREA))
    frame: Style = {"facecolor": "none", "edgecolor": "0.3", "linewidth": 0.4, "zorder": 2.6}
    axes.add_artist(Rectangle((axis.first, foot - high), axis.last - axis.first, high, **frame))


def _draw_place(
    axes: Axes,
    fit: DayFit,
    planned: PlannedShot | None,
    pieces: Sequence[Piece],
    high: float,
) -> None:
    """Draw the shot's changeover, waits, roll and last start over its light."""
    for piece in pieces:
        share = 1.0 if piece.doing is Doing.ROLL else PIECE_SHARE
        draw_piece(axes, fit, piece, high / 2, high * share, 1.0)
    if planned is not None and planned.last_start is not None:
        last = minutes_of(fit, planned.last_start)
        axes.plot([last], [high / 2], zorder=6, label="last start", **LAST)


def _draw_windows(axes: Axes, axis: TimeAxis, found: ShotWindows, middle: float) -> None:
    for span in found.spans:
        start, end = minutes_of(axis.fit, span.start), minutes_of(axis.fit, span.end)
        corner, high = (start, middle - WINDOWS_IN / 4), WINDOWS_IN / 2
        axes.add_artist(Rectangle(corner, end - start, high, label="window", **WINDOW))


def _draw_uprights(
    axes: Axes, axis: TimeAxis, planned: PlannedShot | None, spans: Sequence[tuple[float, float]]
) -> None:
    """Draw the hours, the call and the wrap through all curves, and the roll over each part."""
    hours = axis.fit.day.hours
    full = [minute for minute, _ in local_hours(axis)]
    draw_uprights(axes, full, spans, "hours", HOUR | {"zorder": 0.5})
    work = [minutes_of(axis.fit, when) for when in (hours.crew_call, hours.wrap)]
    draw_uprights(axes, work, spans, "call and wrap", HOURS | {"zorder": 2.5})
    if planned is not None:
        start = minutes_of(axis.fit, planned.roll_start)
        wide = minutes_of(axis.fit, planned.roll_end) - start
        for top, foot in spans[1:]:
            box = Rectangle((start, top), wide, foot - top, zorder=4, label="roll", **ROLL)
            axes.add_artist(box)


def _always_met(part: FloatArray, axis: TimeAxis) -> bool:
    """Tell whether a part takes no light at any minute that is shown; it needs no curve."""
    return bool(part[axis.first : axis.last + 1].min() >= WHOLE)


def _part_words(fit: DayFit, name: str, part: FloatArray, planned: PlannedShot | None) -> str:
    """Give the name of a part, and how much of it is met while the shot rolls."""
    if planned is None:
        return name
    first, last = fit.minute_of(planned.roll_start), fit.minute_of(planned.roll_end)
    return f"{name}: {float(part[first:last].mean()):.0%} while it rolls"
