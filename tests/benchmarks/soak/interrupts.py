"""End commands by Ctrl-C and by kills, as many as are asked for; print what went wrong, and counts.

    cd tests && python -m benchmarks.soak.interrupts [--interrupts 300] [--kills 300] [--takes 30]

Each round copies a demo day, starts one real command and sends it SIGINT (to it alone or, as a
terminal does, to all its processes) or SIGKILL at a moment drawn from the seed, often while it
still loads. Then: it ends within a bound, with no process left, no traceback and an exit code that
the README names; what it said to be saved or noted is there, whole; nothing else was saved; and the
folder can be read and saved to. `--takes` has two terminals take a replan at once: one of them is
to save it, and the other is told. Each round that fails is printed with its seed. POSIX only.

Some milliseconds at the start of a process are Python's own: nothing of ours is there to hear a
signal, and Python ends with a traceback. Such rounds are counted apart.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from command_line import ctrl_c_heard

from sunsched.folder.log.log import read_log
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.revisions import read_revision

TOLD_EVERY = 50  # rounds: a run that is broken off has told how far it came
DATA = Path(__file__).parents[3] / "data"
COMMAND = (sys.executable, "-c", "from sunsched.cli import main; main()")
# Words of each command, and within how many seconds the signal comes.
CASES: tuple[tuple[float, str], ...] = (
    (8, "plan DAY"),
    (8, "plan DAY --save"),
    (4, "plan DAY --for planned --save"),
    (8, "plan DAY --for planned --alternatives 5"),
    (10, "price DAY"),
    (10, "price DAY --for planned"),
    (10, "price DAY --shot 3 --at 13:00"),
    (10, "replan DAY --at 09:00 --take best"),
    (6, "replan DAY --at 09:00 --take push --for planned"),
    (8, "stress DAY --safest"),
    (8, "compare DAY 1"),
    (6, "sheet DAY DAY/sheet.pdf"),
    (2, "log DAY late 5 --at 08:30"),
    (2, "check DAY"),
    (1.5, "new DAY/other --at 36.7,-4.4 --date 2027-05-20"),
)
SAVING = ("--save", "--take", "log ", "new ")
EARLY_SHARE, EARLY_S = 0.3, 0.5  # of the rounds, while the command loads
TWICE_SHARE = 0.2  # of the interrupts: a second one follows
WRONG_WORDS = ("Traceback", "SystemError", "KeyboardInterrupt", "Exception ignored", "Aborted!")


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One command that is ended: what, when and how."""

    seed: int
    words: str
    after_s: float
    is_kill: bool
    is_group: bool
    again_s: float | None

    def __str__(self) -> str:
        how = "SIGKILL" if self.is_kill else "SIGINT"
        whom = "all" if self.is_group else "it"
        again = "" if self.again_s is None else f" and {self.again_s:.2f} s later"
        when = f"after {self.after_s:.2f} s{again}"
        return f"seed {self.seed}: `{self.words}`, {how} to {whom} {when}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a round ended: how long after the signal, and what was wrong.

    And whether the signal came in time, and was heard at all.
    """

    took_s: float
    is_in_time: bool
    is_heard: bool
    wrong: tuple[str, ...]


def draw_round(seed: int, *, is_kill: bool, cases: Sequence[tuple[float, str]] = CASES) -> Round:
    """Draw a round from its seed; kills come to commands that write, where anything can be lost."""
    draw = random.Random(seed)  # noqa: S311
    fit = [one for one in cases if not is_kill or any(word in one[1] for word in SAVING)]
    most_s, words = draw.choice(fit)
    is_early = draw.random() < EARLY_SHARE
    again_s = draw.uniform(0, 0.5) if draw.random() < TWICE_SHARE else None
    return Round(
        seed=seed,
        words=words,
        after_s=draw.uniform(0, min(EARLY_S, most_s) if is_early else most_s),
        is_kill=is_kill,
        is_group=draw.random() < 0.5,
        again_s=None if is_kill else again_s,
    )


def base_day(holder: Path) -> Path:
    """Make a demo day with a saved plan and a log, which each round copies."""
    base = holder / "base"
    keep = shutil.ignore_patterns("plans", "log.csv")
    shutil.copytree(DATA / "last-lamp", base, ignore=keep)
    for words in ("plan DAY --for planned --save", "log DAY late 10 --at 08:00"):
        subprocess.run(
            [*COMMAND, *words.replace("DAY", str(base)).split()], check=True, capture_output=True
        )
    return base


def end_one(base: Path, one: Round, patience_s: float) -> Ended:
    """Run a round."""
    with tempfile.TemporaryDirectory() as holder:
        folder = Path(holder) / "day"
        shutil.copytree(base, folder)
        out, err = Path(holder) / "out", Path(holder) / "err"
        words = [word.replace("DAY", str(folder)) for word in one.words.split()]
        with out.open("wb") as told, err.open("wb") as said:
            process = subprocess.Popen(
                [*COMMAND, *words],
                stdin=subprocess.DEVNULL,
                stdout=told,
                stderr=said,
                start_new_session=True,
            )
        is_in_time, took_s, wrong = _ended(process, one, patience_s)
        text, printed = err.read_text(errors="replace"), out.read_text(errors="replace")
        is_heard = not _is_before_all(process.returncode, text)
        if is_heard:
            wrong += [f"said {word}: {text[-1500:]}" for word in WRONG_WORDS if word in text]
            if not one.is_kill and process.returncode not in (0, 1):
                wrong.append(f"exit code {process.returncode}")
        wrong += _lost(folder, text, printed, one)
        return Ended(took_s=took_s, is_in_time=is_in_time, is_heard=is_heard, wrong=tuple(wrong))


def _ended(
    process: subprocess.Popen[bytes], one: Round, patience_s: float
) -> tuple[bool, float, list[str]]:
    """Send the signals, and wait for the process and all that it started; gives the seconds."""
    number = signal.SIGKILL if one.is_kill else signal.SIGINT
    wrong = []
    with suppress(subprocess.TimeoutExpired):
        process.wait(one.after_s)
    is_in_time = process.poll() is None
    for pause_s in (0.0, one.again_s):
        if pause_s is not None and process.poll() is None:
            time.sleep(pause_s)
            with suppress(ProcessLookupError):
                (os.killpg if one.is_group else os.kill)(process.pid, number)
    began = time.monotonic()
    try:
        process.wait(patience_s)
    except subprocess.TimeoutExpired:
        wrong.append(f"stands still after {patience_s:g} s")
    while time.monotonic() - began < patience_s and _lives(process.pid):
        time.sleep(0.05)
    took_s = time.monotonic() - began
    if not wrong and _lives(process.pid):
        wrong.append("left a process behind")
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return is_in_time, took_s, wrong


def _lives(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


def _is_before_all(code: int, err: str) -> bool:
    """Say whether Python itself was ended, in no line of the command line's own."""
    own = re.search(r"sunsched/(?!__init__)", err)
    return own is None and (code == -signal.SIGINT or (code == 1 and "Traceback" in err))


