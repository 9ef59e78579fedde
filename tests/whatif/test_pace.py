"""The pace of past days: ratios counted by hand on invented days, the fit, and figures to paste.

The fit is held to a worked example, to numerical integration and to logs made of known figures.
"""

from __future__ import annotations

import json
import tomllib
from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta
from math import exp, log, sqrt
from statistics import fmean, stdev
from typing import Any

import builders
import numpy as np
import pytest
from scipy import stats
from typer.testing import CliRunner

from sunsched.cli.shared.app import app
from sunsched.day.model import CastMember, Day, Meal, Shot, Size, Span, Spot
from sunsched.day.overruns import DEFAULT_OVERRUNS
from sunsched.day.past import Made, Past
from sunsched.day.wish import Band, Wish
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.show.text.pace import pace_record, pace_text
from sunsched.whatif.stress.factor import Factor, fit_factor
from sunsched.whatif.stress.pace import Pace, Work, pace

RUN = CliRunner()
PLANNED = {"setup": 20, "adjust": 10, "roll": 20}
START = datetime(2027, 5, 11, 8, tzinfo=UTC)


def a_shot(number: int, **changes) -> Shot:
    """Give a shot in a rig of its own, so that it is built from scratch: 20 minutes, 20 to roll."""
    facts = {"size": Size.MEDIUM, "rig": f"rig {number}", "weight": 3.0}
    minutes = {f"{work}_min".replace("roll", "shoot"): length for work, length in PLANNED.items()}
    return builders.a_shot(str(number), **(facts | minutes | changes))


def a_day(*shots: Shot, **changes) -> Day:
    """Give a day with these shots."""
    facts = {
        "title": "A day behind us",
        "hours": builders.the_hours("8:00", "18:00", START.date()),
        "meal": Meal(
            earliest=START + timedelta(hours=5), latest=START + timedelta(hours=6), length_min=60
        ),
        "spots": (Spot(name="pans"),),
        "place": builders.a_place(latitude_deg=36.0),
    }
    return builders.a_day(*shots, on=START.date(), **(facts | changes))


def played(*minutes: tuple[str, int, int], running: str | None = None) -> Past:
    """Give what was made: each shot's id, and the minutes of its changeover and its roll."""
    made, now = [], START
    for shot_id, built, rolled in minutes:
        roll = now + timedelta(minutes=built)
        end = roll + timedelta(minutes=rolled)
        made.append(Made(shot_id=shot_id, changeover_start=now, roll_start=roll, roll_end=end))
        now = end
    return Past(at=now, free_at=now, made=tuple(made), running=running)


def only(found: Pace, work: Work) -> Factor:
    """Give the factor of the one size that there is."""
    [one] = [one for one in found.paces if one.work is work]
    return one.factor


def measured(own: Factor) -> tuple[float, float, float, float]:
    """Give what was seen of a factor, each figure before its standard error."""
    assert own.median is not None
    assert own.median_error is not None
    assert own.spread is not None
    assert own.spread_error is not None
    return own.median, own.median_error, own.spread, own.spread_error


def mean_of(ratios) -> float:
    """Give the median that a log-normal factor with these ratios has."""
    return exp(fmean(log(one) for one in ratios))


def test_ratios_are_counted_by_size_and_work():
    """Median and spread of real over planned minutes; the first setup of a day does not count."""
    day = a_day(*(a_shot(number) for number in range(1, 6)))
    past = played(("1", 90, 20), ("2", 22, 30), ("3", 30, 20), ("4", 24, 24), ("5", 40, 10))
    found = pace([(day, past)])
    built, roll = only(found, Work.CHANGEOVER), only(found, Work.ROLL)
    assert [(one.size, one.work) for one in found.paces] == [
        (Size.MEDIUM, Work.CHANGEOVER),
        (Size.MEDIUM, Work.ROLL),
    ]
    for own, real in ((built, (22, 30, 24, 40)), (roll, (20, 30, 20, 24, 10))):
        ratios = [minutes / 20 for minutes in real]
        assert own.count == len(real)
        assert own.median == pytest.approx(mean_of(ratios))
        assert own.spread == pytest.approx(stdev(map(log, ratios)))


