"""Moments that are looked at one after the other, until somebody or a clock has enough."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from time import monotonic

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


def ended_after(
    limit_s: float | None,
    is_ended: Callable[[], bool],
    clock: Callable[[], float] = monotonic,
) -> Callable[[], bool]:
    """Give what says that work is to end: when a limit is over, or as `is_ended` says.

    Parameters
    ----------
    limit_s : seconds from now on; None for no limit
    clock : gives seconds, from any zero
    """
    if limit_s is None:
        return is_ended
    end = clock() + limit_s
    return lambda: clock() >= end or is_ended()
