"""The pace of past days: text for a terminal, figures to paste, and a plain dict for `--json`."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.show.layout import table, wrapped
from sunsched.show.records.day import Record
from sunsched.show.text.day import WIDTH
from sunsched.whatif.stress.factor import USUAL_WORTH
from sunsched.whatif.stress.pace import Pace, PaceOf

HEADER = ("size", "work", "count", "median", "spread", "shrunk", "its spread")
NOTE = (
    "median: of real over planned minutes, ± its standard error; spread: standard deviation of the "
    "logarithm, 0.3 where two in three lie between 0.74 and 1.35 times the median; shrunk: with "
    f"the default of that size, which counts as {USUAL_WORTH:g} pieces of work (common practice, "
    "no source), so that a few do not say too much."
)


def pace_text(found: Pace, width: int = WIDTH) -> str:
    """Lay out real against planned minutes, and what to paste into the next `day.toml`."""
    days = "a day" if found.days == 1 else f"{found.days} days"
    lines = wrapped(f"pace of {days}", width)
    if not found.paces:
        text = "no shot that was planned has been made"
        if found.by_plan:
            text = f"nothing was measured: {_by_plan_text(found)}"
        return "\n".join([*lines, *wrapped(text, width)])
    rows: list[tuple[str, ...] | str] = [_row(one) for one in found.paces]
    lines += ["", *table(HEADER, rows, width, flexible=None), ""]
    if found.waited:
        waited = "1 changeover" if found.waited == 1 else f"{found.waited} changeovers"
        lines += wrapped(f"{waited} not counted: the crew may have waited", width)
    if found.unplanned:
        added = "1 shot" if found.unplanned == 1 else f"{found.unplanned} shots"
        lines += wrapped(f"{added} not counted: added during the day", width)
    if found.by_plan:
        lines += wrapped(_by_plan_text(found), width)
    lines += wrapped(NOTE, width, indent=0)
    return "\n".join([*lines, "", "to paste into the next day.toml:", "", *_pasted(found)])


def _by_plan_text(found: Pace) -> str:
    work = (
        "1 roll or changeover" if found.by_plan == 1 else f"{found.by_plan} rolls and changeovers"
    )
    return f"{work} not counted: noted as planned, not by a clock"


def pace_record(found: Pace) -> Record:
    """Give the pace; a median or a spread without a standard error has null for it."""
    return {
        "days": found.days,
        "pace": [
            {
                "size": one.size.value,
                "work": one.work.value,
                "count": one.factor.count,
                "median": _rounded(one.factor.median),
                "median_error": _rounded(one.factor.median_error),
                "spread": _rounded(one.factor.spread),
                "spread_error": _rounded(one.factor.spread_error),
                "shrunk_median": _rounded(one.factor.shrunk_median),
                "shrunk_spread": _rounded(one.factor.shrunk_spread),
            }
            for one in found.paces
        ],
        "overrun": {
            size: {key: figure for one in own for key, figure in _figures(one)}
            for size, own in _by_size(found).items()
        },
        "defaults_worth": USUAL_WORTH,
        "waited": found.waited,
        "unplanned": found.unplanned,
        "by_plan": found.by_plan,
    }


def _row(one: PaceOf) -> tuple[str, ...]:
    own = one.factor
    return (
        one.size.value,
        one.work.value,
        f"{own.count:>5}",
        _measured(own.median, own.median_error),
        _measured(own.spread, own.spread_error),
        f"{one.median_to_paste:.2f}",
        f"{one.spread_to_paste:.2f}",
    )


def _measured(figure: float | None, error: float | None) -> str:
    if figure is None:
        return "–"
    return f"{figure:.2f}" if error is None else f"{figure:.2f} ± {error:.2f}"


def _pasted(found: Pace) -> Iterator[str]:
    for size, own in _by_size(found).items():
        yield f"[overrun.{size}]"
        for one in own:
            yield from (f"{key} = {figure:g}" for key, figure in _figures(one))
        yield ""


def _by_size(found: Pace) -> dict[str, list[PaceOf]]:
    sizes: dict[str, list[PaceOf]] = {}
    for one in found.paces:
        sizes.setdefault(one.size.value, []).append(one)
    return sizes


def _figures(one: PaceOf) -> tuple[tuple[str, float], tuple[str, float]]:
    """Give the keys of `[overrun.<size>]` with their figures."""
    return (
        (f"{one.work}_median", one.median_to_paste),
        (f"{one.work}_spread", one.spread_to_paste),
    )


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 4)
