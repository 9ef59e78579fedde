"""Faults of the shot list: each kind once, with the whole of its message."""

from __future__ import annotations

import csv
import io

import pytest

# One cell of an otherwise good row, and all that is then said.
CELLS = [
    pytest.param(
        "id",
        "",
        "shots.csv:2, id: blank (expected an id such as 7 or 7A)",
        id="id blank",
    ),
    pytest.param(
        "id",
        "7 A",
        "shots.csv:2, id: not a shot id: `7 A` (expected 1 to 20 letters, digits, "
        "dots, hyphens or underscores, such as 7A)",
        id="id with a space",
    ),
    pytest.param(
        "id",
        "111111111111111111111",
        "shots.csv:2, id: not a shot id: `111111111111111111111` (expected 1 to 20 "
        "letters, digits, dots, hyphens or underscores, such as 7A)",
        id="id long",
    ),
    pytest.param(
        "id",
        "7@13",
        "shots.csv:2, id: not a shot id: `7@13` (expected 1 to 20 letters, digits, "
        "dots, hyphens or underscores, such as 7A)",
        id="id odd",
    ),
    pytest.param(
        "description",
        " ",
        "shots.csv:2, description: blank (expected 1 to 500 characters)",
        id="description blank",
    ),
    pytest.param(
        "description",
        "ding\x07",
        "shots.csv:2, description: holds a control character: `ding�` (expected plain text)",
        id="description bell",
    ),
    pytest.param(
        "size",
        "wied",
        "shots.csv:2, size: not a size: `wied` (expected wide, full, medium, close-up "
        "or insert)\n"
        "  hint: did you mean `wide`?",
        id="size slip",
    ),
    pytest.param(
        "size",
        "whale",
        "shots.csv:2, size: not a size: `whale` (expected wide, full, medium, close-up or insert)",
        id="size unheard of",
    ),
    pytest.param(
        "size",
        "",
        "shots.csv:2, size: blank (expected wide, full, medium, close-up or insert)",
        id="size blank",
    ),
    pytest.param(
        "spot",
        "mill",
        "shots.csv:2, spot: no such spot: `mill` (expected Salt pans)",
        id="spot unheard of",
    ),
    pytest.param(
        "spot",
        "Salt pan",
        "shots.csv:2, spot: no such spot: `Salt pan` (expected Salt pans)\n"
        "  hint: did you mean `Salt pans`?",
        id="spot slip",
    ),
    pytest.param(
        "look",
        "361",
        "shots.csv:2, look: not a bearing: `361` (expected degrees from 0 to 360 or a "
        "compass point such as NNW)",
        id="look beyond",
    ),
    pytest.param(
        "look",
        "NNWW",
        "shots.csv:2, look: not a bearing: `NNWW` (expected degrees from 0 to 360 or a "
        "compass point such as NNW)\n"
        "  hint: did you mean `NNW`?",
        id="look slip",
    ),
    pytest.param(
        "look",
        "",
        "shots.csv:2, look: blank (expected degrees from 0 to 360 or a compass point such as NNW)",
        id="look blank",
    ),
    pytest.param(
        "look",
        "any",
        "shots.csv:2, look: not a bearing: `any` (expected degrees from 0 to 360 or a compass "
        "point such as NNW)\n"
        "  hint: write the look that it would begin with, such as N, and no side under `sun`",
        id="look any",
    ),
    pytest.param(
        "sun",
        "bakc",
        "shots.csv:2, sun: not a sun side: `bakc` (expected any, back, three-quarter "
        "back, side, three-quarter front, front, shade or dusk, then left or right if "
        "it matters)\n"
        "  hint: did you mean `back`?",
        id="sun slip",
    ),
    pytest.param(
        "sun",
        "moon",
        "shots.csv:2, sun: not a sun side: `moon` (expected any, back, three-quarter "
        "back, side, three-quarter front, front, shade or dusk, then left or right if "
        "it matters)",
        id="sun unheard of",
    ),
    pytest.param(
        "sun_from",
        "rihgt",
        "shots.csv:2, sun_from: not a camera side: `rihgt` (expected left or right)\n"
        "  hint: did you mean `right`?",
        id="sun_from slip",
    ),
    pytest.param(
        "sun_from",
        "front",
        "shots.csv:2, sun_from: not a camera side: `front` (expected left or right)",
        id="sun_from front",
    ),
    pytest.param(
        "elevation",
        "gloden",
        "shots.csv:2, elevation: not an elevation band: `gloden` (expected `5..20`, "
        "`>30`, `<10`, low, high, golden or dusk)\n"
        "  hint: did you mean `golden`?",
        id="elevation words",
    ),
    pytest.param(
        "elevation",
        "30",
        "shots.csv:2, elevation: not an elevation band: `30` (expected `5..20`, `>30`, "
        "`<10`, low, high, golden or dusk)",
        id="elevation one number",
    ),
    pytest.param(
        "elevation",
        "20..5",
        "shots.csv:2, elevation: the low end is above the high end: `20..5` (expected "
        "`5..20`, `>30`, `<10`, low, high, golden or dusk)\n"
        "  hint: write `5..20`",
        id="elevation upside down",
    ),
    pytest.param(
        "elevation",
        ">91",
        "shots.csv:2, elevation: out of range: `>91` (expected degrees from -90 to 90, such as "
        "`5..20`)",
        id="elevation beyond",
    ),
    pytest.param(
        "elevation",
        "5-20",
        "shots.csv:2, elevation: not an elevation band: `5-20` (expected `5..20`, "
        "`>30`, `<10`, low, high, golden or dusk)",
        id="elevation hyphen",
    ),
    pytest.param(
        "azimuth",
        "240",
        "shots.csv:2, azimuth: not an azimuth band: `240` (expected two bearings, "
        "clockwise, such as `240..300` or `SW..W`)",
        id="azimuth one",
    ),
    pytest.param(
        "azimuth",
        "SW..WNWW",
        "shots.csv:2, azimuth: not an azimuth band: `SW..WNWW` (expected two bearings, "
        "clockwise, such as `240..300` or `SW..W`)\n"
        "  hint: did you mean `WNW`?",
        id="azimuth slip",
    ),
    pytest.param(
        "azimuth",
        "0..360",
        "shots.csv:2, azimuth: the whole circle: `0..360` (expected two bearings, "
        "clockwise, such as `240..300` or `SW..W`)\n"
        "  hint: leave it blank when every azimuth is right",
        id="azimuth whole",
    ),
    pytest.param(
        "give_deg",
        "0",
        "shots.csv:2, give_deg: out of range: `0` (expected a number from 1 to 90, such as 20.5)",
        id="give none",
    ),
    pytest.param(
        "give_deg",
        "wide",
        "shots.csv:2, give_deg: not a number: `wide` (expected a number from 1 to 90, such as "
        "20.5)",
        id="give text",
    ),
    pytest.param(
        "setup_min",
        "481",
        "shots.csv:2, setup_min: out of range: `481` (expected a whole number from 0 to 480, "
        "such as 20)",
        id="setup long",
    ),
    pytest.param(
        "setup_min",
        "12.5",
        "shots.csv:2, setup_min: not a whole number: `12.5` (expected a whole number "
        "from 0 to 480, such as 20)",
        id="setup half",
    ),
    pytest.param(
        "adjust_min",
        "-5",
        "shots.csv:2, adjust_min: out of range: `-5` (expected a whole number from 0 to 480, "
        "such as 20)",
        id="adjust negative",
    ),
    pytest.param(
        "setup_min",
        "25-30 min",
        "shots.csv:2, setup_min: two figures: `25-30 min` (expected a whole number from 0 to "
        "480, such as 20)\n  hint: write the longer one, `30`, to be safe",
        id="setup range",
    ),
    pytest.param(
        "shoot_min",
        "0",
        "shots.csv:2, shoot_min: out of range: `0` (expected a whole number from 1 to 720, "
        "such as 20)",
        id="shoot none",
    ),
    pytest.param(
        "shoot_min",
        "721",
        "shots.csv:2, shoot_min: out of range: `721` (expected a whole number from 1 to 720, "
        "such as 20)",
        id="shoot long",
    ),
    pytest.param(
        "shoot_min",
        "nan",
        "shots.csv:2, shoot_min: not a number: `nan` (expected a whole number from 1 to 720, "
        "such as 20)",
        id="shoot nan",
    ),
    pytest.param(
        "shoot_min",
        "",
        "shots.csv:2, shoot_min: blank (expected a whole number from 1 to 720, such as 20)",
        id="shoot blank",
    ),
    pytest.param(
        "rig",
        "rrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrr",
        "shots.csv:2, rig: 61 characters long: "
        "`rrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrr…` (expected 1 to "
        "60 characters)",
        id="rig long",
    ),
    pytest.param(
        "match",
        "mmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmm",
        "shots.csv:2, match: 61 characters long: "
        "`mmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmm…` (expected 1 to "
        "60 characters)",
        id="match long",
    ),
    pytest.param(
        "scene",
        "sssssssssssssssssssssssssssssssssssssssssssssssssssssssssssss",
        "shots.csv:2, scene: 61 characters long: "
        "`sssssssssssssssssssssssssssssssssssssssssssssssssssssssssss…` (expected 1 to "
        "60 characters)",
        id="scene long",
    ),
    pytest.param(
        "weight",
        "0",
        "shots.csv:2, weight: out of range: `0` (expected a number from 0.01 to 100, such as 20.5)",
        id="weight zero",
    ),
    pytest.param(
        "weight",
        "101",
        "shots.csv:2, weight: out of range: `101` (expected a number from 0.01 to 100, such "
        "as 20.5)",
        id="weight heavy",
    ),
    pytest.param(
        "lens_mm",
        "1,200",
        "shots.csv:2, lens_mm: a comma that may mean thousands or decimals: `1,200` "
        "(expected a number from 1 to 2000, such as 20.5)\n"
        "  hint: write `1200` or `1.200`",
        id="lens thousands",
    ),
    pytest.param(
        "hold",
        "maybe",
        "shots.csv:2, hold: neither yes nor no: `maybe` (expected yes or no)",
        id="hold maybe",
    ),
    pytest.param(
        "after",
        "1",
        "shots.csv:2, after: a shot that waits for itself: `1`",
        id="after itself",
    ),
    pytest.param(
        "after",
        "99",
        "shots.csv:2, after: no such shot: `99` (expected ids of the list)",
        id="after unheard of",
    ),
    pytest.param(
        "after",
        "2@",
        "shots.csv:2, after: not a shot id: `2@` (expected 1 to 20 letters, digits, "
        "dots, hyphens or underscores, such as 7A)",
        id="after odd",
    ),
    pytest.param(
        "pin",
        "05:00",
        "shots.csv:2, pin: a pin outside the day: `05:00` (expected from 06:00 to "
        "18:30, so that 30 minutes fit before hard wrap)",
        id="pin early",
    ),
    pytest.param(
        "pin",
        "18:45",
        "shots.csv:2, pin: a pin outside the day: `18:45` (expected from 06:00 to "
        "18:30, so that 30 minutes fit before hard wrap)",
        id="pin late",
    ),
    pytest.param(
        "pin",
        "soon",
        "shots.csv:2, pin: not a clock time: `soon` (expected a clock time from 00:00 to "
        "23:59, such as 06:00)",
        id="pin not a time",
    ),
    pytest.param(
        "pin",
        "13:00 pm",
        "shots.csv:2, pin: not a clock time: `13:00 pm` (expected a clock time from "
        "00:00 to 23:59, such as 06:00)",
        id="pin pm",
    ),
    pytest.param(
        "lens_mm",
        "0",
        "shots.csv:2, lens_mm: out of range: `0` (expected a number from 1 to 2000, such as 20.5)",
        id="lens none",
    ),
    pytest.param(
        "control",
        "1.1",
        "shots.csv:2, control: out of range: `1.1` (expected a number from 0 to 1, such as 0.5)",
        id="control more than all",
    ),
    pytest.param(
        "control",
        "-0.1",
        "shots.csv:2, control: out of range: `-0.1` (expected a number from 0 to 1, such as 0.5)",
        id="control negative",
    ),
    pytest.param(
        "control",
        "some",
        "shots.csv:2, control: not a number: `some` (expected a number from 0 to 1, such as 0.5)",
        id="control text",
    ),
    pytest.param(
        "control",
        "65 %",
        "shots.csv:2, control: not a number: `65 %` (expected a number from 0 to 1, such as 0.5)",
        id="control per cent",
    ),
]

