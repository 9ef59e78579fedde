"""Days for the phone page: a small one with hostile texts, and days that are hard to show."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from sunsched.day.model import CastMember, Day, Hours, Meal, Move, Place, Shot, Size, Spot
from sunsched.day.past import Made, Past
from sunsched.day.wish import Band, CameraSide, SunSide, Wish
from sunsched.light.fit import fit_day
from sunsched.plan.changeover import changeover
from sunsched.plan.outlook import Outlook, Prospect
from sunsched.plan.plan import Plan, describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.agenda import Sheet
from sunsched.show.paper_size import Shape
from sunsched.show.stamp import Stamp

MIN = timedelta(minutes=1)
HOSTILE = {
    "1": "<script>document.title='broken'</script><img src=x onerror=\"document.title='broken'\">",
    "2": "\"quoted\" 'twice' </script><!-- {{ 7 * 7 }} &amp; ]]>",
    "3": "שלום עולם \u202e123",
    "4": "🎬 sun & $sea$",
    "5": "x" * 300,
}
CALL = datetime(2027, 6, 9, 4, 0, tzinfo=UTC)  # 06:00 in Madrid


def at(clock: str) -> datetime:
    """Give the moment of Madrid's clock on the day: two hours ahead of UTC."""
    hour, minute = map(int, clock.split(":"))
    return CALL.replace(hour=0, minute=0) + timedelta(hours=hour - 2, minutes=minute)


def a_shot(name: str, text: str, **changes: object) -> Shot:
    """Give an insert of 30 minutes that asks nothing."""
    facts = {"size": Size.INSERT, "spot": "pans", "look_deg": 0.0, "wish": Wish(), "weight": 1.0}
    facts |= {"setup_min": 20, "adjust_min": 10, "shoot_min": 30, "cast": ()}
    return Shot(id=name, description=text, **(facts | changes))  # type: ignore[arg-type]


def hostile_sheet() -> Sheet:
    """Give five shots with hostile descriptions, a meal, a wait and a move."""
    shots = tuple(
        a_shot(
            name,
            text,
            spot="mill <b>" if name == "5" else "pans",
            cast=("Ana & Bo",) if name == "1" else (),
        )
        for name, text in HOSTILE.items()
    )
    day = Day(
        title='Salt </title><script>document.title="broken"</script>',
        date=date(2027, 6, 9),
        place=Place(
            name="Pans & mill",
            latitude_deg=36.2,
            longitude_deg=-5.9,
            elevation_m=0,
            timezone="Europe/Madrid",
        ),
        hours=Hours(crew_call=CALL, first_roll=CALL, wrap=at("19:00"), hard_wrap=at("19:00")),
        meal=Meal(earliest=CALL, latest=at("12:00"), length_min=60),
        spots=(Spot(name="pans"), Spot(name="mill <b>")),
        moves=(Move(between=("pans", "mill <b>"), minutes=25),),
        shots=shots,
    )
    fit = fit_day(day)
    rolls = [(shots[k], at(("07:00", "07:40", "08:20", "12:00")[k])) for k in range(4)]
    rolls.append((shots[4], at("14:00")))
    meal = at("09:00")
    table = Timetable(rolls=place_changeovers(day, rolls, meal), meal_start=meal)
    return sheet_of(describe_plan(fit, table, bound=99_999), CALL)


def under_way(sheet: Sheet) -> Sheet:
    """Give the same day at 08:30: two shots made, one running."""
    plan = sheet.plan
    shots = [replace(one, last_start=None) for one in plan.shots[:3]] + [*plan.shots[3:]]
    made = tuple(
        Made(
            shot_id=one.shot.id,
            changeover_start=one.changeover_start,
            roll_start=one.roll_start,
            roll_end=one.roll_end,
        )
        for one in shots[:3]
    )
    past = Past(at=at("08:30"), free_at=at("08:50"), made=made, running="3")
    day = replace(plan.day, past=past)
    return replace(sheet, plan=replace(plan, fit=replace(plan.fit, day=day), shots=tuple(shots)))


def sheet_of(plan: Plan, made_at: datetime) -> Sheet:
    """Give a sheet of a plan, its seventh revision."""
    return Sheet(plan=plan, stamp=Stamp(made_at=made_at, revision=7), paper=Shape.A4)


# Arabic, Hebrew, Devanagari, Han and Cyrillic: "the boat", "the lamp", "the sea", "the light".
SCRIPTS = ("القارب والمصباح", "הסירה והמנורה", "नाव और दीपक", "船和灯在海边", "лодка и лампа")
LONG = (
    "She walks along the quay with the lamp held before her, and does not look back at the boat; "
)
SPOTS = (
    *("quay", "מצפה הים", "الميناء القديم", "船坞", "старый маяк", "नदी का घाट", "mill", "roof"),
    *("the long name of a far spot beside the second lighthouse", "dune", "well", "gate"),
)
PEOPLE = (
    *("Ana & Bo", "سلمى", "Béchir", "רחל", "Иван", "李明", "आशा", "Younes", "Liv", "Eilert"),
    *("Maximiliane-Theodora von und zu Hohenwarth-Gerlachstein", "Bo", "Cy", "Di", "Ed"),
)


