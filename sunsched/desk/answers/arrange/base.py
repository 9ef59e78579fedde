"""The order on the page as a plan again: the saved one, or one that the page was given before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np

from sunsched.average.ground import Ground
from sunsched.average.order.forecast import Policy
from sunsched.average.plan import AveragePlan, plan_of_policy
from sunsched.day.clock import instant_ms
from sunsched.day.demand import Decision
from sunsched.day.model import Day
from sunsched.desk.answers.known import Known, known, known_plan
from sunsched.desk.watched.version import version_of
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.score import reference_minutes
from sunsched.saved.plan_file import PastRef
from sunsched.whatif.price_average.ground import decide

Record = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """What an order is tried against.

    `past` is what the saved plan knew of a day under way; None for a whole day.
    """

    one: Known
    best: AveragePlan
    past: PastRef | None

    @property
    def fit(self) -> DayFit:
        """The light of the day, with what is behind the crew."""
        return self.best.policy.rest.fit

    @property
    def day(self) -> Day:
        """The day, with what is behind the crew."""
        return self.fit.day


def base_of(memory: Memory, folder: Path, given: Record | None) -> Base:
    """Give what a page tries its orders against.

    Parameters
    ----------
    given : an arrangement that the page got before; None for the saved plan

    Raises
    ------
    SunschedError
        When none is given and none is saved, or the folder is at fault.
    """
    one = known(memory, folder)
    saved = known_plan(memory, one)
    past = None if saved is None else saved.revision.past

    def make() -> AveragePlan:
        if given is not None:
            fit = one.fit if saved is None else saved.policy.rest.fit
            return plan_of_policy(policy_given(Ground(fit), given), given.get("bound"))
        if saved is None:
            raise SunschedError("no plan is saved yet")
        return saved.restored.average or plan_of_policy(saved.policy, None)

    key = ("base", folder, version_of(folder), repr(given))
    return Base(one=one, best=memory.keep(key, make), past=past)


def ground_of(memory: Memory, base: Base, decision: Decision) -> Ground:
    """Pose the day under a decision, or give it as it was posed for the last question."""
    key = ("ground", base.one.folder, version_of(base.one.folder), base.past, repr(decision))
    return memory.keep(key, lambda: decide(base.fit, decision, base.best.policy))


def arrangement(policy: Policy, bound: int | None) -> Record:
    """Give what it takes to follow an order again: shots, suns of matches, bound."""
    fit = policy.rest.fit
    minutes = reference_minutes(fit)[policy.references].tolist()
    suns = {
        name: instant_ms(fit.time_of(int(minute)))
        for name, minute in zip(policy.drifts.names, minutes, strict=True)
    }
    return {"ids": list(policy.ids), "suns": suns, "bound": bound}


def policy_given(ground: Ground, given: Record) -> Policy:
    """Follow an order again that a page was given; shots that the day has no more are left away."""
    order = ground.indices(given["ids"])
    return ground.policy(ground.ordered(order, suns_of(ground, given["suns"])))


def suns_of(ground: Ground, suns: dict[str, int]) -> IntArray:
    """Give the references of matches nearest to the moments that a page has for them."""
    fit, minutes = ground.fit, reference_minutes(ground.fit)
    middle = len(minutes) // 2
    return np.array(
        [
            int(np.abs(minutes - fit.minute_of(_moment(suns[name]))).argmin())
            if name in suns
            else middle
            for name in ground.drifts.names
        ],
        dtype=np.int64,
    )


def _moment(ms: int) -> datetime:
    return datetime.fromtimestamp(ms / 1000, UTC)
