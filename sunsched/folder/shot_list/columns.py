"""The columns of a shot list."""

from __future__ import annotations

from sunsched.day.model import Size
from sunsched.folder.text import words

MAX_SHOOT = 720
# Each column, and what a cell must hold in those that cannot be left out.
COLUMNS: dict[str, str] = {
    "id": "an id such as 7 or 7A",
    "scene": "",
    "description": f"1 to {words.MAX_DESCRIPTION} characters",
    "size": words.listed(Size),
    "spot": "",
    "look": "degrees from 0 to 360 or a compass point such as NNW",
    "sun": "",
    "sun_from": "",
    "elevation": "",
    "azimuth": "",
    "give_deg": "",
    "setup_min": "",
    "adjust_min": "",
    "shoot_min": words.a_whole_number(1, MAX_SHOOT),
    "rig": "",
    "match": "",
    "weight": "",
    "hold": "",
    "after": "",
    "cast": "",
    "pin": "",
    "lens_mm": "",
    "control": "",
}
