"""The order as a table on paper: two lines a shot, one for a move, a wait or the meal."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.light.fit import HALF
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import (
    Line,
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
from sunsched.show.drawing.figure import write
from sunsched.show.drawing.lettering import FAINT, Words, cut, width_in, wrap
from sunsched.show.paper_size import Paper
from sunsched.show.prospects import chance
from sunsched.show.sheets.pdf_line import (
    GAP_IN,
    SMALL_PT,
    TEXT_PT,
    Spacing,
    between_in,
    bold,
    draw_between,
    draw_kept,
    kept_in,
    normal,
    rule,
)

HEADS_IN = 0.28  # height of the columns' heads
LEAST_WHAT_IN = 1.5  # the description's; columns of names are cut for it, at most to these
NAMES_IN = {"size,": 0.55, "cast": 0.3}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of the table: its head, where it starts and how wide it is, inches."""

    head: tuple[str, str]
    left_in: float
    wide_in: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What stays together on a page: its height, and how it is drawn from a height down."""

    high_in: float
    draw: Callable[[Figure, float], None]
    in_table: bool


def table_columns(plan: Plan, setting: Paper, *, wait_lines: bool) -> list[Column]:
    """Share the page's width out: each column what it needs, the description what is left."""
    shots = plan.shots

    def needs(texts: Sequence[str], size_pt: float, most_in: float, *, bold: bool = False) -> float:
        widest = max((width_in(text, size_pt, bold=bold) for text in texts), default=0.0)
        return min(most_in, widest)

    rolls = needs([_roll_text(plan, planned) for planned in shots], TEXT_PT, 1.3, bold=True)
    rolls = max(rolls, needs([_minutes_text(plan, planned) for planned in shots], SMALL_PT, 1.5))
    built = [_build_lines(plan, planned, wait_lines) for planned in shots]
    builds = needs([text for lines in built for text in lines], SMALL_PT, 1.3)
    names_of_cast = [name for planned in shots for name in planned.shot.cast]
    least_in = NAMES_IN | {
        "cast": max(NAMES_IN["cast"], needs([f"{one}," for one in names_of_cast], SMALL_PT, 0.45)),
        "changeover,": max(0.75, needs([line for line, _ in built], SMALL_PT, 1.3)),
    }
    names = needs([planned.shot.id for planned in shots], TEXT_PT + 1, 0.7, bold=True)
    places = needs([p.shot.spot for p in shots] + [p.shot.size for p in shots], TEXT_PT, 0.9)
    most = 1.2 if plan.day.declination_deg is None else 1.6  # room for both kinds of bearings
    suns = needs([sun_text(plan.day, planned) for planned in shots], SMALL_PT, most)
    suns = max(suns, needs([_lens_line(plan.day, planned) for planned in shots], SMALL_PT, most))
    casts = needs([", ".join(planned.shot.cast) for planned in shots], SMALL_PT, 0.95)
    lasts = needs([last_start_text(plan, p) for p in shots], TEXT_PT, 0.7, bold=True)
    lasts = max(lasts, needs([_begin_text(plan, p) for p in shots], SMALL_PT, 0.9))
    is_average = plan.outlook is not None
    lasts = max(lasts, width_in("start, begin", SMALL_PT) if is_average else 0.0)
    wide: list[tuple[tuple[str, str], float]] = [
        (("roll", ""), rolls),
        (("changeover,", "rig"), max(builds, 0.75)),
        (("shot", ""), max(names, 0.3)),
        (("what", ""), 0.0),
        (("size,", "spot"), max(places, 0.4)),
        (("sun in mid-roll,", "from lens; look"), max(suns, 0.95)),
        (("cast", ""), max(casts, 0.3)),
        (("made;", "light") if is_average else ("light", "kept"), 0.4),
        (("last", "start, begin") if is_average else ("last", "start"), max(lasts, 0.35)),
    ]
    rest = setting.room_in - sum(width for _, width in wide) - GAP_IN * (len(wide) - 1)
    if rest < LEAST_WHAT_IN:
        # Names that are cut still tell who and where; a description of two letters tells nothing.
        spare = {
            head: max(0.0, width - least_in[head[0]]) for head, width in wide if head[0] in least_in
        }
        share = min(1.0, (LEAST_WHAT_IN - rest) / max(0.01, sum(spare.values())))
        wide = [(head, width - share * spare.get(head, 0.0)) for head, width in wide]
        rest += share * sum(spare.values())
    columns, left = [], setting.margin_in
    for head, width in wide:
        width = rest if head[0] == "what" else width
        columns.append(Column(head=head, left_in=left, wide_in=width))
        left += width + GAP_IN
    return columns


