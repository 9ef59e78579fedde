"""What the crew does between two rolls, and how many planned minutes it takes."""

from __future__ import annotations

from dataclasses import dataclass

from sunsched.day.model import Day, Shot


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeoverParts:
    """What the changeover between two shots is made of, in minutes.

    `build_min` is the adjust when the shot before stands in the same spot and rig, else the setup.
    """

    build_min: int
    move_min: int
    turnaround_min: int
    is_adjust: bool

    @property
    def at_spot_min(self) -> int:
        """Minutes of it that are spent at the new shot's spot, for which the spot must be open."""
        return self.build_min + self.turnaround_min

    @property
    def total_min(self) -> int:
        """Minutes from the start of the changeover to the camera being ready."""
        return self.build_min + self.move_min + self.turnaround_min


def move_min(day: Day, spot_a: str, spot_b: str) -> int:
    """Give the minutes of company move between two spots, 0 within one."""
    if spot_a == spot_b:
        return 0
    for move in day.moves:
        if set(move.between) == {spot_a, spot_b}:
            return move.minutes
    return day.changeover.move_min


def look_turn_deg(look_a_deg: float, look_b_deg: float) -> float:
    """Give the angle between two looks, 0 to 180."""
    return abs((look_b_deg - look_a_deg + 180.0) % 360.0 - 180.0)


def changeover(day: Day, before: Shot | None, shot: Shot) -> ChangeoverParts:
    """Give the changeover to a shot from the one before it, or from the crew call (None)."""
    if before is None:
        return ChangeoverParts(
            build_min=shot.setup_min, move_min=0, turnaround_min=0, is_adjust=False
        )
    if before.spot == shot.spot and before.rig == shot.rig:
        turns = look_turn_deg(before.look_deg, shot.look_deg) > 90.0
        return ChangeoverParts(
            build_min=shot.adjust_min,
            move_min=0,
            turnaround_min=day.changeover.turnaround_min if turns else 0,
            is_adjust=True,
        )
    return ChangeoverParts(
        build_min=shot.setup_min,
        move_min=move_min(day, before.spot, shot.spot),
        turnaround_min=0,
        is_adjust=False,
    )


def least_builds_min(day: Day) -> int:
    """Give the fewest minutes that the builds of all shots take that are not cut, in any order.

    The first shot in each spot and rig has none to adjust: one of them is set up, at best the one
    that loses least by it.
    """
    total = 0
    more: dict[tuple[str, str], int] = {}
    for shot in (one for one in day.shots if one.id not in day.cut_ids):
        least = min(shot.setup_min, shot.adjust_min)
        total += least
        group, extra = (shot.spot, shot.rig), shot.setup_min - least
        more[group] = min(more.get(group, extra), extra)
    return total + sum(more.values())
