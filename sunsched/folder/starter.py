"""A starter day to edit: a short scene of our own at a place, on a date, under that day's sun."""

from __future__ import annotations

import json
import unicodedata
from datetime import date, datetime, time, timedelta

from sunsched.day.call import first_meal
from sunsched.day.model import Place
from sunsched.folder.settings.keys import MAX_TITLE, MealKeys
from sunsched.folder.text import words

DAY_MIN = 24 * 60
# What the part of `day.toml` for the starter's own shots begins with, and what follows it.
OF_SHOTS = ("# Camera positions.", "# What frames pulled in make up for")
SPOTS = ("terrace", "gate")
_DAY = """\
# A starter day. Change what is not yours, then ask `sunsched check` what is still wrong.
title = {title}
date = {date}

# Bearings are degrees from true north; where yours are read off a compass, write "magnetic".
# bearings = "true"

# Latitude north positive, longitude east positive. For a town: its middle, so put your own here.
[place]
name = {place}
latitude_deg = {latitude}
longitude_deg = {longitude}
elevation_m = {elevation}
timezone = {timezone}

# Local times; one before the call is on the next day. Leave `hard_wrap` out to allow no overtime.
[hours]
crew_call = "{call}"
wrap = "{wrap}"
hard_wrap = "{hard_wrap}"

# Lunch begins six hours after the call at the latest, here {latest} (common practice; your
# agreement rules). Begun at `earliest` or later it leaves no second meal due before wrap, where the
# hours allow that. A second one that falls due is a line of the plan, or with "note" said below it.
[meal]
latest_after_call_min = {span}
length_min = {length}
earliest = "{earliest}"
second = "line"

# Camera positions. A skyline goes into `horizon-terrace.csv` with azimuth_deg,elevation_deg.
# Hours of a spot: open = ["07:00-11:30"]
[[spot]]
name = "terrace"
# Where its subject stands, for `skyline`: metres and bearing from the camera, height of the face.
# subject_distance_m = 4
# subject_bearing = "E"
# subject_height_m = 1.6

[[spot]]
name = "gate"

[[move]]
between = ["terrace", "gate"]
minutes = 15

# Hours of someone in front of the lens: here = ["08:00-15:00"]
[[cast]]
name = "Ines"

[[cast]]
name = "Tomás"

# A build with a frame overhead keeps the high sun off a face. The names are those of the column
# `rig`; one without a table has nothing overhead.
[[rig]]
name = "8x8 silk"
overhead = true

# Shots cut together want the same sun in the world, "sun", or the same one seen from each lens,
# "lens", so that both sides of a conversation can be backlit at different hours.
[match.cups]
by = "sun"

# What frames pulled in make up for, 0 to 1, and what light without the sun is worth to a shot that
# wanted it; for one shot alone there is the column `control`, as in 6, which has no frames.
# [size.close-up]
# control = 0.65
# flat = 0.55

# How wide the sensor is; with a shot's `lens_mm` it says how much of the sky is in the frame.
# [camera]
# sensor_width_mm = 24.9

# Your own words for sizes in the shot list, each as one of the five.
# [words.size]
# "over the shoulder" = "medium"

# Points lost for each minute in which the crew neither changes over, rolls nor eats; 0 for none.
[costs]
wait = 10
"""
_SHOTS = """\
id,description,size,spot,look,sun,shoot_min,rig,match,after,cast,control
1,"The house wakes, shutter by shutter",wide,terrace,{toward},back,25,open,cups,,Ines,
2,Two cups on the wall,medium,terrace,{right_of},three-quarter back left,25,8x8 silk,cups,,Ines,
3,Ines takes one back,close-up,terrace,{left_of},three-quarter back right,20,8x8 silk,cups,,Ines,
4,Steam over the cup that is left,insert,terrace,{toward},any,15,8x8 silk,,,,
5,"Tomás at the gate, the road behind him",full,gate,{across},side left,25,open,gate,,Tomás,
6,He sees the second cup,close-up,gate,{late_right},three-quarter back left,20,open,gate,5,Tomás,0.2
"""


