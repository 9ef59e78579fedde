"""The day's facts on paper: the sun, each spot's direct sun, everybody's hours, the meals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from sunsched.day.clock import clock
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import Plan
from sunsched.show.afterwards import dropped_texts, kept_sentence
from sunsched.show.agenda import Sheet, issued
from sunsched.show.drawing.lettering import POINT_IN, Words
from sunsched.show.notes import sheet_notes
from sunsched.show.paper_size import Paper
from sunsched.show.proof import verdict
from sunsched.show.second_meal import second_meal
from sunsched.show.sheets.printed.between import LONG_WAIT_MIN
from sunsched.show.sheets.printed.block import Block, Letters, blank, paragraph
from sunsched.show.sheets.printed.tables import Cell, Table, cell_words, side_by_side
from sunsched.show.text.crew import duration
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import direct_spans

NONE = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What stands beside the order: lines on the day's hours, tables, and notes under them."""

    lines: tuple[Cell, ...]
    tables: tuple[Table, ...]
    notes: tuple[Cell, ...]


def day_facts(sheet: Sheet) -> Facts:
    """Gather what stands beside the order, whatever the size of its letters."""
    plan = sheet.plan
    crew = crew_figures(plan.day, plan.timetable)
    told = [f"left out: {o.shot.id} {o.shot.description}: {o.why}" for o in plan.left_out]
    told.append(verdict(plan))
    if sheet.before is not None:
        told = [*dropped_texts(sheet.before, plan)]
    over = f"overtime: {crew.overtime_min} min" if crew.overtime_min else None
    return Facts(
        lines=(Cell(text=sun_line(plan)), Cell(text=meals_line(plan)), _hours_line(plan, crew)),
        tables=(spots_table(plan), cast_table(plan, crew)),
        notes=tuple(
            Cell(text=text, is_bold=over is not None and text.endswith(over))
            for text in (*told, *sheet_notes(plan))
        ),
    )


def facts_blocks(facts: Facts, setting: Paper, letters: Letters) -> Iterator[Block]:
    """Give the hours and the tables in blocks that each stay on a page."""
    gap = blank(letters.text_pt * POINT_IN)
    yield gap
    for line in facts.lines:
        yield from paragraph(cell_words(line, letters), setting)
    yield gap
    yield from side_by_side(facts.tables, setting, letters)


def note_blocks(facts: Facts, setting: Paper, letters: Letters) -> Iterator[Block]:
    """Give what is left out and what a crew should know beside the order."""
    yield blank(letters.text_pt * POINT_IN)
    for note in facts.notes:
        yield from paragraph(cell_words(note, letters), setting)
        yield blank(letters.pad_in)


def sun_line(plan: Plan) -> str:
    """Say when the sun rises and sets, and between which moments there is light without it."""
    day = plan.day
    events = sun_events(day.place, day.date)
    named = (
        ("civil dawn", events.civil_dawn),
        ("sunrise", events.sunrise),
        ("sunset", events.sunset),
        ("civil dusk", events.civil_dusk),
    )
    told = [f"{name} {clock(day, when)}" for name, when in named if when is not None]
    if events.sunrise is None and events.sunset is None:
        noon = min(max(plan.fit.minute_of(events.solar_noon), 0), len(plan.fit.track) - 1)
        is_up = plan.fit.track.apparent_elevation_deg[noon] > 0.0
        told.insert(0, "the sun does not set" if is_up else "the sun does not rise")
    else:
        told += [f"no {name}" for name, when in named if when is None]
    return ", ".join(told)


def meals_line(plan: Plan) -> str:
    """Say when is eaten."""
    meals = (("meal", plan.meal), ("second meal", second_meal(plan)))
    told = [
        f"{name} {clock(plan.day, one.start)}–{clock(plan.day, one.end)}"
        for name, one in meals
        if one is not None
    ]
    return ", ".join(told) or "no meal is planned"


def _hours_line(plan: Plan, crew: Crew) -> Cell:
    """Say when the day begins and ends; overtime is in bold."""
    day = plan.day
    told = [f"crew call {clock(day, day.hours.crew_call)}"]
    if crew.wrap is not None:
        told.append(f"last roll ends {clock(day, crew.wrap)}")
    told += [f"wrap {clock(day, day.hours.wrap)}", f"hard wrap {clock(day, day.hours.hard_wrap)}"]
    if crew.overtime_min:
        told.append(f"overtime {crew.overtime_min} min")
    return Cell(text=", ".join(told), is_bold=crew.overtime_min > 0)


def spots_table(plan: Plan) -> Table:
    """Give the first and the last direct sun of each spot, by its skyline under a clear sky."""
    day, rows, last = plan.day, [], len(plan.fit.track) - 1
    for spot in day.spots:
        spans = direct_spans(spot.horizon, plan.fit.track)
        texts = [spot.name, NONE, NONE, ""]
        if spans and spans[-1].end - spans[0].start >= plan.fit.time_of(last) - plan.fit.time_of(0):
            texts[1:3] = "all day", ""
        elif spans:
            hidden = (f"{clock(day, a.end)}–{clock(day, b.start)}" for a, b in pairwise(spans))
            texts[1:] = clock(day, spans[0].start), clock(day, spans[-1].end), ", ".join(hidden)
        rows.append(tuple(Cell(text=text) for text in texts))
    wide = 4 if any(row[3].text for row in rows) else 3
    heads = ("spot", "first sun", "last sun", "hidden")[:wide]
    return Table(heads=heads, rows=tuple(row[:wide] for row in rows))


def cast_table(plan: Plan, crew: Crew) -> Table:
    """Give when each of the cast is needed first, and released; long waits are in bold."""
    day, hours, rows = plan.day, {one.name: one for one in crew.cast}, []
    for member in day.cast:
        found = hours.get(member.name)
        told = [Cell(text=member.name), Cell(text=NONE), Cell(text=NONE), Cell(text="not called")]
        if found is not None:
            is_long = found.waiting_min > LONG_WAIT_MIN
            told[1:] = (
                Cell(text=clock(day, found.first_call), is_bold=True),
                Cell(text=clock(day, found.last_release), is_bold=True),
                Cell(text=duration(found.waiting_min), is_bold=is_long),
            )
        rows.append(tuple(told))
    return Table(heads=("cast", "first roll", "released", "waits"), rows=tuple(rows))


def top_words(sheet: Sheet, letters: Letters) -> list[Words]:
    """Give what stands over the first page; of a day that is over also what it kept."""
    day = sheet.plan.day
    when = f"{day.date:%A} {day.date.isoformat()}, local time ({day.place.timezone})"
    top = [
        Words(text=day.title, size_pt=1.5 * letters.text_pt, bold=True),
        letters.normal(f"{when}; {day.place.name}"),
        letters.small(issued(sheet)),
    ]
    if sheet.before is not None:
        top.append(letters.bold(kept_sentence(sheet.before, sheet.plan)))
    return top
