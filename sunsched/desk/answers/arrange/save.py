"""An order of the page saved as the next revision, as `plan --save` does."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from sunsched.average.ground import Ground
from sunsched.average.plan import plan_of_policy
from sunsched.desk.answers.arrange.base import policy_given
from sunsched.desk.answers.arrange.proposal import proposal
from sunsched.desk.answers.known import known, known_plan
from sunsched.desk.work.worker import Memory
from sunsched.errors import WriteRefused
from sunsched.saved.numbers import revision_numbers
from sunsched.show.records.saved import save_plan

Record = dict[str, Any]


def answer(
    memory: Memory, *, folder: str, given: Record | None, follows: int, made_at: str
) -> Iterator[Record]:
    """Save a plan.

    Parameters
    ----------
    given : an arrangement that the page got before; None for the plan that `plan` finds
    follows : the revision on the page, 0 for none; refused where another is the newest
    made_at : now, in ISO 8601
    """
    path = Path(folder)
    newest = max(revision_numbers(path), default=0)
    if newest != follows:
        hint = "the page shows that one now; look at it first"
        raise WriteRefused(f"revision {newest} was saved meanwhile\n  hint: {hint}")
    one = known(memory, path)
    saved = known_plan(memory, one)
    past = None
    if given is None:
        found = proposal(memory, one.reading.day, lambda _: None).found
    else:
        past = None if saved is None else saved.revision.past
        fit = one.fit if saved is None else saved.policy.rest.fit
        found = plan_of_policy(policy_given(Ground(fit), given), given.get("bound"))
    when = datetime.fromisoformat(made_at)
    yield {"revision": save_plan(path, found, made_at=when, past=past, follows=follows)}
