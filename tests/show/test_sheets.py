"""The sheets: calendars, tables and printed pages, read back and compared with the plan."""

import csv
import io
import os
import re
import shutil
import subprocess
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import combinations
from typing import Any

import builders
import openpyxl
import pandas as pd
import pytest
from icalendar import Calendar
from matplotlib.backends.backend_agg import FigureCanvasAgg

import sunsched.show.sheets.printed.pages
from sunsched.day.clock import clock
from sunsched.day.model import Day, Hours, Meal, Move, Place, SecondMeal, Size, Span, Spot
from sunsched.day.past import Made, Past
from sunsched.day.wish import SunSide, Wish
from sunsched.errors import WriteRefused
from sunsched.folder.store.write import write_whole
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.agenda import (
    LineKind,
    Sheet,
    State,
    build_text,
    day_lines,
    state_of,
    timed_text,
)
from sunsched.show.drawing.figure import new_figure
from sunsched.show.notes import notes
from sunsched.show.paper_size import Shape, paper
from sunsched.show.pieces import Doing, plan_pieces
from sunsched.show.sheets.calendar import calendar_bytes
from sunsched.show.sheets.cells import csv_cell
from sunsched.show.sheets.printed.pages import paper_figures
from sunsched.show.sheets.sheet import PICTURE_KINDS, file_kind, sheet_bytes, write_sheet
from sunsched.show.sheets.spreadsheet import COLUMNS, columns_of, csv_bytes
from sunsched.show.sheets.workbook import heads_of, xlsx_bytes
from sunsched.show.stamp import Stamp, stamp_cells
from sunsched.show.text.day import plan_text
from sunsched.whatif.orders.order import read_order

MADE = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
HOSTILE = (
    "<script>alert(1)</script>",
    "\"quoted\" 'twice'; a,b\\c",
    "=1+1",
    "+cmd",
    "-2",
    "@sum",
    "\t=3",
    "＝4",
    "שלום עולם",
    "🎬 sun & $sea$",
    "x" * 300,
)


def a_shot(shot_id, **changes):
    """Give an insert that asks nothing, described by its id."""
    return builders.a_shot(shot_id, **({"description": f"shot {shot_id}"} | changes))


def a_sheet(shots, rolls, *, meal=None, call="06:00", hours=13, on=date(2027, 6, 9), **more):
    """Give a sheet of shots at Madrid's clock times on the day, `+1` for the next one."""
    place = Place(
        name="Salt pans", latitude_deg=36.2, longitude_deg=-5.9, elevation_m=0,
        timezone="Europe/Madrid",
    )  # fmt: skip

    def at(clock):
        """Give the moment of a clock time, UTC; a second pass of an hour is marked `b`."""
        hour, minute, later = re.findall(r"\d+", clock + "+0")[:3]
        local = datetime(on.year, on.month, on.day, int(hour), int(minute), tzinfo=place.zone)
        local = (local + timedelta(days=int(later))).replace(fold=int(clock.endswith("b")))
        return local.astimezone(UTC)

    start = at(call)
    end = start + timedelta(hours=hours)
    day = Day(
        title=more.pop("title", "A day"),
        date=on,
        place=place,
        hours=Hours(crew_call=start, first_roll=start, wrap=end, hard_wrap=end),
        meal=Meal(earliest=start, latest=end, length_min=60),
        spots=(Spot(name="pans"), Spot(name="mill")),
        moves=(Move(between=("pans", "mill"), minutes=25),),
        shots=tuple(shots),
    )
    fit = fit_checked(day)
    timed = [(shot, at(clock)) for shot, clock in zip(shots, rolls, strict=False)]
    meal_start = None if meal is None else at(meal)
    table = Timetable(rolls=place_changeovers(day, timed, meal_start), meal_start=meal_start)
    plan = describe_plan(fit, table, bound=99_999)
    stamp = Stamp(made_at=MADE, revision=more.pop("revision", 2))
    facts: dict[str, Any] = {"stamp": stamp, "paper": Shape.A4} | more
    return Sheet(plan=plan, **facts)


@pytest.fixture(scope="session")
def usual():
    """Give four shots, one of them left out, with a move, a meal and a wait."""
    shots = (
        a_shot("1", cast=("Ana", "Bo"), wish=Wish(side=SunSide.BACK), look_deg=90.0),
        a_shot("2", rig="silk"),
        a_shot("7A", spot="mill", size=Size.WIDE),
        a_shot("9", spot="mill"),
    )
    return a_sheet(shots, ("06:30", "07:20", "13:30"), meal="08:00")


def turned(sheet, declination_deg):
    """Give a sheet of the same day from a folder with magnetic bearings."""
    day = replace(sheet.plan.day, declination_deg=declination_deg)
    return replace(sheet, plan=replace(sheet.plan, fit=replace(sheet.plan.fit, day=day)))


def clocks_back():
    """Give two rolls an hour apart at 02:40 on the night that Madrid's clocks are put back."""
    shots = [a_shot("1", shoot_min=10), a_shot("2", shoot_min=10), a_shot("3", shoot_min=10)]
    rolls = ("23:00", "02:40+1", "02:40+1b")
    return a_sheet(shots, rolls, call="21:00", meal="00:00+1", on=date(2027, 10, 30))


