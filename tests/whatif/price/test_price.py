"""Prices: against fresh solves of changed days, against every order, and in words and pictures."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from draws import seeded
from seeds import few_first

from sunsched.day.demand import (
    Cut,
    Decision,
    Demand,
    First,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    WrapAt,
)
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
from sunsched.errors import DayImpossible, FolderError, SunschedError
from sunsched.plan.crew import crew_figures
from sunsched.plan.score import left_out_cost
from sunsched.show.charts.prices.half_hours import shade, table_figure
from sunsched.show.charts.prices.wraps import curve_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.paper_size import Shape
from sunsched.show.records.price import (
    curve_record,
    price_record,
    table_record,
)
from sunsched.show.text.average_day.price import curve_text, rules_text
from sunsched.show.text.price import (
    cell_text,
    first_sight_text,
    price_text,
    table_text,
)
from sunsched.sky.events import sun_events
from sunsched.solver.instance.tables import SCALE
from sunsched.solver.search.budget import Stopped
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.price.cells import Cell, Known
from sunsched.whatif.price.first_sight import quick_price
from sunsched.whatif.price.half_hours import price_table
from sunsched.whatif.price.moments import ended_after
from sunsched.whatif.price.price import price
from sunsched.whatif.price.request import Asked, read_decision
from sunsched.whatif.price.rules import lifted_days, rule_prices
from sunsched.whatif.price.wrap import wrap_curve
from sunsched.whatif.starts import clock_times, is_shut, open_starts

SEEDS = (1, 3)
SIDES = (SunSide.ANY, SunSide.ANY, SunSide.BACK, SunSide.SIDE, SunSide.FRONT)


def at(hour, minute=0):
    """Give a moment of the invented day."""
    return datetime(2027, 6, 20, tzinfo=UTC) + timedelta(hours=hour, minutes=minute)


def a_shot(number, random):
    """Give a random shot."""
    size = random.choice(list(Size))
    return Shot(
        id=f"{number}",
        description="a shot",
        size=size,
        spot=random.choice(("pans", "mill")),
        look_deg=float(random.randrange(0, 360, 15)),
        wish=Wish(side=random.choice(SIDES)),
        setup_min=20,
        adjust_min=10,
        shoot_min=random.choice((20, 30, 40)),
        weight=DEFAULT_SIZES[size].weight,
        rig=random.choice(("", "silk")),
        match=random.choice(("", "", "keel")),
        cast=("Ana",) if random.random() < 0.4 else (),
    )


def a_day(seed, count=6):
    """Give a random day from 08:00 to 17:00 at two spots, with an actor who comes late."""
    random = seeded(seed)
    shots = tuple(a_shot(number, random) for number in range(1, count + 1))
    return Day(
        title="A day",
        date=date(2027, 6, 20),
        place=Place(
            name="Nowhere", latitude_deg=40, longitude_deg=0, elevation_m=0, timezone="UTC"
        ),
        hours=Hours(crew_call=at(8), first_roll=at(8), wrap=at(16), hard_wrap=at(17)),
        meal=Meal(earliest=at(11), latest=at(13), length_min=45),
        spots=(Spot(name="pans"), Spot(name="mill")),
        shots=replace_after(shots),
        cast=(CastMember(name="Ana", here=(Span(start=at(9), end=at(16)),)),),
    )


def replace_after(shots):
    """Make the second shot come after the first."""
    return (shots[0], replace(shots[1], after=(shots[0].id,)), *shots[2:])


@pytest.fixture(scope="module", params=few_first(SEEDS, 1))
def solved(request):
    """Give a random day, solved."""
    return solve_day(a_day(request.param))


@pytest.fixture(scope="module")
def one():
    """Give one random day, solved."""
    return solve_day(a_day(1))


@pytest.fixture(scope="module")
def few():
    """Give a random day of four shots, solved."""
    return solve_day(a_day(5, count=4))


@pytest.fixture(scope="module")
def pinned():
    """Give the day with two pins, solved."""
    return solve_day(pinned_day())


@pytest.fixture(scope="module")
def few_table(few, few_looks):
    """Give its half-hour table; `few_looks` has one item for each time it was asked to end."""
    return price_table(few, is_ended=counted(few_looks))


@pytest.fixture(scope="module")
def few_looks():
    """Give an empty list."""
    return []


def with_shot(day, shot_id, **changes):
    """Give a day with one shot changed."""
    shots = tuple(replace(s, **changes) if s.id == shot_id else s for s in day.shots)
    return replace(day, shots=shots)


def test_price_of_a_time_is_a_fresh_solve_with_a_pin(solved):
    """A shot asked to roll at a time loses what the best day with that pin loses."""
    day = solved.fit.day
    for shot in ("1", "4"):
        when = at(13, 45)
        found = price(solved, (RollAt(shot=shot, time=when),))
        fresh = make_plan(with_shot(day, shot, pin=when))
        assert fresh.status == found.plan.status == "proven"
        assert found.points_lost == solved.plan.points - fresh.points >= 0
        assert found.is_proven


def test_price_of_other_decisions_is_a_fresh_solve(solved):
    """A wrap, a meal, a release and a cut lose what the best day with that rule loses."""
    day = solved.fit.day
    early = replace(day.hours, wrap=at(15), hard_wrap=at(15))
    cases: list[tuple[Demand, Day, int]] = [
        (WrapAt(time=at(15)), replace(day, hours=early), 0),
        (
            MealAt(time=at(11, 30)),
            replace(day, meal=replace(day.meal, earliest=at(11, 30), latest=at(11, 30))),
            0,
        ),
        (
            ReleaseAt(cast="Ana", time=at(12)),
            replace(day, cast=(CastMember(name="Ana", here=(Span(start=at(9), end=at(12)),)),)),
            0,
        ),
        (
            Cut(shot="3"),
            replace(day, shots=tuple(s for s in day.shots if s.id != "3")),
            left_out_cost(day, day.shot("3")),
        ),
    ]
    for demand, changed, cost in cases:
        found = price(solved, (demand,))
        assert found.plan.points == make_plan(changed).points - cost
        assert found.points_lost >= 0


def test_several_demands_are_obeyed_at_once(solved):
    """The plan of a decision does everything that it says."""
    decision = (
        RollBefore(shot="5", time=at(11)),
        RollAfter(shot="6", time=at(12)),
        First(shot="4"),
        KeepOrder(shots=("6", "3")),
    )
    found = price(solved, decision)
    rolls = {planned.shot.id: planned for planned in found.plan.shots}
    assert found.plan.shots[0].shot.id == "4"
    assert rolls["5"].roll_end <= at(11)
    assert rolls["6"].roll_start >= at(12)
    if "3" in rolls:
        assert rolls["3"].roll_start > rolls["6"].roll_start


def test_shots_and_costs_pay_what_is_lost(solved):
    """What shots and shared costs pay adds up to the points lost."""
    for decision in ((RollAt(shot="2", time=at(15)),), (First(shot="6"), Cut(shot="1"))):
        found = price(solved, decision)
        paid = [points for _, points in (*found.pays, *found.shared)]
        assert sum(paid) == found.points_lost


def test_price_tells_both_days(one):
    """What is lost is counted from the best day to the decided one, payers the dearest first."""
    day = one.fit.day
    found = price(one, (RollAt(shot="2", time=at(15)), Cut(shot="6")))
    assert found.light_lost == one.plan.light_kept - found.plan.light_kept > 0
    assert len(found.pays) > 1
    paid = [lost for _, lost in found.pays]
    assert paid == sorted(paid, reverse=True)
    assert found.crew_before == crew_figures(day, one.plan.timetable)
    assert found.crew == crew_figures(day, found.plan.timetable)
    assert found.crew != found.crew_before
    assert [left.why for left in found.plan.left_out if left.shot.id == "6"] == [
        "the decision cuts it"
    ]


def test_price_that_is_not_proven_says_how_little_it_may_be(one):
    """A solve that is stopped at its first look gives a plan, and a bound on any other."""

    def stop(_now):
        raise Stopped

    found = price(one, (RollAt(shot="2", time=at(15)),), progress=stop)
    exact = price(one, (RollAt(shot="2", time=at(15)),))
    assert not found.is_proven
    assert found.least_lost == one.plan.points - found.plan.bound
    assert found.least_lost <= exact.points_lost <= found.points_lost
    assert f"not proven: at least {found.least_lost} are lost" in " ".join(
        price_text(one.fit.day, one.plan, found).split()
    )


def test_second_meal_is_counted_as_the_day_counts_it(one):
    """The first meal may start five hours after the call, so five hours after it is the second."""
    found = price(one, (MealAt(time=at(8, 45)),))
    assert found.plan.shots[-1].roll_end > at(14, 30)
    assert found.plan.second_meal_due == at(14, 30)


def test_rules_that_a_decision_lifts_are_told(one):
    """A meal, a wrap and a release outside the day's own are named; inside them nothing is."""
    for demand, text in (
        (MealAt(time=at(13, 30)), "the meal starts by 13:00"),
        (MealAt(time=at(10, 30)), "the meal starts at 11:00 or later"),
        (WrapAt(time=at(17, 30)), "nothing rolls past 17:00"),
        (WrapAt(time=at(16, 30)), "minutes past 16:00 are overtime"),
        (ReleaseAt(cast="Ana", time=at(16, 30)), "Ana is here until 16:00"),
    ):
        found = price(one, (demand,))
        assert found.sets_aside == (text,)
        said = price_text(one.fit.day, one.plan, found)
        assert f"this sets aside a rule of the day: {text}" in said
        assert price_record(one.fit.day, one.plan, found)["sets_aside"] == [text]
    within: tuple[Demand, ...] = (
        MealAt(time=at(12)),
        WrapAt(time=at(16)),
        ReleaseAt(cast="Ana", time=at(16)),
        Cut(shot="1"),
    )
    for free in within:
        assert price(one, (free,)).sets_aside == ()


