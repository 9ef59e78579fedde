"""Compiled functions on the disk: damaged files, folders that cannot be written, a full disk."""

import os
import tempfile
from typing import Any

import numpy as np
import pytest
from numba import config

from sunsched.solver.machine import kept, places
from sunsched.solver.machine.function import compiled, is_kept, poorly_kept
from sunsched.solver.machine.kept import SAVED_IN, Kept


def doubled(number):
    return number * 2


@pytest.fixture
def made(tmp_path, monkeypatch):
    """Give a function that compiles anew, as a new process would, with two places of its own."""
    first, second = tmp_path / "first", tmp_path / "second"
    monkeypatch.setattr(kept, "places_of", lambda _: (first, second))
    SAVED_IN.clear()
    yield lambda: compiled()(doubled)
    SAVED_IN.clear()


@pytest.fixture
def counted(monkeypatch):
    """Count what is compiled."""
    began = list[object]()
    monkeypatch.setattr(kept, "begin_compiling", began.append)
    return began


def files(folder):
    """List the files of a place, the index first."""
    return sorted(folder.iterdir(), key=lambda path: path.suffix != ".nbi")


def test_it_is_compiled_once(made, counted, tmp_path):
    """What one process compiles, the next one loads, from the first place."""
    assert not is_kept(made())
    assert made()(21) == 42
    assert is_kept(made())
    assert made()(4) == 8
    assert len(counted) == 1
    assert [path.suffix for path in files(tmp_path / "first")] == [".nbi", ".nbc"]
    assert not (tmp_path / "second").exists()
    assert poorly_kept() == ""


@pytest.mark.parametrize("place", [0, 1], ids=["index", "code"])
@pytest.mark.parametrize("damage", ["empty", "half", "garbage", "one byte"])
def test_a_damaged_file_is_compiled_once_more(made, counted, tmp_path, place, damage):
    """Nothing of it is run: it is taken away, and the process after that loads the new one."""
    made()(21)
    file = files(tmp_path / "first")[place]
    whole = file.read_bytes()
    middle = len(whole) // 2
    file.write_bytes(
        {
            "empty": b"",
            "half": whole[:middle],
            "garbage": bytes(np.random.default_rng(1).integers(0, 256, 3000, dtype=np.uint8)),
            "one byte": whole[:middle] + bytes([whole[middle] ^ 1]) + whole[middle + 1 :],
        }[damage]
    )
    assert made()(21) == 42
    assert len(counted) == 2
    assert made()(21) == 42
    assert len(counted) == 2


def test_code_that_cannot_be_loaded_is_compiled_once_more(made, monkeypatch, counted):
    """Whole, and yet of no use: as of another version of what reads it."""
    made()(21)
    monkeypatch.setattr(kept._Form, "rebuild", lambda *_: 1 / 0)
    assert made()(21) == 42
    assert len(counted) == 2


@pytest.mark.parametrize("fault", ["folder", "disk"])
def test_the_next_place_takes_what_the_first_does_not(made, counted, tmp_path, monkeypatch, fault):
    """A file where the folder should be, or no room for the code: the second place has it all."""
    if fault == "folder":
        (tmp_path / "first").write_text("in the way")
    else:
        save = kept._Files._save_data

        def full(self, name, data):
            if "first" in self._cache_path:
                raise OSError(28, "No space left on device")
            save(self, name, data)

        monkeypatch.setattr(kept._Files, "_save_data", full)
    assert made()(21) == 42
    assert made()(21) == 42
    assert len(counted) == 1
    assert {tmp_path / "second"} == SAVED_IN


def test_nowhere_to_keep_it_is_said(made, counted, tmp_path):
    """It is compiled each time, and works."""
    for name in ("first", "second"):
        (tmp_path / name).write_text("in the way")
    assert made()(21) == 42
    assert made()(21) == 42
    assert len(counted) == 2
    assert poorly_kept() == "compiled functions cannot be kept, so each command compiles them anew"


def test_the_temporary_place_is_said(made, tmp_path, monkeypatch):
    """Once, by the process that has compiled."""
    monkeypatch.setattr("sunsched.solver.machine.function.temporary_place", lambda: tmp_path)
    assert poorly_kept() == ""
    made()(21)
    assert poorly_kept().startswith(f"compiled functions are kept in {tmp_path}, as no better")


@pytest.mark.skipif(os.name != "posix", reason="each user has a temporary folder elsewhere")
def test_the_temporary_place_is_nobody_elses(tmp_path, monkeypatch):
    """What is read from it is run: one that others may write to, or a link, is not taken."""
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(tmp_path))
    own = places.temporary_place()
    assert own is not None
    assert own.stat().st_mode & 0o777 == 0o700
    own.chmod(0o777)
    assert places.temporary_place() is None
    own.rmdir()
    (tmp_path / "elsewhere").mkdir()
    own.symlink_to(tmp_path / "elsewhere")
    assert places.temporary_place() is None


def test_the_places_in_their_order(tmp_path, monkeypatch):
    """That of the environment first, then beside the module, the user's, a temporary one."""
    monkeypatch.setattr(config, "CACHE_DIR", str(tmp_path / "named"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "own"))
    found = [str(path) for path in places.places_of("/package/search/module.py")]
    assert found[0].startswith(str(tmp_path / "named"))
    assert found[1].endswith("__pycache__")
    assert "sunsched" in found[2]
    assert len(found) == 4


def test_every_compiled_function_is_kept_so():
    """None is left to numba's own ways."""
    from sunsched.average.order.policy import fill_policy
    from sunsched.solver.bound.labels import extend

    functions: tuple[Any, ...] = (fill_policy, extend)
    assert all(isinstance(one._cache, Kept) for one in functions)
