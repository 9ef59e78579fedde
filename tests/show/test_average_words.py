"""What is said of a plan for the average day, against a day whose chances are known by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import log
from statistics import NormalDist
from typing import Any

import pytest
from builders import a_day, a_shot, a_span, at, the_hours

from sunsched.average.plan import AsPlanned, AveragePlan, BestPlanned, plan_of_policy
from sunsched.average.risk import risks
from sunsched.average.solve import policy_of
from sunsched.day.model import CastMember, Day, Meal, Shot, Size
from sunsched.day.overruns import Overrun
from sunsched.light.fit import fit_day
from sunsched.plan.timetable import Roll, Timetable
from sunsched.show.prospects import chance
from sunsched.show.text.average_day.plan import doubts, likely_rows, verdicts

NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)
SPREAD = 0.5
LATE_MEAL = Meal(earliest=at("18:00"), latest=at("18:30"), length_min=30)


def share_by(minutes: int) -> float:
    """Give the chance that the first roll takes no more minutes: 60 in the middle."""
    return NormalDist().cdf(log((minutes + 0.5) / 60) / SPREAD)


def a_chancy_day(*others: Shot, **changes: Any) -> Day:
    """Give a day whose first roll, a wide from 6:00 on, takes some 60 minutes by chance."""
    first = a_shot("1", size=Size.WIDE, setup_min=0, shoot_min=60, weight=changes.pop("weight", 1))
    overruns = {**dict.fromkeys(Size, NONE), Size.WIDE: replace(NONE, roll_spread=SPREAD)}
    facts: dict[str, Any] = {"meal": LATE_MEAL, "overruns": overruns}
    return a_day(first, *others, **(facts | changes))


def followed(day: Day):
    """Give the policy of the order of the list."""
    rolls = (
        Roll(shot_id=s.id, changeover_start=at("6:00"), roll_start=at("6:00")) for s in day.shots
    )
    return policy_of(fit_day(day), Timetable(rolls=tuple(rolls)))


@cache
def plan() -> AveragePlan:
    """Give a plan in which 2 is made only after a quick 1, 3 never, and 4 always.

    For 2 Ana leaves at 7:30, so that it begins by 6:50; for 3 Ben leaves before 1 can be over.
    """
    day = a_chancy_day(
        a_shot("2", cast=("Ana",)),
        a_shot("3", cast=("Ben",)),
        a_shot("4"),
        cast=(
            CastMember(name="Ana", here=(a_span("6:00", "7:30"),)),
            CastMember(name="Ben", here=(a_span("6:00", "6:35"),)),
        ),
    )
    return plan_of_policy(followed(day), None)


def test_the_likely_day_has_the_others_where_they_would_be():
    """Those that it does not make have a dash; one that is hardly ever made stands last."""
    rows = [row for row in likely_rows(plan()) if not isinstance(row, str)]
    assert [(row[0], row[1]) for row in rows] == [
        ("06:00–07:00", "1"),
        ("–", "2"),
        ("07:10–07:40", "4"),
        ("–", "3"),
    ]
    made = chance(share_by(50))
    assert [row[5] for row in rows] == ["100%", made, "100%", "0%"]


def test_a_shot_that_is_not_likely_says_how_often_it_is_made():
    """And one that is hardly ever made says that alone."""
    why = {left.shot.id: left.why for left in plan().likely.left_out}
    assert why == {
        "2": f"not made on the likely day; made on {share_by(50):.0%} of the days",
        "3": "hardly ever made in this order",
    }


def test_a_pin_that_may_be_missed_is_a_doubt():
    """It rolls at 7:50 if its setup, some 60 minutes by chance, takes no more than 110."""
    overruns = dict.fromkeys(Size, replace(NONE, changeover_spread=SPREAD))
    day = a_day(a_shot("4", setup_min=60, pin=at("7:50")), meal=LATE_MEAL, overruns=overruns)
    said = f"4 rolls at its pin, 07:50, on {chance(share_by(110))} of the days"
    assert list(doubts(plan_of_policy(followed(day), None))) == [said]
    sure = replace(day, shots=(replace(day.shots[0], pin=at("16:00")),))
    assert list(doubts(plan_of_policy(followed(sure), None))) == []


def test_a_pin_that_the_likely_day_misses_is_no_fault_of_its_plan():
    """A setup of some 60 minutes before 6:50: on the likely day it rolls ten minutes late."""
    overruns = dict.fromkeys(Size, replace(NONE, changeover_spread=SPREAD))
    day = a_day(a_shot("4", setup_min=60, pin=at("6:50")), meal=LATE_MEAL, overruns=overruns)
    (shot,) = plan_of_policy(followed(day), None).likely.shots
    assert shot.roll_start == at("7:00")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (None, "there was no time to say how much more another way of shooting could be worth"),
        (0, "no way of shooting this day is worth more"),
        (1, "no way of shooting this day is worth more than {} points"),
    ],
)
def test_the_bound_is_said(more, said):
    """None, that of the points themselves, and one above them."""
    bound = None if more is None else plan().points + more
    texts = list(verdicts(plan_of_policy(plan().policy, bound)))
    (text,) = (one for one in texts if "way of shooting" in one)
    assert text.startswith(said.format(bound))
    assert ("not even one that decides anew" in text) == (more == 1)


def test_what_is_kept_if_all_holds():
    """Of this order, of the best for that, and whether that is proven; as far as it is known."""
    own = AsPlanned(points=90, light_kept=0.5)
    proven = BestPlanned(points=100, bound=100, light_kept=0.6)
    above = replace(proven, bound=120)
    unproven = "(no order more than 120; `sunsched plan --for planned` looks longer)"
    looser = "the best order found for planned minutes keeps"
    mine, best = "this order keeps 50.0%, 90 points", "60.0%, 100 points"
    for as_planned, best_planned, said in (
        (own, None, [f"if every minute holds, {mine}"]),
        (
            own,
            proven,
            [f"if every minute holds, {mine}, and the best order for that {best} (proven)"],
        ),
        (
            own,
            above,
            [f"if every minute holds, {mine}, and the best order found for that {best} {unproven}"],
        ),
        (
            None,
            above,
            [f"{looser} {best} {unproven}, if every minute holds"],
        ),
        (None, None, []),
    ):
        texts = list(verdicts(replace(plan(), as_planned=as_planned, best_planned=best_planned)))
        assert [text for text in texts if "every minute holds" in text] == said


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.0, "0%"),
        (0.0049, "<1%"),
        (0.005, "<1%"),
        (0.0051, "1%"),
        (0.5, "50%"),
        (0.9949, "99%"),
        (0.995, ">99%"),
        (0.99999, ">99%"),
        (1.0, "100%"),
    ],
)
def test_a_chance_looks_certain_only_if_it_is(share, text):
    """Neither of being made nor of being left out."""
    assert chance(share) == text


@pytest.mark.parametrize("weight", [3.0, 4.0])
def test_a_risk_has_its_chances_with_each_change(weight):
    """2 must begin by 11:20, 40 minutes before the hard wrap; half an hour more helps either way.

    Nobody cuts 1 for a shot that weighs no more.
    """
    day = a_chancy_day(a_shot("2", weight=4.0), hours=the_hours("10:00", "12:00"), weight=weight)
    risk = next(one for one in risks(followed(day)) if one.shot.id == "2")
    assert risk.made == pytest.approx(share_by(80), abs=1e-9)
    assert risk.earlier == pytest.approx(share_by(110), abs=1e-9)
    assert risk.later == pytest.approx(share_by(110), abs=1e-9)
    if weight < 4.0:
        assert risk.without is not None
        assert risk.without[0].id == "1"
        assert risk.without[1] == pytest.approx(1.0)
    else:
        assert risk.without is None
