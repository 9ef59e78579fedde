"""Plans for the average day: saved, read back, followed again, refused where damaged."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest

from sunsched.average.plan import AveragePlan, average_plan
from sunsched.errors import FolderError
from sunsched.folder.read import read_day
from sunsched.plan.score import reference_minutes
from sunsched.plan.timetable import roll_end
from sunsched.saved.plan_file import facts_mark
from sunsched.saved.restore import plan_of_revision
from sunsched.saved.revisions import read_revision
from sunsched.show.records.saved import save_plan
from sunsched.solver.solved import solve_day

DATA = Path(__file__).parents[2] / "data"
MADE = datetime(2027, 2, 20, 18, 2, tzinfo=UTC)


@cache
def ferry() -> AveragePlan:
    """Give the plan of a demo day for the average day, with matches, a pin and a seldom shot."""
    return average_plan(solve_day(read_day(DATA / "ferry-light")))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with that plan saved."""
    assert save_plan(tmp_path, ferry(), made_at=MADE) == 1
    return tmp_path


def rewrite(folder: Path, **changes: object) -> None:
    """Change keys of the saved file."""
    path = folder / "plans" / "0001.json"
    record = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps(record | changes), encoding="utf-8")


def test_the_order_comes_back_whole(folder: Path) -> None:
    """Also what the likely day does not make, with the points and the bound of the average day."""
    found, saved = ferry(), read_revision(folder, 1)
    assert saved.average is not None
    assert saved.average.order == found.ids
    assert set(saved.average.order) == {shot.id for shot in found.day.shots}
    assert {roll.shot_id for roll in saved.timetable.rolls} < set(saved.average.order)
    assert (saved.status, saved.points, saved.bound) == ("average", found.points, found.bound)
    assert saved.timetable == found.likely.timetable


def test_an_unchanged_day_restores_every_chance(folder: Path) -> None:
    """The policy is worked out again, and is the same to the last figure."""
    found = ferry()
    again = plan_of_revision(found.day, read_revision(folder, 1))
    assert again.changes == ()
    assert again.average == found
    assert again.plan == found.likely


def test_another_overrun_is_another_day(folder: Path) -> None:
    """Chances follow the folder; what was known of other orders is known no more."""
    found = ferry()
    overruns = {
        size: replace(one, roll_median=1.3 * one.roll_median)
        for size, one in found.day.overruns.items()
    }
    slower = replace(found.day, overruns=overruns)
    assert facts_mark(slower) == facts_mark(found.day)
    assert facts_mark(slower, on_average=True) != facts_mark(found.day, on_average=True)
    again = plan_of_revision(slower, read_revision(folder, 1))
    assert again.average is not None
    assert again.average.points < found.points
    anew = again.average
    assert (anew.bound, anew.best_planned, anew.as_planned) == (None, None, None)
    assert len(again.changes) == 1
    assert f"{found.points} when it was saved" in again.changes[0]


def test_a_day_that_may_have_a_better_plan_says_so(folder: Path) -> None:
    """A fact that changes no figure of this order, and might of another; the bound is not kept."""
    found = ferry()
    costs = replace(found.day.costs, turned_round=found.day.costs.turned_round + 1)
    again = plan_of_revision(replace(found.day, costs=costs), read_revision(folder, 1))
    assert again.changes == ("a better one may exist now",)
    assert again.average is not None
    assert (again.average.points, again.average.bound) == (found.points, None)


def test_a_shot_that_is_gone_is_named_and_left_away(folder: Path) -> None:
    """The others keep their order."""
    found = ferry()
    less = replace(found.day, shots=tuple(one for one in found.day.shots if one.id != "6"))
    again = plan_of_revision(less, read_revision(folder, 1))
    assert again.changes[0] == "6 is in it and no longer in the day"
    assert again.average is not None
    assert again.average.ids == tuple(one for one in found.ids if one != "6")


def test_references_are_found_again_by_their_moment(folder: Path) -> None:
    """A call an hour earlier moves every minute of the day, not the suns of the matches."""
    found = ferry()
    hours = found.day.hours
    sooner = replace(
        found.day, hours=replace(hours, crew_call=hours.crew_call - timedelta(hours=1))
    )
    again = plan_of_revision(sooner, read_revision(folder, 1)).average
    assert again is not None

    def moments(plan: AveragePlan) -> list[datetime]:
        fit = plan.policy.rest.fit
        return [
            fit.time_of(int(minute)) for minute in reference_minutes(fit)[plan.policy.references]
        ]

    assert moments(again) == moments(found)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"average": None}, "status"),
        ({"status": "bounded"}, "status"),
        ({"bound": 1}, "above"),
        ({"average": {"order": ["2", "2"], "references": []}}, "stands twice"),
        ({"average": {"order": "2"}}, "average.order"),
        ({"average": {"order": ["2"], "references": [{"match": "racks"}]}}, "references[0].time"),
        ({"best_for_planned_minutes": {"points": 1, "light_kept": 2.0}}, "light_kept"),
    ],
)
def test_a_damaged_plan_is_refused(folder: Path, changes: dict[str, object], said: str) -> None:
    """Each fault with the place in the file."""
    rewrite(folder, **changes)
    with pytest.raises(FolderError) as refused:
        read_revision(folder, 1)
    assert any(said in str(fault) for fault in refused.value.faults)
    assert all("plans/0001.json" in str(fault) for fault in refused.value.faults)


def test_a_plan_without_a_bound_is_read(folder: Path) -> None:
    """Where there was no time for one."""
    rewrite(folder, bound=None)
    saved = read_revision(folder, 1)
    assert saved.bound is None
    assert plan_of_revision(ferry().day, saved).average is not None


def test_the_likely_day_ends_a_roll_after_its_likely_minutes() -> None:
    """Not after the planned ones: the next changeover begins when the camera has stopped."""
    likely = ferry().likely
    pairs = zip(likely.timetable.rolls, likely.timetable.rolls[1:], strict=False)
    assert all(roll_end(likely.day, one) <= other.changeover_start for one, other in pairs)
