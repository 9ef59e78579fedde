"""Names that shots share, rigs and matches, and what `day.toml` says of each of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from sunsched.day.kit.frame import Rig
from sunsched.day.model import MatchBy
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.frames import frames_named
from sunsched.folder.settings.keys import MatchKeys, Settings
from sunsched.folder.settings.spots import check_names
from sunsched.folder.tables.table import Row
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

MAX_RIGS = 120  # no more than there may be shots


def spellings(rows: Sequence[Row], column: str) -> dict[str, str]:
    """Give each name of a column as it was first spelled, as `Tent` and `tent` are one rig.

    The keys are what all spellings of a name have in common; cells at fault are left out.
    """
    found: dict[str, str] = {}
    for row in rows:
        try:
            name = words.line_of_text(row.cells.get(column, ""))
        except WordError:
            continue
        found.setdefault(words.key_of(name), name)
    return found


def check_lone_matches(rows: Sequence[Row], matches: Mapping[str, str], findings: Findings) -> None:
    """Warn of a match of one shot: most often a slip in its name."""
    members: dict[str, list[Row]] = {}
    for row in rows:
        members.setdefault(words.key_of(row.cells.get("match", "")), []).append(row)
    for key, name in matches.items():
        if len(members.get(key, ())) == 1:
            near = words.did_you_mean(name, (one for one in matches.values() if one != name))
            findings.warn(members[key][0].at("match"), "a match of one shot", name, hint=near)


def read_rigs(
    document: Document, settings: Settings, rows: Sequence[Row] | None, findings: Findings
) -> tuple[Rig, ...]:
    """Give the rigs of `[[rig]]`, each spelled as in the shot list.

    Parameters
    ----------
    document : Document
        The parsed file, for the lines.
    settings : Settings
        Its keys as plain values.
    rows : sequence of Row or None
        The shot list, and the rows of the log after it, which may add shots; None where one of
        them could not be read, and no name can be checked.
    findings : Findings
        Where faults are noted.
    """
    keys = settings.rig
    check_names(document, "rig", [one.name for one in keys], MAX_RIGS, findings)
    known = None if rows is None else spellings(rows, "rig")
    rigs = []
    for place, one in enumerate(keys):
        frames = frames_named(document, place, one.frames, settings.frame, findings)
        if one.name is not None:
            where = document.at("rig", place, "name")
            name = _as_listed(one.name, known, "rig", where, findings)
            rigs.append(
                Rig(name=name, overhead=one.overhead, frames=frames, subject_m=one.subject_m)
            )
    return tuple(rigs)


def read_matches(
    document: Document,
    keys: Mapping[str, MatchKeys],
    rows: Sequence[Row] | None,
    findings: Findings,
) -> dict[str, MatchBy]:
    """Give what the shots of each `[match.<name>]` match by; the same rules as for rigs."""
    known = None if rows is None else spellings(rows, "match")
    matches: dict[str, MatchBy] = {}
    first: dict[str, int | None] = {}
    for written, one in keys.items():
        where = document.at("match", written)
        key = words.key_of(written)
        if key in first:
            hint = f"it is also on line {first[key]}"
            findings.fault(where, "a name that stands twice", written, hint=hint)
            continue
        first[key] = where.line
        name = _as_listed(written, known, "match", where, findings)
        if one.by is not None:
            matches[name] = one.by
    return matches


def _as_listed(
    name: str, known: Mapping[str, str] | None, kind: str, where: Where, findings: Findings
) -> str:
    """Give a name as the shot list spells it; one that no shot has is noted as a fault."""
    if known is None:
        return name
    found = known.get(words.key_of(name))
    if found is None:
        names: Collection[str] = known.values()
        findings.fault(
            where,
            f"unknown {kind}",
            name,
            expected=words.choice(names, kind) if names else f"a {kind} of the shot list",
            hint=words.did_you_mean(name, names) if names else f"no shot has a {kind}",
        )
    return found or name
