"""The rest of a day planned anew for the average day, as text to argue on set in two minutes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from sunsched.average.plan import HARDLY
from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.folder.text import words
from sunsched.show.cautions import caution_texts
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.notes import light_notes
from sunsched.show.prospects import chance as percent
from sunsched.show.text.average_day.plan import HEADER, NOTE, doubts, likely_rows, risk_text
from sunsched.show.text.crew import NONE, duration
from sunsched.show.text.headlines.rest import rest_headline
from sunsched.show.text.past import past_texts
from sunsched.underway.at_risk import SOON
from sunsched.whatif.replan.average import AverageChoice, AverageReplan
from sunsched.whatif.replan.shifts import TOLD, Due, Shift, due_soon, find_shifts

WIDTH = 80
NAMED = 4  # ids that a cell of the choices holds
TOLD_SHARE = 0.001  # of the points: a smaller gap to the bound is told in points alone
ARGUED = 3  # shots that are named for and against a choice


def replan_average_text(
    found: AverageReplan, shown: str, *, follows: int, width: int = WIDTH
) -> str:
    """Lay out the choices, then what the shown one changes and loses, and the day as it goes on.

    Parameters
    ----------
    found : the rest of the day
    shown : `best`, `push` or `drop`, which must be there
    follows : number of the saved plan that was followed
    """
    day, at, choices = found.day, found.at, average_choices(found)
    choice = choices[shown]
    lines = [*heading(day, width), ""]
    for text in past_texts(day):
        lines += wrapped(text, width)
    if found.collision:
        lines += wrapped(f"if every minute holds, {found.collision}", width)
    if not found.planned.coming:
        return "\n".join([*lines, "", *wrapped(_nothing_left(found), width)])
    header = ("", *(_column(name, one) for name, one in choices.items()))
    rows = [*_choice_rows(found, [*choices.values()], follows)]
    lines += ["", *wrapped(rest_headline(found, shown, choice, follows), width)]
    lines += ["", *table(header, rows, width, flexible=None), ""]
    for text in _between(found, follows):
        lines += wrapped(text, width)
    lines += ["", *_against(found, shown, choice, follows, width), ""]
    lines += table(HEADER, [*likely_rows(choice.plan, at)], width, flexible=2)
    lines.append("")
    risky = (risk_text(risk) for risk in choice.plan.risks)
    for text in (
        *doubts(choice.plan),
        *risky,
        *light_notes(choice.plan.likely),
        *caution_texts(choice.plan.likely),
    ):
        lines += wrapped(text, width)
    for text in _soon(day, at, due_soon(choice.plan, at)):
        lines += wrapped(text, width)
    lines += ["", *wrapped(NOTE, width, indent=0)]
    return "\n".join(lines)


def average_choices(found: AverageReplan) -> dict[str, AverageChoice]:
    """Give the choices that there are by the word that takes them."""
    named = {"best": found.best, "push": found.push, "drop": found.drop_one}
    return {name: choice for name, choice in named.items() if choice is not None}


def _column(name: str, choice: AverageChoice) -> str:
    return name if choice.dropped is None else f"{name} {choice.dropped.id}"


def _nothing_left(found: AverageReplan) -> str:
    plan, wrap = found.best.plan, found.best.crew.wrap
    kept = f"light kept {plan.light_kept:.1%}, {plan.points} points"
    ends = "" if wrap is None else f", the last roll ends at {clock(found.day, wrap)}"
    return f"nothing is left to shoot: {kept}{ends}"


def _choice_rows(
    found: AverageReplan, choices: Sequence[AverageChoice], follows: int
) -> Iterator[tuple[str, ...]]:
    """Yield what each choice keeps, and what an assistant director counts of its likely day."""
    day = found.day
    later = [found.later_min(one) for one in choices]
    yield ("light kept, average day", *(f"{one.plan.light_kept:.1%}" for one in choices))
    yield ("likely last roll ends", *(_clock(day, one.crew.wrap) for one in choices))
    yield (f"ends against revision {follows}", *(_later(one) for one in later))
    yield ("overtime", *(duration(one.crew.overtime_min) for one in choices))
    yield ("lunch", *(_clock(day, one.crew.meal_start) for one in choices))
    yield ("company moves", *(f"{one.crew.moves}" for one in choices))
    yield ("pairs turned round", *(_turned(one) for one in choices))
    yield ("not on the likely day", *(_left_out(one) for one in choices))
    yield ("points", *(f"{one.plan.points}" for one in choices))


def _turned(choice: AverageChoice) -> str:
    return f"{choice.turned}, −{choice.turned_points} points" if choice.turned else "0"


def _left_out(choice: AverageChoice) -> str:
    cut = choice.plan.likely.day.cut_ids
    ids = [left.shot.id for left in choice.plan.likely.left_out if left.shot.id not in cut]
    if len(ids) > NAMED:
        return f"{len(ids)} shots"
    return ", ".join(ids) or NONE


def _between(found: AverageReplan, follows: int) -> Iterator[str]:
    """Say how much better any way could be, and what tells the choices apart."""
    best, push, drop_one = found.best, found.push, found.drop_one
    bound, own = best.plan.bound, best.plan.points
    if bound is None:
        yield "best: there was no time to say how much more another way could be worth"
    elif bound <= own:
        yield "best: no way of shooting the rest is worth more"
    else:
        share = (bound - own) / max(1, own)
        more = f" ({share:.1%} more)" if own > 0 and share >= TOLD_SHARE else ""
        yield (
            f"best: no way of shooting the rest is worth more than {bound} points{more}, not even "
            "one that decides anew at every moment"
        )
    if push is best:
        yield f"push: the same as best, the order of revision {follows}"
    else:
        less = best.worth - push.worth
        points = f"{less} points less" if less >= 0 else f"{-less} points more, its pins kept less"
        paid = f" ({best.turned_points} for pairs turned round paid)" if best.turned else ""
        told = _argued(find_shifts(best.plan, push.plan))
        yield f"push: the order of revision {follows}, worth {points}{paid}{told}"
    if drop_one is not None and drop_one.dropped is not None:
        yield _drop_text(push, drop_one, drop_one.dropped)


def _drop_text(push: AverageChoice, drop_one: AverageChoice, shot: Shot) -> str:
    """Say what leaving a shot out of the push from the first wins or costs, and who gains by it."""
    won = drop_one.plan.points - push.plan.points
    told = [one for one in find_shifts(push.plan, drop_one.plan) if one.shot.id != shot.id]
    worth = f"{won} points more"
    what = f"{shot.id} ({shot.size}, weight {shot.weight:g})"
    if won <= 0:
        costs = f"which costs {-won} points" if won else "which costs nothing"
        name = f"{shot.id} ({shot.size}, weight {shot.weight:g})"
        return f"drop: no shot is worth dropping; the cheapest is {name}, {costs}{_argued(told)}"
    return f"drop: without {what} the push is worth {worth}{_argued(told)}"


def _argued(shifts: Sequence[Shift]) -> str:
    """Name the shots that a choice keeps less of than another, then those that it keeps more of."""
    told = [one for one in shifts if abs(one.now.light - one.before.light) >= TOLD]
    worse = [one for one in reversed(told) if one.points < 0][:ARGUED]
    better = [one for one in told if one.points > 0][:ARGUED]
    parts = [words.listed([_shift_text(one) for one in side], "and") for side in (worse, better)]
    said = "; but ".join(part for part in parts if part)
    return f": {said}" if said else ""


def _shift_text(one: Shift) -> str:
    """Say the chance of a shot where that has changed, else its light."""
    if abs(one.now.made - one.before.made) >= TOLD:
        before, now = percent(one.before.made), percent(one.now.made)
        return f"{one.shot.id} is made on {now} of the days, not {before}"
    before, now = percent(one.before.light), percent(one.now.light)
    return f"{one.shot.id} keeps {now} of its light, not {before}"


def _against(
    found: AverageReplan, shown: str, choice: AverageChoice, follows: int, width: int
) -> Iterator[str]:
    """Say what the choice changes of the order that was followed, and what is lost."""
    changes, losses = found.changes(choice), found.lost(choice)
    if changes:
        yield from wrapped(f"{shown} against revision {follows}, by likely times:", width)
    else:
        yield from wrapped(f"{shown} changes nothing: revision {follows} stands", width)
    for text in changes:
        yield from wrapped(f"- {text}", width)
    if losses:
        yield from wrapped(f"lost against revision {follows}, as it was planned:", width)
    for text in _loss_texts(found.day, losses):
        yield from wrapped(f"- {text}", width)


def _loss_texts(day: Day, losses: Sequence[Shift]) -> Iterator[str]:
    """Say what each shot loses; those that are hardly made any more are named together."""
    cut = day.cut_ids
    gone = [one for one in losses if one.now.made < HARDLY and one.shot.id not in cut]
    if gone:
        each = [f"{one.shot.id} (was {percent(one.before.made)})" for one in gone]
        yield f"hardly made any more: {', '.join(each)}"
    for one in losses:
        if one not in gone:
            yield _loss_text(day, one)


def _loss_text(day: Day, one: Shift) -> str:
    name, past = one.shot.id, day.past
    now, before = percent(one.now.light), percent(one.before.light)
    if name in day.cut_ids:
        return f"{name} is cut; it was made on {percent(one.before.made)} of the days"
    if past is not None and any(made.shot_id == name for made in past.made):
        return f"{name} has rolled with {now} of its light, {before} was likely"
    if abs(one.now.made - one.before.made) < TOLD:
        return f"{name} keeps {now} of its light, was {before}"
    made = f"made on {percent(one.now.made)} of the days, was {percent(one.before.made)}"
    return f"{name} is {made}: {now} of its light, was {before}"


def _soon(day: Day, at: datetime, found: Sequence[Due]) -> Iterator[str]:
    """Say which changeovers must begin within the hour."""
    if found:
        yield f"has to begin by {clock(day, at + SOON)}, or is left out:"
    for one in found:
        likely = (
            "not on the likely day" if one.likely is None else f"likely {clock(day, one.likely)}"
        )
        yield f"- {one.shot.id} by {clock(day, one.begin_by)}, {likely}"


def _later(minutes: int | None) -> str:
    if minutes is None:
        return NONE
    if minutes == 0:
        return "the same"
    return f"{duration(abs(minutes))} {'later' if minutes > 0 else 'earlier'}"


def _clock(day: Day, when: datetime | None) -> str:
    return NONE if when is None else clock(day, when)
