"""Terrain files: tiles of the space shuttle's survey (`.hgt`), ASCII grids and GeoTIFFs."""

from __future__ import annotations

import re
import warnings
from math import isfinite
from pathlib import Path

import numpy as np

from sunsched.folder.skyline.geotiff import projected_cells, read_geotiff
from sunsched.folder.skyline.tile import (
    METRES_A_DEGREE,
    FloatArray,
    Tile,
    geographic_cells,
    known_heights,
)
from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

MAX_TILE_BYTES, MAX_ASCII_BYTES = 400_000_000, 100_000_000
ENDINGS = (".hgt", ".asc", ".tif", ".tiff")
EXPECTED = "a tile such as `N46E013.hgt`, `hills.asc` or `hills.tif`"
# An .hgt file has a row every second of arc, or every three: NASA, SRTM Topography (documentation
# of version 2.1, sections 2 and 3), from memory: 16 bits with a sign, the high byte first, rows
# from north to south, -32768 where nothing was measured. The corner in its name is the middle of
# the cell in the south-west.
HGT_ROWS = (3601, 1201)
HGT_VOID = -32768
UNPACKED_BYTES = 2 * min(HGT_ROWS) ** 2

_CORNER = re.compile(r"([ns])(\d{1,2})([ew])(\d{1,3})", re.IGNORECASE)
_HEAD = ("ncols", "nrows", "xllcorner", "xllcenter", "yllcorner", "yllcenter", "cellsize")


def read_tile(path: Path) -> Tile:
    """Read a tile of terrain by its ending: `.hgt`, an ASCII grid `.asc`, or a GeoTIFF `.tif`.

    Raises
    ------
    WordError
        When it is no such file, or one that cannot be placed on the earth.
    """
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise WordError("not a terrain file", expected=EXPECTED)
    try:
        if not path.is_file():
            raise WordError("no such file", expected=EXPECTED, hint=_near(path))
        most = MAX_ASCII_BYTES if ending == ".asc" else MAX_TILE_BYTES
        if path.stat().st_size > most:
            raise WordError(
                f"{path.stat().st_size:,} bytes long", expected=f"at most {most:,} bytes"
            )
        if ending == ".hgt":
            return _hgt(path)
        if ending == ".asc":
            return _ascii(path)
        return read_geotiff(path)
    except OSError as error:
        raise WordError(f"cannot be read ({str(error.strerror).lower()})") from None


def _near(path: Path) -> str:
    if not path.parent.is_dir():
        return f"there is no folder `{path.parent}`"
    return words.did_you_mean(path.name, (one.name for one in path.parent.iterdir()))


def _hgt(path: Path) -> Tile:
    corner = _CORNER.match(path.stem)
    if corner is None:
        raise WordError(
            "an .hgt file whose name does not say where it is",
            expected="the corner in its south-west, such as N46E013.hgt",
        )
    south = int(corner[2]) * (1 if corner[1] in "nN" else -1)
    west = int(corner[4]) * (1 if corner[3] in "eE" else -1)
    count = path.stat().st_size // 2
    rows = next((rows for rows in HGT_ROWS if rows**2 == count), None)
    if rows is None or path.stat().st_size % 2:
        raise WordError(
            f"{path.stat().st_size:,} bytes long",
            expected="1201 × 1201 or 3601 × 3601 heights of two bytes",
            hint="unpack it first" if path.stat().st_size < UNPACKED_BYTES else "",
        )
    raw = np.fromfile(path, dtype=">i2").reshape(rows, rows)
    step = 1 / (rows - 1)
    return Tile(
        name=path.name,
        heights_m=known_heights(raw, HGT_VOID),
        cells=geographic_cells(south + 1.0, float(west), step, step),
        cell_m=step * METRES_A_DEGREE,
    )


def _figures(text: str) -> FloatArray:
    """Read figures with white space between them; raises ValueError for anything else."""
    with warnings.catch_warnings():
        # A list of texts would take ten times the memory. What is no figure is a warning only.
        warnings.simplefilter("error", DeprecationWarning)
        try:
            return np.fromstring(text, dtype=np.float64, sep=" ")
        except DeprecationWarning as warning:
            raise ValueError(str(warning)) from None


def _ascii(path: Path) -> Tile:
    """Read an ASCII grid: lines of keys, then rows from the north (ESRI's grid, an open form)."""
    head: dict[str, float] = {}
    try:
        with path.open(encoding="ascii") as file:
            line = file.readline()
            while line.strip()[:1].isalpha():
                key, value = line.split()
                head[key.casefold()] = float(value)
                line = file.readline()
            grid = _figures(line + file.read())
    except ValueError:
        raise WordError("not an ASCII grid", expected=f"lines such as {_HEAD[0]} 1201") from None
    missing = [
        " or ".join(names)
        for names in (_HEAD[:1], _HEAD[1:2], _HEAD[2:4], _HEAD[4:6], _HEAD[6:7])
        if not any(name in head for name in names)
    ]
    if missing:
        raise WordError(f"an ASCII grid without {words.listed(missing, 'and')}")
    if not all(isfinite(figure) for figure in head.values()):
        raise WordError("an ASCII grid with figures that are none")
    columns, rows, step = int(head["ncols"]), int(head["nrows"]), head["cellsize"]
    if grid.size != rows * columns or step <= 0:
        raise WordError(
            f"{grid.size:,} heights", expected=f"{rows:,} × {columns:,}, as its first lines say"
        )
    west = head["xllcenter"] if "xllcenter" in head else head["xllcorner"] + step / 2
    south = head["yllcenter"] if "yllcenter" in head else head["yllcorner"] + step / 2
    north = south + step * (rows - 1)
    heights = known_heights(grid.reshape(rows, columns), head.get("nodata_value", -9999.0))
    crs = path.with_suffix(".prj")
    if crs.is_file():
        cells, metres = projected_cells(crs.read_text(encoding="utf-8"), north, west, step, step)
        return Tile(name=path.name, heights_m=heights, cells=cells, cell_m=metres)
    if abs(west) > 360 or abs(north) > 90:
        raise WordError(
            "an ASCII grid in metres that does not say in which projection",
            expected="degrees, or its `.prj` file beside it",
        )
    cells = geographic_cells(north, west, step, step)
    return Tile(name=path.name, heights_m=heights, cells=cells, cell_m=step * METRES_A_DEGREE)
