"""Whole shooting days played through the real commands, from call to wrap, at each demo place.

The crew goes by the newest saved plan, is slower than planned now and then, and meets what a day
brings: more takes, a cut, an added shot, a cloud bank, someone who leaves, a spot that closes.
After each trouble the rest is planned anew and taken. At every step the judge accepts the plan,
nothing made has moved, and saved plans only grow in number. The troubles are invented.
"""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from draws import seeded

from sunsched.cli import main
from sunsched.day.model import Day
from sunsched.folder.log.event import Kind
from sunsched.folder.log.log import read_log
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.plan.plan import Plan
from sunsched.plan.rules import breaches
from sunsched.plan.timetable import Roll
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.restore import plan_of_revision, revision_day
from sunsched.saved.revisions import newest_revision, read_revision
from sunsched.show.records.saved import revision_record
from sunsched.solver.solve import make_plan

DATA = Path(__file__).parents[3] / "data"
MINUTE = timedelta(minutes=1)
PLANS: dict[str, Plan] = {}
SUNSCHED = [sys.executable, "-c", "from sunsched.cli import main; main()"]


@dataclass(frozen=True, kw_only=True)
class Story:
    """One day's troubles.

    `late` is how much later than planned a shot rolls, `longer` how much longer it takes, by id;
    `troubles` are the words for `log` by the clock time at which they are noted.
    """

    late: dict[str, int] = field(default_factory=dict)
    longer: dict[str, int] = field(default_factory=dict)
    troubles: tuple[tuple[str, tuple[str, ...]], ...] = ()


STORIES = {
    "last-lamp": Story(
        late={"1": 10, "8": 5, "13": 5},
        longer={"5": 15, "3": 10, "9": 10},
        troubles=(
            ("06:10", ("late", "15")),
            ("07:40", ("more", "2", "10")),
            ("09:40", ("cloud", "0.8", "--until", "11:00")),
            ("11:20", ("cut", "8")),
            (
                "12:10",
                (
                    "add",
                    "id=17",
                    "description=The dog on the chalk road",
                    "size=insert",
                    "spot=road",
                    "look=W",
                    "shoot_min=10",
                    "rig=doorway",
                ),
            ),
            ("13:10", ("gone", "Younes", "--from", "16:30")),
            ("15:20", ("late", "10")),
            ("16:50", ("closed", "yard")),
        ),
    ),
    "late-ridge": Story(
        late={"1B": 10, "2A": 15, "3B": 10},
        longer={"2B": 10, "3A": 15},
        troubles=(
            ("07:20", ("late", "20")),
            ("09:10", ("gone", "Neža", "--from", "12:00")),
            ("10:20", ("cloud", "70%", "--until", "12:30")),
            ("11:10", ("cut", "2D")),
            ("13:15", ("closed", "barn")),
            (
                "14:10",
                (
                    "add",
                    "id=3F",
                    "description=Crows on the rail",
                    "size=insert",
                    "spot=bridge",
                    "look=S",
                    "shoot_min=10",
                    "rig=bridge frame",
                ),
            ),
            ("14:40", ("more", "4A", "10")),
        ),
    ),
    "ferry-light": Story(
        late={"1": 10, "4": 5, "8": 5},
        longer={"2": 10, "7": 5},
        troubles=(
            ("08:20", ("late", "10")),
            ("09:20", ("cloud", "0.9", "--until", "10:15")),
            ("10:20", ("cut", "5")),
            (
                "11:05",
                (
                    "add",
                    "id=13",
                    "description=Breath over the rail",
                    "size=insert",
                    "spot=mole",
                    "look=N",
                    "shoot_min=10",
                    "rig=mole",
                ),
            ),
            ("12:20", ("closed", "racks")),
            ("13:10", ("gone", "Eilert", "--from", "15:00")),
            ("15:10", ("late", "5")),
        ),
    ),
}