@pytest.fixture(scope="session")
def hostile():
    """Give a shot for each text that tries to be more than text."""
    shots = [a_shot(f"{k}", description=text, shoot_min=10) for k, text in enumerate(HOSTILE)]
    rolls = [f"{7 + k // 2:02}:{30 * (k % 2):02}" for k in range(len(shots))]
    return a_sheet(shots, rolls, title='=<b>1</b> & "2" $3$', revision=None)


def many(count, *, shoot_min=5, length=4, **more):
    """Give a sheet of shots with long descriptions and a wait each, one every 20 minutes."""
    shots = [
        a_shot(
            str(k),
            shoot_min=shoot_min,
            description=f"number {k} " + "on the wide white pans " * length,
        )
        for k in range(count)
    ]
    rolls = [f"{5 + k // 3:02}:{20 * (k % 3):02}" for k in range(count)]
    return a_sheet(shots, rolls, call="04:30", hours=19, **more)


@pytest.fixture(scope="session")
def under_way(usual):
    """Give the four shots ten minutes into the second roll: one made, one running, one cut.

    The first was ready late, by 4 minutes, and nothing was shot for 6 more.
    """
    plan = usual.plan
    late = timedelta(minutes=10)
    first, second, last = plan.shots
    first = replace(
        first,
        changeover_start=first.changeover_start + timedelta(minutes=6),
        roll_start=first.roll_start + late,
        roll_end=first.roll_end + late,
        last_start=None,
    )
    second = replace(
        second,
        changeover_start=first.roll_end + timedelta(minutes=6),
        roll_start=second.roll_start + late,
        roll_end=second.roll_end + late,
        last_start=None,
    )
    made = tuple(
        Made(
            shot_id=one.shot.id,
            changeover_start=one.changeover_start,
            roll_start=one.roll_start,
            roll_end=one.roll_end,
        )
        for one in (first, second)
    )
    at = second.roll_start + timedelta(minutes=10)
    past = Past(at=at, free_at=second.roll_end, made=made, running="2", cut=("9",))
    (left,) = plan.left_out
    changed = replace(
        plan,
        fit=replace(plan.fit, day=replace(plan.day, past=past)),
        shots=(first, second, last),
        left_out=(replace(left, why="cut"),),
        meal=replace(plan.meal, start=plan.meal.start + late, end=plan.meal.end + late),
    )
    return replace(usual, plan=changed, stamp=replace(usual.stamp, revision=3))


# The day's lines.


def test_lines_tell_the_whole_day(usual):
    """Call, rolls, meal, move and wait stand in their order, and the wrap ends the day."""
    zone = usual.plan.day.place.zone
    told = [(line.kind, f"{line.start.astimezone(zone):%H:%M}") for line in day_lines(usual.plan)]
    assert told == [
        (LineKind.CALL, "06:00"),
        (LineKind.SHOT, "06:30"),
        (LineKind.SHOT, "07:20"),
        (LineKind.WAIT, "07:50"),
        (LineKind.MEAL, "08:00"),
        (LineKind.MOVE, "09:00"),
        (LineKind.WAIT, "09:45"),
        (LineKind.SHOT, "13:30"),
        (LineKind.WRAP, "14:00"),
    ]


def test_meal_after_the_last_roll_ends_the_day():
    """A meal that comes last stands behind the last shot, and the day ends with it."""
    sheet = a_sheet([a_shot("1")], ("08:00",), meal="09:00", hours=3)
    told = [(line.kind, line.text) for line in day_lines(sheet.plan)][1:]
    assert told == [
        (LineKind.SHOT, "shot 1"),
        (LineKind.WAIT, "wait until the meal"),
        (LineKind.MEAL, "meal"),
        (LineKind.WRAP, "meal ends, wrap is 09:00, overtime"),
    ]


def test_minutes_lost_in_a_changeover_are_told_apart(under_way):
    """They are a line and a stretch of waiting of their own, and no part of the build."""
    plan = under_way.plan
    first, second = plan.day.past.made
    begun, lost = second.changeover_start, timedelta(minutes=3)
    span = Span(start=begun + lost, end=begun + 2 * lost)
    past = replace(plan.day.past, made=(first, replace(second, lost=((span.start, span.end),))))
    later = replace(plan, fit=replace(plan.fit, day=replace(plan.day, past=past)))
    was, now = (build_text(one, one.shots[1]) for one in (plan, later))
    took = (second.roll_start - begun) // timedelta(minutes=1)
    assert (was, now) == (
        f"changeover took {took} min",
        f"changeover took {took - 3} min, 3 min lost",
    )
    told = [line for line in day_lines(later) if line not in day_lines(plan)]
    assert [(one.kind, one.start, one.end, timed_text(one)) for one in told] == [
        (LineKind.WAIT, span.start, span.end, "3 min, lost")
    ]
    pieces = [one for one in plan_pieces(later) if one.shot_id == "2"]
    assert [(one.doing, one.start) for one in pieces if one.start >= begun] == [
        (Doing.BUILD, begun),
        (Doing.WAIT, span.start),
        (Doing.BUILD, span.end),
        (Doing.ROLL, second.roll_start),
    ]


def test_states_follow_the_past(usual, under_way):
    """Shots are made, running or coming; before the day all are coming."""
    assert [state_of(under_way.plan, one) for one in under_way.plan.shots] == [
        State.MADE,
        State.RUNNING,
        State.COMING,
    ]
    assert {state_of(usual.plan, one) for one in usual.plan.shots} == {State.COMING}


