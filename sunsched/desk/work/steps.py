"""Work that tells how far it is, as a row of answers."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from queue import Queue
from threading import Thread
from time import monotonic
from typing import Any, TypeAlias

Record = dict[str, Any]
Tell: TypeAlias = Callable[[Record], None]

LEAST_S = 0.2  # between two records that only say how far it is


def steps(work: Callable[[Tell], Record]) -> Iterator[Record]:
    """Give what some work tells while it goes on, and what it gives at its end.

    Parameters
    ----------
    work : is given a function that it may tell records with, at any time and from any thread
    """
    told: Queue[Record | None] = Queue()
    made: list[Record] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            made.append(work(told.put))
        except BaseException as error:  # noqa: BLE001  raised where the answer is waited for
            failed.append(error)
        finally:
            told.put(None)

    thread, last = Thread(target=run, daemon=True), 0.0
    thread.start()
    while (record := told.get()) is not None:
        is_late = monotonic() - last >= LEAST_S
        if is_late or "told" not in record:
            last = monotonic()
            yield record
    if failed:
        raise failed[0]
    yield made[0]
