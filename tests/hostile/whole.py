"""Whole files of every kind that is read, as rich as they come: what is mutated."""

from __future__ import annotations

import io
import json
import zipfile
from functools import cache

from hostile.mutated import package
from sunsched.folder.log.row import COLUMNS as LOG_COLUMNS

DAY = """\
title = "Salt pans"
date = 2027-06-09
bearings = "true"

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
elevation_m = 4
timezone = "Europe/Madrid"

[hours]
crew_call = "06:00"
first_roll = "06:30"
wrap = "19:00"
hard_wrap = "20:00"

[meal]
latest_after_call_min = 360
length_min = 60

[[spot]]
name = "pans"
horizon = "horizon-pans.csv"
open = ["06:00-11:30", "15:00-20:00"]
latitude_deg = 36.2001
longitude_deg = -5.9001

[[spot]]
name = "mill"

[[move]]
between = ["pans", "mill"]
minutes = 25

[[cast]]
name = "Ana"
here = ["06:00-15:00"]

[[rig]]
name = "silk"
overhead = true

[[frame]]
name = "big silk"
kind = "overhead"
side_ft = 12

[match.door]
by = "lens"

[words]
low = "0..15"

[costs]
wait = 10

[size.wide]
control = 0.1
"""
SHOTS = """\
id,scene,description,size,spot,look,sun,elevation,azimuth,setup_min,shoot_min,rig,match,after,cast,pin,lens_mm
1,1,The pans at dawn,wide,pans,N,back,golden,,30,20,,door,,Ana,,35
2,1,Her face,close-up,pans,200,side left,5..40,240..300,20,15,silk,door,1,Ana,,85
3,2,The mill,medium,mill,SW,any,>10,,25,20,,,,,14:00,50
4,2,A hand,insert,mill,E,shade,,,10,10,,,3,,,
"""
LOG = "".join(
    [
        ",".join(LOG_COLUMNS) + "\n",
        "1,2027-06-09T06:40+02:00,rolled,1\n",
        "2,2027-06-09T07:05+02:00,done,1\n",
        "3,2027-06-09T07:10+02:00,late,,15\n",
        "4,2027-06-09T07:20+02:00,cloud,,0.8,,2027-06-09T09:00+02:00\n",
        "5,2027-06-09T07:30+02:00,gone,Ana\n",
        "6,2027-06-09T07:40+02:00,note,wind from the sea\n",
        "7,2027-06-09T07:41+02:00,undo,,6\n",
    ]
)
HORIZON = """\
# wall: from 80 to 130, 20 m away, 12 m high
azimuth_deg,elevation_deg,joined,under_deg,part
0,2,,,
90,10,wall,,
120,12,,,
200,30,,20,roof
230,30,,20,roof
300,1,,,
"""
SKY = "hour,cloud_cover\n6,0.1\n7,0.5\n12,1\n18,0\n"
CLOTHS = "name,stops,source\nsilk,1.5,ours\nnet,0.5,ours\n"
DECISIONS = """\
# What was decided for the day.
decision,subject,time
at,2,17:30
meal,,12:30
release,Ana,15:00
cut,4,
keep-order,1 2,
wrap,,18:30
"""
ORDER = "id,time\n1,06:30\n2,07:15 - 07:40\nmeal,12:00\n3,13:00\n4,2027-06-09 14:00\n"
PASTED = "1. 06:30\n2. 7h15\nlunch 12:00\n3 13:00-13:20\n4 at 2 pm\n"
LIST = """\
Shot list, Tuesday
Shot,Action,Shot size,Camera direction,Light,Mins,Place
1,She walks,WS,looking north,backlight,20',Pans
2,Her face,CU,"SW",golden hour,0:15,
EXT. MILL - DAY,,,,,,
3,The wheel,MS,270° (W),any,1h15,
"""
PROSE = "1. Wide of the pans at dawn, looking north, backlit, 20 min.\n2. Close on her hands.\n"
GPX = """\
<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="us" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="36.2" lon="-5.9"><ele>4</ele><name>pans</name><time>2027-06-09T06:40:00Z</time></wpt>
<trk><trkseg><trkpt lat="36.21" lon="-5.91"/><trkpt lat="36.22" lon="-5.92"/></trkseg></trk>
</gpx>
"""
HOUSES = {
    "type": "FeatureCollection",
    "features": [
        {
            "type": "Feature",
            "properties": {"name": "mill", "height": "12 m", "building:levels": "3"},
            "geometry": {
                "type": "Polygon",
                "coordinates": [[[-5.9, 36.2], [-5.899, 36.2], [-5.899, 36.201], [-5.9, 36.2]]],
            },
        }
    ],
}
GRID = """\
ncols 3
nrows 2
xllcorner -5.9
yllcorner 36.2
cellsize 0.001
nodata_value -9999
1 2 3
4 5 -9999
"""
PLAN = {
    "revision": 1,
    "date": "2027-06-09",
    "status": "average",
    "points": 1000,
    "bound": 1200,
    "grid_min": 5,
    "meal": {"start": "2027-06-09T12:00:00+02:00"},
    "shots": [
        {
            "id": "1",
            "changeover_start": "2027-06-09T06:00:00+02:00",
            "roll_start": "2027-06-09T06:40:00+02:00",
        },
        {
            "id": "3",
            "changeover_start": "2027-06-09T13:00:00+02:00",
            "roll_start": "2027-06-09T14:00:00+02:00",
        },
    ],
    "made_at": "2027-06-01T12:00:00+02:00",
    "facts": "0123456789abcdef",
    "past": {"at": "2027-06-09T07:41:00+02:00", "late_min": 15, "events": 7},
    "average": {
        "order": ["1", "3", "2"],
        "references": [{"match": "door", "time": "2027-06-09T18:00:00+02:00"}],
    },
    "if_every_minute_holds": {"points": 1000, "light_kept": 0.5},
    "best_for_planned_minutes": {"points": 1100, "bound": 1200, "light_kept": 0.6},
}
PLAIN_PLAN = {
    key: value
    for key, value in PLAN.items()
    if key not in ("average", "past", "if_every_minute_holds", "best_for_planned_minutes")
} | {"status": "bounded"}
PHRASES = (
    *("from 80 to 130, 20 m away, 12 m high", "from 80 to 130, 4 m to 10 m away, 3 m to 5 m high"),
    *("100:15 120:18", "cleared ridge at 09:40 on 2026-11-02", "gone behind the trees 18:20"),
)
PLACES = (
    *("36.5, -10.2", "36°30'N 10°12'W", "geo:36.5,-10.2,4", "Lisbon", "Springfield, US-IL"),
    *("N36 30.5 W10 12.1", "36,5 -10,2", "-36.5 10.2"),
)
FILES = {
    "day.toml": DAY,
    "shots.csv": SHOTS,
    "horizon-pans.csv": HORIZON,
    "sky.csv": SKY,
    "cloths.csv": CLOTHS,
}


