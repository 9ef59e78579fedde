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
# What each says, in the words of a page.
SAID: dict[str, str] = {
    "id": "number of the shot",
    "scene": "scene",
    "description": "what happens",
    "size": "size of the shot",
    "spot": "where the camera stands",
    "look": "where the lens points",
    "sun": "the sun that it wants",
    "sun_from": "the side of the camera that the sun is on",
    "elevation": "how high the sun should stand",
    "azimuth": "where in the sky the sun should stand",
    "give_deg": "degrees beside these at which it still counts a little",
    "setup_min": "minutes to build it",
    "adjust_min": "minutes to adjust where it is built already",
    "shoot_min": "minutes that it rolls",
    "rig": "name of its frames and stands",
    "match": "name of what it is cut together with",
    "weight": "how much it matters",
    "hold": "yes, if it waits for its sun",
    "after": "shots that come first",
    "cast": "who is in it",
    "pin": "the time at which it must roll",
    "lens_mm": "focal length",
    "control": "how much of its light frames make up for",
}