def write_heads(figure: Figure, top: float, columns: Sequence[Column], setting: Paper) -> float:
    """Write the heads of the columns; gives where the first row starts."""
    for column in columns:
        for number, text in enumerate(column.head):
            words = Words(text=cut(text, column.wide_in, SMALL_PT), size_pt=SMALL_PT, color=FAINT)
            write(figure, column.left_in, top + 0.06 + 0.125 * number, words)
    top += HEADS_IN
    rule(figure, top, setting, 1.0)
    return top


def table_blocks(plan: Plan, setting: Paper, spacing: Spacing) -> Iterator[Block]:
    """Give the table in blocks: a move or a wait stays with the shot that it is for."""
    columns = table_columns(plan, setting, wait_lines=spacing.wait_lines)
    lines: list[Line] = []
    for line in day_lines(plan):
        if line.kind is not LineKind.WAIT or spacing.wait_lines or not _is_told(line):
            lines.append(line)
        # Every day ends with the wrap, so nothing is left over.
        if line.kind in (LineKind.SHOT, LineKind.MEAL, LineKind.WRAP):
            yield _block(plan, columns, setting, spacing, tuple(lines))
            lines = []


def _block(
    plan: Plan,
    columns: Sequence[Column],
    setting: Paper,
    spacing: Spacing,
    lines: tuple[Line, ...],
) -> Block:
    # What a list says besides stands under the description, and may run under all to its right.
    left = columns[3].left_in
    room = setting.width_in - setting.margin_in - left

    def draw(figure: Figure, top: float) -> None:
        for line in lines:
            if line.kind is LineKind.SHOT and line.planned is not None:
                build = _build_lines(plan, line.planned, spacing.wait_lines)
                _draw_shot(figure, top, spacing.shot_in, plan, line.planned, columns, build)
                below = top + spacing.shot_in
                draw_kept(figure, left, below, plan, line.planned, room, spacing)
            else:
                draw_between(figure, top, spacing, plan, line, setting)
            top += high_of(line)
            rule(figure, top, setting, 0.5)

    def high_of(line: Line) -> float:
        if line.kind is LineKind.SHOT and line.planned is not None:
            return spacing.shot_in + kept_in(plan, line.planned, room, spacing)
        return between_in(plan, line, setting, spacing)

    return Block(high_in=sum(high_of(line) for line in lines), draw=draw, in_table=True)


