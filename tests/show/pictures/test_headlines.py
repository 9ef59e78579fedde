"""The sentence that an answer begins with, by hand: what is lost, what is won, how late it gets."""

from dataclasses import replace

import numpy as np
import pytest
from builders import a_day, a_shot

from show.pictures.laid import placed
from sunsched.average.order.forecast import Chance
from sunsched.day.model import Size
from sunsched.day.wish import SunSide, Wish
from sunsched.plan.outlook import SURE
from sunsched.show.text.headlines.arguments import alternatives_headline
from sunsched.show.text.headlines.lost import (
    later_words,
    light_name,
    lost_and_won,
    shift_words,
    shifts_of_chances,
)
from sunsched.show.text.headlines.overruns import overruns_headline, weakest_first
from sunsched.show.text.headlines.points import paid_texts
from sunsched.whatif.replan.shifts import Kept, Shift
from sunsched.whatif.stress.stress import ShotStress, stress

BACK = a_shot("7", size=Size.MEDIUM, weight=3.0, wish=Wish(side=SunSide.BACK))
PLAIN = a_shot("9", size=Size.WIDE, weight=5.0)


def shift(shot, before, now):
    """Give a shot with chance and light before and now."""
    return Shift(
        shot=shot,
        before=Kept(made=before[0], light=before[1]),
        now=Kept(made=now[0], light=now[1]),
    )


def test_the_light_that_is_lost_has_its_name():
    """A medium that wants the sun in the back loses its backlight, if that is what it loses."""
    lost = shift(BACK, (1.0, 0.59), (1.0, 0.0))
    assert shift_words(lost, "sun side") == "the backlight of shot 7 (medium), 59% to 0%"
    assert shift_words(lost, "clear sky") == "the light of shot 7 (medium), 59% to 0%"
    either = Wish(side=SunSide.BACK, others=((SunSide.FRONT, None),))
    assert light_name(replace(BACK, wish=either), "sun side") == "the light"
    assert light_name(PLAIN, "sun side") == "the light"


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        ((0.996, 0.9), (0.27, 0.25), "shot 7 (medium), made on 27% of the days, not >99%"),
        ((1.0, 0.9), (0.0, 0.0), "shot 7 (medium), which is left out"),
        ((0.0, 0.0), (1.0, 0.9), "shot 7 (medium), which was left out"),
        ((1.0, 0.9), (0.9, 0.5), "the light of shot 7 (medium), 90% to 50%"),
        ((1.0, 0.9), (0.8, 0.55), "shot 7 (medium), made on 80% of the days, not 100%"),
    ],
)
def test_a_chance_is_told_where_it_is_most_of_the_loss(before, now, words):
    """Half of the loss of light or more by the chance: the chance; less: the light."""
    assert shift_words(shift(BACK, before, now)) == words


def test_the_heaviest_loss_and_gain_are_named():
    """By weight times light: 0.2 of a wide of weight 5 is more than 0.3 of a medium of 3."""
    shifts = [
        shift(BACK, (1.0, 0.9), (1.0, 0.6)),
        shift(PLAIN, (1.0, 0.9), (1.0, 0.7)),
        shift(a_shot("2", weight=1.0), (1.0, 0.3), (1.0, 0.9)),
        shift(a_shot("3", weight=9.0), (1.0, 0.5), (1.0, 0.54)),
    ]
    assert lost_and_won(shifts, you="with theirs you") == [
        "with theirs you lose the light of shot 9 (wide), 90% to 70%",
        "you win the light of shot 2 (insert), 30% to 90%",
    ]
    assert lost_and_won(shifts[2:], you="with theirs you") == [
        "with theirs you win the light of shot 2 (insert), 30% to 90%"
    ]
    assert lost_and_won(shifts[3:]) == []


def test_a_shot_of_one_order_alone_is_not_made_in_the_other():
    """What the second does not have has no chance there, and the other way round."""

    def chance(shot, made, light):
        return Chance(
            shot=shot,
            made=made,
            half=made,
            light=light,
            on_pin=None,
            roll_min=None,
            not_before_min=None,
            begin_by_min=None,
        )

    found = shifts_of_chances([chance(BACK, 0.9, 0.8)], [chance(PLAIN, 0.7, 0.6)])
    kept = {one.shot.id: (one.before.made, one.now.made) for one in found}
    assert kept == {"7": (0.9, 0.0), "9": (0.0, 0.7)}


def test_how_late_it_gets():
    """Minutes with their sense; nothing where nothing changes or nobody knows."""
    assert later_words(65, "wrap") == ["wrap 65 min later"]
    assert later_words(-5, "wrap") == ["wrap 5 min earlier"]
    assert later_words(0, "wrap") == later_words(None, "wrap") == []


def test_points_are_told_with_their_shot():
    """`shot 7: 561 points`: no id stands before a bare number; the most first, costs last."""
    shots = [("7", 561), ("2", 900), ("3", -40), ("4", -1)]
    assert list(paid_texts(shots, [("waiting", 70), ("moves", -500), ("overtime", 0)])) == [
        "pay: shot 2: 900 points, shot 7: 561 points, waiting: 70 points",
        "win: shot 3: 40 points, shot 4: 1 point, moves: 500 points",
    ]
    assert list(paid_texts([], [])) == []


def test_the_nearest_alternative_is_told():
    """The least of what the others lose."""
    worth = "the next best plan that differs is worth"
    assert alternatives_headline([48, 12]) == f"{worth} 12 points less"
    assert alternatives_headline([0, 12]) == f"{worth} as much"
    assert alternatives_headline([-7, 12]) == f"{worth} 7 points more"
    assert alternatives_headline([]) == "no other plan differs"


def drawn(*chances):
    """Give drawn days of shots with these chances to be made, and with half their light."""
    shots = []
    for name, made, half in chances:
        made_days, half_days = (round(100 * share) for share in (made, half))
        starts = np.where(np.arange(100) < made_days, 400.0, np.nan)
        fit = np.where(np.arange(100) < half_days, 0.5, 0.49)
        shots.append(
            ShotStress(
                shot=a_shot(name),
                planned=None,
                start_min=starts,
                end_min=starts + 30.0,
                fit=fit,
                light_lost=0.0,
            )
        )
    plan = placed(a_day(a_shot("A")), "A@7:00")
    found = stress(plan.fit, plan.timetable, days=1)
    return replace(found, shots=tuple(shots))


def test_the_weakest_shots_come_first():
    """By half their light, then by being made; three are named, the rest counted."""
    found = drawn(
        ("A", 1, 0.99), ("B", 0.8, 0.3), ("C", 0.7, 0.7), ("D", 0.5, 0.3), ("E", 0.8, 0.8)
    )
    assert [one.shot.id for one in weakest_first(found)] == list("DBCEA")
    half = "made with half its light on 30% of the days, made at all on"
    assert overruns_headline(found) == (
        f"weakest: shot D (insert), {half} 50%; shot B (insert), {half} 80%; "
        "shot C (insert), made on 70% of the days; and 1 more"
    )


def test_a_sure_order_names_its_weakest_shot():
    """From 85% on nobody counts a shot as unsure."""
    found = drawn(("A", 1.0, 0.99), ("B", 1.0, SURE))
    assert overruns_headline(found) == (
        "every shot is made with half its light on 85% of the days or more; the weakest is "
        "shot B (insert)"
    )