def hard_sheet(count: int = 40, *, is_average: bool = True, has_meal: bool = True) -> Sheet:
    """Give a night of many shots past midnight, twelve spots, fifteen people, five scripts.

    Tromsø in June, where the sun does not set: every curve of every picture is there.
    """
    call = datetime(2027, 6, 15, 15, 0, tzinfo=UTC)  # 17:00 in Oslo's time
    shots = tuple(
        a_shot(
            f"{101 + k // 3}{'ABC'[k % 3]}-2bis",
            (LONG * 3)[:200] if k % 6 == 5 else SCRIPTS[k % 5],
            size=list(Size)[k % 5],
            spot=SPOTS[k * len(SPOTS) // count],
            look_deg=float(37 * k % 360),
            wish=Wish(
                side=SunSide.BACK,
                camera_side=CameraSide.LEFT,
                azimuth=Band(low_deg=200, high_deg=320, give_deg=20),
                elevation=Band(low_deg=1, high_deg=30, give_deg=5),
            ),
            setup_min=6,
            adjust_min=3,
            shoot_min=8,
            cast=tuple(PEOPLE[(k + n) % len(PEOPLE)] for n in range(1 + k % 4)),
            kept=(("VFX", SCRIPTS[k % 5]),),
            rig="arm" if k % 2 else "",
        )
        for k in range(count)
    )
    day = Day(
        title="Night of the boats، ليلة القوارب",
        date=date(2027, 6, 15),
        place=Place(
            name="Tromsø",
            latitude_deg=69.65,
            longitude_deg=18.96,
            elevation_m=0,
            timezone="Europe/Oslo",
        ),
        hours=Hours(
            crew_call=call,
            first_roll=call,
            wrap=call + timedelta(hours=15),
            hard_wrap=call + timedelta(hours=16),
        ),
        meal=Meal(earliest=call, latest=call + timedelta(hours=12), length_min=30),
        spots=tuple(Spot(name=name) for name in SPOTS),
        cast=tuple(CastMember(name=name) for name in PEOPLE),
        shots=shots,
    )
    fit, free, meal = fit_day(day), call, None
    rolls = []
    before = None
    for k, shot in enumerate(shots):
        if has_meal and k == count // 2:
            meal, free = free, free + timedelta(minutes=30)
        start = free + changeover(day, before, shot).total_min * MIN
        rolls.append((shot, start))
        free, before = start + shot.shoot_min * MIN, shot
    table = Timetable(rolls=place_changeovers(day, rolls, meal), meal_start=meal)
    plan = describe_plan(fit, table, bound=10**6)
    return sheet_of(
        replace(plan, outlook=_outlook(plan)) if is_average else plan, call - 3 * 60 * MIN
    )


def _outlook(plan: Plan) -> Outlook:
    """Give made-up prospects: each shot is to be begun within twenty minutes of its plan."""
    return Outlook(
        points=1000,
        bound=1100,
        light_kept=0.9,
        prospects=tuple(
            Prospect(
                shot_id=one.shot.id,
                made=0.8,
                half=0.7,
                light=0.6,
                on_pin=None,
                rolls=None,
                not_before=None,
                begin_by=one.changeover_start + 20 * MIN,
            )
            for one in plan.shots
        ),
    )


def lone_sheet() -> Sheet:
    """Give a polar night of one shot, which rolls in no light at all."""
    call = datetime(2027, 12, 15, 22, 0, tzinfo=UTC)  # 23:00 in Oslo's time
    sheet = hard_sheet(1, is_average=False, has_meal=False)
    day = replace(
        sheet.plan.day,
        date=date(2027, 12, 15),
        hours=Hours(
            crew_call=call,
            first_roll=call,
            wrap=call + 180 * MIN,
            hard_wrap=call + 180 * MIN,
        ),
        meal=Meal(earliest=call, latest=call + 360 * MIN, length_min=30),
    )
    rolls = [(day.shots[0], call + 60 * MIN)]
    table = Timetable(rolls=place_changeovers(day, rolls, None), meal_start=None)
    return sheet_of(describe_plan(fit_day(day), table, bound=10**6), call - 600 * MIN)


def clocks_back_sheet() -> Sheet:
    """Give the small day's shots on the night on which Madrid's clocks go back, 30 October 2027."""
    call = datetime(2027, 10, 30, 21, 50, tzinfo=UTC)  # 23:50 in Madrid
    plan = hostile_sheet().plan
    hours = Hours(
        crew_call=call,
        first_roll=call,
        wrap=call + 480 * MIN,
        hard_wrap=call + 480 * MIN,
    )
    day = replace(plan.day, date=date(2027, 10, 30), hours=hours)
    day = replace(day, meal=replace(day.meal, earliest=call, latest=call + 480 * MIN))
    starts = (40, 80, 120, 160, 235)  # one directly after the other: no wait takes anything up
    rolls = [(shot, call + start * MIN) for shot, start in zip(day.shots, starts, strict=True)]
    table = Timetable(rolls=place_changeovers(day, rolls, None), meal_start=None)
    return sheet_of(describe_plan(fit_day(day), table, bound=10**6), call)
