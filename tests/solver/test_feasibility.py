"""Whether a day has any plan: against the judge asked about every plan there is, and at each edge.

Two enumerations know nothing of the check. One tries every start minute of every order on days of
half an hour. The other tries every order on longer days, each shot and the meal as early as the
judge lets them: to be free earlier is never worse, since the crew may wait.
"""

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial

import builders
import numpy as np
import pytest
from builders import a_place
from draws import seeded
from seeds import few_first

from sunsched.day.model import (
    CastMember,
    Changeover,
    Hours,
    Meal,
    Move,
    Span,
    Spot,
)
from sunsched.day.past import Made, Past, made_ids
from sunsched.day.wish import Band, Wish
from sunsched.errors import Undecided
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan import rules
from sunsched.plan.changeover import changeover
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver import feasibility
from sunsched.solver.feasibility import is_possible, possible_timetable

# What a beginning of a plan breaches, every plan that begins so breaches too.
LASTING = (rules.one_camera, rules.hours, rules.spot_open, rules.after, rules.past)
HELD = Wish(elevation=Band(low_deg=30.0, high_deg=33.0, give_deg=5.0))
a_shot = partial(builders.a_shot, setup_min=10, adjust_min=5, shoot_min=34)


def at(minute):
    """Give the moment this many minutes after the day's midnight, or at a clock time."""
    if isinstance(minute, str):
        hour, rest = minute.split(":")
        minute = 60 * int(hour) + int(rest)
    return datetime(2027, 4, 20, tzinfo=UTC) + timedelta(minutes=minute)


def span(start, end):
    """Give a span between two times."""
    return Span(start=at(start), end=at(end))


def hours(start, end):
    """Give the hours of a day without overtime."""
    return Hours(crew_call=at(start), first_roll=at(start), wrap=at(end), hard_wrap=at(end))


def a_day(*shots, **changes):
    """Give a day at 36° north, 06:03 to 15:00, with lunch of 60 minutes from 11:30 to 12:03."""
    facts = {
        "hours": hours("6:03", "15:00"),
        "meal": Meal(earliest=at("11:30"), latest=at("12:03"), length_min=60),
        "spots": (Spot(name="pans"), Spot(name="mill"), Spot(name="quay")),
        "place": a_place(latitude_deg=36),
    }
    return builders.a_day(*shots, on=date(2027, 4, 20), **(facts | changes))


# The sun of all the days here; the fit of a held shot and of one that asks nothing.
SUN = fit_day(a_day(a_shot("held", wish=HELD), a_shot("any")))
RISEN = int(np.flatnonzero(SUN.shots["held"].held)[0])  # the first minute of the held sun


def fit_of(day):
    """Give the fit of a day without computing its sun anew."""
    shots = {s.id: SUN.shots["held" if s.wish == HELD else "any"] for s in day.shots}
    return DayFit(day=day, track=SUN.track, shots=shots)


