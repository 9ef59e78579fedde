"""The benchmark runs from end to end, so that it cannot rot; no time that it measures is tested."""

import shutil
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from benchmarks import against, average, measure, price, profile, replan, sheet, stress
from benchmarks.drawn.days import day
from benchmarks.measure import PeerRun, Run, ask_peers, judged
from benchmarks.solve import HAND, KINDS, QUICK, main, peer_table, table
from oracles.answer import OracleAnswer

from sunsched.day.wish import SunSide
from sunsched.errors import SunschedError
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.solver.build import make_problem
from sunsched.solver.solve import solve


def cells(text):
    """Give the cells of the Markdown tables in a text, row by row, without the rules."""
    rows = [line for line in text.splitlines() if line.startswith("|") and "---" not in line]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in rows]


@pytest.mark.slow
def test_quick_run_prints_a_judged_line_for_each_kind(capfd):
    """The quick run measures in processes of their own and says what on, then one line a kind."""
    main(["--quick", "--seeds", "1"])
    printed, progress = capfd.readouterr()
    assert "Python" in printed.splitlines()[0]
    head, *lines = cells(printed)
    assert [line[:2] for line in lines] == [[str(kind.shots), kind.words] for kind in QUICK]
    for line in lines:
        row = dict(zip(head, line, strict=True))
        assert row["proven"] in ("0 of 1", "1 of 1")
        assert int(row["points"]) <= int(row["bound"])
    assert progress.count(" points, bound ") == len(QUICK)


@pytest.mark.slow
def test_replans_and_drawn_days_are_measured_too(capfd):
    """A line for a demo day replanned at a few moments, and for days drawn with and without."""
    replan.main(["--only", "ferry-light", "--every", "300"])
    stress.main(["--days", "20", "--seeds", "1"])
    _, replanned, _, without, with_matches = cells(capfd.readouterr().out)
    assert replanned[0] == "ferry-light"
    assert int(replanned[1]) >= 2
    assert [without[1], with_matches[1]] == ["without matches", "with matches"]


@pytest.mark.slow
def test_prices_are_measured_too(capfd):
    """A line for the day, one for all, and what must be reached."""
    price.main(["--only", "ferry-light", "--decisions", "6", "--no-table"])
    head, day, every, must = cells(capfd.readouterr().out)
    assert [row[0] for row in (day, every, must)] == ["ferry-light", "all", "must"]
    assert int(day[1]) + int(day[2]) == 6
    assert day[1:] == every[1:]
    assert len(head) == len(day)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="reads what Linux tells of processes")
@pytest.mark.skipif(shutil.which("chromium") is None, reason="no chromium here")
def test_taps_on_connected_pages_are_measured_too():
    """A line for the pages on sockets, and one for the browser."""
    # In a process of its own, as two browsers cannot be driven in one.
    words = [sys.executable, "-m", "benchmarks.desk_feed", "--pages", "3", "--taps", "2"]
    words += ["--idle", "1", "--settle", "1"]
    here = Path(__file__).parent
    done = subprocess.run(words, cwd=here, capture_output=True, text=True, check=True)
    printed = done.stdout
    _, sockets, drawn = cells(printed)
    assert sockets[0] == "the last of 2 pages"
    assert drawn[0] == "a page in a browser, drawn"
    assert "Without news, 3 pages take" in printed


@pytest.mark.slow
def test_sheets_are_measured_too(capfd):
    """A line of each kind, saved and new, and one for each phone page."""
    sheet.main(["--times", "1", "--only", "csv"])
    rows = cells(capfd.readouterr().out)
    assert [row[:2] for row in rows if row[0] == ".csv"] == [[".csv", "saved"], [".csv", "new"]]
    sizes = [(row[0], int(row[1].split()[0]), int(row[2].split()[0])) for row in rows[-2:]]
    assert [count for count, *_ in sizes] == ["16", "40"]
    assert all(50 < size < most for _, size, most in sizes)


