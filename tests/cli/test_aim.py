"""The time that there is for a plan is shared out."""

from __future__ import annotations

import pytest

from sunsched.cli.shared.aim import plan_on_average
from sunsched.folder.example import example_day


@pytest.mark.parametrize(
    ("limit_s", "solving_s", "solve_s", "left_s"),
    [(None, 3.0, None, None), (10.0, 3.0, 5.0, 7.0), (10.0, 12.0, 5.0, 0.0)],
)
def test_what_the_solver_leaves_goes_to_the_average_day(
    monkeypatch, limit_s, solving_s, solve_s, left_s
):
    """Half of a limit at most is for the order to begin at; what that takes is gone."""
    now, asked = [100.0], []

    def solve_asked(_day, grid_min, own_limit_s, *, is_start):
        assert is_start
        asked.append((grid_min, own_limit_s))
        now[0] += solving_s
        return "solved"

    def average_plan(solved, *, beside, limit_s):
        assert beside.ground.minute.shots
        asked.append((solved, limit_s))

    monkeypatch.setattr("sunsched.cli.shared.aim.time.monotonic", lambda: now[0])
    monkeypatch.setattr("sunsched.cli.shared.aim.solve_asked", solve_asked)
    monkeypatch.setattr("sunsched.average.plan.average_plan", average_plan)
    plan_on_average(example_day(), 5, limit_s)
    assert asked == [(5, solve_s), ("solved", left_s)]