def test_lines_of_a_day_under_way(under_way):
    """Now stands where it is; nothing is said to be waited for by those who made the past."""
    plan = under_way.plan
    zone = plan.day.place.zone
    told = [(line.text, f"{line.start.astimezone(zone):%H:%M}") for line in day_lines(plan)]
    assert told == [
        ("crew call", "06:00"),
        ("shot 1", "06:40"),
        ("nothing shot", "07:10"),
        ("shot 2", "07:30"),
        ("planned anew from here", "07:40"),
        ("wait until the meal", "08:00"),
        ("meal", "08:10"),
        ("move to mill", "09:00"),
        ("wait before 7A", "09:45"),
        ("shot 7A", "13:30"),
        ("last roll ends, wrap is 19:00", "14:00"),
    ]


def test_terminal_tells_the_states(usual, under_way):
    """The last column says what is made and what runs, and keeps the last start of the rest."""
    rows = [line.split() for line in plan_text(under_way.plan).splitlines()]
    ends = {row[1]: row[-1] for row in rows if len(row) > 2 and row[1] in ("1", "2", "7A")}
    assert (ends["1"], ends["2"]) == ("made", "running")
    assert ends["7A"] == "18:30"  # any light suits it, to the last minute of the hours
    assert "left out: 9 shot 9: cut" in plan_text(under_way.plan)
    assert "made" not in plan_text(usual.plan)


# The calendar: RFC 5545, "Internet Calendaring and Scheduling Core Object Specification" (2009).


def events_of(sheet):
    """Give the events of a sheet's calendar by their summary's first word."""
    parsed = Calendar.from_ical(calendar_bytes(sheet))
    return {str(event["SUMMARY"]).split()[0]: event for event in parsed.events}


def planned_times(sheet):
    """Give each event's start and end as the plan has them."""
    times = {one.shot.id: (one.roll_start, one.roll_end) for one in sheet.plan.shots}
    if sheet.plan.meal is not None:
        times["meal"] = (sheet.plan.meal.start, sheet.plan.meal.end)
    return times


def test_calendar_holds_the_plan(usual):
    """Every shot and the meal are one event at their times, and nothing else is."""
    found = {name: (event.start, event.end) for name, event in events_of(usual).items()}
    assert found == planned_times(usual)


@pytest.mark.parametrize(
    ("on", "call", "rolls"),
    [
        (date(2027, 3, 27), "22:00", ("22:30", "01:30+1", "03:00+1", "03:40+1")),
        (date(2027, 10, 30), "22:00", ("23:50", "01:10+1", "02:00+1", "02:40+1b")),
        (date(2027, 12, 31), "20:00", ("23:45", "00:30+1", "01:10+1")),
    ],
    ids=["spring", "autumn", "new year"],
)
def test_calendar_zone_is_right_by_itself(on, call, rolls):
    """A reader that knows nothing but the file's own VTIMEZONE finds the same instants."""
    shots = [a_shot(str(k), shoot_min=15) for k in range(len(rolls))]
    sheet = a_sheet(shots, rolls, call=call, hours=9, on=on)
    parsed = Calendar.from_ical(calendar_bytes(sheet))
    zone = parsed.timezones[0].to_tz(lookup_tzid=False)
    assert str(parsed.timezones[0].tz_name) == "Europe/Madrid"

    def instant(when):
        """Read a time by the file's zone alone, unless it is in UTC."""
        return when if when.utcoffset() == timedelta() else when.replace(tzinfo=zone, fold=0)

    found = {
        str(event["SUMMARY"]).split()[0]: (
            instant(event.start).astimezone(UTC),
            instant(event.end).astimezone(UTC),
        )
        for event in parsed.events
    }
    assert found == planned_times(sheet)


def test_hour_that_comes_twice_is_told_in_utc():
    """RFC 5545, 3.3.5: a local time that comes twice means the first; the second is in UTC."""
    sheet = a_sheet(
        [a_shot("1"), a_shot("2")],
        ("01:30+1", "02:15+1b"),
        call="22:00",
        hours=9,
        on=date(2027, 10, 30),
    )
    raw = calendar_bytes(sheet)
    assert b"DTSTART;TZID=Europe/Madrid:20271031T013000\r\n" in raw
    assert b"DTSTART:20271031T011500Z\r\n" in raw


def test_calendar_lines_are_as_the_standard_has_them(hostile):
    """RFC 5545, 3.1: lines end with CRLF and have at most 75 octets before it."""
    raw = calendar_bytes(hostile)
    assert raw.endswith(b"END:VCALENDAR\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n") == raw.count(b"\r")
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75


def test_calendar_has_what_the_standard_requires(usual):
    """RFC 5545, 3.6 to 3.6.5: each property that must be there is, once."""
    parsed = Calendar.from_ical(calendar_bytes(usual))
    assert (parsed["VERSION"], bool(parsed["PRODID"])) == ("2.0", True)
    for event in parsed.events:
        assert {"UID", "DTSTAMP", "DTSTART", "DTEND"} <= set(event)
        assert event.DTSTAMP == MADE
        assert event["DTSTART"].params["TZID"] == "Europe/Madrid"
        assert event.errors == []
    (zone,) = parsed.timezones
    assert zone["TZID"] == "Europe/Madrid"
    assert {rule.name for rule in zone.subcomponents} == {"STANDARD", "DAYLIGHT"}
    for rule in zone.subcomponents:
        assert {"DTSTART", "TZOFFSETFROM", "TZOFFSETTO"} <= set(rule)