def test_a_release_outside_the_hours_is_refused(one):
    """Nobody is released when nobody works."""
    with pytest.raises(DayImpossible, match="released at 17:01, and the hours are from 08:00 to"):
        price(one, (ReleaseAt(cast="Ana", time=at(17, 1)),))


def test_own_decision_costs_nothing(solved):
    """What the plan does anyway is free."""
    plan = solved.plan
    order = tuple(planned.shot.id for planned in plan.shots)
    times = tuple(RollAt(shot=p.shot.id, time=p.roll_start) for p in plan.shots)
    decisions: list[Decision] = [times, times[:1], (First(shot=order[0]),)]
    for decision in (*decisions, (KeepOrder(shots=order),)):
        assert price(solved, decision).points_lost == 0
    assert price(solved, (MealAt(time=plan.meal.start),)).points_lost == 0


def test_a_later_release_and_wrap_can_win(solved):
    """Decisions that lift a rule cost nothing and may win."""
    assert price(solved, (ReleaseAt(cast="Ana", time=at(17)),)).points_lost <= 0
    assert price(solved, (WrapAt(time=at(17)),)).points_lost <= 0


@pytest.mark.parametrize("seed", few_first([5, 7], 1))
def test_lifting_a_rule_never_costs(seed):
    """Each rule's gain is that of a fresh solve without it, and none is below 0."""
    solved = solve_day(a_day(seed, count=4))
    found = rule_prices(solved)
    fresh = {one.rule: make_plan(one.day).points for one in lifted_days(solved.fit.day)}
    assert {one.rule for one in found} == set(fresh)
    for one in found:
        assert one.most is not None
        assert 0 <= one.gain <= fresh[one.rule] - solved.plan.points <= one.most
    assert [one.gain for one in found] == sorted((one.gain for one in found), reverse=True)


