"""The printed pages of a handout: tables that go on under their heads, then the picture."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from sunsched.errors import WriteRefused
from sunsched.show.drawing.figure import heading, house_style, new_figure, write, write_lines
from sunsched.show.drawing.lettering import (
    FAINT,
    INK,
    LINE,
    POINT_IN,
    Words,
    cut,
    width_in,
    wrap,
    wrapped_words,
)
from sunsched.show.drawing.stamped import put_stamp
from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.paper_size import Paper, paper
from sunsched.show.sheets.pdf import FOOT_ROOM_IN, write_foot
from sunsched.show.sheets.pdf_line import GAP_IN, SMALL_PT, TEXT_PT, rule
from sunsched.show.stamp import stamp_text

HEADING_PT = 10.0
OVER_HEADING_IN = 0.18
WIDE_GAP_IN = 0.2  # the most between columns
PAD_IN = 0.07  # over and under the lines of a row together
OVER_WORDS_IN = 0.08
LINE_IN = LINE * TEXT_PT * POINT_IN
HEAD_LINES, CELL_LINES = 3, 24  # the most that are written, so that no row is higher than a page


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What stays together on a page: its height, and how it is drawn from a height down.

    `heads` stands over the first piece that has it, and again where such a piece begins a page.
    """

    high_in: float
    draw: Callable[[Figure, float], None]
    heads: Piece | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """Where a column of a table starts and how wide it is, inches; figures stand flush right."""

    left_in: float
    wide_in: float
    is_figures: bool


def handout_figures(handout: Handout) -> list[Figure]:
    """Give the printed pages, numbered, the picture last.

    Raises
    ------
    WriteRefused
        When the paper is a phone's.
    """
    setting = paper(handout.paper, upright=True)
    if setting.height_in is None:
        raise WriteRefused("a .pdf is printed on a4 or letter\n  hint: a phone reads .html")
    with house_style():
        tops = (_top(handout, setting), _short_top(handout, setting))
        bare = setting.height_in - setting.margin_in - FOOT_ROOM_IN
        first, others = (bare - sum(line.height_in for line in top) for top in tops)
        pages: list[Figure] = []
        for pieces in _shared_out(_parts(handout, setting), first, others):
            page = new_figure(setting, 0.0, handout.day.title)
            at = write_lines(page, setting.margin_in, setting.margin_in, tops[min(1, len(pages))])
            for piece in pieces:
                piece.draw(page, at)
                at += piece.high_in
            pages.append(page)
        if handout.picture is not None:
            pages.append(handout.picture(handout.paper))
        made = stamp_text(handout.day, handout.stamp)
        for number, page in enumerate(pages, start=1):
            write_foot(page, setting, made, f"page {number} of {len(pages)}")
            put_stamp(page, handout.day, handout.stamp, has_foot=True)
    return pages


def _top(handout: Handout, setting: Paper) -> list[Words]:
    """Give what stands over all on the first page."""
    lines = heading(handout.day, setting, handout.subject)
    for text in handout.head:
        lines += wrapped_words(text, setting.room_in, TEXT_PT, lines=4)
    return lines


def _short_top(handout: Handout, setting: Paper) -> list[Words]:
    """Give the line that stands over all on the other pages."""
    day = handout.day
    text = f"{handout.subject}: {day.title}, {day.date.isoformat()}"
    title = cut(text, setting.room_in, TEXT_PT, bold=True)
    return [Words(text=title, size_pt=TEXT_PT, bold=True)]


def _shared_out(
    parts: Iterable[Sequence[Piece]], first_room_in: float, room_in: float
) -> Iterator[list[Piece]]:
    """Share parts out over pages: one that a page can hold whole is not torn.

    Every page begins with the heads of what goes on there.
    """
    page: list[Piece] = []
    left = first_room_in
    for part in parts:
        over = None
        whole = sum(piece.high_in for piece in part)
        whole += next((piece.heads.high_in for piece in part if piece.heads is not None), 0.0)
        if page and left < whole <= room_in:
            yield page
            page, left = [], room_in
        for piece in part:
            heads = piece.heads
            placed = [piece] if heads is None or heads is over else [heads, piece]
            if page and sum(one.high_in for one in placed) > left:
                yield page
                page, left = [], room_in
                placed = [piece] if heads is None else [heads, piece]
            page += placed
            left -= sum(one.high_in for one in placed)
            over = heads
    yield page


def _parts(handout: Handout, setting: Paper) -> Iterator[list[Piece]]:
    """Give the pieces of each section, then those of the cautions."""
    for section in handout.sections:
        yield [*_section_pieces(section, setting)]
    cautions: list[Piece] = []
    for text in handout.cautions:
        over = 0.0 if cautions else 2 * OVER_WORDS_IN
        cautions += _lines(text, setting, over, color=FAINT)
    yield cautions


