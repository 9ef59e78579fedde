"""The best plan known while a solve goes on, and how paths that are no orders improve on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import contextmanager

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import LOST, NEVER, Tables
from sunsched.solver.search.budget import Effort, Stopped
from sunsched.solver.search.recreate import Found, insert_all, ruin_and_recreate, settle
from sunsched.solver.timing.references import best_references, set_references


class Incumbent:
    """The best plan known, with the smallest bound on every plan.

    Attributes
    ----------
    found : the best order known; its value is NEVER while there is none
    nothing : a plan without shots, to start from
    bound : scaled; no plan is worth more
    must_worth : scaled; what values and bounds have on top for all that must be made
    """

    def __init__(self, tables: Tables, problem: Problem) -> None:
        self.tables, self.problem = tables, problem
        kinds, n, slots = tables.gain.shape
        self._own = tables._replace(gain=tables.gain.copy())
        self._before = np.empty((2, n + 1, slots), dtype=np.int64)
        self._ahead = np.empty((2, kinds, n + 1, slots), dtype=np.int64)
        self._tried: set[tuple[int, ...]] = set()
        self.found = self.nothing = Found(
            value=NEVER,
            sequence=np.empty(0, dtype=np.int64),
            references=np.zeros(int(problem.match.max()) + 1, dtype=np.int64),
        )
        # Every shot at its best start, and no cost at all: poor, but a bound from the first moment.
        self.bound = int(np.maximum(0, tables.gain.max(axis=(0, 2))).sum())
        self.must_worth = tables.must_worth * int(problem.must.sum())
        # No plan without one of them is worth so much.
        self._least = self.must_worth - tables.must_worth // 2

    @property
    def value(self) -> int:
        """What a plan must beat: the best one known, or not making all that must be made."""
        return max(self.found.value, self._least)

    @property
    def is_plan(self) -> bool:
        """Whether the best plan known makes all that must be made."""
        return self.found.value > self._least

    def on_top(self) -> IntArray:
        """Give what making each shot has on top because it must be made: (n,), scaled."""
        return self.problem.must * self.tables.must_worth

    def offer(self, found: Found) -> None:
        """Keep a plan if it is better."""
        if found.value > max(LOST, self.found.value):
            self.found = found

    def twin(self) -> Incumbent:
        """Give another that knows the same plan, for a thread of its own."""
        other = Incumbent(self.tables, self.problem)
        other.found, other.bound = self.found, self.bound
        return other

    def search(self, rounds: int, seed: int, start: Found) -> None:
        """Look for a better plan by ruin and recreate."""
        self.offer(self._searched(rounds, seed, start, lambda: True))

    @contextmanager
    def searching(
        self, rounds: int, seeds: Sequence[int], start: Found, effort: Effort
    ) -> Iterator[None]:
        """Search beside what is done meanwhile, in threads; what is found counts from the end on.

        So it does not matter which thread is faster, and the same problem gives the same plan. A
        search ends early when no better plan is left to be found.
        """

        def goes_on() -> bool:
            return effort.goes_on() and self.bound > self.value

        with ThreadPoolExecutor(max(1, len(seeds))) as pool:
            jobs = [pool.submit(self._searched, rounds, seed, start, goes_on) for seed in seeds]
            try:
                yield
                wait(jobs)
            except BaseException as error:
                effort.end()
                # A solve that a clock or a person ends differs from run to run anyway, so all that
                # was found so far may count.
                if isinstance(error, KeyboardInterrupt) or (
                    isinstance(error, Stopped) and effort.is_timed
                ):
                    self._keep(jobs)
                raise
            self._keep(jobs)

    def _keep(self, jobs: Sequence[Future[Found]]) -> None:
        for job in jobs:
            self.offer(job.result())

    def _searched(self, rounds: int, seed: int, start: Found, go_on: Callable[[], bool]) -> Found:
        drift, match = self.problem.drift, self.problem.match
        return ruin_and_recreate(self.tables, drift, match, rounds, seed, start, go_on)

    def offer_path(self, path: IntArray) -> int:
        """Try the shots of a path, each where it comes first; give the value to beat.

        Parameters
        ----------
        path : (length, 2) shots and slots, in the order of time
        """
        shots, places = np.unique(path[:, 0], return_index=True)
        order = np.argsort(places)
        self._try(shots[order], path[places[order], 1])
        return self.value

    def _try(self, sequence: IntArray, starts: IntArray) -> None:
        """Give each match the best reference for these starts, add the shots left, and time all."""
        if not len(sequence):
            return
        drift, match = self.problem.drift, self.problem.match
        trial = np.full(self.problem.shots, -1, dtype=np.int64)
        trial[: len(sequence)] = sequence
        references = np.zeros_like(self.found.references)
        best_references(drift, match, trial, len(sequence), starts, references)
        key = (*sequence.tolist(), -1, *references.tolist())
        if key in self._tried:
            return
        self._tried.add(key)
        gain = self.tables.gain
        set_references(self._own.gain, gain, drift, match, references)
        none = np.empty(0, dtype=np.int64)
        length = insert_all(self._own, trial, len(sequence), self._before, self._ahead, none)
        if length:
            value = int(settle(self._own, gain, drift, match, trial, length, references))
            self.offer(Found(value=value, sequence=trial[:length], references=references))
