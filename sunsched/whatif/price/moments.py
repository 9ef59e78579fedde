"""Moments that are looked at one after the other, until somebody has enough."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime

from sunsched.solver.search.progress import Counted


def each_moment(
    moments: Sequence[datetime],
    progress: Callable[[Counted], None] | None,
    is_ended: Callable[[], bool],
) -> Iterator[datetime]:
    """Give moments in their order; each is told as done when the next one is asked for.

    Parameters
    ----------
    moments : wraps or calls
    progress : called with the moments done and all moments
    is_ended : asked before each; when it says so, the later ones are left out
    """
    for done, moment in enumerate(moments, 1):
        if is_ended():
            return
        yield moment
        if progress is not None:
            progress(Counted(done=done, whole=len(moments)))
