"""One measured solve: in a new process, its plan judged; and the same day asked of general solvers.

Each solve runs in a new process after a first one that is not measured, so that no time goes into
compiling; memory is that process's peak. Seconds are those of `solve` alone, without reading a day
and computing its sun.
"""

from __future__ import annotations

import importlib
import multiprocessing
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from multiprocessing.connection import Connection
from pathlib import Path
from time import perf_counter

from oracles.answer import in_child

from benchmarks.drawn.days import day
from sunsched.day.model import Day
from sunsched.folder.read import read_day
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.plan import Plan, describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.solver.answer import Answer
from sunsched.solver.build import make_problem
from sunsched.solver.certificate.verify import verify
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.solve import solve

CERTIFIED_SHOTS = 16  # the checker of proofs takes some seconds for so many, and hours for 30
CERTIFIED_SEED = 1  # and a sample is enough: the tests have hundreds
START_S = 300.0  # what a child may take on top of its limit: imports and, once, compiling
# Module of each peer, and whether it can be asked about matches.
PEERS = {"CP-SAT": ("oracles.cp_sat", True), "HiGHS": ("oracles.mip", False)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One row of the table: a kind of day, the limit it is given, and what it must reach.

    `must_s` is the most seconds that the median proof may take, `each_s` that any may, `must_gap`
    the largest gap at the limit. `names` are days written by hand instead of drawn ones.
    """

    shots: int
    has_matches: bool
    is_full: bool = False
    limit_s: float
    must_s: float | None = None
    each_s: float | None = None
    must_gap: float | None = None
    names: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """What the day is like."""
        if self.names:
            return "written by hand, with matches"
        fill = "overfull" if self.is_full else "loose"
        return f"{fill}, {'with' if self.has_matches else 'without'} matches"

    def day(self, seed: int) -> Day:
        """Give a day of this kind."""
        if self.names:
            return read_day(BY_HAND / self.names[seed - 1])
        return day(self.shots, seed=seed, has_matches=self.has_matches, is_full=self.is_full)


BY_HAND = Path(__file__).parent / "by_hand"
WARM_UP = Kind(shots=10, has_matches=True, is_full=True, limit_s=5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One measured solve; `memory_mib` is the process's peak, None where the system hides it."""

    kind: Kind
    seed: int
    seconds: float
    points: int
    bound: int
    gap: float
    memory_mib: float | None

    @property
    def proof_s(self) -> float:
        """Seconds to the proof, infinite when the limit came first."""
        return inf if self.gap > 0 else self.seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class PeerRun:
    """One solve of a measured day by a general solver.

    `ratio` is its seconds to the proof over ours: at least that where it is not proven, and 0 where
    ours is not.
    """

    name: str
    seconds: float
    is_proven: bool
    ratio: float


def measure(kind: Kind, seed: int) -> Run:
    """Solve one day in a process of its own.

    Raises
    ------
    RuntimeError
        When the process fails, or outstays its limit by minutes.
    """
    context = multiprocessing.get_context("spawn")
    near, far = context.Pipe(duplex=False)
    child = context.Process(target=_measure_here, args=(far, kind, seed), daemon=True)
    child.start()
    far.close()
    try:
        if not near.poll(kind.limit_s + START_S):
            raise RuntimeError(f"no answer for {kind.shots} shots, {kind.words}, seed {seed}")
        run: Run = near.recv()
    except EOFError:
        message = f"the solve of {kind.shots} shots, {kind.words}, seed {seed} failed"
        raise RuntimeError(message) from None
    finally:
        child.kill()
        child.join()
        near.close()
    return run


def ask_peers(run: Run, limit_s: float) -> list[PeerRun]:
    """Give the day of a run to the general solvers.

    Raises
    ------
    ValueError
        When one of them finds a better plan than our bound or proof allows, or proves a lesser one.
    """
    problem = make_problem(fit_day(run.kind.day(run.seed)))
    asked = []
    for name, (module, knows_matches) in PEERS.items():
        if run.kind.has_matches and not knows_matches:
            continue
        answer = in_child(importlib.import_module(module), problem, limit_s)
        is_lesser = answer.is_proven and (answer.points is None or answer.points < run.points)
        if is_lesser or (answer.points is not None and answer.points > run.bound):
            raise ValueError(f"{name} and this solver disagree: {answer}, {run}")
        seconds = answer.seconds if answer.is_proven else limit_s
        asked.append(
            PeerRun(
                name=name,
                seconds=seconds,
                is_proven=answer.is_proven,
                ratio=0.0 if run.proof_s == inf else seconds / run.seconds,
            )
        )
    return asked


def _measure_here(pipe: Connection, kind: Kind, seed: int) -> None:
    """Warm up, solve one day, judge its plan and send the figures."""
    solve(make_problem(fit_day(WARM_UP.day(0))), limit_s=WARM_UP.limit_s)
    fit = fit_day(kind.day(seed))
    problem = make_problem(fit)
    begun = perf_counter()
    answer = solve(problem, limit_s=kind.limit_s)
    seconds = perf_counter() - begun
    if answer is None:
        raise ValueError(f"{kind.shots} shots, {kind.words}, seed {seed} has no plan")
    memory_mib = _peak_mib()
    plan = judged(fit, problem, answer)
    if seed == CERTIFIED_SEED and kind.shots <= CERTIFIED_SHOTS and not kind.is_full:
        check_proof(problem, kind.limit_s)
    pipe.send(
        Run(
            kind=kind,
            seed=seed,
            seconds=seconds,
            points=plan.points,
            bound=plan.bound,
            gap=plan.gap,
            memory_mib=memory_mib,
        )
    )


def judged(fit: DayFit, problem: Problem, answer: Answer) -> Plan:
    """Put an answer back on the clock and have it judged, without the solver's own hand in it.

    Raises
    ------
    SunschedError
        When the plan breaks a rule.
    ValueError
        When it is not worth what the answer says, or more than its bound.
    """
    rolls = [
        (fit.day.shots[s], fit.time_of(problem.start_minute(s, slot)))
        for s, slot in zip(answer.sequence.tolist(), answer.starts.tolist(), strict=True)
    ]
    meal_start: datetime | None = None
    if answer.meal >= 0:
        meal_start = max(fit.day.hours.crew_call, fit.day.meal.earliest)
        if answer.meal > 0:
            before, start = rolls[answer.meal - 1]
            meal_start = max(meal_start, start + timedelta(minutes=before.shoot_min))
    timetable = Timetable(
        rolls=place_changeovers(fit.day, rolls, meal_start), meal_start=meal_start
    )
    plan = describe_plan(fit, timetable, whole_points(problem, answer.bound), problem.grid_min)
    if plan.points != whole_points(problem, answer.value) or plan.points > plan.bound:
        raise ValueError(f"the judge gives {plan.points} points, the solver {answer}")
    return plan


def check_proof(problem: Problem, limit_s: float) -> None:
    """Have the proof of a problem checked by the second way, if there is one within the limit.

    Raises
    ------
    ValueError
        When the checker refuses it.
    """
    answer = solve(problem, limit_s=limit_s, with_certificate=True)
    if answer is not None and answer.certificate is not None:
        wrong = verify(problem, answer.certificate)
        if wrong is not None:
            raise ValueError(f"the proof does not hold: {wrong}")


def _peak_mib() -> float | None:
    """Give this process's peak memory, which only Linux tells for a process that was spawned."""
    status = Path("/proc/self/status")
    if not status.exists():
        return None
    peaks = [line for line in status.read_text().splitlines() if line.startswith("VmHWM")]
    return int(peaks[0].split()[1]) / 1024 if peaks else None