def random_day(random, count, *, longest, shortest, room):
    """Give a random day: minutes of a changeover or a roll up to `longest`, and `room` for each."""

    def length():
        return random.randrange(shortest, longest + 1)

    call = RISEN - random.randrange(room)
    end = call + count * room
    names = ("pans", "mill", "quay")
    latest = call + random.randrange(room // 2, count * room + room)
    shots = []
    for number in range(1, count + 1):
        shot = a_shot(
            str(number),
            spot=random.choice(names),
            look_deg=random.choice((0.0, 120.0)),
            setup_min=length(),
            adjust_min=random.randrange(shortest + 1),
            shoot_min=length(),
            rig=random.choice(("", "", "silk")),
            cast=("Ana",) if random.random() < 0.3 else (),
            after=(str(random.randrange(1, count + 1)),) if random.random() < 0.4 else (),
        )
        if random.random() < 0.45:
            shot = replace(shot, pin=at(random.randrange(call + 1, end)))
        elif random.random() < 0.2:
            shot = replace(shot, wish=HELD, hold=True)
        shots.append(shot)
    opens, comes = (call + random.randrange(room) for _ in range(2))
    return a_day(
        *shots,
        hours=replace(hours(call, end), first_roll=at(call + random.choice((0, room)))),
        meal=Meal(
            earliest=at(latest - random.randrange(room)), latest=at(latest), length_min=length()
        ),
        spots=(
            Spot(name="pans"),
            Spot(name="mill", open=random.choice(((), (span(opens, end - random.randrange(9)),)))),
            Spot(name="quay", open=random.choice(((), (span(call, opens), span(opens + 1, end))))),
        ),
        moves=(
            Move(between=("pans", "mill"), minutes=random.choice((1, 2 * longest))),
            Move(between=("quay", "mill"), minutes=random.choice((1, longest))),
        ),
        cast=(CastMember(name="Ana", here=(span(comes, end - random.randrange(9)),)),),
        changeover=Changeover(move_min=shortest, turnaround_min=shortest),
    )


def stony_day(random):
    """Give a day of three pins a long move apart, and shots on the way that make it shorter."""
    pins, minute, stones = [], RISEN, random.randrange(1, 4)
    for number, spot in enumerate(("pans", "mill", "pans")):
        minute += random.randrange(20, 30)
        pins.append(a_shot(f"pin {number}", spot=spot, pin=at(minute), setup_min=5, shoot_min=5))
        minute += 5
    end = minute + random.randrange(20)
    on_way = [
        a_shot(
            f"stone {number}",
            spot="quay",
            setup_min=random.randrange(1, 5),
            adjust_min=1,
            shoot_min=random.randrange(1, 6),
            cast=random.choice(((), ("Ana",))),
            after=random.choice(((), (f"stone {random.randrange(stones)}",), ("pin 1",))),
        )
        for number in range(stones)
    ]
    near, far = (random.choice((1, 3)) for _ in range(2))
    return a_day(
        *pins,
        *on_way,
        hours=hours(RISEN - 5, end),
        meal=Meal(
            earliest=at(minute - 75), latest=at(random.choice((minute - 40, end))), length_min=9
        ),
        moves=(
            Move(between=("pans", "mill"), minutes=random.choice((9, 22))),
            Move(between=("pans", "quay"), minutes=near),
            Move(between=("quay", "mill"), minutes=far),
        ),
        cast=(CastMember(name="Ana", here=(span(RISEN, minute - random.randrange(50)),)),),
    )


def under_way(random, day):
    """Give a day some of whose shots were made, with the next one begun, cut shots and a meal."""
    shots = {shot.id: shot for shot in day.shots}
    order = random.sample(sorted(shots), len(shots))
    clock = day.hours.crew_call
    meal, made = None, []
    for shot_id in order[: random.randrange(len(order))]:
        start = clock + timedelta(minutes=random.randrange(3))
        real = random.randrange(1, 5)
        shots[shot_id] = replace(shots[shot_id], shoot_min=real)
        clock = start + timedelta(minutes=real)
        roll = Made(shot_id=shot_id, changeover_start=start, roll_start=start, roll_end=clock)
        made.append(roll)
    if random.random() < 0.4:
        meal, clock = clock, clock + timedelta(minutes=day.meal.length_min)
    building, rest = None, order[len(made) :]
    free = clock + timedelta(minutes=random.choice((0, 0, 3)))
    if random.random() < 0.5:
        building = rest[0]
    cut = rest[1:2] if random.random() < 0.3 else []
    for shot_id in cut if random.random() < 0.8 else []:
        shots[shot_id] = replace(shots[shot_id], pin=None)
    past = Past(
        at=free,
        free_at=free,
        made=tuple(made),
        building=building,
        built_since=None if building is None else clock,
        cut=tuple(cut),
        meal_start=meal,
    )
    return replace(day, shots=tuple(shots[shot.id] for shot in day.shots), past=past)


class Enumeration:
    """Every plan of a day that the judge accepts: at every minute, or each step as early as can be.

    Changeovers stand as late as they can, which no rule minds.
    """

    def __init__(self, fit, *, is_every_minute):
        self.fit, self.day, self.is_every_minute = fit, fit.day, is_every_minute
        first, end = (fit.minute_of(m) for m in (fit.day.hours.crew_call, fit.day.hours.hard_wrap))
        self.clock = [fit.time_of(minute) for minute in range(first, end + 1)]
        coming = (shot for shot in fit.day.shots if shot.id not in made_ids(fit.day.past))
        self.starts = {
            shot: [when for when in self.clock if self.may(shot, when)] for shot in coming
        }

    def may(self, shot, when):
        """Say whether the judge lets a shot roll at a time, whatever comes before it."""
        roll = Roll(shot_id=shot.id, changeover_start=when, roll_start=when)
        alone = Timetable(rolls=(roll,))
        found = [
            b for rule in (rules.hours, rules.cast_here, rules.hold) for b in rule(self.fit, alone)
        ]
        return not found and shot.pin in (None, when)

    def is_possible(self):
        """Say whether the judge accepts any plan that rolls at all."""
        behind = self.day.past
        if behind is None:
            return self.goes_on((), self.clock[0], None)
        made = tuple(
            Roll(shot_id=m.shot_id, changeover_start=m.changeover_start, roll_start=m.roll_start)
            for m in behind.made
        )
        return self.goes_on(made, behind.free_at, behind.meal_start)

    def goes_on(self, rolls, free, meal):
        """Say whether the judge accepts a plan that begins so."""
        if rolls and self.is_whole(rolls, meal):
            return True
        had = {roll.shot_id for roll in rolls}
        to_come = [shot for shot in self.starts if shot.id not in had]
        # Time goes forward: a pin whose minute has gone by is never made.
        if any(shot.pin is not None and shot.pin < free for shot in to_come):
            return False
        if not self.is_every_minute and meal is None:
            eaten = max(free, self.day.meal.earliest)
            over = eaten + timedelta(minutes=self.day.meal.length_min)
            if eaten <= self.day.meal.latest and self.goes_on(rolls, over, eaten):
                return True
        before = self.day.shot(rolls[-1].shot_id) if rolls else None
        for shot in to_come:
            total = timedelta(minutes=changeover(self.day, before, shot).total_min)
            for when in self.starts[shot]:
                roll = Roll(shot_id=shot.id, changeover_start=when - total, roll_start=when)
                plan = Timetable(rolls=(*rolls, roll), meal_start=meal)
                if when < free or self.is_breached_for_good(plan):
                    continue
                if self.goes_on(plan.rolls, when + timedelta(minutes=shot.shoot_min), meal):
                    return True
                if not self.is_every_minute:
                    break
        return False

    def is_breached_for_good(self, plan):
        """Say whether a beginning breaches what every plan that begins so breaches too."""
        lasting = LASTING if plan.meal_start is None else (*LASTING, rules.meal)
        return any(True for rule in lasting for _ in rule(self.fit, plan))

    def is_whole(self, rolls, meal):
        """Say whether the judge accepts these rolls as a plan, with the meal at some minute."""
        meals = [None, *self.clock] if self.is_every_minute and meal is None else [meal]
        plans = [Timetable(rolls=rolls, meal_start=when) for when in meals]
        is_pinned = not any(True for _ in rules.pin(self.fit, plans[0]))
        return is_pinned and any(not rules.breaches(self.fit, plan) for plan in plans)


def agrees(day, *, is_every_minute):
    """See that the check and the enumeration agree about a day, and say what they say."""
    fit = fit_of(day)
    found = possible_timetable(fit)
    assert found is None or (found.rolls and rules.breaches(fit, found) == ())
    assert Enumeration(fit, is_every_minute=is_every_minute).is_possible() == (found is not None)
    return found is not None


TINY = {"longest": 4, "shortest": 2, "room": 10}
LONG = {"longest": 30, "shortest": 6, "room": 50}


@pytest.mark.parametrize("days", few_first((40, 200), 1))
@pytest.mark.parametrize(
    ("draw", "is_every_minute"),
    [
        (lambda r: random_day(r, r.choice((2, 3, 4)), **TINY), True),
        (lambda r: under_way(r, random_day(r, r.choice((2, 3, 4)), **TINY)), True),
        (lambda r: random_day(r, r.choice((4, 5)), **LONG), False),
        (lambda r: under_way(r, random_day(r, r.choice((4, 5)), **LONG)), False),
        (stony_day, False),
    ],
    ids=["every minute", "every minute, under way", "every order", "under way", "on the way"],
)
def test_check_agrees_with_the_judge(days, draw, is_every_minute):
    """On random days the check finds a plan where the judge accepts any; both kinds are common."""
    said = Counter(
        agrees(draw(seeded(seed)), is_every_minute=is_every_minute) for seed in range(days)
    )
    assert min(said[True], said[False]) >= days / 5


def test_random_days_need_the_exact_search(monkeypatch):
    """On some days with shots on the way, of both kinds, the relaxed search is not enough."""
    said: list[bool] = []
    is_real = feasibility._is_real

    def noted(*asked):
        said.append(is_real(*asked))
        return said[-1]

    monkeypatch.setattr(feasibility, "_is_real", noted)
    exact: Counter[bool] = Counter()
    for seed in range(200):
        said.clear()
        found = possible_timetable(fit_of(stony_day(seeded(seed))))
        exact[found is not None] += False in said
    assert min(exact[True], exact[False]) >= 5


def pinned(*clocks, **changes):
    """Give shots that are pinned to these times."""
    return [a_shot(str(n), pin=at(clock), **changes) for n, clock in enumerate(clocks, 1)]


def is_either(possible_day, impossible_day):
    """Say whether one day is possible and another is not."""
    return is_possible(possible_day) and not is_possible(impossible_day)


def lunch(latest):
    """Give the lunch of the days with another latest start."""
    return Meal(earliest=at("11:30"), latest=at(latest), length_min=60)


def test_meal_that_just_starts_between_two_pins():
    """The first roll ends at 12:02 and lunch starts then, no later; the next build is at 13:02."""
    two = pinned("11:28", "14:00")
    found = possible_timetable(fit_day(a_day(*two, meal=lunch("12:02"))))
    assert found is not None
    assert found.meal_start == at("12:02")
    assert not is_possible(a_day(*two, meal=lunch("12:01")))
    assert is_either(a_day(*pinned("11:28", "13:07")), a_day(*pinned("11:28", "13:06")))


def test_day_that_ends_by_the_latest_meal_needs_none():
    """A roll up to 12:03 needs no lunch; one a minute longer does, and there is no time for it."""
    short, long = pinned("11:29"), pinned("11:29", shoot_min=35)
    closed = hours("11:00", "12:30")
    assert is_either(a_day(*short, hours=closed), a_day(*long, hours=closed))


def test_pin_and_the_hours():
    """A setup of 10 from the call at 6:03, a roll of 34 to the wrap at 15:00."""
    assert is_either(a_day(*pinned("6:13")), a_day(*pinned("6:12")))
    assert is_either(a_day(*pinned("14:26")), a_day(*pinned("14:27")))


def test_pins_that_overlap_by_a_minute():
    """Roll 34 and adjust 5 need 39 minutes from pin to pin, and in the right order."""
    assert is_either(a_day(*pinned("9:00", "9:39")), a_day(*pinned("9:00", "9:38")))
    first, second = pinned("9:00", "9:39")
    assert is_either(
        a_day(first, replace(second, after=("1",))), a_day(replace(first, after=("2",)), second)
    )


SLOW = (
    Move(between=("pans", "mill"), minutes=60),
    Move(between=("pans", "quay"), minutes=5),
    Move(between=("quay", "mill"), minutes=5),
)


def there_and_back(*on_way, clocks=("8:00", "9:38", "11:16")):
    """Give a day of pins at the pans, the mill and the pans, with other shots at the quay."""
    spots = ("pans", "mill", "pans")
    pins = [replace(s, spot=spot) for s, spot in zip(pinned(*clocks), spots, strict=False)]
    return a_day(*pins, *(replace(shot, spot="quay") for shot in on_way), moves=SLOW)


def test_shot_on_the_way_is_faster_than_the_move():
    """64 minutes by way of a shot at the quay, 70 straight on."""
    stone = a_shot("4")
    by_way = [there_and_back(stone, clocks=("8:00", clock)) for clock in ("9:38", "9:37")]
    straight = [there_and_back(clocks=("8:00", clock)) for clock in ("9:44", "9:43")]
    assert is_either(*by_way)
    assert is_either(*straight)


def test_shot_on_the_way_may_end_at_the_minute_of_the_pin():
    """In one spot and rig an adjust of 0 lets one roll follow another at once."""
    stone = a_shot("2", spot="mill", shoot_min=30)
    pins = [pinned(clock, spot="mill", setup_min=45, adjust_min=0) for clock in ("6:43", "6:42")]
    assert is_either(*(a_day(*pin, stone) for pin in pins))


def test_shot_on_the_way_is_made_once():
    """There and back by way of the quay takes two shots there."""
    assert is_either(there_and_back(a_shot("4"), a_shot("5")), there_and_back(a_shot("4")))


def test_shots_on_the_way_keep_their_order():
    """The first can only be made on the way there, the second on the way back."""
    first, second = a_shot("4", cast=("Ana",)), a_shot("5", cast=("Ben",))
    cast = (
        CastMember(name="Ana", here=(span("8:00", "9:30"),)),
        CastMember(name="Ben", here=(span("10:00", "15:00"),)),
    )
    assert is_either(
        replace(there_and_back(first, replace(second, after=("4",))), cast=cast),
        replace(there_and_back(replace(first, after=("5",)), second), cast=cast),
    )


@pytest.mark.parametrize(("stone", "pin"), [("3", "2"), ("1", "3")])
def test_order_of_a_pin_and_another_shot_needs_no_exact_search(monkeypatch, stone, pin):
    """The shot on the way may not come before the pin ahead, or after the one behind."""
    monkeypatch.setattr(feasibility, "_is_real", None)  # it is asked before any exact search
    day = there_and_back(a_shot("3"), clocks=("8:00", "9:38"))
    names = {stone: (pin,)}
    shots = tuple(replace(shot, after=names.get(shot.id, ())) for shot in day.shots)
    assert not is_possible(replace(day, shots=shots))


def test_exact_search_gives_up(monkeypatch):
    """With its effort spent, the check says neither yes nor no."""
    monkeypatch.setattr(feasibility, "COMPARISONS", 3)
    with pytest.raises(Undecided):
        is_possible(there_and_back(a_shot("4")))


@pytest.mark.parametrize(
    ("look_deg", "opens", "late"), [(0, "8:55", "8:56"), (120, "8:45", "8:46")]
)
def test_spot_open_long_enough_to_adjust_only(look_deg, opens, late):
    """Adjust 5, and 10 to turn round, fit before the pin where another shot stands; setup 30 no."""
    shots = [
        a_shot("2", spot="mill"),
        *pinned("9:00", spot="mill", look_deg=look_deg, setup_min=30),
    ]

    def day(clock, shots=shots):
        mill = Spot(name="mill", open=(span("7:00", "8:30"), span(clock, "15:00")))
        return a_day(*shots, spots=(mill,))

    assert is_either(day(opens), day(late))
    assert is_either(day("8:30", shots[1:]), day("8:31", shots[1:]))


def rest(*shots, free, meal_start=None, since=None, **changes):
    """Give a day whose crew is free at a time, perhaps with shot 1 being built since another."""
    past = Past(
        at=at(free),
        free_at=at(free),
        meal_start=None if meal_start is None else at(meal_start),
        building=None if since is None else "1",
        built_since=None if since is None else at(since),
        **changes,
    )
    return a_day(*shots, past=past)


def test_shot_that_was_cut():
    """A pinned one leaves no plan; one without a pin leaves the others."""
    one, two = a_shot("1"), a_shot("2")
    assert is_either(
        rest(one, two, free="8:00", cut=("1",)),
        rest(*pinned("9:00"), two, free="8:00", cut=("1",)),
    )
    assert not is_possible(rest(one, free="8:00", cut=("1",)))


def test_meal_of_the_past():
    """Who has eaten needs no lunch; who has not must be free by 12:03."""
    late = pinned("14:00")
    assert is_possible(rest(*late, free="13:00", meal_start="12:00"))
    assert is_either(rest(*late, free="12:03"), rest(*late, free="12:04"))


def test_changeover_that_goes_on():
    """Setup 10 counts from when it began; lost minutes go by first, and after lunch it is anew."""
    pin = pinned("9:00")
    assert is_either(rest(*pin, free="8:55", since="8:50"), rest(*pin, free="8:55", since="8:51"))
    assert is_either(rest(*pin, free="9:00", since="8:40"), rest(*pin, free="9:01", since="8:40"))
    soon, late = (rest(*pinned(clock), free="11:30", since="11:25") for clock in ("12:40", "12:39"))
    assert is_either(soon, late)


def test_day_that_has_rolled_may_stop():
    """With a shot made and no pin to come there is a plan, even past the wrap."""
    roll = Made(
        shot_id="1", changeover_start=at("8:00"), roll_start=at("8:10"), roll_end=at("8:44")
    )
    day = rest(a_shot("1"), a_shot("2"), free="15:00", made=(roll,))
    assert is_either(day, rest(a_shot("1"), a_shot("2"), free="15:00"))
    assert not is_possible(a_day())