def test_cheapest_hour_to_give_up_is_around_solar_noon():
    """On a clear summer day lunch costs least around solar noon (common practice, no source)."""
    shots = tuple(
        replace(
            a_shot(number, seeded(number)),
            size=Size.WIDE,
            weight=5.0,
            spot="pans",
            rig="",
            match="",
            cast=(),
            shoot_min=50,
            wish=Wish(elevation=Band(low_deg=0, high_deg=90, give_deg=5)),
        )
        for number in range(1, 8)
    )
    day = replace(
        a_day(1),
        shots=shots,
        hours=Hours(crew_call=at(6), first_roll=at(6), wrap=at(17, 30), hard_wrap=at(17, 30)),
        meal=Meal(earliest=at(8), latest=at(17), length_min=120),
    )
    solved = solve_day(day)
    lost = {hour: price(solved, (MealAt(time=at(hour)),)).points_lost for hour in range(8, 16)}
    noon = sun_events(day.place, day.date).solar_noon
    middle = at(min(lost, key=lost.__getitem__)) + timedelta(hours=1)
    assert abs(middle - noon) <= timedelta(hours=1)
    assert lost[8] > lost[11] < lost[15]


def test_day_in_the_dark_is_refused_as_its_plan_is():
    """No shot gets any light by night: a price has no plan to start from, and says why."""
    day = a_day(1)
    night = Hours(crew_call=at(22), first_roll=at(22), wrap=at(26), hard_wrap=at(26))
    meal = Meal(earliest=at(27), latest=at(27), length_min=30)
    shots = tuple(replace(shot, cast=()) for shot in day.shots)
    dark = replace(day, cast=(), shots=shots, hours=night, meal=meal)
    with pytest.raises(DayImpossible) as refused:
        make_plan(dark)
    with pytest.raises(DayImpossible, match="no shot gets any of its light") as raised:
        solve_day(dark)
    assert str(raised.value) == str(refused.value)