def _lost(folder: Path, err: str, out: str, one: Round) -> list[str]:
    """Hold what was said against what is there, and see that the folder can be used."""
    wrong = []
    said = [1, *(int(number) for number in re.findall(r"saved as revision (\d+)", err))]
    numbers = list(revision_numbers(folder))
    if not one.is_kill and numbers != said:
        wrong.append(f"said to be saved: {said}, saved: {numbers}; it said {err[-600:]}")
    if not set(said) <= set(numbers):
        wrong.append(f"lost: {set(said) - set(numbers)}")
    try:
        day = read_day(folder)
        for number in numbers:
            read_revision(folder, number)
        events = read_log(folder, day).events
        if len(events) < 1 + (bool(out) and one.words.startswith("log")):
            wrong.append(f"noted: {out[-300:]}, and the log has {len(events)} events")
        if save_revision(folder, lambda number: json.dumps(number)) != numbers[-1] + 1:
            wrong.append("the next number cannot be had")
    except Exception as error:  # noqa: BLE001  whatever it is, it is what is looked for
        wrong.append(f"cannot be read: {error!r}")
    return wrong


def run_rounds(
    rounds: Sequence[Round],
    at_once: int,
    patience_s: float,
    tell: Callable[[str], object],
    takes: int = 0,
) -> dict[Round, Ended]:
    """Run rounds, some at once, and two terminals; what went wrong is told at once."""
    ended = {}
    with tempfile.TemporaryDirectory() as holder, ThreadPoolExecutor(at_once) as lanes:
        base = base_day(Path(holder))
        results = lanes.map(lambda one: (one, end_one(base, one, patience_s)), rounds)
        for one, how in results:
            ended[one] = how
            if len(ended) % TOLD_EVERY == 0:
                sys.stderr.write(f"{len(ended)} of {len(rounds)} rounds\n")
            if how.wrong:
                tell("\n  ".join((str(one), *how.wrong)))
        for turn in range(takes):
            for text in take_twice(base):
                tell(f"two terminals, round {turn}: {text}")
    return ended


