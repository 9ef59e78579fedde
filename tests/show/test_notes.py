"""What stands under a plan: the first useful light, shots in poor light, and what is unsure."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from builders import a_day, a_shot, at

from sunsched.day.past import Made, Past
from sunsched.folder.read import read_day
from sunsched.light.angles import TAIL
from sunsched.light.fit import HALF, fit_day
from sunsched.plan.outlook import SURE, Outlook, Prospect
from sunsched.show.notes import AVERAGE_NOTE, light_notes, notes, sheet_notes
from sunsched.solver.solve import make_plan

DATA = Path(__file__).parents[2] / "data"


@pytest.fixture(scope="module")
def ferry():
    """Give the plan of a demo day."""
    return make_plan(read_day(DATA / "ferry-light"), limit_s=3)


@pytest.mark.parametrize("earlier_min", [60, 90])
def test_the_first_useful_light_is_told_to_a_crew_that_is_called_before_it(ferry, earlier_min):
    """No shot that asks for the sun has half its light in any minute between."""
    day = ferry.day
    call = day.hours.crew_call - timedelta(minutes=earlier_min)
    day = replace(day, hours=replace(day.hours, crew_call=call))
    fit = fit_day(day)
    plan = replace(ferry, fit=fit)
    (text,) = [text for text in notes(plan) if text.startswith("the first useful light")]
    asking = [shot.id for shot in day.shots if not shot.wish.asks_nothing]
    first = fit.minute_of(call)
    useful = {
        shot: next(
            minute
            for minute in range(first, len(fit.track))
            if fit.shots[shot].by_itself[minute] >= HALF
        )
        for shot in asking
    }
    minute = min(useful.values())
    local = fit.time_of(minute).astimezone(day.place.zone)
    whose = ", ".join(shot for shot in asking if useful[shot] == minute)
    assert text == f"the first useful light is {local:%H:%M}, for {whose}"
    assert fit.time_of(minute) < day.hours.first_roll
    begun = replace(day, past=Past(at=call, free_at=call))
    under_way = replace(plan, fit=replace(fit, day=begun))
    assert told(under_way, "the first useful light") == []


def test_light_at_the_call_is_no_news(ferry):
    """Also where the first roll is half an hour later: the light is older than that."""
    assert ferry.day.hours.first_roll - ferry.day.hours.crew_call >= timedelta(minutes=30)
    assert not any("first useful light" in text for text in notes(ferry))


@pytest.fixture(scope="module")
def three():
    """Give a plan of three shots, the last of them after a move, begun at ten past six."""
    plan = make_plan(a_day(a_shot("1"), a_shot("2"), a_shot("3", spot="mill")))
    start = at("6:14")
    return replace(plan, shots=(replace(plan.shots[0], changeover_start=start), *plan.shots[1:]))


def told(plan, start):
    """Give the notes that begin like this."""
    return [text for text in notes(plan) if text.startswith(start)]


def test_moves_and_overtime_are_counted(three):
    """Overtime is that of the last roll, past the wrap; a day that ends early has none."""
    moves = sum(bool(one.move_min) for one in three.shots)
    assert moves == 1
    assert told(three, "company moves") == ["company moves: 1; overtime: 0 min"]
    late = replace(three.shots[-1], roll_end=at("19:07"))
    plan = replace(three, shots=(*three.shots[:-1], late))
    assert told(plan, "company moves") == ["company moves: 1; overtime: 7 min"]
    assert told(replace(three, shots=()), "company") == ["company moves: 0; overtime: 0 min"]


def test_a_call_long_before_the_work_says_what_a_later_one_wins(three):
    """From a quarter of an hour on; not of a day under way."""
    assert told(three, "nothing is begun") == []
    idle = replace(three.shots[0], changeover_start=at("6:15"))
    plan = replace(three, shots=(idle, *three.shots[1:]))
    assert told(plan, "nothing is begun") == ["nothing is begun until 15 min after the call"]
    (text,) = told(plan, "a call at")
    points = 15 * three.day.costs.wait
    assert text == f"a call at 06:15 would win {points} points of waiting"
    begun = replace(three.day, past=Past(at=at("6:20"), free_at=at("6:20")))
    assert told(replace(plan, fit=replace(plan.fit, day=begun)), "nothing is begun") == []


@pytest.mark.parametrize(("fit", "what"), [(TAIL, "none"), (TAIL + 0.01, "half"), (HALF, "")])
def test_light_that_is_lost_is_named(three, fit, what):
    """None of it at all, or less than half; a shot that is made is named no more."""
    shots = (replace(three.shots[0], fit=fit), *(replace(one, fit=1.0) for one in three.shots[1:]))
    own = three.fit.shots["1"]
    dark = {**three.fit.shots, "1": replace(own, mean=np.zeros_like(own.mean))}
    plan = replace(three, shots=shots, fit=replace(three.fit, shots=dark))
    found = list(light_notes(plan))
    begins = {"none": "with none of the light", "half": "with less than half their light: 1"}
    assert [text.startswith(begins[what]) for text in found] == ([True] if what else [])
    made = Made(
        shot_id="1", changeover_start=at("6:14"), roll_start=at("6:40"), roll_end=at("7:10")
    )
    begun = replace(three.day, past=Past(at=at("7:10"), free_at=at("7:10"), made=(made,)))
    assert list(light_notes(replace(plan, fit=replace(plan.fit, day=begun)))) == []


def test_light_that_others_take_is_told_apart(three):
    """With the times at which it could roll in half its light; nobody is told to cut it."""
    own = three.fit.shots["1"]
    mean, lit = np.zeros_like(own.mean), three.fit.minute_of(at("8:00"))
    mean[lit : lit + 11] = HALF
    fit = replace(three.fit, shots={**three.fit.shots, "1": replace(own, mean=mean)})
    shots = (replace(three.shots[0], fit=0.0), *(replace(one, fit=1.0) for one in three.shots[1:]))
    (text,) = light_notes(replace(three, shots=shots, fit=fit))
    minutes = three.shots[0].shot.shoot_min
    assert text == (
        "with none of their light, as others take it while it is there: 1 "
        f"(08:00–08:{10 + minutes})"
    )


def test_what_makes_light_flat_is_named_beside_whose_it_is(three):
    """Each cause with its own shots."""
    flats = ("under clouds", "in the shade", "")
    shots = tuple(
        replace(one, fit=0.3, flat=flat) for one, flat in zip(three.shots, flats, strict=True)
    )
    ids = [one.shot.id for one in three.shots]
    (text,) = light_notes(replace(three, shots=shots))
    assert text == (
        f"with less than half their light: {', '.join(ids)}; "
        f"flat in the shade: {ids[1]}; flat under clouds: {ids[0]}"
    )


def test_shots_that_nobody_can_be_sure_of_are_named(three):
    """Those below the chance, and no other; a sheet says then what its times are."""
    prospects = tuple(
        Prospect(
            shot_id=shot_id,
            made=made,
            half=made,
            light=made,
            on_pin=None,
            rolls=None,
            not_before=None,
            begin_by=None,
        )
        for shot_id, made in (("1", SURE), ("2", SURE - 0.01), ("3", 1.0))
    )
    outlook = Outlook(points=1, bound=None, light_kept=1.0, prospects=prospects)
    plan = replace(three, outlook=outlook)
    assert told(plan, "made on fewer") == ["made on fewer than 85% of the days: 2 (84%)"]
    assert told(three, "made on fewer") == []
    assert sheet_notes(plan)[0] == AVERAGE_NOTE
    assert sheet_notes(three) == notes(three)


def test_a_meal_whose_time_has_gone_by_is_told(three):
    """With the time at which it was to begin at the latest."""
    past = Past(at=at("12:30"), free_at=at("12:30"), meal_due=at("12:00"))
    begun = replace(three.day, past=past)
    plan = replace(three, fit=replace(three.fit, day=begun))
    assert told(plan, "the meal was to begin") == ["the meal was to begin by 12:00"]
    assert told(three, "the meal was") == []