def meal_bound_day():
    """Give a day of one shot of 40 minutes whose lunch must start from 12:30 to 13:00."""
    day = a_day(1, count=2)
    shot = replace(day.shots[0], id="7", shoot_min=40, cast=(), after=(), spot="pans", match="")
    meal = Meal(earliest=at(12, 30), latest=at(13), length_min=60)
    return replace(day, shots=(shot,), meal=meal)


def test_impossible_time_names_the_meal_and_the_nearest_time():
    """A shot across the meal's window says where the meal would have to go, or the shot."""
    solved = solve_day(meal_bound_day())
    with pytest.raises(DayImpossible) as raised:
        price(solved, (RollAt(shot="7", time=at(12, 45)),))
    text = str(raised.value)
    assert "no plan obeys this: 7 rolls at 12:45" in text
    assert "7 can roll at 12:45 only if the meal moves to 13:30" in text
    assert "nearest that is possible: 7 rolls at 12:20" in text


def test_impossible_decisions_name_the_rule(one):
    """A pin and an actor's hours are named; of two demands each is named as the one to drop."""
    day = with_shot(one.fit.day, "4", pin=at(12), cast=())
    with pytest.raises(DayImpossible, match="4 is pinned to 12:00"):
        price(solve_day(day), (RollAt(shot="4", time=at(10)),))
    ana = next(shot.id for shot in one.fit.day.shots if "Ana" in shot.cast)
    with pytest.raises(DayImpossible, match=r"the hours of Ana\n.*nearest that is possible"):
        price(one, (RollAt(shot=ana, time=at(8, 30)),))
    both = (RollAt(shot="5", time=at(10)), MealAt(time=at(10)))
    with pytest.raises(DayImpossible, match="possible without this: the meal starts at 10:00"):
        price(one, both)


def pinned_day():
    """Give a day of Ana's shot pinned to 12:00 and another pinned to 14:00, 40 minutes each."""
    day = a_day(1, count=3)
    shots = (
        replace(day.shots[0], shoot_min=40, cast=("Ana",), pin=at(12), match="", spot="pans"),
        replace(day.shots[1], shoot_min=40, cast=(), pin=at(14), match="", after=(), spot="pans"),
        replace(day.shots[2], shoot_min=20, cast=(), match="", spot="pans", rig="silk"),
    )
    return replace(day, shots=tuple(replace(shot, rig="") for shot in shots))


