"""Where the sun stands for a setup: its side, how it moves, the shadows, and what the lens sees."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sunsched.day.model import Day
from sunsched.show.gaffer.lines import (
    NOT_COMPUTED,
    Figure,
    Line,
    Section,
    degrees_text,
    metres_text,
)
from sunsched.show.gaffer.moment import Setup, Sun
from sunsched.show.layout import bearing_text, side
from sunsched.sky.grip.lens import (
    InFrame,
    Lens,
    clear_m,
    in_frame,
    least_tilt_deg,
    shadow_in_frame,
)
from sunsched.sky.shadow import shadow_direction_deg, shadow_length_ratio

PERSON_M = 1.75  # who throws the shadow; common practice, no source
STANDS_M = (3, 6, 12)  # distances at which a stand may come near the axis
LONG_SHADOW_M = 100.0
WHOLE = 0.999


def sun_section(day: Day, setup: Setup, sun: Sun) -> Section:
    """Give the lines on the sun itself, its shadows and the frame."""
    return Section(title="sun", lines=tuple(_lines(day, setup, sun)))


def lens_of(day: Day, setup: Setup) -> Lens | None:
    """Give the lens of a setup on the day's camera; None where no focal length is given."""
    if setup.lens_mm is None:
        return None
    camera = day.camera
    size = (camera.sensor_width_mm, camera.sensor_height_mm)
    return Lens(length_mm=setup.lens_mm, sensor_mm=size, squeeze=camera.squeeze)


def _lines(day: Day, setup: Setup, sun: Sun) -> Iterator[Line]:
    yield _where(day, setup, sun)
    yield _arrives(sun)
    if sun.elevation_deg[sun.middle] <= 0.0:
        yield Line(name="shadows", text="none: the sun is below the horizon")
        return
    is_hidden = not sun.arrives[: sun.roll_min].any()
    if is_hidden:
        yield Line(name="shadows", text="none: the skyline hides the sun")
    else:
        yield _shadow(day, sun)
    lens = lens_of(day, setup)
    if lens is None:
        yield Line(name="lens", text=f"{NOT_COMPUTED}: no lens is given (`lens_mm`)")
        return
    if not is_hidden:
        yield _camera_shadow(day, setup, sun, lens)
        yield _frame(setup, sun, lens)
    yield _stands(lens)


def _where(day: Day, setup: Setup, sun: Sun) -> Line:
    last = min(sun.roll_min, len(sun.azimuth_deg) - 1)
    from_lens = sun.from_lens_deg(setup.look_deg)
    moves = float(_apart_deg(sun, 0, last))
    heights = " to ".join(degrees_text(float(sun.elevation_deg[k])) for k in (0, last))
    text = (
        f"{bearing_text(day, float(sun.azimuth_deg[0]))} to "
        f"{bearing_text(day, float(sun.azimuth_deg[last]))}, "
        f"{heights} high; from the lens "
        f"{side(float(from_lens[0]))} to {side(float(from_lens[last]))}; "
        f"it moves {moves:.0f}° before the last take ends"
    )
    figures: dict[str, Figure] = {
        "azimuth_deg": [round(float(sun.azimuth_deg[k]), 1) for k in (0, last)],
        "elevation_deg": [round(float(sun.elevation_deg[k]), 1) for k in (0, last)],
        "from_lens_deg": [round(float(from_lens[k]), 1) for k in (0, last)],
        "moves_deg": round(moves, 1),
    }
    brief = (
        f"{side(float(from_lens[0]))} to {side(float(from_lens[last]))}",
        f"{heights} high",
    )
    return Line(name="stands", text=text, brief=brief, figures=figures)


def _apart_deg(sun: Sun, one: int, other: int) -> float:
    """Give the angle on the sky between two moments of the sun."""
    h = np.radians(sun.elevation_deg[[one, other]])
    turned = np.radians(sun.azimuth_deg[other] - sun.azimuth_deg[one])
    cosine = np.sin(h).prod() + np.cos(h).prod() * np.cos(turned)
    return float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))