def test_days_are_taken_together_with_all_of_a_changeover():
    """Setups and adjusts, each against its own minutes; a move and a turnaround are planned too."""
    same = [a_shot(number, rig="silk") for number in (1, 2)]
    turned = a_shot(3, rig="silk", look_deg=180.0)  # 10 minutes more
    far = a_shot(4, spot="mill")  # 20 minutes of move
    day = a_day(*same, turned, far, spots=(Spot(name="pans"), Spot(name="mill")))
    past = played(("1", 20, 20), ("2", 15, 20), ("3", 20, 20), ("4", 60, 20))
    found = pace([(day, past), (day, past)])
    assert found.days == 2
    own = only(found, Work.CHANGEOVER)
    assert own.count == 6
    assert own.median == pytest.approx(mean_of([1.5, 1.0, 1.5]))


def test_sizes_stand_from_wide_to_insert():
    """Each size has a pace of its own, and defaults of its own."""
    day = a_day(a_shot(1, size=Size.INSERT), a_shot(2, size=Size.WIDE))
    found = pace([(day, played(("1", 20, 20), ("2", 20, 40)))])
    kinds = [(one.size, one.work, one.factor.median) for one in found.paces]
    assert kinds == [
        (Size.WIDE, Work.CHANGEOVER, 1.0),
        (Size.WIDE, Work.ROLL, pytest.approx(2.0)),
        (Size.INSERT, Work.ROLL, 1.0),
    ]
    wide, insert = found.paces[0].factor, found.paces[2].factor
    assert wide.shrunk_median == pytest.approx(1.15 ** (5 / 6))
    assert insert.shrunk_median == pytest.approx(1.05 ** (5 / 6))


LATER = Span(start=START + timedelta(hours=2), end=START + timedelta(hours=9))
# At 09:00, the planned end of the second setup, the sun stands at about 100°.
SOON = Wish(azimuth=Band(low_deg=110.0, high_deg=300.0, give_deg=20.0))
AT_NOON = Wish(azimuth=Band(low_deg=180.0, high_deg=300.0, give_deg=20.0))


@pytest.mark.parametrize(
    "changes",
    [
        {"pin": START + timedelta(hours=2)},
        {"wish": SOON},
        {"wish": AT_NOON, "hold": True},
        {"cast": ("Ana",)},
    ],
    ids=["pin", "light", "hold", "cast"],
)
def test_changeover_that_may_hold_a_wait_does_not_count(changes):
    """A pin, better light within the hour, a hold or an actor yet to come: its roll counts."""
    day = a_day(a_shot(1), a_shot(2, **changes), cast=(CastMember(name="Ana", here=(LATER,)),))
    found = pace([(day, played(("1", 20, 20), ("2", 80, 20)))])
    assert found.waited == 1
    assert only(found, Work.ROLL).count == 2
    assert [one.work for one in found.paces] == [Work.ROLL]


def test_nobody_is_held_to_wait_longer_than_an_hour():
    """Light that gets better after more than 60 minutes says nothing of a changeover."""
    # At 10:00, an hour after the planned end of the setup, the sun stands at about 112°.
    wish = Wish(azimuth=Band(low_deg=150.0, high_deg=300.0, give_deg=5.0))
    day = a_day(a_shot(1), a_shot(2, wish=wish))
    fit = fit_day(day)
    nine = fit.minute_of(START + timedelta(minutes=60))
    mean = fit.shots["2"].mean
    assert mean[nine : nine + 60].max() <= mean[nine] + 0.005 < mean[nine : nine + 120].max()
    assert pace([(day, played(("1", 20, 20), ("2", 80, 20)))]).waited == 0


def test_changeover_in_light_that_stays_counts():
    """Where the light is as good as it gets there is nothing to wait for."""
    wish = Wish(azimuth=Band(low_deg=60.0, high_deg=300.0, give_deg=20.0))
    day = a_day(a_shot(1), a_shot(2, wish=wish))
    found = pace([(day, played(("1", 20, 20), ("2", 80, 20)))])
    assert found.waited == 0
    assert only(found, Work.CHANGEOVER).median == pytest.approx(4.0)


def test_what_was_not_planned_and_what_still_rolls_is_left_out():
    """A shot added during the day has no planned minutes, nor has the changeover after it."""
    day = a_day(a_shot(1), a_shot(2), a_shot(3))
    past = played(("1", 20, 20), ("new", 5, 5), ("2", 40, 20), ("3", 20, 20), running="3")
    found = pace([(day, past)])
    assert found.unplanned == 1
    assert [(one.work, one.factor.count) for one in found.paces] == [(Work.ROLL, 2)]


