"""Work that tells how far it is, as a row of answers."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from queue import Queue
from time import monotonic
from typing import Any, TypeAlias

from sunsched.desk.work.worker import Memory

Record = dict[str, Any]
Tell: TypeAlias = Callable[[Record], None]

LEAST_S = 0.2  # between two records that only say how far it is


def steps(memory: Memory, work: Callable[[Tell], Record]) -> Iterator[Record]:
    """Give what some work tells while it goes on, and what it gives at its end.

    Parameters
    ----------
    work : is given a function that it may tell records with, at any time and from any thread;
        that raises `Left` once nobody waits for the answer any more
    """
    told, last = Queue[Record | None](), 0.0

    def tell(record: Record) -> None:
        memory.refuse_left()
        told.put(record)

    # Leaving this waits for the work: no other question is answered beside work that was left.
    with ThreadPoolExecutor(1) as beside:
        made = beside.submit(work, tell)
        made.add_done_callback(lambda _: told.put(None))
        while (record := told.get()) is not None:
            is_late = monotonic() - last >= LEAST_S
            if is_late or "told" not in record:
                last = monotonic()
                yield record
        yield made.result()
