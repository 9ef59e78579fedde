"""The safest order: against all orders of small days, on days that its search has not seen."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest
from average.chances import a_small_day
from builders import a_day, a_shot, at, the_hours
from seeds import few_first
from typer.testing import CliRunner

from sunsched.average.drawn import draw_factors
from sunsched.average.ground import Ground
from sunsched.average.order.forecast import make_policy
from sunsched.average.order.search import Ordered
from sunsched.average.plan import HARDLY, AveragePlan, average_plan
from sunsched.average.solve import policy_of
from sunsched.cli.shared.app import app
from sunsched.day.model import Day, Size
from sunsched.day.overruns import Overrun
from sunsched.errors import SunschedError
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.plan.timetable import Roll, Timetable
from sunsched.show.records.stress import safest_record
from sunsched.show.text.stress import safest_text
from sunsched.solver.solved import Solved, solve_day
from sunsched.whatif.stress import bad_days
from sunsched.whatif.stress import safest as module
from sunsched.whatif.stress.bad_days import light_of, search_bad_days, worst_terms
from sunsched.whatif.stress.safest import Safest, Whose, safest
from sunsched.whatif.stress.stress import stress, stress_average

DATA = Path(__file__).parents[2] / "data"
DAYS = 2_000
RUN = CliRunner()
NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)
WIDE = Overrun(changeover_median=1.2, changeover_spread=0.5, roll_median=1.2, roll_spread=0.5)


def searched(day: Day, seed: int, days: int = 200):
    """Search from the order of the list; give what was followed, with the day and its draws."""
    ground = Ground(fit_day(day))
    minute, drifts = ground.minute, ground.drifts
    factors = draw_factors(day, days, seed)
    references = np.zeros(len(drifts.names), dtype=np.int64)
    n = len(minute.shots)
    # The order of the list, last first where that is forbidden.
    order = min(
        (np.array(one, dtype=np.int64) for one in permutations(range(n)) if allowed(minute, one)),
        key=lambda one: one.tolist(),
    )
    first = Ordered(order=order, references=references, worth=0.0)
    return search_bad_days(ground, [first], factors), minute, drifts, factors


def allowed(rest, order) -> bool:
    """Say whether an order obeys what must come after what."""
    return not any(
        rest.forbidden[order[p], order[q]] for p in range(len(order)) for q in range(p, len(order))
    )


@pytest.mark.parametrize("seed", [1, 2, 3, 5])
def test_search_finds_the_best_of_all_orders_of_a_small_day(seed):
    """Each order of four shots is followed by plain trying, on the same days."""
    day = a_small_day(seed, shots=4)
    tried, minute, drifts, factors = searched(day, seed)
    none = np.zeros(0, dtype=np.int64)
    kept = {}
    for order in permutations(range(4)):
        if allowed(minute, order):
            policy = make_policy(minute, drifts, np.array(order, dtype=np.int64), none)
            kept[order] = np.sort(light_of(policy, factors))[:20].mean()
    assert {tuple(one.ordered.order.tolist()) for one in tried} == set(kept)
    for one in tried:
        assert one.worst == pytest.approx(kept[tuple(one.ordered.order.tolist())])
    assert tried[0].worst == pytest.approx(max(kept.values()))


def test_search_obeys_what_must_come_after():
    """No order is followed that has a shot before one that it must come after."""
    day = a_small_day(7, shots=6)
    shots = [replace(shot, after=()) for shot in day.shots]
    shots[0] = replace(shots[0], after=(shots[5].id,))
    shots[4] = replace(shots[4], after=(shots[0].id, shots[1].id))
    tried, minute, _, _ = searched(replace(day, shots=tuple(shots)), 1)
    assert len(tried) > 50
    assert all(allowed(minute, one.ordered.order.tolist()) for one in tried)


def test_search_does_a_fixed_amount_of_work(monkeypatch):
    """As many orders as it may follow; of a long list's neighbours only some, always the same."""
    monkeypatch.setattr(bad_days, "FOLLOWED", 60)
    monkeypatch.setattr(bad_days, "MOST_NEIGHBOURS", 10)
    first, second = (searched(a_small_day(3, shots=6), 1, days=50)[0] for _ in range(2))
    assert len(first) == 60
    assert [one.ordered.order.tolist() for one in first] == [
        one.ordered.order.tolist() for one in second
    ]
    assert first[0].rank == max(one.rank for one in first)


