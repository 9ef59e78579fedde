"""What stands under a plan: the first useful light, and the sun in a frame."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from builders import a_day, a_shot, at

from sunsched.day.wish import Band, SunSide, Wish
from sunsched.folder.read import read_day
from sunsched.light.fit import HALF, fit_day
from sunsched.show.notes import notes
from sunsched.solver.solve import make_plan

DATA = Path(__file__).parents[2] / "data"


def a_plan(look_deg, **shot):
    """Plan one pinned shot of thirty minutes."""
    return make_plan(a_day(a_shot("1", pin=at("7:00"), look_deg=look_deg, **shot)))


@pytest.mark.parametrize(
    ("off_deg", "lens_mm", "told"),
    [
        (13.5, 50.0, "within the width of"),
        (-13.5, 50.0, "within the width of"),
        (14.5, 50.0, "within 5° of"),
        (-18.5, 50.0, "within 5° of"),
        (19.5, 50.0, ""),
        (19.5, 18.0, "within the width of"),
        (13.5, None, ""),
    ],
)
def test_the_sun_in_a_frame_is_said(off_deg, lens_mm, told):
    """A 50 mm lens on 24.9 mm sees 28.0° wide: 2 arctan(24.9 / 100), a pinhole's geometry."""
    sun_deg = a_plan(0.0).shots[0].sun_azimuth_deg
    found = [text for text in notes(a_plan(sun_deg - off_deg, lens_mm=lens_mm)) if "frame" in text]
    assert len(found) == bool(told)
    assert all(f"the sun stands {told} the frame of 1 (" in text for text in found)


def test_no_sun_stands_in_a_frame_of_the_night():
    """Below the horizon it is in nobody's eyes."""
    dusk = Wish(side=SunSide.DUSK, elevation=Band(low_deg=-6.0, high_deg=-0.9, give_deg=1.0))
    plan = make_plan(
        a_day(a_shot("1", wish=dusk, look_deg=294.0, lens_mm=18.0, pin=at("18:12"), shoot_min=5))
    )
    assert plan.shots[0].sun_elevation_deg < 0.0
    assert not any("frame" in text for text in notes(plan))


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


def test_light_at_the_call_is_no_news(ferry):
    """Also where the first roll is half an hour later: the light is older than that."""
    assert ferry.day.hours.first_roll - ferry.day.hours.crew_call >= timedelta(minutes=30)
    assert not any("first useful light" in text for text in notes(ferry))
