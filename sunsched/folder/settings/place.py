"""The place of `day.toml`: its coordinates, its zone and its noon held against each other."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from sunsched.day.model import Place
from sunsched.folder.place import zones
from sunsched.folder.place.coordinates import written
from sunsched.folder.place.declination import FIRST_YEAR, LAST_YEAR, declination
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.keys import Settings
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings

# Solar noon by the clock, hours. Outside these a place is odd; far outside it is wrong. Summer time
# in western Spain has it at 14:40, which is why odd alone is no fault.
ODD_NOON = (10.5, 14.5)
WRONG_NOON = (10.0, 15.0)
# A declination that is so far from the model's is a slip; rocks and iron turn a needle by less.
WRONG_DECLINATION_DEG = 4.0


def read_place(document: Document, settings: Settings, findings: Findings) -> Place | None:
    """Give the place; where zone, coordinates and noon disagree, say what mends them."""
    keys = settings.place
    if keys.latitude_deg is None or keys.longitude_deg is None or keys.timezone is None:
        return None
    place = Place(
        name=place_name(settings),
        latitude_deg=keys.latitude_deg,
        longitude_deg=keys.longitude_deg,
        elevation_m=keys.elevation_m,
        timezone=keys.timezone,
    )
    if settings.date is not None:
        _check_zone(document, place, settings.date, findings)
    return place


def place_name(settings: Settings) -> str:
    """Give the name of the place: the day's title where it has none."""
    name = settings.place.name or settings.title or "the place"
    return name[: words.MAX_NAME].strip()


def _check_zone(document: Document, place: Place, on: date, findings: Findings) -> None:
    """Note a zone that is neither the one at the coordinates nor shows the same time.

    Where the zone says nothing of the coordinates, the sun does: it is highest about midday.
    """
    zone, latitude, longitude = place.timezone, place.latitude_deg, place.longitude_deg
    if zones.is_of_no_place(zone):
        _check_noon(document, place, datetime.combine(on, time(12), place.zone), findings)
        return
    if zones.is_there(zone, latitude, longitude):
        return
    shows = zones.shows_the_time(zone, latitude, longitude, on)
    at_sea = zones.is_at_sea(latitude, longitude)
    there = zones.zone_at(latitude, longitude)
    mend = zones.mend(zone, latitude, longitude)
    if mend is not None:
        mended = written(mend.latitude_deg, mend.longitude_deg)
        other = "" if at_sea else f"; else the zone here is `{there}`"
        note = findings.warn if shows else findings.fault
        note(
            document.at("place", mend.key),
            f"these coordinates are not in the zone {zone}",
            written(latitude, longitude),
            hint=f"{mend.text}: `{mended}` is in it{other}",
        )
    elif at_sea:
        _check_noon(document, place, datetime.combine(on, time(12), place.zone), findings)
    elif not shows:
        ahead = zones.hours_ahead(zone, there, on)
        findings.fault(
            document.at("place", "timezone"),
            f"a clock that is {abs(ahead):g} h {'ahead' if ahead > 0 else 'behind'} there",
            zone,
            expected=f"`{there}`, the zone at these coordinates",
            hint=f"to keep its time there on purpose, write `{zones.same_clock(zone, on)}`",
        )


def _check_noon(document: Document, place: Place, noon: datetime, findings: Findings) -> None:
    """Look for a longitude of the wrong sign: the sun is then highest far from midday.

    The equation of time is left out, as a quarter of an hour does not change the answer.
    """
    at, flipped = _solar_noon(noon, place.longitude_deg), _solar_noon(noon, -place.longitude_deg)
    if _is_in(at, ODD_NOON):
        return
    where = document.at("place", "longitude_deg")
    problem = f"the sun would be highest at {_clock(at)} by the clock"
    expected = "between 10:30 and 14:30"
    value = f"{place.longitude_deg:g}"
    if not _is_in(flipped, ODD_NOON):
        hint = "check longitude and time zone"
        findings.warn(where, problem, value, expected=expected, hint=hint)
        return
    hint = f"east is positive, west negative: `{-place.longitude_deg:g}` gives {_clock(flipped)}"
    note = findings.warn if _is_in(at, WRONG_NOON) else findings.fault
    note(where, problem, value, expected=expected, hint=hint)


def _solar_noon(noon: datetime, longitude_deg: float) -> float:
    """Give the clock time of solar noon, hours from 0 to 24."""
    offset = noon.utcoffset() or timedelta(0)
    return (12 - longitude_deg / 15 + offset / timedelta(hours=1)) % 24


def _is_in(hour: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= hour <= limits[1]


def _clock(hour: float) -> str:
    minutes = round(hour * 60) % (24 * 60)
    return f"{minutes // 60:02}:{minutes % 60:02}"


def read_declination(
    document: Document, settings: Settings, place: Place | None, findings: Findings
) -> float:
    """Give what turns the folder's bearings into true ones, degrees, east positive.

    Where it is not written it is that of the World Magnetic Model for the place and the date.
    """
    written_deg = settings.declination_deg
    if settings.bearings != "magnetic":
        if written_deg is not None:
            findings.warn(
                document.at("declination_deg"),
                "not used, as bearings are true",
                f"{written_deg:g}",
                hint='write `bearings = "magnetic"` if they were read off a compass',
            )
        return 0.0
    if place is None or settings.date is None:
        return written_deg or 0.0
    model = declination(place, settings.date)
    if written_deg is None:
        if "declination_deg" in document.data:
            return 0.0  # its own fault is told already
        if model is None:
            findings.fault(
                document.at("bearings"),
                f"no magnetic model for {settings.date.year}",
                expected="`declination_deg`, east positive",
                hint=f"the World Magnetic Model here is that of {FIRST_YEAR} to {LAST_YEAR}",
            )
            return 0.0
        if model.warning:
            findings.warn(document.at("bearings"), model.warning, f"{model.deg:g}")
        return model.deg
    if model is not None and not model.warning:
        _check_declination(document, written_deg, model.deg, findings)
    return written_deg


def _check_declination(
    document: Document, written_deg: float, model_deg: float, findings: Findings
) -> None:
    """Warn of a declination that is far from the model's: most often its sign is wrong."""
    if _apart(written_deg, model_deg) < WRONG_DECLINATION_DEG:
        return
    is_turned = _apart(-written_deg, model_deg) < _apart(written_deg, model_deg) / 2
    findings.warn(
        document.at("declination_deg"),
        "far from the World Magnetic Model",
        f"{written_deg:g}",
        expected=f"about {model_deg:g}",
        hint=f"east is positive: did you mean `{-written_deg:g}`?" if is_turned else "",
    )


def _apart(one_deg: float, other_deg: float) -> float:
    return abs((one_deg - other_deg + 180) % 360 - 180)
