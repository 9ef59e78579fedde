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
# # Do the shots that need no sun go to the high sun by themselves?
#
# No rule of sunsched says "inserts at noon". A wide loses light under a high sun (*top light*),
# frames make up for little of that, waiting costs points, and any light suits an insert that asks
# nothing. This notebook plans the demo day "The last lamp" and looks where its shots stand.

# %%
from datetime import timedelta
from io import BytesIO
from pathlib import Path

from IPython.display import Image, display
from matplotlib.dates import DateFormatter, HourLocator, MinuteLocator
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from sunsched import fit_day, make_plan, read_day
from sunsched.day.model import Size

day = read_day(Path("../data/last-lamp"))
plan = make_plan(day)
track = fit_day(day).track

for planned in plan.shots:
    start = planned.roll_start.astimezone(day.place.zone)
    print(
        f"{start:%H:%M}  {planned.sun_elevation_deg:3.0f}°  {planned.shot.id:>2}  "
        f"{planned.shot.size:9} {planned.shot.description}"
    )
print(f"light kept {plan.light_kept:.1%}, {plan.status}")

# %% [markdown]
# The line is the height of the sun. Below it stand the shots, as wide as they roll: the pattern
# tells the size, and a ring around its number marks a shot that asks nothing of the sun. From 45°
# up, light from above starts to cost every shot that wants the sun, but an insert.

# %%
LOOKS = {  # grey and hatch, so that sizes can be told apart on a black-and-white print
    Size.WIDE: ("0.25", ""),
    Size.FULL: ("0.55", "////"),
    Size.MEDIUM: ("0.72", "...."),
    Size.CLOSE_UP: ("0.86", "\\\\\\\\"),
    Size.INSERT: ("1.0", "---"),
}
HIGH_SUN_DEG = 45

figure = Figure(figsize=(11, 5.5), layout="constrained")
axes = figure.subplots()
times = [track.time_of(minute) for minute in range(len(track))]
axes.plot(times, track.apparent_elevation_deg, color="black", linewidth=1.5)
axes.axhline(HIGH_SUN_DEG, color="0.5", linestyle=":", linewidth=1)
axes.text(
    day.hours.hard_wrap,
    HIGH_SUN_DEG + 1,
    "light from above starts to cost",
    ha="right",
    color="0.35",
)

for planned in plan.shots:
    grey, hatch = LOOKS[planned.shot.size]
    minutes = range(track.minute_of(planned.roll_start), track.minute_of(planned.roll_end) + 1)
    heights = track.apparent_elevation_deg[minutes]
    axes.fill_between(
        [times[minute] for minute in minutes],
        heights,
        facecolor=grey,
        hatch=hatch,
        edgecolor="black",
    )
    middle = planned.roll_start + (planned.roll_end - planned.roll_start) / 2
    axes.annotate(
        planned.shot.id,
        (middle, heights.max()),
        xytext=(0, 8),
        textcoords="offset points",
        ha="center",
        fontweight="bold",
        bbox={
            "boxstyle": "circle,pad=0.25",
            "facecolor": "white",
            "edgecolor": "black" if planned.shot.wish.asks_nothing else "none",
        },
    )
if plan.meal is not None:
    axes.axvspan(plan.meal.start, plan.meal.end, color="0.93", zorder=0)
    axes.text(plan.meal.start + (plan.meal.end - plan.meal.start) / 2, 20, "meal", ha="center")

axes.set_title("Where the shots of “The last lamp” stand under the sun")
axes.set_ylabel("height of the sun")
axes.set_xlabel(f"{day.date:%d %B %Y}, local time of {day.place.timezone}")
axes.set_xlim(day.hours.crew_call, day.hours.hard_wrap + timedelta(minutes=15))
axes.set_ylim(0, 90)
axes.yaxis.set_major_formatter("{x:.0f}°")
axes.xaxis.set_major_locator(HourLocator(tz=day.place.zone))
axes.xaxis.set_minor_locator(MinuteLocator(byminute=[30], tz=day.place.zone))
axes.xaxis.set_major_formatter(DateFormatter("%H:%M", tz=day.place.zone))
axes.spines[["top", "right"]].set_visible(False)
axes.legend(
    handles=[
        *(
            Patch(facecolor=grey, hatch=hatch, edgecolor="black", label=str(size))
            for size, (grey, hatch) in LOOKS.items()
        ),
        Line2D(
            [],
            [],
            linestyle="",
            marker="o",
            markersize=13,
            markerfacecolor="white",
            markeredgecolor="black",
            label="asks nothing of the sun",
        ),
    ],
    loc="upper right",
    handlelength=3,
    handleheight=1.4,
    frameon=False,
)
picture = BytesIO()
figure.savefig(picture, format="png", dpi=110)
display(Image(picture.getvalue()))

# %% [markdown]
# **Yes.** Every shot that asks nothing of the sun rolls above 45°, and every wide below the lowest
# of them; the shot that is held for its sun rolls last, in the lowest sun of the afternoon.

# %%
unwished = [shot.sun_elevation_deg for shot in plan.shots if shot.shot.wish.asks_nothing]
wides = [shot.sun_elevation_deg for shot in plan.shots if shot.shot.size is Size.WIDE]
assert unwished
assert wides
assert min(unwished) > HIGH_SUN_DEG
assert max(wides) < min(unwished)
assert plan.shots[-1].shot.hold
