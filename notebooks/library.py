# ---
# jupyter:
#   jupytext:
#     text_representation:
#       extension: .py
#       format_name: percent
#   kernelspec:
#     display_name: Python 3
#     language: python
#     name: python3
# ---

# %% [markdown]
# # What can be asked of a day from Python?
#
# All that the commands do, as data: a day by hand or from a data frame, its plan, what a decision
# costs, the rest of a day that runs late, each result as a data frame and as a picture on axes of
# one's own. Every public name stands in `sunsched.__all__`; `help(sunsched.price)` and its like
# say what a function takes and gives, with an example.

# %%
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import BytesIO

import pandas as pd
from IPython.display import Image, display
from matplotlib.figure import Figure

import sunsched
from sunsched.day.model import Hours, Meal, Place, Size, Spot
from sunsched.day.wish import SunSide, Wish


def at(hour: int, minute: int = 0) -> datetime:
    """Give a time of the day in UTC: every moment of a day by hand is."""
    return datetime(2027, 6, 9, hour, minute, tzinfo=UTC)


# %% [markdown]
# ## A day by hand
#
# A day and all of its parts are frozen dataclasses.

# %%
gate = sunsched.Shot(
    id="1",
    description="The gate",
    size=Size.WIDE,
    spot="yard",
    look_deg=270.0,
    wish=Wish(side=SunSide.BACK),
    setup_min=25,
    adjust_min=15,
    shoot_min=30,
    weight=5,
)
key = replace(
    gate, id="2", description="A key", size=Size.INSERT, wish=Wish(), shoot_min=15, weight=1
)
by_hand = sunsched.Day(
    title="A gate",
    date=date(2027, 6, 9),
    place=Place(
        name="Lisbon",
        latitude_deg=38.7,
        longitude_deg=-9.1,
        elevation_m=0.0,
        timezone="Europe/Lisbon",
    ),
    hours=Hours(crew_call=at(8), first_roll=at(8), wrap=at(18), hard_wrap=at(18)),
    meal=Meal(earliest=at(11), latest=at(14), length_min=60),
    spots=(Spot(name="yard"),),
    shots=(gate, key),
)
sunsched.check_day(by_hand)  # whatever takes a day does this too

# %% [markdown]
# What no folder could hold is refused, every fault at once.

# %%
wrong = replace(by_hand, shots=(replace(gate, after=("9",), shoot_min=-5), key))
try:
    sunsched.make_plan(wrong)
except sunsched.FolderError as error:
    refused = error.faults
    print(error)

# %% [markdown]
# ## A day from a data frame
#
# The columns are those of `shots.csv`, the mapping is `day.toml`. `sunsched.read_day` reads a
# folder of both. The day used from here on is small and comes with the package.

# %%
shots = pd.DataFrame(
    {
        "id": ["1", "2"],
        "description": ["The gate", "A key"],
        "size": ["wide", "insert"],
        "look": ["W", "W"],
        "sun": ["back", None],
        "shoot_min": [30, 15],
    }
)
settings = {
    "title": "A gate",
    "date": "2027-06-09",
    "place": {"latitude_deg": 38.7, "longitude_deg": -9.1, "timezone": "Europe/Lisbon"},
    "hours": {"crew_call": "09:00", "wrap": "19:00"},
}
from_frame = sunsched.day_from_frame(shots, settings)
day = sunsched.example_day()

# %% [markdown]
# ## A plan
#
# `progress` is told how far the solve has come. `solve_day` keeps what the solver learnt, so that
# each price after it costs a fraction; where only the plan is wanted, `make_plan` gives it.

# %%
seen: list[sunsched.Progress] = []
solved = sunsched.solve_day(day, progress=seen.append)
plan = solved.plan
print(f"{plan.status}: {plan.points} points, told {len(seen)} times, last gap {seen[-1].gap:.1%}")
sunsched.to_frame(plan)[["id", "description", "roll_start_local", "light_percent", "points"]]

# %% [markdown]
# ## Prices
#
# A decision is read as people say it, and priced against the best plan.

# %%
decision = sunsched.read_decision(day, sunsched.Asked(shots=["1"], at=["12:00"]))
price = sunsched.price(solved, decision)
print(price.decision, "costs", price.points_lost, "points")
table = sunsched.price_table(solved)
rules = sunsched.to_frame(sunsched.rule_prices(solved))
sunsched.to_frame(price)

# %% [markdown]
# ## A day that runs late
#
# Half an hour is lost as the second shot should begin.

# %%
late = sunsched.replan(
    day, (), plan.timetable, at=plan.shots[0].roll_start - timedelta(minutes=5), late_min=30
)
sunsched.to_frame(late)

# %% [markdown]
# ## Pictures on axes of one's own
#
# Each `draw_…` takes axes, or makes them, and gives them back.

# %%
figure = Figure(figsize=(14, 11), layout="constrained")
corners = figure.subplots(2, 2)
sunsched.draw_day(plan, corners[0, 0])
sunsched.draw_price_table(table, corners[0, 1])
sunsched.draw_stress(sunsched.stress(solved.fit, plan.timetable, days=1000), corners[1, 0])
sunsched.draw_wrap_curve(day, sunsched.wrap_curve(solved), corners[1, 1])
picture = BytesIO()
figure.savefig(picture, format="png", dpi=90)
display(Image(picture.getvalue()))

# %% [markdown]
# **All that the commands do.** By hand and from a frame it is the same list, every fault is told at
# once, and the figures of frames are those of the results.

# %%
assert {fault.column for fault in refused} == {"after", "shoot_min"}
assert [shot.setup_min for shot in from_frame.shots] == [25, 10]
assert sunsched.make_plan(by_hand).status == "proven"
assert seen[-1].points <= plan.points <= seen[-1].bound
assert sunsched.to_frame(price)["points_lost"].sum() == price.points_lost > 0
assert late.best.plan.points <= plan.points
