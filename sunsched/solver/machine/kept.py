"""Compiled functions on the disk: each file with its digest, in the first place that takes it.

numba keeps such files too, in one place that it chooses when a module is loaded: where none can be
written it raises, and a file that is empty or damaged raises on every run. Here such a file is
taken away, and what it held is compiled once more.
"""

from __future__ import annotations

import hashlib
import inspect
import pickle
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

from numba.core.caching import (
    CompileResultCacheImpl,
    FunctionCache,
    IndexDataCacheFile,
    _Cache,
    _CacheLocator,
    _SourceFileBackedLocatorMixin,
)

from sunsched.solver.machine.halt import begin_compiling, end_compiling
from sunsched.solver.machine.places import places_of

DIGEST_BYTES = 16
# Where this process has kept what it has compiled; None is nowhere.
SAVED_IN: set[Path | None] = set()


class Kept(_Cache):  # type: ignore[misc]  # numba has no types
    """What numba asks for a compiled function, and gives one to: all places of one function."""

    def __init__(self, function: Callable[..., Any]) -> None:
        self.places = places_of(inspect.getfile(function))
        self._function = function
        self._known: dict[Path, _Place] = {}

    @property
    def cache_path(self) -> str:
        """The best place."""
        return str(self.places[0])

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        """Give the function for these types from the first place that has it whole, or None."""
        for cache in self._caches():
            found = cache.load_overload(sig, target_context)
            if found is not None:
                return found
        begin_compiling((self, sig))
        return None

    def save_overload(self, sig: Any, data: Any) -> None:
        """Keep a function in the first place that takes it."""
        end_compiling((self, sig))
        for cache in self._caches():
            with suppress(OSError):
                cache.save_overload(sig, data)
                SAVED_IN.add(cache.path)
                return
        SAVED_IN.add(None)

    def is_there(self) -> bool:
        """Say whether the function is kept from an earlier run for any types."""
        return any(cache.is_there() for cache in self._caches())

    def _caches(self) -> Iterator[_Place]:
        """Give each place when it is needed: mostly that is the first one alone."""
        for path in self.places:
            if path not in self._known:
                self._known[path] = _Place(self._function, path)
            yield self._known[path]

    def enable(self) -> None:
        """Keep functions, as it always does."""

    def disable(self) -> None:
        """Do nothing: it keeps functions always."""

    def flush(self) -> None:
        """Forget what is kept in each place that can be written."""
        for cache in self._caches():
            with suppress(OSError):
                cache.flush()


class _Place(FunctionCache):  # type: ignore[misc]  # numba has no types
    """One function in one place."""

    def __init__(self, function: Callable[..., Any], path: Path) -> None:
        self.path = path
        self._impl_class = partial(_Form, path)
        super().__init__(function)
        self._cache_file = _Files(
            cache_path=str(path),
            filename_base=self._impl.filename_base,
            source_stamp=self._impl.locator.get_source_stamp(),
        )

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        try:
            return super().load_overload(sig, target_context)
        except Exception:  # noqa: BLE001  whatever is wrong with it, it can be compiled again
            self._cache_file.take_away()
            return None

    def is_there(self) -> bool:
        return self._cache_file.is_there()


class _Form(CompileResultCacheImpl):  # type: ignore[misc]  # numba has no types
    """How a function is written into a place."""

    def __init__(self, path: Path, function: Callable[..., Any]) -> None:
        self._locator_classes = [_Locator.at(path)]
        super().__init__(function)


class _Locator(_SourceFileBackedLocatorMixin, _CacheLocator):  # type: ignore[misc]  # no types
    """A place, given and not looked for."""

    def __init__(self, path: Path, function: Callable[..., Any], file: str) -> None:
        self._path, self._py_file = path, file
        self._lineno = function.__code__.co_firstlineno

    @classmethod
    def at(cls, path: Path) -> type[_Locator]:
        """Give the class of locators of one place, as numba wants a class."""

        class Here(cls):  # type: ignore[misc, valid-type]  # mypy takes no variable as a base
            @classmethod
            def from_function(cls, py_func: Callable[..., Any], py_file: str) -> _Locator:
                return cls(path, py_func, py_file)

        return Here

    def get_cache_path(self) -> str:
        return str(self._path)


class _Files(IndexDataCacheFile):  # type: ignore[misc]  # numba has no types
    """The files of a function in a place; one that is not as it was written is taken away."""

    def is_there(self) -> bool:
        try:
            return bool(self._load_index())
        except Exception:  # noqa: BLE001  whatever is wrong with it, it can be compiled again
            return False

    def take_away(self) -> None:
        with suppress(OSError):
            Path(self._index_path).unlink(missing_ok=True)

    def _load_index(self) -> Any:
        whole = _read(Path(self._index_path))
        if whole is None:
            return {}
        version, stamp, overloads = pickle.loads(whole)  # noqa: S301  what we wrote, by its digest
        return overloads if (version, stamp) == (self._version, self._source_stamp) else {}

    def _save_index(self, overloads: Any) -> None:
        self._write(self._index_path, (self._version, self._source_stamp, overloads))

    def _load_data(self, name: str) -> Any:
        whole = _read(Path(self._data_path(name)))
        return None if whole is None else pickle.loads(whole)  # noqa: S301  as above

    def _save_data(self, name: str, data: Any) -> None:
        self._write(self._data_path(name), data)

    def _write(self, path: str, data: Any) -> None:
        content = self._dump(data)
        with self._open_for_write(path) as file:
            file.write(_digest(content) + content)


def _read(path: Path) -> bytes | None:
    """Give what was written; None, and no file any more, where it is not whole."""
    try:
        content = path.read_bytes()
    except OSError:
        return None
    if content[:DIGEST_BYTES] == _digest(content[DIGEST_BYTES:]):
        return content[DIGEST_BYTES:]
    with suppress(OSError):
        path.unlink()
    return None


def _digest(content: bytes) -> bytes:
    return hashlib.blake2b(content, digest_size=DIGEST_BYTES).digest()
