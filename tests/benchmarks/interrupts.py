"""End commands by Ctrl-C and by kills, as many as are asked for; say what was lost or stood still.

    cd tests && python -m benchmarks.interrupts [--interrupts 300] [--kills 300] [--seed 1] [--at-once 2]

Each round copies a demo day, starts one real command and sends it SIGINT (to it alone or, as a
terminal does, to all its processes) or SIGKILL at a moment drawn from the seed, often while it
still loads. Then: it ends within a bound, with no process left, no traceback and an exit code that
the README names; what it said to be saved or noted is there, whole; nothing else was saved; and the
folder can be read and saved to. Each round that fails is printed with its seed. POSIX only.
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
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from sunsched.folder.log.log import read_log
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.saved.revisions import read_revision, revision_numbers

DATA = Path(__file__).parents[2] / "data"
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
# Until Python has begun, nobody is there to hear the first signal: the system ends the process.
BEFORE_ALL_S = 0.15
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
        return (
            f"seed {self.seed}: `{self.words}`, {how} to {whom} after {self.after_s:.2f} s{again}"
        )


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


def end_one(base: Path, one: Round, patience_s: float) -> list[str]:
    """Run a round; gives what went wrong, nothing where all is well."""
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
        wrong = _ended(process, one, patience_s)
        text = err.read_text(errors="replace")
        wrong += [f"said {word}: {text[-1500:]}" for word in WRONG_WORDS if word in text]
        if not one.is_kill:
            wrong += _wrong_code(process.returncode, one)
        return wrong + _lost(folder, text, out.read_text(errors="replace"), one)


def _ended(process: subprocess.Popen[bytes], one: Round, patience_s: float) -> list[str]:
    """Send the signals, and wait for the process and all that it started."""
    number = signal.SIGKILL if one.is_kill else signal.SIGINT
    wrong = []
    with suppress(subprocess.TimeoutExpired):
        process.wait(one.after_s)
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
    if not wrong and _lives(process.pid):
        wrong.append("left a process behind")
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return wrong


def _lives(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


def _wrong_code(code: int, one: Round) -> list[str]:
    is_unheard = code == -signal.SIGINT and one.after_s < BEFORE_ALL_S
    return [] if code in (0, 1) or is_unheard else [f"exit code {code}"]


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
        if len(events) < 1 + ("late" in out and one.words.startswith("log")):
            wrong.append(f"noted: {out[-300:]}, and the log has {len(events)} events")
        if save_revision(folder, lambda number: json.dumps(number)) != numbers[-1] + 1:
            wrong.append("the next number cannot be had")
    except Exception as error:  # noqa: BLE001  whatever it is, it is what is looked for
        wrong.append(f"cannot be read: {error!r}")
    return wrong


def run_rounds(
    rounds: Sequence[Round], at_once: int, patience_s: float, tell: bool = True
) -> dict[Round, list[str]]:
    """Run rounds, some at once; gives those in which something went wrong."""
    with tempfile.TemporaryDirectory() as holder, ThreadPoolExecutor(at_once) as lanes:
        base = base_day(Path(holder))
        results = lanes.map(lambda one: (one, end_one(base, one, patience_s)), rounds)
        failed = {}
        for done, (one, wrong) in enumerate(results, start=1):
            if wrong:
                failed[one] = wrong
                if tell:
                    print(f"{one}\n  " + "\n  ".join(wrong), flush=True)  # noqa: T201
            if tell and done % 25 == 0:
                print(f"{done} of {len(rounds)}, {len(failed)} failed", file=sys.stderr, flush=True)  # noqa: T201
        return failed


def main(words: Sequence[str] | None = None) -> None:
    """Run the rounds that are asked for; ends with 1 where one failed."""
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    options.add_argument("--interrupts", type=int, default=300)
    options.add_argument("--kills", type=int, default=300)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--at-once", type=int, default=2)
    options.add_argument("--patience", type=float, default=30.0, help="seconds until it has ended")
    options.add_argument("--only", default="", help="commands whose words have this in them")
    asked = options.parse_args(words)
    cases = [one for one in CASES if asked.only in one[1]]
    rounds = [
        draw_round(asked.seed * 1_000_000 + turn, is_kill=turn >= asked.interrupts, cases=cases)
        for turn in range(asked.interrupts + asked.kills)
    ]
    failed = run_rounds(rounds, asked.at_once, asked.patience)
    counts = Counter((one.words.split()[0], one.is_kill) for one in rounds)
    print("| command | interrupts | kills | failed |\n|---|---|---|---|")  # noqa: T201
    for name in dict.fromkeys(one.split()[0] for _, one in cases):
        bad = sum(one.words.split()[0] == name for one in failed)
        print(f"| {name} | {counts[name, False]} | {counts[name, True]} | {bad} |")  # noqa: T201
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
