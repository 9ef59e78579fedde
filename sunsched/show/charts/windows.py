"""All windows of a day on one page: each shot's light in greys, and when its sun is right."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.light.fit import DayFit
from sunsched.light.windows import ShotWindows, windows
from sunsched.plan.plan import Plan
from sunsched.show.charts.shot import WINDOW
from sunsched.show.drawing.figure import (
    RULE,
    Style,
    write,
    write_lines,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import (
    FAINT,
    LINE,
    POINT_IN,
    Words,
    cut,
    width_in,
    wrapped_words,
)
from sunsched.show.drawing.picture import Picture, alone, share_out
from sunsched.show.drawing.strips import ROLL, draw_piece, draw_strip, shade_key
from sunsched.show.drawing.timeline import (
    Flag,
    TimeAxis,
    clock_flags,
    draw_flags,
    draw_hours,
    draw_uprights,
    flags_height_in,
    local_hours,
    minutes_of,
    place_flags,
    reaching,
    time_stage,
    work_axis,
)
from sunsched.show.layout import span_times
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.pieces import Doing, plan_pieces

HELD: Style = {"facecolor": "white", "edgecolor": "black", "linewidth": 0.8, "hatch": "//////"}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
HOURS: Style = {"color": "0.25", "linewidth": 0.7}
UPRIGHT_FROM_ROWS = 24
LEAST_ROW_IN, MOST_ROW_IN, PHONE_ROW_IN = 0.13, 0.38, 0.46
LEFT_SHARE, RIGHT_SHARE = 0.27, 0.16  # of a sheet's width: the words beside the strips
# Middle and height of the strip in a row, then of its window below; words stand over a phone's.
SHEET_STRIP, SHEET_WINDOW = (0.36, 0.46), (0.76, 0.2)
PHONE_STRIP, PHONE_WINDOW = (0.62, 0.3), (0.88, 0.12)
NEVER = "never"


def windows_figure(
    fit: DayFit, plan: Plan | None = None, *, shape: Shape = Shape.A4, is_bare: bool = False
) -> Figure:
    """Draw every shot's light and windows, in the order of the list, on one page.

    With a plan, its rolls stand over them.
    """
    setting = paper(shape, upright=len(fit.day.shots) > UPRIGHT_FROM_ROWS)
    (picture,) = windows_pictures(fit, plan, setting)
    return alone(fit.day, setting, picture, is_bare=is_bare)


def windows_pictures(
    fit: DayFit,
    plan: Plan | None,
    setting: Paper,
    most_rows: int | None = None,
    least_row_in: float = LEAST_ROW_IN,
) -> list[Picture]:
    """Give the picture of all windows, as several if a page holds no more than so many rows."""
    fit = reaching(fit)
    found = windows(fit)
    parts = share_out(found, most_rows)
    subject = "When each shot's sun is right"
    return [
        _picture(
            fit,
            plan,
            setting,
            found,
            part,
            f"{subject}{', continued' if number else ''}",
            least_row_in,
        )
        for number, part in enumerate(parts)
    ]


def _picture(
    fit: DayFit,
    plan: Plan | None,
    setting: Paper,
    all_found: Sequence[ShotWindows],
    found: Sequence[ShotWindows],
    subject: str,
    least_row_in: float,
) -> Picture:
    day, is_phone = fit.day, setting.height_in is None
    left = setting.margin_in + (0.0 if is_phone else LEFT_SHARE * setting.room_in)
    right = setting.margin_in + (0.0 if is_phone else RIGHT_SHARE * setting.room_in)
    axis = work_axis(fit, left, setting.width_in - left - right)
    told = wrapped_words(windows_text(day, all_found), setting.room_in, setting.text_pt, bold=True)
    flags = place_flags([*_flags(axis), *clock_flags(axis)], axis, setting.small_pt)
    key = key_rows(_key(found, plan), setting)
    hours_in = LINE * setting.small_pt * POINT_IN
    over = sum(line.height_in for line in told) + 0.06 + flags_height_in(flags, setting.small_pt)
    below = hours_in + 0.1 + key_height_in(key, setting)
    least, most = (PHONE_ROW_IN,) * 2 if is_phone else (least_row_in, MOST_ROW_IN)
    rows = max(1, len(found))

    def draw(figure: Figure, top: float, high: float) -> None:
        write_lines(figure, setting.margin_in, top, told)
        top += over
        row_in = max(least, min(most, (high - over - below) / rows))
        bottom = top + row_in * len(found)
        draw_flags(figure, flags, top, setting.small_pt)
        _draw_rows(figure, fit, plan, axis, found, top, row_in, setting)
        draw_hours(figure, axis, bottom + hours_in / 2, setting.small_pt)
        draw_key(figure, bottom + hours_in + 0.1, key, setting)

    return Picture(
        name="windows",
        subject=subject,
        least_in=over + least * rows + below,
        most_in=over + most * rows + below,
        draw=draw,
    )


def _draw_rows(
    figure: Figure,
    fit: DayFit,
    plan: Plan | None,
    axis: TimeAxis,
    found: Sequence[ShotWindows],
    top: float,
    row_in: float,
    setting: Paper,
) -> None:
    day, is_phone = fit.day, setting.height_in is None
    stage = time_stage(figure, axis, top)
    places = (PHONE_STRIP, PHONE_WINDOW) if is_phone else (SHEET_STRIP, SHEET_WINDOW)
    strip, window = ((row_in * middle, row_in * high) for middle, high in places)
    tops = [row_in * number for number in range(len(found))]
    spans = [(at + strip[0] - strip[1] / 2, at + window[0] + window[1] / 2) for at in tops]
    for number, one in enumerate(found):
        light = fit.shots[one.shot].fit
        draw_strip(stage, axis, light, tops[number] + strip[0], strip[1], f"light {one.shot}")
        for looked, look, name in ((one.spans, WINDOW, "window"), (one.held, HELD, "held")):
            for span in looked:
                start, end = minutes_of(fit, span.start), minutes_of(fit, span.end)
                corner = (start, tops[number] + window[0] - window[1] / 2)
                label = f"{name} {one.shot}"
                box = Rectangle(corner, end - start, window[1], label=label, zorder=4, **look)
                stage.add_artist(box)
        if is_phone:
            _write_phone_row(figure, day, one, top + (number + 0.24) * row_in, setting)
        else:
            _write_row(figure, day, one, top + (number + 0.5) * row_in, row_in, setting)
    rolls = {one.shot: at + strip[0] for one, at in zip(found, tops, strict=True)}
    for piece in plan_pieces(plan) if plan is not None else ():
        if piece.doing is Doing.ROLL and piece.shot_id in rolls:
            draw_piece(stage, fit, piece, rolls[piece.shot_id], strip[1], 1.0)
    hours = [float(minute) for minute, _ in local_hours(axis)]
    draw_uprights(stage, hours, spans, "hours", HOUR | {"zorder": 0.5})
    work = [minutes_of(fit, when) for when in (day.hours.crew_call, day.hours.wrap)]
    draw_uprights(stage, work, spans, "call and wrap", HOURS | {"zorder": 2.2})


def windows_text(day: Day, found: Sequence[ShotWindows]) -> str:
    """Name the shots whose sun is never right, or the one that has the least of it."""
    never = [one.shot for one in found if not one.spans]
    if never:
        return f"never right by the sun alone: shot {', '.join(never)}"
    asking = [one for one in found if not day.shot(one.shot).wish.asks_nothing]
    if not asking:
        return "no shot asks anything of the sun"
    least = min(asking, key=lambda one: sum((s.end - s.start).total_seconds() for s in one.spans))
    return f"shortest: shot {least.shot}, {span_times(day, least.spans)}"


def _flags(axis: TimeAxis) -> list[Flag]:
    day = axis.fit.day
    moments = [("crew call", day.hours.crew_call), ("wrap", day.hours.wrap)]
    return [
        Flag(minute=minutes_of(axis.fit, when), text=f"{name} {clock(day, when)}")
        for name, when in moments
    ]


def _key(found: Sequence[ShotWindows], plan: Plan | None) -> list[KeyEntry]:
    entries = [*shade_key(), KeyEntry(label="window: its sun is right", box=WINDOW, share=0.5)]
    if any(one.held for one in found):
        entries.append(KeyEntry(label="held only then", box=HELD, share=0.5))
    if plan is not None:
        entries.append(KeyEntry(label="roll in the newest plan", box=ROLL))
    entries.append(KeyEntry(label="call and wrap", line=HOURS))
    return entries


def _times(day: Day, one: ShotWindows) -> str:
    if one.held:
        return f"held {span_times(day, one.held)}"
    return span_times(day, one.spans) if one.spans else NEVER


def _write_row(
    figure: Figure, day: Day, one: ShotWindows, middle: float, row_in: float, setting: Paper
) -> None:
    """Write the words of a row of a sheet, in letters no higher than the row."""
    shot = day.shot(one.shot)
    size = min(setting.text_pt, row_in / POINT_IN / LINE)
    left, room = setting.margin_in, LEFT_SHARE * setting.room_in - 0.1
    name = cut(shot.id, 0.6, size, bold=True)
    write(figure, left, middle, Words(text=name, size_pt=size, bold=True))
    used = max(0.35, width_in(name, size, bold=True) + 0.1)
    what = cut(f"{shot.description} ({shot.size}, {shot.spot})", room - used, size)
    write(figure, left + used, middle, Words(text=what, size_pt=size))
    times = cut(_times(day, one), RIGHT_SHARE * setting.room_in - 0.1, size)
    right = setting.width_in - setting.margin_in
    write(figure, right, middle, Words(text=times, size_pt=size), align="right")


def _write_phone_row(
    figure: Figure, day: Day, one: ShotWindows, middle: float, setting: Paper
) -> None:
    """Write the line over a phone's strip."""
    shot, size = day.shot(one.shot), setting.text_pt
    left, right = setting.margin_in, setting.width_in - setting.margin_in
    name = cut(shot.id, 0.9, size, bold=True)
    write(figure, left, middle, Words(text=name, size_pt=size, bold=True))
    left += width_in(name, size, bold=True) + 0.08
    times = cut(_times(day, one), 0.6 * setting.room_in, size)
    write(figure, right, middle, Words(text=times, size_pt=size), align="right")
    right -= width_in(times, size) + 0.08
    what = cut(shot.description, right - left, size)
    write(figure, left, middle, Words(text=what, size_pt=size, color=FAINT))
