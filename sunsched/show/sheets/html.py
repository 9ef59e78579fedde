"""The order as one page of HTML that needs nothing else: it opens offline on a phone."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from jinja2 import Template
from markupsafe import Markup, escape

from sunsched.day.clock import clock
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
from sunsched.show.charts.day import day_figure
from sunsched.show.charts.shot import shot_figure
from sunsched.show.charts.shot_words import light_texts
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.layout import plain
from sunsched.show.notes import sheet_notes
from sunsched.show.paper_size import Shape
from sunsched.show.proof import verdict
from sunsched.show.prospects import LIKELY_MARK, light_text, prospect_texts
from sunsched.show.sheets.template import own_markup, own_text, template
from sunsched.show.stamp import behind_text

_TAG = re.compile(r"<[^<>]*>")
_NAME = re.compile(r'(\bid="|url\(#|href="#)')
_HEAD = re.compile(r"^.*?<svg\b[^>]*?(?P<box>viewBox=\"[^\"]*\")[^>]*>", re.DOTALL)
_NOISE = re.compile(r"<!--.*?-->|<metadata>.*?</metadata>|(?<=>)\s+(?=<)", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotPart:
    """What the page says of one shot."""

    id: str
    size: str
    spot: str
    light: str
    last: str
    state: State
    facts: tuple[str, ...]
    lit: tuple[str, ...]
    why: str
    picture: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePart:
    """One part of the page's table; `row` is its name in the page, only shots have an end."""

    row: str
    start: str
    end: str
    text: str
    shot: ShotPart | None


def page_bytes(sheet: Sheet) -> bytes:
    """Give the page; all that people typed is escaped, and nothing is asked of the network."""
    plan, day = sheet.plan, sheet.plan.day
    end = day_lines(plan)[-1].end
    found = {one.shot: one for one in windows(sheet.plan.fit)}
    script = own_text("sheets/page.js")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    html = page_template().render(
        # Only this very script may run, and no request may leave the page.
        policy=(
            f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; "
            "img-src data:; base-uri 'none'; form-action 'none'"
        ),
        style=own_markup(own_text("sheets/page.css")),
        script=own_markup(script),
        title=plain(day.title),
        place=plain(day.place.name),
        date=f"{day.date:%A} {day.date.isoformat()}",
        zone=day.place.timezone,
        issued=issued(sheet),
        behind=behind_text(sheet.stamp),
        verdict=verdict(plan),
        lines=[_page_part(sheet, found, line, row) for row, line in _rows(plan)],
        is_dated=any(len(clock(day, line.start)) > len("00:00") for line in day_lines(plan)),
        is_under_way=day.past is not None,
        is_average=plan.outlook is not None,
        marks=_marks(plan),
        left_out=[
            (plain(left.shot.id), plain(left.shot.description), left.why) for left in plan.left_out
        ],
        notes=sheet_notes(plan),
        picture=inline_svg(
            picture_bytes([day_figure(sheet.plan.fit, plan, shape=Shape.PHONE)], "svg"),
            "day",
            "the day in one picture",
        ),
        cautions=CAUTIONS,
        moments={
            "zone": day.place.timezone,
            "offset_min": _offset_min(plan),
            "moments": _moments(plan),
            "end": _instant_ms(end),
            "before": _before(plan),
            "after": f"over: wrap was {_long(plan, end)}",
        },
    )
    return html.encode()


def page_template() -> Template:
    """Give what the page is made from."""
    return template("sheets/page.html.j2")


def inline_svg(svg: bytes, prefix: str, label: str) -> Markup:
    """Give a picture as an element of a page, its names made its own by a prefix.

    Without that, the clips and marks of one picture would be taken for those of another.
    """
    text = _NOISE.sub("", svg.decode())
    text = _TAG.sub(lambda tag: _NAME.sub(rf"\g<1>{prefix}-", tag[0]), text)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(label)}" '
    text = _HEAD.sub(lambda found: f"{head}{found['box']}>", text, count=1)
    return own_markup(text.strip())


def _rows(plan: Plan) -> Iterator[tuple[str, Line]]:
    """Give the lines of the day with the name that each has in the page."""
    for number, line in enumerate(day_lines(plan)):
        yield f"line-{number}", line


def _page_part(sheet: Sheet, found: dict[str, ShotWindows], line: Line, row: str) -> PagePart:
    day = sheet.plan.day
    start, end = clock(day, line.start), clock(day, line.end)
    if line.kind is LineKind.SHOT and line.planned is not None:
        shot = _shot_part(sheet, found[line.planned.shot.id], line.planned, row)
        return PagePart(row=row, start=start, end=end, text=plain(line.text), shot=shot)
    return PagePart(row=row, start=start, end="", text=plain(timed_text(line)), shot=None)


