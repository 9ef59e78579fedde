"""Makes `sky/daylight/sun_colour.csv`: the colour temperature of sun and sky by the sun's height.

Spectra of Bird and Riordan (NREL/TR-215-2436, 1984; pvlib's `spectrl2`), weighted by the CIE 1931
observer, to the correlated colour temperature of Ohno (Leukos 10(1), 47-55, 2014). It needs
colour-science, which nothing else here does:

    pip install colour-science && cd tests && python -m sky.daylight.sun_colour
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pvlib

import sunsched

HEIGHTS_DEG = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 90)
TURBIDITIES = (0.05, 0.10, 0.20, 0.40)  # aerosol optical depth at 500 nm
WATER_CM, OZONE_ATM_CM, ALBEDO, PRESSURE_PA = 1.5, 0.31, 0.2, 101_325.0
FILE = Path(sunsched.__file__).parent / "sky" / "daylight" / "sun_colour.csv"
COMMENT = "# Made by tests/sky/daylight/sun_colour.py, which says of what.\n"


def spectra(height_deg: float, turbidity: float) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Give the spectra of the beam, of the sky and of both on level ground: nm and W/m²/nm."""
    zenith = 90.0 - height_deg
    found = pvlib.spectrum.spectrl2(
        apparent_zenith=zenith,
        aoi=zenith,
        surface_tilt=0.0,
        ground_albedo=ALBEDO,
        surface_pressure=PRESSURE_PA,
        relative_airmass=pvlib.atmosphere.get_relative_airmass(zenith),
        precipitable_water=WATER_CM,
        ozone=OZONE_ATM_CM,
        aerosol_turbidity_500nm=turbidity,
        dayofyear=172,
    )
    nm = found["wavelength"]
    sky = found["dhi"].ravel()
    beam = found["dni"].ravel()
    both = beam * np.sin(np.radians(height_deg)) + sky
    return {"sun": (nm, beam), "sky": (nm, sky), "both": (nm, both)}


def temperature_k(nm: np.ndarray, power: np.ndarray) -> float:
    """Give the correlated colour temperature of a spectrum."""
    import colour

    spectrum = colour.SpectralDistribution(dict(zip(nm, power, strict=True)))
    shape = colour.SpectralShape(380, 780, 5)
    aligned = spectrum.interpolate(shape, interpolator=colour.LinearInterpolator)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    xyz = colour.sd_to_XYZ(aligned, observer, method="Integration")
    uv = colour.UCS_to_uv(colour.XYZ_to_UCS(xyz))
    return float(colour.temperature.uv_to_CCT(uv, method="Ohno 2013")[0])


def main() -> None:
    """Write the table."""
    with FILE.open("w", encoding="utf-8", newline="") as file:
        file.write(COMMENT)
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["height_deg", "turbidity", "sun_k", "sky_k", "both_k"])
        for height in HEIGHTS_DEG:
            for turbidity in TURBIDITIES:
                found = spectra(height, turbidity)
                kelvin = [round(temperature_k(*found[one])) for one in ("sun", "sky", "both")]
                rows.writerow([height, turbidity, *kelvin])


if __name__ == "__main__":
    main()
