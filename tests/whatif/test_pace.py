"""The pace of past days: ratios counted by hand on invented days, and figures to paste."""

from __future__ import annotations

import json
import tomllib
from datetime import UTC, datetime, timedelta
from math import log
from statistics import stdev

import builders
import pytest
from typer.testing import CliRunner

from sunsched.cli.shared.app import app
from sunsched.day.model import CastMember, Day, Meal, Shot, Size, Span, Spot
from sunsched.day.past import Made, Past
from sunsched.day.wish import Band, Wish
from sunsched.folder.read import read_day
from sunsched.show.text.pace import pace_record, pace_text
from sunsched.whatif.stress.pace import Pace, PaceOf, Work, pace

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


def only(found: Pace, work: Work) -> PaceOf:
    """Give the pace of the one size that there is."""
    [one] = [one for one in found.paces if one.work is work]
    return one


def test_ratios_are_counted_by_size_and_work():
    """Median and spread of real over planned minutes; the first setup of a day does not count."""
    day = a_day(*(a_shot(number) for number in range(1, 6)))
    past = played(("1", 90, 20), ("2", 22, 30), ("3", 30, 20), ("4", 24, 24), ("5", 40, 10))
    found = pace([(day, past)])
    setup, roll = only(found, Work.SETUP), only(found, Work.ROLL)
    assert (setup.size, setup.count, setup.median) == (Size.MEDIUM, 4, (1.2 + 1.5) / 2)
    assert setup.spread == pytest.approx(stdev(log(x / 20) for x in (22, 30, 24, 40)))
    assert (roll.count, roll.median) == (5, 1.0)
    assert roll.spread == pytest.approx(stdev(log(x / 20) for x in (20, 30, 20, 24, 10)))
    assert [one.work for one in found.paces] == [Work.SETUP, Work.ROLL]


def test_days_are_taken_together_and_adjusts_told_from_setups():
    """Shots in one rig are adjusted; a move and a turnaround are part of what was planned."""
    same = [a_shot(number, rig="silk") for number in (1, 2)]
    turned = a_shot(3, rig="silk", look_deg=180.0)  # 10 minutes more
    far = a_shot(4, spot="mill")  # 20 minutes of move
    day = a_day(*same, turned, far, spots=(Spot(name="pans"), Spot(name="mill")))
    past = played(("1", 20, 20), ("2", 15, 20), ("3", 20, 20), ("4", 60, 20))
    found = pace([(day, past), (day, past)])
    assert found.days == 2
    assert (only(found, Work.ADJUST).count, only(found, Work.ADJUST).median) == (4, 1.25)
    assert (only(found, Work.SETUP).count, only(found, Work.SETUP).median) == (2, 1.5)


def test_sizes_stand_from_wide_to_insert():
    """Each size has a pace of its own."""
    day = a_day(a_shot(1, size=Size.INSERT), a_shot(2, size=Size.WIDE))
    found = pace([(day, played(("1", 20, 20), ("2", 20, 40)))])
    kinds = [(one.size, one.work, one.median) for one in found.paces]
    assert kinds == [
        (Size.WIDE, Work.SETUP, 1.0),
        (Size.WIDE, Work.ROLL, 2.0),
        (Size.INSERT, Work.ROLL, 1.0),
    ]


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


def test_changeover_in_light_that_stays_counts():
    """Where the light is as good as it gets there is nothing to wait for."""
    wish = Wish(azimuth=Band(low_deg=60.0, high_deg=300.0, give_deg=20.0))
    day = a_day(a_shot(1), a_shot(2, wish=wish))
    found = pace([(day, played(("1", 20, 20), ("2", 80, 20)))])
    assert found.waited == 0
    assert only(found, Work.SETUP).median == 4.0


def test_what_was_not_planned_and_what_still_rolls_is_left_out():
    """A shot added during the day has no planned minutes, nor has the changeover after it."""
    day = a_day(a_shot(1), a_shot(2), a_shot(3))
    past = played(("1", 20, 20), ("new", 5, 5), ("2", 40, 20), ("3", 20, 20), running="3")
    found = pace([(day, past)])
    assert found.unplanned == 1
    assert [(one.work, one.count) for one in found.paces] == [(Work.ROLL, 2)]


