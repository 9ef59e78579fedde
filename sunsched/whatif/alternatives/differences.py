"""In what a plan differs from another, in words."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.day.clock import clock
from sunsched.folder.text.words import listed
from sunsched.plan.plan import Plan
from sunsched.whatif.alternatives.distance import Distance, distance
from sunsched.whatif.alternatives.traits import TraitKind, main_shots, traits_of_plan


def differences(plan: Plan, other: Plan) -> Iterator[str]:
    """Say in what another plan differs: what comes first, spots, sides of the meal, what is made.

    How many shots stand elsewhere is said by `distance_text`.
    """
    was, now = traits_of_plan(plan), traits_of_plan(other)
    made, order = ([one.shot.id for one in side.shots] for side in (plan, other))
    new = now - was
    if any(one.kind is TraitKind.FIRST for one in new):
        before = _first_main(plan)
        yield f"{_first_main(other)} first{f' instead of {before}' if before else ''}"
    reached = dict.fromkeys(one.shot.spot for one in other.shots)
    turned = [one for one in new if one.kind is TraitKind.SPOTS and one.other in reached]
    places = list(reached)
    for one in sorted(turned, key=lambda pair: (places.index(pair.subject), pair.other)):
        yield f"{one.subject} before {one.other}"
    for kind, where in (
        (TraitKind.BEFORE_MEAL, "before the meal"),
        (TraitKind.AFTER_MEAL, "after the meal"),
    ):
        moved = [one.subject for one in new if one.kind is kind and one.subject in made]
        if moved:
            yield f"{listed(sorted(moved, key=order.index), 'and')} {where}"
    for shot in made:
        if shot not in order:
            yield f"{shot} is left out"
    for shot in order:
        if shot not in made:
            yield f"{shot} is made"
    yield from _meal_moved(plan, other)


def distance_of(plan: Plan, other: Plan) -> Distance:
    """Give how far the order of another plan is from that of this one."""
    here, there = ([one.shot.id for one in side.shots] for side in (plan, other))
    return distance(here, there)


def distance_text(away: Distance) -> str:
    """Say how far an order is from another."""
    if not away.turned:
        return f"the order of the {away.shots} shots stays" if away.shots else "no shot is in both"
    change = "changes" if away.moved == 1 else "change"
    return (
        f"{away.moved} of {away.shots} shots {change} place, "
        f"{away.turned} of {away.pairs} pairs turned round"
    )


def _first_main(plan: Plan) -> str:
    """Give the first main shot that a plan makes, empty for none."""
    main = {shot.id for shot in main_shots(plan.day)}
    return next((one.shot.id for one in plan.shots if one.shot.id in main), "")


def _meal_moved(plan: Plan, other: Plan) -> Iterator[str]:
    if plan.meal is None or other.meal is None:
        if other.meal is not None:
            yield f"a meal at {clock(other.day, other.meal.start)}"
        elif plan.meal is not None:
            yield "no meal"
        return
    later = round((other.meal.start - plan.meal.start).total_seconds() / 60)
    if later:
        yield f"the meal {abs(later)} min {'later' if later > 0 else 'earlier'}"
