"""The spots of a day with their skylines, which stand in files of their own."""

from __future__ import annotations

from sunsched.day.model import Spot
from sunsched.day.skyline import HorizonPoint
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.facts import Facts
from sunsched.folder.settings.spots import SpotFacts
from sunsched.folder.store import files
from sunsched.folder.store.files import Files
from sunsched.folder.tables import skylines
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where


def read_spots(
    found: Files | None, written: Document, facts: Facts, findings: Findings
) -> tuple[Spot, ...]:
    """Give the spots with the skylines of their files; a file that no spot has is odd.

    Parameters
    ----------
    found : the folder; None for a day that has none, and no skylines
    """
    if found is None:
        for place, spot in enumerate(facts.spots):
            if spot.horizon is not None:
                where = written.at("spot", place, "horizon")
                hint = "give the day's spots their `horizon` by `dataclasses.replace`"
                findings.fault(where, "no folder to find it in", spot.horizon, hint=hint)
        return tuple(_spot(spot, ()) for spot in facts.spots)
    spots = []
    taken: set[str] = set()
    for place, spot in enumerate(facts.spots):
        name = skylines.horizon_file(spot.name, found)
        if spot.horizon is not None:
            where = written.at("spot", place, "horizon")
            name = spot.horizon if files.inside(found, spot.horizon, where, findings) else None
        points: tuple[HorizonPoint, ...] = ()
        if name is not None:
            # Spots may share a file, whose faults are then told once.
            notes = Findings() if name in taken else findings
            points = skylines.read_horizon(found, name, facts.declination_deg, notes)
            taken.add(name)
        spots.append(_spot(spot, points))
    if facts.spots:
        _note_unused(found, taken, facts, findings)
    return tuple(spots)


def _spot(facts: SpotFacts, points: tuple[HorizonPoint, ...]) -> Spot:
    return Spot(
        name=facts.name,
        horizon=points,
        open=facts.open,
        latitude_deg=facts.latitude_deg,
        longitude_deg=facts.longitude_deg,
        subject=facts.subject,
        ground=facts.ground,
    )


def _note_unused(found: Files, taken: set[str], facts: Facts, findings: Findings) -> None:
    for name in found.names:
        if name.startswith("horizon-") and name.endswith(".csv") and name not in taken:
            defaults = [f"horizon-{words.key_of(spot.name)}.csv" for spot in facts.spots]
            hint = words.did_you_mean(name, defaults)
            findings.warn(Where(file=name), "not used, as no spot has this name", hint=hint)
