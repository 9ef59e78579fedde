"""When the frames that are named for a shot are of use to it."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sunsched.day.kit.frame import FrameKind
from sunsched.day.model import Day, Shot
from sunsched.sky.grip.overhead import Overhead, covers
from sunsched.sky.track import SunTrack


def covered_by_frames(day: Day, shot: Shot, track: SunTrack) -> npt.NDArray[np.bool_]:
    """Say when one of the overheads that the shot's rig names covers the subject.

    A rig that names none is taken to make up for what it does at any time.
    """
    rig = day.rig(shot.rig)
    overheads = [one for one in day.frames_of(rig.name) if one.kind is FrameKind.OVERHEAD]
    covered = np.full(len(track), not overheads)
    for one in overheads:
        frame = Overhead(side_m=one.side_m, above_m=one.above_m)
        heights, bearings = track.apparent_elevation_deg, track.azimuth_deg
        covered |= covers(frame, rig.subject_m, heights, bearings)
    return covered
