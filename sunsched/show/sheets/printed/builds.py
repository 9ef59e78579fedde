"""What who builds needs, on pages of its own: a row a shot, under it what its frames are to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.kit.camera import Camera
from sunsched.day.kit.weather import Weather
from sunsched.day.model import Day
from sunsched.folder.tables.cloths import read_cloths
from sunsched.plan.plan import Plan
from sunsched.show.agenda import State, state_of
from sunsched.show.drawing.lettering import width_in
from sunsched.show.gaffer.caution_lines import day_cautions
from sunsched.show.gaffer.light_lines import camera_text
from sunsched.show.gaffer.lines import Line
from sunsched.show.gaffer.page import NOTE, GafferPage, setup_text, shot_page
from sunsched.show.paper_size import Paper
from sunsched.show.sheets.printed.block import (
    GAP_IN,
    Block,
    Letters,
    blank,
    high_in,
    paragraph,
    rule,
    together,
    wrapped,
    write_under,
)

HEADS = {
    "shot": ("shot", "roll"),
    "sun": ("sun from lens", "height"),
    "shadow": ("shadow", "of a person"),
    "frame": ("sun to", "the frame"),
    "sky": ("sun out", "sun in"),
    "ground": ("on the", "ground"),
    "lit": ("face to", "the sun"),
    "lens": ("face to", "the lens"),
    "contrast": ("lit over", "shadow side"),
    "colour": ("colour", "of"),
}
TITLE = "For who builds"
SIZES_PT = (7.0, 7.5, 8.0, 8.5, 9.0, 9.5, 10.0)
READ_PT = 8.0  # smaller ones only where the columns need it
# What stands in the row of a shot, by the names of its lines; all others stand under it.
CELLS = {"sun": "stands", "shadow": "shadow", "frame": "frame"}
LIGHT_CELLS = {"contrast": "contrast", "colour": "colour"}
LEVELS = ("ground", "lit", "lens")
# Light with the sun out and with the sun in; in the shade and at dusk there are other names.
OUT = ("clear, sun out", "clear, in the shade", "at the start")
IN = ("clouds, sun in", "at the end", "clouds")
SHADE_NAMES = {"clear, in the shade": "clear", "clouds": "clouds"}
DUSK_NAMES = {"at the start": "start", "at the end": "end"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A shot: two lines in each column, and what is told under them."""

    cells: Mapping[str, Sequence[str]]
    under: Sequence[str]
    cautions: Sequence[str] = ()


def build_rows(plan: Plan) -> list[Row]:
    """Give a row for each shot to come, where the day says what it is lit and shot with."""
    day = plan.day
    if not day.frames and day.camera == Camera() and day.weather == Weather():
        return []
    cloths = read_cloths(None)
    coming = (one for one in plan.shots if state_of(plan, one) is State.COMING)
    return [_row(day, shot_page(plan, one, cloths)) for one in coming]


def fitting_letters(rows: Sequence[Row], setting: Paper) -> list[Letters]:
    """Give the letters in which the columns fit the page, largest first; never none."""
    sizes = [Letters(text_pt=pt) for pt in reversed(SIZES_PT)]
    fits = [one for one in sizes if sum(_widths(rows, one).values()) <= _room_in(setting)]
    read = [one for one in fits if one.text_pt >= READ_PT]
    return read or fits[:1] or sizes[-1:]


def title_block(setting: Paper, letters: Letters) -> Block:
    """Give the title over the first heads."""
    return together([*paragraph(letters.bold(TITLE), setting), blank(letters.pad_in)])


def builds_blocks(rows: Sequence[Row], setting: Paper, letters: Letters) -> Iterator[Block]:
    """Give the heads of the table, then a block for each shot."""
    widths = _widths(rows, letters)
    # What is left goes between the columns.
    apart = GAP_IN + (_room_in(setting) - sum(widths.values())) / (len(HEADS) - 1)
    lefts, left = {}, setting.margin_in
    for name, wide in widths.items():
        lefts[name] = left
        left += wide + apart
    heads = Row(cells=HEADS, under=())
    yield _block(heads, lefts, setting, letters, is_head=True)
    for row in rows:
        yield _block(row, lefts, setting, letters)


