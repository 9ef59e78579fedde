"""The best plan with others that differ, as a handout."""

from __future__ import annotations

from collections.abc import Sequence

from sunsched.average.plan import AveragePlan
from sunsched.plan.plan import Plan
from sunsched.show.handouts.handout import Handout, Section, cautions_of
from sunsched.show.notes import notes
from sunsched.show.paper_size import Shape
from sunsched.show.stamp import Stamp
from sunsched.show.text.average_day.plan import HEADER as AVERAGE_HEADER
from sunsched.show.text.average_day.plan import likely_rows, verdicts
from sunsched.show.text.day import PLAN_HEADER, plan_rows, verdict_texts
from sunsched.show.text.headlines.arguments import alternatives_headline
from sunsched.show.text.price import NO_OTHER, alternative_row, order_ids
from sunsched.whatif.alternatives.alternatives import Alternative

ALTERNATIVES_HEADER = ("", "light kept", "wrap", "what differs", "order", "points")


def alternatives_handout(
    best: Plan | AveragePlan,
    found: Sequence[Alternative],
    *,
    stamp: Stamp,
    paper: Shape = Shape.A4,
) -> Handout:
    """Give the best plan with its times, then others that differ.

    Parameters
    ----------
    best : the best plan, for planned minutes or for the average day
    found : others, of `alternatives` or `average_alternatives`
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
    >>> found = sunsched.alternatives(solved, 1)
    >>> sunsched.alternatives_handout(solved.plan, found, stamp=stamp).subject
    'The best plan and the next best'
    """
    rows = []
    for place, one in enumerate(found, start=1):
        lost, *others = alternative_row(one)
        rows.append((f"{place}", *others, ", ".join(order_ids(one.plan)), lost))
    sections = (
        _best_section(best),
        Section(
            heading="Alternatives",
            header=ALTERNATIVES_HEADER if rows else (),
            rows=tuple(rows),
            figures=(1,),
            paragraphs=() if rows else (NO_OTHER,),
        ),
    )
    return Handout(
        day=best.day,
        subject="The best plan and the next best",
        head=(alternatives_headline([one.points_lost for one in found]),),
        sections=sections,
        stamp=stamp,
        cautions=cautions_of(
            best if isinstance(best, Plan) else best.likely, *(one.plan for one in found)
        ),
        paper=paper,
    )


def _best_section(best: Plan | AveragePlan) -> Section:
    """Give the best plan with its times, and what is said of it."""
    if not isinstance(best, Plan):
        return Section(
            heading="The plan for the average day",
            header=AVERAGE_HEADER,
            rows=tuple(likely_rows(best)),
            figures=(5, 6),
            paragraphs=(*verdicts(best), *notes(best.likely)),
        )
    left_out = (f"left out: {o.shot.id} {o.shot.description}: {o.why}" for o in best.left_out)
    return Section(
        heading="The best plan",
        header=PLAN_HEADER,
        rows=tuple(plan_rows(best)),
        figures=(7,),
        paragraphs=(*verdict_texts(best), *left_out, *notes(best)),
    )
