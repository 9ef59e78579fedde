"""Light on level ground under a clear sky from high sun to the end of dusk.

Explanatory Supplement to the Astronomical Almanac, 3rd ed. (Urban and Seidelmann, 2013), table
12.8: cubic pieces of the logarithm, each within 0.02 of what was measured. An overcast has about a
tenth of it.
"""

from __future__ import annotations

# Lowest height in degrees, and the coefficients of log₁₀ lux in height / 90°.
_PIECES = (
    (20.0, (3.74, 3.97, -4.07, 1.47)),
    (5.0, (3.05, 13.28, -45.98, 64.33)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (-18.0, (13.84, 262.72, 1447.42, 2797.93)),
)


def twilight_lux(elevation_deg: float) -> float:
    """Give the light of sun and clear sky on level ground, in lux.

    Parameters
    ----------
    elevation_deg : height of the sun, −18 to 90 degrees

    Raises
    ------
    ValueError
        Outside of that, where the table has nothing.
    """
    for lowest, parts in _PIECES:
        if lowest <= elevation_deg <= 90.0:
            x = elevation_deg / 90.0
            return float(10.0 ** sum(part * x**power for power, part in enumerate(parts)))
    raise ValueError(f"the sun is at {elevation_deg}°, and the table has −18° to 90°")
