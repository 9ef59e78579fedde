"""The facts of `day.toml`: its keys checked against each other and turned into the day's parts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from sunsched.day.costs import Costs
from sunsched.day.kit.camera import Camera
from sunsched.day.kit.weather import Weather
from sunsched.day.model import (
    DEFAULT_SIZES,
    CastMember,
    Changeover,
    Hours,
    Meal,
    Move,
    Place,
    Size,
    SizeFacts,
)
from sunsched.day.overruns import DEFAULT_OVERRUNS, Overrun
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.hours import read_calendar, read_hours, read_meal
from sunsched.folder.settings.keys import Settings
from sunsched.folder.settings.place import place_name, read_declination, read_place
from sunsched.folder.settings.spots import SpotFacts, check_names, read_spans, read_spots
from sunsched.folder.text import words
from sunsched.folder.text.bands import DEFAULT_WORDS, Angles
from sunsched.folder.text.clock import Calendar
from sunsched.folder.text.findings import Findings

MAX_CAST = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """The parts of a day that `day.toml` gives; None is a part with a fault in it.

    `spots` or `cast` are empty when one of their names is at fault: then no other name can be
    checked against them.
    """

    title: str | None
    place: Place | None
    calendar: Calendar | None
    hours: Hours | None
    meal: Meal | None
    spots: tuple[SpotFacts, ...]
    moves: tuple[Move, ...]
    cast: tuple[CastMember, ...]
    sizes: dict[Size, SizeFacts]
    overruns: dict[Size, Overrun]
    day_spread: float
    costs: Costs
    changeover: Changeover
    words: dict[str, Angles]
    size_words: dict[str, Size]
    declination_deg: float
    camera: Camera
    weather: Weather


def read_facts(document: Document, settings: Settings, findings: Findings) -> Facts:
    """Check the keys against each other and give the parts of the day.

    Parameters
    ----------
    document : Document
        The parsed file, for the lines.
    settings : Settings
        Its keys as plain values.
    findings : Findings
        Where faults and warnings are noted.
    """
    calendar = read_calendar(settings)
    hours = read_hours(document, settings, calendar, findings)
    place = read_place(document, settings, findings)
    declination_deg = read_declination(document, settings, place, findings)
    spots = read_spots(
        document, settings, place_name(settings), calendar, hours, declination_deg, findings
    )
    sizes = settings.size.model_dump(by_alias=True, exclude_none=True)
    overruns = settings.overrun.model_dump(by_alias=True, exclude_none=True)
    return Facts(
        title=settings.title,
        place=place,
        calendar=calendar,
        hours=hours,
        meal=read_meal(document, settings, calendar, hours, findings),
        spots=spots,
        moves=_moves(document, settings, spots, findings),
        cast=_cast(document, settings, calendar, hours, findings),
        sizes={
            size: replace(facts, **sizes.get(size.value, {}))
            for size, facts in DEFAULT_SIZES.items()
        },
        overruns={
            size: replace(DEFAULT_OVERRUNS[size], **overruns.get(size.value, {})) for size in Size
        },
        day_spread=settings.overrun.day.spread,
        costs=replace(Costs(), **settings.costs.model_dump(exclude_none=True)),
        changeover=replace(Changeover(), **settings.changeover.model_dump(exclude_none=True)),
        words=DEFAULT_WORDS | settings.words.model_dump(exclude_none=True, exclude={"size"}),
        size_words={word: Size(size) for word, size in settings.words.size.items()},
        declination_deg=declination_deg,
        camera=Camera(**settings.camera.model_dump(exclude_none=True)),
        weather=Weather(**settings.weather.model_dump()),
    )


def find(name: str, known: Iterable[str]) -> str | None:
    """Give the known name that this one spells, whatever its case and gaps; None for no such."""
    return {words.key_of(one): one for one in known}.get(words.key_of(name))


def _cast(
    document: Document,
    settings: Settings,
    calendar: Calendar | None,
    hours: Hours | None,
    findings: Findings,
) -> tuple[CastMember, ...]:
    check_names(document, "cast", [one.name for one in settings.cast], MAX_CAST, findings)
    cast = []
    for place, keys in enumerate(settings.cast):
        where = document.at("cast", place, "here")
        spans = read_spans(keys.here, where, calendar, hours, findings)
        if keys.name is not None:
            cast.append(CastMember(name=keys.name, here=spans))
    return tuple(cast) if len(cast) == len(settings.cast) else ()


def _moves(
    document: Document, settings: Settings, spots: tuple[SpotFacts, ...], findings: Findings
) -> tuple[Move, ...]:
    names = [spot.name for spot in spots]
    moves: dict[frozenset[str], Move] = {}
    for place, keys in enumerate(settings.move):
        if keys.between is None:
            continue
        where = document.at("move", place, "between")
        ends = [find(name, names) for name in keys.between]
        for name, end in zip(keys.between, ends, strict=True):
            if end is None and names:
                findings.fault(
                    where,
                    "no such spot",
                    name,
                    expected=words.choice(names, "spot"),
                    hint=words.did_you_mean(name, names),
                )
        if len(ends) != 2 or (ends[0] is not None and ends[0] == ends[1]):
            findings.fault(
                where, "not two spots", ", ".join(keys.between), expected="two different spots"
            )
            continue
        a, b = ends
        if a is None or b is None or keys.minutes is None:
            continue
        pair = frozenset((a, b))
        if pair in moves:
            findings.fault(where, "a move that stands twice", f"{a}, {b}")
        moves.setdefault(pair, Move(between=(a, b), minutes=keys.minutes))
    return tuple(moves.values())