def test_minutes_told_to_be_lost_are_taken_away():
    """A quarter of an hour in a changeover and five minutes in a roll are no slow work."""
    day = a_day(a_shot(1), a_shot(2))
    past = played(("1", 20, 20), ("2", 35, 25))
    second = past.made[1]
    lost = (
        (second.changeover_start, second.changeover_start + timedelta(minutes=15)),
        (second.roll_start, second.roll_start + timedelta(minutes=5)),
    )
    past = replace(past, made=(past.made[0], replace(second, lost=lost)))
    found = pace([(day, past)])
    assert only(found, Work.CHANGEOVER).median == pytest.approx(1.0)
    assert only(found, Work.ROLL).median == pytest.approx(1.0)


def test_what_was_noted_as_planned_is_not_measured():
    """A roll with either end from the plan, and the changeovers beside it."""
    day = a_day(a_shot(1), a_shot(2), a_shot(3))
    past = played(("1", 20, 20), ("2", 30, 30), ("3", 40, 40))
    first, second, third = past.made
    for changed, rolls, built, by_plan in (
        ((first, replace(second, starts_by_plan=True), third), 2, 1, 2),
        ((first, replace(second, ends_by_plan=True), third), 2, 1, 2),
        ((first, second, replace(third, starts_by_plan=True, ends_by_plan=True)), 2, 1, 2),
    ):
        found = pace([(day, replace(past, made=changed))])
        assert (only(found, Work.ROLL).count, found.by_plan) == (rolls, by_plan)
        assert only(found, Work.CHANGEOVER).count == built
        assert "2 rolls and changeovers not counted: noted as planned" in pace_text(found)
        assert pace_record(found)["by_plan"] == 2
    only_one = played(("1", 20, 20))
    one = replace(only_one, made=(replace(only_one.made[0], ends_by_plan=True),))
    assert "nothing was measured: 1 roll or changeover not counted" in pace_text(pace([(day, one)]))


def test_the_conjugate_update_by_hand():
    """Logarithms 0.1 and 0.3 on a default of 1 and 0.3 that is worth five.

    Mean (5·0 + 2·0.2)/7; squares 5·0.09 + 0.02 + 5·2/7·0.2², over 7.
    """
    found = fit_factor([exp(0.1), exp(0.3)], 1.0, 0.3, worth=5)
    assert found.shrunk_median == pytest.approx(exp(0.4 / 7))
    assert found.shrunk_spread == pytest.approx(sqrt((0.45 + 0.02 + 0.4 / 7) / 7))
    assert found.median == pytest.approx(exp(0.2))
    assert found.spread == pytest.approx(sqrt(0.02))
    # s/√n on the logarithm, times the median; s/√(2(n−1)).
    assert found.median_error == pytest.approx(exp(0.2) * sqrt(0.02) / sqrt(2))
    assert found.spread_error == pytest.approx(sqrt(0.02) / sqrt(2))


def test_the_conjugate_update_by_integration():
    """Prior times likelihood on a fine grid has the same means of the mean and of the variance."""
    seen, usual, spread, worth = np.array([0.5, -0.1, 0.2]), log(1.1), 0.35, 5.0
    mean = np.linspace(-1.5, 1.7, 1601)[:, None]
    variance = np.exp(np.linspace(log(1e-3), log(20), 3001))[None, :]
    prior = stats.norm.logpdf(mean, usual, np.sqrt(variance / worth)) + stats.invgamma.logpdf(
        variance, worth / 2, scale=worth * spread**2 / 2
    )
    chance = sum(stats.norm.logpdf(one, mean, np.sqrt(variance)) for one in seen) + prior
    weight = np.exp(chance - chance.max()) * variance  # even steps of its logarithm
    found = fit_factor(np.exp(seen).tolist(), 1.1, spread, worth=worth)
    assert log(found.shrunk_median) == pytest.approx((weight * mean).sum() / weight.sum(), abs=1e-5)
    all_worth = worth + len(seen)
    expected = found.shrunk_spread**2 * all_worth / (all_worth - 2)  # of scaled inverse chi-squared
    assert expected == pytest.approx((weight * variance).sum() / weight.sum(), rel=1e-3)


def test_none_seen_gives_the_defaults():
    """Nothing is said of what was not seen, and what is usual stands as it is."""
    found = fit_factor([], 1.15, 0.3)
    assert (found.count, found.median, found.spread) == (0, None, None)
    assert (found.median_error, found.spread_error) == (None, None)
    assert (found.shrunk_median, found.shrunk_spread) == pytest.approx((1.15, 0.3))


