"""How long a solve may go on: a limit on the clock, or the same amount of work on every machine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from sunsched.errors import Undecided
from sunsched.solver.machine.halt import is_end_asked

WORK = 2_500_000_000  # steps from one start to the next that a solve tries: some 20 seconds
# The same where the best order for planned minutes is only what a search on the average day starts
# from: enough for the proof, but on days whose matches pull apart.
START_WORK = 300_000_000


class Stopped(Exception):
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
        self._is_ended = False

    def spend(self, steps: int) -> None:
        """Note work done.

        Raises
        ------
        Stopped
            When the effort is spent.
        """
        self._left -= steps
        self._watch()
        if not self.goes_on() or (self._deadline is None and self._left < 0):
            raise Stopped

    @property
    def spent(self) -> int:
        """Work done so far."""
        return WORK - self._left

    def goes_on(self) -> bool:
        """Say whether there is time left; what runs beside the solve asks this."""
        if self._is_ended or is_end_asked():
            return False
        return self._deadline is None or self._clock() < self._deadline

    @property
    def is_timed(self) -> bool:
        """Whether a clock limits it, or somebody has ended it."""
        return self._deadline is not None or is_end_asked()

    def end(self) -> None:
        """End all that runs beside the solve."""
        self._is_ended = True


def until(limit_s: float | None, clock: Callable[[], float] = monotonic) -> Callable[[], bool]:
    """Give what says whether seconds from now are left, None for no limit, and no end is asked."""
    end = None if limit_s is None else clock() + limit_s
    return lambda: not is_end_asked() and (end is None or clock() < end)


@dataclass(slots=True)
class Patience:
    """How much a search may still do before it gives up: comparisons of labels, and time."""

    left: int
    goes_on: Callable[[], bool]

    def spend(self, comparisons: int) -> None:
        """Note work done.

        Raises
        ------
        Undecided
            When nothing is left.
        """
        self.left -= comparisons
        if self.left < 0 or not self.goes_on():
            raise Undecided("no plan was found, and it is not proven that none exists")


class Beside:
    """Counts the work of a thread; it stops where the whole effort has no time left."""

    def __init__(self, effort: Effort) -> None:
        self._effort = effort
        self.steps = 0

    def spend(self, steps: int) -> None:
        """Note work done. Raises Stopped when the time is over."""
        self.steps += steps
        if not self._effort.goes_on():
            raise Stopped
