"""A small day to try things on: made in memory, solved in a moment."""

from __future__ import annotations

from sunsched.day.model import Day
from sunsched.folder.frame import day_from_frame

# Two spots on a salt pan; the plan has a company move and a shot that waits for the low sun.
SETTINGS = {
    "title": "Salt pans",
    "date": "2027-06-09",
    "place": {
        "name": "Castro Marim",
        "latitude_deg": 37.22,
        "longitude_deg": -7.44,
        "timezone": "Europe/Lisbon",
    },
    "hours": {"crew_call": "09:00", "wrap": "18:00", "hard_wrap": "19:00"},
    "spot": [{"name": "pans"}, {"name": "mill"}],
    "cast": [{"name": "Ana"}, {"name": "Rui", "here": "09:00-16:00"}],
}
SHOTS = (
    ("1", "The white hills", "wide", "pans", "W", "back", 30, ""),
    ("2", "Ana rakes", "medium", "pans", "E", "three-quarter back", 25, "Ana"),
    ("3", "Salt in two hands", "insert", "pans", "N", "", 15, "Ana"),
    ("4", "Rui at the mill door", "close-up", "mill", "S", "side", 25, "Rui"),
    ("5", "They carry the baskets", "full", "mill", "SE", "back", 30, "Ana, Rui"),
)
COLUMNS = ("id", "description", "size", "spot", "look", "sun", "shoot_min", "cast")


def example_day() -> Day:
    """Give a small day to try things on: five shots at two spots, planned in about a second.

    Returns
    -------
    Day
        The same day each time.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> print(day.title, day.date, [shot.id for shot in day.shots])
    Salt pans 2027-06-09 ['1', '2', '3', '4', '5']
    """
    import pandas as pd  # here because it takes half a second to load

    return day_from_frame(pd.DataFrame(SHOTS, columns=list(COLUMNS)), SETTINGS)
