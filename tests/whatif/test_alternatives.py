"""Other plans that differ: each is the best with a trait that none before it has.

Outside truth: every order of small days by brute force, with the traits found here by plain words;
Kendall's tau by scipy (a reference library).
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest
from draws import seeded
from oracles.brute import worth_of_each_order
from oracles.days import random_day
from scipy.stats import kendalltau
from seeds import few_first

from sunsched.average.plan import average_plan
from sunsched.day.model import Day, Hours, Meal, Place, Shot, Size, Spot
from sunsched.day.wish import Wish
from sunsched.errors import Undecided
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.show.records.price import alternative_records
from sunsched.show.text.price import NO_OTHER, alternatives_text
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved, short_answer, solve_day
from sunsched.whatif.alternatives.alternatives import Alternative, alternatives
from sunsched.whatif.alternatives.average import average_alternatives
from sunsched.whatif.alternatives.differences import distance_text
from sunsched.whatif.alternatives.distance import distance
from sunsched.whatif.alternatives.traits import (
    TraitKind,
    every_trait,
    main_shots,
    traits_of,
    traits_of_plan,
)

NO_PLAN = {15, 40, 42}  # seeds of random days that are impossible
SOLVER = "sunsched.whatif.alternatives.best_first.short_answer"


def at(hour, minute=0):
    """Give a moment of the invented day."""
    return datetime(2027, 6, 20, tzinfo=UTC) + timedelta(hours=hour, minutes=minute)


def a_shot(number, **changes):
    """Give a shot in any light: setup 20, adjust 10, roll 30."""
    shot = Shot(
        id=f"{number}",
        description="a shot",
        size=Size.MEDIUM,
        spot="pans",
        look_deg=0.0,
        wish=Wish(),
        setup_min=20,
        adjust_min=10,
        shoot_min=30,
        weight=3.0,
    )
    return replace(shot, **changes)


def a_day(*shots):
    """Give a day from 08:00 to 18:00 with these shots, lunch from 11:00 to 13:00."""
    return Day(
        title="A day",
        date=date(2027, 6, 20),
        place=Place(
            name="Nowhere", latitude_deg=40, longitude_deg=0, elevation_m=0, timezone="UTC"
        ),
        hours=Hours(crew_call=at(8), first_roll=at(8), wrap=at(17), hard_wrap=at(18)),
        meal=Meal(earliest=at(11), latest=at(13), length_min=45),
        spots=tuple(Spot(name=name) for name in ("pans", "mill", "quay")),
        shots=shots,
    )


def told_apart(day: Day, order: tuple[str, ...], meal: int | None) -> set[tuple[str, ...]]:
    """Give the traits of an order in plain words, from the day alone."""
    mean = sum(shot.weight for shot in day.shots) / len(day.shots)
    main = {shot.id: shot for shot in day.shots if shot.weight >= mean}
    free = {
        shot.id: f"free at {shot.spot} {shot.rig}"
        for shot in main.values()
        if shot.wish.asks_nothing and shot.pin is None and not shot.match
    }
    made = [one for one in order if one in main]
    words: set[tuple[str, ...]] = {("made", one) for one in made}
    words |= {("out", one) for one in main if one not in order}
    words |= {("first", free.get(one, one)) for one in made[:1]}
    for place, one in enumerate(order):
        if one in main and meal is not None:
            words.add(("before the meal" if place < meal else "after the meal", one))
    spots = [main[one].spot for one in made]
    for spot in set(spots):
        for other in {shot.spot for shot in main.values()} - {spot}:
            if other not in spots or spots.index(spot) < spots.index(other):
                words.add(("spots", spot, other))
    return words


def check_best(solved: Solved, found: tuple[Alternative, ...], count: int) -> None:
    """Hold alternatives against every order: each is worth the most of those with a new trait."""
    day, ids = solved.fit.day, solved.problem.ids
    every = []
    for (order, meal), points in worth_of_each_order(solved.problem).items():
        names = tuple(ids[shot] for shot in order)
        every.append((points, told_apart(day, names, meal if meal >= 0 else None)))
    assert max(points for points, _ in every) == solved.plan.points
    seen = words_of(solved.plan)
    for one in found:
        most = max(points for points, words in every if words - seen)
        assert one.plan.points == most == solved.plan.points - one.points_lost
        assert one.is_proven
        assert breaches(solved.fit, one.plan.timetable) == ()
        assert score(solved.fit, one.plan.timetable).total == one.plan.points
        assert words_of(one.plan) - seen
        seen |= words_of(one.plan)
    if len(found) < count:
        assert not any(words - seen for _, words in every)


def words_of(plan):
    """Give the traits of a plan in plain words."""
    meal = None
    if plan.meal is not None:
        meal = sum(one.roll_start < plan.meal.start for one in plan.shots)
    return told_apart(plan.day, tuple(one.shot.id for one in plan.shots), meal)


@pytest.mark.parametrize("seed", few_first(sorted({*range(60)} - NO_PLAN), 6))
def test_each_is_the_best_of_all_orders_with_a_new_trait(seed):
    """On small random days with every rule, up to two matches, pins and spots with hours."""
    matches = ((), ("keel",), ("keel", "lamp"))[seed % 3]
    solved = solve_day(random_day(seed, 4, matches), grid_min=20)
    check_best(solved, alternatives(solved, 4), 4)


def test_traits_are_those_that_plain_words_tell():
    """As many traits as words, on random orders with the meal anywhere."""
    random = seeded(1)
    for seed in range(40):
        day = random_day(seed, 6, ("keel",))
        order = random.sample([shot.id for shot in day.shots], random.randrange(1, 7))
        meal = random.choice([None, *range(len(order))])
        traits = traits_of(day, order, meal)
        assert len(traits) == len(told_apart(day, tuple(order), meal))
        assert traits <= set(every_trait(day))


def test_an_insert_that_moves_makes_no_other_plan():
    """A wide, a medium and inserts: only the two that weigh more than the mean tell plans apart."""
    day = a_day(
        a_shot(1, weight=5.0, match="a"),
        a_shot(2, match="a"),
        a_shot(3, weight=1.0, rig="silk"),
        a_shot(4, weight=1.0, rig="frame"),
    )
    assert [shot.id for shot in main_shots(day)] == ["1", "2"]
    same = {traits_of(day, order, 2) for order in permutations(("1", "2", "3", "4"))}
    assert len(same) < 24
    assert traits_of(day, ("1", "3", "2", "4"), None) == traits_of(day, ("3", "4", "1", "2"), None)
    found = alternatives(solve_day(day), 5)
    for one in found:
        assert {trait.subject for trait in traits_of_plan(one.plan)} <= {"1", "2"} | {"pans"}


def test_shots_that_are_alike_make_no_alternative():
    """Two shots in one build that ask nothing may change places without being another plan."""
    solved = solve_day(a_day(a_shot(1), a_shot(2), a_shot(3)))
    kinds = {one.trait.kind for one in alternatives(solved, 6)}
    assert TraitKind.FIRST not in kinds
    assert TraitKind.LEFT_OUT in kinds


@pytest.fixture(scope="module")
def two_spots():
    """Give a day at two spots, whose shots have rigs of their own, solved."""
    return solve_day(
        a_day(
            a_shot(1, match="a", rig="silk"),
            a_shot(2, match="a", spot="mill"),
            a_shot(3, spot="mill", rig="frame", match="a"),
            a_shot(4, weight=1.0),
        )
    )


def test_words_say_what_differs_and_how_far_it_is(two_spots):
    """What comes first, which spot before which, the distance; records are JSON and add up."""
    found = alternatives(two_spots, 3)
    turned = next(one for one in found if one.trait.kind in (TraitKind.FIRST, TraitKind.SPOTS))
    assert any("first instead of" in text or "before" in text for text in turned.differs)
    text = alternatives_text(found)
    assert text.count("alternative") == 3
    assert text.count("proven") == 3
    assert all(len(line) <= 80 for line in text.splitlines())
    records = json.loads(json.dumps(alternative_records(found)))
    for one, record in zip(found, records, strict=True):
        assert record["points_lost"] == record["least_lost"] == one.points_lost
        assert record["plan"]["points"] == two_spots.plan.points - one.points_lost
        assert record["distance"]["pairs_turned"] == one.distance.turned
        assert record["differs"] == list(one.differs)
        assert one.differs
    assert alternatives_text(()) == NO_OTHER


def test_the_distance_is_kendalls_and_ulams():
    """Tau is scipy's; the shots moved are the fewest, found by taking out every set of them."""
    random = seeded(2)
    for _ in range(30):
        order = [f"{number}" for number in range(random.randrange(2, 7))]
        other = random.sample(order, len(order))
        away = distance(order, other)
        places = [order.index(one) for one in other]
        assert away.kendall_tau == pytest.approx(
            kendalltau(range(len(order)), places, method="exact").statistic
        )
        assert away.moved == fewest_moved(order, other)
    away = distance(["1", "2", "3"], ["4", "3", "1"])
    assert (away.shots, away.moved, away.pairs, away.turned) == (2, 1, 1, 1)
    assert distance_text(away) == "1 of 2 shots changes place, 1 of 1 pairs turned round"
    assert distance_text(distance(["1"], ["1"])) == "the order of the 1 shots stays"
    assert distance([], []).kendall_tau == 1.0