def test_a_profile_counts_what_every_part_of_the_proof_does():
    """Sweeps, cells, labels and searches are counted, and no part takes more than all of them."""
    row = profile.profiled("a day", day(8, seed=1, has_matches=True), 30.0)
    name, shots, matches, _, gap, sweeps, cells, labels, searches, *shares = row
    assert (name, shots, gap) == ("a day", "8", "0.0%")
    assert int(matches) >= 1
    assert min(int(sweeps), int(labels), int(searches)) > 0
    assert float(cells) > 0
    assert len(shares) == len(profile.NAMES)
    # Threads are timed to a few milliseconds.
    assert 0 < sum(int(share.rstrip("%")) for share in shares) <= 110


def test_days_written_by_hand_are_what_the_benchmark_asks_for():
    """Ten days, each of 16 to 20 shots in three to five matches, shot in clusters of spots."""
    days = [read_day(folder) for folder in profile.by_hand()]
    assert len(days) == 10
    for one in days:
        assert 16 <= len(one.shots) <= 20
        matches = {shot.match for shot in one.shots if shot.match}
        assert 3 <= len(matches) <= 5
        spots = [shot.spot for shot in one.shots]
        together = sum(a == b for a, b in pairwise(spots))
        assert together >= len(spots) / 2


def test_a_proof_that_is_none_fails_the_benchmark(monkeypatch):
    """The proof of the first day of each kind is checked the second way; a refusal is raised."""
    problem = make_problem(fit_day(day(8, seed=1, has_matches=False)))
    measure.check_proof(problem, 10)
    monkeypatch.setattr(measure, "verify", lambda *_: "no leaf is closed")
    with pytest.raises(ValueError, match="the proof does not hold: no leaf is closed"):
        measure.check_proof(problem, 10)


def test_judge_refuses_what_is_not_worth_its_value():
    """An answer that claims a point too many, or a start too early, is no figure of ours."""
    fit = fit_day(day(8, seed=1, has_matches=True))
    problem = make_problem(fit)
    answer = solve(problem, limit_s=5)
    assert answer is not None
    assert len(judged(fit, problem, answer).shots) == len(answer.sequence)
    with pytest.raises(ValueError, match="the judge gives"):
        judged(fit, problem, replace(answer, value=answer.value + 2048, bound=10**12))
    early = answer.starts.copy()
    early[1:] = early[0]
    with pytest.raises(SunschedError, match="changeover"):
        judged(fit, problem, replace(answer, starts=early))


def made_up(kind, seconds, points, bound):
    """Give a run with these figures."""
    gap = (bound - points) / bound
    return Run(
        kind=kind, seed=1, seconds=seconds, points=points, bound=bound, gap=gap, memory_mib=200.0
    )


def test_table_takes_medians_and_says_what_was_reached():
    """Two proofs of three give a median time and a slowest that is only a limit."""
    proof, gap = KINDS[5], KINDS[-1]
    assert (proof.must_s, proof.each_s, gap.must_gap) == (0.5, 1.5, 0.02)
    runs = [made_up(proof, seconds, 100, 100) for seconds in (2.0, 2.5)]
    runs += [made_up(proof, 30.0, 90, 100), made_up(gap, 20.0, 90, 100)]
    head, first, second = cells(table(runs))
    assert dict(zip(head, first, strict=True)) == {
        "shots": "16",
        "day": "loose, with matches",
        "proven": "2 of 3",
        "proof, median": "2.50 s",
        "slowest": "> 30 s",
        "limit": "30 s",
        "gap at limit": "0.0%",
        "points": "100",
        "bound": "100",
        "memory": "200 MiB",
        "must": "0.5 s, each 1.5 s",
        "reached": "no",
    }
    for slowest, is_reached in ((1.5, "yes"), (1.6, "no")):
        _, only = cells(table([made_up(proof, s, 100, 100) for s in (0.4, 0.5, slowest)]))
        assert only[-1] == is_reached
    assert second[head.index("gap at limit")] == "10.0%"
    assert second[head.index("reached")] == "no"


