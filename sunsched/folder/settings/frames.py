"""The frames of `day.toml`, and which of them each rig is made of."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from sunsched.day.kit.frame import FOOT_M, Frame
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.keys import FrameKeys
from sunsched.folder.settings.spots import check_names
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings

MAX_FRAMES = 40


def read_frames(
    document: Document, keys: Sequence[FrameKeys], cloths: Mapping[str, float], findings: Findings
) -> tuple[Frame, ...]:
    """Give the frames of `[[frame]]`; those at fault are left out, with their faults noted.

    Parameters
    ----------
    document : the parsed file, for the lines
    keys : the tables as plain values
    cloths : what each cloth of the table takes, stops
    """
    check_names(document, "frame", [one.name for one in keys], MAX_FRAMES, findings)
    frames = []
    for place, one in enumerate(keys):
        before = len(findings.faults)
        side = _side_m(document, place, one, findings)
        stack = _stack(document, place, one.cloth, cloths, findings)
        if one.name is None or one.kind is None or side is None or len(findings.faults) > before:
            continue
        frames.append(
            Frame(
                name=one.name,
                kind=one.kind,
                side_m=side,
                above_m=one.above_m,
                away_m=one.away_m,
                cloth=" + ".join(stack),
                takes_stops=sum(cloths[name] for name in stack) if stack else None,
                reflectance=one.reflectance,
                finish=one.finish,
            )
        )
    return tuple(frames)


def frames_named(
    document: Document,
    place: int,
    named: Sequence[str],
    frames: Sequence[FrameKeys],
    findings: Findings,
) -> tuple[str, ...]:
    """Give the frames that a rig names, as their own tables spell them."""
    known = {words.key_of(one.name): one.name for one in frames if one.name is not None}
    found = []
    for name in named:
        own = known.get(words.key_of(name))
        if own is None:
            findings.fault(
                document.at("rig", place, "frames"),
                "no such frame",
                name,
                expected=words.choice(list(known.values()), "[[frame]]")
                if known
                else "the name of a `[[frame]]`",
                hint=words.did_you_mean(name, known.values()),
            )
        elif own not in found:
            found.append(own)
    return tuple(found)


def _side_m(document: Document, place: int, one: FrameKeys, findings: Findings) -> float | None:
    if one.side_ft is not None and one.side_m is not None:
        where = document.at("frame", place, "side_m")
        findings.fault(where, "beside `side_ft`", expected="one of the two")
    if one.side_m is not None:
        return one.side_m
    if one.side_ft is not None:
        return one.side_ft * FOOT_M
    # One that stands there is at fault, and told; so is what is no table.
    written = document.data["frame"][place]
    if isinstance(written, dict) and not {"side_ft", "side_m"} & written.keys():
        where = document.at("frame", place)
        findings.fault(where, "no size", expected="`side_ft` or `side_m`, of a square")
    return None


def _stack(
    document: Document, place: int, text: str, cloths: Collection[str], findings: Findings
) -> list[str]:
    """Give the cloths of a frame, one behind the other; none for a solid."""
    named = text.split("+") if text else []
    return [
        found for one in named if (found := _cloth(document, place, one.strip(), cloths, findings))
    ]


def _cloth(
    document: Document, place: int, text: str, cloths: Collection[str], findings: Findings
) -> str:
    known = {words.key_of(name): name for name in cloths}
    found = known.get(words.key_of(text))
    if found is None:
        findings.fault(
            document.at("frame", place, "cloth"),
            "no such cloth",
            text,
            expected="a name of the table of cloths, which `cloths.csv` in the folder adds to",
            hint=words.did_you_mean(text, cloths),
        )
    return found or ""
