"""What an order keeps on the average day, shot by shot, as exact chances."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from sunsched.average.model.drift import Drifts, with_references
from sunsched.average.model.odds import Odds
from sunsched.average.model.rest import BEFORE_MEAL, PIN_POINTS, Rest
from sunsched.average.order.decisions import EAT, Decisions, Flow, decide, follow
from sunsched.average.order.search import Scratch
from sunsched.day.model import Shot
from sunsched.light.fit import HALF, IntArray
from sunsched.sky.track import FloatArray

LIKELY = (0.1, 0.5, 0.9)  # shares of the days between which a roll is likely to start
SELDOM = 0.05  # the share of days that are earlier than the crew is said to be ready
RARELY = 0.005  # the share of days that are later than anybody plans for


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """One shot on the average day; minutes are of the track.

    Attributes
    ----------
    made, half : chance that it is made; that it is made and keeps half its light
    light : expected share of its light, 0 where it is not made
    on_pin : chance that it is made at its pin; None for a shot without
    roll_min : when its roll starts on the tenth, the middle and the last tenth of the days on which
        it rolls; None where it never does
    not_before_min : the minute that a crew which is ready early waits for; None where it rolls at
        once
    begin_by_min : the last minute in which a crew that has the shots before it behind begins it;
        None where hardly any day is later than that
    """

    shot: Shot
    made: float
    half: float
    light: float
    on_pin: float | None
    roll_min: tuple[int, int, int] | None
    not_before_min: int | None
    begin_by_min: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """An order with what the crew does in each state, to the minute.

    `order` and `references` are indices as of the rest.
    """

    rest: Rest
    drifts: Drifts
    order: IntArray
    references: IntArray
    odds: Odds
    decisions: Decisions

    @property
    def shots(self) -> tuple[Shot, ...]:
        """Shots still to come, in order."""
        return tuple(self.rest.shots[s] for s in self.order)

    @property
    def ids(self) -> tuple[str, ...]:
        """Their ids."""
        return tuple(shot.id for shot in self.shots)


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy(Followed):
    """An order with the best way to follow it, what that is worth and how often the crew is where.

    `worth` is in the judge's points.
    """

    worth: float
    flow: Flow
    _chances: list[tuple[Chance, ...]] = field(init=False, default_factory=list, compare=False)

    @property
    def chances(self) -> tuple[Chance, ...]:
        """The chances of each shot still to come, in order; worked out once."""
        if not self._chances:
            self._chances.append(tuple(_chance(self, k) for k in range(len(self.order))))
        return self._chances[0]

    def __repr__(self) -> str:
        """Give one line, not the decisions."""
        return f"<Policy of {' '.join(self.ids)}: {self.worth:.0f} points>"


def decide_order(
    scratch: Scratch, odds: Odds, order: IntArray, references: IntArray
) -> tuple[Followed, float]:
    """Give the best decisions for an order, and their worth with points on top for pins.

    Parameters
    ----------
    scratch : on slots of a minute
    odds : with every match at its reference
    """
    worth = scratch.worth(order, references, odds)
    decisions = decide(odds, order, scratch.free, scratch.fed, scratch.ready)
    followed = Followed(
        rest=scratch.rest,
        drifts=scratch.drifts,
        order=order,
        references=references,
        odds=odds,
        decisions=decisions,
    )
    return followed, worth


def make_policy(
    rest: Rest,
    drifts: Drifts,
    order: IntArray,
    references: IntArray,
    odds: Odds | None = None,
) -> Policy:
    """Work out the best way to follow an order.

    Parameters
    ----------
    rest : on slots of a minute
    odds : those at the references, if they are known
    """
    if odds is None:
        odds = with_references(rest, drifts, references)
    followed, worth = decide_order(Scratch(rest, drifts), odds, order, references)
    policy = Policy(
        rest=rest,
        drifts=drifts,
        order=order,
        references=references,
        worth=worth,
        odds=odds,
        decisions=followed.decisions,
        flow=follow(odds, order, followed.decisions, rest.fed),
    )
    pinned = sum(_on_pin(policy, s) or 0.0 for s in order.tolist())
    return replace(policy, worth=worth - PIN_POINTS * pinned)


def forecast(policy: Policy) -> tuple[Chance, ...]:
    """Give the chances of each shot still to come, in order."""
    return policy.chances


def chance_made(policy: Policy, shot: Shot) -> float:
    """Give the chance that a shot still to come is made, 0 if it is not in the order."""
    rest, made = policy.rest, 0.0
    for row, (s, _) in enumerate(rest.rooms):
        if rest.shots[s].id == shot.id and s in policy.order:
            made += float(policy.flow.rolls[row] @ _roll_tables(rest, row)[0])
    return min(1.0, made)


def light_share(policy: Policy) -> float:
    """Give the share of all light that is kept on the average day, 0 to 1."""
    fit = policy.rest.fit
    day, past = fit.day, fit.day.past
    kept = sum(chance.light * chance.shot.weight for chance in forecast(policy))
    for one in () if past is None else past.made:
        shot = day.shot(one.shot_id)
        kept += float(fit.shots[shot.id].mean[fit.minute_of(one.roll_start)]) * shot.weight
    return kept / sum(shot.weight for shot in day.shots)


def _on_pin(policy: Policy, s: int) -> float | None:
    """Give the chance that a shot rolls at its pin and is made."""
    rest, kept = policy.rest, 0.0
    pin = rest.shots[s].pin
    if pin is None:
        return None
    slot = rest.fit.minute_of(pin) - rest.origin
    for row in range(policy.odds.room_from[s], policy.odds.room_from[s + 1]):
        if 0 <= slot < rest.slots:
            kept += float(policy.flow.rolls[row, slot] * _roll_tables(rest, row)[0][slot])
    return kept


def _chance(policy: Policy, place: int) -> Chance:
    rest, flow = policy.rest, policy.flow
    s = int(policy.order[place])
    first, last = policy.odds.room_from[s], policy.odds.room_from[s + 1]
    made = half = light = 0.0
    for row in range(first, last):
        tables = _roll_tables(rest, row)
        made, half, light = (
            total + float(flow.rolls[row] @ table)
            for total, table in zip((made, half, light), tables, strict=True)
        )
    rolls = flow.rolls[first:last].sum(axis=0)
    return Chance(
        shot=rest.shots[s],
        made=min(1.0, made),
        half=min(1.0, half),
        light=min(1.0, light),
        on_pin=_on_pin(policy, s),
        roll_min=_quantiles(rest, rolls),
        not_before_min=_not_before(policy, place),
        begin_by_min=_begin_by(policy, place),
    )


def _roll_tables(rest: Rest, row: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Give the chance to be made, the chance of half the light, and the light, by the start."""
    s, room = rest.rooms[row]
    law, starts = rest.roll_laws[s], rest.minutes
    light = rest.fit.shots[rest.shots[s].id].fit
    sums = np.concatenate(([0.0], np.cumsum(light)))
    inside = (starts >= room.first) & (starts < room.last)
    begin = starts[inside][:, None]
    lasts = law.first + np.arange(len(law.chances))[None, :]
    is_made = begin + lasts <= room.last
    mean = np.where(is_made, (sums[np.minimum(begin + lasts, room.last)] - sums[begin]) / lasts, 0)
    found = np.zeros((3, len(starts)))
    found[:, inside] = (
        is_made @ law.chances,
        (mean >= HALF - 1e-9) @ law.chances,
        mean @ law.chances,
    )
    return found[0], found[1], found[2]