@pytest.fixture
def run(monkeypatch, capsys) -> Callable[..., str]:
    """Give a function that runs `sunsched` with these words, which must succeed."""

    def call(*words: object) -> str:
        monkeypatch.setattr(sys, "argv", ["sunsched", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        captured = capsys.readouterr()
        assert not ended.value.code, captured.err
        out: str = captured.out
        return out

    return call


@pytest.fixture
def folder(tmp_path: Path) -> Callable[[str], Path]:
    """Give a function that copies a demo day and saves its plan as revision 1."""

    def copy(name: str) -> Path:
        shutil.copytree(DATA / name, tmp_path / name)
        if name not in PLANS:
            PLANS[name] = make_plan(read_day(DATA / name))
        save_revision(
            tmp_path / name, lambda own: json.dumps(revision_record(PLANS[name], own, None))
        )
        return tmp_path / name

    return copy


def local(day: Day, clock: str) -> datetime:
    """Give a clock time of the day."""
    hour, minute = map(int, clock.split(":"))
    return datetime(*day.date.timetuple()[:3], hour, minute, tzinfo=day.place.zone)


def clock(day: Day, when: datetime) -> str:
    """Write a moment as the commands take it."""
    return when.astimezone(day.place.zone).isoformat(timespec="minutes")


class Game:
    """A day that is being played: its folder, the time, and what has been seen to be made."""

    def __init__(
        self, folder: Path, run: Callable[..., str], story: Story, aim: str = "average"
    ) -> None:
        self.folder, self.run, self.story, self.aim = folder, run, story, aim
        self.day = read_day(folder)
        self.now = self.day.hours.crew_call
        self.troubles = [(local(self.day, when), words) for when, words in story.troubles]
        self.made: list[tuple[str, datetime, datetime]] = []
        self.plans: dict[int, bytes] = {}
        self.check()

    def log(self, *words: str) -> None:
        """Note an event at the time that it is."""
        self.run("log", self.folder, *words, "--at", clock(self.day, self.now))

    def check(self) -> None:
        """See that saved plans only grow, that the newest one obeys, and nothing made has moved."""
        files = {n: (self.folder / f"plans/{n:04}.json").read_bytes() for n in self.numbers()}
        assert self.plans.items() <= files.items()
        self.plans = files
        saved = read_revision(self.folder, max(files))
        again = plan_of_revision(revision_day(self.folder, self.day, saved), saved)
        assert breaches(again.plan.fit, again.plan.timetable) == ()
        assert (again.average or again.plan).points == saved.points
        rolled = [(one.shot.id, one.roll_start, one.roll_end) for one in again.plan.shots][
            : len(self.made)
        ]
        if saved.past is not None:
            assert rolled == self.made

    def numbers(self) -> tuple[int, ...]:
        """Give the numbers of the saved plans."""
        return revision_numbers(self.folder)

    def replan(self, take: str = "best") -> None:
        """Plan the rest anew, take a choice, and look at what was saved; told as text in turn."""
        words = ["replan", self.folder, "--at", clock(self.day, self.now), "--take", take]
        words += ["--for", self.aim]
        before = self.numbers()
        saved = before[-1] + 1
        if saved % 2:
            assert "last roll ends" in self.run(*words)
        else:
            record = json.loads(self.run(*words, "--json"))
            assert record["revision"] == saved
            choices = record["choices"]
            assert choices["best"]["worth"] >= choices["push"]["worth"]
        assert self.numbers() == (*before, saved)
        self.check()

    def next_step(self) -> tuple[datetime, Roll | None] | None:
        """Give when the newest plan goes on, and with which shot; None for the meal."""
        saved = newest_revision(self.folder)
        assert saved is not None
        state = read_log(self.folder, self.day).state
        over = {*state.made, *state.cut}
        coming = [roll for roll in saved.timetable.rolls if roll.shot_id not in over]
        meal = saved.timetable.meal_start
        is_next = meal is not None and (not coming or meal <= coming[0].roll_start)
        if meal is not None and state.meal is None and is_next:
            return meal, None
        if not coming:
            return None
        return coming[0].roll_start + self.story.late.get(coming[0].shot_id, 0) * MINUTE, coming[0]

    def meet_troubles(self, until: datetime) -> bool:
        """Note the troubles up to a moment, plan anew after each; say whether there was one."""
        met = False
        while self.troubles and self.troubles[0][0] <= until:
            when, words = self.troubles.pop(0)
            self.now = max(self.now, when)
            if words[0] == "cut" and words[1] in read_log(self.folder, self.day).state.made:
                continue
            self.log(*words)
            self.replan()
            met = True
        return met

    def play(self) -> None:
        """Play from call to wrap."""
        while (step := self.next_step()) is not None:
            start, roll = step
            if self.meet_troubles(max(start, self.now)):
                continue
            self.now = max(self.now, start)
            if roll is None:
                self.log("meal")
                self.now += MINUTE
                continue
            self.log("rolled", roll.shot_id)
            began = self.now
            shots = {shot.id: shot for shot in read_log(self.folder, self.day).state.shots.values()}
            minutes = shots[roll.shot_id].shoot_min
            minutes += read_log(self.folder, self.day).state.more_min.get(roll.shot_id, 0)
            late = self.story.longer.get(roll.shot_id, 0)
            self.meet_troubles(began + (minutes - 1) * MINUTE)
            self.now = max(self.now, began + (minutes + late) * MINUTE)
            self.log("done", roll.shot_id)
            self.made.append((roll.shot_id, began, self.now))
            if late:
                self.replan()
        self.meet_troubles(self.day.hours.hard_wrap)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "aim"), [("ferry-light", "average"), *((name, "planned") for name in sorted(STORIES))]
)
def test_a_day_from_call_to_wrap(name, aim, folder, run):
    """Every plan on the way obeys, what is made stands, and the day ends with nothing to come."""
    game = Game(folder(name), run, STORIES[name], aim)
    game.play()
    assert not game.troubles
    state = read_log(game.folder, game.day).state
    assert [one[0] for one in game.made] == list(state.made)
    assert state.meal is not None
    assert len(game.plans) > 8
    game.replan()
    last = newest_revision(game.folder)
    assert last is not None
    assert [roll.shot_id for roll in last.timetable.rolls] == list(state.made)
    for number in game.numbers():
        assert run("plan", game.folder, "--revision", number)


