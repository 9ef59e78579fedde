"""Decisions of the day kept and lifted, in its file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sunsched.day.decided import decision_texts, demand_text
from sunsched.desk.answers.arrange.said import decision_of
from sunsched.desk.answers.known import known
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.folder.keep import keep_decision, lift_decision

Record = dict[str, Any]


def answer(
    memory: Memory, *, folder: str, said: Record | None, lifted: str | None
) -> Iterator[Record]:
    """Keep what is said, or lift the decision that is worded so; say what stands now."""
    path = Path(folder)
    day = known(memory, path).reading.day
    if lifted is not None:
        demand = next((one for one in day.decisions if demand_text(day, one) == lifted), None)
        if demand is None:
            raise SunschedError(f"`{lifted}` is no decision of the day any more")
        kept = lift_decision(path, demand)
    else:
        decision = decision_of(day, said or {})
        if not decision:
            raise SunschedError("nothing is decided by that")
        kept = keep_decision(path, *decision)
    yield {
        "decisions": list(decision_texts(kept.day)),
        "gone": [demand_text(kept.day, one) for one in kept.gone],
    }
