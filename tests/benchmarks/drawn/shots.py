"""Shot lists drawn from a seed: scenes at spots, each a wide and what cuts to it.

Every figure is invented; none comes from a real production. Each scene stands at a spot, wants the
sun of one hour, and is covered from wide to tight with the looks that put that sun where each shot
wants it; now and then a reverse wants it the other way round, hours later. Early and late sun are
asked for most, so scenes compete for them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import asin, atan2, cos, degrees, pi, radians, sin
from random import Random
from typing import TypeVar

from sunsched.day.model import DEFAULT_SIZES, Shot, Size
from sunsched.day.wish import Band, CameraSide, SunSide, Wish

T = TypeVar("T")

SPOTS = ("quay", "yard", "ridge")
NAMES = ("Ada", "Bo", "Cleo")
RIGS = ("frame 12x12", "frame 8x8", "bounce")
# When a scene wants its sun, as shares of the day: the low sun at both ends is asked for most.
SCENE_HOURS = (0.08, 0.08, 0.18, 0.18, 0.3, 0.4, 0.55, 0.68, 0.8, 0.8, 0.9, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the shots of a scene share; `hour` is the share of the day when its sun stands right."""

    number: int
    spot: str
    hour: float
    rig: str
    cast: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sun:
    """A rough sun to draw looks from: true solar hours, no refraction, good to some degrees."""

    latitude_deg: float
    on: date
    length_min: int

    def azimuth_elevation_deg(self, share: float) -> tuple[float, float]:
        """Give azimuth and elevation at a share of a day of this length around noon."""
        declination = radians(-23.4) * cos(2 * pi * (self.on.timetuple().tm_yday + 10) / 365)
        turn = radians((share - 0.5) * self.length_min / 4)
        latitude = radians(self.latitude_deg)
        south = cos(turn) * sin(latitude) * cos(declination) - cos(latitude) * sin(declination)
        west = sin(turn) * cos(declination)
        height = sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(turn)
        return (degrees(atan2(west, south)) + 180.0) % 360.0, degrees(asin(height))


def draw_scenes(random: Random, shots: int) -> list[tuple[Scene, int]]:
    """Split a list into scenes of three to six shots, each with its spot, hour, rig and cast."""
    counts: list[int] = []
    while shots - sum(counts) > 6:
        counts.append(min(pick(random, (3, 4, 4, 5, 6)), shots - sum(counts) - 2))
    counts.append(shots - sum(counts))
    left = list(SCENE_HOURS)  # drawn without putting back: no list asks for one hour only
    return [
        (
            Scene(
                number=number,
                spot=SPOTS[number - 1] if number <= len(SPOTS) else pick(random, SPOTS),
                hour=left.pop(int(random.random() * len(left))),
                rig=pick(random, RIGS),
                cast=pick(random, ((NAMES[0],), (NAMES[1],), NAMES[:2], NAMES[1:])),
            ),
            count,
        )
        for number, count in enumerate(counts, start=1)
    ]


def cover(
    random: Random, scene: Scene, count: int, first: int, sun: Sun, paces: tuple[int, ...]
) -> list[Shot]:
    """Cover a scene from wide to tight, ids counted from `first`."""
    tighter = (
        *(Size.MEDIUM,) * 4,
        *(Size.CLOSE_UP,) * 4,
        Size.FULL,
        *(Size.INSERT,) * 2,
    )
    sizes = [pick(random, (Size.WIDE, Size.WIDE, Size.FULL))]
    sizes += sorted((pick(random, tighter) for _ in range(count - 1)), key=lambda one: one.rank)
    return [
        _shot(random, scene, size, first + place, first if place else None, sun, paces)
        for place, size in enumerate(sizes)
    ]


def _shot(
    random: Random,
    scene: Scene,
    size: Size,
    number: int,
    widest: int | None,
    sun: Sun,
    paces: tuple[int, ...],
) -> Shot:
    """Draw one shot of a scene; `widest` is the number of the scene's first, None for that one."""
    is_reverse = widest is not None and random.random() < 0.2
    hour = 1.0 - scene.hour if is_reverse else scene.hour
    azimuth_deg, elevation_deg = sun.azimuth_elevation_deg(hour + 0.1 * (random.random() - 0.5))
    side, from_lens_deg = pick(
        random,
        (
            (SunSide.BACK, 0.0),
            (SunSide.THREE_QUARTER_BACK, 52.0),
            (SunSide.THREE_QUARTER_BACK, 52.0),
            (SunSide.SIDE, 90.0),
            (SunSide.THREE_QUARTER_FRONT, 127.0),
        ),
    )
    camera_side = pick(random, tuple(CameraSide))
    is_left = camera_side is CameraSide.LEFT
    look_deg = 5.0 * round((azimuth_deg + from_lens_deg * (1 if is_left else -1)) / 5) % 360.0
    asks = size is not Size.INSERT and random.random() < 0.9
    names_side = side is not SunSide.BACK and random.random() < 0.5
    is_low = size is Size.WIDE and elevation_deg < 35.0 and random.random() < 0.5
    low_deg = max(2.0, 2.0 * round((elevation_deg - 7.0) / 2))
    band = Band(low_deg=low_deg, high_deg=low_deg + pick(random, (10.0, 14.0)), give_deg=5.0)
    wish = Wish(
        side=side if asks else SunSide.ANY,
        camera_side=camera_side if asks and names_side else None,
        elevation=band if is_low else None,
    )
    facts = DEFAULT_SIZES[size]
    is_open = size in (Size.WIDE, Size.FULL) and random.random() < 0.5
    wants_match = size is not Size.INSERT and random.random() < 0.85
    is_held = is_low and random.random() < 0.5
    comes_after = widest is not None and random.random() < 0.1
    return Shot(
        id=f"{number:02d}",
        description=f"{size} of scene {scene.number}",
        size=size,
        spot=scene.spot,
        look_deg=look_deg,
        wish=wish,
        setup_min=facts.setup_min,
        adjust_min=facts.adjust_min,
        shoot_min=pick(random, paces),
        weight=facts.weight + pick(random, (0, 0, 0, 0, 0, 0, 1, 2)),
        scene=str(scene.number),
        rig="" if is_open else scene.rig,
        match=f"scene {scene.number}" if wants_match else "",
        hold=is_held,
        after=(f"{widest:02d}",) if comes_after else (),
        cast=() if size is Size.INSERT else scene.cast,
    )


def paces_min(shots: int) -> tuple[int, ...]:
    """Give the minutes that a shot may roll: a long list is shot fast."""
    if shots <= 16:
        return (10, 15, 20, 25, 30)
    return (10, 15, 15, 20, 25) if shots <= 24 else (5, 10, 15, 20)


def pick(random: Random, items: Sequence[T]) -> T:
    """Draw one of the items, evenly."""
    return items[int(random.random() * len(items))]
