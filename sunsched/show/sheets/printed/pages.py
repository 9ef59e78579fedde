"""The printed pages: the order for a clipboard, the day's facts, what to build, and the pictures.

The letters of the order are as large as the fewest pages that it needs can hold.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from matplotlib.figure import Figure

from sunsched.errors import WriteRefused
from sunsched.show.agenda import CAUTIONS, Sheet, issued
from sunsched.show.charts.day import day_figure, day_pages
from sunsched.show.drawing.figure import house_style, new_figure
from sunsched.show.drawing.lettering import Words, cut
from sunsched.show.drawing.picture import page_figures
from sunsched.show.drawing.stamped import put_stamp
from sunsched.show.paper_size import Paper, paper
from sunsched.show.sheets.behind.pictures import sheet_pictures
from sunsched.show.sheets.printed.afterwards import after_table
from sunsched.show.sheets.printed.block import (
    FOOT_ROOM_IN,
    PADS_EM,
    Block,
    Letters,
    high_in,
    paragraph,
    together,
    wrapped,
    write_foot,
    write_under,
)
from sunsched.show.sheets.printed.builds import (
    Row,
    build_rows,
    builds_blocks,
    fitting_letters,
    foot_blocks,
    title_block,
)
from sunsched.show.sheets.printed.facts import (
    Facts,
    day_facts,
    facts_blocks,
    note_blocks,
    top_words,
)
from sunsched.show.sheets.printed.rows import heads_block, order_blocks, table_columns
from sunsched.show.sheets.printed.tables import table_rows

LEAST_PT, MOST_PT, STEP_PT = 8.5, 12.0, 0.25
READ_PT = 10.0  # of what is not the order, at the least
TITLE_LINES = 2
UNDER_TOP_IN = 0.1


@dataclass(slots=True, kw_only=True)
class Page:
    """A page that is being filled: its top, the blocks under it, and the room that is left."""

    top: list[Words]
    blocks: list[Block]
    left_in: float

    def put(self, block: Block) -> None:
        """Put a block under the others."""
        self.blocks.append(block)
        self.left_in -= block.high_in


def paper_figures(sheet: Sheet) -> list[Figure]:
    """Give the printed pages: the order, what a crew should know beside it, then the pictures.

    Raises
    ------
    WriteRefused
        When the paper is a phone's.
    """
    setting = paper(sheet.paper, upright=True)
    if setting.height_in is None:
        raise WriteRefused("a .pdf is printed on a4 or letter\n  hint: a phone reads .html or .png")
    with house_style():
        figures = [
            _page_figure(sheet, setting, page) for page in _pages(sheet, setting, setting.height_in)
        ]
        figures += [
            _page_figure(sheet, setting, page)
            for page in _build_pages(sheet, setting, setting.height_in)
        ]
        figures += _pictures(sheet, setting)
        for number, figure in enumerate(figures, start=1):
            write_foot(figure, setting, issued(sheet), f"page {number} of {len(figures)}")
            put_stamp(figure, sheet.plan.day, sheet.stamp, has_foot=True)
    return figures


def _pictures(sheet: Sheet, setting: Paper) -> list[Figure]:
    """Give the pages of the day's picture, then of all others, several to a page."""
    fit, plan = sheet.plan.fit, sheet.plan
    pages = day_pages(fit, plan, shape=sheet.paper)
    figures = [day_figure(fit, plan, shape=sheet.paper, rows=rows) for rows in pages]
    return figures + page_figures(plan.day, setting, [*sheet_pictures(sheet, setting)])


def _pages(sheet: Sheet, setting: Paper, high: float) -> list[Page]:
    """Share all out in the largest letters with which the order needs no more pages.

    Where letters of `READ_PT` let the rest stand on those pages too, it does. Room that is left
    then goes between the rows, and to the letters of the rest.
    """
    facts = day_facts(sheet)

    def shared(letters: Letters, rest_pt: float = READ_PT) -> list[Page]:
        return _all_pages(sheet, facts, setting, high, letters, Letters(text_pt=rest_pt))

    steps = round((MOST_PT - LEAST_PT) / STEP_PT) + 1
    sizes = [Letters(text_pt=LEAST_PT + STEP_PT * step) for step in range(steps)]
    least = len(_order_pages(sheet, setting, high, sizes[0]))
    read = [one for one in sizes if one.text_pt >= READ_PT]
    best = _largest(read, lambda one: len(shared(one)) <= least)
    if best is None:
        best = _largest(sizes, lambda one: len(_order_pages(sheet, setting, high, one)) <= least)
    best = best or sizes[0]
    count = len(shared(best))

    def is_no_longer(letters: Letters) -> bool:
        order = _order_pages(sheet, setting, high, letters)
        return len(order) <= least and len(shared(letters)) <= count

    padded = [replace(best, pad_em=pad_em) for pad_em in PADS_EM]
    best = _largest(padded, is_no_longer) or best
    rest = _largest(read, lambda one: len(shared(best, one.text_pt)) <= count)
    return shared(best, READ_PT if rest is None else rest.text_pt)


