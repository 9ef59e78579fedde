"""Functions compiled before they are called, by this process and one beside it."""

from __future__ import annotations

import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from threading import Thread
from typing import Any

import numpy as np
import numpy.typing as npt
from numba import typeof

from sunsched.solver.machine.function import is_kept
from sunsched.solver.machine.halt import (
    begin_compiling,
    end_compiling,
    end_with_asker,
    unheard,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """A function that is called from outside of compiled ones, and what it may be called with."""

    function: Any
    examples: tuple[Any, ...]

    @property
    def types(self) -> tuple[Any, ...]:
        """The types for which it is compiled."""
        return tuple(typeof(one) for one in self.examples)


# Functions that call the same ones stand together: one process compiles them all.
Group = tuple[Need, ...]


def whole(dimensions: int, kind: Any = np.int64) -> npt.NDArray[Any]:
    """Give an example of an array of whole numbers."""
    return np.zeros((1,) * dimensions, dtype=kind)


def real(dimensions: int, kind: Any = np.float64) -> npt.NDArray[Any]:
    """Give an example of an array of real numbers."""
    return np.zeros((1,) * dimensions, dtype=kind)


def yes_no(dimensions: int) -> npt.NDArray[np.bool_]:
    """Give an example of an array of truths."""
    return np.zeros((1,) * dimensions, dtype=np.bool_)


def are_compiled(modules: Sequence[str]) -> bool:
    """Say whether all that modules need is kept from an earlier run.

    Parameters
    ----------
    modules : names; each has its groups in `NEEDED`, the one that takes longest first
    """
    return not _missing(modules)


def compile_early(modules: Sequence[str], told: Callable[[int, int], None] | None = None) -> None:
    """Compile what is not kept, half of it in a process beside this one if there is a core for it.

    Parameters
    ----------
    modules : as in `are_compiled`
    told : is told of each group that is done: how many are, and of how many
    """
    missing = _missing(modules)
    left = deque(missing)
    begin_compiling(compile_early)
    try:
        with _beside(left):
            while left:
                _compile(*left.popleft())
                if told is not None:
                    told(len(missing) - len(left), len(missing))
    finally:
        end_compiling(compile_early)


def _missing(modules: Sequence[str]) -> list[tuple[str, int]]:
    found = []
    for module in modules:
        for i, group in enumerate(_needed(module)):
            if not all(is_kept(need.function) for need in group):
                found.append((module, i))
    return found


def _needed(module: str) -> tuple[Group, ...]:
    groups: tuple[Group, ...] = import_module(module).NEEDED
    return groups


def _compile(module: str, group: int) -> None:
    for need in _needed(module)[group]:
        need.function.compile(need.types)


def _cores() -> int:
    """Give how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@contextmanager
def _beside(left: deque[tuple[str, int]]) -> Iterator[None]:
    """Let a process take of what is left too, until there is nothing; wait for its last one."""
    if len(left) < 2 or _cores() < 2:
        yield
        return
    # Started afresh, as a copy of a process with threads may stand still for ever.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, fresh, end_with_asker) as pool:

        def hand_out() -> None:
            while True:
                try:
                    module, group = left.popleft()
                except IndexError:
                    return
                try:
                    pool.submit(_compile, module, group).result()
                except BrokenProcessPool:
                    return  # what it has not done is compiled when it is called

        with unheard():
            pool.submit(int)
        thread = Thread(target=hand_out)
        thread.start()
        yield
        thread.join()
