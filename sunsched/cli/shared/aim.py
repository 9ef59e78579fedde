"""The day that an answer is for, and the plan for it."""

from __future__ import annotations

import time
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.common import found_plan, solve_asked
from sunsched.cli.shared.wrong_use import choice_option
from sunsched.cli.terminal.interrupt import looking

if TYPE_CHECKING:
    from sunsched.average.plan import AveragePlan
    from sunsched.day.model import Day
    from sunsched.plan.plan import Plan
    from sunsched.solver.solved import Solved

SOLVE_SHARE = 0.5  # of the time there is, for the best order for planned minutes: the first to try


class Aim(StrEnum):
    """The day that an answer is for."""

    AVERAGE = "average"
    PLANNED = "planned"


AimOption = Annotated[
    Aim,
    choice_option(
        "--for",
        Aim,
        "The average day, on which work takes longer and shorter by chance, or planned minutes.",
    ),
]


def aim_at(asked: Day, aim: Aim) -> Aim:
    """Give the aim of a day: planned minutes where its work takes no others, and say so."""
    from sunsched.average.solve import is_certain

    if aim is Aim.AVERAGE and is_certain(asked):
        text = "by `[overrun.<size>]` all work takes its planned minutes, so this is for those"
        typer.echo(f"note: {text}", err=True)
        return Aim.PLANNED
    return aim


def plan_on_average(asked: Day, grid_min: int, limit_s: float | None) -> AveragePlan:
    """Find the plan for the average day, beginning at the best one for planned minutes."""
    return solved_on_average(asked, grid_min, limit_s)[1]


def solved_on_average(
    asked: Day, grid_min: int, limit_s: float | None
) -> tuple[Solved, AveragePlan]:
    """Find the best plan for planned minutes, as a start, and the one for the average day."""
    from sunsched.average.beside import bounded_beside
    from sunsched.average.plan import average_plan

    started = time.monotonic()
    with bounded_beside(asked, limit_s=limit_s) as beside:
        solve_s = None if limit_s is None else SOLVE_SHARE * limit_s
        solved = solve_asked(asked, grid_min, solve_s, is_start=True)
        left_s = None if limit_s is None else max(0.0, limit_s - (time.monotonic() - started))
        with looking():
            return solved, average_plan(solved, beside=beside, limit_s=left_s)


def plan_for(aim: Aim, asked: Day, grid_min: int, limit_s: float | None) -> Plan | AveragePlan:
    """Find the plan of a day for an aim."""
    if aim_at(asked, aim) is Aim.AVERAGE:
        return plan_on_average(asked, grid_min, limit_s)
    return found_plan(asked, grid_min, limit_s)
