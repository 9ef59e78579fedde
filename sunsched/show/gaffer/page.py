"""The gaffer's page of a shot, or of a spot and a look at a time, section by section."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.day.model import Day, Shot
from sunsched.folder.tables.cloths import read_cloths
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State, state_of
from sunsched.show.gaffer.caution_lines import setup_cautions
from sunsched.show.gaffer.frame_lines import frame_section
from sunsched.show.gaffer.light_lines import light_section
from sunsched.show.gaffer.lines import Line, Section
from sunsched.show.gaffer.match_lines import key_of, match_section
from sunsched.show.gaffer.moment import Setup, Sun, sun_over
from sunsched.show.gaffer.sun_lines import sun_section
from sunsched.show.layout import bearing_text

BESIDE = ("clouds, sun out", "contrast")  # lines that a small sheet does without
NOTE = (
    "Light is that of mean skies (IES 1984): a single day has up to a stop more or less. Exposure: "
    "incident, ISO 2720, C = 340. Stops are rounded to thirds. A face is upright; what it faces is "
    "said with it."
)
ASKED = timedelta(minutes=20)  # a roll where nobody has planned one


@dataclass(frozen=True, slots=True, kw_only=True)
class GafferPage:
    """What the sun does to one setup, and what to build for it."""

    setup: Setup
    sections: tuple[Section, ...]


def gaffer_pages(plan: Plan, stops_of: Mapping[str, float]) -> tuple[GafferPage, ...]:
    """Give the gaffer's page of every shot of a plan, in its order.

    Parameters
    ----------
    plan : whose shots and times they are
    stops_of : what each cloth takes, of `read_cloths`

    Returns
    -------
    tuple[GafferPage, ...]
        For each shot its sections, each of lines in words with their figures.

    Examples
    --------
    >>> import sunsched
    >>> plan = sunsched.make_plan(sunsched.example_day())
    >>> pages = sunsched.gaffer_pages(plan, sunsched.read_cloths(None))
    >>> [section.title for section in pages[0].sections][:2]
    ['sun', 'light']
    """
    return tuple(shot_page(plan, planned, stops_of) for planned in plan.shots)


def shot_page(plan: Plan, planned: PlannedShot, stops_of: Mapping[str, float]) -> GafferPage:
    """Give the page of one shot at the time at which it is planned to roll."""
    day, setup = plan.day, setup_of(plan.day, planned)
    sun = sun_over(day, setup)
    sections = list(_sections(day, setup, sun))
    first = _first_of_match(plan, planned)
    if first is not None and first is not planned:
        other = setup_of(day, first)
        haze = day.weather.haze
        was, own = key_of(other, sun_over(day, other), haze), key_of(setup, sun, haze)
        place = next(
            (k for k, one in enumerate(sections) if one.title == "cautions"), len(sections)
        )
        sections.insert(place, match_section((first.shot.id, was), own, stops_of))
    return GafferPage(setup=setup, sections=tuple(sections))


def build_lines(plan: Plan, planned: PlannedShot) -> tuple[Line, ...]:
    """Give what who builds a shot that is still to come needs on a sheet; nothing of one made.

    That is its light with the sun out and in, its frames and its match; cloths to match with are
    those of the package.
    """
    if state_of(plan, planned) is not State.COMING:
        return ()
    found = {one.title: one.lines for one in shot_page(plan, planned, read_cloths(None)).sections}
    return (
        *(line for line in found["light"] if line.name not in BESIDE),
        *found.get("frames", ()),
        *found.get("match", ()),
    )


def asked_page(day: Day, spot: str, look_deg: float, at: datetime, rig: str = "") -> GafferPage:
    """Give the page of a spot and a look at a time, without any plan.

    Parameters
    ----------
    at : start of a roll of twenty minutes
    rig : whose frames are built; "" for none
    """
    found = day.spot(spot)
    setup = Setup(
        title=spot, spot=found, look_deg=look_deg, start=at, end=at + ASKED, lens_mm=None, rig=rig
    )
    sections = tuple(_sections(day, setup, sun_over(day, setup)))
    return GafferPage(setup=setup, sections=sections)


def setup_of(day: Day, planned: PlannedShot) -> Setup:
    """Give the setup of a planned shot."""
    shot: Shot = planned.shot
    return Setup(
        title=shot.id,
        spot=day.spot(shot.spot),
        look_deg=shot.look_deg,
        start=planned.roll_start,
        end=planned.roll_end,
        lens_mm=shot.lens_mm,
        rig=shot.rig,
    )


def setup_text(day: Day, setup: Setup) -> str:
    """Say where a setup stands, where its lens looks, and what it is built of."""
    told = [f"look {bearing_text(day, setup.look_deg)}"]
    if setup.title != setup.spot.name:
        told.insert(0, setup.spot.name)
    if setup.lens_mm is not None:
        told.append(f"{setup.lens_mm:g} mm")
    return ", ".join([*told, *filter(None, (setup.rig,))])


def _sections(day: Day, setup: Setup, sun: Sun) -> Iterator[Section]:
    yield sun_section(day, setup, sun)
    yield light_section(day, setup, sun)
    if day.frames_of(setup.rig):
        yield frame_section(day, setup, sun)
    cautions = setup_cautions(day, setup, sun)
    if cautions.lines:
        yield cautions


def _first_of_match(plan: Plan, planned: PlannedShot) -> PlannedShot | None:
    match = planned.shot.match
    if not match:
        return None
    return next((one for one in plan.shots if one.shot.match == match), None)
