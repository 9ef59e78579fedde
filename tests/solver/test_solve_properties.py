"""What must hold of every plan and every table, on random days whose truth nobody knows.

Properties: rows may be shuffled, fewer rules never cost points, a shot less never costs the others,
no plan passes the bound; and the compiled timing agrees with a plain enumeration.
"""

import csv
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import combinations_with_replacement, pairwise
from pathlib import Path

import numpy as np
import pytest
from draws import seeded
from seeds import few_first

from sunsched.day.costs import Costs
from sunsched.day.model import (
    DEFAULT_SIZES,
    CastMember,
    Day,
    Hours,
    Meal,
    Place,
    Shot,
    Size,
    Span,
    Spot,
)
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_checked
from sunsched.show.records.day import plan_record
from sunsched.solver.build import make_problem
from sunsched.solver.instance.tables import LOST, make_tables
from sunsched.solver.search.incumbent import Incumbent
from sunsched.solver.solve import make_plan, solve
from sunsched.solver.timing.sequence import (
    best_insertion,
    best_times,
    fill_ahead,
    fill_before,
    pair_costs,
    shift_ahead,
)

DATA = Path(__file__).parents[2] / "data"
SIDES = (
    SunSide.ANY,
    SunSide.ANY,
    SunSide.ANY,
    SunSide.BACK,
    SunSide.THREE_QUARTER_BACK,
    SunSide.SIDE,
    SunSide.FRONT,
)


def at(minute):
    """Give the moment this many minutes after the day's midnight."""
    return datetime(2027, 4, 20, tzinfo=UTC) + timedelta(minutes=minute)


