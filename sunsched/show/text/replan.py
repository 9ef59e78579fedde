"""The rest of a day planned anew, as text that can be read and argued on set in two minutes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.day.past import Past
from sunsched.folder.text import words
from sunsched.plan.plan import Plan
from sunsched.show.agenda import Line, LineKind, State, day_lines, last_start_text, state_of
from sunsched.show.cautions import caution_texts
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.notes import light_notes
from sunsched.show.text.crew import COST_NAMES, NONE, duration
from sunsched.show.text.headlines.rest import planned_rest_headline
from sunsched.show.text.past import past_texts
from sunsched.underway.at_risk import SOON
from sunsched.whatif.replan.choices import Choice
from sunsched.whatif.replan.losses import Loss, find_gains
from sunsched.whatif.replan.replan import Replan

WIDTH = 80
REST_HEADER = ("time", "id", "what", "size", "spot", "light", "last start")
NAMED = 4  # ids that a cell of the choices holds


def replan_text(found: Replan, shown: str, *, follows: int, width: int = WIDTH) -> str:
    """Lay out the choices, then what the shown one changes and loses, and the day as it goes on.

    Parameters
    ----------
    found : the rest of the day
    shown : `best`, `push` or `drop`, which must be there
    follows : number of the saved plan that was followed
    """
    day, past, choices = found.day, found.past, choices_by_name(found)
    choice = choices[shown]
    lines = [*heading(day, width), ""]
    for text in past_texts(day):
        lines += wrapped(text, width)
    if not found.coming:
        return "\n".join([*lines, "", *_nothing_left(found, width)])
    header = ("", *(_column(name, one) for name, one in choices.items()))
    rows = [*_choice_rows(day, past, list(choices.values()))]
    lines += ["", *wrapped(planned_rest_headline(found, shown, choice, follows), width)]
    lines += ["", *table(header, rows, width, flexible=None), ""]
    for text in _between(found, follows):
        lines += wrapped(text, width)
    lines += ["", *_against(found, shown, choice, follows, width), ""]
    lines += table(REST_HEADER, [*_rest_rows(choice.plan, past)], width, flexible=2)
    lines.append("")
    for text in (*light_notes(choice.plan), *_risks(found, choice), *caution_texts(choice.plan)):
        lines += wrapped(text, width)
    return "\n".join(lines)


def choices_by_name(found: Replan) -> dict[str, Choice]:
    """Give the choices that there are by the word that takes them."""
    named = {"best": found.best, "push": found.push, "drop": found.drop_one}
    return {name: choice for name, choice in named.items() if choice is not None}


def _column(name: str, choice: Choice) -> str:
    return name if choice.dropped is None else f"{name} {choice.dropped.id}"


def _nothing_left(found: Replan, width: int) -> Iterator[str]:
    plan, crew = found.best.plan, found.best.crew
    kept = f"light kept {plan.light_kept:.1%}, {plan.points} points"
    ends = "" if crew.wrap is None else f", the last roll ends at {clock(plan.day, crew.wrap)}"
    yield from wrapped(f"nothing is left to shoot: {kept}{ends}", width)


def _choice_rows(day: Day, past: Past, choices: list[Choice]) -> Iterator[tuple[str, ...]]:
    """Yield what each choice keeps, and what an assistant director counts of it."""
    crews = [choice.crew for choice in choices]
    yield ("light kept", *(f"{one.plan.light_kept:.1%}" for one in choices))
    yield ("points", *(f"{one.plan.points}" for one in choices))
    yield ("pairs turned round", *(_turned(one) for one in choices))
    yield ("left out", *(_left_out(one) for one in choices))
    yield ("last roll ends", *(_clock(day, crew.wrap) for crew in crews))
    yield ("overtime", *(duration(crew.overtime_min) for crew in crews))
    yield ("lunch", *(_clock(day, crew.meal_start) for crew in crews))
    yield ("company moves", *(f"{crew.moves}" for crew in crews))
    yield ("rig changes", *(f"{crew.rig_changes}" for crew in crews))
    yield ("built, waiting for light", *(duration(crew.waiting_min) for crew in crews))
    yield ("idle, nothing to build", *(duration(crew.idle_min) for crew in crews))
    for name in dict.fromkeys(member.name for crew in crews for member in crew.cast):
        ends = [
            next((one.last_release for one in crew.cast if one.name == name), None)
            for crew in crews
        ]
        if any(end is not None and end > past.at for end in ends):
            yield (f"{name} released", *(_clock(day, end) for end in ends))


def _turned(choice: Choice) -> str:
    return f"{choice.turned}, −{choice.turned_points} points" if choice.turned else "0"


def _left_out(choice: Choice) -> str:
    cut = choice.plan.day.cut_ids
    ids = [left.shot.id for left in choice.plan.left_out if left.shot.id not in cut]
    if len(ids) > NAMED:
        return f"{len(ids)} shots"
    return ", ".join(ids) or NONE


def _between(found: Replan, follows: int) -> Iterator[str]:
    """Say what tells the choices apart, and how sure the best one is."""
    best, push, drop_one = found.best, found.push, found.drop_one
    plan = best.plan
    turned = f"pairs turned round against revision {follows} paid for"
    if plan.status == "proven":
        yield f"best: proven, nothing is worth more, {turned}"
    else:
        yield f"best: not proven, others may be worth {plan.bound - plan.points} more, {turned}"
    if push is None:
        yield f"push: what must be made cannot be in the order of revision {follows}"
    elif push.plan.timetable == best.plan.timetable:
        yield "push: the same as best"
    else:
        yield (
            f"push: the order of revision {follows}, worth {best.worth - push.worth} points less: "
            f"{_account(best, push)}"
        )
    if push is not None and drop_one is not None and drop_one.dropped is not None:
        yield _drop_text(push, drop_one, drop_one.dropped)


def _account(best: Choice, push: Choice) -> str:
    """Say of each kind of points what the push has more or less of than the best."""
    scores = (push.plan.score, best.plan.score)
    one, other = ({name: getattr(score, name) for name in COST_NAMES} for score in scores)
    gained = {name: other[key] - one[key] for key, name in COST_NAMES.items()}
    shots = [sum(score.light.values()) - sum(score.left_out.values()) for score in scores]
    drift = [sum(score.match.values()) for score in scores]
    gained = {"shots": shots[0] - shots[1], "drift in matches": drift[1] - drift[0], **gained}
    gained["pairs turned round"] = best.turned_points - push.turned_points
    return ", ".join(
        f"{'+' if points > 0 else '−'}{abs(points)} {name}"
        for name, points in gained.items()
        if points
    )


def _drop_text(push: Choice, drop_one: Choice, shot: Shot) -> str:
    """Say what dropping a shot from the push wins, or that it wins nothing."""
    what = f"{shot.size}, weight {shot.weight:g}"
    won = drop_one.plan.points - push.plan.points
    if won <= 0:
        said = f"no shot is worth dropping; the cheapest is {shot.id} ({what})"
        return f"drop: {said}, {-won} points below push"
    gains = find_gains(push, drop_one)
    lets = [f"shot {one.shot_id}: {one.before:.0%} to {one.now:.0%}" for one in gains]
    texts = [f"better light for {words.listed(lets, 'and')}"] if lets else []
    over = push.crew.overtime_min - drop_one.crew.overtime_min
    if over > 0:
        texts.append(f"{over} min less overtime")
    why = f": {', '.join(texts)}" if texts else ""
    return f"drop: without {shot.id} ({what}) the push is worth {won} points more{why}"


def _against(found: Replan, shown: str, choice: Choice, follows: int, width: int) -> Iterator[str]:
    """Say what the choice changes of the plan that was followed, and what is lost."""
    changes, losses = found.changes(choice), found.lost(choice)
    if changes:
        yield from wrapped(f"{shown} against revision {follows}:", width)
    else:
        yield from wrapped(f"{shown} changes nothing: revision {follows} stands", width)
    for text in changes:
        yield from wrapped(f"- {text}", width)
    if losses:
        yield from wrapped(f"lost against revision {follows}:", width)
    for one in losses:
        yield from wrapped(f"- {_loss_text(one)}", width)


def _loss_text(one: Loss) -> str:
    if one.now is None:
        return f"{one.shot_id} is not made ({one.points} points): {one.why}"
    now = f"{one.now:.0%}"
    was = now if one.before is None else f"{one.before:.0%}"
    has = f"{one.shot_id} has {now} of its light" + (f", not {was}" if was != now else "")
    return f"{has} ({one.points} points): {one.lost_to if was != now and one.lost_to else one.why}"


def _rest_rows(plan: Plan, past: Past) -> Iterator[tuple[str, ...] | str]:
    """Yield the lines of the day that go on at the moment or come after it."""
    for line in day_lines(plan):
        if line.kind not in (LineKind.CALL, LineKind.NOW) and line.end > past.at:
            yield _rest_row(plan, line)


def _rest_row(plan: Plan, line: Line) -> tuple[str, ...] | str:
    day = plan.day
    start, end = clock(day, line.start), clock(day, line.end)
    if line.kind is LineKind.MEAL:
        return f"{start}–{end}  {line.text}"
    if line.kind in (LineKind.MOVE, LineKind.WAIT):
        return f"{start}  {round((line.end - line.start) / timedelta(minutes=1))} min, {line.text}"
    if line.planned is None:
        return f"{start}  {line.text}"
    shot = line.planned.shot
    return (
        f"{start}–{end}",
        shot.id,
        shot.description,
        shot.size,
        shot.spot,
        f"{line.planned.fit:.0%}",
        last_start_text(plan, line.planned),
    )


def _risks(found: Replan, choice: Choice) -> Iterator[str]:
    """Name what must start within the hour, and what rolls in it with its light lost."""
    day, soon = found.day, found.past.at + SOON
    texts = [
        f"{one.shot_id} rolls at {clock(day, one.roll_start)}, at the latest at "
        f"{clock(day, one.last_start)}: "
        + (f"{one.slack_min} min of slack" if one.slack_min > 0 else "no slack")
        + (f", for {one.limited_by} behind it" if one.limited_by != one.shot_id else "")
        for one in found.at_risk(choice)
    ]
    texts += [
        f"{one.shot.id} rolls at {clock(day, one.roll_start)} with {one.fit:.0%} of its light"
        for one in choice.plan.shots
        if state_of(choice.plan, one) is State.COMING
        and one.last_start is None
        and one.roll_start <= soon
    ]
    if not texts:
        yield f"nothing is at risk by {clock(day, soon)}"
        return
    yield f"at risk by {clock(day, soon)}:"
    yield from (f"- {text}" for text in texts)


def _clock(day: Day, when: datetime | None) -> str:
    return NONE if when is None else clock(day, when)
