"""Whole files that are no text, a photo and a tile of terrain, and changes of a photo's tags."""

from __future__ import annotations

import io
import struct
import warnings
from collections.abc import Callable
from functools import cache
from random import Random
from typing import Any

import numpy as np
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

GPS, EXIF = 0x8825, 0x8769  # directories of Exif 2.32, table 15
# Values of a type that a tag is not meant to have, and figures at the ends of those it is.
ODD: tuple[Any, ...] = (
    *(0, 1, -1, 361, 2**32 - 1, 0.0, 1e30, b"", b"\x00", b"\xff" * 300, "", "N", "Q", "x" * 5000),
    *(IFDRational(0, 0), IFDRational(1, 0), IFDRational(-1, 0), IFDRational(2**31, 1)),
    *((), (1,), (36.0, 61.0, 61.0), (36.0, 54.0, 0.0, 5.0), ("36", "54", "0"), (-91.0, 0.0, 0.0)),
    *("0000:00:00", "2027:13:01", "9999:12:31 23:59:60", "2027:06:09", "\x1b[31m", "\u202e"),
)


@cache
def photo() -> bytes:
    """Give a small photo that tells where it was taken, which way it looked, and when."""
    exif = Image.Exif()
    exif[0x0132] = "2027:06:09 07:00:00"
    exif[EXIF] = {0x9003: "2027:06:09 06:40:00"}
    exif[GPS] = {
        1: "N",
        2: (36.0, 54.0, 0.0),
        3: "W",
        4: (10.0, 45.0, 36.0),
        5: b"\x00",
        6: 12.5,
        16: "T",
        17: 271.5,
        29: "2027:06:09",
    }
    return _saved(exif)


def in_exif(raw: bytes, random: Random, otherwise: Callable[[bytes, Random], bytes]) -> bytes:
    """Give a tag of a photo another value, or take it away; `otherwise` where no tags are read."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            exif = Image.open(io.BytesIO(raw)).getexif()
            gps, taken = dict(exif.get_ifd(GPS)), dict(exif.get_ifd(EXIF))
            directory = random.choice((gps, gps, gps, taken))
            tag = random.choice([*directory, random.randrange(32)])
            if random.random() < 0.15:
                directory.pop(tag, None)
            else:
                directory[tag] = random.choice(ODD)
            exif[GPS], exif[EXIF] = gps, taken
            return _saved(exif)
        # Pillow does not write every value, nor read every photo, and says so in many ways.
        except Exception:  # noqa: BLE001
            return otherwise(raw, random)


@cache
def geotiff() -> bytes:
    """Give a tile of six by six heights with its place on earth."""
    from rasterio.io import MemoryFile
    from rasterio.transform import Affine

    place = Affine(0.01, 0.0, -10.3, 0.0, -0.01, 36.6)
    told = {"driver": "GTiff", "width": 6, "height": 6, "count": 1, "dtype": "int16"}
    with MemoryFile() as file:
        with file.open(**told, crs="EPSG:4326", transform=place, nodata=-1) as tile:
            tile.write(np.arange(36, dtype=np.int16).reshape(1, 6, 6))
        return bytes(file.read())


@cache
def survey_tile() -> bytes:
    """Give a tile of the shuttle's survey, a height every three seconds of arc."""
    return struct.pack(">h", 40) * 1201**2


def _saved(exif: Image.Exif) -> bytes:
    made = io.BytesIO()
    Image.new("L", (8, 8)).save(made, "JPEG", exif=exif)
    return made.getvalue()
