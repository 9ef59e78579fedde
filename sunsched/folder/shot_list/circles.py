"""Shots that wait for each other in a circle, so that none of them can come first."""

from __future__ import annotations

from collections.abc import Mapping

from sunsched.folder.text.findings import Findings, Where


def check_circles(
    after: Mapping[str, tuple[str, ...]], lines: Mapping[str, Where], findings: Findings
) -> None:
    """Note each circle of shots that wait for each other, once."""
    done: set[str] = set()
    for start in after:
        path: list[str] = []
        stack = [(start, iter(after[start]))] if start not in done else []
        while stack:
            shot, others = stack[-1]
            if not path or path[-1] != shot:
                path.append(shot)
            other = next((one for one in others if one not in done), None)
            if other is None:
                done.add(shot)
                path.pop()
                stack.pop()
            elif other in path:
                circle = " → ".join([*path[path.index(other) :], other])
                findings.fault(lines[other], "shots that wait for each other", circle)
            else:
                stack.append((other, iter(after.get(other, ()))))