def test_peer_table_never_calls_a_limit_a_time():
    """A peer that ran into its limit took longer than it, and so did the ratio."""
    run = made_up(KINDS[0], 0.5, 100, 100)
    theirs = [
        PeerRun(name="CP-SAT", seconds=60.0, is_proven=False, ratio=120.0),
        PeerRun(name="HiGHS", seconds=5.0, is_proven=True, ratio=10.0),
    ]
    _, line = cells(peer_table([(run, theirs)]))
    assert line[2:] == ["0.50 s", "> 60 s", "> 120", "5 s", "10"]


def test_peers_are_timed_next_to_ours_and_must_agree(monkeypatch):
    """A ratio is theirs over ours, at the limit if unproven; another optimum stops the run."""
    said = OracleAnswer(points=100, bound=100, is_proven=True, seconds=5.0)
    late = replace(said, points=90, is_proven=False)
    answers = iter([said, said, said, late, late, replace(late, is_proven=True)])
    monkeypatch.setattr(measure, "in_child", lambda *_: next(answers))
    ours = made_up(KINDS[0], 0.5, 100, 100)
    asked = [(peer.name, peer.ratio) for peer in ask_peers(ours, 60.0)]
    assert asked == [("CP-SAT", 10.0), ("HiGHS", 10.0)]
    with_matches = made_up(KINDS[1], 0.5, 100, 100)
    assert [peer.name for peer in ask_peers(with_matches, 60.0)] == ["CP-SAT"]
    assert [peer.ratio for peer in ask_peers(ours, 60.0)] == [120.0, 120.0]
    with pytest.raises(ValueError, match="disagree"):
        ask_peers(ours, 60.0)
    monkeypatch.setattr(measure, "in_child", lambda *_: replace(late, points=101))
    with pytest.raises(ValueError, match="disagree"):
        ask_peers(ours, 60.0)


def test_two_commits_stand_side_by_side():
    """A ratio is new over old; with a limit in it, only what is known of it is said."""
    easy, hard, full = KINDS[0], KINDS[5], KINDS[-1]
    old = [made_up(easy, 0.5, 100, 100), made_up(hard, 30.0, 90, 100), made_up(full, 20.0, 80, 100)]
    new = [made_up(easy, 0.25, 100, 100), made_up(hard, 3.0, 95, 95), made_up(full, 20.0, 90, 100)]
    rows = [against.read_rows(f"A machine.\n\n{table(runs)}\n") for runs in (old, new)]
    _, first, second, third = cells(against.table(*rows))
    assert first[2:] == ["0.50 s", "0.25 s", "0.50", "0.0%", "0.0%", "same"]
    assert second[2:] == ["> 30.00 s", "3.00 s", "< 0.10", "10.0%", "0.0%", "+5"]
    assert third[2:] == ["> 20.00 s", "> 20.00 s", "not known", "20.0%", "10.0%", "+10"]
    _, first, second, third = cells(against.table(*rows[::-1]))
    assert [line[4] for line in (first, second, third)] == ["2.00", "> 10.00", "not known"]
    assert len(cells(against.table(rows[0][1:], rows[1]))) == 3, "only rows that both have"


@pytest.fixture
def head():
    """Give the newest commit, where this is a checkout of git."""
    found = against._git("rev-parse", "HEAD")
    if found.returncode:
        pytest.skip("not a git checkout: there are no commits to compare")
    return found.stdout.strip()


def test_files_of_a_commit_are_there_for_the_time(head):
    """The folder has that commit's own benchmark, and nothing is left of it afterwards."""
    with against.files_of(head) as tree:
        kept = against._git("show", f"{head}:tests/benchmarks/solve.py").stdout
        assert (tree / "tests" / "benchmarks" / "solve.py").read_text(encoding="utf-8") == kept
        assert str(tree) in against._git("worktree", "list").stdout
        where = against.said_in(tree, "-c", "import sunsched; print(sunsched.__file__)")
        assert Path(where.strip()).is_relative_to(tree), "the package is that commit's too"
    assert not tree.exists()
    assert str(tree) not in against._git("worktree", "list").stdout
    with (
        pytest.raises(ValueError, match="no files of `no-such-commit`"),
        against.files_of("no-such-commit"),
    ):
        pass