@pytest.mark.slow
def test_each_choice_can_be_taken_on_the_way(folder, run):
    """Best, push and drop in turn, three times in one morning: all are plans again."""
    game = Game(folder("late-ridge"), run, Story())
    for clock_time, take in (("07:55", "push"), ("08:25", "drop"), ("08:50", "best")):
        game.run("log", game.folder, "as-planned", "--at", clock_time)
        events = read_log(game.folder, game.day).events
        starts = {one.subject: one.at for one in events if one.kind is Kind.ROLLED}
        ends = {one.subject: one.at for one in events if one.kind is Kind.DONE}
        game.made = [(shot_id, starts[shot_id], end) for shot_id, end in ends.items()]
        game.now = local(game.day, clock_time) + 5 * MINUTE
        game.log("late", "10")
        game.replan(take)
    assert game.numbers() == (1, 2, 3, 4)


@pytest.mark.slow
def test_real_processes_play_the_morning(folder):
    """Three commands as the crew would type them, each a process of its own."""
    day = folder("last-lamp")

    def call(*words: object) -> str:
        done = subprocess.run(
            [*SUNSCHED, *map(str, words)], capture_output=True, encoding="utf-8", check=True
        )
        return done.stdout

    call("log", day, "as-planned", "--at", "08:45")
    shown = call("replan", day, "--at", "08:50", "--late", "20", "--take", "best")
    assert "the crew is free at 09:10" in shown
    assert '"revision": 2' in call("plan", day, "--revision", "2", "--json")


@pytest.mark.slow
def test_killed_replans_leave_whole_plans(folder):
    """Killed at random moments, a take has saved nothing or all; the next command goes on."""
    day = folder("last-lamp")
    seconds = seeded(11)
    asked = read_day(day)
    subprocess.run([*SUNSCHED, "log", day, "as-planned", "--at", "08:45"], check=True)
    command = [*SUNSCHED, "replan", str(day), "--for", "planned", "--at", "08:50", "--late", "20"]
    command += ["--take", "best"]
    began = time.monotonic()
    subprocess.run(command, check=True, capture_output=True)
    whole_s = time.monotonic() - began
    killed = 0
    while killed < 6:
        began = time.monotonic()
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            process.wait(timeout=whole_s * (0.4 + 0.7 * seconds.random()))
            whole_s = time.monotonic() - began  # the machine's pace changes
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            process.wait()
            killed += 1
        for number in revision_numbers(day):
            saved = read_revision(day, number)
            plan_of_revision(revision_day(day, asked, saved), saved)
    before = revision_numbers(day)
    done = subprocess.run([*command, "--json"], check=True, capture_output=True, encoding="utf-8")
    assert json.loads(done.stdout)["revision"] > before[-1]


WRITE_AND_DIE = """
import os, signal, sys
from pathlib import Path
from sunsched.folder.store import write

at, count = sys.argv.pop(1), 0
real = getattr(os, at) if hasattr(os, at) else getattr(Path, at)

def die(*words, **named):
    os.kill(os.getpid(), signal.SIGKILL)

setattr(os if hasattr(os, at) else Path, at, die)
from sunsched.cli import main
main()
"""


@pytest.mark.slow
@pytest.mark.parametrize("place", ["fsync", "rename", "unlink"])
def test_killed_in_the_middle_of_saving(folder, place):
    """Killed as the file is flushed, renamed or tidied up: old plans stand, the next take works."""
    day = folder("last-lamp")
    words = ["replan", str(day), "--for", "planned", "--at", "06:00", "--late", "10"]
    words += ["--take", "best"]
    ended = subprocess.run([sys.executable, "-c", WRITE_AND_DIE, place, *words], check=False)
    assert ended.returncode == -signal.SIGKILL
    assert revision_numbers(day) in ((1,), (1, 2))
    asked = read_day(day)
    done = subprocess.run([*SUNSCHED, *words], check=False, capture_output=True, encoding="utf-8")
    assert done.returncode == 0, done.stderr
    newest = newest_revision(day)
    assert newest is not None
    plan_of_revision(revision_day(day, asked, newest), newest)