def test_uids_stay_from_revision_to_revision(usual):
    """The same shot keeps its UID when its time and the revision change; no two share one."""
    shots = usual.plan.day.shots
    later = a_sheet(shots, ("07:30", "08:20", "14:30"), meal="09:00", revision=3)
    before, after = events_of(usual), events_of(later)
    assert {name: event["UID"] for name, event in before.items()} == {
        name: event["UID"] for name, event in after.items()
    }
    assert len({event["UID"] for event in before.values()}) == len(before) == 4
    assert (before["1"]["SEQUENCE"], after["1"]["SEQUENCE"]) == (2, 3)
    other = events_of(a_sheet(shots, ("06:30",), on=date(2027, 6, 10)))
    assert other["1"]["UID"] != before["1"]["UID"]


def test_calendar_keeps_hostile_text(hostile):
    """What people typed comes back as it was, on one line."""
    parsed = Calendar.from_ical(calendar_bytes(hostile))
    found = {str(event["SUMMARY"]).split(": ", 1)[1] for event in parsed.events}
    assert found == {text.replace("\t", " ") for text in HOSTILE}


def test_calendar_of_a_day_under_way(usual, under_way):
    """What is made or runs is confirmed at its real time and named; what is to come may change."""
    events = events_of(under_way)
    assert {name: (event.start, event.end) for name, event in events.items()} == planned_times(
        under_way
    )
    assert {name: str(events[name]["STATUS"]) for name in ("1", "2", "7A")} == {
        "1": "CONFIRMED",
        "2": "CONFIRMED",
        "7A": "TENTATIVE",
    }
    assert str(events["1"]["SUMMARY"]) == "1 insert, made: shot 1"
    assert str(events["2"]["SUMMARY"]) == "2 insert, running: shot 2"
    assert "changeover took 24 min" in events["1"]["DESCRIPTION"]
    assert "last start" not in events["2"]["DESCRIPTION"]
    assert "last start" in events["7A"]["DESCRIPTION"]
    before = events_of(usual)
    assert events["1"]["UID"] == before["1"]["UID"]
    assert "STATUS" not in before["1"]


def test_no_calendar_of_a_day_without_events(usual):
    """A calendar must have something in it (RFC 5545, 3.6)."""
    empty = replace(usual, plan=replace(usual.plan, shots=(), meal=None))
    with pytest.raises(WriteRefused, match="nothing is planned"):
        sheet_bytes(empty, "ics")


def test_an_empty_day_still_ends_with_its_wrap(usual):
    """Crew call and wrap are there when every shot is cut."""
    lines = day_lines(replace(usual.plan, shots=(), meal=None))
    assert [line.text for line in lines] == ["crew call", "wrap"]
    assert lines[-1].start == usual.plan.day.hours.wrap


def test_a_long_reason_of_a_wait_stands_whole():
    """It goes on under its own words in a terminal, and on further lines on paper."""
    late = a_shot("2", wish=Wish(side=SunSide.BACK), look_deg=250.0)
    others = [a_shot(f"{k}-0ABCDEF", shoot_min=40) for k in (3, 4, 5)]
    sheet = a_sheet([a_shot("1"), late, *others], ("06:30", "16:30"))
    second = sheet.plan.shots[1]
    until = f"wait {second.wait_for}"
    assert until.endswith("; 3-0ABCDEF or 4-0ABCDEF or 5-0ABCDEF would fit into it")
    lines = plan_text(sheet.plan).splitlines()
    first = next(k for k, line in enumerate(lines) if "min, wait for the light of 2" in line)
    told = " ".join(line.strip() for line in lines[first : first + 3])
    assert told.startswith(f"07:20  {second.wait_min} min, {until}")
    assert lines[first + 1].startswith(" " * 7)
    assert max(len(line) for line in lines) <= 80
    texts = [text.get_text() for figure in paper_figures(sheet) for text in figure.texts]
    timed = f"{second.wait_min} min, {until}"
    first = next(k for k, text in enumerate(texts) if text and timed.startswith(text))
    assert " ".join(texts[first : first + 3]) == timed
    heights = [text.get_position()[1] for figure in paper_figures(sheet) for text in figure.texts]
    assert heights[first] > heights[first + 1] > heights[first + 2]


