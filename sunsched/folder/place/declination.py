"""How far a compass points off true north: the World Magnetic Model of NOAA and the BGS.

The coefficients of all models from 2010 on come with pygeomag. A model holds for five years; what
lies past the last one is not guessed.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from sunsched.day.model import Place

# The WMM's own limits of the horizontal field, nT: below the first a compass is worth nothing,
# below the second it is poor (WMM2025 technical report: blackout and caution zones).
BLACKOUT_NT, CAUTION_NT = 2000.0, 6000.0
FIRST_YEAR, LAST_YEAR = 2010, 2029


@dataclass(frozen=True, slots=True, kw_only=True)
class Declination:
    """Degrees from true north to magnetic north, east positive, with the model that says so.

    `horizontal_nt` is the strength of the field that turns a needle, in nanotesla.
    """

    deg: float
    model: str
    horizontal_nt: float

    @property
    def warning(self) -> str:
        """Say that a compass is not to be trusted here; "" where it is."""
        if self.horizontal_nt < BLACKOUT_NT:
            return "near a magnetic pole: no compass can be trusted here"
        return "a compass is poor here" if self.horizontal_nt < CAUTION_NT else ""


def declination(place: Place, on: date) -> Declination | None:
    """Compute the declination at a place on a date; None outside the years of the models.

    Parameters
    ----------
    place : latitude and longitude in degrees (WGS 84), height in metres above the sea
    on : the date

    Returns
    -------
    Declination or None
        To 0.01°; the model itself is good to some 0.4° (its error model, WMM2025).
    """
    if not FIRST_YEAR <= on.year <= LAST_YEAR:
        return None
    model = _model(on.year)
    length = (date(on.year + 1, 1, 1) - date(on.year, 1, 1)).days
    field = model.calculate(
        glat=place.latitude_deg,
        glon=place.longitude_deg,
        alt=place.elevation_m / 1000,
        time=on.year + (on - date(on.year, 1, 1)).days / length,
    )
    return Declination(deg=round(field.d, 2), model=model.model, horizontal_nt=field.h)


@lru_cache(maxsize=4)
def _model(year: int) -> Any:
    # Imported here to keep `--help` quick.
    from pygeomag import GeoMag

    return GeoMag(base_year=year)