def take_twice(base: Path) -> list[str]:
    """Let two terminals take a replan at once; gives what went wrong."""
    with tempfile.TemporaryDirectory() as holder:
        folder = Path(holder) / "day"
        shutil.copytree(base, folder)
        words = ["replan", str(folder), "--at", "09:00", "--for", "planned", "--take", "push"]
        both = [
            subprocess.Popen(
                [*COMMAND, *words], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
            )
            for _ in range(2)
        ]
        said = [process.communicate()[1] for process in both]
        codes = sorted(process.returncode for process in both)
        wrong = [] if codes == [0, 1] else [f"exit codes {codes}: {said}"]
        if list(revision_numbers(folder)) != [1, 2]:
            wrong.append(f"saved: {revision_numbers(folder)}")
        if sum("revision 2 was saved meanwhile" in text for text in said) != 1:
            wrong.append(f"said: {said}")
        return wrong


def table(ended: dict[Round, Ended]) -> str:
    """Count rounds by command in Markdown, with the longest seconds from Ctrl-C to the end."""
    head = "| command | interrupts | kills | in time | before all | failed | longest, s |"
    lines = [head, "|---" * 7 + "|"]
    names = dict.fromkeys(one.words.split()[0] for one in sorted(ended, key=str))
    for name in (*names, "all"):
        mine = {one: how for one, how in ended.items() if name in (one.words.split()[0], "all")}
        kills = sum(one.is_kill for one in mine)
        figures = (
            len(mine) - kills,
            kills,
            sum(how.is_in_time for how in mine.values()),
            sum(not how.is_heard for how in mine.values()),
            sum(bool(how.wrong) for how in mine.values()),
            f"{max((how.took_s for one, how in mine.items() if not one.is_kill), default=0):.1f}",
        )
        lines.append(f"| {name} | {' | '.join(map(str, figures))} |")
    return "\n".join(lines)


def main(words: Sequence[str] | None = None) -> None:
    """Run the rounds that are asked for; ends with 1 where one failed."""
    options = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    options.add_argument("--interrupts", type=int, default=300, help="rounds of Ctrl-C (300)")
    options.add_argument("--kills", type=int, default=300, help="rounds of kills (300)")
    options.add_argument("--takes", type=int, default=30, help="rounds of two terminals (30)")
    options.add_argument("--seed", type=int, default=1, help="of all draws (1)")
    options.add_argument("--at-once", type=int, default=2, help="rounds at a time (2)")
    options.add_argument("--patience", type=float, default=30.0, help="seconds to end in (30)")
    options.add_argument("--only", default="", help="commands whose words have this in them")
    asked = options.parse_args(words)
    cases = [one for one in CASES if asked.only in one[1]]
    rounds = [
        draw_round(asked.seed * 1_000_000 + turn, is_kill=turn >= asked.interrupts, cases=cases)
        for turn in range(asked.interrupts + asked.kills)
    ]

    wrong: list[str] = []

    def tell(text: str) -> None:
        wrong.append(text)
        sys.stderr.write(f"{text}\n")

    with ctrl_c_heard():
        ended = run_rounds(rounds, asked.at_once, asked.patience, tell, asked.takes)
    sys.stdout.write(f"{table(ended)}\n\nTwo terminals at once: {asked.takes} rounds.\n")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
