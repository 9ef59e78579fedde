"""Orders under overruns: closed forms, the judge's own points, what the crew obeys.

Days are invented, or the demo days of this repository. Chances are checked against the log-normal
distribution where one shot meets one deadline, within four standard errors of a share.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
from itertools import combinations, pairwise
from math import log, sqrt
from pathlib import Path
from statistics import NormalDist

import builders
import numpy as np
import pytest
from benchmarks import stress as benchmark
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text
from oracles.days import random_day
from seeds import few_first
from typer.testing import CliRunner

from sunsched.average.drawn import draw_days, draw_factors
from sunsched.average.plan import average_plan
from sunsched.average.solve import policy_of
from sunsched.cli.shared.app import app
from sunsched.day.costs import Costs
from sunsched.day.model import CastMember, Day, Meal, Shot, Size, Span, Spot
from sunsched.day.overruns import DEFAULT_OVERRUNS, Overrun
from sunsched.day.past import Made, Past
from sunsched.day.wish import Band, Wish
from sunsched.errors import FolderError
from sunsched.folder.read import read_day
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.plan import place_changeovers
from sunsched.plan.timetable import Roll, Timetable
from sunsched.show.charts.stress import stress_figure
from sunsched.show.paper_size import Shape
from sunsched.show.prospects import chance
from sunsched.show.records.stress import stress_record
from sunsched.show.text.stress import stress_text
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.stress.stress import MOST_DAYS, Stress, moment, stress, stress_average

DATA = Path(__file__).parents[2] / "data"
NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)
RUN = CliRunner()


MAY = date(2027, 5, 11)
at = partial(builders.at, on=MAY)
# It asks nothing: 30 minutes to build, 10 to adjust, 20 to roll.
a_shot = partial(builders.a_shot, size=Size.MEDIUM, setup_min=30, shoot_min=20, weight=3.0)


def a_day(*shots: Shot, overrun: Overrun = NONE, **changes) -> Day:
    """Give a day from 08:00 to 18:00 on which a meal can wait until 14:00."""
    facts = {
        "hours": builders.the_hours("08:00", "18:00", MAY),
        "meal": Meal(earliest=at("11:00"), latest=at("14:00"), length_min=60),
        "spots": (Spot(name="pans"),),
        "place": builders.a_place(latitude_deg=36.0),
        "overruns": dict.fromkeys(Size, overrun),
        "title": "A day of overruns",
    }
    return builders.a_day(*shots, on=MAY, **(facts | changes))


def until(day: Day, wrap: str, hard_wrap: str) -> Day:
    """Give a day with another end."""
    return replace(day, hours=replace(day.hours, wrap=at(wrap), hard_wrap=at(hard_wrap)))


def timed(day: Day, *rolls: tuple[str, str], meal: str | None = None) -> Timetable:
    """Give the timetable of these shots at these clock times."""
    listed = [(day.shot(shot_id), at(clock)) for shot_id, clock in rolls]
    start = None if meal is None else at(meal)
    return Timetable(rolls=place_changeovers(day, listed, start), meal_start=start)


def stressed(day: Day, timetable: Timetable, **options) -> Stress:
    """Give the stress of an order on its own day."""
    return stress(fit_day(day), timetable, **options)


def minute(fit: DayFit, clock: str) -> int:
    """Give a clock time of the invented day as a minute of the track."""
    return fit.minute_of(at(clock))


def assert_share(found: float, expected: float, days: int) -> None:
    """Compare a share of drawn days with its chance, within four standard errors."""
    assert abs(found - expected) <= 4 * sqrt(expected * (1 - expected) / days)


@pytest.mark.parametrize(("median", "spread"), [(1.0, 0.3), (1.2, 0.3), (1.1, 0.6), (1.6, 0.25)])
def test_changeover_and_a_deadline_have_their_closed_form(median, spread):
    """Built in 30 minutes and rolled in 20 before a hard wrap in 70: a factor up to 50 in 30."""
    overrun = replace(NONE, changeover_median=median, changeover_spread=spread)
    day = until(a_day(a_shot("1"), overrun=overrun), "09:10", "09:10")
    found = stressed(day, timed(day, ("1", "08:30")), days=40_000)
    expected = NormalDist().cdf(log(50.5 / 30 / median) / spread)
    assert_share(found.shots[0].made_chance, expected, 40_000)
    assert found.all_made_chance == found.shots[0].made_chance


@pytest.mark.parametrize(("median", "spread"), [(1.0, 0.4), (1.3, 0.4)])
def test_roll_and_a_deadline_have_their_closed_form(median, spread):
    """Rolled in 20 minutes with 40 left: a factor up to 2; past the wrap it is overtime."""
    overrun = replace(NONE, roll_median=median, roll_spread=spread)
    day = until(a_day(a_shot("1"), overrun=overrun), "09:00", "09:10")
    found = stressed(day, timed(day, ("1", "08:30")), days=40_000)
    normal = NormalDist()
    made, in_time = (normal.cdf(log(factor / median) / spread) for factor in (40.5 / 20, 30.5 / 20))
    assert_share(found.shots[0].made_chance, made, 40_000)
    assert_share(found.overtime_chance, made - in_time, 40_000)


def test_half_its_light_is_a_deadline_too():
    """In light until 09:20 and in none after, a roll of 20 minutes must begin by 09:10."""
    overrun = replace(NONE, changeover_spread=0.4)
    day = a_day(a_shot("1"), overrun=overrun)
    fit = fit_day(day)
    lit = (np.arange(len(fit.track)) < minute(fit, "09:20")).astype(float)
    fit = replace(fit, shots={"1": replace(fit.shots["1"], fit=lit)})
    found = stress(fit, timed(day, ("1", "08:30")), days=40_000)
    assert_share(found.shots[0].half_chance, NormalDist().cdf(log(70.5 / 30) / 0.4), 40_000)
    assert found.shots[0].made_chance == 1.0


def without_spread(day: Day) -> Day:
    """Give a day on which all runs by its plan."""
    return replace(day, overruns=dict.fromkeys(Size, NONE))


@pytest.mark.parametrize("seed", few_first([1, 2, 3, 4, 6, 7, 8, 10], 3))
def test_without_overruns_a_proven_plan_is_worth_its_points(seed):
    """On any minute no way to follow the best order is worth more than the judge gives it."""
    day = without_spread(random_day(seed, 6, ("a", "a", "b"), room_min=50))
    plan = make_plan(day, grid_min=1, limit_s=60)
    assert plan.status == "proven"
    found = stress(plan.fit, plan.timetable, days=3)
    # Light is counted to the fraction of a point, and the judge rounds it for each shot.
    assert found.points.tolist() == [pytest.approx(plan.points, abs=len(plan.shots))] * 3
    assert found.hurts_most is None


@pytest.mark.parametrize("name", ["last-lamp", "ferry-light"])
def test_without_overruns_a_demo_day_loses_nothing(name):
    """The same for whole days with holds, pins, moves, cast and skylines, and finer starts."""
    plan = make_plan(without_spread(read_day(DATA / name)), limit_s=5)
    found = stress(plan.fit, plan.timetable, days=3)
    assert found.points[0] >= found.planned_points - len(plan.shots)
    assert found.all_made_chance == 1.0


def four_in_a_row(overrun: Overrun) -> tuple[Day, Timetable]:
    """Give four shots one after the other, with 20 minutes to spare before the hard wrap."""
    shots = [a_shot(str(number), rig="a") for number in range(1, 5)]
    day = until(a_day(*shots, overrun=overrun), "10:40", "10:40")
    return day, timed(day, ("1", "08:30"), ("2", "09:00"), ("3", "09:30"), ("4", "10:00"))


def test_more_spread_never_makes_more_days_whole():
    """On the same draws, a day that is whole with more spread is whole with less.

    The end of each shot is a convex function of the spread, and in time without any.
    """
    whole = []
    for spread in (0.0, 0.1, 0.2, 0.4, 0.8):
        overrun = replace(NONE, changeover_spread=spread, roll_spread=spread)
        found = stressed(*four_in_a_row(overrun), days=5_000)
        whole.append(~np.isnan([one.start_min for one in found.shots]).any(axis=0))
    for less, more in pairwise(whole):
        assert not (more & ~less).any()
        assert more.sum() < less.sum()


def test_a_slower_crew_makes_fewer_whole_days():
    """With longer medians fewer days are whole."""
    chances = []
    for median in (1.0, 1.1, 1.3):
        overrun = replace(NONE, changeover_median=median, changeover_spread=0.3)
        chances.append(stressed(*four_in_a_row(overrun), days=5_000).all_made_chance)
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1]


def test_a_seed_gives_the_same_days_to_every_order():
    """The same seed draws the same; another does not; an order does not change the draws."""
    day, timetable = four_in_a_row(replace(NONE, roll_spread=0.3))
    day = until(day, "18:00", "18:00")
    one, same = (stressed(day, timetable, days=100, seed=7) for _ in range(2))
    other = stressed(day, timetable, days=100, seed=8)
    assert one.light_kept.tolist() == same.light_kept.tolist()
    assert one.wrap_min.tolist() == same.wrap_min.tolist() != other.wrap_min.tolist()
    turned = timed(day, ("4", "08:30"), ("3", "09:00"), ("2", "09:30"), ("1", "10:00"))
    found = stressed(day, turned, days=100, seed=7)
    for shot, again in zip(one.shots, reversed(found.shots), strict=True):
        assert shot.shot == again.shot
        minutes = [s.end_min - s.start_min for s in (shot, again)]
        assert minutes[0] == pytest.approx(minutes[1])


def test_draws_have_their_median_and_spread():
    """The logarithm of each factor has the asked mean and deviation, and no two shots' agree."""
    day = a_day(
        a_shot("1"),
        a_shot("2"),
        overrun=Overrun(
            changeover_median=1.2, changeover_spread=0.3, roll_median=0.9, roll_spread=0.5
        ),
    )
    logs = np.log(draw_factors(day, 40_000, seed=3))
    for shot in range(2):
        for work, (median, spread) in enumerate([(1.2, 0.3), (0.9, 0.5)]):
            assert logs[shot, work].mean() == pytest.approx(log(median), abs=4 * spread / 200)
            assert logs[shot, work].std() == pytest.approx(spread, rel=0.02)
    apart = np.corrcoef(logs.reshape(4, -1)) - np.eye(4)
    assert np.abs(apart).max() < 0.02