def test_a_wait_before_lunch_is_told_where_it_stands():
    """Of 50 minutes of waiting 30 stand before the meal; the table of figures adds them up."""
    shots = [a_shot("1"), a_shot("2", adjust_min=10)]
    sheet = a_sheet(shots, ("06:30", "09:00"), meal="07:30")
    waits = [line for line in day_lines(sheet.plan) if line.kind is LineKind.WAIT]
    assert [(one.end - one.start) // timedelta(minutes=1) for one in waits] == [30, 20]
    frame = pd.read_csv(io.BytesIO(csv_bytes(sheet)), dtype={"id": str}, keep_default_na=False)
    assert list(frame[frame["kind"] == "shot"]["wait_min"].astype(str)) == ["0", "50"]
    text = calendar_bytes(sheet).decode().replace("\r\n ", "")
    assert "changeover from 08:30: adjust 10 min\\, wait 20 min" in text


def test_a_call_that_nobody_needs_is_told():
    """Built from 15 minutes after the call on, the plan says so; after 14 it does not."""
    for roll, told in (("06:35", True), ("06:34", False)):
        text = "nothing is begun until 15 min after the call"
        assert (text in notes(a_sheet([a_shot("1")], (roll,)).plan)) is told


def test_two_like_hours_are_told_apart():
    """02:40 comes twice when clocks go back (tz database): the second is marked, and told why."""
    sheet = clocks_back()
    first, second = (clock(sheet.plan.day, one.roll_start) for one in sheet.plan.shots[1:])
    assert (first, second) == ("02:40+1", "02:40+1*")
    assert clock(sheet.plan.day, sheet.plan.shots[0].roll_start) == "23:00"
    for text in (plan_text(sheet.plan), sheet_bytes(sheet, "html").decode()):
        assert "02:40+1–02:50+1*" not in text
        assert "02:40+1*" in text
        assert "* after the clocks are put back" in text


# The tables.


def expected_rows(sheet):
    """Give kind, id and local roll of each row as the plan has them."""
    zone = sheet.plan.day.place.zone
    rows = [("shot", one.shot.id, one.roll_start, one.roll_end) for one in sheet.plan.shots]
    if sheet.plan.meal is not None:
        rows.append(("meal", "", sheet.plan.meal.start, sheet.plan.meal.end))
    rows.sort(key=lambda row: row[2])
    return [
        (kind, name, *(f"{when.astimezone(zone):%Y-%m-%d %H:%M}" for when in times))
        for kind, name, *times in rows
    ] + [("left out", left.shot.id, "", "") for left in sheet.plan.left_out]


def test_csv_reads_back(usual):
    """pandas finds every shot, the meal and what is left out, at local times."""
    frame = pd.read_csv(io.BytesIO(csv_bytes(usual)), dtype={"id": str}, keep_default_na=False)
    assert list(frame.columns) == [*COLUMNS, *stamp_cells(usual.plan.day, usual.stamp)]
    found = frame[["kind", "id", "roll_start_local", "roll_end_local"]]
    assert list(found.itertuples(index=False, name=None)) == expected_rows(usual)
    first = frame.iloc[0]
    assert (first["cast"], first["utc_offset_min"], first["look_deg"]) == ("Ana; Bo", "120", "90.0")


def book_frame(sheet, **more):
    """Read a workbook, its heads as the columns that they stand for."""
    how: dict[str, Any] = {"header": 1, "dtype": {"shot": str, "order": str}, **more}
    frame = pd.read_excel(io.BytesIO(xlsx_bytes(sheet)), **how)
    heads = heads_of(sheet.plan)
    assert list(frame.columns) == [head for head, _ in heads.values()]
    return frame.set_axis(list(heads), axis=1)


def test_xlsx_reads_back(usual):
    """pandas finds the same rows below the line that says what it is, the times as real times."""
    frame = book_frame(usual)
    assert sorted(frame.columns) == sorted(COLUMNS)
    names = ["kind", "id", "roll_start_local", "roll_end_local"]
    for name in names[2:]:
        assert pd.api.types.is_datetime64_any_dtype(frame[name])
        frame[name] = frame[name].dt.strftime("%Y-%m-%d %H:%M")
    found = frame[names].fillna("").itertuples(index=False, name=None)
    assert list(found) == expected_rows(usual)


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_tables_of_a_day_under_way_have_a_state(under_way, kind):
    """A column after the kind says how far each shot is, and of a left-out one that it was cut."""
    if kind == "csv":
        raw = io.BytesIO(csv_bytes(under_way))
        frame = pd.read_csv(raw, dtype={"id": str}, keep_default_na=False)
    else:
        frame = book_frame(under_way, keep_default_na=False)
    names = [name for name in frame.columns if not name.startswith("sheet_")]
    assert sorted(name for name in names if name != "state") == sorted(COLUMNS)
    assert names[names.index("kind") + 1] == "state"
    assert list(frame["state"]) == ["made", "running", "", "coming", "cut"]
    assert list(frame["build_min"].astype(str)) == ["", "", "", "20", ""]


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
@pytest.mark.parametrize(
    "which", ["usual", "under_way", "night", "twice", "signs", "second", "turned"]
)
def test_own_tables_read_back_as_an_order(tmp_path, request, kind, which):
    """A sheet that was handed out can be argued: its order, its times and its meal come back."""
    if which == "night":
        shots = [a_shot("1-2"), a_shot("7"), a_shot("8")]
        sheet = a_sheet(shots, ("23:00", "00:00+1", "02:30+1"), call="20:00", meal="01:00+1")
    elif which == "twice":
        sheet = clocks_back()
    elif which == "signs":
        shots = [a_shot("-1"), a_shot("+2")]
        sheet = a_sheet(shots, ("07:00", "10:00"), meal="08:00")
    elif which == "second":
        usual = request.getfixturevalue("usual")
        due = usual.plan.shots[-1].roll_start - timedelta(minutes=10)
        sheet = replace(usual, plan=replace(usual.plan, second_meal_due=due))
    elif which == "turned":
        sheet = turned(request.getfixturevalue("usual"), 3.4)
    else:
        sheet = request.getfixturevalue(which)
    path = tmp_path / f"order.{kind}"
    path.write_bytes(sheet_bytes(sheet, kind))
    plan = sheet.plan
    order = read_order(str(path), tmp_path, plan.day).order
    assert order.ids == tuple(one.shot.id for one in plan.shots)
    assert order.times == tuple(one.roll_start for one in plan.shots)
    assert order.meal_start == plan.meal.start
    assert order.meal_after == sum(one.roll_start < plan.meal.start for one in plan.shots)


def test_magnetic_folder_has_both_bearings_on_every_sheet(usual):
    """A compass that stands 3.4° east of north reads 3.4° less; each event is read alone."""
    sheet = turned(usual, 3.4)
    for row in csv.DictReader(io.StringIO(csv_bytes(sheet).decode("utf-8-sig"))):
        if row["kind"] != "shot":
            continue
        for name in ("look", "sun_azimuth"):
            turn = float(row[f"{name}_deg"]) - float(row[f"{name}_magnetic_deg"])
            assert turn % 360 == pytest.approx(3.4, abs=0.11)
    every = [str(event["DESCRIPTION"]) for event in events_of(sheet).values()]
    told = [text for text in every if "look" in text]
    assert len(told) == len(sheet.plan.shots)
    assert all("look 87°M 90°T" in text or "look 357°M 0°T" in text for text in told)
    assert all("bearings: M magnetic, T true; declination 3.4° east" in text for text in told)
    assert not any("magnetic" in name for name in columns_of(usual.plan))


def test_second_meal_is_an_event_and_a_row_of_its_own(usual):
    """Half an hour from when it is due; where the last shot rolls then, it ends as that begins."""
    last = usual.plan.shots[-1].roll_start
    due = last - timedelta(minutes=10)
    sheet = replace(usual, plan=replace(usual.plan, second_meal_due=due))
    rows = [*csv.DictReader(io.StringIO(csv_bytes(sheet).decode("utf-8-sig")))]
    assert [row["kind"] for row in rows][-3:] == ["second meal", "shot", "left out"]
    event = events_of(sheet)["second"]
    assert event["DTSTART"].dt == last - timedelta(minutes=30)
    assert event["DTEND"].dt == last
    note = replace(sheet.plan.day.meal, second=SecondMeal.NOTE)
    day = replace(sheet.plan.day, meal=note)
    told = replace(sheet, plan=replace(sheet.plan, fit=replace(sheet.plan.fit, day=day)))
    assert b"second meal" not in csv_bytes(told)
    assert any("a second meal is due at" in text for text in notes(told.plan))


def test_csv_cells_are_never_formulas(hostile):
    """Cells that begin like a formula (OWASP, "CSV Injection") get an apostrophe, others none."""
    text = csv_bytes(hostile).decode("utf-8-sig")
    found = [row["description"] for row in csv.DictReader(io.StringIO(text, newline=""))]
    risky = ("=", "+", "-", "@", "\t", "＝")
    assert found == [
        f"'{one.replace(chr(9), ' ')}" if one.startswith(risky) else one for one in HOSTILE
    ]


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("Door;=1+1;@x", "Door;'=1+1;'@x"),
        ("in; -2 stops", "in; '-2 stops"),
        ("=1; fine; 3-4", "'=1; fine; 3-4"),
    ],
)
def test_no_formula_begins_at_a_semicolon(text, kept):
    """Where decimals have a comma a .csv is parted at semicolons, quotes or not."""
    assert csv_cell(text) == kept


