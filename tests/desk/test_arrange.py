"""Orders tried on the page of the day: the figures are those of the library."""

from datetime import UTC, datetime, timedelta
from importlib import import_module
from itertools import pairwise

import pytest

import sunsched
from desk.conftest import copied
from sunsched.average.order.forecast import forecast
from sunsched.day.decided import decision_texts
from sunsched.desk.answers.arrange import hours
from sunsched.desk.work.worker import Memory
from sunsched.errors import DayImpossible, SunschedError, WriteRefused
from sunsched.folder.read import read_folder
from sunsched.whatif.price_average.ground import decide, order_from_policy
from sunsched.whatif.price_average.half_hours import average_price_table

MADE_AT = datetime(2027, 6, 1, 12, tzinfo=UTC)


class Asker:
    """Asks what the page asks, of one day folder."""

    def __init__(self, folder):
        self.folder, self.memory = folder, Memory()

    def all(self, kind, **asked):
        """Give every answer."""
        module = import_module(f"sunsched.desk.answers.arrange.{kind}")
        return list(module.answer(self.memory, folder=str(self.folder), **asked))

    def __call__(self, kind, **asked):
        """Give the last answer."""
        return self.all(kind, **asked)[-1]


@pytest.fixture(scope="module")
def known(tmp_path_factory):
    """Give an asker of a day, what is proposed for it, and the same by the library."""
    folder = copied("ferry-light", tmp_path_factory.mktemp("desk"))
    ask = Asker(folder)
    solved = sunsched.solve_day(sunsched.read_day(folder))
    return ask, ask("proposal"), solved, sunsched.average_plan(solved)


def pinned(best, minutes):
    """Say that the second shot still without a pin rolls later or earlier."""
    likely = [one for one in best.likely.shots if one.shot.pin is None][1]
    when = likely.roll_start + timedelta(minutes=minutes)
    local = when.astimezone(best.day.place.zone)
    said = {"shots": [likely.shot.id], "at": [f"{local:%H:%M}"]}
    asked = sunsched.Asked(shots=said["shots"], at=said["at"])
    return said, sunsched.read_decision(best.day, asked)


def test_the_proposal_is_the_plan_of_the_command(known):
    """The order, its points and its bound."""
    _, found, _, best = known
    assert found["arrangement"]["ids"] == list(best.policy.ids)
    assert (found["plan"]["points"], found["plan"]["bound"]) == (best.points, best.bound)


def test_the_order_itself_loses_nothing(known):
    """An order that is asked for again is worth what it was."""
    ask, found, _, best = known
    again = ask("worth", base=found["arrangement"], said={}, order=[], loose=None)
    assert again["price"]["points_lost"] == 0
    assert again["plan"]["points"] == best.points
    assert again["arrangement"] == found["arrangement"]


def test_a_moved_order_is_worth_what_it_is(known):
    """Two shots change places: judged by the ground of the library."""
    ask, found, solved, best = known
    ids = list(best.policy.ids)
    ids[0], ids[1] = ids[1], ids[0]
    moved = ask("worth", base=found["arrangement"], said={}, order=ids, loose=None)
    ground = decide(solved.fit, ())
    policy = ground.policy(ground.ordered(ground.indices(ids), best.policy.references))
    assert moved["plan"]["points"] == round(policy.worth)
    assert moved["price"]["points_lost"] == best.points - round(policy.worth)
    made = {row["id"]: row["made"] for row in moved["plan"]["rows"]}
    chances = {one.shot.id: one.made for one in forecast(policy)}
    assert made == {one: pytest.approx(chances[one], abs=6e-4) for one in made}


def test_a_shot_at_a_time_gets_a_place_that_suits(known):
    """It is worth at least what it is where it stood, and no more than the best day with it."""
    ask, found, solved, best = known
    said, decision = pinned(best, 30)
    base, ids = found["arrangement"], list(best.policy.ids)
    there = ask("worth", base=base, said=said, order=ids, loose=None)
    loose = ask("worth", base=base, said=said, order=ids, loose=said["shots"][0])
    ground = decide(solved.fit, decision)
    policy = ground.policy(ground.ordered(ground.indices(ids), best.policy.references))
    assert there["plan"]["points"] == round(policy.worth)
    bracket = ask("bracket", base=base, said=said)
    assert loose["price"]["now"]["points"] >= there["price"]["now"]["points"] - 1
    best_day = sunsched.average_price(solved, best, decision)
    most = max(round(best_day.now.points), bracket["price"]["now"]["points"])
    assert loose["price"]["now"]["points"] <= most + 1
    assert loose["price"]["decision"] == list(best_day.decision)


