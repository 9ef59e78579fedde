"""The best day with a decision, better and better, with what it costs and who pays."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sunsched.desk.answers.arrange.base import base_of
from sunsched.desk.answers.arrange.proposal import solved_of
from sunsched.desk.answers.arrange.said import decision_of
from sunsched.desk.answers.arrange.shown import shown
from sunsched.desk.work.steps import Tell, steps
from sunsched.desk.work.worker import Memory
from sunsched.whatif.price_average.price import average_price

Record = dict[str, Any]


def answer(memory: Memory, *, folder: str, base: Record | None, said: Record) -> Iterator[Record]:
    """Give the best order found under a decision, with its price as a bracket."""
    held = base_of(memory, Path(folder), base)
    decision = decision_of(held.day, said)

    def work(tell: Tell) -> Record:
        solved = solved_of(memory, held.day, tell)
        tell({"told": "looking for the best day with it"})
        return {**shown(average_price(solved, held.best, decision)), "is_final": True}

    yield from steps(work)
