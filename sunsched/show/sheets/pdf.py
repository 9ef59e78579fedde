"""The printed pages: the order as a table for a clipboard, its pictures behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matplotlib.figure import Figure

from sunsched.errors import WriteRefused
from sunsched.plan.plan import Plan
from sunsched.show.agenda import CAUTIONS, Sheet, issued
from sunsched.show.charts.day import day_figure, day_pages
from sunsched.show.charts.orders.people import people_figure
from sunsched.show.drawing.figure import heading, house_style, new_figure, write, write_lines
from sunsched.show.drawing.lettering import FAINT, Words, cut, width_in, wrapped_words
from sunsched.show.drawing.stamped import put_stamp
from sunsched.show.notes import sheet_notes
from sunsched.show.paper_size import Paper, paper
from sunsched.show.proof import verdict
from sunsched.show.sheets.pdf_line import SMALL_PT, TEXT_PT, Spacing
from sunsched.show.sheets.pdf_table import (
    HEADS_IN,
    Block,
    Column,
    table_blocks,
    table_columns,
    write_heads,
)

FOOT_IN = 0.24  # of the foot's letters from the lower edge
FOOT_ROOM_IN = 0.38
FOOT_GAP_IN = 0.3  # between what the page is of and its number
UNDER_TOP_IN = 0.1
# The first of those that need the fewest pages is taken.
SPACINGS = (
    Spacing(shot_in=0.36, line_in=0.22, note_in=0.15),
    Spacing(shot_in=0.315, line_in=0.19, note_in=0.14),
    Spacing(shot_in=0.275, line_in=0.16, note_in=0.13),
    Spacing(shot_in=0.275, line_in=0.16, note_in=0.13, kept_lines=1),
    Spacing(shot_in=0.275, line_in=0.16, note_in=0.13, kept_lines=1, wait_lines=False),
)


def paper_figures(sheet: Sheet) -> list[Figure]:
    """Give the printed pages: the table on as few as it can be read on, then the pictures.

    Raises
    ------
    WriteRefused
        When the paper is a phone's.
    """
    setting = paper(sheet.paper, upright=True)
    if setting.height_in is None:
        raise WriteRefused("a .pdf is printed on a4 or letter\n  hint: a phone reads .html or .png")
    with house_style():
        spacing, shared = _fewest_pages(sheet, setting, setting.height_in)
        columns = table_columns(sheet.plan, setting, wait_lines=spacing.wait_lines)
        pages = [
            _table_page(sheet, setting, columns, blocks, is_first=number == 0)
            for number, blocks in enumerate(shared)
        ]
        fit, plan = sheet.plan.fit, sheet.plan
        pages += [
            day_figure(fit, plan, shape=sheet.paper, rows=rows)
            for rows in day_pages(fit, plan, shape=sheet.paper)
        ]
        if any(one.shot.cast for one in plan.shots):
            pages.append(people_figure(plan, shape=sheet.paper))
        for number, page in enumerate(pages, start=1):
            write_foot(page, setting, issued(sheet), f"page {number} of {len(pages)}")
            put_stamp(page, sheet.plan.day, sheet.stamp, has_foot=True)
    return pages


def _fewest_pages(
    sheet: Sheet, setting: Paper, high_in: float
) -> tuple[Spacing, list[list[Block]]]:
    tried = []
    for spacing in SPACINGS:
        tried.append((spacing, _shared_out(sheet, setting, high_in, spacing)))
        if len(tried[-1][1]) == 1:
            break
    return min(tried, key=lambda one: len(one[1]))


def _shared_out(
    sheet: Sheet, setting: Paper, high_in: float, spacing: Spacing
) -> list[list[Block]]:
    """Share the blocks of the table and of the notes out over as many pages as they need."""
    blocks = [
        *table_blocks(sheet.plan, setting, spacing),
        *_note_blocks(sheet.plan, setting, spacing.note_in),
    ]
    pages: list[list[Block]] = []
    left = 0.0
    for block in blocks:
        if not pages or left < block.high_in:
            pages.append([])
            left = high_in - FOOT_ROOM_IN - _top_in(sheet, setting, is_first=len(pages) == 1)
            left -= HEADS_IN if block.in_table else 0.0
        pages[-1].append(block)
        left -= block.high_in
    return pages


def _table_page(
    sheet: Sheet,
    setting: Paper,
    columns: Sequence[Column],
    blocks: Sequence[Block],
    *,
    is_first: bool,
) -> Figure:
    figure = new_figure(setting, 0.0, sheet.plan.day.title)
    top = _top(sheet, setting, is_first=is_first)
    at = write_lines(figure, setting.margin_in, setting.margin_in, top) + UNDER_TOP_IN
    if blocks and blocks[0].in_table:
        at = write_heads(figure, at, columns, setting)
    for block in blocks:
        block.draw(figure, at)
        at += block.high_in
    return figure


def _top(sheet: Sheet, setting: Paper, *, is_first: bool) -> list[Words]:
    """Give what stands over the table: all of the heading on the first page, a line on others."""
    day = sheet.plan.day
    if not is_first:
        title = cut(f"{day.title}, {day.date.isoformat()}", setting.room_in, TEXT_PT, bold=True)
        return [Words(text=title, size_pt=TEXT_PT, bold=True)]
    lines = heading(day, setting)
    for text in (issued(sheet), verdict(sheet.plan)):
        lines += wrapped_words(text, setting.room_in, TEXT_PT, lines=2)
    return lines


def _top_in(sheet: Sheet, setting: Paper, *, is_first: bool) -> float:
    lines = _top(sheet, setting, is_first=is_first)
    return setting.margin_in + sum(line.height_in for line in lines) + UNDER_TOP_IN


def write_foot(figure: Figure, setting: Paper, left: str, right: str) -> None:
    """Write at the foot of a page what it is of, and which page it is."""
    wide, high = figure.get_size_inches()
    room = setting.room_in - width_in(right, SMALL_PT) - FOOT_GAP_IN
    foot = Words(text=cut(left, room, SMALL_PT), size_pt=SMALL_PT)
    write(figure, setting.margin_in, high - FOOT_IN, foot)
    words = Words(text=right, size_pt=SMALL_PT)
    write(figure, wide - setting.margin_in, high - FOOT_IN, words, align="right")


def _note_blocks(plan: Plan, setting: Paper, line_in: float) -> Iterator[Block]:
    """Give what stands under the table, line by line."""
    left_out = [f"left out: {o.shot.id} {o.shot.description}: {o.why}" for o in plan.left_out]
    lines = [Words(text="", size_pt=SMALL_PT)]
    for text in (*left_out, *sheet_notes(plan)):
        lines += wrapped_words(text, setting.room_in, TEXT_PT)
    for text in CAUTIONS:
        lines += wrapped_words(text, setting.room_in, TEXT_PT, color=FAINT)
    for words in lines:

        def draw(figure: Figure, top: float, words: Words = words) -> None:
            write(figure, setting.margin_in, top + line_in / 2, words)

        yield Block(high_in=line_in, draw=draw, in_table=False)
