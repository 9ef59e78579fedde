"""The colour of sun and sky by the sun's height and the haze, from a table made once.

`tests/sky/daylight/sun_colour.py` makes the table and says of what: a clear sky over grass at sea
level. Below 2° the model fails, and of dusk nothing is computed.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from sunsched.day.kit.weather import Haze
from sunsched.sky.track import FloatArray

OVERCAST_K = 6500.0  # CIE: overcast skies are variants of D65
# Aerosol optical depth at 500 nm. The words for them are ours: common practice, no source.
HAZES = {Haze.VERY_CLEAR: 0.05, Haze.CLEAR: 0.10, Haze.HAZY: 0.20, Haze.THICK: 0.40}
LEAST_DEG = 2.0
_COLUMNS = ("sun_k", "sky_k", "both_k")


@dataclass(frozen=True, slots=True, kw_only=True)
class Colour:
    """Colour temperatures in kelvin: of the sun alone, of the sky alone, of both on the ground."""

    sun_k: float
    sky_k: float
    both_k: float


def colour_of(elevation_deg: float, haze: Haze) -> Colour | None:
    """Give the colour of daylight without clouds; None below 2°, where it is not computed.

    Parameters
    ----------
    elevation_deg : apparent height of the sun
    haze : what the air is like
    """
    if elevation_deg < LEAST_DEG:
        return None
    heights, hazes, values = _table()
    place = int(np.flatnonzero(hazes == HAZES[haze])[0])
    sun, sky, both = (
        float(np.interp(elevation_deg, heights, values[:, place, column]))
        for column in range(len(_COLUMNS))
    )
    return Colour(sun_k=sun, sky_k=sky, both_k=both)


def mired(kelvin: float) -> float:
    """Give a colour temperature in mired, of which filters shift equal steps."""
    return 1e6 / kelvin


@cache
def _table() -> tuple[FloatArray, FloatArray, FloatArray]:
    """Give the heights, the hazes and the (heights, hazes, columns) of the table, in kelvin."""
    text = (files("sunsched.sky.daylight") / "sun_colour.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    heights = np.unique([float(row["height_deg"]) for row in rows])
    hazes = np.unique([float(row["turbidity"]) for row in rows])
    values = np.array([[float(row[one]) for one in _COLUMNS] for row in rows])
    return heights, hazes, values.reshape(len(heights), len(hazes), len(_COLUMNS))
