"""A list in somebody's own layout is read as it stands, and all that was taken is said."""

from __future__ import annotations

import datetime as dt
import io
from typing import Any

import openpyxl
import pytest

from sunsched.folder.read import read_day, read_folder


def book(*sheets: tuple[str, list[list[Any]]]) -> openpyxl.Workbook:
    """Give a workbook of these sheets."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets:
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    return made


def packed(made: openpyxl.Workbook) -> bytes:
    """Give the bytes of a workbook."""
    raw = io.BytesIO()
    made.save(raw)
    return raw.getvalue()


def test_head_is_found_below_a_title_and_its_words_are_understood(make_folder):
    """What each title was taken for is told, and what is kept."""
    shots = (
        "Shot list day 3;;;;;;;\nv4, printed Monday;;;;;;;\n\n"
        "No.;Action;Shot size;Camera direction;Light;Est. time;VFX;Props\n"
        "1;The pans at dawn;WS;looking W;backlit;20';clean plate;rake\n"
        "2;Ana rakes;OTS;N;side L or front;1h15;;\n"
    )
    reading = read_folder(make_folder(shots=shots))
    first, second = reading.day.shots
    assert (first.id, first.size, first.look_deg, first.shoot_min) == ("1", "wide", 270, 20)
    assert first.kept == (("VFX", "clean plate"), ("Props", "rake"))
    assert (second.size, second.shoot_min) == ("medium", 75)
    assert second.kept == (("size as listed", "OTS"),)
    assert reading.taken == (
        "lines 1 and 2 are above the head: not read",
        (
            "columns: `No.` is id, `Action` is description, `Shot size` is size, `Camera direction`"
            " is look, `Light` is sun, `Est. time` is shoot_min"
        ),
        "columns kept as they are: VFX, Props",
    )


def test_sections_breaks_and_heads_again_are_no_shots(minimal_day, make_folder):
    """A section gives the rows below it their spot."""
    spots = '[[spot]]\nname = "Old mill"\n[[spot]]\nname = "Pans"\n'
    shots = (
        "shot,action,size,dir,time\nEXT. OLD MILL - DAY,,,,\n1,The wheel,WS,N,30\nLUNCH,,,,\n"
        "shot,action,size,dir,time\nLocation: Pans,,,,\n2,Salt,CU,90,20\nTotal,,,,50\n"
    )
    reading = read_folder(make_folder(minimal_day + spots, shots))
    assert [(shot.id, shot.spot) for shot in reading.day.shots] == [
        ("1", "Old mill"),
        ("2", "Pans"),
    ]
    assert reading.taken[1:] == (
        "sections, not shots: `EXT. OLD MILL - DAY`, `Location: Pans`",
        "rows that are no shots: `LUNCH`, `Total 50`",
        "the head stands again on line 5",
        "spots taken from rows that stand alone: Old Mill and Pans",
    )


def test_a_spot_may_begin_like_a_break(minimal_day, make_folder):
    """A summit is no sum, and Endeavour Bay is not the end; a break is one in any words."""
    names = ("Summit", "Endeavour Bay", "Breaker Beach", "Mealworm Farm", "Pagehurst")
    spots = "".join(f'[[spot]]\nname = "{name}"\n' for name in names)
    breaks = ("Total 90", "Mittagspause", "Sum:", "LUNCH 12:30", "end of day", "To: all")
    rows = "".join(
        f"{name},,,,\n{number},x,WS,N,30\n{breaks[number % 6]},,,,\n"
        for number, name in enumerate(names)
    )
    reading = read_folder(
        make_folder(minimal_day + spots, f"shot,action,size,dir,time\n{rows}{breaks[5]},,,,\n")
    )
    assert [shot.spot for shot in reading.day.shots] == list(names)
    told = ", ".join(f"`{one}`" for one in breaks)
    assert f"rows that are no shots: {told}" in reading.taken


def test_clock_times_of_a_list_hold_no_shot(make_folder):
    """Under `time` one list has minutes, another the hour by somebody's plan."""
    rows = "1,A,WS,N,30,9:40\n2,B,CU,N,20,10:15\n"
    reading = read_folder(make_folder(shots=f"id,action,size,dir,mins,time\n{rows}"))
    assert [shot.pin for shot in reading.day.shots] == [None, None]
    assert "`time` holds clock times: kept, and no shot is held to them" in "\n".join(reading.taken)
    assert reading.day.shots[0].kept == (("time", "9:40"),)