BUSY = Overrun(changeover_median=1.1, changeover_spread=0.5, roll_median=1.1, roll_spread=0.4)


def held_day() -> tuple[Day, Timetable]:
    """Give a held shot whose sun is right from about 10:00 to 11:30, after two others."""
    wish = Wish(azimuth=Band(low_deg=105.0, high_deg=142.0, give_deg=20.0))
    held = a_shot("2", wish=wish, hold=True)
    day = a_day(a_shot("1"), held, a_shot("3"), overrun=BUSY)
    return day, timed(day, ("1", "08:30"), ("2", "10:20"), ("3", "11:10"))


def test_held_shot_waits_for_its_light_and_is_lost_without_it():
    """It rolls only in its sun, not before its planned start, and not at all when that is over."""
    day, timetable = held_day()
    fit = fit_day(day)
    sun = np.flatnonzero(fit.shots["2"].held)
    assert minute(fit, "09:00") < sun[0] < minute(fit, "10:20")
    assert sun[-1] < minute(fit, "12:30")
    found = stress(fit, timetable, days=5_000)
    held = found.shots[1]
    made = ~np.isnan(held.start_min)
    assert held.start_min[made].min() >= sun[0]
    assert (held.start_min[made] > sun[0]).any()
    assert held.end_min[made].max() <= sun[-1] + 1
    assert 0.3 < held.made_chance < 1.0
    assert found.shots[2].made_chance == 1.0


