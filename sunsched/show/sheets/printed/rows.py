"""The order as a table on paper: a row a shot, and a line for a move, a wait or the meal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.light.fit import HALF
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import (
    LineKind,
    State,
    build_text,
    day_lines,
    last_start_text,
    lens_text,
    look_text,
    moved_at,
    state_of,
    sun_text,
)
from sunsched.show.cautions import shot_cautions
from sunsched.show.drawing.lettering import FAINT, POINT_IN, Words, width_in
from sunsched.show.paper_size import Paper
from sunsched.show.prospects import chance
from sunsched.show.sheets.printed.between import between_block
from sunsched.show.sheets.printed.block import (
    GAP_IN,
    Block,
    Letters,
    box,
    high_in,
    rule,
    together,
    wrapped,
    write_under,
)
from sunsched.show.sheets.printed.hand import HAND_EM, draw_hand

WHAT_LINES, KEPT_LINES = 5, 2  # the most that a row is given for each
NAME_LINES = 2  # cast that needs more stands under short names
MOST_EM = {"roll": 13.0, "shot": 8.0}  # of columns as wide as their texts, in sizes of the letters
BAR_EM = (2.9, 0.55)  # of the light that a shot keeps


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of the table: its head, where it starts and how wide it is, inches."""

    name: str
    head: tuple[str, ...]
    left_in: float
    wide_in: float


def table_columns(plan: Plan, setting: Paper, letters: Letters) -> list[Column]:
    """Share the page's width out: each column what it needs, the description what is left."""
    cells = [_side_cells(plan, planned, letters) for planned in plan.shots]
    is_average = plan.outlook is not None
    heads = {
        "roll": ("roll",),
        "shot": ("shot", "scene"),
        "what": ("what; size, lens, look, rig, spot; cast", "sun in mid-roll, from lens; build"),
        "light": ("made", "light") if is_average else ("light", "kept"),
        "last": ("last", "start"),
        "hand": ("rolled at,", "by hand"),
    }
    em_in = letters.text_pt * POINT_IN
    wide = {"light": BAR_EM[0] * em_in, "hand": HAND_EM * em_in}
    for name in ("roll", "shot", "light", "last"):
        words = [words for cell in cells for words in cell[name]]
        words += [letters.head(text) for text in heads[name]]
        needs = max(width_in(one.text, one.size_pt, bold=one.bold) for one in words)
        most = MOST_EM[name] * em_in if name in MOST_EM else needs
        wide[name] = max(wide.get(name, 0.0), min(needs, most))
    wide["what"] = setting.room_in - sum(wide.values()) - GAP_IN * (len(heads) - 1)
    columns, left = [], setting.margin_in
    for name, head in heads.items():
        columns.append(Column(name=name, head=head, left_in=left, wide_in=wide[name]))
        left += wide[name] + GAP_IN
    return columns


def heads_block(columns: Sequence[Column], setting: Paper, letters: Letters) -> Block:
    """Give the heads of the columns."""
    cells = [
        [one for text in column.head for one in wrapped(letters.head(text), column.wide_in)]
        for column in columns
    ]
    high = max(high_in(cell) for cell in cells) + letters.pad_in / 2

    def draw(figure: Figure, top: float) -> None:
        for column, cell in zip(columns, cells, strict=True):
            write_under(figure, column.left_in, top, cell)
        rule(figure, top + high, setting, 1.0)

    return Block(high_in=high, draw=draw)


def order_blocks(
    plan: Plan, columns: Sequence[Column], setting: Paper, letters: Letters
) -> Iterator[Block]:
    """Give the table in blocks: a move or a wait stays with the shot that it is for."""
    blocks: list[Block] = []
    for line in day_lines(plan):
        if line.kind is LineKind.SHOT and line.planned is not None:
            blocks.append(_shot_block(plan, line.planned, columns, setting, letters))
        else:
            blocks.append(between_block(plan, line, setting, letters))
        # Every day ends with the wrap, so nothing is left over.
        if line.kind in (LineKind.SHOT, LineKind.MEAL, LineKind.WRAP):
            yield together(blocks)
            blocks = []


def _shot_block(
    plan: Plan, planned: PlannedShot, columns: Sequence[Column], setting: Paper, letters: Letters
) -> Block:
    cells = _side_cells(plan, planned, letters)
    for column in columns:
        if column.name == "what":
            cells["what"] = _what_cell(plan, planned, column.wide_in, letters)
        elif column.name in MOST_EM:
            cells[column.name] = [
                line for words in cells[column.name] for line in wrapped(words, column.wide_in)
            ]
    bar_in = BAR_EM[1] * letters.text_pt * POINT_IN
    least = high_in(cells["light"]) + 2 * bar_in
    high = max(least, *(high_in(cell) for cell in cells.values())) + letters.pad_in

    def draw(figure: Figure, top: float) -> None:
        at = top + letters.pad_in / 2
        for column in columns:
            if column.name == "hand":
                is_made = state_of(plan, planned) is State.MADE
                draw_hand(figure, column.left_in, at, column.wide_in, letters, is_made=is_made)
                continue
            write_under(figure, column.left_in, at, cells[column.name])
            if column.name == "light":
                under = at + high_in(cells["light"]) + bar_in / 2
                wide = column.wide_in
                box(figure, column.left_in, under, wide, bar_in, fill="white", edge="0.3")
                share = wide * _light(plan, planned)
                box(figure, column.left_in, under, share, bar_in, fill="0.45", edge="none")
        rule(figure, top + high, setting, 0.5)

    return Block(high_in=high, draw=draw)