def test_a_commit_is_measured_against_these_files(head, capfd, monkeypatch):
    """By turns, each on its own files, with the same words; then a line for each kind of day.

    What the benchmark itself prints is made up here: a new tree would be compiled for half a
    minute. `test_quick_run_prints_a_judged_line_for_each_kind` runs it.
    """
    asked = []

    def said(tree, *words):
        asked.append(((tree / "pyproject.toml").is_file(), tree == against.ROOT, words))
        seconds = 0.5 if tree == against.ROOT else 1.0
        return f"A machine.\n\n{table([made_up(kind, seconds, 90, 90) for kind in QUICK])}\n"

    monkeypatch.setattr(against, "said_in", said)
    against.main([head, "--shots", "8", "--seeds", "1", "--limit", "10"])
    words = ("-m", "benchmarks.solve", "--seeds", "1", "--limit", "10.0", "--shots", "8")
    assert asked == [(True, False, words), (True, True, words)]
    printed, progress = capfd.readouterr()
    _, *lines = cells(printed)
    assert [line[:2] for line in lines] == [[str(kind.shots), kind.words] for kind in QUICK]
    assert {line[4] for line in lines} == {"0.50"}
    assert progress.count("days of 8 shots") == 2


def test_days_by_hand_are_of_their_kind():
    """Twenty shots with matches in each, and every such day is measured."""
    days = [HAND.day(seed) for seed in range(1, len(HAND.names) + 1)]
    assert all(len(one.shots) == HAND.shots for one in days)
    assert all(any(shot.match for shot in one.shots) for one in days)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: f"{kind.shots} {kind.words}")
def test_days_are_what_they_say(kind):
    """A seed gives one day; its size, its matches and its fill are those asked for."""
    drawn = kind.day(3)
    assert drawn == kind.day(3) != kind.day(4)
    assert len({shot.id for shot in drawn.shots}) == kind.shots
    assert any(shot.match for shot in drawn.shots) == kind.has_matches
    assert sum(shot.wish.side is not SunSide.ANY for shot in drawn.shots) > kind.shots / 2
    least_min = sum(shot.shoot_min + shot.adjust_min for shot in drawn.shots)
    there_min = (drawn.hours.hard_wrap - drawn.hours.crew_call).total_seconds() / 60
    assert (least_min + drawn.meal.length_min > there_min) == kind.is_full


def test_matches_are_all_that_tells_two_days_of_a_seed_apart():
    """With and without matches, a seed gives the same shots, so that their figures compare."""
    with_them = day(20, seed=2, has_matches=True)
    bare = tuple(replace(shot, match="") for shot in with_them.shots)
    assert replace(with_them, shots=bare) == day(20, seed=2, has_matches=False)


def test_a_seed_gives_the_same_day_on_every_machine():
    """Figures of one day as they were when the benchmark was written, so that tables compare."""
    drawn = day(16, seed=1, has_matches=True)
    assert drawn.hours.crew_call.isoformat() == "2027-12-02T05:15:00+00:00"
    figures = [
        (s.spot, s.size.value, s.wish.side.value, s.look_deg, s.shoot_min) for s in drawn.shots
    ]
    assert figures[::5] == [
        ("quay", "full", "three-quarter back", 330.0, 20),
        ("quay", "close-up", "three-quarter front", 45.0, 10),
        ("ridge", "wide", "back", 75.0, 15),
        ("ridge", "close-up", "three-quarter back", 130.0, 20),
    ]


@pytest.mark.slow
def test_plans_for_the_average_day_are_measured_too(capsys):
    """A line for a day planned in a process of its own, and below what must be reached."""
    average.main(["--only", "8/1", "--long", "1"])
    head, row, *sums = cells(capsys.readouterr().out)
    found = dict(zip(head, row, strict=True))
    assert found["day"] == "8/1"
    assert int(found["planned order"]) <= int(found["best order"]) <= int(found["bound"])
    assert float(found["of longer"].rstrip("%")) <= 100
    assert [one[1] for one in sums[1:]][:3] == ["process", "work", "gap"]
