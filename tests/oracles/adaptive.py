"""The best way of shooting a small day on which work takes minutes by chance, by plain recursion.

Nothing of the programme is used but the day's facts: states are what was begun, where the crew
stands, what it has eaten and the clock; all decisions are tried in each of them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from sunsched.day.model import Shot, Size
from sunsched.light.fit import DayFit
from sunsched.plan.changeover import changeover
from sunsched.plan.score import drift_costs_at, left_out_cost

Law = Callable[[int], Mapping[int, float]]
LEAST = -1e18


@dataclass(kw_only=True)
class Chances:
    """A day without a past, whose work takes the minutes of a law, on a grid of minutes.

    `references` are those of the matches; `order`, if given, is kept: at most two shots in a row
    are left out.
    """

    fit: DayFit
    law: Law
    grid_min: int
    references: Mapping[str, int]
    order: tuple[str, ...] | None = None
    known: dict[tuple[object, ...], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Look up what every state asks for."""
        day, fit = self.fit.day, self.fit
        self.call, self.wrap = fit.minute_of(day.hours.crew_call), fit.minute_of(day.hours.wrap)
        self.end = fit.minute_of(day.hours.hard_wrap)
        self.end -= (self.end - self.call) % self.grid_min
        halves = np.arange(2 * self.end + 1)
        self.drift = {
            shot.id: drift_costs_at(fit, shot, halves)[:, self.references[shot.match]]
            for shot in day.shots
            if shot.match in self.references
        }
        self.light = {
            shot.id: np.concatenate(([0.0], np.cumsum(fit.shots[shot.id].fit)))
            for shot in day.shots
        }
        minutes = range(self.call, self.end + self.grid_min)
        self.can_roll = {
            shot.id: {minute for minute in minutes if self._may_roll(shot, minute)}
            for shot in day.shots
        }

    def worth(self) -> float:
        """Give the expected points of the best way, counted as the judge counts."""
        lost = sum(left_out_cost(self.fit.day, shot) for shot in self.fit.day.shots)
        return self.free("", (), "hungry", self.call) - lost

    def free(self, at: str, begun: tuple[str, ...], fed: str, now: int) -> float:
        """Give the worth of being free."""
        key = (at, frozenset(begun), fed, now)
        if key not in self.known:
            self.known[key] = self._free(at, begun, fed, now)
        return self.known[key]

    def _free(self, at: str, begun: tuple[str, ...], fed: str, now: int) -> float:
        day, costs = self.fit.day, self.fit.day.costs
        best = -float(costs.wait * (now - self.call) + costs.overtime * max(0, now - self.wrap))
        if fed == "hungry" and day.meal.earliest <= day.meal.latest:
            up = self._grid_up(max(now, self.fit.minute_of(day.meal.earliest)))
            up += -(-day.meal.length_min // self.grid_min) * self.grid_min
            if up <= self.end:
                rest = self.free(at, begun, "from the meal", up)
                best = max(best, rest + costs.wait * day.meal.length_min)
        for shot in self._next(begun):
            best = max(best, self._begin(at, begun, fed, now, shot))
        return best

    def _next(self, begun: tuple[str, ...]) -> list[Shot]:
        day = self.fit.day
        if self.order is not None:
            behind = 1 + max((self.order.index(one) for one in begun), default=-1)
            return [day.shot(one) for one in self.order[behind : behind + 3]]
        named = {name for one in begun for name in day.shot(one).after}
        return [shot for shot in day.shots if shot.id not in begun and shot.id not in named]

    def _begin(self, at: str, begun: tuple[str, ...], fed: str, now: int, shot: Shot) -> float:
        day, costs = self.fit.day, self.fit.day.costs
        before = day.shot(at) if at else None
        parts = changeover(day, before, shot)
        paid = 0.0
        if before is not None:
            paid += costs.move * (before.spot != shot.spot)
            paid += costs.rig_change * (before.rig != shot.rig)
        earlier = begun if self.order is None else self.order[: self.order.index(shot.id)]
        for one in map(day.shot, earlier):
            if one.match and one.match == shot.match and one.size.rank > shot.size.rank:
                paid += costs.wide_to_tight
        if fed == "from the meal":
            paid += costs.after_meal * (shot.size in (Size.CLOSE_UP, Size.WIDE))
        then = "hungry" if fed == "hungry" else "fed"
        spans = day.spot(shot.spot).open
        opens = [self.fit.minute_of(span.start) for span in spans] or [self.call]
        shuts = [self.fit.minute_of(span.end) for span in spans] or [self.end]
        best = LEAST
        for opening, shut in zip(opens, shuts, strict=True):
            begins = max(now, self._grid_up(opening - min(self.law(parts.move_min))))
            if begins > self.end:
                continue
            ready = partial(self._ready, shot, (*begun, shot.id), then, (opening, shut))
            chances = self.law(parts.total_min).items()
            best = max(best, sum(p * ready(min(begins + k, self.end)) for k, p in chances))
        return best - paid

    def _ready(
        self, shot: Shot, begun: tuple[str, ...], fed: str, spot: tuple[int, int], now: int
    ) -> float:
        key = ("ready", shot.id, frozenset(begun), fed, spot, now)
        if key not in self.known:
            best = self.free(shot.id, begun, fed, now)
            latest = self.fit.minute_of(self.fit.day.meal.latest)
            for start in range(now, self.end, self.grid_min):
                last = self._last(shot, spot, start)
                if last is None or (fed == "hungry" and start + shot.shoot_min > latest):
                    continue
                if self._grid_down(last) > start:
                    best = max(best, self._roll(shot, begun, fed, start, last))
            self.known[key] = best
        return self.known[key]

    def _roll(self, shot: Shot, begun: tuple[str, ...], fed: str, start: int, last: int) -> float:
        day, total = self.fit.day, 0.0
        sums = self.light[shot.id]
        for minutes, chance in self.law(shot.shoot_min).items():
            end = min(start + minutes, last)
            won = float(day.costs.wait * (end - start))
            won += self.free(shot.id, begun, fed, self._grid_down(end))
            if start + minutes <= last:
                won += 1000 * shot.weight * float(sums[end] - sums[start]) / minutes
                won += left_out_cost(day, shot)
                if shot.match in self.references:
                    won -= float(self.drift[shot.id][start + end])
            total += chance * won
        return total

    def _last(self, shot: Shot, spot: tuple[int, int], start: int) -> int | None:
        """Give the end of the stretch in which a roll would start: None for none.

        Stretches too short for the planned roll are none.
        """
        may = self.can_roll[shot.id]
        if start not in may or not spot[0] <= start < spot[1]:
            return None
        first = last = start
        while first - 1 in may and first > spot[0]:
            first -= 1
        while last in may and last < spot[1]:
            last += 1
        return last if last - first >= shot.shoot_min else None

    def _may_roll(self, shot: Shot, minute: int) -> bool:
        day = self.fit.day
        begin = self.fit.time_of(minute)
        if not day.hours.first_roll <= begin < day.hours.hard_wrap:
            return False
        here = {member.name: member.here for member in day.cast}
        for name in shot.cast:
            spans = here.get(name, ())
            if spans and not any(span.start <= begin < span.end for span in spans):
                return False
        return not shot.hold or bool(self.fit.shots[shot.id].held[minute])

    def _grid_up(self, minute: int) -> int:
        return self.call + -(-max(0, minute - self.call) // self.grid_min) * self.grid_min

    def _grid_down(self, minute: int) -> int:
        return minute - (minute - self.call) % self.grid_min
