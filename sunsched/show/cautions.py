"""What can hurt someone at a shot, in a line of words: computed of the sun, or read in the list.

All of it is common practice, no source. It warns and allows nothing: the local code, the agreement
in force and the licensed person come first.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import cache

import numpy as np

from sunsched.day.model import Day, Shot, Span
from sunsched.day.wish import SUNRISE_DEG
from sunsched.light.angles import frame_deg
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State, state_of
from sunsched.sky.track import sun_from_lens_deg

NEAR_FRAME_DEG = 5.0
TILT_DEG = 45.0  # no lens is tilted up farther to see the sun
DUSK_DEG = -6.0  # civil twilight
LONG_DAY = timedelta(hours=12)
ADULT_YEARS = 18
SUN_IN = "sun within the width of the frame: do not look through the finder"
SUN_NEAR = f"sun within {NEAR_FRAME_DEG:.0f}° of the frame: do not look through the finder"
SUN_DOWN = "light the ways and the edges"
WATER = "water: the licensed person says who goes near it"
ROAD = "road: nobody stands in traffic that is not held"
MINOR = "a minor, and no hours are given: the local code has limits"
LATE = "over 12 h after the call: the agreement has limits"
# Words of a list, without accents; a star stands for any ending. English, German, French, Spanish,
# Italian, Portuguese, as the reader of lists. Left out are those that are common words in another
# of them, such as "see", "strand" and "route".
_WATER = """
    water waters waterfall* waterline waterfront underwater sea seas seaside seashore lake*
    river* weir weirs stream streams creek*
    boat* ship ships ferry ferries canoe* kayak* raft rafts rows rowing rowboat* oars
    swim* wade wades wading dives diving
    harbour* harbor* quay* pier piers jetty jetties dock docks beach* shore* surf surfing tide tides
    canal* pond ponds pool pools
    wasser* fluss flusse meer seeufer ufer* schiff* fahre boote ruderboot segelboot bootssteg
    schlauchboot hafen* schwimm* teich*
    eau eaux riviere* fleuve* mer lac lacs bateau* barque* navire* plage* quai* nage nagent piscine*
    agua* rio rios mar lago* barco* barca* playa* puerto* muelle* piscina* nadar nadan
    acqua* fiume* mare laghi barche nave navi spiaggia* porto molo nuota nuotano praia* cais
"""
_ROAD = """
    road* street* highway* motorway* traffic bridge* crossing crossroad* car cars truck trucks bus
    buses tram trams motorbike* motorcycle* driving drives railway* tracks
    strasse* autobahn* verkehr* brucke* kreuzung* fahrbahn* bahngleis*
    autoroute* rue rues circulation pont ponts carrefour* chaussee* voiture*
    carretera* calle calles trafico puente* autopista* coche coches
    strada* strade traffico ponte ponti autostrada* auto
    estrada* rua ruas transito trafego pontes carro carros
"""
_MINOR = """
    child children child's kid kids minor minors toddler* baby babies infant* pupil* schoolchild*
    schoolboy* schoolgirl* teen teens teenager* boy boys girl girls
    kinder kindes schulkind* saugling* minderjahrig* enfant* bebe* fillette* garconnet* mineur
    mineurs mineure* nino* nina ninas menor menores bambin* ragazzin* neonat* minorenn* crianca*
    menino* menina*
