"""A tile of terrain: heights in rows from the north, and where on the earth each of them stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

FloatArray: TypeAlias = npt.NDArray[np.float64]
Cells: TypeAlias = Callable[[FloatArray, FloatArray], tuple[FloatArray, FloatArray]]
"""Turns latitudes and longitudes into rows and columns of the tile, which may lie outside it."""

MOST_CELLS = 60_000_000  # four times those of a degree in seconds of arc, at 8 bytes each
METRES_A_DEGREE = 111_195.0
LOWEST_M = -1_000.0  # below that a value is no height, whatever the file says of it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tile:
    """A grid of heights above sea, metres, rows from the north; nan where nothing is known."""

    name: str
    heights_m: FloatArray
    cells: Cells
    cell_m: float

    def at(self, latitude_deg: FloatArray, longitude_deg: FloatArray) -> FloatArray:
        """Give heights between the four cells around each point; nan outside and in voids."""
        row, column = self.cells(latitude_deg, longitude_deg)
        rows, columns = self.heights_m.shape
        # Half a cell past the last middle the tile still is the land.
        is_in = (row >= -0.5) & (row <= rows - 0.5) & (column >= -0.5) & (column <= columns - 0.5)
        row = np.clip(np.where(is_in, row, 0.0), 0, rows - 1)
        column = np.clip(np.where(is_in, column, 0.0), 0, columns - 1)
        top = np.minimum(row.astype(np.int64), max(0, rows - 2))
        left = np.minimum(column.astype(np.int64), max(0, columns - 2))
        down, right = row - top, column - left
        below, beside = np.minimum(top + 1, rows - 1), np.minimum(left + 1, columns - 1)
        known = np.zeros_like(down)
        height = np.zeros_like(down)
        for rows_of, columns_of, share in (
            (top, left, (1 - down) * (1 - right)),
            (top, beside, (1 - down) * right),
            (below, left, down * (1 - right)),
            (below, beside, down * right),
        ):
            cell = self.heights_m[rows_of, columns_of]
            share = np.where(np.isnan(cell), 0.0, share)
            known += share
            height += share * np.nan_to_num(cell)
        # Beside a void the cells that are known count, as far as they are the nearer ones.
        is_known = is_in & (known >= 0.5)
        return np.where(is_known, height / np.where(is_known, known, 1.0), np.nan)


def geographic_cells(north_deg: float, west_deg: float, down_deg: float, right_deg: float) -> Cells:
    """Give what finds cells of a grid in degrees, from the middle of its first cell."""

    def cells(latitude_deg: FloatArray, longitude_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
        east = (longitude_deg - west_deg + 180.0) % 360.0 - 180.0  # also across the date line
        return (north_deg - latitude_deg) / down_deg, east / right_deg

    return cells


def known_heights(raw: npt.NDArray[np.generic], void: float | None) -> FloatArray:
    """Give heights with nan for what is not known."""
    heights = raw.astype(np.float64)
    if void is not None:
        heights[heights == void] = np.nan
    heights[heights < LOWEST_M] = np.nan
    return heights