def _largest(sizes: Sequence[Letters], fits: Callable[[Letters], bool]) -> Letters | None:
    """Give the last of ever larger letters that fit; None where the first do not."""
    # Larger letters never need less room.
    count = bisect_left(sizes, True, key=lambda letters: not fits(letters))
    return sizes[count - 1] if count else None


def _order_pages(sheet: Sheet, setting: Paper, high: float, letters: Letters) -> list[Page]:
    if sheet.before is None:
        columns = table_columns(sheet.plan, setting, letters)
        heads = heads_block(columns, setting, letters)
        blocks = [*order_blocks(sheet.plan, columns, setting, letters)]
    else:
        table = after_table(sheet.before, sheet.plan)
        heads, *blocks = table_rows(table, setting, setting.margin_in, setting.room_in, letters)
    pages: list[Page] = []
    for block in blocks:
        if not pages or pages[-1].left_in < block.high_in:
            pages.append(_new_page(sheet, setting, high, letters, is_first=not pages))
            pages[-1].put(heads)
        pages[-1].put(block)
    return pages or [_new_page(sheet, setting, high, letters, is_first=True)]


def _all_pages(
    sheet: Sheet, facts: Facts, setting: Paper, high: float, letters: Letters, rest: Letters
) -> list[Page]:
    """Put the facts, which stay together where a page can hold them, and the notes behind."""
    pages = _order_pages(sheet, setting, high, letters)
    beside = [*facts_blocks(facts, setting, rest)]
    whole = together(beside)
    bare = _new_page(sheet, setting, high, letters, is_first=False)
    for block in (
        *([whole] if whole.high_in <= bare.left_in else beside),
        *note_blocks(facts, setting, rest),
        *(one for text in CAUTIONS for one in paragraph(rest.normal(text), setting)),
    ):
        if pages[-1].left_in < block.high_in:
            pages.append(_new_page(sheet, setting, high, letters, is_first=False))
        pages[-1].put(block)
    return pages


def _build_pages(sheet: Sheet, setting: Paper, high: float) -> list[Page]:
    """Give what who builds needs on the fewest pages of its own; none of a day that is over."""
    rows = [] if sheet.before is not None else build_rows(sheet.plan)
    if not rows:
        return []
    tried = [
        _builds_in(sheet, rows, setting, high, letters)
        for letters in fitting_letters(rows, setting)
    ]
    return min(tried, key=len)


def _builds_in(
    sheet: Sheet, rows: Sequence[Row], setting: Paper, high: float, letters: Letters
) -> list[Page]:
    heads, *blocks = builds_blocks(rows, setting, letters)
    pages: list[Page] = []
    rest = [*foot_blocks(sheet.plan.day, rows, setting, letters)]
    for place, block in enumerate((*blocks, *rest)):
        if not pages or pages[-1].left_in < block.high_in:
            is_first, is_row = not pages, place < len(blocks)
            pages.append(_new_page(sheet, setting, high, letters, is_first=False))
            for over in [title_block(setting, letters)] * is_first + [heads] * is_row:
                pages[-1].put(over)
        pages[-1].put(block)
    return pages


def _new_page(
    sheet: Sheet, setting: Paper, high: float, letters: Letters, *, is_first: bool
) -> Page:
    top = _top(sheet, setting, letters, is_first=is_first)
    left = high - FOOT_ROOM_IN - setting.margin_in - high_in(top) - UNDER_TOP_IN
    return Page(top=top, blocks=[], left_in=left)


def _top(sheet: Sheet, setting: Paper, letters: Letters, *, is_first: bool) -> list[Words]:
    """Give what stands over the table: all of the heading on the first page, a line on others."""
    if is_first:
        words = top_words(sheet, letters)
        return [line for one in words for line in wrapped(one, setting.room_in, TITLE_LINES)]
    day, pt = sheet.plan.day, letters.text_pt
    title = cut(f"{day.title}, {day.date.isoformat()}", setting.room_in, pt, bold=True)
    return [letters.bold(title)]


def _page_figure(sheet: Sheet, setting: Paper, page: Page) -> Figure:
    figure = new_figure(setting, 0.0, sheet.plan.day.title)
    write_under(figure, setting.margin_in, setting.margin_in, page.top)
    at = setting.margin_in + high_in(page.top) + UNDER_TOP_IN
    for block in page.blocks:
        block.draw(figure, at)
        at += block.high_in
    return figure
