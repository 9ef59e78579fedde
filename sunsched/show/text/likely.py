"""Two orders on their likely days, shot by shot and as a crew counts them."""

from __future__ import annotations

from sunsched.day.clock import clock, local_text
from sunsched.show.prospects import chance
from sunsched.show.records.day import Record
from sunsched.show.text.crew import NONE, crew_rows
from sunsched.whatif.compare.likely import LikelySide

Row = tuple[str, ...]
Sides = tuple[LikelySide, LikelySide]


def likely_header(names: tuple[str, str]) -> Row:
    """Name the columns."""
    one, other = names
    return ("id", "what", one, "made", "light", other, "made", "light")


def likely_rows(sides: Sides) -> list[Row]:
    """Give each shot in both orders, as it is likely in theirs, and the meal between them.

    What the likely day does not make, or what an order does not have, stands behind.
    """
    theirs, ours = sides[1].plan, sides[0].plan
    shots = {shot.id: shot for plan in (ours, theirs) for shot in plan.day.shots}
    ids = [one.shot.id for plan in (theirs, ours) for one in plan.shots]
    rows: list[Row] = [
        (
            shot_id,
            shots[shot_id].description,
            *(cell for one in sides for cell in _of(one, shot_id)),
        )
        for shot_id in dict.fromkeys([*ids, *shots])
    ]
    meals = [one.plan.meal for one in sides]
    if meals != [None, None]:
        plan = ours if theirs.meal is None else theirs
        place = sum(
            plan.meal is not None and one.roll_start < plan.meal.start for one in plan.shots
        )
        times = [
            NONE if meal is None else clock(one.plan.day, meal.start)
            for one, meal in zip(sides, meals, strict=True)
        ]
        rows.insert(place, ("", "meal", times[0], "", "", times[1], "", ""))
    return rows


def likely_crew_rows(sides: Sides) -> list[Row]:
    """Give what an assistant director counts of both likely days; the meal stands in the table."""
    ours, theirs = sides
    found: list[Row] = []
    for name, *both in crew_rows(theirs.plan.day, ours.crew, theirs.crew):
        if name != "meal":
            found.append((f"likely {name}" if name == "wrap" else name, *both))
    return found


def likely_record(side: LikelySide) -> list[Record]:
    """Give what `likely_rows` says of one order, by shot."""
    day = side.plan.day
    starts = {one.shot.id: one.roll_start for one in side.plan.shots}
    found = side.chances
    return [
        {
            "id": shot.id,
            "roll_start": local_text(day, starts.get(shot.id)),
            "made": None if shot.id not in found else round(found[shot.id].made, 4),
            "light": None if shot.id not in found else round(found[shot.id].light, 4),
        }
        for shot in day.shots
    ]


def _of(side: LikelySide, shot_id: str) -> Row:
    """Give when a shot is likely to roll, how often it is made and what is kept of its light."""
    roll = next((one for one in side.plan.shots if one.shot.id == shot_id), None)
    start = NONE if roll is None else clock(side.plan.day, roll.roll_start)
    found = side.chances.get(shot_id)
    if found is not None:
        return (start, chance(found.made), chance(found.light))
    if roll is None:
        return (NONE, NONE, NONE)
    return (start, "made", f"{roll.fit:.0%}")