def test_lost_shot_costs_the_minutes_of_its_build():
    """Where the held shot is built in vain, the next one starts when that build is over."""
    day, _ = held_day()
    day = replace(day, shots=(day.shots[0], replace(day.shots[1], setup_min=40), day.shots[2]))
    factors = np.ones((3, 2, 2))
    factors[1, 0, 1] = 6.0  # 240 minutes of build: the sun has gone
    found = draw_days(policy_of(fit_day(day), timed(day, ("2", "10:40"), ("3", "11:10"))), factors)
    assert np.isnan(found.start[0]).tolist() == [False, True]
    begin = minute(fit_day(day), "08:00")
    assert found.start[1, 1] == begin + 240 + 10


def test_a_shot_that_is_ready_waits_for_better_light():
    """It rolls in the minute that is worth most, waiting paid for, and at once where none is."""
    day = a_day(a_shot("1"), costs=Costs(wait=1))
    fit = fit_day(day)
    for light, start in ((1.0, "08:30"), (0.5, "09:00"), (0.999, "08:30")):
        own = np.where(np.arange(len(fit.track)) < minute(fit, "09:00"), light, 1.0)
        lit = replace(fit, shots={"1": replace(fit.shots["1"], fit=own)})
        found = draw_days(policy_of(lit, timed(day, ("1", "08:30"))), np.ones((1, 2, 1)))
        assert found.start[0].tolist() == [minute(fit, start)]


