"""One row of the log, or the words of an event about to be noted, turned into an `Event`."""

from __future__ import annotations

from functools import partial

from sunsched.day.model import Shot
from sunsched.folder.log.course import State
from sunsched.folder.log.event import BY_PLAN, Event, Kind
from sunsched.folder.log.moments import AT_EXPECTED, Desk, check_span, moment, read_span
from sunsched.folder.log.shot import read_added, shot_cells
from sunsched.folder.settings.facts import find
from sunsched.folder.shot_list.columns import COLUMNS as SHOT_COLUMNS
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings
from sunsched.folder.text.minutes import minutes as read_minutes
from sunsched.folder.text.words import WordError

COLUMNS = ("number", "at", "event", "subject", "value", "from", "until", *SHOT_COLUMNS)
EVERY = frozenset({"number", "at", "event"})
MAX_LOST_MIN = 720

SHOT_KINDS = frozenset({Kind.ROLLED, Kind.DONE, Kind.CUT, Kind.MORE})
PLANNED_KINDS = frozenset({Kind.ROLLED, Kind.DONE, Kind.MEAL})
CAST_KINDS = frozenset({Kind.GONE, Kind.HERE})
SPOT_KINDS = frozenset({Kind.CLOSED, Kind.OPEN})

# The cells that each kind has beside its number, time and word.
USES: dict[Kind, frozenset[str]] = {
    **dict.fromkeys((Kind.ROLLED, Kind.DONE), frozenset({"subject", "value"})),
    Kind.CUT: frozenset({"subject"}),
    Kind.MORE: frozenset({"subject", "value"}),
    Kind.LATE: frozenset({"value"}),
    **dict.fromkeys(CAST_KINDS | SPOT_KINDS, frozenset({"subject", "from"})),
    Kind.CLOUD: frozenset({"value", "from", "until"}),
    Kind.MEAL: frozenset({"value"}),
    Kind.ADD: frozenset(SHOT_COLUMNS),
    Kind.NOTE: frozenset({"subject"}),
    Kind.UNDO: frozenset({"value"}),
}
COVER_EXPECTED = "a number from 0 to 1, or per cent such as 80%"
NOTE_EXPECTED = f"a line of at most {words.MAX_DESCRIPTION} characters"


def read_event(row: Row, desk: Desk, state: State, number: int, findings: Findings) -> Event | None:
    """Read one event; None, with every fault of the row noted, when it cannot be read.

    Parameters
    ----------
    row : its cells as text
    desk : what reading needs
    state : how far the day has come, for the shots that there are
    number : the event's place in the log
    findings : where faults and warnings are noted
    """
    before = len(findings.faults)
    cells = Cells(row=row, findings=findings)
    kind = cells.need("event", _kind, None, words.listed(Kind))
    at = cells.need("at", partial(moment, desk, row.at("at"), findings), None, AT_EXPECTED)
    check_span(desk, row, "at", at, findings)
    if kind is None:
        return None
    for column, text in row.cells.items():
        if column not in EVERY | USES[kind]:
            hint = words.did_you_mean(column, USES[kind])
            findings.fault(row.at(column), f"not used by `{kind}`", text, hint=hint)
    subject, shot = _read_subject(cells, kind, desk, state)
    minutes = None
    if kind in (Kind.MORE, Kind.LATE):
        expected = words.a_whole_number(1, MAX_LOST_MIN)
        minutes = cells.need(
            "value", partial(read_minutes, low=1, high=MAX_LOST_MIN), None, expected
        )
    cover = undone = None
    if kind is Kind.CLOUD:
        cover = cells.need("value", _cover, None, COVER_EXPECTED)
    elif kind is Kind.UNDO:
        last = None if state.last is None else state.last.number
        undone = cells.get("value", partial(words.whole, low=1, high=number), last)
    by_plan = kind in PLANNED_KINDS and bool(cells.get("value", _by_plan, ""))
    since, until = read_span(cells, desk, at)
    if at is None or since is None or len(findings.faults) > before:
        return None
    return Event(
        number=number,
        at=at,
        kind=kind,
        since=since,
        subject=subject,
        minutes=minutes,
        cover=cover,
        until=until,
        undone=undone,
        shot=shot,
        cells=shot_cells(row) if kind is Kind.ADD else (),
        by_plan=by_plan,
    )


def _kind(text: str) -> Kind:
    found = {kind.value: kind for kind in Kind}.get(words.key_of(text))
    if found is None:
        hint = words.did_you_mean(text, Kind)
        raise WordError("not an event", expected=words.listed(Kind), hint=hint)
    return found


def _by_plan(text: str) -> str:
    if words.key_of(text) != BY_PLAN:
        raise WordError("not how an event is known", expected=f"`{BY_PLAN}`, or nothing")
    return BY_PLAN


def _cover(text: str) -> float:
    plain = words.clean(text)
    whole = plain.removesuffix("%").rstrip()
    try:
        # Nobody writes 2 for twice the sky: it is a share up to 1, and per cent above.
        if plain.endswith("%") or (whole.isdecimal() and whole.strip("0") not in ("", "1")):
            return words.number(whole, 0, 100) / 100
        return words.number(plain, 0, 1)
    except WordError as error:
        raise WordError(error.problem, expected=COVER_EXPECTED, hint=error.hint) from None


def _read_subject(cells: Cells, kind: Kind, desk: Desk, state: State) -> tuple[str, Shot | None]:
    """Give the known shot, cast member or spot that the event is about, and the shot it adds."""
    if kind in SHOT_KINDS:
        ids = sorted(state.shots, key=words.natural_key)
        return _known(cells, ids, "shot", words.choice(ids, "shot")), None
    if kind in CAST_KINDS:
        names = [member.name for member in desk.day.cast]
        return _known(cells, names, "name", words.choice(names, "cast")), None
    if kind in SPOT_KINDS:
        names = [spot.name for spot in desk.day.spots]
        return _known(cells, names, "spot", words.choice(names, "spot")), None
    if kind is Kind.NOTE:
        text = partial(words.line_of_text, limit=words.MAX_DESCRIPTION)
        return cells.need("subject", text, "", NOTE_EXPECTED), None
    if kind is Kind.ADD:
        shot = read_added(cells, desk.facts, state.shots)
        return ("", None) if shot is None else (shot.id, shot)
    return "", None


def _known(cells: Cells, names: list[str], what: str, expected: str) -> str:
    cells.note_blank("subject", expected)
    text = cells.row.cells.get("subject")
    if text is None:
        return ""
    same = {name.casefold(): name for name in names}.get(words.plain_hyphens(text).casefold())
    found = same if what == "shot" else find(text, names)
    if found is None:
        cells.findings.fault(
            cells.row.at("subject"),
            f"no such {what}",
            text,
            expected=expected,
            hint=words.did_you_mean(text, names),
        )
    return found or ""