def foot_blocks(day: Day, rows: Sequence[Row], setting: Paper, letters: Letters) -> Iterator[Block]:
    """Give how the figures are meant, and each caution with its shots."""
    shots: dict[str, list[str]] = {}
    for row in rows:
        for text in row.cautions:
            shots.setdefault(text, []).append(row.cells["shot"][0])
    texts = [
        f"sun out: a clear sky; sun in: clouds before the sun; {camera_text(day)}",
        NOTE,
        *(f"{', '.join(ids)}: {text}" for text, ids in shots.items()),
        *(f"{line.name}: {line.text}" for line in day_cautions(day)),
    ]
    yield blank(letters.pad_in * 2)
    for text in texts:
        yield together([*paragraph(letters.normal(text), setting)])


def _room_in(setting: Paper) -> float:
    return setting.room_in - GAP_IN * (len(HEADS) - 1)


def _row(day: Day, page: GafferPage) -> Row:
    setup = page.setup
    lines = {
        section.title: {line.name: line for line in section.lines} for section in page.sections
    }
    sun, light = lines["sun"], lines["light"]
    cells: dict[str, Sequence[str]] = {
        "shot": (setup.title, f"{clock(day, setup.start)}–{clock(day, setup.end)}"),
    }
    cells |= {name: _brief(sun, line) for name, line in CELLS.items()}
    shown = [next((light[name] for name in names if name in light), None) for names in (OUT, IN)]
    names = SHADE_NAMES | DUSK_NAMES
    told = [line for line in shown if line is not None]
    cells["sky"] = [names.get(line.name, line.name.rpartition(", ")[2]) for line in told]
    for place, column in enumerate(LEVELS):
        cells[column] = [line.brief[place] if place < len(line.brief) else "" for line in told]
    cells |= {name: _brief(light, line) for name, line in LIGHT_CELLS.items()}
    cautions = [line.text for line in lines.get("cautions", {}).values()]
    return Row(cells=cells, under=[setup_text(day, setup), *_under(page)], cautions=cautions)


def _brief(lines: Mapping[str, Line], name: str) -> Sequence[str]:
    return lines[name].brief if name in lines else ()


def _under(page: GafferPage) -> Iterator[str]:
    """Give what is told under a row: of the sun, of each frame, of the match."""
    for section in page.sections:
        told: dict[str, list[str]] = {}
        for line in section.lines:
            in_row = section.title == "sun" and line.name in CELLS.values()
            if section.title not in ("light", "cautions") and not in_row and line.brief:
                told.setdefault(line.name, []).extend(line.brief)
        if section.title == "sun":
            yield from ("; ".join(pieces) for pieces in told.values())
        elif section.title == "match":
            yield from (f"match {name}: {'; '.join(pieces)}" for name, pieces in told.items())
        else:
            yield from (f"{name}: {'; '.join(pieces)}" for name, pieces in told.items())


def _widths(rows: Sequence[Row], letters: Letters) -> dict[str, float]:
    widths = {}
    for name, head in HEADS.items():
        words = [letters.head(text) for text in head]
        for row in rows:
            # A shot is as wide as its time: a longer id takes more lines.
            texts = row.cells[name][1:] if name == "shot" else row.cells[name]
            words += [letters.normal(text) for text in texts]
        widths[name] = max(width_in(one.text, one.size_pt, bold=one.bold) for one in words)
    return widths


def _block(
    row: Row,
    lefts: Mapping[str, float],
    setting: Paper,
    letters: Letters,
    *,
    is_head: bool = False,
) -> Block:
    style = letters.head if is_head else letters.normal
    cells = {name: [style(text) for text in row.cells[name]] for name in lefts}
    if not is_head:
        title, *times = row.cells["shot"]
        wide = lefts["sun"] - lefts["shot"] - GAP_IN
        cells["shot"] = [*wrapped(letters.bold(title), wide), *map(letters.normal, times)]
    inner = setting.margin_in + setting.room_in - lefts["sun"]
    under = [line for text in row.under for line in wrapped(letters.small(text), inner)]
    over = max(high_in(cell) for cell in cells.values())
    high = over + high_in(under) + letters.pad_in

    def draw(figure: Figure, top: float) -> None:
        at = top + letters.pad_in / 2
        for name, cell in cells.items():
            write_under(figure, lefts[name], at, cell)
        write_under(figure, lefts["sun"], at + over, under)
        rule(figure, top + high, setting, 1.0 if is_head else 0.5)

    return Block(high_in=high, draw=draw)