# What is added to the smallest `day.toml`, the whole of `shots.csv`, and all that is then said.
LISTS = [
    pytest.param(
        "",
        "",
        "shots.csv: empty (expected a header line and rows below it)",
        id="empty",
    ),
    pytest.param(
        "",
        "\n\n , ,\n",
        "shots.csv: empty (expected a header line and rows below it)",
        id="blank lines",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min\n",
        "shots.csv:1: no shots (expected one row a shot below the header)",
        id="header only",
    ),
    pytest.param(
        "",
        "id,description,size,look\n1,Wide,wide,N\n",
        "shots.csv:1: no column `shoot_min` (expected a whole number from 1 to 720, such as 20)",
        id="column missing",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,sceen\n1,Wide,wide,N,30,2\n",
        "shots.csv:1: unknown column: `sceen`\n  hint: did you mean `scene`?",
        id="column slip",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,elevaton\n1,Wide,wide,N,30,2\n",
        "shots.csv:1: unknown column: `elevaton`\n  hint: did you mean `elevation`?",
        id="column nearly known",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,Look\n1,Wide,wide,N,30,2\n",
        "shots.csv:1: a column that stands twice: `Look`",
        id="column twice",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,,rig\n1,Wide,wide,N,30,2,tent\n",
        "shots.csv:1: column 6 has no name (expected a name in every column)",
        id="column unnamed",
    ),
    pytest.param(
        "",
        "c0,c1,c2,c3,c4,c5,c6,c7,c8,c9,c10,c11,c12,c13,c14,c15,c16,c17,c18,c19,c20,c21,"
        "c22,c23,c24,c25,c26,c27,c28,c29,c30,c31,c32,c33,c34,c35,c36,c37,c38,c39,c40,c4"
        "1,c42,c43,c44,c45,c46,c47,c48,c49,c50,c51,c52,c53,c54,c55,c56,c57,c58,c59,c60,"
        "c61,c62,c63,c64,c65,c66,c67,c68,c69,c70,c71,c72,c73,c74,c75,c76,c77,c78,c79,c8"
        "0,c81,c82,c83,c84,c85,c86,c87,c88,c89,c90,c91,c92,c93,c94,c95,c96,c97,c98,c99,"
        "c100\n",
        "shots.csv:1: 101 columns (expected at most 100)",
        id="columns too many",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min\n1,Wide,wide,12,5,30\n",
        "shots.csv:2: more cells than the 5 columns of the header: `30`\n"
        "  hint: put a text that holds the separator, such as a decimal comma, in "
        "quotes",
        id="cells too many",
    ),
    pytest.param(
        "",
        'id,description,size,look,shoot_min\n1,"Wide,wide,N,30\n2,Wide,wide,N,30\n',
        "shots.csv:2: a quote that is never closed",
        id="quote open",
    ),
    pytest.param(
        "",
        'id,description,size,look,shoot_min\n1,"Wide" shot,wide,N,30\n',
        "shots.csv:2: text after a closing quote (expected a comma or the end of the "
        "line)\n"
        "  hint: write a quote inside a quoted cell twice",
        id="quote closed early",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min\n"
        "7a,Wide,wide,N,30\n"
        "2,Wide,wide,N,30\n"
        "7A,Wide,wide,N,30\n",
        "shots.csv:4, id: an id that stands twice: `7A`\n  hint: it is also on line 2",
        id="id twice",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,after\n1,Wide,wide,N,30,2\n2,Wide,wide,N,30,1\n",
        "shots.csv:2, after: shots that wait for each other: `1 → 2 → 1`",
        id="circle of two",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,after\n"
        "1,Wide,wide,N,30,\n"
        "2,Wide,wide,N,30,1 4\n"
        "3,Wide,wide,N,30,2\n"
        "4,Wide,wide,N,30,3\n",
        "shots.csv:3, after: shots that wait for each other: `2 → 4 → 3 → 2`",
        id="circle of three",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,after\n"
        "A-beach,Wide,wide,N,30,\n"
        "2,Wide,wide,N,30,A-beech\n",
        "shots.csv:3, after: no such shot: `A-beech` (expected ids of the list)\n"
        "  hint: did you mean `A-beach`?",
        id="after slip",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,sun,sun_from\n1,Wide,wide,N,30,side left,right\n",
        "shots.csv:2, sun_from: not the side that `sun` names, left: `right` (expected "
        "the same side, or blank)",
        id="sides clash",
    ),
    pytest.param(
        '[[cast]]\nname = "Ana"\n[[cast]]\nname = "Bo"\n',
        "id,description,size,look,shoot_min,cast\n1,Wide,wide,N,30,Anna + Bo\n",
        "shots.csv:2, cast: no such name under `[[cast]]`: `Anna` (expected Ana or Bo)\n"
        "  hint: did you mean `Ana`?",
        id="cast slip",
    ),
    pytest.param(
        '[[spot]]\nname = "pans"\n[[spot]]\nname = "mill"\n',
        "id,description,size,look,shoot_min,spot\n1,Wide,wide,N,30,\n",
        "shots.csv:2, spot: blank (expected pans or mill)",
        id="spot blank of two",
    ),
    pytest.param(
        "",
        "id,description,size,look,shoot_min,after\n"
        "1,Wide,wide,N,30,2\n"
        "2,Wide,wide,N,30,1\n"
        "3,Wide,wide,N,30,1 2\n",
        "shots.csv:2, after: shots that wait for each other: `1 → 2 → 1`",
        id="circle that another shot waits for",
    ),
]