def test_pinned_shot_is_never_early():
    """A pin is kept or missed: never rolled before it."""
    day = a_day(a_shot("1"), a_shot("2", pin=at("09:25")), overrun=BUSY)
    found = stressed(day, timed(day, ("1", "08:30"), ("2", "09:25")), days=2_000)
    pin = minute(found.fit, "09:25")
    assert (found.shots[1].start_min >= pin).all()
    assert 0.05 < np.mean(found.shots[1].start_min > pin) < 0.9
    assert "2 is pinned at 09:25 and rolls later in" in stress_text(found, "the plan")


@pytest.mark.parametrize("meal", ["12:00", None])
def test_meal_is_neither_skipped_nor_late(meal):
    """Its start lies in its hours on every day that goes past them, and no roll cuts it."""
    shots = [a_shot(str(number), shoot_min=60) for number in range(1, 6)]
    day = a_day(*shots, overrun=BUSY)
    rolls = [("1", "08:30"), ("2", "10:00")]
    rolls += [("3", "13:30"), ("4", "15:00")] if meal else [("3", "11:30")]
    timetable = timed(day, *rolls, meal=meal)
    found = stressed(day, timetable, days=5_000)
    fit = found.fit
    latest, earliest = minute(fit, "14:00"), minute(fit, "11:00")
    eaten = ~np.isnan(found.meal_min)
    assert found.meal_min[eaten].min() >= earliest
    assert eaten.any()
    # Late, or without a meal at the end, only after a roll that was likely to end in time.
    likely_min = round(60 * BUSY.roll_median)
    for one in found.shots:
        before = ~np.isnan(one.start_min) & ~(found.meal_min < one.start_min)
        assert (one.start_min[before] + likely_min <= latest).all()
    assert (found.meal_min[eaten] <= latest).mean() > 0.8
    for one in found.shots:
        over = (one.start_min < found.meal_min + 60) & (one.end_min > found.meal_min)
        assert not over.any()