def _shot_part(sheet: Sheet, found: ShotWindows, planned: PlannedShot, row: str) -> ShotPart:
    shot = planned.shot
    figure = shot_figure(sheet.plan.fit, shot.id, sheet.plan, is_alone=False)
    picture = picture_bytes([figure], "svg")
    return ShotPart(
        id=plain(shot.id),
        size=shot.size,
        spot=plain(shot.spot),
        light=light_text(sheet.plan, planned),
        last=last_start_text(sheet.plan, planned),
        state=state_of(sheet.plan, planned),
        facts=tuple(plain(fact) for fact in _facts(sheet.plan, planned)),
        lit=tuple(plain(text) for text in light_texts(sheet.plan.fit, found)),
        why=plain(planned.why),
        picture=inline_svg(picture, row, f"the light of shot {plain(shot.id)} through the day"),
    )


def _facts(plan: Plan, planned: PlannedShot) -> Iterator[str]:
    if state_of(plan, planned) is State.COMING:
        yield f"{build_text(plan, planned)} from {clock(plan.day, moved_at(planned))}"
    else:
        yield build_text(plan, planned)
    yield from prospect_texts(plan, planned)
    yield f"sun {sun_text(plan.day, planned)}, {lens_text(planned)} of the lens"
    yield f"look {look_text(plan.day, planned)}"
    if planned.shot.cast:
        yield f"cast {', '.join(planned.shot.cast)}"
    if planned.shot.rig:
        yield f"rig {planned.shot.rig}"
    for title, text in planned.shot.kept:
        yield f"{title}: {text}"


def _marks(plan: Plan) -> str:
    """Say what the marks of a shot's picture mean."""
    made = "filled: a roll that is made, hatched upright: one that goes on; "
    return (
        "In the pictures, grey is the light at each minute, 0 to 100%, with 50% dashed; the dark "
        "bar under it: its sun is right; blue frame: the roll; "
        f"{'' if plan.day.past is None else made}hatched: the build before it; black: a company "
        "move; dotted: a wait; triangle: the last start"
        f"{'' if plan.outlook is None else f'; line with ends: {LIKELY_MARK}'}."
    )


def _before(plan: Plan) -> str:
    """Say what the page shows at a time before its first moment."""
    if plan.day.past is not None:
        return f"this plan is of a later moment: {_long(plan, plan.day.past.at)}"
    return f"not begun: crew call is {_long(plan, plan.day.hours.crew_call)}"


def _moments(plan: Plan) -> list[dict[str, object]]:
    """Give what is going on, from crew call on, as the script reads it.

    Each moment lasts until the next one. All that is done for a shot belongs to the shot's row. On
    a day under way they begin with the moment of the plan: what is over is told as made.
    """
    day, rows = plan.day, list(_rows(plan))
    own = {
        line.planned.shot.id: row
        for row, line in rows
        if line.planned is not None and line.kind is LineKind.SHOT
    }
    found: list[tuple[datetime, str, str]] = []
    for row, line in rows:
        planned = line.planned
        # A second meal is eaten as the work goes on, so it is never what is going on.
        if line.kind in (LineKind.NOW, LineKind.SECOND_MEAL) or (
            planned and state_of(plan, planned) is State.MADE
        ):
            continue
        if planned is None:
            until = "" if line.kind is LineKind.WRAP else f" until {clock(day, line.end)}"
            found.append((line.start, row, f"{line.text}{until}"))
            continue
        name = f"{planned.shot.id} {planned.shot.size}"
        rolls = f"rolls {clock(day, planned.roll_start)}"
        if line.kind is LineKind.MOVE:
            found.append((line.start, own[planned.shot.id], f"{line.text} for {name}, {rolls}"))
        elif line.kind is LineKind.WAIT:
            found.append((line.start, own[planned.shot.id], f"{line.text}, {rolls}"))
        else:
            if planned.build_min + planned.turnaround_min:
                found.append((moved_at(planned), row, f"building {name}, {rolls}"))
            found.append((line.start, row, f"{name} rolls until {clock(day, line.end)}"))
    found.sort(key=lambda moment: moment[0])
    at = day.hours.crew_call if day.past is None else day.past.at
    over = sum(start <= at for start, _, _ in found)
    return [
        {"from": _instant_ms(max(at, start)), "row": row, "says": plain(says)}
        for start, row, says in found[max(0, over - 1) :]
    ]


def _instant_ms(when: datetime) -> int:
    return round(when.timestamp() * 1000)


def _offset_min(plan: Plan) -> int:
    """Give the minutes that the place's clock is ahead of UTC at the call."""
    local = plan.day.hours.crew_call.astimezone(plan.day.place.zone)
    return round((local.utcoffset() or timedelta()) / timedelta(minutes=1))


def _long(plan: Plan, when: datetime) -> str:
    return f"{when.astimezone(plan.day.place.zone):%A %Y-%m-%d %H:%M}"
