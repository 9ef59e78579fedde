"""Whether a day has any plan at all: a check on the minute grid that knows nothing of the solver.

To be free earlier never makes a day worse, since the crew may wait. So the steps of a day (its
rolls and its meal) are the arcs of a first-in-first-out network, and Dijkstra's algorithm finds the
earliest arrival in it (Dijkstra, Numerische Mathematik 1:269-271, 1959; for networks that change
with time: Kaufman & Smith, IVHS Journal 1(1):1-11, 1993; both named from memory). A state is the
number of pins made, the last shot, and whether the meal was taken.

There are two searches. The first is relaxed: shots without a pin may be made again, and `after`
counts only between a pin and another shot. It has few states. If it finds nothing, no plan exists;
if what it finds obeys every rule, that is the answer. Otherwise the second search also remembers
which shots may not be made any more. It is exact, and it may give up on unusual days.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np

from sunsched.day.model import Day, Shot
from sunsched.day.past import made_ids
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.availability import may_roll_at, needs
from sunsched.plan.changeover import changeover
from sunsched.plan.plan import place_changeovers
from sunsched.plan.rules import breaches
from sunsched.plan.timetable import Timetable
from sunsched.solver.search.budget import Patience, until

COMPARISONS = 50_000_000  # comparisons of labels after which a search gives up: some seconds
NEVER = 1 << 30  # a minute that does not come
MEAL = -1  # stands for the meal in the steps of a label


def possible_timetable(fit: DayFit, patience: Patience | None = None) -> Timetable | None:
    """Give some timetable that obeys every rule of the day, on the minute grid; None if none does.

    It makes what must be made and little else. Of a day under way without pins to come, it may make
    nothing more.

    Parameters
    ----------
    patience : what the search may do, and what is left of it then; None for the usual work

    Raises
    ------
    Undecided
        When the exact search gives up.
    """
    network = _network(fit)
    patience = patience or Patience(left=COMPARISONS, goes_on=until(None))
    found = _first_whole(network, [0] * len(fit.day.shots), patience)
    if found is not None and not _is_real(network, found):
        found = _first_whole(network, network.bars, patience)
    if found is None:
        return None
    timetable = _timetable(fit, found)
    wrong = breaches(fit, timetable)
    if wrong:
        raise AssertionError("; ".join(breach.text for breach in wrong))
    return timetable


def is_possible(day: Day, patience: Patience | None = None) -> bool:
    """Say whether any plan on the minute grid obeys the day's rules; may raise `Undecided`."""
    return possible_timetable(fit_checked(day), patience) is not None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Label:
    """A way to begin the rest of the day: (shot or MEAL, start) for each step, and where it leads.

    `free` is the minute when the crew is free; each bit of `barred` is a shot not to be made now.
    """

    free: int
    pins: int
    last: int
    is_fed: bool
    barred: int = 0
    steps: tuple[tuple[int, int], ...] = ()

    @property
    def state(self) -> tuple[int, int, bool]:
        """What the rest depends on, beside the time and the barred shots."""
        return self.pins, self.last, self.is_fed

    def is_no_worse(self, other: _Label) -> bool:
        """Say whether all that can follow another label in the same state can follow this one."""
        return self.free <= other.free and not self.barred & ~other.barred


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Network:
    """A day as the searches see it: minutes of the track, and shots by their place in the list.

    `pins` are the pinned shots still to come, in the order of their minutes; `choices` has for each
    number of pins made the shots that may come next, as far as pins decide that. `arcs` has for
    each last shot (in its last row: none) and each next one the minutes of changeover, and for each
    minute the first one from it on at which the next shot may roll. `bars` are, as bits, the shots
    that may not be made once a shot is made. `built` is when `building` (-1: none) is ready to
    roll if it comes first.
    """

    root: _Label
    pins: tuple[int, ...]
    pin_minutes: tuple[int, ...]
    choices: tuple[tuple[int, ...], ...]
    arcs: tuple[tuple[tuple[int, list[int]], ...], ...]
    bars: tuple[int, ...]
    roll_min: tuple[int, ...]
    building: int
    built: int
    meal_earliest: int
    meal_latest: int
    meal_min: int


def _first_whole(network: _Network, bars: Sequence[int], patience: Patience) -> _Label | None:
    """Search for a whole day, with most pins first, then earliest free; relaxed if `bars` are 0.

    A label goes when another one in its state is no worse. A bar only forbids, so what can follow a
    label can also follow one that has no bar beyond it and is free no later. Labels that have just
    made a pin are free at the same minute, so most pins first costs little, and a search that has a
    way past the next pin does not try all the others.
    """
    queue = [(0, network.root.free, 0, network.root)]
    kept = {network.root.state: [network.root]}
    count = 0
    while queue:
        label = heappop(queue)[-1]
        if label not in kept[label.state]:
            continue
        if label.pins == len(network.pins) and label.last < len(network.bars):
            return label
        for then in _followers(network, label, bars):
            others = kept.setdefault(then.state, [])
            patience.spend(1 + len(others))
            if any(other.is_no_worse(then) for other in others):
                continue
            others[:] = [other for other in others if not then.is_no_worse(other)]
            others.append(then)
            count += 1
            heappush(queue, (-then.pins, then.free, count, then))
    return None


