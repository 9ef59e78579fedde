"""Faults of `day.toml`: each kind once, with the whole of its message."""

from __future__ import annotations

import pytest

# Changes to the smallest day (old text to new; new text under "" goes to the end), and all that is
# then said of `day.toml`.
CASES = [
    pytest.param(
        {
            'title = "Salt pans"\n': "",
        },
        "day.toml, title: missing (expected a text of 1 to 120 characters)",
        id="title missing",
    ),
    pytest.param(
        {
            '"Salt pans"\ndate': '" "\ndate',
        },
        "day.toml:1, title: blank (expected 1 to 120 characters)",
        id="title blank",
    ),
    pytest.param(
        {
            'title = "Salt pans"': "title = "
            '"xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx'
            'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"',
        },
        "day.toml:1, title: 121 characters long: "
        "`xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…` (expected 1 to "
        "120 characters)",
        id="title long",
    ),
    pytest.param(
        {
            'title = "Salt pans"': "title = 7",
        },
        "day.toml:1, title: not a text: `7` (expected a text in quotes)",
        id="title number",
    ),
    pytest.param(
        {
            'title = "Salt pans"': 'title = "Salt\\u001b[31m"',
        },
        "day.toml:1, title: holds a control character: `Salt�[31m` (expected plain text)",
        id="title escape",
    ),
    pytest.param(
        {
            "date = 2027-06-09\n": "",
        },
        "day.toml, date: missing (expected a date such as 2027-06-09)",
        id="date missing",
    ),
    pytest.param(
        {
            "2027-06-09": '"09/06/2027"',
        },
        "day.toml:2, date: not a date: `09/06/2027` (expected a date such as "
        "2027-06-09, from 1900 to 2100)",
        id="date other order",
    ),
    pytest.param(
        {
            "2027-06-09": "2027-06-09T06:00:00",
        },
        "day.toml:2, date: not a date: `2027-06-09T06:00:00` (expected a date such as "
        "2027-06-09, from 1900 to 2100)",
        id="date with time",
    ),
    pytest.param(
        {
            "2027-06-09": "0027-06-09",
        },
        "day.toml:2, date: out of range: `0027-06-09` (expected a date such as "
        "2027-06-09, from 1900 to 2100)",
        id="date ancient",
    ),
    pytest.param(
        {
            "2027-06-09": "2027-06-31",
        },
        "day.toml:2: not valid TOML: a date that does not exist: `date = 2027-06-31`",
        id="date does not exist",
    ),
    pytest.param(
        {
            "2027-06-09": "20270609",
        },
        "day.toml:2, date: not a text: `20270609` (expected a date such as 2027-06-09)",
        id="date number",
    ),
    pytest.param(
        {
            "[place]\n"
            'name = "Salt pans"\n'
            "latitude_deg = 36.2\n"
            "longitude_deg = -5.9\n"
            'timezone = "Europe/Madrid"\n'
            "\n": "",
        },
        "day.toml, place: missing (expected a table `[place]`)",
        id="place missing",
    ),
    pytest.param(
        {
            "\n"
            "[place]\n"
            'name = "Salt pans"\n'
            "latitude_deg = 36.2\n"
            "longitude_deg = -5.9\n"
            'timezone = "Europe/Madrid"\n'
            "\n": 'place = "Tarifa"\n',
        },
        "day.toml:3, place: not a table: `Tarifa` (expected `[place]`)",
        id="place no table",
    ),
    pytest.param(
        {
            "latitude_deg = 36.2\n": "",
        },
        "day.toml:4, place.latitude_deg: missing (expected a number from -90 to 90, "
        "north positive, such as 36.5)",
        id="latitude missing",
    ),
    pytest.param(
        {
            "36.2": "136.2",
        },
        "day.toml:6, place.latitude_deg: out of range: `136.2` (expected a number from "
        "-90 to 90, such as 20.5)\n"
        "  hint: latitude and longitude may be swapped",
        id="latitude out of range",
    ),
    pytest.param(
        {
            "36.2": '"36.2"',
        },
        "day.toml:6, place.latitude_deg: not a number: `36.2` (expected a number from "
        "-90 to 90, such as 20.5, without quotes)",
        id="latitude quoted",
    ),
    pytest.param(
        {
            "36.2": "nan",
        },
        "day.toml:6, place.latitude_deg: out of range: `nan` (expected a number from -90 to "
        "90, such as 20.5)",
        id="latitude not finite",
    ),
    pytest.param(
        {
            "36.2": "true",
        },
        "day.toml:6, place.latitude_deg: not a number: `true` (expected a number from "
        "-90 to 90, such as 20.5, without quotes)",
        id="latitude true",
    ),
    pytest.param(
        {
            "-5.9": "inf",
        },
        "day.toml:7, place.longitude_deg: out of range: `inf` (expected a number from -180 to "
        "180, such as 20.5)",
        id="longitude out of range",
    ),
    pytest.param(
        {
            "Europe/Madrid": "Africa/Nairobi",
            "-5.9": "-36.8",
        },
        "day.toml:7, place.longitude_deg: the sun would be highest at 17:27 by the "
        "clock: `-36.8` (expected between 10:30 and 14:30)\n"
        "  hint: east is positive, west negative: `36.8` gives 12:33",
        id="noon far off at sea",
    ),
    pytest.param(
        {"-5.9": "5.9"},
        "day.toml:7, place.longitude_deg: these coordinates are not in the zone "
        "Europe/Madrid: `36.2, 5.9`\n"
        "  hint: write `longitude_deg = -5.9`: `36.2, -5.9` is in it; else the zone here is "
        "`Africa/Algiers`",
        id="longitude of the wrong sign",
    ),
    pytest.param(
        {"36.2": "-5.9", "= -5.9\ntime": "= 36.2\ntime"},
        "day.toml:6, place.latitude_deg: these coordinates are not in the zone "
        "Europe/Madrid: `-5.9, 36.2`\n"
        "  hint: swap latitude and longitude: `36.2, -5.9` is in it; else the zone here is "
        "`Africa/Dar_es_Salaam`",
        id="latitude and longitude swapped",
    ),
    pytest.param(
        {"Europe/Madrid": "Europe/Athens"},
        "day.toml:8, place.timezone: a clock that is 1 h ahead there: `Europe/Athens` "
        "(expected `Europe/Madrid`, the zone at these coordinates)\n"
        "  hint: to keep its time there on purpose, write `Etc/GMT-3`",
        id="another country's zone",
    ),
    pytest.param(
        {
            "longitude_deg": "elevation_m = 9001\nlongitude_deg",
        },
        "day.toml:7, place.elevation_m: out of range: `9001` (expected a number from -430 to "
        "9000, such as 20.5)",
        id="elevation out of range",
    ),
    pytest.param(
        {
            'timezone = "Europe/Madrid"\n': "",
        },
        "day.toml:4, place.timezone: missing (expected an IANA name such as Europe/Madrid)",
        id="time zone missing",
    ),
    pytest.param(
        {
            "Europe/Madrid": "Europe/Madird",
        },
        "day.toml:8, place.timezone: not a time zone: `Europe/Madird` (expected an "
        "IANA name such as Europe/Madrid)\n"
        "  hint: did you mean `Europe/Madrid`?",
        id="time zone slip",
    ),
    pytest.param(
        {
            "Europe/Madrid": "Madrid",
        },
        "day.toml:8, place.timezone: not a time zone: `Madrid` (expected an IANA name "
        "such as Europe/Madrid)\n"
        "  hint: did you mean `Europe/Madrid`?",
        id="time zone city",
    ),
    pytest.param(
        {
            "Europe/Madrid": "+02:00",
        },
        "day.toml:8, place.timezone: not a time zone: `+02:00` (expected an IANA name "
        "such as Europe/Madrid)",
        id="time zone offset",
    ),
    pytest.param(
        {
            "Europe/Madrid": "../../etc/passwd",
        },
        "day.toml:8, place.timezone: not a time zone: `../../etc/passwd` (expected an "
        "IANA name such as Europe/Madrid)",
        id="time zone path",
    ),
    pytest.param(
        {
            '[hours]\ncrew_call = "06:00"\nwrap = "19:00"\n': "",
        },
        "day.toml, hours: missing (expected a table `[hours]`)",
        id="hours missing",
    ),
    pytest.param(
        {
            'crew_call = "06:00"\n': "",
        },
        "day.toml:10, hours.crew_call: missing (expected a clock time such as 06:00)",
        id="call missing",
    ),
    pytest.param(
        {
            '"06:00"': '"dawn"',
        },
        "day.toml:11, hours.crew_call: not a clock time: `dawn` (expected a clock time "
        "from 00:00 to 23:59, such as 06:00)",
        id="call not a time",
    ),
    pytest.param(
        {
            '"06:00"': '"24:00"',
        },
        "day.toml:11, hours.crew_call: not a clock time: `24:00` (expected a clock "
        "time from 00:00 to 23:59, such as 06:00)\n"
        "  hint: write midnight as `00:00`",
        id="call hour 24",
    ),
    pytest.param(
        {
            '"06:00"': '"06:00:30"',
        },
        "day.toml:11, hours.crew_call: a clock time with seconds: `06:00:30` (expected "
        "whole minutes, such as 06:00)",
        id="call seconds",
    ),
    pytest.param(
        {
            '"06:00"': "6",
        },
        "day.toml:11, hours.crew_call: not a text: `6` (expected a clock time in "
        'quotes, such as "06:00")',
        id="call number",
    ),
    pytest.param(
        {
            '"06:00"': "06:00",
        },
        "day.toml:11: not valid TOML: more on the line than one value: `crew_call = "
        "06:00`\n"
        '  hint: write texts and clock times in quotes: crew_call = "06:00"',
        id="call unquoted",
    ),
    pytest.param(
        {
            '"19:00"': '"06:00"',
        },
        "day.toml:12, hours.wrap: wrap at the crew call: `06:00` (expected a later "
        "time; a time before the call is the next day)",
        id="wrap at call",
    ),
    pytest.param(
        {
            "wrap =": 'first_roll = "20:00"\nwrap =',
        },
        "day.toml:12, hours.first_roll: no earlier than wrap: `20:00` (expected a time "
        "between crew call and wrap)",
        id="first roll after wrap",
    ),
    pytest.param(
        {
            "wrap =": 'hard_wrap = "18:00"\nwrap =',
        },
        "day.toml:12, hours.hard_wrap: earlier than wrap: `18:00` (expected 19:00 or later)",
        id="hard wrap before wrap",
    ),
    pytest.param(
        {
            "2027-06-09": "2027-10-31",
            '"06:00"': '"00:30"',
            '"19:00"': '"00:15"',
        },
        "day.toml:10, hours.hard_wrap: more than 24 hours after the crew call: `00:15 of the next "
        "day` (expected a day of at most 24 hours)\n"
        "  hint: the clocks are put back on this day, which makes it longer",
        id="day too long",
    ),
    pytest.param(
        {
            "2027-06-09": "2027-03-28",
            '"06:00"': '"02:30"',
        },
        "day.toml:11, hours.crew_call: a time that does not exist on 2027-03-28 in "
        "Europe/Madrid: `02:30`\n"
        "  hint: the clocks are put forward over it; choose a time before or after the "
        "change",
        id="time skipped",
    ),
    pytest.param(
        {
            "": '[meal]\nearliest = "13:00"\n',
        },
        "day.toml:14, meal.earliest: later than the meal's latest start: `13:00` "
        "(expected 12:00 or earlier)\n"
        "  hint: the latest start is 360 minutes after the call",
        id="meal earliest late",
    ),
    pytest.param(
        {
            "": "[meal]\nlength_min = 0\n",
        },
        "day.toml:14, meal.length_min: out of range: `0` (expected a whole number from 1 to "
        "240, such as 20)",
        id="meal length",
    ),
    pytest.param(
        {
            "": "[meal]\nlatest_after_call_min = 330.5\n",
        },
        "day.toml:14, meal.latest_after_call_min: not a whole number: `330.5` "
        "(expected a whole number from 1 to 1440, such as 20)",
        id="meal latest half",
    ),
    pytest.param(
        {
            "\n[place]": 'bearings = "magnetik"\n\n[place]',
        },
        "day.toml:3, bearings: not a kind of bearings: `magnetik` (expected true or "
        "magnetic)\n"
        "  hint: did you mean `magnetic`?",
        id="bearings word",
    ),
    pytest.param(
        {
            "\n[place]": "bearings = true\n\n[place]",
        },
        "day.toml:3, bearings: not a text: `true` (expected a text in quotes)",
        id="bearings bare",
    ),
    pytest.param(
        {
            "2027-06-09": "2031-06-09",
            "\n[place]": 'bearings = "magnetic"\n\n[place]',
        },
        "day.toml:3, bearings: no magnetic model for 2031 (expected `declination_deg`, east "
        "positive)\n"
        "  hint: the World Magnetic Model here is that of 2010 to 2029",
        id="declination missing",
    ),
    pytest.param(
        {
            "\n[place]": 'bearings = "magnetic"\ndeclination_deg = 200\n\n[place]',
        },
        "day.toml:4, declination_deg: out of range: `200` (expected a number from -180 to "
        "180, such as 20.5)",
        id="declination out of range",
    ),
    pytest.param(
        {
            "latitude_deg": "lattitude_deg",
        },
        "day.toml:4, place.latitude_deg: missing (expected a number from -90 to 90, "
        "north positive, such as 36.5)\n"
        "day.toml:6, place.lattitude_deg: unknown key\n"
        "  hint: did you mean `latitude_deg`?",
        id="key slip",
    ),
    pytest.param(
        {
            "timezone": 'wrap = "18:00"\ntimezone',
        },
        "day.toml:8, place.wrap: unknown key\n  hint: it belongs in `[hours]`",
        id="key in the wrong table",
    ),
    pytest.param(
        {
            "timezone": 'bearings = "true"\ntimezone',
        },
        "day.toml:8, place.bearings: unknown key\n  hint: it belongs above the first table",
        id="key of the top",
    ),
    pytest.param(
        {
            "timezone": 'between = ["a", "b"]\ntimezone',
        },
        "day.toml:8, place.between: unknown key\n  hint: it belongs in `[[move]]`",
        id="key of many",
    ),
    pytest.param(
        {
            "wrap =": "lunch = 1\nwrap =",
        },
        "day.toml:12, hours.lunch: unknown key (expected crew_call, first_roll, wrap or hard_wrap)",
        id="key unheard of",
    ),
    pytest.param(
        {
            "": "[cost]\nmove = 1\n",
        },
        "day.toml:13, cost: unknown table\n  hint: did you mean `costs`?",
        id="table slip",
    ),
    pytest.param(
        {
            "": "[tides]\nhigh = 1\n",
        },
        "day.toml:13, tides: unknown table (expected title, date, bearings, "
        "declination_deg, place, hours, meal, spot, camera, weather, move, cast, rig, frame, "
        "match, size, overrun, costs, changeover or words)",
        id="table unheard of",
    ),
    pytest.param(
        {
            "": "[size.closeup]\nweight = 1\n",
        },
        "day.toml:13, size.closeup: unknown table\n  hint: did you mean `close-up`?",
        id="size slip",
    ),
    pytest.param(
        {
            "": "[size.wide]\nweight = 0\n",
        },
        "day.toml:14, size.wide.weight: out of range: `0` (expected a number from 0.01 to "
        "100, such as 20.5)",
        id="weight zero",
    ),
    pytest.param(
        {
            "": "[size.wide]\ncontrol = 1.5\n",
        },
        "day.toml:14, size.wide.control: out of range: `1.5` (expected a number from 0 to 1, "
        "such as 0.5)",
        id="control of a size",
    ),
    pytest.param(
        {
            "": '[size.insert]\nflat = "0.8"\n',
        },
        "day.toml:14, size.insert.flat: not a number: `0.8` (expected a number from 0 to 1, "
        "such as 0.5, "
        "without quotes)",
        id="flat light of a size",
    ),
    pytest.param(
        {
            "": "[size.wide]\ntop_light = 40\n",
        },
        "day.toml:14, size.wide.top_light: out of range: `40` (expected a number from 0 to 1, "
        "such as 0.5)",
        id="top light",
    ),
    pytest.param(
        {
            "": "[size.wide]\nsetup_min = 481\n",
        },
        "day.toml:14, size.wide.setup_min: out of range: `481` (expected a whole "
        "number from 0 to 480, such as 20)",
        id="setup long",
    ),
    pytest.param(
        {
            "": "[costs]\nmove = -1\n",
        },
        "day.toml:14, costs.move: out of range: `-1` (expected a whole number from 0 to "
        "100000, such as 20)",
        id="cost negative",
    ),
    pytest.param(
        {
            "": "[costs]\nwait = 2.5\n",
        },
        "day.toml:14, costs.wait: not a whole number: `2.5` (expected a whole number from 0 to "
        "100000, such as 20)",
        id="cost of waiting",
    ),
    pytest.param(
        {
            "": "[costs]\nwaiting = 10\n",
        },
        "day.toml:14, costs.waiting: unknown key\n  hint: did you mean `wait`?",
        id="cost of waiting misnamed",
    ),
    pytest.param(
        {
            "": '[meal]\nsecond = "lines"\n',
        },
        "day.toml:14, meal.second: not a way to tell a second meal: `lines` (expected line or "
        "note)\n  hint: did you mean `line`?",
        id="second meal slip",
    ),
    pytest.param(
        {
            "": '[meal]\nsecond = "18:00"\n',
        },
        "day.toml:14, meal.second: not a way to tell a second meal: `18:00` (expected line or "
        "note)",
        id="second meal at a time",
    ),
    pytest.param(
        {
            "": "[meal]\nsecond = false\n",
        },
        "day.toml:14, meal.second: not a text: `false` (expected a text in quotes)",
        id="second meal bare",
    ),
    pytest.param(
        {
            "": "[costs]\novertime = 0.5\n",
        },
        "day.toml:14, costs.overtime: not a whole number: `0.5` (expected a whole "
        "number from 0 to 100000, such as 20)",
        id="cost fraction",
    ),
    pytest.param(
        {
            "": "[costs]\novertime = nan\n",
        },
        "day.toml:14, costs.overtime: out of range: `nan` (expected a whole number "
        "from 0 to 100000, such as 20)",
        id="cost not finite",
    ),
    pytest.param(
        {
            "": "[costs]\nmatch_span_deg = 0\n",
        },
        "day.toml:14, costs.match_span_deg: out of range: `0` (expected a number from 1 to "
        "180, such as 20.5)",
        id="match span zero",
    ),
    pytest.param(
        {
            "": '[changeover]\nturnaround_min = "10"\n',
        },
        "day.toml:14, changeover.turnaround_min: not a number: `10` (expected a whole "
        "number from 0 to 480, such as 20, without quotes)",
        id="changeover",
    ),
    pytest.param(
        {
            "": '[words]\nlow = "golden"\n',
        },
        "day.toml:14, words.low: not an elevation band: `golden` (expected `5..20`, "
        "`>30` or `<10`)",
        id="word for itself",
    ),
    pytest.param(
        {
            "": '[words]\nlow = "20..0"\n',
        },
        "day.toml:14, words.low: the low end is above the high end: `20..0` (expected "
        "`5..20`, `>30` or `<10`)\n"
        "  hint: write `0..20`",
        id="word upside down",
    ),
    pytest.param(
        {
            "": "[words]\nhigh = 45\n",
        },
        "day.toml:14, words.high: not a text: `45` (expected a text in quotes)",
        id="word number",
    ),
    pytest.param(
        {
            "": '[spot]\nname = "mill"\n',
        },
        "day.toml:13, spot: not a list of tables (expected `[[spot]]`, one for each)",
        id="spot not many",
    ),
    pytest.param(
        {
            "": "spots = 1\n",
        },
        "day.toml:13, hours.spots: unknown key (expected crew_call, first_roll, wrap or hard_wrap)",
        id="spot not a table",
    ),
    pytest.param(
        {
            "title": "spot = [1]\ntitle",
        },
        "day.toml:1, spot: not a table: `1` (expected `[[spot]]`)",
        id="spot of numbers",
    ),
    pytest.param(
        {
            "": '[[spot]]\nopen = ["06:00-11:30"]\n',
        },
        "day.toml:13, spot.name: missing (expected a text of 1 to 60 characters)",
        id="spot name missing",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "--"\n',
        },
        "day.toml:14, spot.name: not a name: `--` (expected a name with a letter or a digit in it)",
        id="spot name of dashes",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "Old mill"\n[[spot]]\nname = "old-mill"\n',
        },
        "day.toml:16, spot.name: a name that stands twice: `old-mill`\n"
        "  hint: it is also on line 14",
        id="spot twice",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = ["06:00"]\n',
        },
        "day.toml:15, spot.open: not a span of time: `06:00` (expected two clock times "
        "such as 06:00-11:30)",
        id="open not a span",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = ["06:00-24:00"]\n',
        },
        "day.toml:15, spot.open: not a span of time: `06:00-24:00` (expected two clock "
        "times such as 06:00-11:30)\n"
        "  hint: write midnight as `00:00`",
        id="open bad clock",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = ["06:00-06:00"]\n',
        },
        "day.toml:15, spot.open: a span that ends where it starts: `06:00-06:00` "
        "(expected two clock times such as 06:00-11:30)\n"
        "  hint: leave it out for the whole day",
        id="open empty span",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = []\n',
        },
        "day.toml:15, spot.open: an empty list: `[]`\n  hint: leave the key out for the whole day",
        id="open empty list",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = 6\n',
        },
        "day.toml:15, spot.open: not a list: `6` (expected a list in `[` and `]`)",
        id="open not a list",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = ["20:00-23:00"]\n',
        },
        "day.toml:15, spot.open: outside the working day: `20:00-23:00` (expected a "
        "span that touches the hours from crew call to hard wrap)",
        id="open outside the day",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nlongitude_deg = -5.9\n',
        },
        "day.toml:15, spot.longitude_deg: one coordinate alone (expected `latitude_deg` too)",
        id="half a spot",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nsubject_distance_m = 8\n',
        },
        "day.toml:15, spot.subject_distance_m: a subject's distance without its bearing "
        "(expected `subject_bearing`, as seen from the camera)",
        id="subject anywhere",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nsubject_bearing = "NNX"\n',
        },
        "day.toml:15, spot.subject_bearing: not a bearing: `NNX` (expected degrees from 0 to 360 "
        "or a compass point such as NNW)",
        id="subject nowhere",
    ),
    pytest.param(
        {
            "": "[camera]\nsensor_width_mm = 0\n",
        },
        "day.toml:14, camera.sensor_width_mm: out of range: `0` (expected a number from 1 to "
        "200, such as 20.5)",
        id="no sensor",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nhorizon = "ridge.csv"\n',
        },
        "day.toml:15, spot.horizon: no such file: `ridge.csv`",
        id="horizon not there",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nhorizon = "../ridge.csv"\n',
        },
        "day.toml:15, spot.horizon: points outside the day folder: `../ridge.csv` "
        "(expected the name of a file in the day folder)",
        id="horizon above",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nhorizon = "/etc/passwd"\n',
        },
        "day.toml:15, spot.horizon: points outside the day folder: `/etc/passwd` "
        "(expected the name of a file in the day folder)",
        id="horizon absolute",
    ),
    pytest.param(
        {
            "": "[[spot]]\nname = \"mill\"\nhorizon = 'C:\\ridge.csv'\n",
        },
        "day.toml:15, spot.horizon: points outside the day folder: `C:\\ridge.csv` "
        "(expected the name of a file in the day folder)",
        id="horizon drive",
    ),
    pytest.param(
        {
            "": "[[spot]]\nname = \"mill\"\nhorizon = '\\\\host\\ridge.csv'\n",
        },
        "day.toml:15, spot.horizon: points outside the day folder: `\\\\host\\ridge.csv` "
        "(expected the name of a file in the day folder)",
        id="horizon share",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nhorizon = "a\\u0000b"\n',
        },
        "day.toml:15, spot.horizon: holds a control character: `a�b` (expected plain text)",
        id="horizon NUL",
    ),
    pytest.param(
        {
            "": "[[spot]]\n"
            'name = "mill"\n'
            "[[spot]]\n"
            'name = "pans"\n'
            "[[move]]\n"
            'between = ["mill", "pan"]\n'
            "minutes = 9\n",
        },
        "day.toml:18, move.between: no such spot: `pan` (expected mill or pans)\n"
        "  hint: did you mean `pans`?",
        id="move unknown",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\n[[move]]\nbetween = ["mill"]\nminutes = 9\n',
        },
        "day.toml:16, move.between: not two spots: `mill` (expected two different spots)",
        id="move one",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\n[[move]]\nbetween = ["mill", "Mill"]\nminutes = 9\n',
        },
        "day.toml:16, move.between: not two spots: `mill, Mill` (expected two different spots)",
        id="move to itself",
    ),
    pytest.param(
        {
            "": "[[spot]]\n"
            'name = "mill"\n'
            "[[spot]]\n"
            'name = "pans"\n'
            "[[move]]\n"
            'between = ["mill", "pans"]\n'
            "minutes = 9\n"
            "[[move]]\n"
            'between = ["pans", "mill"]\n'
            "minutes = 8\n",
        },
        "day.toml:21, move.between: a move that stands twice: `pans, mill`",
        id="move twice",
    ),
    pytest.param(
        {
            "": "[[spot]]\n"
            'name = "mill"\n'
            "[[spot]]\n"
            'name = "pans"\n'
            "[[move]]\n"
            'between = ["mill", "pans"]\n',
        },
        "day.toml:17, move.minutes: missing (expected minutes from 0 to 480)",
        id="move minutes missing",
    ),
    pytest.param(
        {
            "": '[[cast]]\nname = "Ana"\n[[cast]]\nname = "ANA"\n',
        },
        "day.toml:16, cast.name: a name that stands twice: `ANA`\n  hint: it is also on line 14",
        id="cast twice",
    ),
    pytest.param(
        {
            "": '[[cast]]\nname = "Ana"\nhere = "21:00-22:00"\n',
        },
        "day.toml:15, cast.here: outside the working day: `21:00-22:00` (expected a "
        "span that touches the hours from crew call to hard wrap)",
        id="cast never here",
    ),
    pytest.param(
        {
            "": '[hours]\nwrap = "18:00"\n',
        },
        "day.toml:13: not valid TOML: the same table stands twice: `[hours]`",
        id="TOML table twice",
    ),
    pytest.param(
        {
            "wrap =": 'crew_call = "07:00"\nwrap =',
        },
        'day.toml:12: not valid TOML: the same key stands twice: `crew_call = "07:00"`',
        id="TOML key twice",
    ),
    pytest.param(
        {
            "wrap =": "wrap",
        },
        'day.toml:12: not valid TOML: a key without `=`: `wrap "19:00"`\n'
        "  hint: write `key = value`",
        id="TOML key alone",
    ),
    pytest.param(
        {
            'title = "Salt pans"': 'title = "Salt pans',
        },
        "day.toml:1: not valid TOML: a character that may not stand here: `title = "
        '"Salt pans`\n'
        "  hint: close every quote on its line",
        id="TOML quote open",
    ),
    pytest.param(
        {
            'title = "Salt pans"': "title = Salt pans",
        },
        "day.toml:1: not valid TOML: not a value: `title = Salt pans`\n"
        '  hint: write texts in quotes: title = "Salt pans"',
        id="TOML bare text",
    ),
    pytest.param(
        {
            "": '[[spot]]\nname = "mill"\nopen = ["06:00-11:30"\n',
        },
        'day.toml:15: not valid TOML: a `[` that is never closed: `open = ["06:00-11:30"`',
        id="TOML list open",
    ),
    pytest.param(
        {
            "": "[size]\nwide = {weight = 1, weight = 2}\n",
        },
        "day.toml:14: not valid TOML: the same key stands twice: `wide = {weight = 1, weight = 2}`",
        id="TOML inline twice",
    ),
    pytest.param(
        {
            'title = "Salt pans"': 'title = "C:\\pans"',
        },
        'day.toml:1: not valid TOML: a lone backslash in a text: `title = "C:\\pans"`\n'
        "  hint: write `/`, or two backslashes",
        id="TOML backslash",
    ),
    pytest.param(
        {
            "wrap =": "= 5\nwrap =",
        },
        "day.toml:12: not valid TOML: neither a key nor a table: `= 5`\n"
        "  hint: write `key = value`",
        id="TOML statement",
    ),
    pytest.param(
        {"": "[[spot]]\nname = \"mill\"\nhorizon = '..\\ridge.csv'\n"},
        "day.toml:15, spot.horizon: points outside the day folder: `..\\ridge.csv` "
        "(expected the name of a file in the day folder)",
        id="horizon above, by backslash",
    ),
    pytest.param(
        {"title": 'spot = [1, {name = "mill", open = "noon"}]\ntitle'},
        "day.toml:1, spot: not a table: `1` (expected `[[spot]]`)\n"
        "day.toml:1, spot.open: not a span of time: `noon` "
        "(expected two clock times such as 06:00-11:30)",
        id="faults in two of many",
    ),
    pytest.param(
        {"wrap": "\n  # the end\n\thard_wrap = 'soon'\n  wrap"},
        "day.toml:14, hours.hard_wrap: not a clock time: `soon` "
        "(expected a clock time from 00:00 to 23:59, such as 06:00)",
        id="indented key in other quotes",
    ),
    pytest.param(
        {"wrap": 'hard_wrap = """\n[place]\nwrap"""\nwrap', "19:00": "soon"},
        "day.toml:12, hours.hard_wrap: not a clock time: `[place] wrap` "
        "(expected a clock time from 00:00 to 23:59, such as 06:00)\n"
        "day.toml:15, hours.wrap: not a clock time: `soon` "
        "(expected a clock time from 00:00 to 23:59, such as 06:00)",
        id="text over lines that looks like a table",
    ),
    pytest.param(
        {"": '[[spot]]\nname = "mill"\nopen = [\n  "07:00-08:00", # ]\n]\n"horizon" = "a"\n'},
        "day.toml:18, spot.horizon: no such file: `a`",
        id="list over lines and a quoted key",
    ),
]


@pytest.mark.parametrize(("changes", "message"), CASES)
def test_fault_of_the_settings_is_told_in_full(changes, message, minimal_day, make_folder, faults):
    """Each fault comes with its line, key, value, what was expected and the nearest known word."""
    day = minimal_day
    for old, new in changes.items():
        assert old in day
        day = day.replace(old, new, 1) if old else day + new
    found = faults(make_folder(day))
    assert "\n".join(one for one in found if one.startswith("day.toml")) == message


def test_smallest_day_has_no_fault(make_folder, faults):
    """The day that all these cases start from is well formed."""
    assert faults(make_folder()) == []
