"""What a shot loses or wins between two orders, in words that need no table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from sunsched.average.order.forecast import Chance
from sunsched.day.model import Shot
from sunsched.day.wish import SunSide
from sunsched.plan.plan import Plan
from sunsched.show.prospects import chance
from sunsched.whatif.replan.shifts import TOLD, Kept, Shift

SIDE = "sun side"  # the part of the light that is named after the side that a shot asks for
LIGHTS = {
    SunSide.BACK: "backlight",
    SunSide.THREE_QUARTER_BACK: "three-quarter backlight",
    SunSide.SIDE: "side light",
    SunSide.THREE_QUARTER_FRONT: "three-quarter front light",
    SunSide.FRONT: "front light",
}
NONE = Kept(made=0.0, light=0.0)


def lost_and_won(
    shifts: Iterable[Shift], lost_to: Mapping[str, str] | None = None, *, you: str = "you"
) -> list[str]:
    """Say what weighs most of what is lost, and of what is won; nothing that is too small to tell.

    Parameters
    ----------
    lost_to : the part of the light that each shot loses, where that is known
    you : who loses it, as a sentence begins: `with theirs you`
    """
    told = sorted((one for one in shifts if is_told(one)), key=lambda one: one.points)
    texts = []
    if told and told[0].points < 0:
        texts.append(f"{you} lose {shift_words(told[0], (lost_to or {}).get(told[0].shot.id, ''))}")
    if told and told[-1].points > 0:
        texts.append(f"{'you' if texts else you} win {shift_words(told[-1])}")
    return texts


def is_told(one: Shift) -> bool:
    """Say whether what a shot keeps has changed by enough to be told."""
    return (
        abs(one.now.light - one.before.light) >= TOLD or abs(one.now.made - one.before.made) >= TOLD
    )


def shift_words(one: Shift, lost_to: str = "") -> str:
    """Name a shot with its chance to be made where that has changed most, else with its light."""
    shot, before, now = one.shot, one.before, one.now
    name = f"shot {shot.id} ({shot.size})"
    if now.made == 0.0:
        return f"{name}, which is left out"
    if before.made == 0.0:
        return f"{name}, which was left out"
    if 2 * abs(now.made - before.made) >= abs(now.light - before.light):
        return f"{name}, made on {chance(now.made)} of the days, not {chance(before.made)}"
    light = light_name(shot, lost_to)
    return f"{light} of {name}, {chance(before.light)} to {chance(now.light)}"


def light_name(shot: Shot, lost_to: str) -> str:
    """Name the light of a shot, after the side that it asks for where that is what is lost."""
    sides = {LIGHTS[side] for side, _ in shot.wish.sides if side in LIGHTS}
    return f"the {sides.pop()}" if lost_to == SIDE and len(sides) == 1 else "the light"


def later_words(minutes: int | None, what: str) -> list[str]:
    """Say how much later something ends; nothing where it ends at the same minute."""
    if not minutes:
        return []
    return [f"{what} {abs(minutes)} min {'later' if minutes > 0 else 'earlier'}"]


def shifts_of_chances(before: Sequence[Chance], now: Sequence[Chance]) -> list[Shift]:
    """Compare what two orders keep of each shot on the average day; one not in it is not made."""
    sides = [{one.shot.id: _kept(one) for one in side} for side in (before, now)]
    return _shifts(*sides, shots=[one.shot for side in (now, before) for one in side])


def shifts_of_plans(before: Plan, now: Plan) -> list[Shift]:
    """Compare what two plans keep of each shot if every minute holds."""
    sides = [
        {one.shot.id: Kept(made=1.0, light=one.fit) for one in plan.shots} for plan in (before, now)
    ]
    return _shifts(*sides, shots=[*now.day.shots, *before.day.shots])


def _kept(one: Chance) -> Kept:
    return Kept(made=one.made, light=one.light)


def _shifts(
    before: Mapping[str, Kept], now: Mapping[str, Kept], *, shots: Iterable[Shot]
) -> list[Shift]:
    known = {shot.id: shot for shot in reversed([*shots])}
    return [
        Shift(shot=shot, before=before.get(name, NONE), now=now.get(name, NONE))
        for name, shot in known.items()
    ]