@pytest.mark.parametrize(("column", "value", "message"), CELLS)
def test_fault_of_a_cell_is_told_in_full(column, value, message, make_folder, faults):
    """Each fault comes with its line, column, value, what was expected and the nearest word."""
    row = {"id": "1", "description": "Wide", "size": "wide", "look": "N", "shoot_min": "30"}
    row[column] = value
    text = io.StringIO()
    csv.writer(text).writerows([row.keys(), row.values()])
    assert "\n".join(faults(make_folder(shots=text.getvalue()))) == message


@pytest.mark.parametrize(("added", "shots", "message"), LISTS)
def test_fault_of_a_list_is_told_in_full(added, shots, message, minimal_day, make_folder, faults):
    """Columns, quotes, ids and what the shots say of each other are checked too."""
    assert "\n".join(faults(make_folder(minimal_day + added, shots))) == message


def test_pin_at_a_time_that_does_not_exist_is_a_fault(minimal_day, make_folder, faults):
    """Spain puts its clocks forward from 02:00 to 03:00 on 28 March 2027 (EU rule, from memory)."""
    day = minimal_day.replace("2027-06-09", "2027-03-28").replace("06:00", "01:00")
    shots = "id,description,size,look,shoot_min,pin\n1,Wide,wide,N,30,02:30\n"
    assert faults(make_folder(day, shots)) == [
        (
            "shots.csv:2, pin: a time that does not exist on 2027-03-28 in Europe/Madrid: `02:30`\n"
            "  hint: the clocks are put forward over it; choose a time before or after the change"
        )
    ]