def example_part() -> str:
    """Give the part of a starter's `day.toml` that only its own shots need."""
    begin, end = OF_SHOTS
    return _DAY[_DAY.index(begin) : _DAY.index(end)]


def starter_texts(
    title: str,
    place: Place,
    on: date,
    hours: tuple[time, time],
    morning_deg: float,
    afternoon_deg: float,
) -> dict[str, str]:
    """Write the files of a starter day.

    Parameters
    ----------
    title : str
        Any text; what a title cannot hold is left out of it.
    place : Place
        Where the day is.
    on : date
        Its date.
    hours : tuple of time
        Call and wrap on the local clock; a wrap before the call is on the next day.
    morning_deg, afternoon_deg : float
        Azimuth of the sun half way to noon and half way from it: the example shots look that way.

    Returns
    -------
    dict of str to str
        The text of each file by its name.
    """
    call, wrap = (60 * one.hour + one.minute for one in hours)
    wrap += DAY_MIN if wrap <= call else 0
    meal = MealKeys()
    span, length = meal.latest_after_call_min, meal.length_min
    earliest = first_meal(*(timedelta(minutes=one) for one in (wrap - call, span, length)))
    line = words.clean("".join(m if unicodedata.category(m)[0] != "C" else " " for m in title))
    day = _DAY.format(
        title=_quoted(line[:MAX_TITLE].strip() or "A starter day"),
        date=on.isoformat(),
        place=_quoted(place.name),
        latitude=place.latitude_deg,
        longitude=place.longitude_deg,
        elevation=place.elevation_m,
        timezone=_quoted(place.timezone),
        call=_clock(call),
        wrap=_clock(wrap),
        hard_wrap=f"{hard_wrap_of(*hours):%H:%M}",
        latest=_clock(call + span),
        span=span,
        length=length,
        earliest=_clock(call + earliest // timedelta(minutes=1)),
    )
    # A scene against the morning sun, one from the side in the afternoon, and an insert.
    shots = _SHOTS.format(
        toward=round(morning_deg) % 360,
        right_of=round(morning_deg + 50) % 360,
        left_of=round(morning_deg - 50) % 360,
        across=round(afternoon_deg + 90) % 360,
        late_right=round(afternoon_deg + 50) % 360,
    )
    return {"day.toml": day, "shots.csv": shots}


def hard_wrap_of(call: time, wrap: time) -> time:
    """Give the hard wrap of a starter day: half an hour past its wrap, within a day of its call."""
    begun, ended = (60 * one.hour + one.minute for one in (call, wrap))
    ended += DAY_MIN if ended <= begun else 0
    minutes = min(ended + 30, begun + DAY_MIN - 1) % DAY_MIN
    return time(minutes // 60, minutes % 60)


def laid_hours(sunrise: datetime | None, sunset: datetime | None) -> tuple[time, time]:
    """Lay call and wrap between sunrise and sunset, 12 hours apart at most.

    Parameters
    ----------
    sunrise, sunset : datetime or None
        Local times; a sun that does not rise or set, or sets past midnight, leaves 08:00 to 20:00.
    """
    plain = time(8), time(20)
    if sunrise is None or sunset is None or sunrise.date() != sunset.date():
        return plain
    call = max(5 * 60, _quarter(sunrise - timedelta(minutes=30)))
    wrap = min(call + 12 * 60, _quarter(sunset + timedelta(minutes=15)), 23 * 60 + 45)
    if call + 4 * 60 > wrap:
        return plain
    return time(*divmod(call, 60)), time(*divmod(wrap, 60))


def _quarter(when: datetime) -> int:
    return (60 * when.hour + when.minute) // 15 * 15


def _clock(minute: int) -> str:
    return f"{minute // 60 % 24:02}:{minute % 60:02}"


def _quoted(text: str) -> str:
    # A basic string of TOML takes every escape that JSON writes.
    return json.dumps(text, ensure_ascii=False)