def _section_pieces(section: Section, setting: Paper) -> Iterator[Piece]:
    columns = _columns(section, setting)
    heads = _heads(section, columns, setting)
    for row in section.rows:
        if isinstance(row, tuple):
            yield _row([cell.strip() for cell in row], columns, setting, heads)
        else:
            yield _across(row, setting, heads)
    # What stands under a table needs no heads of it on another page.
    under = None if section.rows else heads
    for place, text in enumerate(section.paragraphs):
        over = OVER_WORDS_IN if section.rows and place == 0 else 0.0
        yield from _lines(text, setting, over, heads=under)


def _columns(section: Section, setting: Paper) -> list[Column]:
    """Give each column what it needs; where that is too much, the widest share what is left."""
    wide = []
    for place, head in enumerate(section.header):
        texts = [row[place] for row in section.cells]
        cells = max((width_in(text, TEXT_PT) for text in texts), default=0.0)
        wide.append(max(cells, width_in(head, SMALL_PT)))
    left = setting.room_in - GAP_IN * (len(wide) - 1)
    for rank, place in enumerate(sorted(range(len(wide)), key=lambda place: wide[place])):
        wide[place] = min(wide[place], left / (len(wide) - rank))
        left -= wide[place]
    gap = min(WIDE_GAP_IN, GAP_IN + left / max(1, len(wide) - 1))
    columns, at = [], setting.margin_in
    for place, width in enumerate(wide):
        columns.append(Column(left_in=at, wide_in=width, is_figures=place in section.figures))
        at += width + gap
    return columns


def _heads(section: Section, columns: Sequence[Column], setting: Paper) -> Piece:
    """Give the heading of a section with the heads of its table, on a heavy rule."""
    title = cut(section.heading, setting.room_in, HEADING_PT, bold=True)
    words = Words(text=title, size_pt=HEADING_PT, bold=True)
    cells = [
        wrap(head, column.wide_in, SMALL_PT, lines=HEAD_LINES)
        for head, column in zip(section.header, columns, strict=True)
    ]
    under = OVER_HEADING_IN + words.height_in
    high = under + LINE_IN * max((len(lines) for lines in cells), default=0)

    def draw(figure: Figure, top: float) -> None:
        write(figure, setting.margin_in, top + OVER_HEADING_IN + words.height_in / 2, words)
        _write_cells(figure, top + under, cells, columns, SMALL_PT, FAINT)
        if columns:
            rule(figure, top + high, setting, 1.0)

    return Piece(high_in=high, draw=draw)


def _row(cells: Sequence[str], columns: Sequence[Column], setting: Paper, heads: Piece) -> Piece:
    wrapped = [
        wrap(cell, column.wide_in, TEXT_PT, lines=CELL_LINES)
        for cell, column in zip(cells, columns, strict=True)
    ]
    high = PAD_IN + LINE_IN * max(1, *(len(lines) for lines in wrapped))

    def draw(figure: Figure, top: float) -> None:
        _write_cells(figure, top + PAD_IN / 2, wrapped, columns, TEXT_PT)
        rule(figure, top + high, setting, 0.5)

    return Piece(high_in=high, draw=draw, heads=heads)


def _write_cells(
    figure: Figure,
    top: float,
    cells: Sequence[Sequence[str]],
    columns: Sequence[Column],
    size_pt: float,
    color: str = INK,
) -> None:
    for lines, column in zip(cells, columns, strict=True):
        for number, line in enumerate(lines):
            words = Words(text=line, size_pt=size_pt, color=color)
            middle = top + LINE_IN * (number + 0.5)
            if column.is_figures:
                write(figure, column.left_in + column.wide_in, middle, words, align="right")
            else:
                write(figure, column.left_in, middle, words)


def _across(text: str, setting: Paper, heads: Piece) -> Piece:
    """Give a row that is one text, across all columns."""
    words = Words(text=cut(text, setting.room_in, TEXT_PT), size_pt=TEXT_PT)

    def draw(figure: Figure, top: float) -> None:
        write(figure, setting.margin_in, top + (PAD_IN + LINE_IN) / 2, words)
        rule(figure, top + PAD_IN + LINE_IN, setting, 0.5)

    return Piece(high_in=PAD_IN + LINE_IN, draw=draw, heads=heads)


def _lines(
    text: str, setting: Paper, over_in: float, *, heads: Piece | None = None, color: str = INK
) -> Iterator[Piece]:
    """Give the lines of a paragraph, with some room over the first."""
    for words in wrapped_words(text, setting.room_in, setting.text_pt, color=color):

        def draw(figure: Figure, top: float, words: Words = words, over: float = over_in) -> None:
            write(figure, setting.margin_in, top + over + words.height_in / 2, words)

        yield Piece(high_in=over_in + words.height_in, draw=draw, heads=heads)
        over_in = 0.0
