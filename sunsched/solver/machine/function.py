"""The one way to compile a function."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit, types

from sunsched.solver.machine.kept import SAVED_IN, Kept
from sunsched.solver.machine.places import temporary_place

Function = TypeVar("Function", bound=Callable[..., Any])


def compiled(**options: Any) -> Callable[[Function], Function]:
    """Give what compiles a function when it is first called, and keeps that for later runs.

    It lets other threads run meanwhile.

    Parameters
    ----------
    options : more of numba's, such as `inline`
    """

    def made(function: Function) -> Function:
        dispatcher: Any = njit(nogil=True, **options)(function)
        dispatcher._cache = Kept(function)  # noqa: SLF001  numba has no public way to give a cache
        _take_any_number(dispatcher)
        return cast(Function, dispatcher)

    return made


def _take_any_number(dispatcher: Any) -> None:
    """Compile a function once for all whole numbers: numba would again for each that is written."""
    template = dispatcher.get_call_template

    def given(types_of: Any, by_name: Any) -> Any:
        return template(
            tuple(
                types.int64 if isinstance(one, types.IntegerLiteral) else one for one in types_of
            ),
            by_name,
        )

    dispatcher.get_call_template = given


def is_kept(function: Any) -> bool:
    """Say whether a compiled function is kept from an earlier run, so that it starts fast."""
    cache: Kept = function._cache  # noqa: SLF001  ours: `compiled` has put it there
    return cache.is_there()


def poorly_kept() -> str:
    """Say it if what this process has compiled is kept in no lasting place; "" where it is."""
    if None in SAVED_IN:
        return "compiled functions cannot be kept, so each command compiles them anew"
    temporary = temporary_place()
    if temporary is None or not any(one and one.is_relative_to(temporary) for one in SAVED_IN):
        return ""
    return f"compiled functions are kept in {temporary}, as no better folder can be written"
