"""Photos with the GPS tags of Exif 2.32 (CIPA DC-008-2019, table 15), written with pillow."""

from datetime import date

import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational, ImageFileDirectory_v2

from sunsched.folder.place.photo import photo_point, read_photo
from sunsched.folder.text.words import WordError

GPS, EXIF = 0x8825, 0x8769
HERE = {1: "N", 2: (36.0, 54.0, 0.0), 3: "W", 4: (10.0, 45.0, 36.0)}


@pytest.fixture
def photo(tmp_path):
    """Give a function that writes a photo with GPS tags, and others by directory."""

    def write(gps, name="photo.jpg", taken=None, changed=None):
        path, image = tmp_path / name, Image.new("L", (8, 8))
        if name.endswith(".tif"):
            tags = ImageFileDirectory_v2()
            tags[GPS] = gps
            image.save(path, tiffinfo=tags)
            return path
        exif = Image.Exif()
        if changed:
            exif[0x0132] = changed
        if gps:
            exif[GPS] = gps
        if taken:
            exif[EXIF] = {0x9003: taken}
        image.save(path, exif=exif)
        return path

    return write


@pytest.mark.parametrize("name", ["photo.jpg", "photo.png", "photo.webp", "photo.tif"])
def test_position(photo, name):
    """Degrees, minutes and seconds with their hemispheres are the position, in every format."""
    point = photo_point(photo(HERE | {5: b"\x00", 6: 12.5}, name))
    assert point.latitude_deg == pytest.approx(36.9)
    assert point.longitude_deg == pytest.approx(-10.76)
    assert point.elevation_m == pytest.approx(12.5)


def test_south_east_and_below_the_sea(photo):
    """S turns the sign, and 1 in the altitude's reference is below sea level."""
    point = photo_point(photo(HERE | {1: "S", 3: "E", 5: b"\x01", 6: 400.0}))
    assert (point.latitude_deg, point.longitude_deg) == pytest.approx((-36.9, 10.76))
    assert point.elevation_m == pytest.approx(-400.0)


def test_minutes_with_decimals(photo):
    """Minutes may have decimals, and seconds be 0, as the standard allows."""
    point = photo_point(photo(HERE | {2: (36.0, IFDRational(5430, 100), 0.0)}))
    assert point.latitude_deg == pytest.approx(36.905)


@pytest.mark.parametrize(("ref", "is_magnetic"), [("T", False), ("M", True)])
def test_direction(photo, ref, is_magnetic):
    """The direction is from true or from magnetic north, as its reference says."""
    read = read_photo(photo(HERE | {16: ref, 17: 243.5}))
    assert read.direction_deg == pytest.approx(243.5)
    assert read.is_magnetic is is_magnetic


@pytest.mark.parametrize(
    ("gps", "taken", "changed", "on"),
    [
        (HERE | {29: "2027:06:09"}, "2027:06:08 23:50:00", None, date(2027, 6, 9)),
        (HERE, "2027:06:08 23:50:00", "2027:07:01 10:00:00", date(2027, 6, 8)),
        (HERE, None, "2027:07:01 10:00:00", date(2027, 7, 1)),
        (HERE, "    :  :     :  :  ", None, None),
    ],
)
def test_date(photo, gps, taken, changed, on):
    """The date of the position goes before that of the photo; a blank one is none."""
    assert read_photo(photo(gps, taken=taken, changed=changed)).taken == on


@pytest.mark.parametrize(
    "gps", [{}, {16: "T", 17: 12.0}, {1: "N", 2: (0.0, 0.0, 0.0), 3: "E", 4: (0.0, 0.0, 0.0)}]
)
def test_photo_without_a_position(gps, photo):
    """No tags, or the zeros of a device that did not know: said with what to type instead."""
    with pytest.raises(WordError, match="without a position") as raised:
        photo_point(photo(gps))
    assert "`36.5, -10.2`" in raised.value.hint


@pytest.mark.parametrize(
    "change",
    [
        {1: "X"},
        {3: ""},
        {2: (IFDRational(36, 0), 0.0, 0.0)},
        {2: (136.0, 0.0, 0.0)},
        {16: "T", 17: 400.0},
        {6: IFDRational(1, 0)},
    ],
)
def test_damaged_tags(change, photo):
    """Tags that hold what they may not are refused, not guessed."""
    with pytest.raises(WordError):
        photo_point(photo(HERE | change))


def test_what_is_no_photo(tmp_path):
    """A text, a file that is cut short and one of a format that is not read are told."""
    for name, content in (("a.jpg", b"not a photo"), ("b.heic", b"\x00\x00\x00\x18ftypheic")):
        (tmp_path / name).write_bytes(content)
        with pytest.raises(WordError) as raised:
            read_photo(tmp_path / name)
        assert "JPEG" in raised.value.expected + raised.value.hint
    with pytest.raises(WordError):
        read_photo(tmp_path / "missing.jpg")


def test_cut_photo_never_ends_in_a_traceback(photo, tmp_path):
    """Cut at any byte a photo is read or refused."""
    whole = photo(HERE | {16: "M", 17: 12.0}).read_bytes()
    cut = tmp_path / "cut.jpg"
    for length in range(0, len(whole), 7):
        cut.write_bytes(whole[:length])
        try:
            read_photo(cut)
        except WordError:
            continue
