"""What can hurt someone at a setup, with the figures that are known; it is never a go-ahead."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.day.model import Day
from sunsched.show.gaffer.lines import NOT_COMPUTED, Line, Section
from sunsched.show.gaffer.moment import Setup, Sun
from sunsched.sky.grip.weather import heat_index_f, heat_limit_wbgt_c, wind_chill_f

# Heat index from which the United States' proposed rule of 2024 asks for water, shade and breaks,
# and for paid rest, °F (OSHA, Federal Register of 30 August 2024; not found to be in force).
HEAT_F, HIGH_HEAT_F = 80.0, 90.0
HARD_WORK_W = 415.0  # carrying and hoisting, by NIOSH 2016-106
COLD_F = 32.0
TOWARD_DEG = 90.0  # a lens that looks less far from the sun may see it
EYES = (
    "never look at the sun through a finder, a lens or any other optics; a lens burns what is "
    "behind it"
)
WIND = "frames come down before the wind decides; a light breeze lifts a loose corner too"
LIGHTNING = (
    "at thunder or lightning everything tall comes down, and all go under a firm roof or into cars"
)
STANDS = (
    "stands on roofs, slopes, roads and near water are rigged and watched by who is licensed for it"
)
WHO = (
    "the key grip, the medic, the licensed person, the local code and the agreement in force "
    "decide; nothing here is a go-ahead"
)


def setup_cautions(day: Day, setup: Setup, sun: Sun) -> Section:
    """Give the cautions of a setup: frames in the wind, and a sun that the lens may see."""
    lines = []
    from_lens = sun.from_lens_deg(setup.look_deg)[: sun.roll_min]
    is_up = sun.elevation_deg[: sun.roll_min] > 0.0
    if (is_up & (abs(from_lens) < TOWARD_DEG)).any():
        lines.append(Line(name="eyes", text=EYES))
    if day.frames_of(setup.rig):
        lines.append(Line(name="wind", text=WIND))
        lines.append(Line(name="stands", text=STANDS))
    return Section(title="cautions", lines=tuple(lines))


def day_cautions(day: Day) -> tuple[Line, ...]:
    """Give the cautions that hold for every setup of a day."""
    return (
        *_heat(day),
        Line(name="lightning", text=LIGHTNING),
        Line(name="who decides", text=WHO),
    )


def _heat(day: Day) -> Iterator[Line]:
    air, humidity, gust = day.weather.air_c, day.weather.humidity, day.weather.gust_m_s
    if air is None:
        text = f"{NOT_COMPUTED}: no temperature is given (`[weather] air_c`)"
        yield Line(name="heat and cold", text=text)
        return
    air_f = 32.0 + 1.8 * air
    chill = None if gust is None else wind_chill_f(air_f, gust * 2.2369)
    if chill is not None and chill <= COLD_F:
        text = (
            f"wind chill {_celsius(chill):.0f} °C in gusts (US National Weather Service, 2001): "
            "hands and faces first"
        )
        yield Line(name="cold", text=text, figures={"wind_chill_c": round(_celsius(chill), 1)})
    if humidity is None:
        text = f"heat index {NOT_COMPUTED}: no humidity is given (`[weather] humidity`)"
        yield Line(name="heat", text=text)
        return
    index = heat_index_f(air_f, humidity)
    figures = {"heat_index_c": round(_celsius(index), 1)}
    if index < HEAT_F:
        return
    limit = heat_limit_wbgt_c(HARD_WORK_W, is_used_to_heat=False)
    what = (
        "water, shade and breaks" if index < HIGH_HEAT_F else "water, shade, and rest that is paid"
    )
    text = (
        f"heat index {_celsius(index):.0f} °C in the shade, more in the sun (US National Weather "
        f"Service): {what} (OSHA's proposed rule of 2024); NIOSH 2016-106 limits hard work of who "
        f"is not used to heat from {limit:.0f} °C WBGT on"
    )
    yield Line(name="heat", text=text, figures=figures)


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8
