"""Tiles of terrain, read by us and by GDAL: the library that the trade of maps reads them with.

The layout of an .hgt file is that of NASA's SRTM documentation (from memory): heights of 16 bits,
the high byte first, rows from the north, -32768 for a void; the name is the corner in the
south-west, and the first and last rows and columns are those of the neighbours too.
"""

from __future__ import annotations

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from sunsched.folder.skyline.terrain import read_tile
from sunsched.folder.text.words import WordError

DRAW = np.random.default_rng(7)
HEIGHTS = DRAW.integers(100, 900, (1201, 1201)).astype(np.int16)
HEIGHTS[10, 20] = -32768


@pytest.fixture
def hgt(tmp_path):
    """Give a tile of the valley, with one void."""
    path = tmp_path / "N46E013.hgt"
    path.write_bytes(HEIGHTS.astype(">i2").tobytes())
    return path


def at(tile, latitude, longitude):
    """Give one height."""
    return float(tile.at(np.array([latitude]), np.array([longitude]))[0])


def test_an_hgt_file_begins_in_the_north_west(hgt):
    """The corners of the square degree are the middles of the corner cells."""
    tile = read_tile(hgt)
    assert at(tile, 47, 13) == HEIGHTS[0, 0]
    assert at(tile, 47, 14) == HEIGHTS[0, -1]
    assert at(tile, 46, 13) == HEIGHTS[-1, 0]
    assert at(tile, 46, 14) == HEIGHTS[-1, -1]
    # The second row is three seconds of arc to the south.
    assert at(tile, 47 - 3 / 3600, 13) == pytest.approx(HEIGHTS[1, 0], abs=1e-6)
    between = (HEIGHTS[0, 0].astype(int) + HEIGHTS[0, 1] + HEIGHTS[1, 0] + HEIGHTS[1, 1]) / 4
    assert at(tile, 47 - 1.5 / 3600, 13 + 1.5 / 3600) == pytest.approx(between, abs=1e-6)
    assert np.isnan(at(tile, 47 - 10 / 1200, 13 + 20 / 1200))
    assert np.isnan(at(tile, 45.99, 13.5))
    assert tile.cell_m == pytest.approx(92.7, abs=0.1)


def test_gdal_reads_the_same_heights_from_an_hgt_file(hgt):
    """At 300 middles of cells."""
    rows, columns = DRAW.integers(30, 1200, (2, 300))
    latitude, longitude = 47 - rows / 1200, 13 + columns / 1200
    with rasterio.open(hgt) as file:
        theirs = np.array(
            [value[0] for value in file.sample(zip(longitude, latitude, strict=True))]
        )
    assert read_tile(hgt).at(latitude, longitude) == pytest.approx(theirs, abs=1e-4)


@pytest.mark.parametrize(("name", "south", "west"), [("S34W071", -34, -71), ("s01e179", -1, 179)])
def test_names_have_the_corner_in_the_south_west(name, south, west, tmp_path):
    """S34 is the degree from 34° to 33° south; small letters are as good."""
    path = tmp_path / f"{name}.hgt"
    path.write_bytes(HEIGHTS.astype(">i2").tobytes())
    tile = read_tile(path)
    assert at(tile, south, west) == HEIGHTS[-1, 0]
    assert at(tile, south + 1, west + 1) == HEIGHTS[0, -1]
    assert at(tile, south + 1, west + 1 - 360) == HEIGHTS[0, -1]


ASCII = """ncols 3
nrows 2
xllcorner 13.0
yllcorner 46.0
cellsize 0.5
NODATA_value -9999
1 2 3
4 -9999 6
"""


def test_an_ascii_grid_is_read_as_gdal_reads_it(tmp_path):
    """Corners of cells or their middles; what is no data is a void."""
    path = tmp_path / "hills.asc"
    path.write_text(ASCII)
    tile = read_tile(path)
    with rasterio.open(path) as file:
        for longitude in (13.25, 13.75, 14.25):
            for latitude in (46.25, 46.75):
                theirs = float(next(file.sample([(longitude, latitude)]))[0])
                ours = at(tile, latitude, longitude)
                assert ours == theirs or (np.isnan(ours) and theirs == -9999)
    path.write_text(
        ASCII.replace("llcorner 13.0", "llcenter 13.25").replace(
            "yllcorner 46.0", "yllcenter 46.25"
        )
    )
    assert at(read_tile(path), 46.75, 14.25) == 3
    # The line may be left out: -9999 is then no data (the format as its maker says, from memory).
    path.write_text(ASCII.replace("NODATA_value -9999\n", ""))
    assert np.isnan(at(read_tile(path), 46.25, 13.75))
    assert at(read_tile(path), 46.25, 13.25) == 4


