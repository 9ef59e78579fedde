"""The headline of a rest that is planned anew."""

from __future__ import annotations

from collections.abc import Sequence

from sunsched.folder.text.words import listed
from sunsched.show.text.headlines.lost import NONE, later_words, lost_and_won
from sunsched.whatif.replan.average import AverageChoice, AverageReplan
from sunsched.whatif.replan.changes import comebacks
from sunsched.whatif.replan.choices import Choice
from sunsched.whatif.replan.replan import Replan
from sunsched.whatif.replan.shifts import Kept, Shift


def rest_headline(found: AverageReplan, shown: str, choice: AverageChoice, follows: int) -> str:
    """Say what a choice loses against the plan that was followed, and how much later it ends."""
    you = f"with {shown} you"
    told = lost_and_won(found.lost(choice), you=you)
    later = later_words(found.later_min(choice), "the last roll is likely to end")
    return _sentence(told, [*back_words(found.comebacks(choice)), *later], shown, follows)


def planned_rest_headline(found: Replan, shown: str, choice: Choice, follows: int) -> str:
    """Say the same of a rest in which every minute holds."""
    shots = {shot.id: shot for shot in (*found.planned_day.shots, *found.day.shots)}
    losses = found.lost(choice)
    shifts = [
        Shift(shot=shots[one.shot_id], before=_kept(one.before), now=_kept(one.now))
        for one in losses
        if one.shot_id in shots
    ]
    back = back_words(comebacks(found.planned_day, found.planned, choice.plan))
    lost_to = {one.shot_id: one.lost_to for one in losses}
    return _sentence(lost_and_won(shifts, lost_to, you=f"with {shown} you"), back, shown, follows)


def back_words(ids: Sequence[str]) -> list[str]:
    """Name the shots that come back in, which the plan that was followed had left out."""
    if not ids:
        return []
    return [f"{listed(ids, 'and')} {'comes' if len(ids) == 1 else 'come'} back in"]


def _kept(light: float | None) -> Kept:
    return NONE if light is None else Kept(made=1.0, light=light)


def _sentence(told: list[str], later: list[str], shown: str, follows: int) -> str:
    first = told or [f"{shown} keeps what revision {follows} kept"]
    return "; ".join([*first, *later])
