"""Lists as spreadsheets of several programs export them to .xlsx, written by code."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable
from typing import Any

import openpyxl
from openpyxl.styles import PatternFill

Rows = list[list[Any]]
MARCH = dt.date(2027, 3, 1)
HEAD = ["Shot", "Description", "Size", "Looking", "Sun", "Minutes"]


def filled(*sheets: tuple[str, Rows]) -> openpyxl.Workbook:
    """Give a workbook of these sheets."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets:
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    return book


def cover_and_crew() -> openpyxl.Workbook:
    """Give a list between a cover sheet and a crew list, below a merged banner."""
    rows: Rows = [["THE WEIR"], [], HEAD, [1, "Weir in spate", "WS", "W", "back", 30],
                  [2, "Hal on the plank", "MS", "N", "side", 20]]  # fmt: skip
    book = filled(
        ("Cover", [["The weir"], ["Day 2"]]), ("Shots D2", rows), ("Crew", [["Name", "Role"]])
    )
    book["Shots D2"].merge_cells("A1:F1")
    return book


def durations() -> openpyxl.Workbook:
    """Give lengths of time as spreadsheets keep them: times, durations, fractions of a day."""
    rows: Rows = [["Shot", "Action", "Size", "Dir", "Light", "Duration"],
                  [1, "Heath", "Long shot", "E", "front", dt.time(0, 30)],
                  [2, "Sheep", "Full", "E", "side", dt.timedelta(minutes=20)],
                  [3, "Wool", "Macro", "E", "any", dt.timedelta(hours=1, minutes=15)]]  # fmt: skip
    return filled(("Sheet1", rows))


def merged_sets() -> openpyxl.Workbook:
    """Give a list whose set is merged over the rows of its shots."""
    rows: Rows = [["Set", "#", "Action", "Shot size", "Camera", "Light", "Est. time", "Talent"],
                  ["Mill", 1, "Wheel turns", "WS", "SW", "backlit", "25 min", None],
                  [None, 2, "Ada lifts the sack", "MS", "NW", "side R", "20 min", "Ada"],
                  ["Weir", 3, "Ada drinks", "CU", "N", "3/4 front", "15 min", "Ada"],
                  [None, 4, "Her cup", "Detail", "N", None, "10 min", "Ada"]]  # fmt: skip
    book = filled(("Plan", rows))
    book["Plan"].merge_cells("A2:A3")
    book["Plan"].merge_cells("A4:A5")
    return book


def hidden_rows() -> openpyxl.Workbook:
    """Give a list with a cut shot in a hidden row and a hidden sheet of old shots."""
    rows: Rows = [HEAD, [1, "Dock", "WS", "S", "front", 25], [2, "Old", "CU", "S", "front", 15],
                  [3, "Crane", "Full", "E", "side", 20]]  # fmt: skip
    book = filled(("Shotlist", rows), ("old", [HEAD, [9, "Gone", "WS", "N", "back", 30]]))
    book["Shotlist"].row_dimensions[3].hidden = True
    book["old"].sheet_state = "hidden"
    return book


def coloured_sections() -> openpyxl.Workbook:
    """Give sections as merged and coloured rows, with a meal and a sum."""
    rows: Rows = [["No.", "What", "Size", "Direction", "Sun", "Min", "Props"],
                  ["VINEYARD"], [1, "Rows of vines", "WS", "W", "golden hour", 30, None],
                  [2, "Uma picks", "MS", "W", "back L", 20, "basket"],
                  ["Lunch 12:30"], ["CELLAR DOOR"], [3, "Door", "FS", "S", "front", 20, "key"],
                  [None, None, None, None, "total", 70]]  # fmt: skip
    book = filled(("Tabelle1", rows))
    for line in (2, 5, 6):
        book["Tabelle1"].merge_cells(f"A{line}:G{line}")
        book["Tabelle1"].cell(line, 1).fill = PatternFill("solid", "DDDDDD")
    return book


def german() -> openpyxl.Workbook:
    """Give a German list with decimal hours and abbreviations."""
    rows: Rows = [["Drehtag 4"], ["Einst.", "Beschreibung", "Größe", "Motiv", "Blick", "Sonne",
                  "Dauer (Std)", "Darsteller"],
                  [1, "Das Moor", "Totale", "Moor", "NO", "Seite", 0.5, None],
                  [2, "Ida watet", "HN", "Moor", "O", "Gegenlicht", 0.5, "Ida"],
                  [3, "Stiefel", "Detail", "Moor", "O", "egal", 0.25, "Ida"]]  # fmt: skip
    return filled(("Einstellungen", rows))


def dates_in_notes() -> openpyxl.Workbook:
    """Give a list with dates, truths and numbers in columns that nothing reads."""
    rows: Rows = [[*HEAD, "Updated", "VFX?", "Storyboard"],
                  [1, "Glacier", "Establishing", 200, "3/4 back", 40, MARCH, True, 12],
                  [2, "Rope", "Insert", 200, "any", 10, MARCH, False, 13]]  # fmt: skip
    return filled(("Export", rows))


def export_summary() -> openpyxl.Workbook:
    """Give a table below a table name, on the second sheet after a summary of the export."""
    rows: Rows = [["Table 1"], ["Shot #", "Shot", "Framing", "Set", "Facing", "Light", "Est"],
                  ["1A", "Terns rise", "Very wide", "Spit", "E", "back or 3/4 back", "30m"],
                  ["1B", "Wren counts", "Cowboy", "Spit", "N", "side", "20m"]]  # fmt: skip
    return filled(("Export Summary", [["This document was exported"], ["Name", "Sheet"]]),
                  ("Sheet 1 - Table 1", rows))  # fmt: skip


def two_days() -> openpyxl.Workbook:
    """Give a second day's crew times beside the list, which are no list."""
    rows: Rows = [HEAD, ["7", "Pylons", "LS", "W", "late afternoon", 25],
                  ["8", "Boy with a hoop", "MLS", "W", "backlit", 20]]  # fmt: skip
    times: Rows = [["Name", "Call", "Wrap"], ["Boy", dt.time(9), dt.time(15)]]
    return filled(("List", rows), ("Times", times))


BOOKS: dict[str, Callable[[], openpyxl.Workbook]] = {
    "46-cover.xlsx": cover_and_crew,
    "47-durations.xlsx": durations,
    "48-merged.xlsx": merged_sets,
    "49-hidden.xlsx": hidden_rows,
    "50-sections.xlsx": coloured_sections,
    "51-german.xlsx": german,
    "52-notes.xlsx": dates_in_notes,
    "53-summary.xlsx": export_summary,
    "54-times.xlsx": two_days,
}


def book_bytes(name: str) -> bytes:
    """Give the bytes of one of the workbooks."""
    raw = io.BytesIO()
    BOOKS[name]().save(raw)
    return raw.getvalue()