@pytest.mark.parametrize(
    ("dtype", "more"),
    [("int16", {"compress": "lzw"}), ("float32", {"compress": "deflate", "predictor": 3})],
)
@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:32633"])
def test_a_geotiff_is_read_in_its_packing_and_projection(dtype, more, crs, tmp_path):
    """In degrees and in metres of UTM, as GDAL samples it at the nearest cell."""
    path = tmp_path / "hills.tif"
    grid = np.arange(200 * 300).reshape(200, 300) % 997
    step = 0.001 if crs == "EPSG:4326" else 30.0
    origin = (13.0, 46.5) if crs == "EPSG:4326" else (346_000.0, 5_150_000.0)
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=300,
        height=200,
        count=1,
        dtype=dtype,
        crs=crs,
        transform=from_origin(*origin, step, step),
        nodata=5,
        **more,
    ) as file:
        file.write(grid.astype(dtype), 1)
    tile = read_tile(path)
    rows, columns = DRAW.integers(0, 199, (2, 50))
    x, y = origin[0] + (columns + 0.5) * step, origin[1] - (rows + 0.5) * step
    longitude, latitude = rasterio.warp.transform(crs, "EPSG:4326", x, y)
    found = tile.at(np.array(latitude), np.array(longitude))
    expected = np.where(grid == 5, np.nan, grid)[rows, columns]
    known = ~np.isnan(found)  # beside a void nothing is known either
    assert known.sum() > 40
    assert found[known] == pytest.approx(expected[known], abs=0.05)
    if crs == "EPSG:32633":
        assert tile.cell_m == 30
        # The same heights as an ASCII grid, with its projection beside it.
        rows_text = "\n".join(" ".join(map(str, row)) for row in grid)
        head = (
            f"ncols 300\nnrows 200\nxllcorner 346000\nyllcorner {5_150_000 - 6000}\ncellsize 30\n"
        )
        (tmp_path / "hills.asc").write_text(f"{head}nodata_value 5\n{rows_text}\n")
        (tmp_path / "hills.prj").write_text(rasterio.crs.CRS.from_epsg(32633).to_wkt())
        same = read_tile(tmp_path / "hills.asc").at(np.array(latitude), np.array(longitude))
        assert same == pytest.approx(found, abs=1e-6, nan_ok=True)


BAD = [
    ("valley.hgt", b"x", "an .hgt file whose name does not say where it is"),
    ("N46E013.hgt", b"xx" * 50, "100 bytes long"),
    ("hills.asc", b"hello", "not an ASCII grid"),
    (
        "hills.asc",
        b"ncols 2\nnrows 2\n1 2 3 4\n",
        "an ASCII grid without xllcorner or xllcenter, yllcorner or yllcenter and cellsize",
    ),
    ("hills.asc", ASCII.replace("ncols 3", "ncols 4").encode(), "6 heights"),
    (
        "hills.asc",
        ASCII.replace("13.0", "346000").encode(),
        "an ASCII grid in metres that does not say in which projection",
    ),
    ("hills.asc", ASCII.encode() + b" x", "not an ASCII grid"),
    ("hills.tif", b"II*\0", "not a GeoTIFF that can be read"),
    ("hills.png", b"x", "not a terrain file"),
]


@pytest.mark.parametrize(("name", "raw", "problem"), BAD)
def test_files_that_are_no_terrain(name, raw, problem, tmp_path):
    """Each says what it is not."""
    path = tmp_path / name
    path.write_bytes(raw)
    with pytest.raises(WordError) as raised:
        read_tile(path)
    assert raised.value.problem == problem


def test_a_file_that_is_not_there_has_a_near_name(hgt):
    """And a folder that is not there is named."""
    with pytest.raises(WordError) as raised:
        read_tile(hgt.with_name("N46E031.hgt"))
    assert (raised.value.problem, raised.value.hint) == (
        "no such file",
        "did you mean `N46E013.hgt`?",
    )


def test_a_packed_tile_does_not_unfold_to_gigabytes(tmp_path):
    """A file of no size can say that it has a million times a million heights, none written."""
    path, place = tmp_path / "hills.tif", from_origin(13.0, 47.0, 1e-5, 1e-5)
    told = {"driver": "GTiff", "width": 90_000, "height": 90_000, "count": 1, "dtype": "int16"}
    with rasterio.open(path, "w", **told, crs="EPSG:4326", transform=place, sparse_ok=True):
        pass
    assert path.stat().st_size < 2_000_000
    with pytest.raises(WordError) as raised:
        read_tile(path)
    assert raised.value.problem == "90,000 × 90,000 heights"


def test_a_plain_picture_is_no_terrain(tmp_path):
    """A TIFF without coordinates says so."""
    path = tmp_path / "photo.tif"
    with (
        pytest.warns(rasterio.errors.NotGeoreferencedWarning),
        rasterio.open(path, "w", driver="GTiff", width=2, height=2, count=1, dtype="uint8") as file,
    ):
        file.write(np.zeros((1, 2, 2), dtype=np.uint8))
    with pytest.raises(WordError) as raised:
        read_tile(path)
    assert raised.value.problem == "a GeoTIFF that does not say where it is"


def test_without_the_library_it_says_how_to_get_it(tmp_path, monkeypatch):
    """The extra is named, and what is read without it."""
    import sys

    monkeypatch.setitem(sys.modules, "rasterio", None)
    path = tmp_path / "hills.tif"
    path.write_bytes(b"II*\0")
    with pytest.raises(WordError) as raised:
        read_tile(path)
    assert raised.value.problem == "a GeoTIFF needs a library that is not installed"
    assert raised.value.hint.startswith("`pip install rasterio`")
