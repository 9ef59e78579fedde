"""Prices as text for a terminal: a decision, half-hours, rules, wraps, alternatives."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.day.past import made_ids
from sunsched.folder.text.words import listed
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.notes import light_notes
from sunsched.show.text.crew import COST_NAMES, NONE, crew_rows
from sunsched.show.text.day import WIDTH
from sunsched.show.text.headlines.arguments import price_headline
from sunsched.show.text.headlines.points import paid_texts
from sunsched.show.text.past import past_texts
from sunsched.whatif.alternatives.alternatives import Alternative
from sunsched.whatif.alternatives.differences import distance_text
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row
from sunsched.whatif.price.price import Price
from sunsched.whatif.price.rules import RulePrice
from sunsched.whatif.price.wrap import WrapPoint

WORSE = "cut"
FIGURED = (Known.EXACT, Known.BOUNDED, Known.UNDECIDED, Known.FOUND)  # cells that hold a figure
SHOTS_HEADER = ("id", "what", "best", "light", "so", "light", "points")
CREW_HEADER = ("", "best", "so")
RULES_HEADER = ("without this rule", "light", "points won")
CURVE_HEADER = ("wrap", "light", "overtime", "left out", "points")
COLUMNS = 10  # shots side by side in a table of half-hours
TABLE_NOTE = (
    "What the day loses when a shot must start to roll then, every other shot placed anew: in "
    "percent of what all shots weigh. ≤ at most this, the exact value took too much work; cut: "
    "cutting the shot would cost less, if a plan rolls it then at all; – no plan rolls it then; "
    "? not known."
)
AVERAGE_TABLE_NOTE = (
    "What the average day loses when a shot starts to roll in the half-hour from then on, or not "
    "at all, every other shot placed anew: in percent of what all shots weigh, as found. {}cut: "
    "leaving the shot out costs no more; – it cannot roll then; ? not known."
)
EARLY_NOTE = " This table was ended early: with more time it knows more."
RULES_NOTE = (
    "What the day would win without a rule, every shot placed anew. free: nothing; ? not known."
)
NO_OTHER = "no other plan differs: none begins, ends or eats otherwise"
CURVE_NOTE = (
    "The day worth most points by each wrap; a later one may trade light for fewer moves. Points "
    "do not count overtime, which stands beside them:"
)


def price_text(day: Day, best: Plan, found: Price, width: int = WIDTH) -> str:
    """Lay out the price of a decision: what it loses, which shots pay, what the crew sees."""
    lines = _head(day, width)
    for text in found.decision:
        lines += wrapped(f"if {text}:", width)
    lines += wrapped(price_headline(best, found), width)
    for text in loss_texts(found):
        lines += wrapped(text, width)
    lines += ["", *table(SHOTS_HEADER, [*shot_rows(day, best, found)], width, flexible=1)]
    crew = [*crew_rows(day, found.crew_before, found.crew)]
    lines += ["", *table(CREW_HEADER, crew, width, flexible=None)]
    for text in lost_texts(found):
        lines += wrapped(text, width)
    return "\n".join(lines)


def table_text(found: PriceTable, width: int = WIDTH) -> str:
    """Lay out every shot at every half-hour: times down, shots across, in blocks that fit."""
    lines = _head(found.day, width)
    for start in range(0, len(found.rows), COLUMNS):
        header, *rows = block_rows(found, start)
        lines += [*table(header, rows, width, flexible=None), ""]
    return "\n".join([*lines, *wrapped(table_note(found), width)])


def table_note(found: PriceTable) -> str:
    """Say what the figures of a table mean, and how sure they are."""
    early = "" if found.is_complete else EARLY_NOTE
    if not found.is_average:
        return TABLE_NOTE + early
    pins = [shot.id for shot in found.day.shots if shot.pin is not None]
    sure = ""
    if found.open_points is not None:
        most = share_text(found.open_points, found.points).strip()
        sure = f"The best crew of all loses from nothing to at most {most} more than the figure; "
    if pins:
        which = listed(pins, "or")
        sure += f"pins come first: a figure is low where {which} loses its pin more often; "
    return AVERAGE_TABLE_NOTE.format(sure) + early


def alternatives_text(found: Sequence[Alternative], width: int = WIDTH) -> str:
    """Lay out other plans that differ, each with its order, what differs and how far it is."""
    lines: list[str] = []
    for place, one in enumerate(found):
        lost, light, wrap, differs = alternative_row(one)
        lines += wrapped(f"alternative {place + 1}: {lost}, light kept {light}, wrap {wrap}", width)
        lines += wrapped(f"  {differs}", width)
        lines += wrapped(f"  {', '.join(order_ids(one.plan))}", width, indent=4)
    return "\n".join(lines) if lines else NO_OTHER


def _head(day: Day, width: int) -> list[str]:
    """Name the day, and say how far it has come."""
    lines = [*heading(day, width), ""]
    for text in past_texts(day):
        lines += wrapped(text, width)
    return lines if day.past is None else [*lines, ""]


def loss_texts(found: Price) -> Iterator[str]:
    """Say what a decision loses or wins, how sure that is, and which shots pay."""
    for rule in found.sets_aside:
        yield f"this sets aside a rule of the day: {rule}"
    yield _loss(found)
    yield from _payers(found)


def lost_texts(found: Price) -> Iterator[str]:
    """Name the shots that a plan which obeys a decision leaves out, or rolls in poor light."""
    for left in found.plan.left_out:
        yield f"left out: {left.shot.id}: {left.why}"
    yield from light_notes(found.plan)


def block_rows(found: PriceTable, start: int) -> Iterator[tuple[str, ...]]:
    """Yield the ids of the shots of a block, when the plan rolls them, cuts, then half-hours."""
    block = found.rows[start : start + COLUMNS]
    yield ("", *(row.shot_id[:6] for row in block))
    yield ("plan", *(_planned_text(found.day, row) for row in block))
    yield ("cut", *(_cut_text(row, found.points) for row in block))
    for place, when in enumerate(found.times):
        cells = [cell_text(row.cells[place], found.points) for row in block]
        yield (clock(found.day, when), *(f"{cell:>5}" for cell in cells))


def rule_rows(found: Sequence[RulePrice]) -> list[tuple[str, ...]]:
    """Give each rule and what the day would win without it, in points and in light."""
    rows: list[tuple[str, ...]] = []
    for one in found:
        light = f"{one.light_gain:+.1%}" if abs(one.light_gain) >= 0.0005 else ""
        rows.append((one.rule, light, f"{_gain_text(one):>6}"))
    return rows


def curve_rows(day: Day, found: Sequence[WrapPoint]) -> list[tuple[str, ...]]:
    """Give each wrap, what the best day by then keeps, its overtime and what it leaves out."""
    rows: list[tuple[str, ...]] = []
    for point in found:
        plan = point.plan
        points = f"{plan.points}" if plan.status == "proven" else f"{plan.points}–{plan.bound}"
        over = f"{point.overtime_min} min, −{point.overtime_points}" if point.overtime_min else ""
        left = ", ".join(one.shot.id for one in plan.left_out)
        rows.append((clock(day, point.wrap), f"{plan.light_kept:6.1%}", over, left, points))
    return rows


def curve_note(day: Day, shows: str = CURVE_NOTE) -> str:
    """Say what a curve of wraps shows, and which wraps the day has."""
    wraps = f"the day's wrap is {clock(day, day.hours.wrap)}"
    if day.hours.hard_wrap > day.hours.wrap:
        wraps += f", its hard wrap {clock(day, day.hours.hard_wrap)}"
    return f"{shows} {wraps}."


def alternative_row(one: Alternative) -> tuple[str, str, str, str]:
    """Give what an alternative loses, its light, its wrap, and in what it differs."""
    most = one.points_lost
    lost = f"{abs(most)} points {'less' if most > 0 else 'more'}" if most else "worth the same"
    if one.is_proven:
        lost = f"{lost}, proven"
    elif most > 0:
        lost = f"{one.least_lost} to {lost}" if one.least_lost > 0 else f"at most {lost}"
    wrap = clock(one.plan.day, one.plan.shots[-1].roll_end) if one.plan.shots else NONE
    differs = "; ".join((*one.differs, distance_text(one.distance)))
    return lost, f"{one.light_kept:.1%}", wrap, differs


def share_text(points: int, whole: int) -> str:
    """Write points as a share of what all shots weigh, in percent."""
    share = 100.0 * points / max(1, whole)
    return f"{share:5.1f}" if points else "    0"


def cell_text(cell: Cell, whole: int) -> str:
    """Write one cell of the table; a mark stands before what is not exact."""
    if cell.known is Known.IMPOSSIBLE:
        return NONE
    if cell.known is Known.UNDECIDED:
        return "?"
    if cell.known is Known.WORSE_THAN_CUT:
        return WORSE
    text = share_text(cell.shown, whole).strip()
    if cell.known is Known.FOUND:
        return text
    # Bounds that print alike are as good as the exact value.
    is_exact = cell.least is not None and share_text(cell.least, whole).strip() == text
    return text if is_exact else f"≤{text}"


def _gain_text(one: RulePrice) -> str:
    if one.most is None:
        return "?"
    if one.gain:
        return f"{one.gain}" if one.is_proven else f"≥{one.gain}"
    return "free" if one.is_proven else f"≤{one.most}"


def _cut_text(row: Row, whole: int) -> str:
    return "    ?" if row.cut is None else share_text(row.cut, whole)


def _planned_text(day: Day, row: Row) -> str:
    return NONE if row.planned is None else clock(day, row.planned)


def _loss(found: Price) -> str:
    """Say what a decision loses or wins, and how sure that is."""
    light = f"light kept {found.plan.light_kept:.1%}"
    if abs(found.light_lost) >= 0.0005:
        light += f", {-found.light_lost:+.1%}"
    if found.points_lost < 0:
        text = f"wins {-found.points_lost} points ({light})"
    elif found.points_lost == 0:
        text = f"costs nothing ({light})"
    else:
        text = f"costs {found.points_lost} points ({light})"
    if found.is_proven:
        less = "wins more" if found.points_lost < 0 else "loses less"
        return f"{text}; proven: no plan that obeys it {less}"
    return f"{text}; not proven: at least {found.least_lost} are lost"


def first_sight_text(found: Price) -> str:
    """Say within what a price lies while the exact one is worked out."""
    if found.is_proven:
        return f"at first sight: {found.points_lost} points are lost"
    least = max(0, found.least_lost) if found.points_lost >= 0 else found.least_lost
    return f"at first sight: {least} to {found.points_lost} points are lost"


def _payers(found: Price) -> Iterator[str]:
    yield from paid_texts(found.pays, [(COST_NAMES[name], cost) for name, cost in found.shared])


def shot_rows(day: Day, best: Plan, found: Price) -> Iterator[tuple[str, ...]]:
    """Yield each shot as the best plan has it and as the plan that obeys a decision does.

    One that is made is named only where its points change, by the sun of its match.
    """
    made = made_ids(day.past)
    before = {planned.shot.id: planned for planned in best.shots}
    now = {planned.shot.id: planned for planned in found.plan.shots}
    lost = dict(found.pays)
    for shot_id in [*now, *(shot for shot in before if shot not in now)]:
        if shot_id in made and shot_id not in lost:
            continue
        points = f"{-lost[shot_id]:+6d}" if shot_id in lost else ""
        yield (
            shot_id,
            day.shot(shot_id).description,
            *_when_and_light(day, before.get(shot_id)),
            *_when_and_light(day, now.get(shot_id)),
            points,
        )


def _when_and_light(day: Day, planned: PlannedShot | None) -> tuple[str, str]:
    if planned is None:
        return NONE, NONE
    return clock(day, planned.roll_start), f"{planned.fit:4.0%}"


def order_ids(plan: Plan) -> list[str]:
    """Give the ids of a plan's shots in their order, the meal in its place."""
    words: list[str] = []
    meal = plan.meal
    for planned in plan.shots:
        if meal is not None and meal.start < planned.roll_start:
            words.append("meal")
            meal = None
        words.append(planned.shot.id)
    return [*words, "meal"] if meal is not None else words