def test_csv_numbers_stay_numbers(usual):
    """A negative angle is a number and takes no apostrophe."""
    frame = pd.read_csv(io.BytesIO(csv_bytes(usual)))
    assert frame["sun_from_lens_deg"].dtype == float
    assert frame["sun_from_lens_deg"].min() < 0


def test_xlsx_cells_are_text(hostile):
    """No cell of the workbook is a formula, and the text is as it was typed."""
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes(hostile)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert "f" not in {cell.data_type for cell in cells}
    texts = {cell.value for cell in cells}
    assert {text.replace("\t", " ") for text in HOSTILE} <= texts
    assert hostile.plan.day.title in texts
    with zipfile.ZipFile(io.BytesIO(xlsx_bytes(hostile))) as archive:
        assert b"<f>" not in archive.read("xl/worksheets/sheet1.xml")


def test_workbook_does_not_tell_the_clock(usual):
    """Neither the file's own dates nor those of its parts come from when it was written."""
    raw = xlsx_bytes(usual)
    assert raw == xlsx_bytes(usual)
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core = archive.read("docProps/core.xml").decode()
    assert re.findall(r">(\d{4}-[^<]*)<", core) == ["2027-06-08T18:02:00Z"] * 2


# The printed pages, read by poppler.

poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None or shutil.which("pdfinfo") is None,
    reason="poppler-utils is not installed",
)


@pytest.fixture
def no_picture(monkeypatch):
    """Put an empty page in the place of the day's picture, where only the table is looked at."""
    monkeypatch.setattr(sunsched.show.sheets.printed.pages, "day_pages", lambda *_, **__: [[]])
    monkeypatch.setattr(
        sunsched.show.sheets.printed.pages,
        "day_figure",
        lambda *_, shape, **__: new_figure(paper(shape), 0.0, ""),
    )
    monkeypatch.setattr(sunsched.show.sheets.printed.pages, "sheet_pictures", lambda *_: [])


