"""A starter's shot list as a workbook: all columns, lists to choose from, comments on the heads."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from sunsched.day.model import Size
from sunsched.day.wish import CameraSide, SunSide
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.text.bands import DEFAULT_WORDS, POINTS

ROWS = 121  # the head, and as many shots as a list may have
NEEDED = "must be filled"

# What stands in the comment on each head.
COMMENTS: dict[str, str] = {
    "id": f"7, 7A, 12-2: the plan keeps it; {NEEDED}.",
    "scene": "The scene, as you number it.",
    "description": f"What happens; {NEEDED}.",
    "size": f"One of the list, or what the trade calls it, such as two-shot; {NEEDED}.",
    "spot": f"Where the camera stands: a name of [[spot]] in day.toml; {NEEDED}.",
    "look": f"Where the lens points: degrees from north, or N, NNE, …; {NEEDED}.",
    "sun": "Where the sun should stand, seen from the lens. Several with `or`: side or front. "
    "Blank: any light will do.",
    "sun_from": "The side of the camera that the sun is on.",
    "elevation": "How high the sun should stand: low, high, golden, dusk, or degrees such as 5..20 "
    "or >30.",
    "azimuth": "Where in the sky, seen from the ground: 240..300 or SW..W.",
    "give_deg": "Degrees past the side or the azimuths over which it still counts a little.",
    "setup_min": "Minutes to build from scratch; blank: by size.",
    "adjust_min": "Minutes when the shot before stands in the same spot and rig; blank: by size.",
    "shoot_min": f"Minutes that the camera rolls: 20, 0:20 or 1h15; {NEEDED}.",
    "rig": "The name of the frames and stands; the same name needs no new setup.",
    "match": "Shots with the same name are cut together and want the same sun.",
    "weight": "How much the shot matters, 0.01 to 100; blank: by size.",
    "hold": "Yes: it rolls only while its sun is fully right.",
    "after": "Ids of shots that must come first.",
    "cast": "Who is in it, with `;` between the names.",
    "pin": "The minute at which it must roll, such as 9:40.",
    "lens_mm": "Focal length.",
    "control": "0 to 1, what frames pulled in make up for; blank: by size.",
}
WIDE = {"description": 44, "sun": 24, "spot": 14, "cast": 18, "rig": 12}


def starter_book(shots: str, spots: Sequence[str]) -> bytes:
    """Give the workbook of a starter's shots.

    Parameters
    ----------
    shots : str
        The text of its `shots.csv`.
    spots : sequence of str
        The names to choose from under `spot`.
    """
    import openpyxl
    from openpyxl.comments import Comment
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "shots"
    columns = list(COLUMNS)
    sheet.append(columns)
    for row in csv.DictReader(io.StringIO(shots)):
        sheet.append([_value(row.get(column) or "") for column in columns])
    choices = {
        "size": [str(size) for size in Size],
        "spot": list(spots),
        "look": list(POINTS),
        "sun": [str(side) for side in SunSide],
        "sun_from": [str(side) for side in CameraSide],
        "elevation": list(DEFAULT_WORDS),
        "hold": ["yes", "no"],
    }
    for number, column in enumerate(columns, 1):
        letter = get_column_letter(number)
        head = sheet.cell(1, number)
        head.font = Font(bold=True)
        head.comment = Comment(COMMENTS[column], "sunsched", height=110, width=260)
        sheet.column_dimensions[letter].width = WIDE.get(column, 11)
        if column in ("id", "after", "elevation", "azimuth", "pin"):
            # Typed as text, or `1-2` would become a date.
            for line in range(2, ROWS + 1):
                sheet.cell(line, number).number_format = "@"
        if column in choices:
            listed = DataValidation(
                type="list", formula1=f'"{",".join(choices[column])}"', allow_blank=True
            )
            # A list to choose from, not a rule: degrees and words of the trade are as good.
            listed.showErrorMessage = False
            listed.add(f"{letter}2:{letter}{ROWS}")
            sheet.add_data_validation(listed)
    sheet.freeze_panes = "B2"
    raw = io.BytesIO()
    book.save(raw)
    return raw.getvalue()


def _value(text: str) -> str | int | None:
    return int(text) if text.isdecimal() else text or None