def _followers(network: _Network, label: _Label, bars: Sequence[int]) -> Iterator[_Label]:
    """Yield the labels one step on: the meal, the next pin, or any shot without one."""
    pins = label.pins
    # A roll that ends past the latest start of the meal needs the meal before it.
    over_by = NEVER if label.is_fed else network.meal_latest
    if not label.is_fed:
        start = max(label.free, network.meal_earliest)
        if start <= network.meal_latest:
            yield _Label(
                free=start + network.meal_min,
                pins=pins,
                last=label.last,
                is_fed=True,
                barred=label.barred,
                steps=(*label.steps, (MEAL, start)),
            )
    for shot in network.choices[pins]:
        if label.barred >> shot & 1:
            continue
        changeover_min, next_start = network.arcs[label.last][shot]
        ready = label.free + changeover_min
        if shot == network.building and not label.steps:
            ready = network.built
        start = next_start[ready] if ready < len(next_start) else NEVER
        end = start + network.roll_min[shot]
        is_pin = shot in network.pins
        if start == NEVER or end > over_by or not (is_pin or end <= network.pin_minutes[pins]):
            continue
        yield _Label(
            free=end,
            pins=pins + is_pin,
            last=shot,
            is_fed=label.is_fed,
            barred=label.barred | bars[shot],
            steps=(*label.steps, (shot, start)),
        )


def _is_real(network: _Network, label: _Label) -> bool:
    """Say whether a label of the relaxed search makes no shot that is barred."""
    barred = 0
    for shot, _ in label.steps:
        if shot != MEAL:
            if barred >> shot & 1:
                return False
            barred |= network.bars[shot]
    return True


def _timetable(fit: DayFit, label: _Label) -> Timetable:
    """Put a label on the clock, behind what was made already."""
    day = fit.day
    made = () if day.past is None else day.past.made
    rolls = [(day.shot(one.shot_id), one.roll_start) for one in made]
    meal_start = None if day.past is None else day.past.meal_start
    for shot, minute in label.steps:
        if shot == MEAL:
            meal_start = fit.time_of(minute)
        else:
            rolls.append((day.shots[shot], fit.time_of(minute)))
    return Timetable(rolls=place_changeovers(day, rolls, meal_start), meal_start=meal_start)


def _network(fit: DayFit) -> _Network:
    """Tabulate a day; a pinned shot that was cut stays in it and has no start."""
    day, shots, behind = fit.day, fit.day.shots, fit.day.past
    place = {shot.id: s for s, shot in enumerate(shots)}
    coming = [s for s, shot in enumerate(shots) if shot.id not in made_ids(behind)]
    pinned = sorted((fit.minute_of(pin), s) for s in coming if (pin := shots[s].pin) is not None)
    pins = [s for _, s in pinned]
    arcs = _arcs(fit)
    bars = [
        1 << s | sum(1 << place[name] for name in {*shot.after} - {shot.id})
        for s, shot in enumerate(shots)
    ]
    free, last, building, built = fit.minute_of(day.hours.crew_call), len(shots), -1, 0
    if behind is not None:
        free = max(free, fit.minute_of(behind.free_at))
        last = place[behind.made[-1].shot_id] if behind.made else last
        if behind.building is not None and behind.built_since is not None:
            building = place[behind.building]
            built = max(free, fit.minute_of(behind.built_since) + arcs[last][building][0])
    return _Network(
        root=_Label(
            free=free,
            pins=0,
            last=last,
            is_fed=behind is not None and behind.meal_start is not None,
        ),
        pins=tuple(pins),
        pin_minutes=(*(minute for minute, _ in pinned), NEVER),
        choices=tuple(_choices(coming, pins, made, bars) for made in range(len(pins) + 1)),
        arcs=arcs,
        bars=tuple(bars),
        roll_min=tuple(shot.shoot_min for shot in shots),
        building=building,
        built=built,
        meal_earliest=fit.minute_of(day.meal.earliest),
        meal_latest=fit.minute_of(day.meal.latest),
        meal_min=day.meal.length_min,
    )


def _choices(coming: list[int], pins: list[int], made: int, bars: list[int]) -> tuple[int, ...]:
    """List the next pin and the shots without one, less those that other pins forbid."""
    free = [s for s in coming if s not in pins]
    return tuple(
        s
        for s in (*pins[made : made + 1], *free)
        if not any(bars[pin] >> s & 1 for pin in pins[:made])
        and not any(bars[s] >> pin & 1 for pin in pins[made:] if pin != s)
    )


def _arcs(fit: DayFit) -> tuple[tuple[tuple[int, list[int]], ...], ...]:
    """Tabulate each changeover, the first one of the day last, and the starts that it allows."""
    day, shots = fit.day, fit.day.shots
    tables: dict[tuple[str, int], list[int]] = {}
    arcs = []
    for before in (*shots, None):
        row = []
        for shot in shots:
            parts = changeover(day, before, shot)
            key = (shot.id, parts.at_spot_min)
            if key not in tables:
                tables[key] = _next_starts(fit, shot, parts.at_spot_min)
            row.append((parts.total_min, tables[key]))
        arcs.append(tuple(row))
    return tuple(arcs)


def _next_starts(fit: DayFit, shot: Shot, at_spot_min: int) -> list[int]:
    """Give for each minute the first one from it on at which a shot may roll.

    `at_spot_min` is how long its build at the spot takes.
    """
    starts = np.arange(len(fit.track))
    allowed = may_roll_at(shot, needs(fit, shot), at_spot_min, starts)
    if shot.id in fit.day.cut_ids:
        allowed[:] = False
    found: list[int] = np.minimum.accumulate(np.where(allowed, starts, NEVER)[::-1])[::-1].tolist()
    return found