"""
_NOT = frozenset(
    ("no", "not", "without", "ohne", "kein", "keine", "sans", "pas", "sin", "senza", "sem")
)
_AGE = re.compile(r"\((\d{1,2})\s*(?:y|yrs?|years?)?\)")


def shot_cautions(plan: Plan, planned: PlannedShot) -> tuple[str, ...]:
    """Give the cautions of a shot that is not made yet, each short enough for a line.

    The sun is looked at from the first of its likely starts to the end of a roll from the last.
    """
    if state_of(plan, planned) is State.MADE:
        return ()
    return tuple(_cautions(plan, planned))


def caution_texts(*plans: Plan) -> tuple[str, ...]:
    """Give each caution once with the shots that it is for, `1, 16: water …`, but for the hours.

    How long the day is stands in a note on the day. Of several plans, a shot is named that needs
    it in any of them.
    """
    whose: dict[str, dict[str, None]] = {}
    for plan in plans:
        for planned in plan.shots:
            for text in shot_cautions(plan, planned):
                if text != LATE:
                    whose.setdefault(text, {})[planned.shot.id] = None
    return tuple(f"{', '.join(ids)}: {text}" for text, ids in whose.items())


def day_caution(plan: Plan) -> str:
    """Say how long the day is from call to wrap, if that is over 12 hours; else ""."""
    hours = plan.day.hours
    end = max([hours.wrap, *(one.roll_end for one in plan.shots[-1:])])
    length = end - hours.crew_call
    if length <= LONG_DAY:
        return ""
    whole, minutes = divmod(round(length / timedelta(minutes=1)), 60)
    return (
        f"call to wrap is {whole} h {minutes:02}: over 12 h the agreement and the code have limits"
    )


def _cautions(plan: Plan, planned: PlannedShot) -> Iterator[str]:
    span = _span(plan, planned)
    yield from _sun_texts(plan, planned.shot, span)
    yield from _dark_texts(plan, span)
    words = _words(planned.shot)
    if _has_any(words, _WATER):
        yield WATER
    if _has_any(words, _ROAD):
        yield ROAD
    if _has_minor(plan.day, planned.shot, words):
        yield MINOR
    if span.end - plan.day.hours.crew_call > LONG_DAY:
        yield LATE


def _span(plan: Plan, planned: PlannedShot) -> Span:
    """Give the time in which the shot may roll: on a likely day, or on eight days of ten."""
    start, end = planned.roll_start, planned.roll_end
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    if found is not None and found.rolls is not None:
        roll = timedelta(minutes=planned.shot.shoot_min)
        start, end = min(start, found.rolls.start), max(end, found.rolls.end + roll)
    return Span(start=start, end=end)


def _sun_texts(plan: Plan, shot: Shot, span: Span) -> Iterator[str]:
    """Say that the sun is in the frame or near it; of an unknown lens its middle is known alone.

    How high the frame reaches depends on the tilt, which nobody has told: up to `TILT_DEG`.
    """
    minutes = _minutes(plan, span)
    track = plan.fit.track
    off = np.abs(sun_from_lens_deg(track.azimuth_deg[minutes], shot.look_deg))
    half = frame_deg(plan.day.camera.sensor_width_mm, shot.lens_mm) / 2.0 if shot.lens_mm else 0.0
    height = track.apparent_elevation_deg[minutes]
    off = off[(height > 0.0) & (height <= TILT_DEG + half)]
    nearest = float(off.min(initial=360.0))
    if nearest <= half:
        yield SUN_IN
    elif nearest <= half + NEAR_FRAME_DEG:
        yield SUN_NEAR


def _dark_texts(plan: Plan, span: Span) -> Iterator[str]:
    """Say that the sun is down as the shot begins or ends."""
    heights = plan.fit.track.elevation_deg[_minutes(plan, span)]
    first, last = float(heights[0]), float(heights[-1])
    if last < DUSK_DEG and last <= first:
        yield f"after civil dusk: {SUN_DOWN}"
    elif last < SUNRISE_DEG and last <= first:
        yield f"after sunset: {SUN_DOWN}"
    elif first < SUNRISE_DEG:
        yield f"before sunrise: {SUN_DOWN}"


def _minutes(plan: Plan, span: Span) -> slice:
    """Give the minutes of a span on the track, one at the least."""
    last = len(plan.fit.track) - 1

    def minute(when: datetime) -> int:
        return min(max(0, plan.fit.minute_of(when)), last)

    return slice(minute(span.start), minute(span.end) + 1)


def _words(shot: Shot) -> list[str]:
    """Give the words of all that a list says of a shot, in its order."""
    told = (shot.description, shot.spot, *shot.cast, *(text for _, text in shot.kept))
    return re.findall(r"[\w']+|[.;,]", " . ".join(told))


def _has_any(words: list[str], table: str) -> bool:
    pattern = _pattern(table)
    before = ["", *words]
    return any(
        pattern.fullmatch(_plain(word)) and _plain(last) not in _NOT
        for last, word in zip(before, words, strict=False)
    )


def _has_minor(day: Day, shot: Shot, words: list[str]) -> bool:
    """Say whether a minor may be in a shot whose hours nobody has told."""
    limited = {one.name for one in day.cast if one.here}
    young = [name for name in shot.cast if _is_minor(name)]
    if young:
        return not limited.issuperset(young)
    told = _has_any(words, _MINOR) or "Kind" in words  # in German; "kind" is English
    return told and (not shot.cast or not limited.issuperset(shot.cast))


def _is_minor(name: str) -> bool:
    age = _AGE.search(name)
    if age is not None:
        return int(age[1]) < ADULT_YEARS
    return _has_any(re.findall(r"[\w']+", name), _MINOR)


def _plain(word: str) -> str:
    """Give a word without case and accents."""
    parts = unicodedata.normalize("NFKD", word.casefold())
    return "".join(one for one in parts if not unicodedata.combining(one))


@cache
def _pattern(table: str) -> re.Pattern[str]:
    """Give what matches the words of a table."""
    words = (re.escape(one).replace(r"\*", r"\w*") for one in table.split())
    return re.compile("|".join(words))