@pytest.mark.parametrize(
    ("titles", "look", "degrees"),
    [("Nr;Inhalt;Größe;Blick;Dauer", "SO", 135), ("n°;descriptif;valeur;axe;durée", "SO", 225)],
)  # fmt: skip
def test_language_of_the_head_says_what_a_point_means(titles, look, degrees, make_folder):
    """`O` is east in German and west in French."""
    folder = make_folder(shots=f"{titles}\n1;A;WS;{look};30\n2;B;WS;N;30\n")
    assert read_day(folder).shots[0].look_deg == degrees


def test_hidden_rows_and_further_sheets_are_said(make_folder):
    """What cannot be seen in the spreadsheet is not in the plan, and a cover is no list."""
    rows: list[list[Any]] = [["Shot", "Action", "Size", "Looking", "Minutes"],
            [1, "A", "WS", "N", dt.time(0, 30)], [2, "B", "CU", "N", 20],
            [3, "C", "CU", "N", 20]]  # fmt: skip
    made = book(("Cover", [["The long day"]]), ("List", rows), ("Crew", [["Name", "Phone"]]))
    made["List"].row_dimensions[3].hidden = True
    reading = read_folder(make_folder(shots=None, shots_xlsx=packed(made)))
    assert [(shot.id, shot.shoot_min) for shot in reading.day.shots] == [("1", 30), ("3", 20)]
    assert reading.taken[:2] == (
        "sheet `List` is read, `Cover` and `Crew` not",
        "line 3 is hidden in the spreadsheet: not read; show what counts",
    )


def test_merged_cell_stands_in_each_of_its_rows(minimal_day, make_folder):
    """As lists have it for the set of several shots."""
    spots = '[[spot]]\nname = "Mill"\n[[spot]]\nname = "Pans"\n'
    rows: list[list[Any]] = [["Shot list"], ["Set", "Shot", "Action", "Size", "Looking", "Minutes"],
            ["Mill", 1, "A", "WS", "N", 30], [None, 2, "B", "CU", "N", 20],
            ["Pans", 3, "C", "CU", "N", 20]]  # fmt: skip
    made = book(("Sheet1", rows))
    made["Sheet1"].merge_cells("A3:A4")
    made["Sheet1"].merge_cells("A1:F1")
    day = read_day(make_folder(minimal_day + spots, None, shots_xlsx=packed(made)))
    assert [shot.spot for shot in day.shots] == ["Mill", "Mill", "Pans"]


def test_two_sheets_that_look_like_lists_are_a_fault(make_folder, faults):
    """None is chosen silently."""
    rows: list[list[Any]] = [
        ["Shot", "Action", "Size", "Looking", "Minutes"],
        [1, "A", "WS", "N", 30],
    ]
    made = book(("Day 1", rows), ("Day 2", rows))
    assert faults(make_folder(shots=None, shots_xlsx=packed(made))) == [
        (
            "shots.xlsx: 2 sheets that look like shot lists: `Day 1, Day 2` (expected one)\n"
            "  hint: call the one that counts `shots`, or keep it in a file of its own"
        )
    ]


def test_what_stands_in_a_kept_column_is_no_fault(make_folder):
    """A date in the notes is nobody's slip."""
    rows: list[list[Any]] = [["Shot", "Action", "Size", "Looking", "Minutes", "Notes"],
            [1, "A", "WS", "N", 30, dt.date(2027, 6, 1)]]  # fmt: skip
    day = read_day(make_folder(shots=None, shots_xlsx=packed(book(("x", rows)))))
    assert day.shots[0].id == "1"
