"""The pace of past days: text for a terminal, figures to paste, and a plain dict for `--json`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict

from sunsched.show.layout import table, wrapped
from sunsched.show.records.day import Record
from sunsched.show.text.day import WIDTH
from sunsched.whatif.stress.pace import ENOUGH, Advice, Pace

HEADER = ("size", "work", "count", "real over planned", "spread", "")
NOTE = (
    "real over planned: the median; spread: standard deviation of its logarithm, 0.3 where two in "
    "three lie between 0.74 and 1.35 times the median. Shots with minutes of their own in the shot "
    "list keep those."
)
FIGURES = (
    ("size", ("setup_min", "adjust_min")),
    ("overrun", ("changeover_median", "changeover_spread", "roll_median", "roll_spread")),
)


def pace_text(found: Pace, width: int = WIDTH) -> str:
    """Lay out real against planned minutes, and what to paste into the next `day.toml`."""
    days = "a day" if found.days == 1 else f"{found.days} days"
    lines = wrapped(f"pace of {days}", width)
    if not found.paces:
        return "\n".join([*lines, *wrapped("no shot that was planned has been made", width)])
    rows: list[tuple[str, ...] | str] = [
        (
            one.size.value,
            one.work.value,
            f"{one.count}",
            f"{one.median:.2f}",
            "–" if one.spread is None else f"{one.spread:.2f}",
            "" if one.is_enough else "too few",
        )
        for one in found.paces
    ]
    lines += ["", *table(HEADER, rows, width, flexible=None), ""]
    if found.waited:
        lines += wrapped(f"{found.waited} changeovers not counted: the crew may have waited", width)
    if found.unplanned:
        lines += wrapped(f"{found.unplanned} shots not counted: added during the day", width)
    lines += wrapped(NOTE, width, indent=0)
    if found.advice:
        lines += ["", "to paste into the next day.toml:", "", *_advice_lines(found)]
    else:
        lines += ["", f"nothing to paste: it takes {ENOUGH} of one size and one kind of work"]
    return "\n".join(lines)


def pace_record(found: Pace) -> Record:
    """Give the pace; in the advice null leaves a key of `day.toml` as it is."""
    return {
        "days": found.days,
        "pace": [
            {
                "size": one.size.value,
                "work": one.work.value,
                "count": one.count,
                "median": round(one.median, 4),
                "spread": None if one.spread is None else round(one.spread, 4),
                "enough": one.is_enough,
            }
            for one in found.paces
        ],
        "advice": [asdict(one) for one in found.advice],
        "waited": found.waited,
        "unplanned": found.unplanned,
    }


def _advice_lines(found: Pace) -> Iterator[str]:
    for table_name, keys in FIGURES:
        for one in found.advice:
            figures = _figures(one, keys)
            if figures:
                yield f"[{table_name}.{one.size}]"
                yield from (f"{key} = {figure:g}" for key, figure in figures.items())
                yield ""


def _figures(one: Advice, keys: tuple[str, ...]) -> dict[str, float]:
    known = asdict(one)
    return {key: known[key] for key in keys if known[key] is not None}