def printed(tmp_path, sheet):
    """Give what pdfinfo says of a sheet, the text of each page, and the file's size."""
    path = tmp_path / "sheet.pdf"
    path.write_bytes(sheet_bytes(sheet, "pdf"))
    info = subprocess.run(["pdfinfo", path], check=True, capture_output=True, text=True).stdout
    text = subprocess.run(
        ["pdftotext", "-layout", path, "-"], check=True, capture_output=True, text=True
    ).stdout
    facts = dict(re.findall(r"^(.+?): +(.*)$", info, re.MULTILINE))
    return facts, text.split("\f")[:-1], path.stat().st_size


@poppler
@pytest.mark.parametrize(
    ("shape", "size"),
    # ISO 216 and ANSI Y14.1: 210 by 297 mm and 8.5 by 11 in, in points of 1/72 in.
    [(Shape.A4, (595.3, 841.9)), (Shape.LETTER, (612.0, 792.0))],
)
def test_twenty_shots_are_one_printed_page(tmp_path, monkeypatch, shape, size):
    """The table of 20 shots in a row is one page, then come the day's facts, then its pictures.

    The first of them roll before sunrise, of which each has a line of caution more.
    """
    monkeypatch.setattr("sunsched.show.sheets.printed.rows.shot_cautions", lambda *_: ())
    sheet = many(20, paper=shape, shoot_min=10, length=1)
    facts, pages, length = printed(tmp_path, sheet)
    assert (facts["Pages"], len(pages)) == ("4", 4)
    found = [float(edge) for edge in re.findall(r"[\d.]+", facts["Page size"])[:2]]
    assert found == pytest.approx(size, abs=0.5)
    assert length < 300_000
    table = pages[0]
    for k in range(20):
        assert re.search(rf"\b{5 + k // 3:02}:{20 * (k % 3):02}–", table)
        assert f"number {k} on" in table
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of 4" in page
    assert "number 19" in pages[2]
    assert "revision 2, made 2027-06-08 20:02 Europe/Madrid time" in table
    assert "Never look at the sun" in pages[1]


KEPT = (("VFX", "clean plate, marks on the rail"), ("Notes", "the gulls come later " * 12))


def with_kept(sheet, kept):
    """Give a sheet whose list says something besides of every second shot."""
    shots = tuple(
        replace(one, shot=replace(one.shot, kept=kept if number % 2 else ()))
        for number, one in enumerate(sheet.plan.shots)
    )
    return replace(sheet, plan=replace(sheet.plan, shots=shots))