def test_the_first_bracket_holds_the_price(known):
    """What the best crew of all loses by the library lies within what was said at first sight."""
    ask, found, solved, best = known
    held = 0
    for minutes in (-30, 20, 60):
        said, decision = pinned(best, minutes)
        first = ask("bracket", base=found["arrangement"], said=said)["price"]
        price = sunsched.average_price(solved, best, decision)
        assert first["points_lost"] >= price.points_lost - 1
        assert price.most_lost is not None
        assert first["most_lost"] >= price.most_lost - 1
        # Where pins are kept less often nobody knows how much could be won for that.
        if first["least_lost"] is not None:
            held += 1
            assert first["least_lost"] <= price.least_lost
            assert first["least_lost"] <= first["points_lost"] <= first["most_lost"]
    assert held


def test_the_best_day_is_that_of_the_library(known):
    """Price, bracket, payers and order of `average_price`."""
    ask, found, solved, best = known
    said, decision = pinned(best, 45)
    told = ask("best", base=found["arrangement"], said=said)
    price = sunsched.average_price(solved, best, decision)
    for name in ("points_lost", "least_lost", "most_lost", "later_min"):
        assert told["price"][name] == getattr(price, name)
    pays = {one["id"]: one["points_lost"] for one in told["price"]["pays"]}
    assert pays == {one.shot.id: one.points_lost for one in price.pays}
    assert told["arrangement"]["ids"] == list(price.policy.ids)
    assert price.bound is not None
    assert told["arrangement"]["bound"] == price.bound >= round(price.now.points)


def test_the_map_ends_as_the_table(known, monkeypatch):
    """All cells at first sight, then those of `average_price_table`; in wide steps, to be quick."""
    monkeypatch.setattr(hours, "STEP_MIN", 120)
    ask, found, _, best = known
    tables = ask.all("hours", base=found["arrangement"])
    marks = [[cell["is_priced"] for row in one["rows"] for cell in row["cells"]] for one in tables]
    assert not any(marks[0])
    assert all(sum(now) >= sum(before) for before, now in pairwise(marks))
    # What is priced first looked cheaper than what is left, but for what another thread has in
    # hand at that moment.
    sight = [cell["lost"] for row in tables[0]["rows"] for cell in row["cells"]]
    seen = [pair for pair in zip(sight, marks[1], strict=True) if pair[0] is not None]
    first, left = ([lost for lost, mark in seen if mark is is_in] for is_in in (True, False))
    assert max(first) <= sorted(left)[1]
    table = average_price_table(best, step_min=120)
    assert tables[-1]["is_final"]
    for row, own in zip(tables[-1]["rows"], table.rows, strict=True):
        assert (row["id"], row["cut"]) == (own.shot_id, own.cut)
        assert [cell["lost"] for cell in row["cells"]] == [cell.found for cell in own.cells]
    # At first sight nothing else is moved: a cell is never much cheaper than what is found then.
    for row, own in zip(tables[0]["rows"], table.rows, strict=True):
        for cell, one in zip(row["cells"], own.cells, strict=True):
            assert (cell["lost"] is None) == (one.found is None)


def test_what_cannot_be_is_said(known):
    """In the words of the commands."""
    ask, found, _, best = known
    base, ids = found["arrangement"], list(best.policy.ids)
    with pytest.raises(SunschedError, match="nosuch"):
        ask("worth", base=base, said={"cuts": ["nosuch"]}, order=ids, loose=None)
    with pytest.raises(DayImpossible):
        ask("bracket", base=base, said={"cuts": [ids[0]], "shots": [ids[0]], "at": ["12:00"]})
    with pytest.raises(SunschedError, match="no plan is saved"):
        ask("worth", base=None, said={}, order=ids, loose=None)