def _arrives(sun: Sun) -> Line:
    share = sun.arrives[: sun.roll_min]
    is_up = sun.elevation_deg[: sun.roll_min] > 0.0
    if not is_up.any():
        text, brief = "no: the sun is below the horizon", "no direct sun: it is below the horizon"
    elif (share >= WHOLE).all():
        text, brief = "through the whole roll", ""
    elif (share <= 0.0).all():
        text, brief = "no: the skyline hides it", "no direct sun: the skyline hides it"
    else:
        minutes = int((share >= WHOLE).sum())
        text = f"in {minutes} of {sun.roll_min} min; else the skyline hides it, all or part"
        brief = f"direct sun {text}"
    figures = {"direct_share": round(float(share.mean()), 2)}
    return Line(name="direct", text=text, brief=(brief,) if brief else (), figures=figures)


def _shadow(day: Day, sun: Sun) -> Line:
    middle = sun.middle
    length = float(PERSON_M * shadow_length_ratio(sun.elevation_deg[middle]))
    toward = float(shadow_direction_deg(sun.azimuth_deg[middle]))
    long = f"over {LONG_SHADOW_M:.0f} m" if length > LONG_SHADOW_M else metres_text(length)
    text = f"a person of {PERSON_M:g} m throws {long} toward {bearing_text(day, toward)}"
    figures = {"shadow_m": round(length, 1), "shadow_azimuth_deg": round(toward, 1)}
    brief = (long, f"to {bearing_text(day, toward)}")
    return Line(name="shadow", text=text, brief=brief, figures=figures)


def _camera_shadow(day: Day, setup: Setup, sun: Sun, lens: Lens) -> Line:
    from_lens = sun.from_lens_deg(setup.look_deg)
    falls = [
        shadow_in_frame(
            lens,
            day.camera.height_m,
            PERSON_M,
            float(sun.elevation_deg[k]),
            float(from_lens[k]),
        )
        for k in range(sun.roll_min)
        if sun.arrives[k] > 0.0
    ]
    figures = {"falls_into_frame": any(falls)}
    if not any(falls):
        return Line(name="camera side", text="none fall into frame", figures=figures)
    text = "shadows from the camera side fall into frame"
    return Line(name="camera side", text=text, brief=(text,), figures=figures)


def _frame(setup: Setup, sun: Sun, lens: Lens) -> Line:
    from_lens = sun.from_lens_deg(setup.look_deg)
    seen = [
        in_frame(lens, float(sun.elevation_deg[k]), float(from_lens[k]))
        for k in range(sun.roll_min)
        if sun.arrives[k] > 0.0
    ]
    worst = next((one for one in InFrame if one in seen), InFrame.CLEAR)
    middle = sun.middle
    tilt = least_tilt_deg(lens, float(sun.elevation_deg[middle]), float(from_lens[middle]))
    wide, high = lens.sensor_mm
    text = f"for a level lens on {wide:.1f} × {high:.1f} mm the sun is {worst}"
    brief: tuple[str, ...] = (str(worst).removesuffix(" of the frame"),)
    if worst is not InFrame.IN and tilt is not None:
        text += f"; tilted up {tilt:.0f}° or more it comes in"
        brief += (f"in from {tilt:.0f}° up",)
    figures: dict[str, Figure] = {"sun": str(worst), "in_from_tilt_deg": tilt}
    return Line(name="frame", text=text, brief=brief, figures=figures)


def _stands(lens: Lens) -> Line:
    parts = [f"{metres_text(clear_m(lens, far))} at {far} m" for far in STANDS_M]
    text = f"out of frame from this far off the axis: {', '.join(parts)}"
    figures = {f"clear_at_{far}_m": round(clear_m(lens, far), 2) for far in STANDS_M}
    return Line(name="stands at", text=text, figures=figures)