@poppler
@pytest.mark.usefixtures("no_picture")
@pytest.mark.parametrize("count", [8, 20, 36])
def test_kept_columns_stand_under_their_shots(tmp_path, count):
    """In small letters, two lines of them at most."""
    _, pages, _ = printed(tmp_path, with_kept(many(count), KEPT))
    lines = [line for page in pages for line in page.splitlines()]
    found = [at for at, line in enumerate(lines) if "VFX: clean plate, marks on the rail; " in line]
    assert len(found) == count // 2
    shots = [at for at, line in enumerate(lines) if re.search(r"number \d+ on", line)]
    for place, at in enumerate(found):
        before = [shot for shot in shots if shot < at][-1]
        assert f"number {2 * place + 1} on" in lines[before]
    assert sum("gulls" in line for line in lines) in (count // 2, 2 * (count // 2))
    assert sum("…" in line for line in lines) >= count // 2  # the rest is on the phone page


@pytest.mark.usefixtures("no_picture")
@pytest.mark.parametrize("count", [8, 20])
def test_no_line_of_a_printed_page_covers_another(count):
    """What is kept stands clear of the lines over and under it, and within the margins."""
    figure = paper_figures(with_kept(many(count), KEPT))[0]
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    renderer = canvas.get_renderer()
    boxes = [(one.get_text(), one.get_window_extent(renderer)) for one in figure.texts]
    boxes = [(text, box) for text, box in boxes if text.strip()]
    assert any("gulls" in text for text, _ in boxes)
    for (one, box), (other, beside) in combinations(boxes, 2):
        # Boxes hold the room below the letters too, which nothing in most lines needs.
        assert not box.padded(-1.0).overlaps(beside.padded(-1.0)), (one, other)
    edge = figure.bbox.width - 0.39 * figure.dpi
    assert all(box.x1 <= edge for _, box in boxes)


@poppler
@pytest.mark.usefixtures("no_picture")
def test_more_shots_take_more_pages(tmp_path):
    """36 shots take two pages of table; each shot stands on one of them, and heads on both."""
    _, pages, _ = printed(tmp_path, many(36, shoot_min=10, length=1))
    assert len(pages) in (3, 4)
    found = [int(k) for page in pages[:2] for k in re.findall(r"number (\d+) on", page)]
    assert sorted(found) == list(range(36))
    assert all("by hand" in page for page in pages[:2])
    assert [re.findall(r"page \d of \d", page) for page in pages] == [
        [f"page {number} of {len(pages)}"] for number in range(1, len(pages) + 1)
    ]


@poppler
def test_printed_pages_of_a_day_under_way(tmp_path, under_way):
    """The table says what is made and what runs, and where now is; so does the picture."""
    _, pages, _ = printed(tmp_path, under_way)
    table, picture, *others = (" ".join(page.split()) for page in pages)
    behind = " ".join(others)
    for subject in ("Who waits when", "When each shot's sun is right", "The sun at "):
        assert subject in behind
    assert "planned anew from here" in table
    assert re.search(r"06:40–07:10 .* made", table)
    assert "changeover" in table
    assert "took 24 min" in table
    assert "left out: 9 shot 9: cut" in table
    for text in ("made 06:40–07:10", "running 07:30–08:00", "now 07:40", "cut"):
        assert text in picture


@poppler
@pytest.mark.usefixtures("no_picture")
def test_hostile_text_is_printed_as_text(tmp_path, hostile):
    """No text breaks a page, and dollar signs are dollar signs."""
    _, pages, _ = printed(tmp_path, hostile)
    assert "<script>alert(1)</script>" in " ".join(pages[0].split())
    assert "$sea$" in pages[0]


def test_phone_strip_is_not_printed(usual):
    """A phone's paper has no pages to print."""
    with pytest.raises(WriteRefused, match="a4 or letter"):
        sheet_bytes(replace(usual, paper=Shape.PHONE), "pdf")


# Files.


@pytest.mark.parametrize(
    ("kind", "starts"),
    [
        ("pdf", b"%PDF-"),
        ("png", b"\x89PNG"),
        ("svg", b"<?xml"),
        ("ics", b"BEGIN:VCALENDAR"),
        ("csv", b"\xef\xbb\xbfnumber,"),
        ("xlsx", b"PK\x03\x04"),
    ],
)
def test_same_sheet_gives_the_same_bytes(usual, kind, starts):
    """A sheet is of its kind, and made of the plan and of nothing else."""
    made = sheet_bytes(usual, kind)
    assert made.startswith(starts)
    assert made == sheet_bytes(usual, kind)


@pytest.mark.parametrize("name", ["day.ics", "day.CSV"])
def test_ending_chooses_the_kind(tmp_path, usual, name):
    """The file's ending says what is written, in any case, and nothing else is left behind."""
    write_sheet(tmp_path / name, usual)
    assert (tmp_path / name).read_bytes() == sheet_bytes(usual, name[-3:].lower())
    assert [one.name for one in tmp_path.iterdir()] == [name]


def test_unknown_ending_names_the_known(tmp_path, usual):
    """Another ending is refused with the list of those that are known, and nothing is written."""
    with pytest.raises(WriteRefused) as refused:
        write_sheet(tmp_path / "day.doc", usual)
    assert str(refused.value) == (
        "`day.doc` has no ending that can be written\n"
        "  hint: end the name with .pdf, .png, .svg, .html, .ics, .csv or .xlsx"
    )
    assert list(tmp_path.iterdir()) == []


def test_picture_has_fewer_endings(tmp_path):
    """A picture is no calendar."""
    assert file_kind(tmp_path / "day.SVG", PICTURE_KINDS) == "svg"
    with pytest.raises(WriteRefused, match=re.escape("hint: end the name with .png, .svg or .pdf")):
        file_kind(tmp_path / "day.ics", PICTURE_KINDS)


@pytest.mark.parametrize("name", ["shots.csv", "Shots.xlsx", "sky.csv", "horizon-mill.csv"])
def test_files_of_the_day_are_never_written(tmp_path, usual, name):
    """A sheet cannot take the place of the shot list that the plan came from."""
    (tmp_path / name).write_text("mine")
    with pytest.raises(WriteRefused, match="give the sheet another name"):
        write_sheet(tmp_path / name, usual)
    assert (tmp_path / name).read_text() == "mine"


def test_older_sheet_is_replaced_whole(tmp_path):
    """The new file takes the old one's place, readable as any file that is made here."""
    path, other = tmp_path / "day.csv", tmp_path / "other.csv"
    path.write_bytes(b"old and longer")
    other.write_bytes(b"")
    write_whole(path, b"new")
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode == other.stat().st_mode
    assert sorted(one.name for one in tmp_path.iterdir()) == ["day.csv", "other.csv"]


def test_failed_write_leaves_the_old_sheet(tmp_path, monkeypatch):
    """When the disk is full, the old file is as it was and no part is left behind."""
    path = tmp_path / "day.csv"
    path.write_bytes(b"old")

    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WriteRefused, match=re.escape("`day.csv` cannot be written (no space left")):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["day.csv"]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("none/day.csv", "cannot be written (no such file"),
        ("folder.csv", "is a folder"),
        ("file/day.csv", "cannot be written (not a directory"),
    ],
)
def test_place_that_cannot_be_written_is_named(tmp_path, name, text):
    """A missing folder, or a folder in the file's place, is told in a line."""
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(WriteRefused, match=re.escape(text)):
        write_whole(tmp_path / name, b"new")


def test_a_long_name_is_written(tmp_path):
    """A name of 255 bytes, the longest that most file systems hold, has no room for more."""
    path = tmp_path / f"{'x' * 251}.csv"
    write_whole(path, b"new")
    assert [one.name for one in tmp_path.iterdir()] == [path.name]
