"""A plan as the pages show it: its rows with all that is done for them, and what it is worth."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sunsched.average.plan import AveragePlan
from sunsched.day.clock import instant_ms
from sunsched.day.model import Span
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import LineKind, day_lines, moved_at, ready_at, state_of, timed_text
from sunsched.show.cautions import shot_cautions
from sunsched.show.notes import decisions_note, sheet_notes
from sunsched.show.proof import more_text, verdict
from sunsched.show.sheets.phone.steps import day_steps, step_record

Record = dict[str, Any]


def plan_view(found: Plan | AveragePlan) -> Record:
    """Give a plan; moments in milliseconds since 1970, shares from 0 to 1."""
    plan = found if isinstance(found, Plan) else found.likely
    outlook = plan.outlook
    lines = [(f"line-{number}", line) for number, line in enumerate(day_lines(plan))]
    return {
        "for": "planned" if outlook is None else "average",
        "points": plan.points if outlook is None else outlook.points,
        "bound": plan.bound if outlook is None else outlook.bound,
        "light_kept": plan.light_kept if outlook is None else outlook.light_kept,
        "verdict": verdict(plan),
        "more": verdict(plan) if outlook is None else more_text(outlook),
        "meal": None if plan.meal is None else _span(plan.meal),
        "ends": max((instant_ms(one.roll_end) for one in plan.shots), default=None),
        "rows": [_row(plan, planned) for planned in plan.shots],
        "left_out": [
            {"id": left.shot.id, "why": left.why, **_prospect(plan, left.shot.id)}
            for left in plan.left_out
        ],
        "lines": [
            {
                "kind": str(line.kind),
                "start": instant_ms(line.start),
                "end": instant_ms(line.end),
                "text": timed_text(line),
                "shot": line.planned.shot.id if line.planned is not None else "",
            }
            for _, line in lines
            if line.kind is not LineKind.NOW
        ],
        "steps": [step_record(step) for step in day_steps(plan, lines)],
        # Decisions of the day stand in a list of their own.
        "notes": [note for note in sheet_notes(plan) if note != decisions_note(plan.day)],
    }


def _row(plan: Plan, planned: PlannedShot) -> Record:
    return {
        "id": planned.shot.id,
        "state": str(state_of(plan, planned)),
        "change_from": instant_ms(planned.changeover_start),
        "moved": instant_ms(moved_at(planned)),
        "ready": instant_ms(ready_at(plan, planned)),
        "from": instant_ms(planned.roll_start),
        "to": instant_ms(planned.roll_end),
        "fit": round(planned.fit, 3),
        "points": planned.points,
        "last_start": _moment(planned.last_start),
        "wait_for": planned.wait_for,
        "why": planned.why,
        "cautions": list(shot_cautions(plan, planned)),
        **_prospect(plan, planned.shot.id),
    }


def _prospect(plan: Plan, shot_id: str) -> Record:
    one = None if plan.outlook is None else plan.outlook.of(shot_id)
    if one is None:
        return {}
    return {
        "made": round(one.made, 3),
        "half": round(one.half, 3),
        "light": round(one.light, 3),
        "likely": None if one.rolls is None else _span(one.rolls),
        "not_before": _moment(one.not_before),
        "begin_by": _moment(one.begin_by),
    }


def _span(span: Span) -> Record:
    return {"from": instant_ms(span.start), "to": instant_ms(span.end)}


def _moment(when: datetime | None) -> int | None:
    return None if when is None else instant_ms(when)