def test_one_seen_has_no_standard_errors():
    """One says something of the median, nothing of the spread, and so not how sure it is."""
    found = fit_factor([2.0], 1.0, 0.3)
    assert found.count == 1
    assert found.median == pytest.approx(2.0)
    assert (found.median_error, found.spread, found.spread_error) == (None, None, None)
    assert found.shrunk_median == pytest.approx(2.0 ** (1 / 6))


def test_many_seen_forget_the_defaults():
    """With ten thousand, both figures are those of what was seen."""
    seen = np.exp(log(1.8) + 0.15 * np.random.default_rng(2).standard_normal(10_000)).tolist()
    found = fit_factor(seen, 1.0, 1.0)
    assert found.shrunk_median == pytest.approx(found.median, rel=1e-3)
    assert found.shrunk_spread == pytest.approx(found.spread, rel=0.03)


def test_standard_errors_are_as_wide_as_they_say():
    """Of 2,000 samples of twelve, about 95 % have the truth within two standard errors."""
    random, hits = np.random.default_rng(4), np.zeros(2)
    for _ in range(2_000):
        found = fit_factor(np.exp(log(1.3) + 0.3 * random.standard_normal(12)).tolist(), 1.1, 0.3)
        median, median_error, spread, spread_error = measured(found)
        hits += (abs(median - 1.3) <= 2 * median_error, abs(spread - 0.3) <= 2 * spread_error)
    # Normal limits are a little narrow for twelve: Student's are 2.2 standard errors.
    assert all(0.9 <= share <= 0.97 for share in hits / 2_000)


def simulated(days: int, seed: int) -> Pace:
    """Give the pace of days whose work takes 1.3 and 0.25, and 0.9 and 0.4, of planned minutes."""
    random, past = np.random.default_rng(seed), []
    day = a_day(*(a_shot(number, setup_min=40, shoot_min=40) for number in range(1, 6)))
    for _ in range(days):
        built, rolled = (
            np.rint(40 * median * np.exp(spread * random.standard_normal(5))).astype(int).tolist()
            for median, spread in ((1.3, 0.25), (0.9, 0.4))
        )
        ids = [shot.id for shot in day.shots]
        past.append((day, played(*zip(ids, built, rolled, strict=True))))
    return pace(past)


def test_simulated_logs_give_back_what_they_were_made_of():
    """Within three standard errors, and nearer with more days."""
    found = simulated(50, seed=3)
    for work, count, median, spread in (
        (Work.CHANGEOVER, 200, 1.3, 0.25),
        (Work.ROLL, 250, 0.9, 0.4),
    ):
        own = only(found, work)
        assert own.count == count
        mine, few = measured(own), measured(only(simulated(3, seed=3), work))
        assert abs(mine[0] - median) <= 3 * mine[1]
        assert abs(mine[2] - spread) <= 3 * mine[3]
        assert mine[1] < few[1] / 3
        assert mine[3] < few[3] / 3


def test_figures_can_be_pasted(make_folder, minimal_day):
    """What is printed is TOML that the reader takes, with the same figures, and not for others."""
    found = simulated(2, seed=5)
    text = pace_text(found)
    pasted = text[text.index("[overrun.medium]") :]
    built, roll = found.paces
    figures = {
        "changeover_median": built.median_to_paste,
        "changeover_spread": built.spread_to_paste,
        "roll_median": roll.median_to_paste,
        "roll_spread": roll.spread_to_paste,
    }
    assert tomllib.loads(pasted) == {"overrun": {"medium": figures}}
    read = read_day(make_folder(f"{minimal_day}\n{pasted}\n"))
    assert asdict(read.overruns[Size.MEDIUM]) == figures
    assert read.overruns[Size.WIDE] == DEFAULT_OVERRUNS[Size.WIDE]
    assert figures["roll_median"] == round(roll.factor.shrunk_median, 2)


def test_work_that_was_not_seen_keeps_its_keys(make_folder, minimal_day):
    """One shot has one roll and no changeover that counts: only the roll is pasted."""
    text = pace_text(pace([(a_day(a_shot(1)), played(("1", 20, 30)))]))
    pasted = text[text.index("[overrun.medium]") :]
    assert set(tomllib.loads(pasted)["overrun"]["medium"]) == {"roll_median", "roll_spread"}
    more = "[overrun.medium]\nchangeover_median = 1.4\n"
    read = read_day(make_folder(f"{minimal_day}\n{pasted.replace('[overrun.medium]', more)}\n"))
    assert read.overruns[Size.MEDIUM].changeover_median == 1.4


