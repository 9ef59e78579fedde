"""A setup from above: lens, subject, sun, shadow and frames, to scale, the lens looking up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin, sqrt, tan

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon

from sunsched.day.clock import clock
from sunsched.day.kit.frame import Frame, FrameKind
from sunsched.day.model import Day
from sunsched.show.drawing.figure import Style, add_axes, heading, new_figure, write_lines
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import FAINT, wrapped_words
from sunsched.show.gaffer.frame_lines import bounce_aim
from sunsched.show.gaffer.moment import Setup, Sun, sun_over
from sunsched.show.gaffer.page import GafferPage
from sunsched.show.gaffer.sun_lines import PERSON_M, lens_of
from sunsched.show.layout import bearing_text
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.sky.grip.lens import Lens
from sunsched.sky.grip.overhead import Overhead, shade

LEAST_M, MOST_M = 5.0, 15.0  # from the subject to the edge of the picture
FAR = 0.78  # of the way to the edge: where the sun is drawn
LENS_M = 4.0  # how far off the lens is drawn; where it really stands nobody has said
BESIDE_M = 0.15  # between a board and the side of the frame
Point = tuple[float, float]

CLOTH: Style = {"facecolor": "none", "edgecolor": "black", "linewidth": 1.6}
SHADE: Style = {"facecolor": "0.85", "edgecolor": "0.25", "linewidth": 0.8, "hatch": "////"}
SHADOW: Style = {"facecolor": "0.55", "edgecolor": "none"}
SUBJECT: Style = {"facecolor": "white", "edgecolor": "black", "linewidth": 1.4}
RAY: Style = {"color": "black", "linewidth": 1.6}
LATER: Style = {"color": "black", "linewidth": 1.2, "linestyle": (0, (4, 3))}
VIEW: Style = {"color": "0.35", "linewidth": 0.9}
BOARD: Style = {"color": "black", "linewidth": 3.2, "solid_capstyle": "butt"}
INNER: Style = {"color": "white", "linewidth": 1.6, "solid_capstyle": "butt"}
NORTH: Style = {"color": "0.35", "linewidth": 1.2}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Floor:
    """The ground around a subject: axes in metres, turned so that the lens looks up."""

    axes: Axes
    look_deg: float
    edge_m: float

    def at(self, bearing_deg: float, metres: float) -> Point:
        """Give the place so far off in a direction."""
        turned = radians(bearing_deg - self.look_deg)
        return metres * sin(turned), metres * cos(turned)

    def line(self, ends: list[Point], name: str, look: Style) -> None:
        x, y = zip(*ends, strict=True)
        self.axes.plot(x, y, label=name, **look)

    def square(
        self, middle: Point, side_m: float, bearing_deg: float, name: str, look: Style
    ) -> None:
        """Draw a square with two sides along a bearing."""
        along, across = (np.array(self.at(bearing_deg + turn, side_m / 2)) for turn in (0, 90))
        corners = [
            np.array(middle) + a * along + b * across
            for a, b in ((1, 1), (1, -1), (-1, -1), (-1, 1))
        ]
        self.axes.add_patch(Polygon(corners, closed=True, label=name, **look))


def setup_figure(day: Day, page: GafferPage, *, shape: Shape = Shape.A4) -> Figure:
    """Draw a setup from above.

    Parameters
    ----------
    page : the gaffer's page of the setup
    """
    setup, setting = page.setup, paper(shape, upright=True)
    sun = sun_over(day, setup)
    frames = _frames(day, setup, sun)
    entries = list(_key(day, setup, frames))
    rows = key_rows(entries, setting)
    told = [
        words
        for section in page.sections
        if section.title == "frames"
        for line in section.lines
        for words in wrapped_words(f"{line.name}: {line.text}", setting.room_in, setting.small_pt)
    ]
    subject = f"{setup.title} from above, {clock(day, setup.start)}–{clock(day, setup.end)}"
    head = heading(day, setting, subject)
    under = wrapped_words(_facts(day, setup, sun), setting.room_in, setting.text_pt, lines=3)
    high = sum(one.height_in for one in (*head, *under, *told)) + key_height_in(rows, setting)
    side = setting.room_in
    if setting.height_in is not None:
        side = min(side, setting.height_in - high - 2 * setting.margin_in - 0.4)
    figure = new_figure(setting, high + side + 2 * setting.margin_in + 0.4, subject)
    top = write_lines(figure, setting.margin_in, setting.margin_in, [*head, *under]) + 0.1
    left = setting.margin_in + (setting.room_in - side) / 2
    _draw(add_axes(figure, left, top, side, side), day, setup, sun, frames, setting)
    top += side + 0.1
    draw_key(figure, top, rows, setting)
    write_lines(figure, setting.margin_in, top + key_height_in(rows, setting) + 0.1, told)
    return figure


def _facts(day: Day, setup: Setup, sun: Sun) -> str:
    height = float(sun.elevation_deg[0])
    if height <= 0.0:
        return f"look {bearing_text(day, setup.look_deg)}; the sun is below the horizon"
    toward = bearing_text(day, float(sun.azimuth_deg[0]))
    if not _shines(sun):
        look = bearing_text(day, setup.look_deg)
        return f"look {look}; sun {toward}, {height:.0f}° high at the start; the skyline hides it"
    return (
        f"look {bearing_text(day, setup.look_deg)}; sun {toward}, {height:.0f}° high at the start; "
        f"squares to scale, the lens is drawn {LENS_M:g} m off, a board just out of its frame"
    )


def _frames(day: Day, setup: Setup, sun: Sun) -> tuple[Frame, ...]:
    """Give the frames that a sun that arrives has a use for."""
    return day.frames_of(setup.rig) if _shines(sun) else ()


def _shines(sun: Sun) -> bool:
    """Say whether any of the sun arrives at the start of the roll or later in it."""
    return bool(sun.elevation_deg[0] > 0.0 and sun.arrives[: sun.roll_min].any())


def _draw(
    axes: Axes, day: Day, setup: Setup, sun: Sun, frames: tuple[Frame, ...], setting: Paper
) -> None:
    floor = _Floor(axes=axes, look_deg=setup.look_deg, edge_m=_edge_m(frames, sun))
    axes.set_xlim(-floor.edge_m, floor.edge_m)
    axes.set_ylim(-floor.edge_m, floor.edge_m)
    axes.set_aspect("equal")
    _draw_view(floor, day, setup)
    if _shines(sun):
        _draw_shadow(floor, sun)
    if sun.elevation_deg[0] > 0.0:
        for frame in frames:
            _draw_frame(floor, day, setup, sun, frame)
        _draw_sun(floor, day, setup, sun, setting)
    axes.add_patch(Circle((0, 0), 0.22, label="subject", zorder=5, **SUBJECT))
    _draw_scale(floor, setting)
    _draw_north(floor, setting)


def _edge_m(frames: tuple[Frame, ...], sun: Sun) -> float:
    needed = [LEAST_M, LENS_M + 0.8]
    for frame in frames:
        if frame.kind is FrameKind.OVERHEAD:
            own = Overhead(side_m=frame.side_m, above_m=frame.above_m)
            needed.append(shade(own, float(sun.elevation_deg[0])).offset_m + frame.side_m)
        else:
            needed.append(frame.away_m + frame.side_m / 2)
    return min(MOST_M, max(needed) + 0.5)


def _lens_off_m(floor: _Floor) -> float:
    return min(LENS_M, floor.edge_m - 0.6)


def _draw_view(floor: _Floor, day: Day, setup: Setup) -> None:
    lens = lens_of(day, setup)
    at = (0.0, -_lens_off_m(floor))
    body = [(at[0] - 0.25, at[1] - 0.35), (at[0] + 0.25, at[1] - 0.35), at]
    floor.axes.add_patch(Polygon(body, closed=True, label="lens", zorder=5, facecolor="black"))
    if lens is None:
        floor.line([at, (0.0, floor.edge_m)], "axis of the lens", VIEW)
        return
    for turn in (-lens.half_width_deg, lens.half_width_deg):
        far = 3 * floor.edge_m
        end = (at[0] + far * sin(radians(turn)), at[1] + far * cos(radians(turn)))
        floor.line([at, end], "side of the frame", VIEW)


def _draw_shadow(floor: _Floor, sun: Sun) -> None:
    height = radians(float(sun.elevation_deg[0]))
    length = min(2 * floor.edge_m, PERSON_M * cos(height) / max(1e-3, sin(height)))
    away = float(sun.azimuth_deg[0]) + 180.0
    side = np.array(floor.at(away + 90.0, 0.18))
    tip = np.array(floor.at(away, length))
    shape = [side, tip + side, tip - side, -side]
    floor.axes.add_patch(Polygon(shape, closed=True, label="shadow", zorder=1, **SHADOW))


def _beside_frame(floor: _Floor, lens: Lens | None, setup: Setup, sun: Sun, frame: Frame) -> Point:
    """Give the place of a board just out of frame, on the side away from the sun."""
    ahead = max(0.0, _lens_off_m(floor) - frame.away_m)
    half = ahead * tan(radians(lens.half_width_deg)) if lens is not None else 0.0
    off = min(frame.away_m, half + frame.side_m / 2 + BESIDE_M)
    is_right = float(sun.from_lens_deg(setup.look_deg)[sun.middle]) >= 0.0
    return -off if is_right else off, -sqrt(frame.away_m**2 - off**2)


def _draw_frame(floor: _Floor, day: Day, setup: Setup, sun: Sun, frame: Frame) -> None:
    bearing, height = float(sun.azimuth_deg[0]), float(sun.elevation_deg[0])
    if frame.kind is FrameKind.OVERHEAD:
        own = Overhead(side_m=frame.side_m, above_m=frame.above_m)
        full = shade(own, height)
        least = min(full.along_m, full.across_m)
        if least > 0.0:
            floor.square((0.0, 0.0), least, bearing, f"shade {frame.name}", SHADE | {"zorder": 0.5})
        middle = floor.at(bearing, full.offset_m)
        floor.square(middle, frame.side_m, bearing, f"frame {frame.name}", CLOTH | {"zorder": 3})
        return
    if frame.kind is FrameKind.BOUNCE:
        aim = bounce_aim(setup, sun)
        if aim is None:
            return
        middle = _beside_frame(floor, lens_of(day, setup), setup, sun, frame)
        looks = aim.bearing_deg
    else:
        middle = floor.at(bearing + 180.0, frame.away_m)
        looks = bearing
    across = np.array(floor.at(looks + 90.0, frame.side_m / 2))
    ends = [tuple(np.array(middle) - across), tuple(np.array(middle) + across)]
    floor.line(ends, f"frame {frame.name}", BOARD | {"zorder": 4})
    if frame.kind is FrameKind.BOUNCE:
        floor.line(ends, f"white of {frame.name}", INNER | {"zorder": 4.1})


def _draw_sun(floor: _Floor, day: Day, setup: Setup, sun: Sun, setting: Paper) -> None:
    last = min(sun.roll_min, len(sun.azimuth_deg) - 1)
    for minute, when, look in ((0, setup.start, RAY), (last, setup.end, LATER)):
        bearing = float(sun.azimuth_deg[minute])
        far, near = (floor.at(bearing, share * floor.edge_m) for share in (FAR, 0.08))
        floor.line([far, near], f"sun {clock(day, when)}", look | {"zorder": 4.5})
        if minute == 0:
            floor.axes.add_patch(
                Circle(far, 0.035 * floor.edge_m, label="sun", zorder=5, **SUBJECT)
            )
            place = floor.at(bearing, (FAR + 0.17) * floor.edge_m)
            floor.axes.text(
                *place,
                clock(day, when),
                fontsize=setting.small_pt,
                ha="center",
                va="center",
                zorder=6,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
                parse_math=False,
            )


def _draw_scale(floor: _Floor, setting: Paper) -> None:
    left, low = -0.96 * floor.edge_m, -0.96 * floor.edge_m
    floor.line([(left, low), (left + 2.0, low)], "two metres", NORTH | {"linewidth": 2.4})
    floor.axes.text(
        left,
        low + 0.025 * floor.edge_m,
        "2 m",
        fontsize=setting.small_pt,
        ha="left",
        va="bottom",
        color=FAINT,
    )


def _draw_north(floor: _Floor, setting: Paper) -> None:
    middle = np.array([0.86 * floor.edge_m, -0.86 * floor.edge_m])
    arm = np.array(floor.at(0.0, 0.09 * floor.edge_m))
    floor.line([tuple(middle - arm), tuple(middle + arm)], "north", NORTH)
    tip = middle + 1.35 * arm
    floor.axes.text(
        float(tip[0]),
        float(tip[1]),
        "N",
        fontsize=setting.small_pt,
        ha="center",
        va="center",
        color=FAINT,
    )


def _key(day: Day, setup: Setup, frames: tuple[Frame, ...]) -> Iterator[KeyEntry]:
    last = clock(day, setup.end)
    yield KeyEntry(label="sun at the start of the roll", line=RAY)
    yield KeyEntry(label=f"and at its end, {last}", line=LATER)
    yield KeyEntry(label=f"shadow of a person of {PERSON_M:g} m", box=SHADOW, share=0.5)
    kinds = {frame.kind for frame in frames}
    if FrameKind.OVERHEAD in kinds:
        yield KeyEntry(label="overhead", box=CLOTH)
        yield KeyEntry(label="its full shadow", box=SHADE)
    if FrameKind.BOUNCE in kinds:
        yield KeyEntry(label="bounce (white) or black", line=BOARD)
    elif FrameKind.BLACK in kinds:
        yield KeyEntry(label="black", line=BOARD)
    yield KeyEntry(label="sides of the frame", line=VIEW)