def test_cast_and_spot_hours_are_kept():
    """Nobody rolls without their cast, or builds and rolls in a spot that is shut."""
    here = Span(start=at("08:00"), end=at("09:40"))
    mill = (Span(start=at("10:00"), end=at("10:50")), Span(start=at("11:30"), end=at("13:00")))
    shots = (a_shot("1"), a_shot("2", cast=("Ana",)), a_shot("3", spot="mill"))
    day = a_day(
        *shots,
        overrun=BUSY,
        spots=(Spot(name="pans"), Spot(name="mill", open=mill)),
        cast=(CastMember(name="Ana", here=(here,)),),
    )
    timetable = timed(day, ("1", "08:30"), ("2", "09:00"), ("3", "10:30"))
    found = stressed(day, timetable, days=5_000)
    fit, (_, ana, built) = found.fit, found.shots
    assert np.nanmax(ana.end_min) <= minute(fit, "09:40")
    assert 0.1 < ana.made_chance < 0.9
    early = built.end_min <= minute(fit, "10:50")
    late = (built.start_min > minute(fit, "11:30")) & (built.end_min <= minute(fit, "13:00"))
    assert (early | late | np.isnan(built.start_min)).all()
    assert late.any()


def test_what_a_shot_hurts_is_what_it_alone_loses():
    """Where one shot alone runs over, all that the mean day loses is lost to it."""
    wish = Wish(azimuth=Band(low_deg=0.0, high_deg=115.0, give_deg=20.0))
    shots = (a_shot("1", wish=wish), a_shot("2"), a_shot("3", size=Size.WIDE))
    day = a_day(*shots, overruns=dict.fromkeys(Size, NONE) | {Size.WIDE: BUSY})
    found = stressed(day, timed(day, ("3", "08:30"), ("1", "09:00"), ("2", "10:10")), days=2_000)
    first, *others = found.shots
    assert first.light_lost > 0.005
    assert [one.light_lost for one in others] == [0.0, 0.0]
    assert found.hurts_most is first


def begun_day() -> tuple[Day, Timetable]:
    """Give a day on which a shot is made, lunch was had and the next shot is being built."""
    day = a_day(a_shot("1"), a_shot("2"), overrun=BUSY)
    made = Made(
        shot_id="1",
        changeover_start=at("10:00"),
        roll_start=at("10:50"),
        roll_end=at("11:10"),
    )
    past = Past(
        at=at("12:25"),
        free_at=at("12:25"),
        made=(made,),
        building="2",
        built_since=at("12:20"),
        meal_start=at("11:15"),
    )
    rolls = (
        Roll(shot_id="1", changeover_start=at("10:00"), roll_start=at("10:50")),
        Roll(shot_id="2", changeover_start=at("12:20"), roll_start=at("12:30")),
    )
    return replace(day, past=past), Timetable(rolls=rolls, meal_start=at("11:15"))


def test_what_has_happened_stays():
    """On a day that has begun, made shots and a meal that was had are not drawn."""
    found = stressed(*begun_day(), days=500)
    first, second = found.shots
    assert set(first.start_min) == {minute(found.fit, "10:50")}
    assert set(first.end_min) == {minute(found.fit, "11:10")}
    assert first.light_lost == 0.0
    assert set(found.meal_min) == {minute(found.fit, "11:15")}
    # Built in ten minutes from 12:20, and never rolled before the moment that the day is at.
    assert second.start_min.min() > minute(found.fit, "12:25")
    assert len(set(second.start_min)) > 8
    assert_share(float(np.mean(second.start_min > minute(found.fit, "12:30"))), 0.5, 500)


def test_a_meal_still_to_come_is_drawn():
    """On a day that has begun, before lunch: it is had on every day, in its hours."""
    day, timetable = begun_day()
    assert day.past is not None
    begun = replace(day.past, at=at("11:10"), free_at=at("11:10"), building=None, built_since=None)
    day = replace(
        day,
        past=replace(begun, meal_start=None),
        meal=Meal(earliest=at("11:30"), latest=at("11:30"), length_min=30),
        hours=replace(day.hours, hard_wrap=at("19:00")),
    )
    found = stressed(day, replace(timetable, meal_start=at("11:30")), days=50)
    assert set(found.meal_min) == {minute(found.fit, "11:30")}