def test_pasted_figures_stay_within_what_is_read(make_folder, minimal_day):
    """Days gone wild still give figures that the next day's folder may have."""
    shots = tuple(a_shot(number, setup_min=1, shoot_min=1) for number in range(1, 5))
    past = played(("1", 1, 300), ("2", 90, 200), ("3", 1, 300), ("4", 300, 300))
    text = pace_text(pace([(a_day(*shots), past)] * 3))
    read = read_day(make_folder(f"{minimal_day}\n{text[text.index('[overrun.medium]') :]}\n"))
    assert read.overruns[Size.MEDIUM].roll_median == 5.0
    assert read.overruns[Size.MEDIUM].changeover_spread == 1.5


def recorded(found: Pace) -> dict[str, Any]:
    """Give the record as JSON holds it."""
    record: dict[str, Any] = json.loads(json.dumps(pace_record(found)))
    return record


def test_text_and_record_say_the_same():
    """Each figure with its standard error; those to paste; a dash or null where there is none."""
    found = simulated(2, seed=5)
    text, record = pace_text(found), recorded(found)
    assert record["days"] == 2
    assert [one["count"] for one in record["pace"]] == [8, 10]
    assert record["overrun"] == tomllib.loads(text[text.index("[overrun.medium]") :])["overrun"]
    roll = record["pace"][1]
    [row] = [line for line in text.splitlines() if line.startswith("medium  roll")]
    assert f"{roll['median']:.2f} ± {roll['median_error']:.2f}" in row
    assert f"{roll['spread']:.2f} ± {roll['spread_error']:.2f}" in row
    assert row.endswith(f"{roll['shrunk_spread']:.2f}")
    single = pace([(a_day(a_shot(1)), played(("1", 20, 20)))])
    [row] = [line for line in pace_text(single).splitlines() if line.startswith("medium  roll")]
    assert row.split()[2:5] == ["1", "1.00", "–"]
    assert recorded(single)["pace"][0]["spread_error"] is None


def test_lines_fit_a_terminal():
    """Nothing is wider than 80 columns."""
    day = a_day(*(a_shot(number, size=Size.CLOSE_UP) for number in range(1, 6)))
    past = played(("1", 20, 20), ("2", 90, 30), ("3", 20, 200), ("4", 24, 24), ("5", 40, 10))
    assert max(map(len, pace_text(pace([(day, past)] * 40)).splitlines())) <= 80


SHOTS = """\
id,description,size,look,shoot_min
1,one,medium,N,20
2,two,medium,N,20
3,three,medium,N,20
"""


@pytest.mark.parametrize(
    ("count", "said"),
    [(1, ("1 changeover not", "1 shot not")), (2, ("2 changeovers not", "2 shots not"))],
)
def test_what_is_not_counted_is_told_in_words_that_fit(count, said):
    """One is one, and two are two."""
    found = replace(
        pace([(a_day(a_shot(1)), played(("1", 20, 30)))]), waited=count, unplanned=count
    )
    assert [one for one in said if one not in pace_text(found)] == []


def test_command_reads_the_logs_of_days(make_folder):
    """Adjusts from the end of the roll before, rolls from start to done."""
    folder = make_folder(shots=SHOTS)
    for event, shot, at in (
        ("rolled", "1", "07:00"),
        ("done", "1", "07:30"),
        ("rolled", "2", "07:45"),
        ("done", "2", "08:15"),
        ("rolled", "3", "08:30"),
        ("done", "3", "09:00"),
    ):
        done = RUN.invoke(app, ["log", str(folder), event, shot, "--at", at])
        assert done.exit_code == 0
    done = RUN.invoke(app, ["pace", str(folder), "--json"])
    record = json.loads(done.stdout)
    found = {one["work"]: (one["count"], one["median"]) for one in record["pace"]}
    assert found == {"changeover": (2, 1.5), "roll": (3, 1.5)}
    twice = RUN.invoke(app, ["pace", str(folder), str(folder)])
    # Four adjusts beside a default of 1.1 that is worth five.
    median = exp((5 * log(1.1) + 4 * log(1.5)) / 9)
    assert f"changeover_median = {median:.2f}" in twice.stdout


def test_command_warns_of_a_day_without_a_log(make_folder):
    """Such a day says nothing, and that is said."""
    done = RUN.invoke(app, ["pace", str(make_folder())])
    assert done.exit_code == 0
    assert "no shot is noted as made" in done.stderr
    assert "no shot that was planned has been made" in done.stdout


def test_command_wants_a_day():
    """No folder is wrong use."""
    assert RUN.invoke(app, ["pace"]).exit_code == 2
