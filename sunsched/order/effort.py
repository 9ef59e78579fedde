"""How long a solve may go on: a limit on the clock, or the same amount of work on every machine."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

WORK = 2_500_000_000  # steps from one start to the next that a solve tries: some 20 seconds


class Stopped(Exception):  # noqa: N818  it is no error
    """The effort is spent; the best plan so far and its bound stand."""


class Effort:
    """Counts what a solve has done and stops it when that is enough.

    Parameters
    ----------
    limit_s : seconds on the clock; None for a fixed amount of work, which makes the answer the same
        on every machine
    watch : called now and then, with nothing; what it raises ends the solve
    clock : gives seconds, from any zero
    """

    def __init__(
        self,
        limit_s: float | None,
        watch: Callable[[], None],
        clock: Callable[[], float] = monotonic,
    ) -> None:
        self._clock = clock
        self._deadline = None if limit_s is None else clock() + limit_s
        self._left = WORK
        self._watch = watch

    def spend(self, steps: int) -> None:
        """Note work done.

        Raises
        ------
        Stopped
            When the effort is spent.
        """
        self._left -= steps
        self._watch()
        if self._left < 0 if self._deadline is None else self._clock() >= self._deadline:
            raise Stopped