def fewest_moved(order, other):
    """Give the fewest shots without which both orders are the same, by trying every choice."""
    for bits in sorted(range(1 << len(order)), key=lambda choice: choice.bit_count()):
        out = {one for place, one in enumerate(order) if bits >> place & 1}
        if [one for one in order if one not in out] == [one for one in other if one not in out]:
            return len(out)
    raise AssertionError(order)


def test_what_is_undecided_is_not_proven(two_spots, monkeypatch):
    """Where a part of all plans is undecided, what loses nothing may be in it."""
    left = [Undecided("this part")] * 50

    def undecided(*args, **keys):
        if len(left) > 47:
            raise left.pop()
        return short_answer(*args, **{**keys, "is_ended": lambda: True})

    monkeypatch.setattr(SOLVER, undecided)
    for one in alternatives(two_spots, 2):
        assert one.least_lost <= one.points_lost
    monkeypatch.setattr(SOLVER, short_answer)
    assert alternatives(two_spots, 2, is_ended=lambda: True) == ()


def test_on_the_average_day(two_spots):
    """Each is worth what its own order keeps, has a new trait, and none wins beyond the bound."""
    best = average_plan(two_spots)
    told: list[Counted] = []
    found = average_alternatives(two_spots, best, 3, progress=told.append)
    assert told[-1].done == told[-1].whole
    seen = words_of(best.likely)
    assert found
    for one in found:
        assert one.on_average is not None
        assert one.points_lost == best.points - one.on_average.points
        assert best.bound is not None
        assert one.on_average.points <= best.bound
        assert words_of(one.plan) - seen
        seen |= words_of(one.plan)
        assert one.light_kept == one.on_average.light_kept
    lost = [one.points_lost for one in found]
    assert lost == sorted(lost)
    assert "points less" in alternatives_text(found)
    record = json.loads(json.dumps(alternative_records(found)))[0]
    assert record["plan"]["status"] == "average"
    assert average_alternatives(two_spots, best, 3, is_ended=lambda: True) == ()
