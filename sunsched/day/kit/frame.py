"""Frames that are built for a shot: what hangs over the subject, throws light back, or takes it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

FOOT_M = 0.3048


class FrameKind(StrEnum):
    """What a frame is for."""

    OVERHEAD = "overhead"
    BOUNCE = "bounce"
    BLACK = "black"


class Finish(StrEnum):
    """How a bounce throws light back."""

    MATT = "matt"
    MIRROR = "mirror"


# Common practice, no source.
ABOVE_M, AWAY_M, REFLECTANCE, SUBJECT_M = 2.0, 3.0, 0.8, 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """A build of frames and stands; `overhead` says that a frame hangs over the subject.

    `frames` names those of the day that belong to it, `subject_m` is the width that they are to
    cover.
    """

    name: str
    overhead: bool = False
    frames: tuple[str, ...] = ()
    subject_m: float = SUBJECT_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A square frame.

    Attributes
    ----------
    name : what a rig calls it
    kind : what it is for
    side_m : nominal side; the cloth ends a little within it
    above_m : of an overhead, its height over the face
    away_m : of a bounce or a black, how far from the face it stands
    cloth : of an overhead, what is on it, by names of the table of cloths, joined by a plus; "" for
        a solid
    takes_stops : what these take together; None for a solid, which lets nothing through
    reflectance : of a bounce, the share of the light that it throws back
    finish : of a bounce
    """

    name: str
    kind: FrameKind
    side_m: float
    above_m: float = ABOVE_M
    away_m: float = AWAY_M
    cloth: str = ""
    takes_stops: float | None = None
    reflectance: float = REFLECTANCE
    finish: Finish = Finish.MATT