def _draw_shot(
    figure: Figure,
    top: float,
    high: float,
    plan: Plan,
    planned: PlannedShot,
    columns: Sequence[Column],
    build: tuple[str, str],
) -> None:
    shot = planned.shot
    what = wrap(shot.description, columns[3].wide_in, TEXT_PT, lines=2)
    cast = wrap(", ".join(shot.cast), columns[6].wide_in, SMALL_PT, lines=2)
    prospect = None if plan.outlook is None else plan.outlook.of(shot.id)
    light = planned.fit if prospect is None else prospect.light
    made = f"{planned.fit:.0%}" if prospect is None else chance(prospect.made)
    if prospect is None and plan.outlook is not None:
        made = ""  # it is made; the bar has its light
    poor = light < HALF
    cells: list[tuple[Words, Words]] = [
        (bold(_roll_text(plan, planned)), _small(_minutes_text(plan, planned))),
        (_small(build[0]), _small(build[1])),
        (Words(text=shot.id, size_pt=TEXT_PT + 1, bold=True), _small("")),
        (normal(_nth(what, 0)), normal(_nth(what, 1))),
        (normal(shot.size), normal(shot.spot)),
        (_small(sun_text(plan.day, planned)), _small(_lens_line(plan.day, planned))),
        (_small(_nth(cast, 0)), _small(_nth(cast, 1))),
        (Words(text=made, size_pt=TEXT_PT, bold=poor), _small("")),
        (bold(last_start_text(plan, planned)), _small(_begin_text(plan, planned))),
    ]
    for column, pair in zip(columns, cells, strict=True):
        for number, words in enumerate(pair):
            text = cut(words.text, column.wide_in, words.size_pt, bold=words.bold)
            fitted = Words(text=text, size_pt=words.size_pt, bold=words.bold, color=words.color)
            write(figure, column.left_in, top + high * (0.29 + 0.42 * number), fitted)
    _draw_bar(figure, columns[7], top + high * 0.71, light)


def _draw_bar(figure: Figure, column: Column, middle: float, share: float) -> None:
    """Draw the light that a shot keeps as the filled part of a bar."""
    bottom = figure.get_figheight() - middle - 0.03
    wide = column.wide_in - 0.04
    for width, fill in ((wide, "white"), (wide * share, "0.45")):
        bar = Rectangle(
            (column.left_in, bottom),
            width,
            0.06,
            facecolor=fill,
            edgecolor="0.3",
            linewidth=0.4,
            transform=figure.dpi_scale_trans,
        )
        figure.add_artist(bar)


def _roll_text(plan: Plan, planned: PlannedShot) -> str:
    return f"{clock(plan.day, planned.roll_start)}–{clock(plan.day, planned.roll_end)}"


def _minutes_text(plan: Plan, planned: PlannedShot) -> str:
    """Give the roll's minutes, and till when a crew that is ready waits."""
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    minutes = f"{planned.shot.shoot_min} min"
    if found is None or found.not_before is None:
        return minutes
    return f"{minutes}, not before {clock(plan.day, found.not_before)}"


def _begin_text(plan: Plan, planned: PlannedShot) -> str:
    """Give by when the changeover begins, else the shot is left out; empty for no such moment."""
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    if found is None or found.begin_by is None:
        return ""
    return f"by {clock(plan.day, found.begin_by)}"


def _build_lines(plan: Plan, planned: PlannedShot, wait_lines: bool) -> tuple[str, str]:
    """Say what is built from when on, and the rig; a turnaround is in the rig of the row above."""
    if state_of(plan, planned) is not State.COMING:
        what, _, took = build_text(plan, planned).partition(" took ")
        begun = clock(plan.day, planned.changeover_start)
        return f"{begun} {what}", f"took {took}"
    begun = clock(plan.day, moved_at(planned))
    build, _, turn = build_text(plan, planned).partition(", ")
    built = planned.built_wait_min
    wait = f"wait {built} min" if built and not wait_lines else ""
    # The rig stands last, where a text too long is cut.
    return f"{begun} {build}", ", ".join(text for text in (wait, turn or planned.shot.rig) if text)


def _is_told(line: Line) -> bool:
    """Tell whether a wait is that of a shot's own changeover, not one for a spot or the meal."""
    return line.planned is not None and line.end == line.planned.roll_start


def _lens_line(day: Day, planned: PlannedShot) -> str:
    return f"{lens_text(planned)}; look {look_text(day, planned)}"


def _small(text: str) -> Words:
    return Words(text=text, size_pt=SMALL_PT)


def _nth(lines: Sequence[str], number: int) -> str:
    return lines[number] if number < len(lines) else ""