def a_day(seed, count, call=420, end=1080, **changes):
    """Give a random day of `count` shots at three spots, from `call` to `end` minutes."""
    random = seeded(seed)
    shots = []
    for number in range(1, count + 1):
        size = random.choice(list(Size))
        facts = DEFAULT_SIZES[size]
        low = random.choice((0, 10, 20, 30))
        band = Band(low_deg=low, high_deg=low + 20, give_deg=5.0)
        shot = Shot(
            id=f"{number:02d}",
            description="a shot",
            size=size,
            spot=random.choice(("pans", "mill", "quay")),
            look_deg=float(random.randrange(0, 360, 15)),
            wish=Wish(side=random.choice(SIDES), elevation=random.choice((None, band))),
            setup_min=20,
            adjust_min=10,
            shoot_min=random.choice((15, 20, 30)),
            weight=facts.weight,
            rig=random.choice(("", "silk")),
            match=random.choice(("", "keel", "lamp")),
            after=(f"{number - 1:02d}",) if number > 1 and random.random() < 0.15 else (),
            cast=("Ana",) if random.random() < 0.3 else (),
        )
        shots.append(shot)
    # One pin at most, where nothing can stand in its way: no cast, no hours, not at the ends.
    pinned = random.randrange(count)
    shots[pinned] = replace(
        shots[pinned], pin=at(random.randrange(call + 60, end - 90, 5)), spot="pans", cast=()
    )
    return replace(
        Day(
            title="A day",
            date=date(2027, 4, 20),
            place=Place(
                name="Nowhere", latitude_deg=40, longitude_deg=0, elevation_m=0, timezone="UTC"
            ),
            hours=Hours(
                crew_call=at(call), first_roll=at(call), wrap=at(end - 60), hard_wrap=at(end)
            ),
            meal=Meal(earliest=at(660), latest=at(780), length_min=45),
            spots=(
                Spot(name="pans"),
                Spot(name="mill", open=(Span(start=at(call), end=at((call + end) // 2)),)),
                Spot(name="quay"),
            ),
            cast=(CastMember(name="Ana", here=(Span(start=at(call + 120), end=at(end - 180)),)),),
            shots=tuple(shots),
        ),
        **changes,
    )


def change_shots(day, **changes):
    """Change every shot of a day in the same way."""
    return replace(day, shots=tuple(replace(shot, **changes) for shot in day.shots))


# Each takes one rule away, or widens it.
RELAXED = {
    "pins": lambda day: change_shots(day, pin=None),
    "after": lambda day: change_shots(day, after=()),
    "cast hours": lambda day: replace(day, cast=tuple(replace(m, here=()) for m in day.cast)),
    "spot hours": lambda day: replace(day, spots=tuple(replace(s, open=()) for s in day.spots)),
    "later wrap": lambda day: replace(
        day, hours=replace(day.hours, hard_wrap=day.hours.hard_wrap + timedelta(hours=1))
    ),
    "earlier call": lambda day: replace(
        day,
        hours=replace(
            day.hours,
            crew_call=day.hours.crew_call - timedelta(hours=1),
            first_roll=day.hours.first_roll - timedelta(hours=1),
        ),
    ),
    "no meal": lambda day: replace(day, meal=replace(day.meal, latest=day.hours.hard_wrap)),
}


@pytest.mark.parametrize("name", ["ferry-light", "late-ridge"])
def test_order_of_rows_does_not_matter(name, tmp_path):
    """A shot list with its rows shuffled gives the same plan, to the last figure."""
    first = plan_record(make_plan(read_day(DATA / name)))
    folder = tmp_path / name
    shutil.copytree(DATA / name, folder)
    path = folder / "shots.csv"
    with path.open(encoding="utf-8", newline="") as lines:
        head, *rows = csv.reader(lines)
    seeded(5).shuffle(rows)
    with path.open("w", encoding="utf-8", newline="") as lines:
        csv.writer(lines).writerows([head, *rows])
    assert plan_record(make_plan(read_day(folder))) == first


def test_same_day_twice_gives_the_same_plan():
    """Two plans of one day are equal in every figure."""
    day = a_day(3, 10)
    assert plan_record(make_plan(day)) == plan_record(make_plan(day))


@pytest.mark.parametrize("rule", RELAXED)
@pytest.mark.parametrize("seed", few_first(range(4), 1))
def test_relaxing_a_rule_never_lowers_the_points(rule, seed):
    """A day with a rule fewer is worth at least as much; waiting is free, as calls may be early."""
    day = a_day(seed, 5, costs=Costs(wait=0))
    assert make_plan(RELAXED[rule](day)).points >= make_plan(day).points


@pytest.mark.parametrize("seed", few_first(range(6), 1))
def test_a_shot_less_never_lowers_the_others(seed):
    """Without one shot the rest is worth at least what it was worth beside it.

    The costs of coming back from lunch on another shot and of waiting are switched off: they may
    fall on the next one, and on what is left between.
    """
    day = a_day(seed, 5, costs=Costs(after_meal=0, wait=0))
    plan = make_plan(day)
    for gone in day.shots:
        rest = tuple(
            replace(s, after=tuple(a for a in s.after if a != gone.id))
            for s in day.shots
            if s is not gone
        )
        others = plan.points - plan.score.light.get(gone.id, 0)
        others += plan.score.left_out.get(gone.id, 0)
        assert make_plan(replace(day, shots=rest)).points >= others


def test_overfull_day_leaves_the_least_important_out():
    """Ten like shots of weight 1 to 10 in a day with room for six: the four lightest go."""
    like = a_day(1, 10, call=420, end=660).shots[0]
    shots = tuple(
        replace(
            like,
            id=f"{number:02d}",
            weight=float((number * 7) % 11),
            wish=Wish(),
            pin=None,
            after=(),
            cast=(),
            match="",
            spot="pans",
            rig="",
            size=Size.INSERT,
            look_deg=0.0,
            setup_min=10,
            adjust_min=10,
            shoot_min=30,
        )
        for number in range(1, 11)
    )
    day = a_day(1, 10, call=420, end=660)
    hours = replace(day.hours, wrap=day.hours.hard_wrap)
    plan = make_plan(replace(day, shots=shots, hours=hours, cast=()))
    assert sorted(out.shot.weight for out in plan.left_out) == [1.0, 2.0, 3.0, 4.0]
    why = "with it the day would run past the wrap at 11:00"
    assert {out.why for out in plan.left_out} == {why}


@pytest.mark.parametrize(
    ("seed", "count"),
    [
        (11, 8),
        (12, 9),
        (13, 10),
        pytest.param(14, 12, marks=pytest.mark.slow),
        pytest.param(15, 14, marks=pytest.mark.slow),
        pytest.param(16, 16, marks=pytest.mark.slow),
    ],
)
def test_no_other_search_passes_the_bound(seed, count):
    """Longer searches from other random numbers stay at or below the bound."""
    problem = make_problem(fit_checked(a_day(seed, count)))
    answer = solve(problem)
    assert answer is not None
    assert answer.bound >= answer.value
    best = Incumbent(make_tables(problem), problem)
    for other in (21, 22):
        best.search(3000, other, best.nothing)
        assert best.found.value - best.must_worth <= answer.bound


def random_tables(seed, count=4):
    """Give the tables of a random day of four shots in twelve slots, with hours and a meal."""
    meal = Meal(earliest=at(600), latest=at(690), length_min=30)
    day = a_day(seed, count, call=600, end=780, meal=meal)
    open_late = Spot(name="quay", open=(Span(start=at(620), end=at(760)),))
    day = replace(day, spots=(*day.spots[:2], open_late))
    return make_tables(make_problem(fit_checked(day), 15))


def timed_by_hand(tables, seq):
    """Give the best value of a sequence over every choice of starts and of the meal's place."""
    n, slots = tables.gain.shape[1:]
    arcs = list(pairwise([n, *seq]))
    best = None
    for starts in combinations_with_replacement(range(slots), len(seq)):
        gains = [
            tables.gain[tables.kind[a, b], b, t] for (a, b), t in zip(arcs, starts, strict=True)
        ]
        if min(gains) <= LOST:
            continue
        value = sum(gains) - sum(tables.arc_cost[a, b] for a, b in arcs)
        value -= tables.end_cost[seq[-1], starts[-1]]
        for meal in range(-1, len(seq)):
            if meal < 0 and not tables.can_skip_meal[seq[-1], starts[-1]]:
                continue
            fits = True
            for place, ((a, b), before, then) in enumerate(
                zip(arcs, (0, *starts), starts, strict=False)
            ):
                if place == meal:
                    fits &= before <= tables.eat_by[a]
                    fits &= then >= max(before + tables.lag_fed[a, b], tables.fed_from[a, b])
                else:
                    fits &= then >= before + tables.lag[a, b]
            if fits:
                worth = value - (tables.after_meal_cost[seq[meal]] if meal >= 0 else 0)
                best = worth if best is None else max(best, worth)
    return best


@pytest.mark.parametrize("seed", few_first(range(12), 4))
def test_best_times_are_the_best_of_all(seed):
    """The compiled timing of a sequence is worth what the best of every timing is worth."""
    tables = random_tables(seed)
    order = list(range(4))
    seeded(seed).shuffle(order)
    for length in (1, 2, 3):
        seq = np.array(order[:length], dtype=np.int64)
        value, starts, meal = best_times(tables, seq, length)
        by_hand = timed_by_hand(tables, order[:length])
        assert by_hand == (None if value < LOST else value)
        if value >= LOST:
            kinds = [tables.kind[a, b] for a, b in pairwise([4, *seq])]
            worth = sum(tables.gain[k, b, t] for k, b, t in zip(kinds, seq, starts, strict=True))
            worth -= sum(tables.arc_cost[a, b] for a, b in pairwise([4, *seq]))
            worth -= tables.end_cost[seq[-1], starts[-1]]
            assert worth - (tables.after_meal_cost[seq[meal]] if meal >= 0 else 0) == value


def filled(tables, seq):
    """Give `before` and `ahead` of a sequence, filled from scratch."""
    kinds, n, slots = tables.gain.shape
    before = np.zeros((2, n + 1, slots), dtype=np.int64)
    ahead = np.zeros((2, kinds, n + 1, slots), dtype=np.int64)
    fill_before(tables, seq, len(seq), before, 0)
    fill_ahead(tables, seq, len(seq), ahead, len(seq))
    return before, ahead


@pytest.mark.parametrize("seed", few_first(range(12), 4))
def test_insertion_is_worth_the_sequence_that_results(seed):
    """The value of the best place is the best timing of any resulting sequence, less its pairs."""
    tables = make_tables(make_problem(fit_checked(a_day(seed, 7))))
    order = list(range(7))
    seeded(seed).shuffle(order)
    standing, shot = np.array(order[:4], dtype=np.int64), order[4]
    before, ahead = filled(tables, standing)
    value, place = best_insertion(tables, standing, 4, before, ahead, shot)
    worths = []
    for where in range(5):
        seq = np.insert(standing, where, shot)
        pairs = pair_costs(tables, seq, 5) - pair_costs(tables, standing, 4)
        worths.append(best_times(tables, seq, 5)[0] - pairs)
    if max(worths) < LOST:
        assert value < LOST
    else:
        assert value == max(worths) == worths[place]


def test_suffixes_behind_a_place_move_by_one():
    """Those at it and before stay where they are, for either meal and every way to build."""
    ahead = np.arange(2 * 3 * 6 * 4, dtype=np.int64).reshape(2, 3, 6, 4)
    moved = ahead.copy()
    shift_ahead(moved, 2, 5)
    assert np.array_equal(moved[:, :, [0, 1, 2, 5]], ahead[:, :, [0, 1, 2, 5]])
    assert np.array_equal(moved[:, :, [3, 4]], ahead[:, :, [2, 3]])


@pytest.mark.parametrize("seed", few_first(range(8), 3))
def test_filling_from_the_change_on_equals_filling_from_scratch(seed):
    """After a change at one place, only the prefixes behind it and the suffixes before it move."""
    tables = make_tables(make_problem(fit_checked(a_day(seed, 8))))
    order = list(range(8))
    seeded(seed).shuffle(order)
    old = np.array(order[:6], dtype=np.int64)
    for place in range(6):
        new = old.copy()
        new[place] = order[6]
        before, ahead = filled(tables, old)
        fill_before(tables, new, 6, before, place)
        fill_ahead(tables, new, 6, ahead, place)
        fresh_before, fresh_ahead = filled(tables, new)
        assert np.array_equal(before[:, :7], fresh_before[:, :7])
        assert np.array_equal(ahead[:, :, :6], fresh_ahead[:, :, :6])