def slow_days(count: int) -> Pace:
    """Give the pace of days with one setup, one adjust and three rolls that all take longer."""
    shots = (a_shot(1), a_shot(2), a_shot(3, rig="rig 2"))
    day = a_day(*shots)
    past = played(("1", 20, 30), ("2", 26, 30), ("3", 15, 30))
    more = played(("1", 20, 30), ("2", 30, 30), ("3", 14, 30))
    return pace([(day, past if number % 2 else more) for number in range(count)])


def test_advice_holds_each_median_once():
    """Minutes of the size times the ratio, a changeover median of 1, spreads around the medians."""
    found = slow_days(3)
    [one] = found.advice
    # Ratios of setups 1.5, 1.3, 1.5 on 20 minutes; of adjusts 1.4, 1.5, 1.4 on 10.
    assert (one.setup_min, one.adjust_min) == (30, 14)
    assert one.changeover_median == 1.0
    logs = [log(x / 1.5) for x in (1.5, 1.3, 1.5)] + [log(x / 1.4) for x in (1.4, 1.5, 1.4)]
    assert one.changeover_spread == round(stdev(logs), 2)
    assert (one.roll_median, one.roll_spread) == (1.5, 0.0)


def test_too_few_are_said_to_be_too_few():
    """Two of a kind advise nothing; the rolls, of which there are six, do."""
    found = slow_days(2)
    [one] = found.advice
    assert (one.setup_min, one.adjust_min, one.changeover_median) == (None, None, None)
    assert one.roll_median == 1.5
    rows = [line for line in pace_text(found).splitlines() if "too few" in line]
    assert len(rows) == 2
    single = pace([(a_day(a_shot(1)), played(("1", 20, 20)))])
    assert single.advice == ()
    assert "nothing to paste" in pace_text(single)
    assert only(single, Work.ROLL).spread is None


def test_figures_can_be_pasted(make_folder, minimal_day):
    """What is printed is TOML that the reader takes, with the same figures."""
    text = pace_text(slow_days(3))
    pasted = text[text.index("[size.medium]") :]
    tables = tomllib.loads(pasted)
    assert tables["size"]["medium"] == {"setup_min": 30, "adjust_min": 14}
    read = read_day(make_folder(f"{minimal_day}\n{pasted}\n"))
    assert read.sizes[Size.MEDIUM].setup_min == 30
    assert read.overruns[Size.MEDIUM].changeover_median == 1.0
    assert read.overruns[Size.MEDIUM].roll_median == 1.5


def test_pasted_figures_stay_within_what_is_read(make_folder, minimal_day):
    """A day gone wild still gives figures that the next day's folder may have."""
    shots = tuple(a_shot(number, setup_min=1, shoot_min=1) for number in range(1, 5))
    past = played(("1", 1, 300), ("2", 90, 1), ("3", 1, 300), ("4", 300, 300))
    text = pace_text(pace([(a_day(*shots), past)]))
    read = read_day(make_folder(f"{minimal_day}\n{text[text.index('[size.medium]') :]}\n"))
    assert read.sizes[Size.MEDIUM].setup_min == 480
    assert read.overruns[Size.MEDIUM].roll_median == 5.0


def test_record_says_the_same():
    """JSON with every pace, the advice and what was left out."""
    found = slow_days(3)
    record = json.loads(json.dumps(pace_record(found)))
    assert record["days"] == 3
    assert [one["count"] for one in record["pace"]] == [3, 3, 9]
    assert record["advice"][0]["setup_min"] == 30
    assert record["pace"][0]["enough"] is True


def test_lines_fit_a_terminal():
    """Nothing is wider than 80 columns."""
    assert max(map(len, pace_text(slow_days(3)).splitlines())) <= 80


SHOTS = """\
id,description,size,look,shoot_min
1,one,medium,N,20
2,two,medium,N,20
3,three,medium,N,20
"""


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
    assert found == {"adjust": (2, 1.5), "roll": (3, 1.5)}
    twice = RUN.invoke(app, ["pace", str(folder), str(folder)])
    assert "adjust_min = 15" in twice.stdout


def test_command_warns_of_a_day_without_a_log(make_folder):
    """Such a day says nothing, and that is said."""
    done = RUN.invoke(app, ["pace", str(make_folder())])
    assert done.exit_code == 0
    assert "no shot is noted as made" in done.stderr
    assert "no shot that was planned has been made" in done.stdout


def test_command_wants_a_day():
    """No folder is wrong use."""
    assert RUN.invoke(app, ["pace"]).exit_code == 2
