"""The arguments as handouts: the rows and the words of their texts, in sections."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from sunsched.day.model import Day
from sunsched.plan.plan import Plan
from sunsched.show.handouts.handout import Handout, Section, cautions_of
from sunsched.show.paper_size import Shape
from sunsched.show.stamp import Stamp
from sunsched.show.text.average_day.price import (
    PAYS_HEADER,
    PRICE_NOTE,
    SIDES_HEADER,
    average_loss_texts,
    pay_rows,
    side_rows,
)
from sunsched.show.text.comparison import (
    counted_rows,
    difference_texts,
    shots_header,
)
from sunsched.show.text.comparison import shot_rows as compared_rows
from sunsched.show.text.crew import crew_rows
from sunsched.show.text.headlines.arguments import (
    average_price_headline,
    comparison_headline,
    price_headline,
)
from sunsched.show.text.headlines.sides import how_timed, order_names
from sunsched.show.text.past import past_texts
from sunsched.show.text.price import (
    CREW_HEADER,
    SHOTS_HEADER,
    loss_texts,
    lost_texts,
    shot_rows,
)
from sunsched.whatif.compare.compare import Comparison
from sunsched.whatif.price.price import Price
from sunsched.whatif.price_average.price import AveragePrice

# matplotlib takes a second to load, and tables do without it.
if TYPE_CHECKING:
    pass


def comparison_handout(found: Comparison, *, stamp: Stamp, paper: Shape = Shape.A4) -> Handout:
    """Give a comparison: both orders shot by shot, what the crew counts, and the difference.

    Parameters
    ----------
    found : of `compare` or `compare_two`
    stamp : what it says of itself: when it was made, at the least
    paper : the shape of its printed pages

    Returns
    -------
    Handout
        What `write_handout` writes.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from pathlib import Path
    >>> folder = Path(tempfile.mkdtemp())
    >>> text = "id\\n4\\n5\\n2\\nmeal\\n3\\n1\\n"
    >>> _ = (folder / "ad.csv").write_text(text)
    >>> from datetime import UTC, datetime
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> stamp = sunsched.Stamp(made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    >>> day = solved.fit.day
    >>> order = sunsched.read_order(folder / "ad.csv", folder, day).order
    >>> found = sunsched.compare(solved.fit, solved.plan, order)
    >>> sunsched.comparison_handout(found, stamp=stamp).subject
    'Another order beside ours'
    """
    names = order_names(found)
    sections = (
        Section(
            heading="Shot by shot",
            header=shots_header(found),
            rows=tuple(compared_rows(found)),
            figures=(3, 5, 7) if found.likely is None else (3, 4, 6, 7),
        ),
        Section(heading="What is counted", header=("", *names), rows=tuple(counted_rows(found))),
        Section(heading="The difference", paragraphs=_bulleted(difference_texts(found))),
    )
    return Handout(
        day=found.theirs.day,
        subject="Another order beside ours" if found.is_beside_ours else "Two orders",
        head=(comparison_headline(found), *how_timed(found)),
        sections=sections,
        stamp=stamp,
        cautions=cautions_of(found.ours, found.theirs),
        paper=paper,
    )


def price_handout(
    day: Day, best: Plan, found: Price, *, stamp: Stamp, paper: Shape = Shape.A4
) -> Handout:
    """Give the price of a decision: what it loses, each shot with and without it, the crew.

    Parameters
    ----------
    day : the day
    best : its best plan
    found : of `price`
    stamp : what it says of itself: when it was made, at the least
    paper : the shape of its printed pages

    Returns
    -------
    Handout
        What `write_handout` writes.

    Examples
    --------
    >>> import sunsched
    >>> from datetime import UTC, datetime
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> stamp = sunsched.Stamp(made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    >>> day = solved.fit.day
    >>> asked = sunsched.Asked(cuts=["3"])
    >>> found = sunsched.price(solved, sunsched.read_decision(day, asked))
    >>> sunsched.price_handout(day, solved.plan, found, stamp=stamp).subject
    'What a decision costs'
    """
    asked = tuple(f"if {text}:" for text in found.decision)
    sections = (
        Section(
            heading="The price",
            paragraphs=(*asked, *loss_texts(found), *lost_texts(found)),
        ),
        Section(
            heading="Shot by shot",
            header=SHOTS_HEADER,
            rows=tuple(shot_rows(day, best, found)),
            figures=(3, 5, 6),
        ),
        Section(
            heading="What the crew sees",
            header=CREW_HEADER,
            rows=tuple(crew_rows(day, found.crew_before, found.crew)),
        ),
    )
    return Handout(
        day=day,
        subject="What a decision costs",
        head=(price_headline(best, found), *past_texts(day)),
        sections=sections,
        stamp=stamp,
        cautions=cautions_of(found.plan),
        paper=paper,
    )


def average_price_handout(
    day: Day, found: AveragePrice, *, stamp: Stamp, paper: Shape = Shape.A4
) -> Handout:
    """Give the price of a decision on the average day: what it loses, and which shots pay.

    Parameters
    ----------
    day : the day
    found : of `average_price`
    stamp : what it says of itself: when it was made, at the least
    paper : the shape of its printed pages

    Returns
    -------
    Handout
        What `write_handout` writes.

    Examples
    --------
    >>> import sunsched
    >>> from datetime import UTC, datetime
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> best = sunsched.average_plan(solved)
    >>> stamp = sunsched.Stamp(made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    >>> decision = sunsched.read_decision(solved.fit.day, sunsched.Asked(cuts=["3"]))
    >>> found = sunsched.average_price(solved, best, decision)
    >>> sunsched.average_price_handout(solved.fit.day, found, stamp=stamp).subject
    'What a decision costs on the average day'
    """
    asked = tuple(f"if {text}:" for text in found.decision)
    pays = tuple(pay_rows(found))
    sections = (
        Section(heading="The price", paragraphs=(*asked, *average_loss_texts(found))),
        Section(
            heading="Shot by shot",
            header=PAYS_HEADER if pays else (),
            rows=pays,
            figures=(2, 3, 4, 5, 6),
            paragraphs=(PRICE_NOTE,),
        ),
        Section(heading="What is counted", header=SIDES_HEADER, rows=tuple(side_rows(day, found))),
    )
    return Handout(
        day=day,
        subject="What a decision costs on the average day",
        head=(average_price_headline(found), *past_texts(day)),
        sections=sections,
        stamp=stamp,
        paper=paper,
    )


def _bulleted(texts: Iterable[str]) -> tuple[str, ...]:
    """Give texts with bullets in place of dashes, which a spreadsheet would read as a minus."""
    return tuple(f"•{text[1:]}" if text.startswith("- ") else text for text in texts)