def test_decisions_are_kept_priced_and_lifted(tmp_path):
    """They stand in the file, and cost what the best day without them has more."""
    ask = Asker(copied("ferry-light", tmp_path))
    ids = [shot.id for shot in sunsched.read_day(ask.folder).shots]
    said = {"keep_orders": [f"{ids[2]},{ids[0]}"]}
    kept = ask("keep", said=said, lifted=None)
    day = sunsched.read_day(ask.folder)
    assert tuple(kept["decisions"]) == decision_texts(day) != ()
    base = ask("proposal")["arrangement"]
    first, last = ask.all("prices", base=base)
    free = sunsched.average_plan(sunsched.solve_day(ask_without(ask.folder)))
    assert (first["is_final"], last["is_final"]) == (False, True)
    assert last["least_lost"] <= free.points - base["bound"] + 1 <= last["most_lost"] + 1
    assert 0 <= last["points_lost"] <= last["most_lost"]
    with pytest.raises(SunschedError, match="no decision"):
        ask("keep", said=None, lifted="nothing of the kind")
    assert ask("keep", said=None, lifted=kept["decisions"][0])["decisions"] == []
    assert sunsched.read_day(ask.folder).decisions == ()


def ask_without(folder):
    """Give the day as it is asked, without decisions."""
    return read_folder(folder).asked


def test_plans_are_saved_after_the_one_that_was_looked_at(tmp_path):
    """The proposal as the command saves it, an order as it was shown; a foreign one is told."""
    ask = Asker(copied("ferry-light", tmp_path))
    found = ask("proposal")
    made_at = MADE_AT.isoformat()
    assert ask("save", given=None, follows=0, made_at=made_at) == {"revision": 1}
    best = sunsched.average_plan(sunsched.solve_day(sunsched.read_day(ask.folder)))
    other = copied("ferry-light", tmp_path / "other")
    sunsched.save_plan(other, best, made_at=MADE_AT)
    saved, command = (
        next((one / "plans").iterdir()).read_text(encoding="utf-8") for one in (ask.folder, other)
    )
    assert saved == command
    ids = found["arrangement"]["ids"][::-1]
    moved = ask("worth", base=None, said={}, order=ids, loose=None)
    with pytest.raises(WriteRefused, match="revision 1 was saved meanwhile"):
        ask("save", given=moved["arrangement"], follows=0, made_at=made_at)
    assert ask("save", given=moved["arrangement"], follows=1, made_at=made_at) == {"revision": 2}
    day = sunsched.read_day(ask.folder)
    again = sunsched.plan_of_revision(day, sunsched.read_revision(ask.folder, 2))
    assert again.changes == ()
    assert again.average is not None
    assert again.average.points == moved["plan"]["points"]
    assert list(again.average.policy.ids) == moved["arrangement"]["ids"]


def test_light_that_is_the_same_is_not_computed_again():
    """A pinned day has the light of the day; one with other hours is computed."""
    day = sunsched.example_day()
    fit = sunsched.fit_day(day)
    best = sunsched.average_plan(sunsched.solve_day(day))
    _, decision = pinned(best, 15)
    ground = decide(fit, decision)
    assert ground.fit.track is fit.track
    anew = sunsched.fit_day(ground.fit.day)
    for one in ground.fit.shots.values():
        assert one.shot == anew.shots[one.shot.id].shot
        assert (one.fit == anew.shots[one.shot.id].fit).all()
    called = sunsched.read_decision(day, sunsched.Asked(call="05:00"))
    assert decide(fit, called).fit.track is not fit.track
    assert order_from_policy(ground, best.policy).worth <= best.points + 60_000


def test_drifts_that_are_the_same_are_not_computed_again(known):
    """Those of an order of the day, where a decision changes none of them."""
    _, _, _, best = known
    fit, own = best.policy.rest.fit, best.policy.drifts
    _, decision = pinned(best, 15)
    anew = decide(fit, decision).drifts
    assert anew is not own
    assert decide(fit, decision, best.policy).drifts is own
    assert (anew.names, anew.match.tolist()) == (own.names, own.match.tolist())
    assert any(table.any() for table in own.by_half)
    for table, same in zip(anew.by_half, own.by_half, strict=True):
        assert (table == same).all()
    for asked in (sunsched.Asked(cuts=[best.ids[0]]), sunsched.Asked(call="05:00")):
        changed = sunsched.read_decision(fit.day, asked)
        assert decide(fit, changed, best.policy).drifts is not own