@cache
def office_book() -> bytes:
    """Give the shot list as an .xlsx workbook with a merged cell, a hidden row and a time."""
    from datetime import datetime, time

    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "shots"
    for row in SHOTS.splitlines():
        sheet.append(row.split(","))
    sheet["P4"] = time(12, 0)
    sheet["K5"] = 10
    sheet["C7"] = "=1+1"
    sheet.merge_cells("C7:D8")
    sheet.row_dimensions[7].hidden = True
    book.properties.created = book.properties.modified = datetime(2027, 6, 1)  # noqa: DTZ001
    raw = io.BytesIO()
    book.save(raw)
    with zipfile.ZipFile(raw) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    parts.pop("docProps/core.xml", None)  # it holds the moment of saving
    rels = parts["_rels/.rels"].decode()
    head, _, rest = rels.partition('<Relationship Type="http://schemas.openxmlformats.org/package')
    parts["_rels/.rels"] = (head + rest.partition("/>")[2]).encode() if rest else rels.encode()
    return package(parts)


@cache
def open_book() -> bytes:
    """Give the shot list as an .ods workbook with repeated and merged cells."""
    space = "urn:oasis:names:tc:opendocument:xmlns"
    names = "".join(f' xmlns:{one}="{space}:{one}:1.0"' for one in ("office", "table", "text"))
    rows = []
    cell = '<table:table-cell office:value-type="string"{}><text:p>{}</text:p></table:table-cell>'
    for number, line in enumerate(SHOTS.splitlines()):
        cells = [cell.format("", text) for text in line.split(",")]
        if number == 1:  # its spot is that of the next row too
            cells[4] = cell.format(' table:number-rows-spanned="2"', "pans")
        elif number == 2:
            cells[4] = "<table:covered-table-cell/>"
        rows.append(f"<table:table-row>{''.join(cells)}</table:table-row>")
    rows.append(
        '<table:table-row table:number-rows-repeated="2"><table:table-cell '
        'table:number-columns-repeated="3"/></table:table-row>'
        '<table:table-row table:number-rows-repeated="1048000"/>'
    )
    content = (
        f'<?xml version="1.0"?><office:document-content{names}><office:body><office:spreadsheet>'
        f'<table:table table:name="shots">{"".join(rows)}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        f'<?xml version="1.0"?><manifest:manifest xmlns:manifest="{space}:manifest:1.0">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
        "</manifest:manifest>"
    )
    parts = {"mimetype": kind, "META-INF/manifest.xml": manifest, "content.xml": content}
    return package({name: text.encode() for name, text in parts.items()})


def plan_text(*, plain: bool = False) -> str:
    """Give a saved plan, for the average day and of a day under way, or a plain one."""
    return json.dumps(PLAIN_PLAN if plain else PLAN, indent=1)
