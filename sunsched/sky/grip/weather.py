"""What wind, heat and cold do: figures for who decides, never a go-ahead.

No published limit for frames in wind was found, so none is given: the key grip sets it.
"""

from __future__ import annotations

from math import log10, sqrt

AIR_KG_M3 = 1.225  # International Standard Atmosphere at sea level
DRAG = 1.2  # of a flat plate across the wind, common in handbooks; a cloth that leaks has less


def wind_force_n(side_m: float, gust_m_s: float) -> float:
    """Give the force of a gust on a solid square frame across the wind: ½ ρ v² C A, in newtons.

    A tilted frame is lifted as well, with up to as much again.
    """
    return AIR_KG_M3 / 2.0 * gust_m_s**2 * DRAG * side_m**2


def heat_index_f(air_f: float, humidity: float) -> float:
    """Give the heat index of the US National Weather Service, °F.

    Rothfusz, Southern Region Technical Attachment SR 90-23, 1990, with the adjustments of the
    Weather Prediction Center.

    Parameters
    ----------
    air_f : °F
    humidity : relative, per cent
    """
    simple = 0.5 * (air_f + 61.0 + (air_f - 68.0) * 1.2 + humidity * 0.094)
    if (simple + air_f) / 2.0 < 80.0:
        return simple
    t, r = air_f, humidity
    index = (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 6.83783e-3 * t * t
        - 5.481717e-2 * r * r
        + 1.22874e-3 * t * t * r
        + 8.5282e-4 * t * r * r
        - 1.99e-6 * t * t * r * r
    )
    if r < 13.0 and 80.0 <= t <= 112.0:
        index -= (13.0 - r) / 4.0 * sqrt((17.0 - abs(t - 95.0)) / 17.0)
    elif r > 85.0 and 80.0 <= t <= 87.0:
        index += (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    return index


def wind_chill_f(air_f: float, wind_mph: float) -> float | None:
    """Give the wind chill of the US National Weather Service (2001), °F.

    None where it is not defined: above 50 °F, or in less than 3 mph.
    """
    if air_f > 50.0 or wind_mph < 3.0:
        return None
    windy = pow(wind_mph, 0.16)
    return float(35.74 + 0.6215 * air_f - 35.75 * windy + 0.4275 * air_f * windy)


def heat_limit_wbgt_c(work_w: float, *, is_used_to_heat: bool) -> float:
    """Give the wet-bulb globe temperature from which work in heat is to be limited, °C.

    NIOSH 2016-106 (Jacklitsch and others), chapter 8: the recommended exposure limit for who is
    used to heat, the recommended alert limit for who is not.

    Parameters
    ----------
    work_w : what the work takes of the body, watts; 180 light, 300 moderate, 415 heavy
    """
    if is_used_to_heat:
        return 56.7 - 11.5 * log10(work_w)
    return 59.9 - 14.1 * log10(work_w)