@pytest.mark.parametrize(
    ("demand", "nearest"),
    [
        # 3 rolls 20 minutes after a setup of 20, or an adjust of 10, beside rolls at 12:00, 14:00.
        (RollAt(shot="3", time=at(12, 15)), "3 rolls at 11:"),
        (RollBefore(shot="3", time=at(8, 10)), "3 is rolled before 08:40"),
        (RollAfter(shot="3", time=at(16, 50)), "3 rolls after 16:40"),
        (RollAfter(shot="2", time=at(14, 10)), "2 rolls after 14:00"),
        (MealAt(time=at(12, 30)), "the meal starts at 12:45"),
        (ReleaseAt(cast="Ana", time=at(11)), "Ana is released at 12:45"),
        (WrapAt(time=at(14, 30)), "nothing rolls past a wrap at 14:45"),
        (First(shot="2"), "2 rolls at 14:00"),
        (KeepOrder(shots=("2", "1")), "1, 2 stay in this order"),
        (KeepOrder(shots=("2", "3", "1")), "3, 1 stay in this order"),
    ],
)
def test_each_impossible_decision_names_the_nearest_one(pinned, demand, nearest):
    """Whatever is asked for, what is named instead can be had and is of the same kind."""
    with pytest.raises(DayImpossible, match=f"hint: nearest that is possible: {nearest}"):
        price(pinned, (demand,))


def test_meal_that_is_asked_for_is_had(few):
    """A day that could do without has the meal asked for, if only after its last roll."""
    for hour in (15, 17):
        found = price(few, (MealAt(time=at(hour)),))
        assert found.plan.meal is not None
        assert found.plan.meal.start == found.crew.meal_start == at(hour)
    for when in (at(7, 59), at(17, 1)):
        with pytest.raises(DayImpossible, match="and the hours are from 08:00 to 17:00"):
            price(few, (MealAt(time=when),))
    late = (MealAt(time=at(17, 1)), WrapAt(time=at(18)))
    assert price(few, late).crew.meal_start == at(17, 1)


@pytest.mark.parametrize(
    ("decision", "text"),
    [
        ((Cut(shot="99"),), "no shot `99`"),
        ((ReleaseAt(cast="Anna", time=at(12)),), "did you mean `Ana`"),
        ((Cut(shot="1"), First(shot="1")), "1 comes first, and yet 1 is cut"),
        ((First(shot="1"), First(shot="2")), "1 comes first, and yet 2 comes first"),
        ((KeepOrder(shots=("1", "1")),), "a shot stands in it twice"),
    ],
)
def test_decisions_that_cannot_be_meant(one, decision, text):
    """Unknown names and contradictions are named."""
    with pytest.raises(SunschedError) as raised:
        price(one, decision)
    assert text in str(raised.value)


def test_decision_is_read_from_words(one):
    """Every kind of demand is read, names whatever their capitals, times on the local clock."""
    asked = Asked(
        shots=("1", "2"),
        at=("13:00", "14:00"),
        meal="12:00",
        releases=("ana=15:00",),
        wrap="16:30",
        cuts=("6",),
        first="3",
        keep_orders=("4, 5",),
    )
    assert read_decision(one.fit.day, asked) == (
        RollAt(shot="1", time=at(13)),
        RollAt(shot="2", time=at(14)),
        MealAt(time=at(12)),
        ReleaseAt(cast="Ana", time=at(15)),
        WrapAt(time=at(16, 30)),
        Cut(shot="6"),
        First(shot="3"),
        KeepOrder(shots=("4", "5")),
    )
    past = read_decision(one.fit.day, Asked(shots=("1",), before=("07:00",)))
    assert past == (RollBefore(shot="1", time=at(31)),)
    assert read_decision(one.fit.day, Asked()) == ()


def test_unreadable_words_are_all_named(one):
    """All that cannot be read is named in one go."""
    asked = Asked(shots=("1",), meal="25:00", releases=("Ana",), wrap="late", keep_orders=("1",))
    with pytest.raises(FolderError) as raised:
        read_decision(one.fit.day, asked)
    text = str(raised.value)
    for part in ("--shot", "--meal: not a clock time: `25:00`", "--release", "`late`", "no order"):
        assert part in text
    with pytest.raises(FolderError, match="as many times as shots"):
        read_decision(one.fit.day, Asked(at=("13:00",)))


