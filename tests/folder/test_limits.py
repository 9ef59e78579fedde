"""Stated limits, files that are not there or lead elsewhere, and bytes that are no day at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sunsched.errors import FolderError
from sunsched.folder.read import read_day

HEADER = "id,description,size,look,shoot_min"


def test_120_shots_are_read_and_one_more_is_a_fault(make_folder, faults):
    """The limit of the shot list, on both sides."""
    rows = [f"{place},Wide,wide,N,30\n" for place in range(121)]
    folder = make_folder(shots=f"{HEADER}\n{''.join(rows[:120])}")
    assert faults(folder) == []
    (folder / "shots.csv").write_text(f"{HEADER}\n{''.join(rows)}")
    assert faults(folder) == ["shots.csv:122: 121 shots (expected at most 120)"]


def test_5000_horizon_points_are_read_and_one_more_is_a_fault(make_folder, faults):
    """The limit of a horizon, on both sides."""
    rows = [f"{place * 0.07:.2f},1\n" for place in range(5001)]
    head = "azimuth_deg,elevation_deg\n"
    folder = make_folder(horizon_salt_pans_csv=head + "".join(rows[:5000]))
    assert faults(folder) == []
    (folder / "horizon-salt-pans.csv").write_text(head + "".join(rows))
    assert faults(folder) == ["horizon-salt-pans.csv:5002: 5,001 points (expected at most 5,000)"]


def test_100_cloud_hours_are_read_and_one_more_is_a_fault(make_folder, faults):
    """The limit of a forecast, on both sides."""
    rows = [f"{place // 60}:{place % 60:02},0\n" for place in range(101)]
    head = "hour,cloud_cover\n"
    folder = make_folder(sky_csv=head + "".join(rows[:100]))
    assert faults(folder) == []
    (folder / "sky.csv").write_text(head + "".join(rows))
    assert faults(folder) == ["sky.csv:102: 101 hours (expected at most 100)"]


@pytest.mark.parametrize("table", ["spot", "cast"])
def test_64_spots_or_cast_are_read_and_one_more_is_a_fault(table, minimal_day, make_folder, faults):
    """The limit of names, on both sides."""
    names = [f'[[{table}]]\nname = "n{place}"\n' for place in range(65)]
    shots = f"{HEADER},spot\n1,Wide,wide,N,30,{'n1' if table == 'spot' else ''}\n"
    folder = make_folder(minimal_day + "".join(names[:64]), shots)
    assert faults(folder) == []
    (folder / "day.toml").write_text(minimal_day + "".join(names))
    assert faults(folder) == [
        f"day.toml:141, {table}: 65 `[[{table}]]` tables (expected at most 64)"
    ]


@pytest.mark.parametrize(
    ("column", "limit"), [("description", 500), ("rig", 60), ("scene", 60), ("cast", 60)]
)
def test_texts_have_a_longest_length(column, limit, make_folder, faults):
    """The limit of each text, on both sides."""
    head = HEADER if column == "description" else f"{HEADER},{column}"
    row = dict.fromkeys(head.split(","), "1") | {"size": "wide", column: "x" * limit}
    folder = make_folder(shots=f"{head}\n{','.join(row.values())}\n")
    assert faults(folder) == []
    row[column] += "x"
    (folder / "shots.csv").write_text(f"{head}\n{','.join(row.values())}\n")
    assert faults(folder) == [
        (
            f"shots.csv:2, {column}: {limit + 1} characters long: `{'x' * 59}…` "
            f"(expected 1 to {limit} characters)"
        )
    ]


def test_title_has_a_longest_length(minimal_day, make_folder, faults):
    """120 characters fit, 121 do not."""
    folder = make_folder(minimal_day.replace("Salt pans", "x" * 120, 1))
    assert faults(folder) == []
    (folder / "day.toml").write_text(minimal_day.replace("Salt pans", "x" * 121, 1))
    assert faults(folder) == [
        f"day.toml:1, title: 121 characters long: `{'x' * 59}…` (expected 1 to 120 characters)"
    ]


def test_more_than_100_columns_are_a_fault(make_folder, faults):
    """A header that wide is no shot list."""
    header = ",".join(f"c{place}" for place in range(101))
    assert faults(make_folder(shots=f"{header}\n")) == [
        "shots.csv:1: 101 columns (expected at most 100)"
    ]


def test_cell_without_end_is_a_fault(make_folder, faults):
    """A quote that is closed far below swallows the rows between."""
    shots = f'{HEADER}\n1,"{"x" * 140_000}",wide,N,30\n'
    assert faults(make_folder(shots=shots)) == [
        "shots.csv:2: a cell too long to read\n  hint: look for a quote that never closes"
    ]


def test_huge_whole_numbers_are_out_of_range(minimal_day, make_folder, faults):
    """Numbers that no float can hold are told like any other."""
    huge = "0x" + "f" * 400
    day = minimal_day.replace("longitude_deg", f"elevation_m = {huge}\nlongitude_deg")
    shown = huge[:59] + "…"
    shots = f"{HEADER}\n1,Wide,wide,N,{'9' * 400}\n"
    assert faults(make_folder(day, shots)) == [
        (
            f"day.toml:7, place.elevation_m: out of range: `{shown}` "
            "(expected a number from -430 to 9000, such as 20.5)"
        ),
        (
            f"shots.csv:2, shoot_min: out of range: `{'9' * 59}…` "
            "(expected a whole number from 1 to 720, such as 20)"
        ),
    ]


def test_nesting_without_end_is_a_fault(minimal_day, make_folder, faults):
    """Brackets deeper than the parser can go are told, not crashed on."""
    day = f"x = {'[' * 3000}{']' * 3000}\n" + minimal_day
    assert faults(make_folder(day)) == ["day.toml: not valid TOML: nested too deeply"]


def test_dotted_key_without_end_is_a_fault(minimal_day, make_folder, faults):
    """Deep tables are told before they are read, which would take long."""
    day = f"{'.'.join(['x'] * 2000)} = 1\n" + minimal_day
    found = faults(make_folder(day))
    key = ".".join(["x"] * 9)
    assert found == [f"day.toml:1: a key of too many parts: `{key}` (expected at most 8 parts)"]


@pytest.mark.parametrize("name", ["day.toml", "shots.csv", "sky.csv"])
def test_file_over_five_megabytes_is_a_fault(name, make_folder, faults):
    """The size is looked at before the file is read."""
    folder = make_folder()
    with (folder / name).open("wb") as file:
        file.truncate(5_000_001)
    assert faults(folder) == [f"{name}: 5,000,001 bytes long (expected at most 5,000,000 bytes)"]


def test_missing_folder_is_a_fault(tmp_path, monkeypatch, faults):
    """The path is told as it was given."""
    monkeypatch.chdir(tmp_path)
    assert faults(Path("nowhere/day")) == ["nowhere/day: no such folder (expected a day folder)"]


def test_file_instead_of_a_folder_is_a_fault(make_folder, monkeypatch, faults):
    """`day.toml` itself is the file that people point at."""
    monkeypatch.chdir(make_folder())
    assert faults(Path("day.toml")) == [
        "day.toml: not a folder (expected a day folder)\n  hint: give the folder, not a file in it",
    ]
    assert faults(Path("shots.csv")) == ["shots.csv: not a folder (expected a day folder)"]


def test_empty_folder_lacks_both_files(make_folder, faults):
    """Both are told in one go."""
    assert faults(make_folder(day=None, shots=None)) == [
        "day.toml: no such file in the day folder",
        "shots.csv: no shot list in the day folder (expected shots.csv, shots.xlsx or shots.ods)",
    ]


def test_shots_are_checked_even_without_settings(make_folder, faults):
    """A day.toml that is not TOML does not hide the faults of the list."""
    assert faults(make_folder("title = ", f"{HEADER},spot\n1,Wide,wied,N,30,mill\n")) == [
        (
            "day.toml:1: not valid TOML: not a value: `title =`\n"
            '  hint: write texts in quotes: title = "Salt pans"'
        ),
        (
            "shots.csv:2, size: not a size: `wied` (expected wide, full, medium, close-up or "
            "insert)\n  hint: did you mean `wide`?"
        ),
    ]


def test_old_workbook_is_named_when_there_is_no_list(make_folder, faults):
    """An .xls is not read, and said so by the hint."""
    assert faults(make_folder(shots=None, shots_xls=b"")) == [
        (
            "shots.csv: no shot list in the day folder (expected shots.csv, shots.xlsx or "
            "shots.ods)\n"
            "  hint: save `shots.xls` as shots.xlsx or shots.csv"
        ),
    ]


def test_two_shot_lists_are_a_fault(make_folder, faults):
    """Nobody could say which one is meant."""
    assert faults(make_folder(shots_xlsx=b"")) == [
        (
            "shots.xlsx: stands beside shots.csv\n"
            "  hint: keep one of them, so that there is one shot list"
        ),
    ]


@pytest.mark.parametrize("name", ["day.toml", "shots.csv", "sky.csv", "horizon-salt-pans.csv"])
def test_folder_in_the_place_of_a_file_is_a_fault(name, make_folder, faults):
    """A directory has no text."""
    folder = make_folder()
    (folder / name).unlink(missing_ok=True)
    (folder / name).mkdir()
    assert faults(folder) == [f"{name}: not a file"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_pipe_is_not_waited_for(make_folder, faults):
    """A pipe would keep the reader waiting without end."""
    folder = make_folder(shots=None)
    os.mkfifo(folder / "shots.csv")
    assert faults(folder) == ["shots.csv: not a file"]


def test_file_that_may_not_be_read_is_a_fault(make_folder, monkeypatch, faults):
    """What the system says is passed on."""
    folder = make_folder()

    def refuse(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert faults(folder) == [
        "day.toml: cannot be read (permission denied)",
        "shots.csv: cannot be read (permission denied)",
    ]


def test_link_out_of_the_folder_is_a_fault(make_folder, tmp_path, faults):
    """A link may lead about within the folder, never out of it."""
    folder = make_folder(shots=None)
    outside = tmp_path / "secret.csv"
    outside.write_text(f"{HEADER}\n1,Wide,wide,N,30\n")
    (folder / "shots.csv").symlink_to(outside)
    assert faults(folder) == ["shots.csv: a link that leads out of the day folder"]
    (folder / "inside.csv").write_bytes(outside.read_bytes())
    (folder / "shots.csv").unlink()
    (folder / "shots.csv").symlink_to("inside.csv")
    assert faults(folder) == []


def test_horizon_behind_a_linked_folder_is_a_fault(minimal_day, make_folder, tmp_path, faults):
    """The folder on the way may be the link."""
    (tmp_path / "away").mkdir()
    (tmp_path / "away" / "ridge.csv").write_text("azimuth_deg,elevation_deg\n0,3\n")
    folder = make_folder(minimal_day + '[[spot]]\nname = "mill"\nhorizon = "sub/ridge.csv"\n')
    (folder / "sub").symlink_to(tmp_path / "away")
    assert faults(folder) == ["sub/ridge.csv: a link that leads out of the day folder"]


def test_links_in_a_circle_are_a_fault(make_folder, faults):
    """They lead nowhere."""
    folder = make_folder(shots=None)
    (folder / "shots.csv").symlink_to("shots.csv")
    found = faults(folder)
    assert len(found) == 1
    assert found[0].startswith("shots.csv: ")


SETTINGS = """\
title = "t"
date = 2027-06-09
[place]
latitude_deg = 36
longitude_deg = -5
timezone = "Europe/Madrid"
[hours]
crew_call = "06:00"
wrap = "19:00"
"""


def read_bytes_as(name: str, raw: bytes) -> None:
    """Read a folder with these bytes as one of its files; only FolderError may come out."""
    with tempfile.TemporaryDirectory() as path:
        folder = Path(path)
        (folder / "day.toml").write_text(SETTINGS)
        (folder / "shots.csv").write_text(f"{HEADER}\n1,Wide,wide,N,30\n")
        (folder / name).write_bytes(raw)
        # A bare pass is fine: most bytes are no day, some are one.
        with contextlib.suppress(FolderError):
            read_day(folder)


CELLS = st.sampled_from(
    [
        "1",
        "2",
        "wide",
        "N",
        "30",
        '"',
        "\n",
        ",",
        ";",
        "\t",
        "..",
        ">",
        "-",
        "+",
        "after",
        "pin",
        "06:00",
        "nan",
        "1e999",
        "\x00",
        "\ufeff",
        "dusk",
        "size",
        "id",
        "look",
        "é",
        "#",
    ]
)


@settings(max_examples=150, deadline=None)
@given(raw=st.one_of(st.binary(max_size=300), st.lists(CELLS).map(lambda c: "".join(c).encode())))
@pytest.mark.parametrize("name", ["shots.csv", "day.toml", "sky.csv"])
def test_any_bytes_are_a_day_or_a_fault(name, raw):
    """Whatever a file holds, reading ends in a day or in faults, never in a traceback."""
    read_bytes_as(name, raw)


ROW = st.fixed_dictionaries(
    {
        column: st.one_of(st.text(max_size=8), CELLS)
        for column in [
            "id",
            "size",
            "look",
            "shoot_min",
            "sun",
            "elevation",
            "azimuth",
            "after",
            "cast",
            "pin",
            "weight",
            "hold",
            "give_deg",
            "description",
        ]
    }
)


@settings(max_examples=150, deadline=None)
@given(rows=st.lists(ROW, min_size=1, max_size=3))
def test_any_cells_are_shots_or_faults(rows):
    """Cells of any text are read or told, never crashed on."""
    lines = [list(rows[0]), *(list(row.values()) for row in rows)]
    text = "\n".join(
        ",".join('"' + cell.replace('"', '""') + '"' for cell in line) for line in lines
    )
    read_bytes_as("shots.csv", text.encode())


VALUES = st.sampled_from(
    [
        '"06:00"',
        '"x"',
        "1",
        "-1.5",
        "nan",
        "true",
        "[]",
        "{}",
        "[1]",
        '["06:00-07:00"]',
        "06:00:00",
        "2027-06-09",
        "2027-06-09T06:00:00Z",
        '""',
        '"\\u0000"',
        "{a = 1}",
        "[{name = 'a'}]",
    ]
)
KEYS = st.sampled_from(
    [
        "title",
        "date",
        "bearings",
        "declination_deg",
        "place",
        "hours",
        "meal",
        "spot",
        "move",
        "cast",
        "size",
        "costs",
        "words",
        "place.name",
        "place.timezone",
        "hours.wrap",
        "size.wide",
        "hours.crew_call",
        "meal.earliest",
        "size.wide.weight",
        "words.low",
        "costs.move",
        "x.y",
    ]
)


@settings(max_examples=200, deadline=None)
@given(pairs=st.dictionaries(KEYS, VALUES, max_size=8))
def test_any_keys_are_a_day_or_faults(pairs):
    """Any value under any key is read or told, never crashed on."""
    text = "\n".join(f"{key} = {value}" for key, value in pairs.items())
    read_bytes_as("day.toml", text.encode())
