"""The order as one page of HTML that needs nothing else: it opens offline on a phone."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from jinja2 import Template
from markupsafe import Markup
from matplotlib.figure import Figure

from sunsched.day.clock import clock, instant_ms
from sunsched.light.fit import DayFit
from sunsched.light.windows import ShotWindows, windows
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import (
    CAUTIONS,
    Line,
    LineKind,
    Sheet,
    State,
    build_text,
    day_lines,
    issued,
    last_start_text,
    lens_text,
    look_text,
    moved_at,
    state_of,
    sun_text,
    timed_text,
)
from sunsched.show.cautions import shot_cautions
from sunsched.show.charts.day import day_figure
from sunsched.show.charts.shot import shot_figure
from sunsched.show.charts.shot_words import light_texts
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.drawing.picture import alone
from sunsched.show.drawing.timeline import reaching
from sunsched.show.gaffer.lines import Line as BuildLine
from sunsched.show.gaffer.page import build_lines
from sunsched.show.layout import plain
from sunsched.show.notes import sheet_notes
from sunsched.show.paper_size import Shape, paper
from sunsched.show.proof import verdict
from sunsched.show.prospects import LIKELY_MARK, chance, light_text, prospect_texts
from sunsched.show.sheets.behind.pictures import sheet_pictures
from sunsched.show.sheets.phone.inline import Pictures
from sunsched.show.sheets.phone.steps import brief, day_steps, isolated, step_record
from sunsched.show.sheets.template import own_markup, own_text, template
from sunsched.show.stamp import behind_text


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotPart:
    """What the page says of one shot; `figures` stand in its row, the rest behind a tap."""

    id: str
    size: str
    spot: str
    figures: tuple[str, ...]
    state: State
    cautions: tuple[str, ...]
    facts: tuple[str, ...]
    lit: tuple[str, ...]
    why: str
    build: tuple[BuildLine, ...]
    picture: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePart:
    """One part of the page's list.

    `row` is its name in the page; only shots have an end, only moves and waits minutes.
    `within` are the groups that it belongs to, of those that the list can be cut down to; a part
    that is for all has none.
    """

    row: str
    start: str
    end: str
    minutes: str
    text: str
    within: str
    shot: ShotPart | None


def page_bytes(sheet: Sheet) -> bytes:
    """Give the page; all that people typed is escaped, and nothing is asked of the network."""
    plan, day = sheet.plan, sheet.plan.day
    found = {one.shot: one for one in windows(plan.fit)}
    rows = [(f"line-{number}", line) for number, line in enumerate(day_lines(plan))]
    script = page_script()
    fit, pictures = reaching(plan.fit), Pictures()
    lines = [_page_part(sheet, fit, found, line, row, pictures) for row, line in rows]
    drawn = [
        (
            "picture of the day",
            "the day in one picture",
            day_figure(fit, plan, shape=Shape.PHONE, is_bare=True),
        ),
        *(
            (one.subject, one.name, alone(day, paper(Shape.PHONE), one, is_bare=True))
            for one in sheet_pictures(sheet, paper(Shape.PHONE))
        ),
    ]
    put = [(subject, _picture(pictures, figure, label)) for subject, label, figure in drawn]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    html = page_template().render(
        # Only this very script may run, and no request may leave the page.
        policy=(
            f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; "
            "img-src data:; base-uri 'none'; form-action 'none'"
        ),
        style=own_markup(f"{own_text('sheets/page.css')}\n{pictures.style()}"),
        drawing_marks=own_markup(pictures.defs()),
        script=own_markup(script),
        title=plain(day.title),
        place=plain(day.place.name),
        date=f"{day.date:%A} {day.date.isoformat()}",
        whose=_whose_clock(day.place.timezone),
        zone=day.place.timezone,
        issued=issued(sheet),
        behind=behind_text(sheet.stamp),
        verdict=verdict(plan),
        lines=lines,
        is_dated=any(len(clock(day, line.start)) > len("00:00") for _, line in rows),
        spots=_groups(plan)[0],
        people=_groups(plan)[1],
        is_under_way=day.past is not None,
        is_average=plan.outlook is not None,
        marks=_marks(plan),
        left_out=[
            (plain(left.shot.id), plain(left.shot.description), left.why) for left in plan.left_out
        ],
        notes=sheet_notes(plan),
        pictures=put,
        cautions=CAUTIONS,
        facts=_facts_of_day(sheet, rows),
    )
    return html.encode()


def page_script() -> str:
    """Give the script of the page, with what the desk has a file for within it."""
    shared = re.sub(r"^export ", "", own_text("sheets/phone/present.js"), flags=re.MULTILINE)
    return f"{shared}\n{own_text('sheets/page.js')}"


def page_template() -> Template:
    """Give what the page is made from."""
    return template("sheets/page.html.j2")


def _whose_clock(zone: str) -> str:
    """Say whose clock the times are of: the city that gives its name to the zone."""
    area, _, city = zone.rpartition("/")
    return f"the zone {zone}" if area in ("", "Etc") else city.replace("_", " ")


def _groups(plan: Plan) -> tuple[list[str], list[str]]:
    """Give the spots and the people of the shots that are made, each once, as the day has them."""
    spots = dict.fromkeys(planned.shot.spot for planned in plan.shots)
    people = dict.fromkeys(name for planned in plan.shots for name in planned.shot.cast)
    return [plain(name) for name in spots], [plain(name) for name in people]


def _within(plan: Plan, planned: PlannedShot | None) -> str:
    if planned is None:
        return ""
    spots, people = _groups(plan)
    names = [f"spot-{spots.index(plain(planned.shot.spot))}"]
    return " ".join(names + [f"who-{people.index(plain(name))}" for name in planned.shot.cast])


def _page_part(
    sheet: Sheet,
    fit: DayFit,
    found: dict[str, ShotWindows],
    line: Line,
    row: str,
    pictures: Pictures,
) -> PagePart:
    plan, planned, day = sheet.plan, line.planned, sheet.plan.day
    shot, minutes = None, ""
    if line.kind is LineKind.SHOT and planned is not None:
        shot = _shot_part(sheet, fit, found[planned.shot.id], planned, pictures)
    elif line.kind in (LineKind.MOVE, LineKind.WAIT):
        minutes = f"{round((line.end - line.start) / timedelta(minutes=1))} min"
    return PagePart(
        row=row,
        start=clock(day, line.start),
        end="" if shot is None else clock(day, line.end),
        minutes=minutes,
        # What a wait is worth stands among the facts of its shot.
        text=brief(line) if minutes else plain(timed_text(line)),
        within=_within(plan, planned),
        shot=shot,
    )


def _shot_part(
    sheet: Sheet, fit: DayFit, found: ShotWindows, planned: PlannedShot, pictures: Pictures
) -> ShotPart:
    shot = planned.shot
    figure = shot_figure(fit, shot.id, sheet.plan, is_alone=False)
    return ShotPart(
        id=plain(shot.id),
        size=shot.size,
        spot=plain(shot.spot),
        figures=tuple(_figures(sheet.plan, planned)),
        state=state_of(sheet.plan, planned),
        cautions=shot_cautions(sheet.plan, planned),
        facts=tuple(plain(fact) for fact in _facts(sheet.plan, planned)),
        lit=tuple(plain(text) for text in light_texts(fit, found)),
        why=plain(planned.why),
        build=build_lines(sheet.plan, planned),
        picture=_picture(pictures, figure, f"the light of shot {plain(shot.id)} through the day"),
    )


def _picture(pictures: Pictures, figure: Figure, label: str) -> Markup:
    return own_markup(pictures.put(picture_bytes([figure], "svg"), label))


def _figures(plan: Plan, planned: PlannedShot) -> Iterator[str]:
    """Give what stands in the row of a shot: when it must start, and what it keeps."""
    is_coming = state_of(plan, planned) is State.COMING
    last = last_start_text(plan, planned)
    yield f"last start {last}" if is_coming else last
    prospect = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    if prospect is not None and prospect.begin_by is not None:
        yield f"begin by {clock(plan.day, prospect.begin_by)}"
    yield f"light {light_text(plan, planned)}"
    if prospect is not None:
        yield f"made {chance(prospect.made)}"


def _facts(plan: Plan, planned: PlannedShot) -> Iterator[str]:
    if state_of(plan, planned) is State.COMING:
        yield f"{build_text(plan, planned)} from {clock(plan.day, moved_at(planned))}"
    else:
        yield build_text(plan, planned)
    if planned.wait_for:
        yield f"wait {planned.wait_for}"
    yield from prospect_texts(plan, planned)
    yield f"sun {sun_text(plan.day, planned)}, {lens_text(planned)} of the lens"
    yield f"look {look_text(plan.day, planned)}"
    if planned.shot.cast:
        yield f"cast {', '.join(isolated(name) for name in planned.shot.cast)}"
    if planned.shot.rig:
        yield f"rig {isolated(planned.shot.rig)}"
    for title, text in planned.shot.kept:
        yield f"{isolated(title)}: {isolated(text)}"


def _marks(plan: Plan) -> str:
    """Say what the marks of a shot's picture mean, in words that are true on a dark page too."""
    made = "filled: a roll that is made, hatched upright: one that goes on; "
    return (
        "In the pictures of shots the area is the light at each minute, 0 to 100%, with 50% "
        "dashed; the bar under it: its sun is right; blue frame: the roll; "
        f"{'' if plan.day.past is None else made}hatched: the build before it; thick line: a "
        "company move; dotted: a wait; triangle: the last start"
        f"{'' if plan.outlook is None else f'; line with ends: {LIKELY_MARK}'}."
    )


def _facts_of_day(sheet: Sheet, rows: Sequence[tuple[str, Line]]) -> dict[str, object]:
    """Give what the script of the page goes by; all moments are instants."""
    plan, day = sheet.plan, sheet.plan.day
    steps = day_steps(plan, rows)
    local = day.hours.crew_call.astimezone(day.place.zone)
    return {
        "zone": day.place.timezone,
        # For a browser that does not know the zone.
        "offset_min": round((local.utcoffset() or timedelta()) / timedelta(minutes=1)),
        "date": day.date.isoformat(),
        "call": instant_ms(day.hours.crew_call),
        "wrap": instant_ms(day.hours.wrap),
        "replanned": None if day.past is None else instant_ms(day.past.at),
        "made": instant_ms(sheet.stamp.made_at),
        "steps": [step_record(step) for step in steps],
    }