def test_the_mean_of_the_worst_tenth():
    """Of 100 days the worst ten, of 1000 the worst hundred; days that are all alike are alike."""
    light = np.random.default_rng(1).permutation(np.arange(100.0))
    assert worst_terms(light).mean() == pytest.approx(4.5, abs=0.1)
    fine = np.arange(1000.0)
    assert worst_terms(fine).mean() == pytest.approx(49.5, abs=0.1)
    assert worst_terms(np.full(7, 0.3)).tolist() == [0.3] * 7


@cache
def ferry_plans() -> tuple[Solved, AveragePlan]:
    """Give the plans of the demo day ferry-light."""
    solved = solve_day(read_day(DATA / "ferry-light"), limit_s=5)
    return solved, average_plan(solved)


@cache
def ferry() -> Safest:
    """Give the orders judged for that day."""
    return safest(*ferry_plans(), days=DAYS)


@pytest.mark.slow
def test_safest_order_keeps_more_on_bad_days():
    """Each order once; more than the plan by more than two standard errors, as counted again."""
    found = ferry()
    assert [one.whose for one in found.candidates] == [
        (Whose.AVERAGE,),
        (Whose.PLANNED,),
        (Whose.SAFEST,),
    ]
    mine, plan = (
        np.sort(one.stress.light_kept)[: DAYS // 10].mean() for one in (found.safest, found.average)
    )
    assert mine - plan == pytest.approx(found.gain, abs=1e-3)
    assert found.gain > 2 * found.gain_error > 0
    assert found.points_lost(found.average) == 0
    assert found.points_lost(found.safest) > 0  # else the plan would not be the plan


def test_error_of_the_gain_is_that_of_days_drawn_anew():
    """The gain of one order on 40 other sets of days varies as its standard error says."""
    day = a_small_day(3, shots=5)
    fit = fit_day(day)
    ids = [shot.id for shot in day.shots]
    policies = [policy_of(fit, in_order(order)) for order in (ids, ids[::-1])]
    gains, errors = [], []
    for seed in range(40):
        factors = draw_factors(day, 1000, seed)
        mine, plan = (worst_terms(light_of(one, factors)) for one in policies)
        gains.append((mine - plan).mean())
        errors.append((mine - plan).std() / np.sqrt(1000))
    assert np.std(gains) == pytest.approx(np.mean(errors), rel=0.35)


def in_order(ids) -> Timetable:
    """Give an order; its times are not looked at."""
    rolls = (Roll(shot_id=one, changeover_start=at("6:00"), roll_start=at("6:00")) for one in ids)
    return Timetable(rolls=tuple(rolls))


def test_figures_are_from_days_that_the_search_has_not_seen(monkeypatch):
    """Search, choice and judgement draw from three seeds, and other seeds for another seed."""
    seeds = []

    def noted(day, days, seed):
        seeds.append((days, seed))
        return draw_factors(day, days, seed)

    monkeypatch.setattr(module, "draw_factors", noted)
    monkeypatch.setattr("sunsched.whatif.stress.stress.draw_factors", noted)
    solved = solve_day(a_small_day(1, shots=4), limit_s=5)
    safest(solved, average_plan(solved), days=300, seed=7)
    assert {seed for days, seed in seeds if days == 300} == {7}
    others = [seed for days, seed in seeds if days != 300]
    assert sorted(others) == [8, 9]


def test_same_seed_gives_the_same_answer():
    """The same orders and figures, twice; other days where the seed is another."""
    solved = solve_day(a_small_day(4, shots=5), limit_s=5)
    plan = average_plan(solved)
    first, again, other = (safest(solved, plan, days=300, seed=seed) for seed in (1, 1, 2))
    assert safest_record(first) == safest_record(again)
    assert first.average.stress.light_kept.tolist() != other.average.stress.light_kept.tolist()


def test_the_plan_as_the_other_order_changes_nothing():
    """It is one order with the plan, whatever the references it would have as another's."""
    solved = solve_day(a_small_day(4, shots=5, matches=("a", "b")), limit_s=5)
    plan = average_plan(solved)
    alone = safest(solved, plan, days=300)
    both = safest(solved, plan, order=stress_average(plan, days=300), days=300)
    assert Whose.ORDER in both.average.whose
    assert both.safest.ids == alone.safest.ids
    assert (both.gain, both.followed) == (alone.gain, alone.followed)


@pytest.mark.parametrize("seed", few_first([1, 2, 3, 4, 6], 2))
def test_safest_never_keeps_less_than_the_plan(seed):
    """On the days of the judgement; where it keeps no more than by chance it is the plan itself."""
    solved = solve_day(a_small_day(seed, shots=5, matches=("a",)), limit_s=5)
    found = safest(solved, average_plan(solved), days=1000)
    assert found.safest.worst_mean >= found.average.worst_mean
    assert (found.safest is found.average) == (found.gain <= 2 * found.gain_error)
    assert sum(Whose.SAFEST in one.whose for one in found.candidates) == 1


@pytest.mark.slow
def test_a_worse_order_that_the_search_gives_is_not_shown(monkeypatch):
    """What looked best while searching and keeps less on other days is not called the safest."""
    solved, plan = ferry_plans()
    own = plan.policy
    worse = make_policy(own.rest, own.drifts, own.order[:4].copy(), own.references)
    monkeypatch.setattr(module, "_found", lambda *_: (worse, 1))
    found = safest(solved, plan, days=500)
    assert found.safest is found.average
    assert found.average.whose == (Whose.AVERAGE, Whose.SAFEST)
    assert worse.ids not in [one.ids for one in found.candidates]
    assert (found.gain, found.gain_error) == (0.0, 0.0)
    assert "the safest order is that of the average day" in " ".join(safest_text(found, "").split())


def test_day_without_chance_has_its_plan_as_the_safest():
    """All drawn days are one day, and the plan keeps all its light."""
    shots = [a_shot(str(number), size=Size.MEDIUM) for number in (1, 2, 3)]
    solved = solve_day(a_day(*shots, overruns=dict.fromkeys(Size, NONE)))
    found = safest(solved, average_plan(solved), days=50)
    assert found.safest is found.average
    assert found.gain_error == 0.0


@pytest.mark.slow
def test_another_order_is_judged_on_the_same_days(monkeypatch):
    """It stands in the table, is the planned order where it is that, and is begun at."""
    monkeypatch.setattr(bad_days, "FOLLOWED", 3)
    solved, plan = ferry_plans()
    timetable = solved.plan.timetable
    own = stress(solved.fit, timetable, days=400)
    found = safest(solved, plan, order=own, days=400)
    assert found.candidates[1].whose == (Whose.PLANNED, Whose.ORDER)
    with pytest.raises(ValueError, match="on the same days"):
        safest(solved, plan, order=own, days=401)
    other = stress(solved.fit, replace(timetable, rolls=timetable.rolls[:3]), days=400)
    found = safest(solved, plan, order=other, days=400)
    [mine] = [one for one in found.candidates if Whose.ORDER in one.whose]
    made = {roll.shot_id for roll in timetable.rolls[:3]}
    assert set(mine.left_out_ids) == {shot.id for shot in solved.fit.day.shots} - made
    text = " ".join(safest_text(found, "mine.csv").split())
    assert f"the order of mine.csv leaves out {', '.join(mine.left_out_ids)}" in text


def test_shots_that_are_rarely_made_are_named():
    """On fewer than half of the days, with how often that is."""
    shots = [a_shot(str(number), size=Size.MEDIUM, shoot_min=60) for number in (1, 2, 3)]
    hours = the_hours("6:00", "9:30")
    solved = solve_day(a_day(*shots, hours=hours, overruns=dict.fromkeys(Size, WIDE)))
    found = safest(solved, average_plan(solved), days=1000)
    rarely = found.average.rarely_made
    [last] = [one for one in found.average.stress.shots if one.made_chance < 0.5]
    assert rarely == [(last.shot, last.made_chance)]
    text = " ".join(safest_text(found, "").split())
    assert f"the order of the average day rarely makes {last.shot.id} (" in text


@pytest.mark.slow
def test_safest_is_put_in_words_and_in_a_record():
    """The text names the safest order and its price; the record says the same."""
    found = ferry()
    text, record = safest_text(found, "mine"), json.loads(json.dumps(safest_record(found)))
    best, words = found.safest, " ".join(text.split())
    ids = [one.shot.id for one in best.stress.shots if one.made_chance >= HARDLY]
    assert f"the safest order: {', '.join(ids)}." in words
    assert f"{found.points_lost(best):.0f} points less" in words
    assert f"keeps {best.worst_mean:.1%} of the light in the mean" in words
    assert f"({100 * found.gain:.1f} ± {100 * found.gain_error:.1f} more)" in words
    assert max(map(len, text.splitlines())) <= 80
    [row] = [line for line in text.splitlines() if line.startswith("bad days")]
    assert f"{best.stress.light_kept.mean():.1%}" in row
    own = record["orders"][record["safest"]]
    assert own["order"] == list(best.ids)
    assert own["whose"] == ["safest"]
    assert own["light_kept"]["worst_tenth_mean"] == round(best.worst_mean, 4)
    assert own["points_lost"] == round(found.points_lost(best))
    assert record["orders"][0]["points_lost"] == 0


SHOTS = """\
id,description,size,look,shoot_min
1,one,medium,N,20
2,two,medium,S,20
3,three,close-up,N,20
"""


def test_command_adds_the_safest_order(tmp_path, make_folder):
    """`--safest` adds its table to the text and its part to the record, with an order beside it."""
    folder = str(make_folder(shots=SHOTS))
    order = tmp_path / "mine.csv"
    order.write_text("id\n2\n1\n", encoding="utf-8")
    asked = ["stress", folder, "--days", "100", "--safest"]
    done = RUN.invoke(app, [*asked, "--order", str(order)])
    assert done.exit_code == 0, done.stderr
    assert "the safest order" in done.stdout
    assert "mine.csv leaves out 3" in " ".join(done.stdout.split())
    for aim in ("average", "planned"):
        done = RUN.invoke(app, [*asked, "--json", "--for", aim])
        assert json.loads(done.stdout)["safest"]["orders"][0]["whose"][0] == "average"


def test_command_that_was_ended_early_does_not_look_for_it(make_folder, monkeypatch):
    """The order is tried; a search that takes as long again is left out, and that is said."""
    monkeypatch.setattr("sunsched.whatif.stress.safest.safest", None)
    monkeypatch.setattr("sunsched.cli.commands.stress.is_end_asked", lambda: True)
    asked = [
        "stress",
        str(make_folder(shots=SHOTS)),
        "--days",
        "50",
        "--safest",
        "--for",
        "planned",
    ]
    done = RUN.invoke(app, asked)
    assert done.exit_code == 0, done.exception
    assert done.stdout
    assert "the safest order is not looked for, because it was ended early" in done.stderr


def test_day_on_which_nothing_is_likely_made_is_refused(tmp_path, make_folder, minimal_day):
    """One whole sentence, no traceback: its only shot takes five times as long as there is time."""
    slow = "[overrun.medium]\nroll_median = 5\nroll_spread = 0\n"
    shots = "id,description,size,look,shoot_min\n1,one,medium,N,400\n"
    folder = make_folder(f"{minimal_day}\n{slow}", shots=shots)
    order = tmp_path / "mine.csv"
    order.write_text("id\n1\n", encoding="utf-8")
    asked = ["stress", str(folder), "--days", "50", "--order", str(order)]
    assert RUN.invoke(app, asked).exit_code == 0
    done = RUN.invoke(app, [*asked, "--safest"])
    assert isinstance(done.exception, SunschedError)
    assert "no shot is likely to be made" in str(done.exception)