@pytest.mark.parametrize("days", [0, -1, MOST_DAYS + 1])
def test_a_number_of_days_that_cannot_be_drawn_is_refused(days):
    """No day, or more than fit in memory."""
    day = a_day(a_shot("1"))
    with pytest.raises(ValueError, match=f"from 1 to {MOST_DAYS} days"):
        stressed(day, timed(day, ("1", "08:30")), days=days)


def test_an_order_without_shots_is_refused():
    """There is nothing to stress."""
    with pytest.raises(ValueError, match="without shots"):
        stressed(a_day(a_shot("1")), Timetable(rolls=()))


def test_day_on_which_nothing_can_be_made_has_no_wrap():
    """Where no roll fits into the hours the crew begins nothing: no roll, no overtime."""
    day = until(a_day(a_shot("1"), a_shot("2"), overrun=BUSY), "08:10", "08:10")
    found = stressed(day, timed(day, ("1", "08:30")), days=50)
    assert found.wrap_at(0.5) is None
    assert found.overtime_chance == 0.0
    assert found.light_at(0.5) == 0.0
    assert found.points.tolist() == [-6000] * 50  # twice 1000 a unit of weight
    assert "–" in stress_text(found, "the plan")
    assert json.loads(json.dumps(stress_record(found)))["wrap"]["median"] is None
    assert stress_figure(found).axes


def test_figures_are_read_from_the_folder(day_folder_of):
    """`[overrun.<size>]` changes what it names and keeps the defaults of the rest."""
    folder = day_folder_of(
        "[overrun.close-up]\nroll_median = 1.4\n\n[overrun.wide]\nroll_spread = 0\n"
    )
    read = read_day(folder).overruns
    assert read[Size.CLOSE_UP] == replace(DEFAULT_OVERRUNS["close-up"], roll_median=1.4)
    assert read[Size.WIDE] == replace(DEFAULT_OVERRUNS["wide"], roll_spread=0.0)
    assert read[Size.FULL] == DEFAULT_OVERRUNS["full"]


@pytest.mark.slow
def test_a_slow_day_is_slow_for_all_its_work(day_folder_of):
    """`[overrun.day]` draws a factor in common: logarithms vary and go together as they should."""
    day = read_day(day_folder_of("[overrun.day]\nspread = 0.4\n"))
    assert day.day_spread == 0.4
    logs = np.log(draw_factors(day, 40_000, seed=3))
    own = day.overruns[day.shots[0].size].roll_spread
    assert logs[0, 1].std() == pytest.approx(sqrt(own**2 + 0.4**2), rel=0.02)
    both = np.cov(logs[0, 1], logs[1, 1])[0, 1]
    assert both == pytest.approx(0.4**2, rel=0.1)
    alone = np.log(draw_factors(replace(day, day_spread=0.0), 40_000, seed=3))
    # The other draws are the same: what is left is the day's factor, one for all its work.
    common = logs - alone
    assert common == pytest.approx(np.broadcast_to(common[0, 0], common.shape), abs=1e-9)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[overrun.day]\nspread = 2\n", "overrun.day.spread: out of range: `2`"),
        (
            "[overrun.wide]\nroll_median = 0.1\n",
            (
                "overrun.wide.roll_median: out of range: `0.1` (expected a number from 0.2 to 5, "
                "such as 2.5)"
            ),
        ),
        (
            '[overrun.wide]\nroll_spread = "a lot"\n',
            (
                "overrun.wide.roll_spread: not a number: `a lot` "
                "(expected a number from 0 to 1.5, such as 0.5, without quotes)"
            ),
        ),
        (
            "[overrun.wide]\nchangover_median = 1.2\n",
            "overrun.wide.changover_median: unknown key\n  hint: did you mean `changeover_median`?",
        ),
        ("[overrun.tight]\nroll_spread = 1\n", "overrun.tight: unknown table"),
    ],
)
def test_figures_at_fault_are_named(day_folder_of, text, message):
    """A figure out of its range, of the wrong kind or with a wrong name says so."""
    with pytest.raises(FolderError) as caught:
        read_day(day_folder_of(text))
    assert message in str(caught.value)