@pytest.mark.slow
def test_table_agrees_with_single_prices():
    """Exact cells are the price of that time; the others' bounds hold it, impossible ones raise."""
    few = solve_day(a_day(10, count=4))  # one of its shots had better be cut than made late
    kinds = set()
    for row in price_table(few).rows:
        cut = price(few, (Cut(shot=row.shot_id),)).points_lost
        assert row.cut == cut
        for place, cell in enumerate(row.cells):
            if place % 3 and cell.known is not Known.WORSE_THAN_CUT:
                continue
            kinds.add(cell.known)
            demand = (RollAt(shot=row.shot_id, time=cell.time),)
            if cell.known is Known.IMPOSSIBLE:
                with pytest.raises(DayImpossible):
                    price(few, demand)
                continue
            lost = price(few, demand).points_lost
            assert cell.least is not None
            assert cell.least <= lost
            if cell.known is Known.WORSE_THAN_CUT:
                assert lost >= cell.least > cut
            else:
                assert cell.most is not None
                assert lost <= cell.most
    assert {Known.EXACT, Known.IMPOSSIBLE, Known.WORSE_THAN_CUT} <= kinds


def test_table_is_free_where_the_plan_is(few, few_table):
    """A shot planned on a half-hour costs nothing there."""
    on_grid = [row for row in few_table.rows if row.planned in few_table.times]
    assert on_grid
    for row in on_grid:
        cell = row.cells[few_table.times.index(row.planned)]
        assert (cell.known, cell.most) == (Known.EXACT, 0)
    assert [when.minute for when in few_table.times[:3]] == [0, 30, 0]
    assert few_table.times[-1] == few.fit.day.hours.hard_wrap
    assert few_table.is_complete


def test_what_costs_more_than_a_cut_is_no_price():
    """On this day a solve ends with an exact price above that of a cut: it is told as worse."""
    found = price_table(solve_day(a_day(1, count=4)), step_min=60)
    dearer = [
        cell
        for row in found.rows
        for cell in row.cells
        if row.planned is not None and (cell.least or 0) > (row.cut or 0)
    ]
    assert any(cell.least == cell.most for cell in dearer)
    assert {cell.known for cell in dearer} == {Known.WORSE_THAN_CUT}


def test_table_of_a_plan_without_proof_is_not_exact(few):
    """What is lost against a plan that may not be the best is known to be that much at most."""
    answer = replace(few.answer, bound=few.answer.value + 10 * SCALE)
    found = price_table(replace(few, answer=answer), step_min=240)
    cells = [cell for row in found.rows for cell in row.cells if cell.time != row.planned]
    assert Known.BOUNDED in {cell.known for cell in cells}
    assert Known.EXACT not in {cell.known for cell in cells}


def test_half_hours_are_those_of_the_clock():
    """A crew called at 08:10 has its first column at 08:30."""
    day = a_day(1)
    late = replace(day, hours=replace(day.hours, crew_call=at(8, 10)))
    assert clock_times(late, 30)[:2] == (at(8, 30), at(9))
    assert clock_times(day, 30)[0] == at(8)


@pytest.mark.slow
def test_table_is_the_same_on_two_processes(few, few_table):
    """Sharing the shots out changes nothing; ended soon it is a table without some figures."""
    assert price_table(few, processes=2) == few_table
    ended = price_table(few, processes=2, is_ended=after(1))
    assert not ended.is_complete
    assert [row.shot_id for row in ended.rows] == [row.shot_id for row in few_table.rows]


def test_a_table_that_is_ended_at_once_starts_no_processes(few, few_table, monkeypatch):
    """It has each shot, and no figures: they take longer to load than such rows are worth."""
    monkeypatch.setattr("sunsched.whatif.price.half_hours.ProcessPoolExecutor", None)
    ended = price_table(few, processes=2, is_ended=lambda: True)
    assert not ended.is_complete
    assert [row.shot_id for row in ended.rows] == [row.shot_id for row in few_table.rows]


def counted(looks):
    """Give a function that says no, and adds to a list each time."""

    def never():
        looks.append(None)
        return False

    return never


def after(looks):
    """Give a function that says no so many times, and then yes."""
    asked = iter(range(looks))
    return lambda: next(asked, None) is None