def _side_cells(plan: Plan, planned: PlannedShot, letters: Letters) -> dict[str, list[Words]]:
    """Give what stands beside the description, whose width follows from these."""
    shot, prospect = planned.shot, None
    if plan.outlook is not None:
        prospect = plan.outlook.of(shot.id)
    made = f"{planned.fit:.0%}" if prospect is None else chance(prospect.made)
    if prospect is None and plan.outlook is not None:
        made = ""  # it is made; the bar has its light
    start, end = clock(plan.day, planned.roll_start), clock(plan.day, planned.roll_end)
    cells = {
        "roll": [letters.bold(f"{start}–{end}"), letters.small(f"{shot.shoot_min} min")],
        "shot": [Words(text=shot.id, size_pt=letters.id_pt, bold=True)],
        "light": [
            Words(text=made, size_pt=letters.text_pt, bold=_light(plan, planned) < HALF),
        ],
        "last": [letters.bold(last_start_text(plan, planned))],
    }
    cells["roll"] += [letters.small(text) for text in decided_texts(plan, planned)]
    if shot.scene:
        cells["shot"].append(letters.small(shot.scene))
    return cells


def decided_texts(plan: Plan, planned: PlannedShot) -> list[str]:
    """Say till when a crew that is ready waits, and by when it begins, else the shot is left out.

    In the order of their times, as the one is of the roll and the other of the changeover.
    """
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    if found is None:
        return []
    moments: list[tuple[datetime, str]] = []
    if found.not_before is not None:
        moments.append((found.not_before, "not before"))
    if found.begin_by is not None:
        moments.append((found.begin_by, "begin by"))
    return [f"{what} {clock(plan.day, when)}" for when, what in sorted(moments)]


def _what_cell(plan: Plan, planned: PlannedShot, room_in: float, letters: Letters) -> list[Words]:
    """Give the description, what the shot takes, the sun that it meets, and what its list adds."""
    shot = planned.shot
    takes = [str(shot.size)]
    takes += [f"{shot.lens_mm:g} mm"] if shot.lens_mm else []
    takes += [f"look {look_text(plan.day, planned)}"]
    takes += [f"rig {shot.rig}"] if shot.rig else []
    takes += [shot.spot]
    short = short_names([one.name for one in plan.day.cast])
    needs = [
        wrapped(
            letters.small("; ".join(filter(None, (", ".join(takes), ", ".join(cast))))), room_in
        )
        for cast in (shot.cast, [short.get(name, name) for name in shot.cast])
    ]
    sun = f"sun {sun_text(plan.day, planned)}, {lens_text(planned)}"
    meets = f"{sun}; {_built_text(plan, planned)}"
    cautions = "; ".join(shot_cautions(plan, planned))
    kept = "; ".join(f"{title}: {text}" for title, text in shot.kept)
    return [
        *wrapped(letters.normal(shot.description), room_in, WHAT_LINES),
        *(needs[0] if len(needs[0]) <= NAME_LINES else needs[1]),
        *wrapped(letters.small(meets), room_in),
        # No caution is ever cut.
        *(wrapped(letters.small(f"caution: {cautions}"), room_in) if cautions else []),
        *wrapped(letters.small(kept, color=FAINT), room_in, KEPT_LINES),
    ]


def short_names(names: Sequence[str]) -> dict[str, str]:
    """Give each name as short as no two are alike: `Ana`, `Ana S.`, `Ana Soler`, or whole."""
    forms: tuple[Callable[[list[str]], str], ...] = (
        lambda words: words[0],
        lambda words: f"{words[0]} {words[-1][0]}.",
        lambda words: f"{words[0]} {words[-1]}",
        " ".join,
    )
    short: dict[str, str] = {}
    for form in forms:
        told = {name: form(name.split()) for name in names}
        alike = Counter(text.casefold() for text in told.values())
        for name, text in told.items():
            if alike[text.casefold()] == 1 and len(text) <= len(name):
                short.setdefault(name, text)
    return {name: short.get(name, name) for name in names}


def _built_text(plan: Plan, planned: PlannedShot) -> str:
    """Say what is built, from when on."""
    build = build_text(plan, planned)
    coming = state_of(plan, planned) is State.COMING
    begun = moved_at(planned) if coming else planned.changeover_start
    return f"{build} from {clock(plan.day, begun)}"


def _light(plan: Plan, planned: PlannedShot) -> float:
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    return planned.fit if found is None else found.light