@pytest.fixture
def day_folder_of(tmp_path: Path) -> Callable[[str], Path]:
    """Give what writes a demo day with more at the end of its `day.toml`."""

    def write(more: str) -> Path:
        folder = tmp_path / "day"
        folder.mkdir()
        for file in (DATA / "ferry-light").iterdir():
            if file.is_file():
                (folder / file.name).write_bytes(file.read_bytes())
        settings = folder / "day.toml"
        settings.write_text(f"{settings.read_text(encoding='utf-8')}\n{more}", encoding="utf-8")
        return folder

    return write


@pytest.mark.parametrize(
    ("share", "text"),
    [(1.0, "100%"), (0.9999, ">99%"), (0.994, "99%"), (0.5, "50%"), (0.004, "<1%"), (0.0, "0%")],
)
def test_a_chance_is_certain_only_if_it_is(share, text):
    """What happens on all days but a few is not said to be certain."""
    assert chance(share) == text


def test_text_and_record_say_what_was_found():
    """Chances, quantiles and the shot that hurts most, in clock time."""
    day, timetable = four_in_a_row(BUSY)
    found = stressed(day, timetable, days=1_000, seed=5)
    text = stress_text(found, "revision 3")
    lines = text.splitlines()
    assert "1000 drawn days of revision 3, seed 5" in lines
    assert max(map(len, lines)) <= 80
    last = found.shots[-1]
    [row] = [line for line in lines if line.startswith("4 ")]
    for cell in ("10:00", chance(last.made_chance), chance(last.half_chance)):
        assert cell in row
    record = json.loads(json.dumps(stress_record(found, 3)))
    assert record["revision"] == 3
    assert record["light_kept"]["median"] == round(float(np.median(found.light_kept)), 4)
    worst = max(found.shots, key=lambda one: one.light_lost)
    assert record["hurts_most"] == worst.shot.id
    assert f"{record['hurts_most']} hurts most" in text
    assert [one["id"] for one in record["shots"]] == ["1", "2", "3", "4"]
    assert record["shots"][3]["made_chance"] == round(last.made_chance, 4)
    middle = moment(found.fit, last.start_min, 0.5)
    assert middle is not None
    assert record["shots"][3]["roll_start"]["median"] == middle.isoformat(timespec="seconds")


def artist(figure, label):
    """Give the one artist of a figure with this label."""
    [found] = [
        one
        for axes in figure.axes
        for one in (*axes.lines, *axes.artists, *axes.patches, *axes.collections)
        if one.get_label() == label
    ]
    return found


@pytest.mark.parametrize("shape", few_first(Shape, 1))
def test_picture_shows_plan_spread_and_chances(shape):
    """The bar runs from a tenth to nine tenths of the starts; letters neither meet nor leave."""
    solved = solve_day(read_day(DATA / "ferry-light"), limit_s=5)
    found = stress(solved.fit, solved.plan.timetable, days=2_000)
    figure = stress_figure(found, shape=shape)
    for one in found.shots:
        starts = one.start_min[~np.isnan(one.start_min)]
        bar = artist(figure, f"starts {one.shot.id}").get_xdata()
        assert bar == pytest.approx(np.quantile(starts, [0.1, 0.9]))
        median = artist(figure, f"median {one.shot.id}").get_xdata()
        assert median == pytest.approx([np.median(starts)])
        box = artist(figure, f"plan {one.shot.id}")
        assert one.planned is not None
        assert box.get_x() == found.fit.minute_of(one.planned)
        assert box.get_width() == one.shot.shoot_min
    texts = [one.get_text() for one in figure.texts]
    word = chance(found.shots[0].half_chance)
    assert any(word in text for text in texts)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    boxes = [
        one.get_window_extent(canvas.get_renderer()).padded(-1.0)
        for one in figure.findobj(Text)
        if one.get_text().strip()
    ]
    page = figure.bbox
    assert all(page.x0 <= b.x0 and b.x1 <= page.x1 and page.y0 <= b.y0 for b in boxes)
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]


