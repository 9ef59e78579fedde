"""The best day with a decision, at first sight: a good order near to the plan, and its bracket."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sunsched.desk.answers.arrange.base import base_of, ground_of
from sunsched.desk.answers.arrange.said import decision_of
from sunsched.desk.answers.arrange.shown import shown
from sunsched.desk.work.worker import Memory
from sunsched.whatif.price_average.price import quick_price

Record = dict[str, Any]


def answer(memory: Memory, *, folder: str, base: Record | None, said: Record) -> Iterator[Record]:
    """Give a good order under a decision, in a fraction of a second."""
    held = base_of(memory, Path(folder), base)
    decision = decision_of(held.day, said)
    # It was posed for the worth of the order that was let go.
    found = quick_price(held.best, decision, ground_of(memory, held, decision))
    yield {**shown(found), "is_final": False}