def test_work_ended_early_keeps_what_is_known(few, few_table, few_looks):
    """What was priced by then stands; the rest is not known and says so."""
    found = price_table(few, is_ended=after(len(few_looks) // 8))
    assert not found.is_complete
    pairs = beside(found, few_table)
    bracketed = [early for early, _ in pairs if early.known is Known.BOUNDED]
    unknown = [early for early, _ in pairs if early.known is Known.UNDECIDED]
    assert len(bracketed) > 4
    assert len(unknown) > 4
    assert {(one.least, one.most) for one in unknown} == {(None, None)}
    assert found.rows[-1].cut is None
    rules = rule_prices(few, is_ended=after(0))
    assert {(one.gain, one.most, one.is_proven) for one in rules} == {(0, None, False)}
    shown = f"{table_text(found)}\n{rules_text(rules)}"
    assert shown.count(" ?") > len(rules) + len(unknown)
    assert "ended early" in shown.replace("\n", " ")
    assert "ended early" not in table_text(few_table).replace("\n", " ")
    assert json.loads(json.dumps(table_record(found, rules)))["complete"] is False
    looks: list[None] = []
    curve = wrap_curve(few, is_ended=counted(looks))
    early = wrap_curve(few, is_ended=after(len(looks) // 2))
    assert 0 < len(early) < len(curve)


def test_a_price_at_first_sight_holds_the_exact_one(solved):
    """The bracket holds the price, whatever is asked; its plan obeys, and words give both ends."""
    asked: tuple[Demand, ...] = (
        RollAt(shot="1", time=at(13, 45)),
        Cut(shot="4"),
        First(shot="4"),
    )
    for demand in asked:
        decision = (demand,)
        try:
            exact = price(solved, decision)
        except DayImpossible:
            with pytest.raises(DayImpossible):
                quick_price(solved, decision)
            continue
        first = quick_price(solved, decision)
        assert first.least_lost <= exact.points_lost <= first.points_lost
        assert first.plan.points + first.points_lost == exact.plan.points + exact.points_lost
        assert f"{first.points_lost} points are lost" in first_sight_text(first)
    with pytest.raises(SunschedError, match="no shot `99`"):
        quick_price(solved, (Cut(shot="99"),))


def test_work_ends_by_the_clock_or_by_somebody():
    """With a limit of 5 s work goes on at 4.9 s and ends at 5; a press ends it before."""
    seconds = iter([100.0, 104.9, 105.0])
    is_ended = ended_after(5.0, lambda: False, lambda: next(seconds))
    assert [is_ended(), is_ended()] == [False, True]
    assert ended_after(5.0, lambda: True)()
    assert not ended_after(None, lambda: False)()


def beside(one, other):
    """Give the cells of two tables of a day in pairs."""
    rows = zip(one.rows, other.rows, strict=True)
    return [pair for a, b in rows for pair in zip(a.cells, b.cells, strict=True)]


def test_all_cells_have_a_bracket_before_any_is_solved_on(few, few_table, few_looks):
    """Ended half-way no cell is unknown: those that are not exact yet hold what they come to."""
    found = price_table(few, is_ended=after(len(few_looks) // 2))
    pairs = beside(found, few_table)
    assert Known.UNDECIDED not in {early.known for early, _ in pairs}
    solved_on = [early for early, cell in pairs if early == cell and early.known is Known.EXACT]
    still = [(early, cell) for early, cell in pairs if early.known is Known.BOUNDED]
    assert len(solved_on) > 4
    assert len(still) > 4
    for early, cell in still:
        assert early.least <= cell.least <= cell.most <= early.most


def test_bounds_that_print_alike_are_printed_as_exact():
    """Of 52000 points a tenth of a per cent is 52: bounds that round to one figure are one."""
    near = Cell(time=at(9), known=Known.BOUNDED, least=1294, most=1305)
    assert cell_text(near, 52000) == "2.5"
    apart = Cell(time=at(9), known=Known.BOUNDED, least=1191, most=1489)
    assert cell_text(apart, 52000) == "≤2.9"


def test_starts_of_plans_are_open():
    """No start that a plan uses is shut, and what the call or the meal shuts is."""
    for seed in range(10, 20):
        solved = solve_day(a_day(seed))
        opened = open_starts(solved.problem)
        for shot, slot in zip(solved.answer.sequence, solved.answer.starts, strict=True):
            assert opened[shot, slot]
        assert not is_shut(solved.problem)
        assert not opened[:, :2].any()  # the quickest setup takes longer
    problem = solve_day(meal_bound_day()).problem
    # 40 minutes of roll must end by 13:00, for the meal, or start after lunch and a setup.
    slots = np.flatnonzero(open_starts(problem)[0])
    minutes = [(8 * 60 + 5 * int(slot)) for slot in slots]
    assert [b for a, b in pairwise(minutes) if b - a > 5] == [13 * 60 + 50]
    assert 12 * 60 + 20 in minutes
    assert 12 * 60 + 25 not in minutes


def test_wrap_curve_never_falls(one):
    """An hour more never loses points, and the day's own hard wrap is worth the plan at least."""
    found = wrap_curve(one)
    proven = [point.plan.points for point in found if point.plan.status == "proven"]
    assert proven == sorted(proven)
    assert {b.wrap - a.wrap for a, b in pairwise(found)} == {timedelta(minutes=15)}
    for point in found:
        assert point.plan.shots[-1].roll_end <= point.wrap
        assert point.overtime_points == 20 * point.overtime_min
    by_wrap = {point.wrap: point for point in found}
    assert by_wrap[at(17)].plan.points >= one.plan.points
    assert by_wrap[at(16)].overtime_min == 0


def test_texts_and_records_tell_the_price(few, few_table):
    """What is printed holds the figures; what is recorded is JSON and adds up."""
    day = few.fit.day
    found = price(few, (RollAt(shot="4", time=at(14)), Cut(shot="3")))
    text = price_text(day, few.plan, found)
    assert f"costs {found.points_lost} points" in text
    assert "if 4 rolls at 14:00:" in text
    assert "left out: 3: the decision cuts it" in text
    assert all(len(line) <= 80 for line in text.splitlines())
    record = json.loads(json.dumps(price_record(day, few.plan, found)))
    paid = [item["points_lost"] for item in (*record["pays"], *record["costs"])]
    assert sum(paid) == record["points_lost"]
    rules = rule_prices(few)
    assert len(json.dumps(table_record(few_table, rules))) > 1000
    shown = table_text(few_table)
    for row in few_table.rows:
        assert cell_text(row.cells[9], few_table.points) in shown
    assert all(len(line) <= 80 for line in shown.splitlines())
    assert rules[0].rule in rules_text(rules)
    curve = wrap_curve(few)
    assert f"{curve[-1].plan.light_kept:.1%}" in curve_text(day, curve)
    wraps = json.loads(json.dumps(curve_record(day, curve)))["wraps"]
    assert [wrap["points"] for wrap in wraps] == [point.plan.points for point in curve]


@pytest.mark.parametrize("shape", list(Shape))
def test_pictures_show_every_cell_once(few_table, shape):
    """A cell has one box, darker where it is dearer, and the files are the same each time."""
    figure = table_figure(few_table, shape=shape)
    boxes = {
        patch.get_label(): patch.get_facecolor()[0]
        for axes in figure.axes
        for patch in axes.patches
    }
    assert len(boxes) == len(few_table.rows) * len(few_table.times)
    assert figure.get_figwidth() < figure.get_figheight() or shape is not Shape.PHONE
    texts = [text.get_text() for text in figure.texts]
    for row in few_table.rows:
        for place, cell in enumerate(row.cells):
            if cell.known is Known.EXACT:
                grey = float(shade(cell.most, few_table.points))
                assert boxes[f"exact {row.shot_id} {place}"] == pytest.approx(grey)
                assert cell_text(cell, few_table.points) in texts
    assert picture_bytes([figure], "svg") == picture_bytes(
        [table_figure(few_table, shape=shape)], "svg"
    )


def test_curve_picture_shows_each_wrap(few):
    """The line passes through the light kept at each wrap, and the day's wraps stand in it."""
    curve = wrap_curve(few)
    figure = curve_figure(few.fit.day, curve)
    lines = {line.get_label(): line for line in figure.axes[0].lines}
    shares = [point.plan.light_kept for point in curve]
    assert np.asarray(lines["light kept"].get_ydata()) == pytest.approx(shares)
    minutes = (at(16) - curve[0].wrap) / timedelta(minutes=1)
    assert np.asarray(lines["wrap"].get_xdata()).tolist() == [minutes, minutes]
    assert "hard wrap" in lines
    assert picture_bytes([figure], "png").startswith(b"\x89PNG")
