"""GeoTIFFs and projected grids, read by rasterio, which comes with the extra `terrain`."""

from __future__ import annotations

import warnings
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np

from sunsched.folder.skyline.tile import (
    METRES_A_DEGREE,
    MOST_CELLS,
    Cells,
    FloatArray,
    Tile,
    geographic_cells,
    known_heights,
)
from sunsched.folder.text.words import WordError

WGS84 = "EPSG:4326"


def read_geotiff(path: Path) -> Tile:
    """Read the first band of a GeoTIFF as heights in metres; raises WordError if there is none."""
    rasterio = _rasterio("a GeoTIFF")
    try:
        with warnings.catch_warnings(), _opened(rasterio, path) as file:
            if file.crs is None:
                raise WordError(
                    "a GeoTIFF that does not say where it is",
                    hint="one with coordinates (a georeferenced one) is needed",
                )
            if file.width * file.height > MOST_CELLS:
                # Packed, a file of no size at all can say that it has these.
                raise WordError(
                    f"{file.width:,} × {file.height:,} heights",
                    expected=f"at most {MOST_CELLS:,}",
                    hint="cut the part out that stands around the place",
                )
            transform = file.transform
            if transform.b or transform.d or transform.a <= 0 or transform.e >= 0:
                raise WordError("a GeoTIFF that is turned", expected="rows from the north")
            raw, void = file.read(1), file.nodata
            crs = file.crs
    # Names of its coordinates that are no text are not an error of rasterio's own.
    except (rasterio.errors.RasterioError, UnicodeDecodeError):
        raise WordError("not a GeoTIFF that can be read") from None
    cells, metres = projected_cells(
        crs,
        transform.f + transform.e / 2,
        transform.c + transform.a / 2,
        -transform.e,
        transform.a,
    )
    heights = known_heights(raw, None if void is None else float(void))
    return Tile(name=path.name, heights_m=heights, cells=cells, cell_m=metres)


def _opened(rasterio: ModuleType, path: Path) -> Any:
    """Open a file; that it may have no coordinates is told as a fault, not as a warning."""
    warnings.simplefilter("ignore", rasterio.errors.NotGeoreferencedWarning)
    return rasterio.open(path)


def projected_cells(
    crs: Any, north: float, west: float, down: float, right: float
) -> tuple[Cells, float]:
    """Give what finds cells of a grid in some projection, and the metres of a cell.

    Parameters
    ----------
    crs : a text that names the projection, or what rasterio read
    north, west : where the middle of the first cell stands
    down, right : from cell to cell, in the units of the projection
    """
    rasterio = _rasterio("a grid with its projection")
    try:
        system = rasterio.crs.CRS.from_user_input(crs)
        metres = 1.0 if system.is_geographic else float(system.linear_units_factor[1])
    except rasterio.errors.CRSError:
        raise WordError("a projection that is not known") from None
    if system.is_geographic:
        return geographic_cells(north, west, down, right), down * METRES_A_DEGREE

    def cells(latitude_deg: FloatArray, longitude_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
        shape = np.shape(latitude_deg)
        x, y = rasterio.warp.transform(
            WGS84, system, np.ravel(longitude_deg), np.ravel(latitude_deg)
        )
        east, northing = np.reshape(x, shape), np.reshape(y, shape)
        return (north - northing) / down, (east - west) / right

    return cells, down * metres


def _rasterio(what: str) -> ModuleType:
    try:
        import rasterio
        import rasterio.crs
        import rasterio.errors
        import rasterio.warp
    except ImportError:
        raise WordError(
            f"{what} needs a library that is not installed",
            hint="`pip install rasterio`, or give the tile as .hgt or as an ASCII grid in degrees",
        ) from None
    module: ModuleType = rasterio
    return module