@pytest.mark.slow
def test_command_stresses_the_plan_and_another_order(tmp_path, day_folder_of):
    """Text for the plan, JSON for an order of one's own, a picture beside it."""
    folder = day_folder_of("")
    done = RUN.invoke(app, ["stress", str(folder), "--days", "200"])
    assert done.exit_code == 0
    assert "200 drawn days of the plan for the average day, seed 1" in done.stdout
    done = RUN.invoke(app, ["stress", str(folder), "--days", "200", "--for", "planned"])
    assert "200 drawn days of the plan, seed 1" in done.stdout
    order = tmp_path / "mine.csv"
    order.write_text("id\n1\n2\n4\n3\n", encoding="utf-8")
    picture = tmp_path / "out.svg"
    options = ["--order", str(order), "--days", "200", "--json", "--picture", str(picture)]
    done = RUN.invoke(app, ["stress", str(folder), *options])
    assert done.exit_code == 0
    record = json.loads(done.stdout)
    assert [one["id"] for one in record["shots"]] == ["1", "2", "4", "3"]
    assert picture.read_bytes().startswith(b"<?xml")


def test_command_takes_the_newest_revision(day_folder_of):
    """Where plans are saved the newest is stressed, and another where it is asked for."""
    folder = day_folder_of("")
    for _ in range(2):
        assert RUN.invoke(app, ["plan", "--for", "planned", str(folder), "--save"]).exit_code == 0
    done = RUN.invoke(app, ["stress", str(folder), "--days", "50"])
    assert "50 drawn days of revision 2, seed 1" in done.stdout
    done = RUN.invoke(app, ["stress", str(folder), "--days", "50", "--order", "1", "--json"])
    assert json.loads(done.stdout)["revision"] == 1


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (["--days", "0"], 2),
        (["--days", str(MOST_DAYS + 1)], 2),
        (["--seed", "-1"], 2),
        (["--picture", "out.txt"], 2),
        (["--order", "nowhere.csv"], 1),
        (["--order", "9"], 1),
    ],
)
def test_command_refuses_what_it_cannot_do(options, code):
    """Wrong use, and an order that is not there; nothing is printed to stdout."""
    done = RUN.invoke(app, ["stress", str(DATA / "ferry-light"), *options])
    assert done.exit_code == code
    assert isinstance(done.exception, FolderError) == (code == 1)
    assert done.stdout == ""


def test_benchmark_prints_a_line_for_each_kind(capsys, monkeypatch):
    """It runs from end to end, so that it cannot rot; no time that it measures is tested."""
    monkeypatch.setattr(benchmark, "LIMIT_S", 0.5)
    monkeypatch.setattr(benchmark, "SHOTS", 8)
    benchmark.main(["--days", "20", "--seeds", "1"])
    rows = [line.split("|") for line in capsys.readouterr().out.splitlines() if "matches" in line]
    assert [row[2].strip() for row in rows] == ["without matches", "with matches"]
    assert {row[4].strip() for row in rows} == {"20"}


@pytest.mark.slow
def test_a_plan_for_the_average_day_is_kept_by_its_own_drawn_days():
    """The mean of its drawn days is what it says, within three standard errors."""
    found = average_plan(solve_day(read_day(DATA / "ferry-light")))
    drawn = stress_average(found, days=20_000)
    error = float(drawn.light_kept.std()) / 20_000**0.5
    assert abs(float(drawn.light_kept.mean()) - found.light_kept) < 3 * error
    error = float(drawn.points.std()) / 20_000**0.5
    assert abs(float(drawn.points.mean()) - found.points) < 3 * error + 1
    assert [one.shot.id for one in drawn.shots] == list(found.ids)
    likely = {one.shot.id: one.roll_start for one in found.likely.shots}
    assert {one.shot.id: one.planned for one in drawn.shots} == {
        name: likely.get(name) for name in found.ids
    }
    assert drawn.planned_end == found.likely.shots[-1].roll_end
