"""Daylight on the ground and on a face, by the kind of sky.

IES Calculation Procedures Committee, "Recommended practice for the calculation of daylight
availability", J. IES 13(4), 381-392, 1984. Its skies are means of many days: a single one may have
twice as much or half. The air mass is that of Kasten and Young (Applied Optics 28, 4735-4738,
1989), as the paper's own is too large near the horizon.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import cos, exp, pi, radians, sin

from sunsched.sky.daylight.twilight import twilight_lux

SOLAR_KLX, YEAR_SHARE = 127.5, 0.034  # outside the air, at the mean distance; over the year
LEAST_DEG = 2.0  # below it the models spread by more than a stop
LAST_DUSK_DEG = -18.0


class Sky(StrEnum):
    """Kinds of sky, by the tenths of it that are covered: to 3, from 4 to 7, from 8."""

    CLEAR = "clear"
    PARTLY = "partly cloudy"
    CLOUDY = "cloudy"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """Extinction of the beam, None where none arrives; horizontal sky A + B sinᶜ h in klx."""

    extinction: float | None
    floor_klx: float
    rise_klx: float
    power: float


_KINDS = {
    Sky.CLEAR: _Kind(extinction=0.21, floor_klx=0.8, rise_klx=15.5, power=0.5),
    Sky.PARTLY: _Kind(extinction=0.80, floor_klx=0.3, rise_klx=45.0, power=1.0),
    Sky.CLOUDY: _Kind(extinction=None, floor_klx=0.3, rise_klx=21.0, power=1.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Daylight:
    """Daylight at one moment, in klx.

    Attributes
    ----------
    sky : the kind of sky
    beam_normal : of the sun alone, on a plane that faces it; 0 where it does not arrive
    beam, sky_horizontal : on level ground, of the sun and of the sky
    """

    sky: Sky
    beam_normal: float
    beam: float
    sky_horizontal: float

    @property
    def total(self) -> float:
        """Give all of it on level ground."""
        return self.beam + self.sky_horizontal


def daylight(elevation_deg: float, day_of_year: int, sky: Sky, arrives: float = 1.0) -> Daylight:
    """Give the daylight with the sun at an apparent height above the horizon.

    Parameters
    ----------
    elevation_deg : apparent height of the sun, degrees, above 0
    day_of_year : 1 to 366; the sun is nearer in January
    sky : the kind of sky
    arrives : share of the sun's disc that no skyline hides, 0 to 1

    Raises
    ------
    ValueError
        With the sun at or below the horizon, for which `twilight_klx` has figures.
    """
    if elevation_deg <= 0.0:
        raise ValueError(f"the sun is at {elevation_deg}°, and daylight begins above 0°")
    kind, up = _KINDS[sky], sin(radians(elevation_deg))
    normal = 0.0
    if kind.extinction is not None:
        outside = SOLAR_KLX * (1.0 + YEAR_SHARE * cos(2.0 * pi * (day_of_year - 2) / 365.0))
        normal = arrives * outside * exp(-kind.extinction * air_mass(elevation_deg))
    return Daylight(
        sky=sky,
        beam_normal=normal,
        beam=normal * up,
        sky_horizontal=kind.floor_klx + kind.rise_klx * up**kind.power,
    )


def air_mass(elevation_deg: float) -> float:
    """Give the air that the beam goes through, as a multiple of that overhead."""
    above = max(elevation_deg, 0.0)
    return float(1.0 / (sin(radians(above)) + 0.50572 * (above + 6.07995) ** -1.6364))


def half_sky_klx(elevation_deg: float, turned_deg: float, sky: Sky) -> float:
    """Give what half of the sky gives an upright plane, without the beam and the ground, in klx.

    Parameters
    ----------
    elevation_deg : apparent height of the sun, degrees, above 0
    turned_deg : angle on the ground between the bearing of the sun and that which the plane faces
    """
    h, towards = radians(elevation_deg), cos(radians(turned_deg))
    if sky is Sky.CLOUDY:
        return 8.5 * sin(h)
    if sky is Sky.PARTLY:
        high = 12.0 * h + 30.2 * sin(h) ** 0.8 * cos(h)
        return float(high * (1.0 + towards) / (3.0 - towards))
    high = 4.0 * h**1.3 + 12.0 * sin(h) ** 0.3 * cos(h) ** 1.3
    return float(high * (2.0 + towards) / (3.0 - towards))


def face_klx(found: Daylight, elevation_deg: float, turned_deg: float, ground: float) -> float:
    """Give the light on an upright face: the sun, half of the sky, and what the ground throws back.

    Parameters
    ----------
    found : daylight at that height
    turned_deg : angle on the ground between the bearing of the sun and that which the face looks to
    ground : share that the ground throws back, 0 to 1; half of what it does reaches the face
    """
    incidence = cos(radians(elevation_deg)) * cos(radians(turned_deg))
    direct = found.beam_normal * max(0.0, incidence)
    sky = half_sky_klx(elevation_deg, turned_deg, found.sky)
    return direct + sky + ground * found.total / 2.0


def twilight_klx(elevation_deg: float) -> float | None:
    """Give a clear sky on level ground with the sun below the horizon; None past the last dusk."""
    if elevation_deg < LAST_DUSK_DEG:
        return None
    return twilight_lux(elevation_deg) / 1000.0