def _quantiles(rest: Rest, rolls: FloatArray) -> tuple[int, int, int] | None:
    total = rolls.sum()
    if total < 1e-9:
        return None
    below = np.cumsum(rolls) / total
    early, middle, late = (
        rest.origin + int(np.searchsorted(below, share - 1e-9)) * rest.grid_min for share in LIKELY
    )
    return early, middle, late


def _not_before(policy: Policy, place: int) -> int | None:
    """Give the minute that a crew which is ready as early as it is likely to be waits for."""
    rest, ready = policy.rest, policy.flow.ready[place]
    total = ready.sum()
    if total < 1e-9:
        return None
    early = int(np.searchsorted(np.cumsum(ready) / total, SELDOM))
    rolls = policy.flow.rolls[
        policy.odds.room_from[policy.order[place]] : policy.odds.room_from[policy.order[place] + 1]
    ].sum(axis=0)
    first = int(np.argmax(np.cumsum(rolls) >= SELDOM * max(rolls.sum(), 1e-9)))
    return None if first <= early else rest.origin + first * rest.grid_min


def _begin_by(policy: Policy, place: int) -> int | None:
    """Give the last minute in which the shot is begun by a crew that has those before it behind.

    None where that crew is hardly ever later than that, or never there.
    """
    rest, flow = policy.rest, policy.flow
    fed = int(flow.free[:, place].sum(axis=1).argmax())
    total = flow.free[fed, place].sum()
    if total < SELDOM:
        return None
    below = np.cumsum(flow.free[fed, place]) / total
    early, late = (int(np.searchsorted(below, share)) for share in (SELDOM, 1.0 - RARELY))
    goes_on = policy.decisions.step[fed, place, early : late + 1] == 1
    if fed == BEFORE_MEAL:
        goes_on |= policy.decisions.step[fed, place, early : late + 1] == EAT
    if goes_on.all() or not goes_on.any():
        return None
    first = int(goes_on.argmax())
    stays = goes_on[first:]
    last = early + first + (len(stays) if stays.all() else int(stays.argmin())) - 1
    return None if last >= late else rest.origin + last * rest.grid_min
